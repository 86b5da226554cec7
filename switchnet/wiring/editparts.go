package wiring

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// Cut is an edit that breaks a wire along its run.
type Cut struct{ Wire Wire }

func (e Cut) String() string { return fmt.Sprintf("cut %s", e.Wire) }

func (e Cut) apply(s *Spec) error {
	if slices.Contains(s.Opens, e.Wire) {
		return errors.New("it is open already; nothing is to be done")
	}
	s.Opens = append(s.Opens, e.Wire)
	return nil
}

// Mend is an edit that makes an open wire whole.
type Mend struct{ Wire Wire }

func (e Mend) String() string { return fmt.Sprintf("make %s whole", e.Wire) }

func (e Mend) apply(s *Spec) error {
	at := slices.Index(s.Opens, e.Wire)
	if at < 0 {
		return errors.New("it is not open; name a wire that is")
	}
	s.Opens = slices.Delete(s.Opens, at, at+1)
	return nil
}

// ReplaceDevice is an edit that puts another kind of device in the place of one.
// What is on a terminal stays on the terminal of the same name; Rename maps the
// others from old to new. What becomes the same by that, joints of a splice, ties or
// jumpers, is listed once.
type ReplaceDevice struct {
	Device switchnet.Ref
	Kind   switchnet.Kind
	Rename map[string]string
}

func (e ReplaceDevice) String() string {
	return fmt.Sprintf("replace %s with a %s", e.Device, e.Kind.Name)
}

func (e ReplaceDevice) apply(s *Spec) error {
	at := slices.IndexFunc(s.Devices, func(d Device) bool { return d.ref() == e.Device })
	if at < 0 {
		return errors.New("there is no such device; name one by its box and its name")
	}
	for _, old := range slices.Sorted(maps.Keys(e.Rename)) {
		if had := s.Devices[at].Kind.Terminals; old != "ground" && !slices.Contains(had, old) {
			return fmt.Errorf("it has no terminal %q to rename; it has %q", old, had)
		}
	}
	s.Devices[at].Kind = e.Kind.Clone()
	// What the new one is marked for is not known.
	s.Devices[at].Rating, s.Devices[at].LeastLoad, s.Devices[at].MostLoad = 0, 0, 0
	name := func(t string) string {
		if n, ok := e.Rename[t]; ok {
			return n
		}
		return t
	}
	joint := func(j *Joint) {
		if j.Device == e.Device.Name {
			j.Terminal = name(j.Terminal)
		}
	}
	for i, l := range s.Landings {
		if l.Box == e.Device.Place && l.Device == e.Device.Name {
			s.Landings[i].Terminal = name(l.Terminal)
		}
	}
	for i := range s.Splices {
		sp := &s.Splices[i]
		if sp.Box != e.Device.Place {
			continue
		}
		for k := range sp.Join {
			joint(&sp.Join[k])
		}
		sp.Join = once(sp.Join)
	}
	for i := range s.Ties {
		if t := &s.Ties[i]; t.Box == e.Device.Place {
			joint(&t.A)
			joint(&t.B)
		}
	}
	ties := map[Tie]bool{}
	s.Ties = slices.DeleteFunc(s.Ties, func(t Tie) bool { return t.A == t.B || again(ties, t.sorted()) })
	onceJumpers(s, e.Device.Place)
	for i := range s.Lights {
		if l := &s.Lights[i]; l.Box == e.Device.Place && l.On == e.Device.Name {
			l.Ends = [2]string{name(l.Ends[0]), name(l.Ends[1])}
		}
	}
	return nil
}

// once returns the joints without those that come again.
func once(join []Joint) []Joint {
	seen := make(map[Joint]bool, len(join))
	return slices.DeleteFunc(join, func(j Joint) bool { return again(seen, j) })
}

// onceJumpers takes out the splices of a box that have no wire and join what another
// such splice joins already.
func onceJumpers(s *Spec, box string) {
	jumpers := map[string]bool{}
	s.Splices = slices.DeleteFunc(s.Splices, func(sp Splice) bool {
		wire := slices.ContainsFunc(sp.Join, func(j Joint) bool { return j.Device == "" })
		return sp.Box == box && !wire && again(jumpers, sp.name())
	})
}

// again reports whether a key was seen before, and notes it.
func again[K comparable](seen map[K]bool, key K) bool {
	was := seen[key]
	seen[key] = true
	return was
}

// Remark is an edit that re-marks a wire's end; the zero colour takes a marking
// off.
type Remark struct {
	End End
	As  conductor.Colour
}

func (e Remark) String() string {
	if e.As == (conductor.Colour{}) {
		return fmt.Sprintf("take the marking off %s", e.End)
	}
	return fmt.Sprintf("re-mark %s as %s", e.End, e.As)
}

func (e Remark) apply(s *Spec) error {
	at := slices.IndexFunc(s.Marks, func(m Mark) bool { return m.Box == e.End.Box && m.Wire == e.End.Wire })
	switch off := e.As == (conductor.Colour{}); {
	case off && at < 0:
		return errors.New("it is not marked; name an end that is")
	case off:
		s.Marks = slices.Delete(s.Marks, at, at+1)
	case at >= 0:
		s.Marks[at].As = e.As
	default:
		s.Marks = append(s.Marks, Mark{e.End.Box, e.End.Wire, e.As})
	}
	return nil
}

// ChangeCable is an edit that makes a cable another type, or another length if
// Length is set. Marks, tags and breaks of conductors that the new type lacks go
// with them, and so does what was measured at a cable that is another now: where it is
// supported and how far it reaches into its boxes. Ends that are landed, spliced, capped or tied must be released before.
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
		return errors.New("there is no such cable; name one of the job")
	}
	if c := &s.Cables[at]; c.Type.Name != e.Type.Name || e.Length != 0 && c.Length != e.Length {
		c.Entries, c.Apart = [2]Entry{}, 0
	}
	s.Cables[at].Type = e.Type
	s.Cables[at].Type.Cores = slices.Clone(e.Type.Cores)
	if e.Length != 0 {
		s.Cables[at].Length = e.Length
	}
	kept := conductorNames(e.Type)
	gone := func(w Wire) bool { return w.Cable == e.Name && !slices.Contains(kept, w.Conductor) }
	s.Marks = slices.DeleteFunc(s.Marks, func(m Mark) bool { return gone(m.Wire) })
	s.Tags = slices.DeleteFunc(s.Tags, func(t Tag) bool { return gone(t.Wire) })
	s.Opens = slices.DeleteFunc(s.Opens, gone)
	return nil
}
