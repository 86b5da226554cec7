package netgen

import (
	"slices"

	"example.com/switchleg/switchnet"
)

// landing is one place in a spec where a terminal is named: an end of a conductor
// or a member of a splice.
type landing struct{ conductor, splice, index int }

func (s *sketch) landings() []landing {
	var out []landing
	for i := range s.spec.Conductors {
		out = append(out, landing{i, -1, 0}, landing{i, -1, 1})
	}
	for i, sp := range s.spec.Splices {
		for j := range sp.Joins {
			out = append(out, landing{-1, i, j})
		}
	}
	return out
}

func (s *sketch) at(l landing) *switchnet.Terminal {
	if l.conductor >= 0 {
		c := &s.spec.Conductors[l.conductor]
		if l.index == 0 {
			return &c.From
		}
		return &c.To
	}
	return &s.spec.Splices[l.splice].Joins[l.index]
}

// sound reports whether the part that holds the landing is still one that
// Build takes.
func (s *sketch) sound(l landing) bool {
	if l.conductor >= 0 {
		c := s.spec.Conductors[l.conductor]
		return c.From != c.To
	}
	joins := s.spec.Splices[l.splice].Joins
	for i, t := range joins {
		if slices.Contains(joins[:i], t) {
			return false
		}
	}
	return true
}

// terminals lists every terminal of the spec.
func (s *sketch) terminals() []switchnet.Terminal {
	var out []switchnet.Terminal
	for r := range switchnet.Rails() {
		if s.spec.Source.System.Has(r) {
			out = append(out, s.spec.Source.Rail(r))
		}
	}
	for _, d := range s.spec.Devices {
		for _, t := range d.Kind.Terminals {
			out = append(out, d.Terminal(t))
		}
	}
	for _, l := range s.spec.Loads {
		if l.On == "" {
			ends := l.Terminals()
			out = append(out, ends[0], ends[1])
		}
	}
	return append(out, s.spec.Points...)
}

func one[T any](s *sketch, list []T) T { return list[s.pick(len(list))] }

// mutate makes one mistake. A mistake that cannot be made leaves the spec as it
// was.
func (s *sketch) mutate() {
	switch s.pick(11) {
	case 0: // two landings exchanged
		all := s.landings()
		if len(all) == 0 {
			return
		}
		a, b := one(s, all), one(s, all)
		ta, tb := s.at(a), s.at(b)
		*ta, *tb = *tb, *ta
		if !s.sound(a) || !s.sound(b) {
			*ta, *tb = *tb, *ta
		}
	case 1: // any two terminals tied
		all := s.terminals()
		s.conductor(one(s, all), one(s, all))
	case 2: // a conductor open, or an end out of its splice
		all := s.landings()
		if len(all) == 0 {
			return
		}
		if l := one(s, all); l.conductor >= 0 {
			s.spec.Conductors = slices.Delete(s.spec.Conductors, l.conductor, l.conductor+1)
		} else if sp := &s.spec.Splices[l.splice]; len(sp.Joins) > 1 {
			sp.Joins = slices.Delete(sp.Joins, l.index, l.index+1)
		}
	case 3: // an end landed somewhere else
		all := s.landings()
		if len(all) == 0 {
			return
		}
		l := one(s, all)
		t := s.at(l)
		old := *t
		*t = one(s, s.terminals())
		if !s.sound(l) {
			*t = old
		}
	case 4: // a conductor doubled
		if len(s.spec.Conductors) > 0 {
			c := one(s, s.spec.Conductors)
			s.conductor(c.From, c.To)
		}
	case 5: // something tied to the ground or the neutral
		rail := s.spec.Source.Rail([]switchnet.Rail{switchnet.Ground, switchnet.Neutral}[s.pick(2)])
		s.conductor(one(s, s.terminals()), rail)
	case 6:
		s.exchange()
	case 7: // a load in the place of a conductor
		if len(s.spec.Conductors) > 0 && s.roomForLoads(1) {
			i := s.pick(len(s.spec.Conductors))
			c := s.spec.Conductors[i]
			s.spec.Conductors = slices.Delete(s.spec.Conductors, i, i+1)
			lamp := s.load()
			s.conductor(c.From, lamp[0])
			s.conductor(lamp[1], c.To)
		}
	case 8: // a load between any two terminals
		if s.roomForLoads(1) {
			all := s.terminals()
			lamp := s.load()
			s.conductor(one(s, all), lamp[0])
			s.conductor(one(s, all), lamp[1])
		}
	case 9: // two screws of one device tied: a welded or bypassed contact
		if len(s.spec.Devices) > 0 {
			d := one(s, s.spec.Devices)
			s.conductor(d.Terminal(one(s, d.Kind.Terminals)), d.Terminal(one(s, d.Kind.Terminals)))
		}
	case 10: // a piece on its own
		if k := switchnet.SinglePole(); s.room(k) && s.roomForLoads(1) {
			d, lamp := s.device(k), s.load()
			s.conductor(d.Terminal("load"), lamp[0])
			s.conductor(lamp[1], d.Terminal("line"))
		}
	}
}

// exchange puts a device of another kind in the place of one. What was landed on
// its terminals goes to the terminals of the new one in their order, the first
// again after the last.
func (s *sketch) exchange() {
	if len(s.spec.Devices) == 0 {
		return
	}
	d := &s.spec.Devices[s.pick(len(s.spec.Devices))]
	kinds := []switchnet.Kind{switchnet.ThreeWay(), switchnet.FourWay(), switchnet.SinglePole(), switchnet.DoublePole(),
		switchnet.TwoSwitches(), switchnet.Breaker(1), switchnet.ThreeWay().WithTransit(switchnet.MakeBeforeBreak),
		switchnet.FourWay().WithTransit(switchnet.BreakBeforeMake)}
	k := one(s, kinds)
	states := s.states / len(d.Kind.Positions) * len(k.Positions)
	onIt := func(l switchnet.Load) bool { return l.Place == d.Place && l.On == d.Name }
	if states > s.limits.States || len(d.Kind.Internal) > 0 || slices.ContainsFunc(s.spec.Loads, onIt) {
		return
	}
	changed := s.spec
	changed.Conductors = slices.Clone(s.spec.Conductors)
	changed.Splices = slices.Clone(s.spec.Splices)
	for i, sp := range changed.Splices {
		changed.Splices[i].Joins = slices.Clone(sp.Joins)
	}
	old := s.spec
	s.spec = changed
	for _, l := range s.landings() {
		t := s.at(l)
		if t.Owner() == d.Ref {
			i := slices.Index(d.Kind.Terminals, t.Name)
			t.Name = k.Terminals[i%len(k.Terminals)]
		}
	}
	for _, l := range s.landings() {
		if !s.sound(l) {
			s.spec = old
			return
		}
	}
	d.Kind = k
	s.states = states
}
