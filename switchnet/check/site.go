package check

import (
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet/wiring"
)

// A Site is what rules of a region ask about the building and no wiring says. What is
// not stated is not asked about: the rules that need it keep silent.
type Site struct {
	// Rooms say what kind of room a box is in, in a word of the region's rules:
	// "bathroom", "bedroom", "hallway".
	Rooms []Room
	// Stairs are the stairways.
	Stairs []Stair
	// Protected say which protection a circuit has.
	Protected []Protected
	// Notices are the boxes on which a notice says that two systems of colours meet.
	Notices []string
}

// A Room says in what kind of room a box is, or what it lights.
type Room struct {
	Box  string
	Kind string
}

// A Stair is a stairway between two levels.
type Stair struct {
	Name   string
	Risers int
	// Levels are at least two boxes, one at each floor level that it joins and at
	// each landing with an entry.
	Levels []string
	// Lights are the lights of the stairway.
	Lights []string
}

// Protected says that a circuit has an added protection along its whole length.
type Protected struct {
	Feed string
	By   conductor.ProtectionKind
}

// check returns what in the site is not in the wiring, all of it.
func (s *Site) check(w *wiring.Wiring) error {
	if len(s.Rooms)+len(s.Stairs)+len(s.Protected)+len(s.Notices) == 0 {
		return nil
	}
	spec := w.Spec()
	var errs []error
	box := func(what, name string) {
		if !slices.ContainsFunc(spec.Boxes, func(b wiring.Box) bool { return b.Name == name }) {
			errs = append(errs, fmt.Errorf("check: %s names box %q, which the wiring does not have", what, name))
		}
	}
	for _, r := range s.Rooms {
		box("a room of the site", r.Box)
	}
	for _, b := range s.Notices {
		box("a notice of the site", b)
	}
	for _, st := range s.Stairs {
		what := fmt.Sprintf("stair %q of the site", st.Name)
		if st.Risers < 1 {
			errs = append(errs, fmt.Errorf("check: %s has %d risers; state how many there are", what, st.Risers))
		}
		if len(st.Levels) < 2 {
			errs = append(errs, fmt.Errorf("check: %s has %d levels; name a box at each of two or more", what, len(st.Levels)))
		}
		for _, b := range st.Levels {
			box(what, b)
		}
		for _, l := range st.Lights {
			if !slices.ContainsFunc(spec.Lights, func(v wiring.Light) bool { return v.Name == l }) {
				errs = append(errs, fmt.Errorf("check: %s names light %q, which the wiring does not have", what, l))
			}
		}
	}
	for _, p := range s.Protected {
		if !slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.Name == p.Feed }) {
			errs = append(errs, fmt.Errorf("check: a protection of the site names feed %q, which the wiring does not have", p.Feed))
		}
		if _, err := p.By.MarshalText(); err != nil {
			errs = append(errs, fmt.Errorf("check: the protection of feed %q is of no kind: %w", p.Feed, err))
		}
	}
	return errors.Join(errs...)
}
