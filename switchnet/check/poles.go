package check

import (
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// polesOf returns the terminals of a kind in groups that some position joins, in the
// order of the kind: each group is a pole, and what flows in one does not flow in another.
// A terminal that no position joins is in none.
func polesOf(k *switchnet.Kind) [][]string {
	var poles [][]string
	for _, t := range k.Terminals {
		var met []string
		for _, pos := range k.Positions {
			for _, g := range pos.Joins {
				if slices.Contains(g, t) && len(g) > 1 {
					met = append(met, g...)
				}
			}
		}
		if met == nil {
			continue
		}
		into := -1
		for i := 0; i < len(poles); i++ {
			switch {
			case !slices.ContainsFunc(poles[i], func(x string) bool { return slices.Contains(met, x) }):
			case into < 0:
				into = i
			default: // this terminal joins two groups
				poles[into] = append(poles[into], poles[i]...)
				poles = slices.Delete(poles, i, i+1)
				i--
			}
		}
		if into < 0 {
			poles = append(poles, nil)
			into = len(poles) - 1
		}
		poles[into] = append(poles[into], t)
	}
	for _, pole := range poles {
		slices.SortFunc(pole, func(a, b string) int { return slices.Index(k.Terminals, a) - slices.Index(k.Terminals, b) })
	}
	return poles
}

// onPole reports whether the current of a light flows in a pole of a device: without the
// pole an end of the light finds fewer rails, or it finds them by another pole of the
// device only.
func (p *Pass) onPole(l *lamp, d *wiring.Device, poles [][]string, n int) bool {
	all := slices.Concat(poles...)
	for _, x := range l.piece {
		has := p.railsWithout(x, d, nil)
		if p.railsWithout(x, d, poles[n]) < has {
			return true
		}
		if p.railsWithout(x, d, all) == has {
			continue
		}
		alone := slices.ContainsFunc(poles, func(pole []string) bool { return p.railsWithout(x, d, pole) < has })
		if !alone {
			return true // any of them will do
		}
	}
	return false
}

// railsWithout returns how many pieces on rails some positions of the switches could join
// to a piece if some terminals of a device joined nothing.
func (p *Pass) railsWithout(from int32, d *wiring.Device, dead []string) int {
	m := p.metal()
	off := map[int32]bool{}
	for _, t := range dead {
		if x, ok := m.on(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t}); ok {
			off[x] = true
		}
	}
	rails := 0
	seen := map[int32]bool{from: true}
	next := []int32{from}
	for i := 0; i < len(next); i++ {
		if m.railed(next[i]) {
			rails++
			continue
		}
		for _, k := range m.at[next[i]] {
			c := &m.contacts[k]
			if v := &p.spec.Devices[c.device]; v.Box == d.Box && v.Name == d.Name && off[c.piece[0]] && off[c.piece[1]] {
				continue
			}
			for _, x := range c.piece {
				if !seen[x] {
					seen[x] = true
					next = append(next, x)
				}
			}
		}
	}
	return rails
}

// untoggled returns a move of a device that does not toggle a light, and false if there
// is none. Of a device of several poles, such as two switches that are one device, a move
// that changes no pole of the light is none of its own; of such moves no more than
// [mostStates] are passed over.
func (p *Pass) untoggled(l *lamp, r switchnet.Ref) (allstates.Exception, bool, error) {
	t, err := l.load.Toggles(r)
	if err != nil || t.Proven() {
		return allstates.Exception{}, false, err
	}
	var own [][]string
	if i := slices.IndexFunc(p.spec.Devices, func(d wiring.Device) bool { return d.Box == r.Place && d.Name == r.Name }); i >= 0 {
		d := &p.spec.Devices[i]
		if poles := polesOf(&d.Kind); len(poles) > 1 {
			for n := range poles {
				if p.onPole(l, d, poles, n) {
					own = append(own, poles[n])
				}
			}
		}
	}
	k := p.kind(r)
	passed := 0
	for e := range t.Exceptions() {
		a, _ := e.From.Position(r)
		b, _ := e.To.Position(r)
		if len(own) == 0 || slices.ContainsFunc(own, func(pole []string) bool { return !sameJoins(k, a, b, pole) }) {
			return e, true, nil
		}
		if passed++; passed > mostStates {
			break
		}
	}
	return allstates.Exception{}, false, nil
}

// sameJoins reports whether two positions of a kind join the terminals of a pole alike.
func sameJoins(k *switchnet.Kind, a, b string, pole []string) bool {
	joined := func(position, x, y string) bool {
		i, _ := k.Position(position)
		return k.Positions[i].Joined(x, y)
	}
	for i, x := range pole {
		for _, y := range pole[:i] {
			if joined(a, x, y) != joined(b, x, y) {
				return false
			}
		}
	}
	return true
}

// onOnePole returns the most that one pole of a circuit of several carries: what lies
// between two poles, and what may be on the one or the other, counts on each of them.
// False if a light draws nobody knows what, or the circuit has one pole.
func (p *Pass) onOnePole(c *wiring.Circuit) (quantity.Current, bool) {
	lamps, err := p.lamps()
	f := slices.IndexFunc(p.spec.Feeds, func(f wiring.Feed) bool { return f.Box == c.Feed.Place && f.Name == c.Feed.Name })
	if err != nil || f < 0 || c.Poles < 2 {
		return 0, false
	}
	m := p.metal()
	var poles []int32 // pieces
	for _, t := range p.feedTerminals(int32(f))[:c.Poles] {
		x, _ := m.on(c.Feed.Terminal(t))
		poles = append(poles, x)
	}
	sums := make([]quantity.Current, len(poles))
	for i := range lamps {
		l := &lamps[i]
		if !slices.Contains(c.Lights, l.ref) {
			continue
		}
		reached := append(m.reach(l.piece[0]), m.reach(l.piece[1])...)
		var on []int
		for n, x := range poles {
			if slices.Contains(reached, x) {
				on = append(on, n)
			}
		}
		volts := c.Volts
		if len(on) == 1 {
			volts = p.spec.Supply.LineToNeutral
		}
		va, err := l.light.Apparent()
		if err != nil || l.light.Power == 0 || len(on) == 0 {
			return 0, false
		}
		draws, err := conductor.CurrentOf(va, volts, 1)
		if err != nil {
			return 0, false
		}
		for _, n := range on {
			sums[n] += draws
		}
	}
	return slices.Max(sums), true
}
