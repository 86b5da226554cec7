package wiring

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// An Edit is one change to a wiring, as data. Its String says in the imperative
// what a person would do. The set of edits is closed: the types of this package
// whose documentation says they are edits.
type Edit interface {
	fmt.Stringer
	apply(s *Spec) error
}

// Apply returns the wiring with the edits made one after the other. An edit that
// does not fit, such as one that moves a wire that is not there, or a result that
// contradicts itself, is an error; the receiver never changes.
func (w *Wiring) Apply(edits ...Edit) (*Wiring, error) {
	s := w.spec.Clone()
	for _, e := range edits {
		if err := e.apply(&s); err != nil {
			return nil, fmt.Errorf("wiring: cannot %s: %w", e, err)
		}
	}
	return New(s)
}

// MoveLanding is an edit that takes a wire's end from wherever it is in a box and
// lands it on a terminal.
type MoveLanding struct {
	End      End
	Device   string
	Terminal string
}

func (e MoveLanding) String() string {
	return fmt.Sprintf("land %s in box %s on %s of %s", e.End.Wire, e.End.Box, e.Terminal, e.Device)
}

func (e MoveLanding) apply(s *Spec) error {
	for i, l := range s.Landings {
		// A wire that is landed already keeps its place in the list.
		if l.Box == e.End.Box && l.Wire == e.End.Wire {
			s.Landings[i].Device, s.Landings[i].Terminal = e.Device, e.Terminal
			return nil
		}
	}
	release(s, e.End)
	s.Landings = append(s.Landings, Landing{e.End.Box, e.Device, e.Terminal, e.End.Wire})
	return nil
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
	a := slices.IndexFunc(s.Landings, func(l Landing) bool { return l.Box == e.Box && l.Wire == e.A })
	b := slices.IndexFunc(s.Landings, func(l Landing) bool { return l.Box == e.Box && l.Wire == e.B })
	if a < 0 || b < 0 {
		return fmt.Errorf("both must be landed on terminals of that box")
	}
	s.Landings[a].Wire, s.Landings[b].Wire = s.Landings[b].Wire, s.Landings[a].Wire
	return nil
}

// Release is an edit that takes a wire's end off its terminal, out of its splice or
// from under its cap and leaves it hanging.
type Release struct{ End End }

func (e Release) String() string {
	return fmt.Sprintf("take %s in box %s off", e.End.Wire, e.End.Box)
}

func (e Release) apply(s *Spec) error {
	if !release(s, e.End) {
		return fmt.Errorf("it is landed, spliced or capped nowhere in that box")
	}
	return nil
}

// release takes an end away from wherever it is and reports whether it was
// anywhere. A splice that loses its last joint goes with it.
func release(s *Spec, e End) bool {
	found := false
	s.Landings = slices.DeleteFunc(s.Landings, func(l Landing) bool {
		hit := l.Box == e.Box && l.Wire == e.Wire
		found = found || hit
		return hit
	})
	s.Caps = slices.DeleteFunc(s.Caps, func(c Cap) bool {
		hit := c.Box == e.Box && c.Wire == e.Wire
		found = found || hit
		return hit
	})
	for i := range s.Splices {
		if s.Splices[i].Box == e.Box {
			n := len(s.Splices[i].Join)
			s.Splices[i].Join = slices.DeleteFunc(s.Splices[i].Join, func(j Joint) bool { return j == Joint{Wire: e.Wire} })
			found = found || len(s.Splices[i].Join) < n
		}
	}
	s.Splices = slices.DeleteFunc(s.Splices, func(sp Splice) bool { return sp.Box == e.Box && len(sp.Join) == 0 })
	return found
}

// JoinSplice is an edit that puts joints together in one splice of a box. What of
// them is a wire leaves the place it had; a splice that holds the first joint
// already takes the others in.
type JoinSplice struct {
	Box  string
	Join []Joint
}

func (e JoinSplice) String() string {
	return fmt.Sprintf("splice %s together in box %s", list(e.Join), e.Box)
}

func (e JoinSplice) apply(s *Spec) error {
	if len(e.Join) == 0 {
		return fmt.Errorf("it joins nothing")
	}
	at := -1
	for i := range s.Splices {
		if s.Splices[i].Box == e.Box && slices.Contains(s.Splices[i].Join, e.Join[0]) {
			at = i
			break
		}
	}
	rest := e.Join
	var join []Joint
	if at >= 0 {
		join, rest = slices.Clone(s.Splices[at].Join), e.Join[1:]
	}
	for _, j := range rest {
		if slices.Contains(join, j) {
			continue
		}
		join = append(join, j)
	}
	box := e.Box
	for _, j := range join {
		if j.Device == "" {
			// Releasing may delete the splice; it is put back below.
			release(s, End{box, j.Wire})
		}
	}
	s.Splices = slices.DeleteFunc(s.Splices, func(sp Splice) bool {
		return sp.Box == box && slices.ContainsFunc(sp.Join, func(j Joint) bool { return j == e.Join[0] })
	})
	s.Splices = append(s.Splices, Splice{box, join})
	return nil
}

// SplitSplice is an edit that takes joints out of their splice and joins them in a
// splice of their own.
type SplitSplice struct {
	Box string
	Out []Joint
}

func (e SplitSplice) String() string {
	return fmt.Sprintf("take %s out of the splice in box %s and splice it apart", list(e.Out), e.Box)
}

func (e SplitSplice) apply(s *Spec) error {
	if len(e.Out) == 0 {
		return fmt.Errorf("it takes nothing out")
	}
	at := slices.IndexFunc(s.Splices, func(sp Splice) bool {
		return sp.Box == e.Box && slices.Contains(sp.Join, e.Out[0])
	})
	if at < 0 {
		return fmt.Errorf("%s is in no splice of that box", e.Out[0])
	}
	join := s.Splices[at].Join
	for _, j := range e.Out {
		if !slices.Contains(join, j) {
			return fmt.Errorf("%s is not in the splice of %s", j, e.Out[0])
		}
	}
	if len(e.Out) >= len(join) {
		return fmt.Errorf("nothing would be left of the splice")
	}
	s.Splices[at].Join = slices.DeleteFunc(slices.Clone(join), func(j Joint) bool { return slices.Contains(e.Out, j) })
	s.Splices = append(s.Splices, Splice{e.Box, slices.Clone(e.Out)})
	return nil
}

// CapEnd is an edit that takes a wire's end off and caps it.
type CapEnd struct{ End End }

func (e CapEnd) String() string { return fmt.Sprintf("cap %s in box %s", e.End.Wire, e.End.Box) }

func (e CapEnd) apply(s *Spec) error {
	release(s, e.End)
	s.Caps = append(s.Caps, Cap{e.End.Box, e.End.Wire})
	return nil
}

// Cut is an edit that breaks a wire along its run.
type Cut struct{ Wire Wire }

func (e Cut) String() string { return fmt.Sprintf("cut %s", e.Wire) }

func (e Cut) apply(s *Spec) error {
	if slices.Contains(s.Opens, e.Wire) {
		return fmt.Errorf("it is open already")
	}
	s.Opens = append(s.Opens, e.Wire)
	return nil
}

// Mend is an edit that makes an open wire whole.
type Mend struct{ Wire Wire }

func (e Mend) String() string { return fmt.Sprintf("make %s whole", e.Wire) }

func (e Mend) apply(s *Spec) error {
	n := len(s.Opens)
	s.Opens = slices.DeleteFunc(s.Opens, func(w Wire) bool { return w == e.Wire })
	if len(s.Opens) == n {
		return fmt.Errorf("it is not open")
	}
	return nil
}

// TieJoints is an edit that makes two things in a box touch, leaving both where
// they are.
type TieJoints Tie

func (e TieJoints) String() string {
	return fmt.Sprintf("let %s and %s touch in box %s", e.A, e.B, e.Box)
}

func (e TieJoints) apply(s *Spec) error {
	s.Ties = append(s.Ties, Tie(e))
	return nil
}

// Untie is an edit that parts what touches.
type Untie Tie

func (e Untie) String() string { return fmt.Sprintf("part %s and %s in box %s", e.A, e.B, e.Box) }

func (e Untie) apply(s *Spec) error {
	n := len(s.Ties)
	s.Ties = slices.DeleteFunc(s.Ties, func(t Tie) bool { return t.Box == e.Box && t.String() == Tie(e).String() })
	if len(s.Ties) == n {
		return fmt.Errorf("they do not touch")
	}
	return nil
}

// ReplaceDevice is an edit that puts another kind of device in the place of one.
// Landings stay on terminals of the same name; Rename maps the others from old to
// new.
type ReplaceDevice struct {
	Device switchnet.Ref
	Kind   switchnet.Kind
	Rename map[string]string
}

func (e ReplaceDevice) String() string {
	return fmt.Sprintf("replace %s with a %s", e.Device, e.Kind.Name)
}

func (e ReplaceDevice) apply(s *Spec) error {
	at := slices.IndexFunc(s.Devices, func(d Device) bool { return d.Box == e.Device.Place && d.Name == e.Device.Name })
	if at < 0 {
		return fmt.Errorf("there is no such device")
	}
	s.Devices[at].Kind = e.Kind.Clone()
	name := func(t string) string {
		if n, ok := e.Rename[t]; ok {
			return n
		}
		return t
	}
	for i, l := range s.Landings {
		if l.Box == e.Device.Place && l.Device == e.Device.Name {
			s.Landings[i].Terminal = name(l.Terminal)
		}
	}
	for i := range s.Splices {
		if s.Splices[i].Box != e.Device.Place {
			continue
		}
		for k, j := range s.Splices[i].Join {
			if j.Device == e.Device.Name {
				s.Splices[i].Join[k].Terminal = name(j.Terminal)
			}
		}
	}
	for i := range s.Lights {
		if l := &s.Lights[i]; l.Box == e.Device.Place && l.On == e.Device.Name {
			l.Ends = [2]string{name(l.Ends[0]), name(l.Ends[1])}
		}
	}
	return nil
}

// Remark is an edit that re-marks a wire's end; the zero colour takes a marking
// off.
type Remark struct {
	End End
	As  conductor.Colour
}

func (e Remark) String() string {
	if !e.As.Valid() {
		return fmt.Sprintf("take the marking off %s in box %s", e.End.Wire, e.End.Box)
	}
	return fmt.Sprintf("re-mark %s in box %s as %s", e.End.Wire, e.End.Box, e.As)
}

func (e Remark) apply(s *Spec) error {
	at := slices.IndexFunc(s.Marks, func(m Mark) bool { return m.Box == e.End.Box && m.Wire == e.End.Wire })
	switch {
	case !e.As.Valid() && at < 0:
		return fmt.Errorf("it is not marked")
	case !e.As.Valid():
		s.Marks = slices.Delete(s.Marks, at, at+1)
	case at >= 0:
		s.Marks[at].As = e.As
	default:
		s.Marks = append(s.Marks, Mark{e.End.Box, e.End.Wire, e.As})
	}
	return nil
}

// ChangeCable is an edit that makes a cable another type, or another length if
// Length is set. Ends of conductors that the new type lacks must be released
// before.
type ChangeCable struct {
	Name   string
	Type   conductor.CableType
	Length quantity.Length
}

func (e ChangeCable) String() string {
	return fmt.Sprintf("make cable %s a %s", e.Name, e.Type.Name)
}

func (e ChangeCable) apply(s *Spec) error {
	at := slices.IndexFunc(s.Cables, func(c Cable) bool { return c.Name == e.Name })
	if at < 0 {
		return fmt.Errorf("there is no such cable")
	}
	s.Cables[at].Type = e.Type
	if e.Length > 0 {
		s.Cables[at].Length = e.Length
	}
	return nil
}

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
