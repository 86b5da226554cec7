package netgen

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// sketch is a net under construction.
type sketch struct {
	spec   Spec
	limits Limits
	choose func(n int) int

	states  int // product of positions so far
	loads   int // loads so far, internal ones included
	counter int // for names
	custom  int // for names of kinds
}

// pick returns a choice from 0 to n-1; of one or none it is 0.
func (s *sketch) pick(n int) int {
	if n <= 1 {
		return 0
	}
	return s.choose(n)
}

// chance reports true in one of n cases, and false as the simplest choice.
func (s *sketch) chance(n int) bool { return s.pick(n) == n-1 }

// name returns a new name. Its first letter is a choice, so that the order of
// names is not the order along the wiring.
func (s *sketch) name(stem string) string {
	s.counter++
	return fmt.Sprintf("%s%s%d", []string{"", "b-", "z-"}[s.pick(3)], stem, s.counter)
}

// room reports whether a device of the kind stays within the limits.
func (s *sketch) room(kinds ...switchnet.Kind) bool {
	states, loads := s.states, s.loads
	for _, k := range kinds {
		states *= len(k.Positions)
		loads += len(k.Internal)
		if states > s.limits.States || loads > s.limits.Loads {
			return false
		}
	}
	return len(s.spec.Devices)+len(kinds) <= s.limits.Devices
}

// device adds a device in a place of its own.
func (s *sketch) device(k switchnet.Kind) switchnet.Ref {
	r := switchnet.Ref{Place: s.name("box"), Name: "sw"}
	s.spec.Devices = append(s.spec.Devices, switchnet.Device{Ref: r, Kind: k})
	s.states *= len(k.Positions)
	s.loads += len(k.Internal)
	return r
}

func (s *sketch) roomForLoads(n int) bool { return s.loads+n <= s.limits.Loads }

// load adds a lamp and returns its ends.
func (s *sketch) load() [2]switchnet.Terminal {
	l := switchnet.Load{Ref: switchnet.Ref{Place: s.name("lamp"), Name: "lamp"}, Rated: 120 * quantity.Volt}
	s.spec.Loads = append(s.spec.Loads, l)
	s.loads++
	return l.Terminals()
}

// conductor adds a conductor, but not from a terminal to itself.
func (s *sketch) conductor(from, to switchnet.Terminal) {
	if from != to {
		s.spec.Conductors = append(s.spec.Conductors, switchnet.Conductor{Name: s.name("c"), From: from, To: to})
	}
}

// point adds a conductor end in a box.
func (s *sketch) point(place string) switchnet.Terminal {
	s.counter++
	t := switchnet.Terminal{Place: place, Device: "cable", Name: fmt.Sprintf("end %d", s.counter)}
	s.spec.Points = append(s.spec.Points, t)
	return t
}

// run joins two terminals: by one conductor, or by two that meet in a box on the
// way.
func (s *sketch) run(from, to switchnet.Terminal) {
	if !s.chance(4) {
		s.conductor(from, to)
		return
	}
	place := s.name("box")
	a, b := s.point(place), s.point(place)
	s.conductor(from, a)
	s.conductor(b, to)
	s.splice(place, a, b)
}

func (s *sketch) splice(place string, ts ...switchnet.Terminal) {
	s.spec.Splices = append(s.spec.Splices, switchnet.Splice{Ref: switchnet.Ref{Place: place, Name: s.name("s")}, Joins: ts})
}

// join joins terminals, in one of the ways in which it is done: from one to the
// next, all in one splice, by pigtails to a splice, or by two boxes with a run
// between them.
func (s *sketch) join(ts ...switchnet.Terminal) {
	if len(ts) < 2 {
		return
	}
	if len(ts) == 2 {
		s.run(ts[0], ts[1])
		return
	}
	switch s.pick(4) {
	case 0:
		for i := range ts[1:] {
			s.conductor(ts[i], ts[i+1])
		}
	case 1:
		s.splice(s.name("box"), ts...)
	case 2:
		place := s.name("box")
		ends := make([]switchnet.Terminal, len(ts))
		for i, t := range ts {
			ends[i] = s.point(place)
			s.conductor(t, ends[i])
		}
		s.splice(place, ends...)
	case 3:
		half := len(ts) / 2
		s.join(ts[:half]...)
		s.join(ts[half:]...)
		s.run(ts[0], ts[half])
	}
}
