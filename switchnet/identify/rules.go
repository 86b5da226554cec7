package identify

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// forbids returns the rule that an action breaks.
func (s *Session) forbids(a Action) error {
	broken := func(r trace.Rule) error { return &trace.Broken{Rule: r, What: a.String()} }
	switch {
	case s.brittle != "" && a.Do != LockOut && a.Do != FindBrittle && a.Do != TakeLeads:
		return broken(trace.BrittleEnds)
	case a.Do == ProveDead && !s.locked:
		return broken(trace.LockedOut)
	// What was proven dead is no longer so once it is energized.
	case (a.Do == TakeOff || a.Do == TakeApart) && !s.dead[a.Box]:
		return broken(trace.ProvenDead)
	case a.Do == PartEnds && !s.locked:
		return broken(trace.LockedOut)
	case a.Do == PartEnds && !s.dead[a.Box]:
		return broken(trace.ProvenDead)
	case a.Do == Energize && s.tripped:
		return broken(trace.OneTrip)
	case a.Do == Energize && s.leads:
		return broken(trace.LeadsOff)
	case a.Do == Energize && len(s.tied) > 0:
		if i := s.boltedUnder(s.tied); i >= 0 {
			return s.bolted(i, a.String())
		}
	}
	return nil
}

// refuses returns the rule that an observation breaks.
func (s *Session) refuses(e Entry) error {
	broken := func(r trace.Rule) error { return &trace.Broken{Rule: r, What: e.Of.String()} }
	switch o := e.Of.(type) {
	case Reading:
		black := s.c.sp.vertex(o.Black, &trace.Errors{})
		if black == len(s.c.sp.ends) {
			if s.bonded(o.Black.Place) && !s.otherReference(o.Black.Place) {
				return broken(trace.ProvenBond)
			}
			if !s.proven[o.Black.String()] {
				return broken(trace.ProvenReference)
			}
		} else if !s.anyReference() {
			// Between two conductors there is no reference; the tester is proven all the same.
			return broken(trace.ProvenReference)
		}
	case Reference:
		if s.bonded(o.Point.Place) && !s.otherReference(o.Point.Place) {
			return broken(trace.ProvenBond)
		}
	}
	if o, ok := e.Of.(Continuity); ok {
		for _, p := range o.Between {
			if p != Outside() && s.c.sp.ground(p) && !s.good[p.String()] {
				return broken(trace.ProvenReference)
			}
		}
	}
	if e.Earlier {
		return nil
	}
	if s.brittle != "" {
		return broken(trace.BrittleEnds)
	}
	switch o := e.Of.(type) {
	case Reading, Reference, Obeys:
		switch {
		case s.tripped:
			return broken(trace.OneTrip)
		case s.locked:
			if _, is := o.(Obeys); is {
				return trace.Errors{{Where: "Entry.Of", Detail: "every circuit is locked out: what the lights did before that is an earlier observation; do not energize open boxes to see it"}}
			}
			return trace.Errors{{Where: "Entry.Of", Detail: "every circuit is locked out; energize before reading volts"}}
		}
		if r, ok := o.(Reading); ok {
			if i := s.boltedUnder(r.Tied); i >= 0 {
				return s.bolted(i, o.String())
			}
		}
	case Continuity:
		if !s.locked {
			return broken(trace.LockedOut)
		}
		boxes := []string{o.Between[0].Place, o.Between[1].Place}
		for _, t := range o.Tied {
			boxes = append(boxes, t[0].Box)
		}
		for _, b := range boxes {
			if b != "" && !s.dead[b] {
				return broken(trace.ProvenDead)
			}
		}
	case InBox:
		if at, _ := slices.BinarySearch(s.c.sp.open, o.Box); s.stage[at] == Parted || s.stage[at] == Released && len(o.Screws) > 0 {
			return trace.Errors{{Where: "Entry.Of", Detail: fmt.Sprintf("box %s is %v: what was seen there before is recalled, as an earlier observation", o.Box, s.stage[at])}}
		}
	}
	return nil
}

// bonded reports whether what is grounded in a box may be no better than the bond of the
// metal box.
func (s *Session) bonded(box string) bool { return s.c.sp.box[box].Metal }

// otherReference reports whether a reference is proven that is in no metal box, or in
// another one.
func (s *Session) otherReference(box string) bool {
	for _, p := range s.references() {
		if p.Place != box {
			return true
		}
	}
	return false
}

func (s *Session) anyReference() bool { return len(s.references()) > 0 }

// boltedUnder returns the likeliest remaining possibility under which it would be a bolted fault to
// energize with ends twisted together, or could be through a switch or in a box in which
// somebody worked; -1 if none is.
func (s *Session) boltedUnder(tied [][2]wiring.End) int {
	if len(tied) == 0 {
		return -1
	}
	ties := s.c.sp.tieEnds(tied, &trace.Errors{})
	view := s.view(ties)
	vague := s.vagueBoxes() != 0 // anything may be joined there
	worst := -1
	for i := range s.weight {
		if s.remains(i) && (worst < 0 || s.weight[i] > s.weight[worst]) && (vague || s.c.switches(i, s.stage) || s.c.sp.bolted(view.of(i))) {
			worst = i
		}
	}
	return worst
}

// switches reports whether a switch that still stands in its box could join what is
// twisted together with something else.
func (c *Case) switches(i int, stage []Stage) bool {
	for _, p := range c.all[i].frame.plans {
		for _, at := range p.order {
			if at >= len(stage) || stage[at] == Found {
				return true
			}
		}
	}
	return false
}

// remains reports whether a possibility counts as remaining.
func (s *Session) remains(i int) bool { return s.credit[i]*remains >= 1 && s.weight[i] > 0 }

// bolted is the refusal of what would be a bolted fault under a possibility.
func (s *Session) bolted(i int, what string) error {
	return &Bolted{trace.Broken{Rule: trace.BoltedFault, What: what}, s.c.plans(i), s.uses([]int{i}, 0)}
}
