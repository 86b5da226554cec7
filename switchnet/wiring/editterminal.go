package wiring

import (
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
)

// SwapTerminals is an edit that exchanges what is on two terminals of one box, of one
// device or of two: the wires landed on them, and the splices their pigtails or leads
// are in. What is plugged in, and what touches, stays where it is.
type SwapTerminals struct {
	Box  string
	A, B Joint // both terminals
}

func (e SwapTerminals) String() string {
	return fmt.Sprintf("exchange what is on %s and %s in box %s", e.A, e.B, e.Box)
}

func (e SwapTerminals) apply(s *Spec) error {
	switch {
	case e.A == e.B:
		return errors.New("they are one terminal; name two")
	case e.A.Device == "" || e.B.Device == "":
		return errors.New("one of them is a wire; name two terminals")
	}
	found := moveTerminals(s, e.Box, map[Joint]Joint{e.A: e.B, e.B: e.A})
	if !found {
		return errors.New("nothing is on either; name terminals that are used")
	}
	return nil
}

// MovePigtail is an edit that takes everything that is on one terminal of a box, wires
// and splices, to another that may have something on it already.
type MovePigtail struct {
	Box      string
	From, To Joint // both terminals
}

func (e MovePigtail) String() string {
	return fmt.Sprintf("take what is on %s to %s in box %s", e.From, e.To, e.Box)
}

func (e MovePigtail) apply(s *Spec) error {
	switch {
	case e.From == e.To:
		return errors.New("they are one terminal; name two")
	case e.From.Device == "" || e.To.Device == "":
		return errors.New("one of them is a wire; name two terminals")
	}
	if !moveTerminals(s, e.Box, map[Joint]Joint{e.From: e.To}) {
		return errors.New("nothing is on it; name a terminal that is used")
	}
	return nil
}

// moveTerminals puts what is on some terminals of a box on others, and reports whether
// there was anything. A splice that would hold a terminal twice holds it once.
func moveTerminals(s *Spec, box string, to map[Joint]Joint) bool {
	found := false
	for i := range s.Landings {
		l := &s.Landings[i]
		if l.Box != box {
			continue
		}
		if j, ok := to[Joint{Device: l.Device, Terminal: l.Terminal}]; ok {
			l.Device, l.Terminal = j.Device, j.Terminal
			found = true
		}
	}
	for i := range s.Splices {
		sp := &s.Splices[i]
		if sp.Box != box {
			continue
		}
		for k, j := range sp.Join {
			if other, ok := to[j]; ok {
				sp.Join[k] = other
				found = true
			}
		}
		sp.Join = once(sp.Join)
	}
	onceJumpers(s, box)
	return found
}

// ClearTerminal is an edit that takes everything off a terminal of a device, light or
// feed: its wires are left hanging, and its pigtail leaves the splices it is in.
type ClearTerminal struct {
	Of       switchnet.Ref
	Terminal string
}

func (e ClearTerminal) String() string {
	return fmt.Sprintf("take everything off %s of %s", e.Terminal, e.Of)
}

func (e ClearTerminal) apply(s *Spec) error {
	n := len(s.Landings)
	s.Landings = slices.DeleteFunc(s.Landings, func(l Landing) bool {
		return l.Box == e.Of.Place && l.Device == e.Of.Name && l.Terminal == e.Terminal
	})
	left := leave(s, e.Of.Place, map[Joint]bool{{Device: e.Of.Name, Terminal: e.Terminal}: true}, -1)
	if !left && len(s.Landings) == n {
		return errors.New("nothing is on it; name a terminal that is used")
	}
	return nil
}

// SwapWires is an edit that exchanges the places of two wire ends in one box, wherever
// either is: on a terminal, in a splice, under a cap, or hanging.
type SwapWires struct {
	Box  string
	A, B Wire
}

func (e SwapWires) String() string {
	return fmt.Sprintf("exchange the ends of %s and %s in box %s", e.A, e.B, e.Box)
}

func (e SwapWires) apply(s *Spec) error {
	if e.A == e.B {
		return errors.New("they are one wire; name two")
	}
	found := false
	other := func(box string, w *Wire) {
		switch {
		case box != e.Box:
		case *w == e.A:
			*w, found = e.B, true
		case *w == e.B:
			*w, found = e.A, true
		}
	}
	for i := range s.Landings {
		other(s.Landings[i].Box, &s.Landings[i].Wire)
	}
	for i := range s.Splices {
		for k := range s.Splices[i].Join {
			if s.Splices[i].Join[k].Device == "" {
				other(s.Splices[i].Box, &s.Splices[i].Join[k].Wire)
			}
		}
	}
	for i := range s.Caps {
		other(s.Caps[i].Box, &s.Caps[i].Wire)
	}
	if !found {
		return errors.New("neither is landed, spliced or capped in that box; name wires that are")
	}
	return nil
}
