// Package allstates answers the questions of package switchnet over every state
// of the switches at once: exactly, with counts, and with a state to show for each
// answer.
//
// # Use
//
// [Analyze] a net; ask about a load with [Analysis.Load]; ask which states
// fulfil any conjunction of claims with [Analysis.Find], which gives a [Set] of
// states that can be counted, listed, drawn from, and searched for the state
// nearest to the handles as they are:
//
//	a, err := allstates.Analyze(ctx, net, nil)
//	lamp, err := a.Load(ctx, switchnet.Ref{Place: "aisle", Name: "lamp"})
//	toggling, err := lamp.Toggles()          // does every switch always toggle it?
//	short, err := a.Find(ctx, allstates.Shorted())
//
// # How
//
// n switches have 2^n states, and none of the answers lists them. The devices are
// taken one after the other in an order that keeps few nets open between those
// taken and those to come. All that the past can mean to the future is then how the
// open nets are joined and which rails they have met; states that agree in this are
// one node of a layered decision diagram (frontier search: Sekine and Imai 1995,
// Knuth's Simpath, Kawahara and others 2017). Its size grows with the number of
// devices times the number of such configurations. In a chain of three-ways and
// four-ways that number is two.
//
// Where the wiring itself makes it large, the question is answered by a
// [BudgetError] that names the knot, never by waiting and never by a guess.
//
// # The model
//
// It is that of package switchnet, state by state: shorts are local to the metal
// they are on, so a load beside a short is as it would be without it, and a state
// is shorted if any metal in it is. Breakers are held on unless they are to be
// varied.
//
// # What it does not do
//
// It proves a drawing, not a building. Before anyone touches the wiring it
// describes: de-energize, lock out and tag, and prove the tester before and after.
// It knows no volts and no amperes (package steady does) and judges nothing
// (package check does).
package allstates
