// Package plan turns what is wanted of a job into a wiring at least cost: which cable
// goes along which run, which switch stands where, what each conductor does, what is
// spliced and landed, how it is coloured, marked and tagged.
//
// # Use
//
//	p, err := plan.New(ctx, file.Intent, file.Region, nil) // err: every bad request, with its place
//	switch p.Status {
//	case plan.Optimal, plan.BestFound: // p.Spec is the wiring, ready for wiring.New
//	case plan.Infeasible:              // p.Lacks says what there is no room for, p.Changes what would help
//	}
//
// # The family
//
// A plan is made of these and of nothing else, and the best is the best of these:
//
//   - One place has a single-pole switch. Several have a chain: a three-way at either
//     end, four-ways between, hot on the common of the first, switch leg on that of
//     the last. Two places may have joined commons instead, where the control allows
//     it. No other scheme is made; hot and neutral on the throws of one switch, a bare
//     conductor as anything but ground, and a switched neutral never are.
//   - The runs that a circuit uses form a tree. Every conductor takes the only way
//     there is along it, so a cable that holds all that a circuit has on a run carries
//     back what it carries out, in every state.
//   - Where several cables go along a run for one circuit, whole controls and needs are
//     shared out over them. Each cable has the hot and the neutral of its own, and
//     these stay apart from there on, so each balances too. A cable made for two
//     circuits, whose second neutral is white with a stripe, may take two such sets on.
//   - Every control brings the neutral of its circuit to each of its places, where the
//     region wants one at switches and the place is not exempt.
//   - Circuits share boxes and grounds, and neither cables nor neutrals.
//
// # Cost and ties
//
// Cable costs by its length: at the weights of the intent's stock, or else at the
// region's prices, or else by the number of its conductors, the ground included, so
// that the cost is in conductor-feet, or in conductor-meters where sizes are metric. As
// soon as one cable has a price, those without one are not considered, and [Plan.Notes]
// says so. A loose conductor of a raceway costs what a conductor of the cheapest cable
// does; a cable that lies there already costs nothing. Boxes and devices do not differ
// between plans and are left out.
//
// Of equal plans on one tree of runs the first in this order is taken: for the first
// control, then the next, plain chain before joined commons, then the hot end that comes
// first in its places, then the leg end; for a run, fewer cables; for a cable, fewer
// conductors, then fewer striped ones, then the smaller size, then the name. Between its
// ends a control visits its places depth first, at each fork the way up first, then the
// ways down in the order of the runs, the way to the last place at the end. Of equal
// trees it is the one that the search comes upon first, which depends on the order of
// boxes and runs in the intent and on nothing else.
//
// In a box of several gangs the switches stand from the left in the order of the wiring's
// list; [Revise] leaves them where the old wiring has them.
//
// # How far it is proven
//
// On a tree of runs one control is planned exactly, whatever its size, and on a graph
// where few boxes are wanted; several controls where they have up to [Options].Limit
// combinations of ends and six clients at most share a run. Otherwise several trees are
// improved step by step until a budget of work is used up, which is counted and not
// timed: [Plan.Status] is then [BestFound], and [Plan.Gap] how much dearer it may be than
// the best, by a bound that holds. [NoneFound] says that such a search came upon no plan
// that has room for everything, and that there may be one.
//
// [Revise] plans again after something has changed and keeps what it can. [AvailableIn]
// says what can be used in a box of any wiring.
//
// # What it does not do
//
// It sizes by breaker and load, not by voltage drop; package packet reports the drop.
// It fills no boxes: [Plan.Full] names those that are too small, and [Plan.Changes] a way
// with more room, if one was found. It ends every cable in the boxes at the ends of its
// run; [Plan.Passing] and a note say which only pass through a box. It takes no larger size
// where many conductors lie together, and counts no device for a need of power: notes say
// where the one or the other matters. It never parts what goes out and comes
// back over two cables, even where a rule lets it be done in nonmetallic cables and boxes,
// as NEC 300.3(B)(3) does: neither cable then balances. A note of a plan that is
// infeasible says so. It judges nobody else's wiring (package check does).
//
// A plan is a drawing. Before anyone touches the wiring it describes: de-energize,
// lock out and tag, prove the tester before and after, and follow the locally adopted
// code and its inspector.
package plan
