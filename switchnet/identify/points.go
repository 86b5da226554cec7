package identify

import (
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Outside is the point of a reference that is no part of the boxes: a long lead to a
// ground that is known.
func Outside() switchnet.Terminal {
	return switchnet.Terminal{Device: "reference", Name: "ground"}
}

// Points returns the points at which a probe can be put: the insulated conductors of the
// open boxes, their grounding conductors and the grounding screws of those of metal, each
// in the order of boxes, cables and cores, and last the reference outside.
func (c *Case) Points() []switchnet.Terminal {
	var out []switchnet.Terminal
	for _, ends := range [][]wiring.End{c.sp.ends, c.sp.grounds} {
		for _, e := range ends {
			out = append(out, switchnet.Terminal{Place: e.Box, Device: e.Wire.Cable, Name: e.Wire.Conductor})
		}
	}
	for _, b := range c.sp.open {
		if c.sp.box[b].Metal {
			out = append(out, switchnet.Terminal{Place: b, Device: "box", Name: "ground"})
		}
	}
	return append(out, Outside())
}

// vertex returns the vertex of a point: an end, or the bar for whatever is grounded.
func (sp *space) vertex(t switchnet.Terminal, errs *trace.Errors) int {
	if t == Outside() || sp.ground(t) {
		return len(sp.ends)
	}
	if e := sp.end(wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}}); e >= 0 {
		return e
	}
	add(errs, "Point", "there is no point %s in an open box; a point is a wire, the grounding screw, or the outside reference", t)
	return -1
}

// ground reports whether a point is the screw of a metal box or a grounding conductor.
func (sp *space) ground(t switchnet.Terminal) bool {
	if t.Device == "box" && t.Name == "ground" {
		_, ok := slices.BinarySearch(sp.open, t.Place)
		return ok && sp.box[t.Place].Metal
	}
	return slices.Contains(sp.grounds, wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}})
}

// end returns the number of an end, or -1.
func (sp *space) end(x wiring.End) int { return slices.Index(sp.ends, x) }

func (sp *space) unitsOf(cable string) []int {
	var out []int
	for k, u := range sp.units {
		if u.cable == cable {
			out = append(out, k)
		}
	}
	return out
}

// tieEnds returns ties as numbers.
func (sp *space) tieEnds(ties [][2]wiring.End, errs *trace.Errors) [][2]int {
	var out [][2]int
	for _, t := range ties {
		a, b := sp.end(t[0]), sp.end(t[1])
		if a < 0 || b < 0 || a == b || sp.at[max(a, 0)] != sp.at[max(b, 0)] {
			add(errs, "Tied", "%s and %s are not two conductors of one open box", t[0], t[1])
			continue
		}
		out = append(out, [2]int{min(a, b), max(a, b)})
	}
	slices.SortFunc(out, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return out
}
