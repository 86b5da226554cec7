// Package lines writes what was done and observed in a session of package trace as
// lines of text, one a line, and reads them: what a person types, what a program
// sends through a pipe, and what a file keeps until the work goes on.
//
// # Lines
//
//	see LIGHT=GLOW ...            what lights do: dark, lit, dim, half, flicker, bright
//	see trip                      the breaker opens
//	flip SWITCH nothing           moving this handle to its next position changed no light
//	flip SWITCH changes           and here it did
//	use holds                     with all switches used in all positions the breaker never opened
//	use trips                     and here it did
//	ohms POINT POINT open         dead, everything locked out: open, load (a resistance), joined
//	volts RED BLACK 118V low      live, a tester that loads the circuit; or: high (any other
//	                              voltmeter), proximity
//	reference POINT shows         a known live source read over the point shows its volts; or: nothing
//	lock out                      every circuit of the job off, locked and tagged
//	prove dead BOX                with a tester proven before and after
//	lift neutrals                 and: cap neutrals, land neutrals
//	leads off                     every test lead off the conductors, at both ends
//	energize                      covers closed, locks off, breakers on
//	brittle BOX                   brittle insulation, or of rubber, was found
//
// After an observation may stand, in any order:
//
//	with SWITCH=POSITION ...      how the handles stood; a switch that is not named: in all positions
//	with any                      in every setting of the switches
//	sure 80%                      how far it is to be trusted; left out: wholly
//	lifted                        ohms: all neutrals off the bar of the panel
//	within 3V                     volts: the tolerance of the meter; left out: 5 V
//
// Without "with" the handles stood as they stand in the session. In front of an
// observation "earlier" says that it was made before the session began.
//
// Beside these, "stand SWITCH=POSITION ... in BOX" says how the handles stand and where
// the person is; it is no entry of a session, and has a reader of its own.
//
// A switch, a light is written BOX:NAME; NAME alone where no other has that name; or
// BOX alone where nothing has that name and the box has no other. A point is written
// BOX:DEVICE.TERMINAL, and the end of a wire BOX:CABLE.COLOUR. What has a space
// in it stands in double quotes, in which \" is a quote and \\ a backslash. What
// follows a # in front of a word is left out.
package lines
