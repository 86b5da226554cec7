// Package draw makes pictures of a wiring, as SVG: of a box, in which every conductor
// is followed to the screw or splice on which it ends.
//
// # Use
//
//	d := draw.New(w)
//	p, err := d.Box("slip-door", nil)
//	_, err = p.WriteTo(file) // p.Title and p.Description are its text alternative
package draw
