// Package switchnet says what a switched circuit does in one state of its
// switches: which terminals are live and on which line, which loads are lit and
// by what path, and whether anything is shorted.
//
// # Use
//
// Declare what there is with a [Builder] (a [Source], [Device] values with a
// [Kind], [Load] values, [Conductor] and [Splice] values between named
// terminals), call [Builder.Build] for an immutable [Net], and solve states of
// it:
//
//	net, err := b.Build()
//	solver := net.NewSolver()
//	view, err := solver.Solve(net.Rest())
//	cond, ok := view.Condition(switchnet.Terminal{Place: "loft", Device: "stair", Name: "common"})
//
// # The model
//
// Everything is ideal metal: a conductor, a splice and a closed contact join
// terminals, an open contact does not. The rails of the source are boundaries,
// not glue: what hangs on the neutral of one circuit is not thereby joined to
// what hangs on the neutral of another, and a short on one circuit leaves the
// view of the others as it was. Rails are never joined through a load.
//
// A breaker is a device like any other, so "what is still live with this
// breaker off?" is a [State] and a [View].
//
// # Order
//
// Every slice and iterator of this package is in name order (place, then
// device, then name, each bytewise) unless its own documentation says
// otherwise. Nothing depends on the order of declaration.
//
// # What it does not do
//
// It knows no volts beyond the nominal ones of the source, no length and no
// colour (package steady and package wiring do), it judges nothing (package
// check does), and it answers about one state at a time; package allstates
// answers the same questions about every state at once.
//
// The result is a statement about a drawing. Before anyone touches the wiring
// it describes: de-energize, lock out and tag, and prove the tester before and
// after.
package switchnet
