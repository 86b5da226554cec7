package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on circuits that must keep to themselves.
var circuitRules = []Rule{
	{Code: "borrowed-neutral", Topic: ShockFire, Doc: "A light with the hot of one circuit and the neutral of another.", Find: borrowedNeutral},
	{Code: "neutrals-joined", Topic: ShockFire, Doc: "The neutrals of two circuits joined outside the panel.", Find: neutralsJoined},
	{Code: "circuits-joined", Topic: ShockFire, Doc: "The hots of two circuits joined, for good or by the switches: each feeds back into the other.", Find: circuitsJoined},
	{Code: "two-circuits-one-light", Topic: ShockFire, Doc: "A light that either of two circuits lights while the breaker of the other is off.",
		Yields: []Code{"circuits-joined"}, Find: twoCircuitsOneLight},
	{Code: "shared-neutral-one-line", Topic: ShockFire, Doc: "A neutral shared by two hots of one line, which carries the sum of their currents.", Find: sharedOneLine},
	{Code: "shared-neutral-apart", Topic: Law, Doc: "Hots with a shared neutral that no common trip opens together.", Find: sharedApart},
	{Code: "shared-neutral-through-device", Topic: Law, Doc: "A shared neutral that a device carries on from screw to screw, so that it opens when the device is taken out.", Find: sharedThroughDevice},
	{Code: "two-circuits-one-yoke", Topic: ShockFire, Doc: "Two circuits on one yoke that no common trip opens together.", Yields: []Code{"circuits-joined"}, Find: twoCircuitsOneYoke},
}

// share is a feed that returns by the neutral of another, in its own cable.
type share struct {
	feed, neutral int32 // of the spec
	cable         int32
}

// returns reports whether one of some neutrals is that of a feed, or one that it shares.
func returns(feed int32, neutrals []int32, shares []share) bool {
	return slices.Contains(neutrals, feed) ||
		slices.ContainsFunc(shares, func(s share) bool { return s.feed == feed && slices.Contains(neutrals, s.neutral) })
}

// shares returns the feeds that have no neutral of their own and leave the panel in a
// cable with the neutral of another feed of that panel: circuits with a shared neutral,
// as distinct from a neutral that is borrowed.
func (p *Pass) shares() []share {
	m := p.metal()
	landed := func(f int32, terminal string) []int {
		var out []int
		v := &p.spec.Feeds[f]
		for i := range p.spec.Landings {
			if l := &p.spec.Landings[i]; l.Box == v.Box && l.Device == v.Name && (l.Terminal == terminal || terminal == "hot" && isHot(l.Terminal)) {
				out = append(out, i)
			}
		}
		return out
	}
	var out []share
	for f := range p.spec.Feeds {
		feed := &p.spec.Feeds[f]
		if len(landed(int32(f), "neutral")) > 0 {
			continue
		}
		for _, h := range landed(int32(f), "hot") {
			cable := p.spec.Landings[h].Wire.Cable
			for i := range m.wires {
				w := &m.wires[i]
				if w.Cable != cable {
					continue
				}
				for _, g := range m.neutral[m.piece[w.term[0]]] {
					if int(g) != f && p.spec.Feeds[g].Box == feed.Box && slices.ContainsFunc(landed(g, "neutral"), func(i int) bool { return p.spec.Landings[i].Wire.Cable == cable }) {
						s := share{int32(f), g, w.cable}
						if !slices.Contains(out, s) {
							out = append(out, s)
						}
					}
				}
			}
		}
	}
	return out
}

// feedTerminals returns the terminals of a feed.
func (p *Pass) feedTerminals(f int32) []string {
	return append(p.spec.Feeds[f].Hots(), "neutral", "ground")
}

func (p *Pass) feedRef(f int32) switchnet.Ref {
	return switchnet.Ref{Place: p.spec.Feeds[f].Box, Name: p.spec.Feeds[f].Name}
}

// hotsOf returns the feeds whose hot some positions bring to either end of a lamp.
func (m *metal) hotsOf(l *lamp) []int32 {
	var out []int32
	for e := range l.ends {
		for _, x := range m.reach(l.piece[e]) {
			for _, f := range m.hot[x] {
				if !slices.Contains(out, f) {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

// neutrals returns the feeds whose neutral a lamp returns to: that which one end of it is
// joined to for good, whatever its other end meets when it is off; or else any that some
// positions bring to either end.
func (m *metal) neutrals(l *lamp) []int32 {
	if e := l.earthed(m); e >= 0 && len(m.neutral[l.piece[e]]) > 0 {
		return m.neutral[l.piece[e]]
	}
	var out []int32
	for e := range l.ends {
		for _, x := range m.reach(l.piece[e]) {
			for _, f := range m.neutral[x] {
				if !slices.Contains(out, f) {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func borrowedNeutral(p *Pass) error {
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
		hots, neutrals := m.hotsOf(l), m.neutrals(l)
		if len(hots) == 0 || len(neutrals) == 0 {
			continue
		}
		own := func(f int32) bool { return returns(f, neutrals, shares) }
		if slices.ContainsFunc(hots, own) {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Related: []Place{p.devicePlace(p.feedRef(hots[0])), p.devicePlace(p.feedRef(neutrals[0]))},
			Section: p.section(rules.CircuitTogether),
			Message: fmt.Sprintf("%s has the hot of %s and the neutral of %s: with %s off, its neutral is live wherever it is opened while %s burns",
				l.ref.Name, p.spec.Feeds[hots[0]].Name, p.spec.Feeds[neutrals[0]].Name, p.spec.Feeds[neutrals[0]].Name, l.ref.Name)})
	}
	return nil
}

func neutralsJoined(p *Pass) error {
	m := p.metal()
	for x := range m.pieces {
		feeds := m.neutral[x]
		if len(feeds) < 2 {
			continue
		}
		f := Finding{Section: p.section(rules.NeutralOfOneCircuit), Message: fmt.Sprintf("the neutrals of %s and %s are joined", p.spec.Feeds[feeds[0]].Name, p.spec.Feeds[feeds[1]].Name)}
		found := false
		for i := range p.spec.Splices {
			sp := &p.spec.Splices[i]
			if y, ok := m.on(joinTerminal(sp.Box, sp.Join[0])); !ok || y != int32(x) || len(sp.Join) < 2 {
				continue
			}
			place := p.splicePlace(i)
			if !found || place.Compare(f.Place) < 0 {
				if found {
					f.Related = append(f.Related, f.Place)
				}
				f.Place, found = place, true
			} else {
				f.Related = append(f.Related, place)
			}
		}
		if !found {
			f.Place = p.devicePlace(p.feedRef(feeds[1]))
		}
		f.Fixes = append(f.Fixes, p.partNeutrals(int32(x))...)
		p.Report(f)
	}
	return nil
}

// partNeutrals proposes to split every splice of a piece into the neutrals of each
// circuit, told by the hots that each cable carries.
func (p *Pass) partNeutrals(x int32) []Fix {
	m := p.metal()
	of := map[string]int32{} // by cable: the first feed whose hot it could carry
	for i := range m.wires {
		w := &m.wires[i]
		if w.ground || m.piece[w.term[0]] == x {
			continue
		}
		for _, t := range w.term {
			for _, y := range m.reach(m.piece[t]) {
				for _, f := range m.hot[y] {
					if g, ok := of[w.Cable]; !ok || f < g {
						of[w.Cable] = f
					}
				}
			}
		}
	}
	var edits []wiring.Edit
	for i := range p.spec.Splices {
		sp := &p.spec.Splices[i]
		if y, ok := m.on(joinTerminal(sp.Box, sp.Join[0])); !ok || y != x {
			continue
		}
		groups := map[int32][]wiring.Joint{}
		var order []int32
		for _, j := range sp.Join {
			f, ok := of[j.Wire.Cable]
			if j.Device != "" || !ok {
				continue
			}
			if groups[f] == nil {
				order = append(order, f)
			}
			groups[f] = append(groups[f], j)
		}
		slices.Sort(order)
		for _, f := range order[min(1, len(order)):] {
			edits = append(edits, wiring.SplitSplice{Box: sp.Box, Out: groups[f]})
		}
	}
	if len(edits) == 0 {
		return nil
	}
	return []Fix{newFix(edits...)}
}

func circuitsJoined(p *Pass) error {
	if len(p.spec.Feeds) < 2 {
		return nil
	}
	m := p.metal()
	for x := range m.pieces {
		if len(m.hot[x]) < 2 {
			continue
		}
		a, b := m.hot[x][0], m.hot[x][1]
		p.Report(Finding{Place: p.devicePlace(p.feedRef(b)), Related: []Place{p.devicePlace(p.feedRef(a))},
			Message: fmt.Sprintf("the hots of %s and %s are joined: with either breaker off the other still feeds both", p.spec.Feeds[a].Name, p.spec.Feeds[b].Name)})
	}
	for i := range m.contacts {
		c := &m.contacts[i]
		a, b := m.hot[c.piece[0]], m.hot[c.piece[1]]
		if len(a) == 0 || len(b) == 0 || a[0] == b[0] {
			continue
		}
		d := &p.spec.Devices[c.device]
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		p.Report(Finding{Place: p.devicePlace(ref), About: ref, Related: []Place{p.devicePlace(p.feedRef(a[0])), p.devicePlace(p.feedRef(b[0]))},
			Message: fmt.Sprintf("%s joins the hots of %s and %s", ref, p.spec.Feeds[a[0]].Name, p.spec.Feeds[b[0]].Name)})
	}
	return p.circuitsMeet()
}

// line returns the line of a feed's first pole.
func (p *Pass) line(f int32) switchnet.Rail {
	if l := p.spec.Feeds[f].Lines; len(l) > 0 {
		return l[0]
	}
	return switchnet.LineA
}

// sharedOneLine compares each feed with the one whose neutral it shares, and with those that
// share it before it.
func sharedOneLine(p *Pass) error {
	shares := p.shares()
	for i, s := range shares {
		with := []int32{s.neutral}
		for _, v := range shares[:i] {
			if v.neutral == s.neutral && v.feed != s.feed {
				with = append(with, v.feed)
			}
		}
		k := slices.IndexFunc(with, func(f int32) bool { return p.line(s.feed) == p.line(f) })
		if k < 0 {
			continue
		}
		other := p.spec.Feeds[with[k]].Name
		shared := "shares the neutral of " + other + " and is"
		if k > 0 {
			shared = "shares with " + other + " the neutral of " + p.spec.Feeds[s.neutral].Name + " and both are"
		}
		p.Report(Finding{Place: p.devicePlace(p.feedRef(s.feed)), Related: []Place{p.devicePlace(p.feedRef(with[k]))}, Section: p.section(rules.NeutralOfOneCircuit),
			Message: fmt.Sprintf("%s %s on the same line: the neutral carries the sum of both, and no breaker watches it", p.spec.Feeds[s.feed].Name, shared)})
	}
	return nil
}

// together reports whether one handle opens both feeds.
func (p *Pass) together(a, b int32) bool {
	tie := p.spec.Feeds[a].HandleTie
	return a == b || tie != "" && tie == p.spec.Feeds[b].HandleTie && p.spec.Feeds[a].Box == p.spec.Feeds[b].Box
}

func sharedApart(p *Pass) error {
	law, _ := p.law(rules.SharedNeutralDisconnect)
	for _, s := range p.shares() {
		if p.together(s.feed, s.neutral) {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(p.feedRef(s.feed)), Related: []Place{p.devicePlace(p.feedRef(s.neutral))},
			Section: law.Source, since: law.During.Since,
			Message: fmt.Sprintf("%s shares the neutral of %s, and nothing opens both together", p.spec.Feeds[s.feed].Name, p.spec.Feeds[s.neutral].Name)})
	}
	return nil
}

// twoCircuitsOneYoke doubts where the region has no rule on it: in some countries two
// circuits on one plate are ordinary.
func twoCircuitsOneYoke(p *Pass) error {
	if len(p.spec.Feeds) < 2 {
		return nil
	}
	m := p.metal()
	type yoke struct{ box, name string }
	feeds := map[yoke][]int32{}
	first := map[yoke]int{}
	var order []yoke
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		y := yoke{d.Box, "yoke " + d.Yoke}
		if d.Yoke == "" {
			y.name = "device " + d.Name
		}
		if _, ok := first[y]; !ok {
			first[y] = i
			order = append(order, y)
		}
		for _, t := range d.Kind.Terminals {
			if x, ok := m.on(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t}); ok {
				hots := m.hotsAt(x) // those that come through other switches too
				// Two circuits that are joined, or that lead to one place, have rules of their own.
				if len(hots) == 1 && !slices.Contains(feeds[y], hots[0]) {
					feeds[y] = append(feeds[y], hots[0])
				}
			}
		}
	}
	for _, y := range order {
		f := feeds[y]
		slices.Sort(f)
		for _, g := range f[min(1, len(f)):] {
			if p.together(f[0], g) {
				continue
			}
			d := &p.spec.Devices[first[y]]
			ref := switchnet.Ref{Place: d.Box, Name: d.Name}
			law, ok := p.law(rules.YokeDisconnect)
			if !ok && p.suite.region != nil {
				p.Doubt(Doubt{Place: p.devicePlace(ref),
					Message: fmt.Sprintf("whether %s and %s, which are on the yoke of %s, must open together: the rules have nothing on it, and with the breaker of one off it is not dead", p.spec.Feeds[f[0]].Name, p.spec.Feeds[g].Name, ref)})
				break
			}
			p.Report(Finding{Place: p.devicePlace(ref), About: ref, Related: []Place{p.devicePlace(p.feedRef(f[0])), p.devicePlace(p.feedRef(g))}, Section: law.Source,
				Message: fmt.Sprintf("%s and %s are on one yoke, and nothing opens both together", p.spec.Feeds[f[0]].Name, p.spec.Feeds[g].Name)})
			break
		}
	}
	return nil
}
