// Package draw makes pictures of a wiring, as SVG: what a colleague takes to a box,
// hangs up on a site, or looks at on a phone.
//
// # Use
//
//	d := draw.New(w)
//	p, err := d.Runs(nil)               // boxes, and the cables between them
//	p, err = d.Box("slip-door", nil)    // where every conductor in a box ends
//	p, err = d.Chain(group, state, nil) // a control's circuit in one state
//	p, err = d.Truth(ctx, group, nil)   // what its lights do in every setting
//	_, err = p.WriteTo(file)            // p.Title and p.Description are its text alternative
//
// A [Group] is a control: its lights and its switches, in the order of its places.
//
// # The pictures
//
// They are laid out for a width in px of 1/96 in, so that they print and show at their
// own size: [Page] for paper, [Phone] for a phone. Text is text, 11 px or larger,
// which is 8.25 points on paper. Each picture is one SVG element that begins with its
// title and description, needs nothing from outside, and carries no script; names from
// the job are escaped, wrapped where they are long, and kept from turning the direction
// of what stands beside them.
//
// A conductor is stroked in the colour of its insulation, in a pattern of that colour
// alone, and its colour is written beside it; at its other end stands its name. So
// nothing is lost on a photocopy or to an eye that does not tell colours apart. The
// symbols are those of electrical drawings: S3 and S4 for switches on a plan, a cross
// in a circle for a light, open circles for terminals, dots for joints.
//
// Room for text is measured by a table of the widest of the usual sans-serif families,
// so that nothing overlaps whatever family the reader has. No line runs through a
// text, no two texts overlap, and every conductor has both ends on something: the tests
// hold the layout to this, on the boat shed and on wirings thrown together at random.
//
// # Order
//
// A picture depends on nothing but its wiring and its options, and is the same to the
// byte each time. It keeps the order of the job: cables, splices and devices as they
// were written down, conductors as the cable is made up.
//
// # What it does not do
//
// It judges nothing, and draws a wrong wiring as readily as a right one. A picture is
// a statement about a drawing. Before anyone touches the wiring: de-energize, lock out
// and tag, and prove the tester before and after; the picture of a box says so too.
package draw
