package netgen

import (
	"fmt"

	"example.com/switchleg/switchnet"
)

// circuit is a feed under construction: what is to be joined to each of its lines
// and to its neutral.
type circuit struct {
	hot     [][]switchnet.Terminal
	neutral []switchnet.Terminal
}

// wire lays out one to three circuits with one to three groups each.
func (s *sketch) wire() {
	systems := []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}
	s.spec.Source = switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: systems[s.pick(3)]}
	src := s.spec.Source
	neutral := []switchnet.Terminal{src.Rail(switchnet.Neutral)}
	for range 1 + s.pick(3) {
		c := s.circuit()
		for range 1 + s.pick(3) {
			s.group(c)
		}
		for _, h := range c.hot {
			s.join(h...)
		}
		if s.chance(3) {
			s.join(append(c.neutral, src.Rail(switchnet.Neutral))...)
		} else {
			neutral = append(neutral, c.neutral...)
		}
	}
	s.join(neutral...)
	if s.chance(4) {
		s.join(src.Rail(switchnet.Ground), s.point(s.name("box")), s.point(s.name("box")))
	}
}

// circuit adds a feed: behind a breaker of one or more poles, or straight from
// the lines.
func (s *sketch) circuit() *circuit {
	src := s.spec.Source
	poles := 1
	if s.chance(3) {
		poles = min(2+s.pick(2), src.System.Lines)
	}
	first := s.pick(src.System.Lines)
	breaker := switchnet.Breaker(poles)
	protected := s.pick(4) < 3 && s.room(breaker)
	var r switchnet.Ref
	if protected {
		r = s.device(breaker)
	}
	c := &circuit{}
	for i := range poles {
		rail := src.Rail(switchnet.Rail(1 + (first+i)%src.System.Lines))
		if protected {
			line, load := breaker.Terminals[2*i], breaker.Terminals[2*i+1]
			s.conductor(rail, r.Terminal(line))
			rail = r.Terminal(load)
		}
		c.hot = append(c.hot, []switchnet.Terminal{rail})
	}
	return c
}

// group adds a group of lights with its switches, of a scheme that fits within
// the limits.
func (s *sketch) group(c *circuit) {
	h := s.pick(len(c.hot))
	hot := func(ts ...switchnet.Terminal) { c.hot[h] = append(c.hot[h], ts...) }
	neutral := func(ts ...switchnet.Terminal) { c.neutral = append(c.neutral, ts...) }
	three := switchnet.ThreeWay()
	switch s.pick(9) {
	case 1, 2: // a chain, in the hot conductor
		if from, to, ok := s.chain(2 + s.pick(3)); ok {
			hot(from)
			neutral(s.lights(to, hot)...)
		}
	case 3: // the chain in the neutral instead: a mistake that works
		if from, to, ok := s.chain(2 + s.pick(2)); ok && s.roomForLoads(1) {
			lamp := s.load()
			hot(lamp[0])
			s.run(lamp[1], from)
			neutral(to)
		}
	case 4: // joined commons: hot and leg on the throws of both
		if s.room(three, three) {
			a, b := s.device(three), s.device(three)
			s.run(a.Terminal("common"), b.Terminal("common"))
			hot(a.Terminal("traveler 1"), b.Terminal("traveler 1"))
			s.run(a.Terminal("traveler 2"), b.Terminal("traveler 2"))
			neutral(s.lights(a.Terminal("traveler 2"), hot)...)
		}
	case 5: // hot and neutral on the throws: banned, and still met
		if s.room(three, three) && s.roomForLoads(1) {
			lamp := s.load()
			for _, end := range lamp {
				d := s.device(three)
				s.run(d.Terminal("common"), end)
				hot(d.Terminal("traveler 1"))
				neutral(d.Terminal("traveler 2"))
			}
		}
	case 6: // two switches on one yoke
		if k := switchnet.TwoSwitches(); s.room(k) {
			d := s.device(k)
			hot(d.Terminal("line 1"), d.Terminal("line 2"))
			neutral(s.lights(d.Terminal("load 1"), hot)...)
			neutral(s.lights(d.Terminal("load 2"), hot)...)
		}
	case 7: // a load between two lines, or between the line and the neutral
		if k := switchnet.DoublePole(); s.room(k) && s.roomForLoads(1) {
			d, lamp := s.device(k), s.load()
			hot(d.Terminal("line 1"))
			if other := (h + 1) % len(c.hot); other != h {
				c.hot[other] = append(c.hot[other], d.Terminal("line 2"))
			} else {
				neutral(d.Terminal("line 2"))
			}
			s.run(d.Terminal("load 1"), lamp[0])
			s.run(d.Terminal("load 2"), lamp[1])
		}
	case 8:
		s.oddDevice(hot, neutral)
	default:
		s.single(hot, neutral)
	}
}

// single adds one switch and its lights.
func (s *sketch) single(hot, neutral func(...switchnet.Terminal)) {
	kinds := []switchnet.Kind{switchnet.SinglePole(), switchnet.PilotSinglePole(), switchnet.LocatorSinglePole(),
		switchnet.ElectronicSwitch(), switchnet.Receptacle()}
	k := kinds[s.pick(len(kinds))]
	if !s.room(k) {
		return
	}
	d := s.device(k)
	if k.Name == "receptacle" {
		hot(d.Terminal("hot 1"))
		neutral(d.Terminal("neutral 1"))
		s.plug(d, 2)
		return
	}
	hot(d.Terminal("line"))
	if len(k.Terminals) > 2 {
		neutral(d.Terminal("neutral"))
	}
	neutral(s.lights(d.Terminal("load"), hot)...)
}

// chain adds three-ways at the ends and four-ways between, joined by travelers,
// and returns the two commons.
func (s *sketch) chain(places int) (from, to switchnet.Terminal, ok bool) {
	ends := []switchnet.Kind{switchnet.ThreeWay(), switchnet.ThreeWayDimmer(), switchnet.ElectronicThreeWay()}
	kinds := []switchnet.Kind{ends[s.pick(3)]}
	for range places - 2 {
		kinds = append(kinds, switchnet.FourWay())
	}
	kinds = append(kinds, switchnet.ThreeWay())
	if !s.room(kinds...) {
		return from, to, false
	}
	var out [2]switchnet.Terminal
	for i, k := range kinds {
		d := s.device(k)
		in := [2]switchnet.Terminal{d.Terminal("traveler 1"), d.Terminal("traveler 2")}
		next := in
		if k.Name == "four-way" {
			in = [2]switchnet.Terminal{d.Terminal("pair 1 first"), d.Terminal("pair 1 second")}
			next = [2]switchnet.Terminal{d.Terminal("pair 2 first"), d.Terminal("pair 2 second")}
		}
		if i == 0 {
			from = d.Terminal("common")
		} else {
			s.run(out[0], in[0])
			s.run(out[1], in[1])
		}
		out, to = next, d.Terminal("common")
	}
	return from, to, true
}

// lights hangs lights on a switch leg and returns what goes to the neutral.
func (s *sketch) lights(leg switchnet.Terminal, hot func(...switchnet.Terminal)) []switchnet.Terminal {
	arrangement := s.pick(6)
	need := []int{1, 2, 2, 3, 1, 2}[arrangement]
	if !s.roomForLoads(need) {
		arrangement = 0
	}
	if !s.roomForLoads(1) {
		return nil
	}
	switch arrangement {
	case 1: // across: each gets full voltage
		a, b := s.load(), s.load()
		s.join(leg, a[0], b[0])
		return []switchnet.Terminal{a[1], b[1]}
	case 2: // in line: half each
		a, b := s.load(), s.load()
		s.run(leg, a[0])
		s.run(a[1], b[0])
		return []switchnet.Terminal{b[1]}
	case 3: // one before two
		a, b, c := s.load(), s.load(), s.load()
		s.run(leg, a[0])
		s.join(a[1], b[0], c[0])
		return []switchnet.Terminal{b[1], c[1]}
	case 4, 5: // a receptacle, or one half of it switched
		k := switchnet.Receptacle()
		if arrangement == 5 {
			k = switchnet.SplitReceptacle()
		}
		if s.room(k) {
			d := s.device(k)
			s.run(leg, d.Terminal("hot 1"))
			if arrangement == 5 {
				hot(d.Terminal("hot 2"))
			}
			s.plug(d, need)
			return []switchnet.Terminal{d.Terminal("neutral 2")}
		}
	}
	a := s.load()
	s.run(leg, a[0])
	return []switchnet.Terminal{a[1]}
}

// plug puts lamps on the halves of a receptacle.
func (s *sketch) plug(d switchnet.Ref, n int) {
	for i := 1; i <= n && s.roomForLoads(1); i++ {
		s.spec.Loads = append(s.spec.Loads, switchnet.Load{
			Ref: switchnet.Ref{Place: d.Place, Name: fmt.Sprintf("plugged %d", i)}, On: d.Name,
			Ends: [2]string{fmt.Sprintf("hot %d", i), fmt.Sprintf("neutral %d", i)},
		})
		s.loads++
	}
}

// oddDevice adds a device of several terminals and positions with a random
// partition for each, and lands it on the hot, the neutral and lamps.
func (s *sketch) oddDevice(hot, neutral func(...switchnet.Terminal)) {
	k := switchnet.Kind{Name: fmt.Sprintf("custom %d", s.custom+1)}
	terminals, positions := 2+s.pick(4), 2+s.pick(3)
	for i := range terminals {
		k.Terminals = append(k.Terminals, fmt.Sprintf("t%d", i))
	}
	for p := range positions {
		groups := make([][]string, terminals)
		for i, t := range k.Terminals {
			// The later choices are the positions' own groups.
			g := (i + p) % terminals
			if s.pick(3) > 0 {
				g = s.pick(terminals)
			}
			groups[g] = append(groups[g], t)
		}
		pos := switchnet.Position{Name: fmt.Sprintf("p%d", p)}
		for _, g := range groups {
			if len(g) > 0 {
				pos.Joins = append(pos.Joins, g)
			}
		}
		k.Positions = append(k.Positions, pos)
	}
	if !s.room(k) {
		return
	}
	s.custom++
	d := s.device(k)
	for i, name := range k.Terminals {
		t := d.Terminal(name)
		switch {
		case i == 0:
			hot(t)
		case s.roomForLoads(1) && s.pick(4) < 2:
			lamp := s.load()
			s.run(t, lamp[0])
			neutral(lamp[1])
		case s.chance(6):
			neutral(t)
		case s.chance(6):
			hot(t)
		}
	}
}
