package wiring

import (
	"errors"
	"fmt"
	"slices"
)

// An Edit is one change to a wiring, as data. Its String says in the imperative
// what a person would do. The set of edits is closed: the types of this package
// whose documentation says they are edits.
type Edit interface {
	fmt.Stringer
	apply(s *Spec) error
}

// Apply returns the wiring with the edits made one after the other. An edit that
// does not fit, such as one that releases a wire that hangs free, is an error that
// names the edit; a result that contradicts itself is [Problems], of which an index
// counts the entries after the edits. The receiver never changes. Lists keep their
// order, and what an edit adds comes last. It takes the time of [New], and for each
// edit time linear in the job.
func (w *Wiring) Apply(edits ...Edit) (*Wiring, error) {
	if err := w.Check(); err != nil {
		return nil, err
	}
	s, err := w.spec.Edited(edits...)
	if err != nil {
		return nil, err
	}
	return build(s)
}

// Edited returns a copy with the edits made one after the other, as [Wiring.Apply] does,
// and does not look whether the result contradicts itself. It is for those that try many
// edits and ask little of each. Time is linear in the job for each edit.
func (s Spec) Edited(edits ...Edit) (Spec, error) {
	s = s.Clone()
	for i, e := range edits {
		if e == nil {
			return Spec{}, fmt.Errorf("wiring: edit %d of %d is nil", i+1, len(edits))
		}
		if err := e.apply(&s); err != nil {
			return Spec{}, fmt.Errorf("wiring: cannot %s: %w", e, err)
		}
	}
	return s, nil
}

// MoveLanding is an edit that takes a wire's end from wherever it is in a box, or
// hangs, and lands it on a terminal, under its screw.
type MoveLanding struct {
	End      End
	Device   string
	Terminal string
}

func (e MoveLanding) String() string {
	return fmt.Sprintf("land %s on %s of %s", e.End, e.Terminal, e.Device)
}

func (e MoveLanding) apply(s *Spec) error {
	if i := landing(s, e.End); i >= 0 {
		// A wire that is landed already keeps its place in the list.
		s.Landings[i].Device, s.Landings[i].Terminal, s.Landings[i].PushIn = e.Device, e.Terminal, false
		return nil
	}
	release(s, e.End)
	s.Landings = append(s.Landings, Landing{Box: e.End.Box, Device: e.Device, Terminal: e.Terminal, Wire: e.End.Wire})
	return nil
}

// landing returns the index of the landing of an end, or -1.
func landing(s *Spec, e End) int {
	return slices.IndexFunc(s.Landings, func(l Landing) bool { return l.Box == e.Box && l.Wire == e.Wire })
}

// SwapLandings is an edit that exchanges the places of two landed ends in one box.
type SwapLandings struct {
	Box  string
	A, B Wire
}

func (e SwapLandings) String() string {
	return fmt.Sprintf("exchange %s and %s in box %s", e.A, e.B, e.Box)
}

func (e SwapLandings) apply(s *Spec) error {
	if e.A == e.B {
		return errors.New("they are one wire; name two")
	}
	a, b := landing(s, End{e.Box, e.A}), landing(s, End{e.Box, e.B})
	var missing []error
	for i, wire := range []Wire{e.A, e.B} {
		if []int{a, b}[i] < 0 {
			missing = append(missing, fmt.Errorf("%s is landed on no terminal of that box; land it first", wire))
		}
	}
	if len(missing) > 0 {
		return errors.Join(missing...)
	}
	s.Landings[a].Wire, s.Landings[b].Wire = s.Landings[b].Wire, s.Landings[a].Wire
	return nil
}

// Release is an edit that takes a wire's end off its terminal, out of its splice or
// from under its cap and leaves it hanging.
type Release struct{ End End }

func (e Release) String() string { return fmt.Sprintf("take %s off", e.End) }

func (e Release) apply(s *Spec) error {
	if !release(s, e.End) {
		return errors.New("it is landed, spliced or capped nowhere in that box; name a wire that is")
	}
	return nil
}

// release takes an end away from wherever it is and reports whether it was
// anywhere. A splice that loses its last joint goes with it.
func release(s *Spec, e End) bool {
	found := false
	if i := landing(s, e); i >= 0 {
		s.Landings = slices.Delete(s.Landings, i, i+1)
		found = true
	}
	s.Caps = slices.DeleteFunc(s.Caps, func(c Cap) bool {
		hit := c.Box == e.Box && c.Wire == e.Wire
		found = found || hit
		return hit
	})
	return leave(s, e.Box, map[Joint]bool{{Wire: e.Wire}: true}, -1) || found
}

// leave takes joints out of every splice of a box but one, and reports whether any
// was in one. A splice that loses its last joint goes with it.
func leave(s *Spec, box string, out map[Joint]bool, but int) bool {
	found := false
	for i := range s.Splices {
		sp := &s.Splices[i]
		if sp.Box != box || i == but {
			continue
		}
		n := len(sp.Join)
		sp.Join = slices.DeleteFunc(sp.Join, func(j Joint) bool { return out[j] })
		found = found || len(sp.Join) < n
	}
	if found {
		s.Splices = slices.DeleteFunc(s.Splices, func(sp Splice) bool { return sp.Box == box && len(sp.Join) == 0 })
	}
	return found
}

// CapEnd is an edit that takes a wire's end off and caps it.
type CapEnd struct{ End End }

func (e CapEnd) String() string { return fmt.Sprintf("cap %s", e.End) }

func (e CapEnd) apply(s *Spec) error {
	if slices.Contains(s.Caps, Cap(e.End)) {
		return errors.New("it is capped already; nothing is to be done")
	}
	release(s, e.End)
	s.Caps = append(s.Caps, Cap{e.End.Box, e.End.Wire})
	return nil
}

// list returns joints as they are read out, "C1.white, C2.white and lamp.neutral".
func list(joints []Joint) string {
	out := ""
	for i, j := range joints {
		switch {
		case i > 0 && i == len(joints)-1:
			out += " and "
		case i > 0:
			out += ", "
		}
		out += j.String()
	}
	return out
}
