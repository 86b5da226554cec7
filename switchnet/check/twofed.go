package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// fedBy returns the analysis of every state of the switches with the breaker of one feed
// closed and those of all others open.
func (p *Pass) fedBy(f int32) (*allstates.Analysis, error) {
	if a := p.fedAlone[f]; a != nil {
		return a, nil
	}
	net, err := p.Quiet()
	if err != nil {
		return nil, err
	}
	hold := net.Rest()
	for i := range p.spec.Feeds {
		if int32(i) == f {
			continue
		}
		if hold, err = hold.With(p.feedRef(int32(i)), "off"); err != nil {
			return nil, err
		}
	}
	a, err := allstates.Analyze(p.ctx, net, &allstates.Options{Hold: hold})
	if err != nil {
		return nil, err
	}
	if p.fedAlone == nil {
		p.fedAlone = map[int32]*allstates.Analysis{}
	}
	p.fedAlone[f] = a
	return a, nil
}

// hotsAt returns the feeds, in their order, whose hot some positions bring to a piece, or
// that are on it; circuits that are joined for good are left out, for they have a finding
// of their own.
func (m *metal) hotsAt(x int32) []int32 {
	if m.hots == nil {
		m.hots = make([][]int32, m.pieces)
		for y := range int32(m.pieces) {
			if len(m.hot[y]) != 1 {
				continue
			}
			f := m.hot[y][0]
			for _, z := range m.reach(y) {
				if (z == y || !m.railed(z)) && !slices.Contains(m.hots[z], f) {
					m.hots[z] = append(m.hots[z], f)
				}
			}
		}
		for _, list := range m.hots {
			slices.Sort(list)
		}
	}
	return m.hots[x]
}

// fed is a feed that lights a light by itself, and a state in which it does.
type fed struct {
	feed  int32
	state switchnet.State
}

// twoCircuitsOneLight finds lights that either of two circuits lights while the breaker of
// the other is open.
func twoCircuitsOneLight(p *Pass) error {
	if len(p.spec.Feeds) < 2 {
		return nil
	}
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	m := p.metal()
	shares := p.shares()
	for i := range lamps {
		l := &lamps[i]
		var by []fed
		for _, x := range l.piece {
			hots := m.hotsAt(x)
			if len(hots) < 2 {
				continue
			}
			for _, f := range hots {
				a, err := p.fedBy(f)
				if err != nil {
					return err
				}
				set, err := a.Find(p.ctx, allstates.LoadIs(l.ref, switchnet.Lit))
				if err != nil {
					return err
				}
				if s, ok := set.Witness(); ok && !slices.ContainsFunc(by, func(v fed) bool { return v.feed == f }) {
					by = append(by, fed{f, s})
				}
			}
		}
		if len(by) < 2 {
			continue
		}
		neutrals := m.neutrals(l)
		own := func(f int32) bool { return returns(f, neutrals, shares) }
		a, b := by[0], by[1]
		for _, v := range by[1:] {
			if b = v; !p.together(a.feed, v.feed) || !own(v.feed) {
				break
			}
		}
		apart := !p.together(a.feed, b.feed)
		if !apart && own(a.feed) && own(b.feed) {
			continue // one handle opens both, and each returns by its neutral
		}
		name := func(f int32) string { return p.spec.Feeds[f].Name }
		f := Finding{Place: p.devicePlace(l.ref), About: l.ref, Related: []Place{p.devicePlace(p.feedRef(a.feed)), p.devicePlace(p.feedRef(b.feed))},
			Section: p.section(rules.CircuitTogether),
			Message: fmt.Sprintf("%s is lit by %s with %s off, and by %s with %s off", l.ref.Name, name(a.feed), name(b.feed), name(b.feed), name(a.feed))}
		if apart {
			f.Message += ": neither breaker makes it dead"
		}
		switches := p.switchesOn(append(m.reach(l.piece[0]), m.reach(l.piece[1])...))
		for _, v := range [][2]fed{{a, b}, {b, a}} {
			lights, off := v[0], v[1]
			w := p.witness(lights.state, switches)
			w.Says = fmt.Sprintf("%s off, %s", name(off.feed), w.Says)
			f.Witness = append(f.Witness, w)
			if !own(lights.feed) && len(neutrals) > 0 {
				f.Message += fmt.Sprintf("; what %s feeds returns by the neutral of %s", name(lights.feed), name(neutrals[0]))
			}
		}
		p.Report(f)
	}
	return nil
}

// switchesOn returns the switches that have a contact on some pieces, those on rails left
// out, in name order.
func (p *Pass) switchesOn(pieces []int32) []switchnet.Ref {
	m := p.metal()
	out := []switchnet.Ref{}
	for _, x := range pieces {
		if m.railed(x) {
			continue
		}
		for _, k := range m.at[x] {
			d := &p.spec.Devices[m.contacts[k].device]
			if r := (switchnet.Ref{Place: d.Box, Name: d.Name}); !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	slices.SortFunc(out, switchnet.Ref.Compare)
	return out
}

// circuitsMeet finds the hots of two circuits that the switches join with more than one
// contact between them: some state brings the hot of the one to that of the other while the
// breaker of this is open. One finding tells of two circuits.
func (p *Pass) circuitsMeet() error {
	m := p.metal()
	type pair struct{ a, b int32 }
	seen := map[pair]bool{}
	for i := range m.contacts { // joined by one contact, which is told already
		c := &m.contacts[i]
		for _, a := range m.hot[c.piece[0]] {
			for _, b := range m.hot[c.piece[1]] {
				seen[pair{min(a, b), max(a, b)}] = true
			}
		}
	}
	for x := range int32(m.pieces) {
		if m.railed(x) {
			continue
		}
		hots := m.hotsAt(x)
		for i, a := range hots {
			for _, b := range hots[i+1:] {
				if seen[pair{a, b}] {
					continue
				}
				seen[pair{a, b}] = true
				if err := p.meet(x, a, b); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// meet reports two circuits if a state joins them, at a piece that either of them reaches.
func (p *Pass) meet(x, a, b int32) error {
	own, err := p.fedBy(a)
	if err != nil {
		return err
	}
	var s switchnet.State
	joined := false
	for _, hot := range p.spec.Feeds[b].Hots() { // whichever of its poles it is
		set, err := own.Find(p.ctx, allstates.TerminalIs(p.feedRef(b).Terminal(hot), switchnet.Live))
		if err != nil {
			return err
		}
		if s, joined = set.Witness(); joined {
			break
		}
	}
	if !joined {
		return nil
	}
	reached := p.metal().reach(x)
	switches := p.switchesOn(reached)
	f := Finding{Place: p.devicePlace(switches[0]), About: switches[0], Related: []Place{p.devicePlace(p.feedRef(a)), p.devicePlace(p.feedRef(b))},
		Message: fmt.Sprintf("the switches join the hots of %s and %s: with %s off it is live all the same", p.spec.Feeds[a].Name, p.spec.Feeds[b].Name, p.spec.Feeds[b].Name)}
	for _, r := range switches[1:] {
		f.Related = append(f.Related, p.devicePlace(r))
	}
	for i := range p.all {
		if l := &p.all[i]; slices.Contains(reached, l.piece[0]) || slices.Contains(reached, l.piece[1]) {
			f.About = l.ref
			break
		}
	}
	w := p.witness(s, switches)
	w.Says = fmt.Sprintf("%s off, %s", p.spec.Feeds[b].Name, w.Says)
	f.Witness = []Witness{w}
	p.Report(f)
	return nil
}
