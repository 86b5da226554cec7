package identify

import "slices"

// vague reports whether a box is one in which somebody worked, and that is not apart yet.
// What is joined there is not what a scheme has joined.
func (s *Session) vague(box int) bool {
	return s.stage[box] != Parted && slices.Contains(s.c.opt.Disturbed, s.c.sp.open[box])
}

// vagueBoxes returns the boxes that are vague, as a set of places.
func (s *Session) vagueBoxes() uint64 {
	set := uint64(0)
	for i := range s.stage {
		if s.vague(i) {
			set |= placeSet(i)
		}
	}
	return set
}

// A Dropped is an observation of which something had to be left out of account, since it
// was measured while a box in which somebody had worked was not apart: what is joined
// there nobody knows, and so neither what may have led through it.
type Dropped struct {
	Entry int // in the log
	// Boxes are those boxes, in name order.
	Boxes []string
	// Wholly says that nothing of it counts: under all that remained when it was made it
	// may have led through one of them. Otherwise it counts for the rest.
	Wholly bool
}

// Dropped returns the observations of which something had to be left out of account, in
// the order of the log. Measured once more with those boxes apart they would count.
func (s *Session) Dropped() []Dropped {
	out := slices.Clone(s.dropped)
	for i := range out {
		out[i].Boxes = slices.Clone(out[i].Boxes)
	}
	return out
}

// drop notes whether something of an observation has to be left out of account, by what
// remains before it is taken.
func (s *Session) drop(j judge) {
	if j.vague == nil {
		return
	}
	some, all := false, true
	for i := range s.weight {
		if s.remains(i) {
			v := j.vague(i)
			some, all = some || v, all && v
		}
	}
	if !some {
		return
	}
	d := Dropped{Entry: len(s.log), Wholly: all}
	for i, name := range s.c.sp.open {
		if s.vague(i) {
			d.Boxes = append(d.Boxes, name)
		}
	}
	s.dropped = append(s.dropped, d)
}

// A meterView is the circuits of all possibilities as a meter finds them, with the vague
// boxes as if they were apart.
type meterView struct {
	*view
	sp    *space
	vague uint64 // the vague boxes
}

// meter returns what a meter finds now, with ends twisted together.
func (s *Session) meter(ties [][2]int) meterView {
	m := meterView{sp: s.c.sp, vague: s.vagueBoxes()}
	stage := slices.Clone(s.stage)
	for i := range stage {
		if m.vague&placeSet(i) != 0 {
			stage[i] = Parted
		}
	}
	m.view = s.viewOf(setup{stage, ties})
	return m
}

// leads reports whether something that a load or a switch may join with a vertex is in a
// vague box.
func (m meterView) leads(c *circuit, vertex int) bool {
	for e, at := range m.sp.at {
		if m.vague&placeSet(at) != 0 && c.group[e] == c.group[vertex] {
			return true
		}
	}
	return false
}

// pathVague reports whether what an ohmmeter finds between two vertices may lead through
// a vague box.
func (m meterView) pathVague(i, a, b int) bool {
	if m.vague == 0 {
		return false
	}
	c := m.of(i)
	return c.comp[a] != c.comp[b] && m.leads(c, a) && m.leads(c, b)
}

// voltsVague reports whether what a voltmeter shows between two vertices, the feeds of a
// set off, may depend on what is joined in a vague box: whether one that no rail holds
// leads there.
func (m meterView) voltsVague(i, a, b int, off uint16) bool {
	if m.vague == 0 {
		return false
	}
	c := m.of(i)
	if c.comp[a] == c.comp[b] {
		return false
	}
	for _, v := range []int{a, b} {
		if k := c.comp[v]; k != c.bar && c.hot[k]&^off == 0 && m.leads(c, v) {
			return true
		}
	}
	return false
}
