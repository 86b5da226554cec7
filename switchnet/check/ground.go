package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on grounding.
var groundRules = []Rule{
	{Code: "neutral-on-ground", Topic: ShockFire, Doc: "A neutral and a ground joined past the service.", Find: neutralOnGround},
	{Code: "ground-as-conductor", Topic: ShockFire, Doc: "A bare or green conductor used for anything but grounding.", Find: groundAsConductor},
	{Code: "ground-broken", Topic: ShockFire, Doc: "A grounding conductor that leads back to no ground, with all that hangs on it.", Find: groundBroken},
}

func neutralOnGround(p *Pass) error {
	m := p.metal()
	report := func(place Place, related []Place, fixes []Fix) {
		p.Report(Finding{Place: place, Related: related, Fixes: fixes, Section: p.section(rules.NeutralNotGround),
			Message: "neutral and ground are joined here: the grounding conductors carry a share of the current"})
	}
	for x := range m.pieces {
		if len(m.neutral[x]) == 0 || len(m.ground[x]) == 0 {
			continue
		}
		place, fixes := p.meeting(int32(x))
		report(place, nil, fixes)
	}
	for i := range m.contacts {
		c := &m.contacts[i]
		a, b := c.piece[0], c.piece[1]
		if len(m.neutral[a]) > 0 && len(m.ground[b]) > 0 || len(m.ground[a]) > 0 && len(m.neutral[b]) > 0 {
			d := &p.spec.Devices[c.device]
			report(p.devicePlace(switchnet.Ref{Place: d.Box, Name: d.Name}), nil, nil)
		}
	}
	return nil
}

// meeting returns where neutral and ground meet on a piece: where grounding and other
// conductors are in one splice, on one terminal or touch; and ways to part them.
func (p *Pass) meeting(x int32) (Place, []Fix) {
	m := p.metal()
	on := func(box string, j wiring.Joint) bool {
		y, ok := m.on(joinTerminal(box, j))
		return ok && y == x
	}
	for i, t := range p.spec.Ties {
		if on(t.Box, t.A) && p.groundJoint(t.A) != p.groundJoint(t.B) {
			place := p.terminalPlace(joinTerminal(t.Box, t.A))
			place.At = wiring.Ref{List: "ties", Index: i}
			return place, []Fix{newFix(wiring.Untie(t))}
		}
	}
	var best Place
	var fixes []Fix
	found := false
	take := func(place Place, fix ...Fix) {
		if !found || place.Compare(best) < 0 {
			best, found = place, true
		}
		fixes = append(fixes, fix...)
	}
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		if !on(s.Box, s.Join[0]) {
			continue
		}
		var out []wiring.Joint
		for _, j := range s.Join {
			if p.groundJoint(j) {
				out = append(out, j)
			}
		}
		if len(out) == 0 || len(out) == len(s.Join) {
			continue
		}
		fix := []Fix{newFix(wiring.SplitSplice{Box: s.Box, Out: out})}
		// The odd one may belong in another splice.
		few := out
		if len(out) > len(s.Join)/2 {
			few = slices.DeleteFunc(slices.Clone(s.Join), p.groundJoint)
		}
		if len(few) == 1 {
			for k := range p.spec.Splices {
				if other := &p.spec.Splices[k]; k != i && other.Box == s.Box && p.groundJoint(other.Join[0]) == p.groundJoint(few[0]) {
					fix = append(fix, newFix(wiring.SplitSplice{Box: s.Box, Out: few}, wiring.JoinSplice{Box: s.Box, Join: []wiring.Joint{other.Join[0], few[0]}}))
				}
			}
		}
		take(p.splicePlace(i), fix...)
	}
	for _, l := range p.spec.Landings {
		j := wiring.Joint{Device: l.Device, Terminal: l.Terminal}
		if w := (wiring.Joint{Wire: l.Wire}); on(l.Box, w) && p.groundJoint(j) != p.groundJoint(w) {
			take(p.terminalPlace(joinTerminal(l.Box, w)), newFix(wiring.Release{End: wiring.End{Box: l.Box, Wire: l.Wire}}))
		}
	}
	if !found {
		for _, f := range m.neutral[x] {
			return p.devicePlace(p.feedRef(f)), nil
		}
	}
	return best, fixes
}

// groundJoint reports whether a joint is meant for grounding: a bare or green wire, or a
// grounding terminal.
func (p *Pass) groundJoint(j wiring.Joint) bool {
	if j.Device != "" {
		return j.Terminal == "ground"
	}
	m := p.metal()
	i := slices.IndexFunc(m.wires, func(w wire) bool { return w.Wire == j.Wire })
	return i >= 0 && m.wires[i].ground
}

func groundAsConductor(p *Pass) error {
	m := p.metal()
	for i := range m.wires {
		w := &m.wires[i]
		if !w.ground {
			continue
		}
		for e, t := range w.term {
			if e == 1 && (!w.known || !w.open && m.piece[t] == m.piece[w.term[0]]) {
				break
			}
			f, _ := p.job.Wiring.FunctionAt(wiring.End{Box: w.box[e], Wire: w.Wire})
			switch f.Kind {
			case wiring.Hot, wiring.SwitchLeg, wiring.SwitchedReturn, wiring.Traveler, wiring.Series, wiring.Crossed:
			case wiring.NeutralConductor:
				if len(m.ground[m.piece[t]]) > 0 {
					continue // neutral-on-ground says it
				}
			default:
				continue
			}
			swaps := p.feedsReversed()
			if w.known {
				for k := range m.wires {
					if v := &m.wires[k]; v.cable == w.cable && !v.ground {
						swaps = append(swaps, p.ungrounded(w, v, f.Kind)...)
						swaps = append(swaps, newFix(wiring.SwapWires{Box: w.box[0], A: w.Wire, B: v.Wire}, wiring.SwapWires{Box: w.box[1], A: w.Wire, B: v.Wire}))
					}
				}
			}
			p.Report(Finding{Place: p.endPlace(wiring.End{Box: w.box[e], Wire: w.Wire}), Fixes: swaps, amount: 1 + p.lightsOn(w), Section: p.section(rules.GroundNotConductor),
				Message: fmt.Sprintf("%s is a grounding conductor by its insulation and is used as %s", w.Wire, f)})
			break
		}
	}
	return nil
}

// ungrounded proposes to put what a grounding conductor carries on one that is idle at both
// ends, and to join the grounding conductor with the grounds of both boxes: as it is if its
// colour is for that, and else with the other marked as a line; or, where that is of a
// neutral's colour and may not be the return from a switch, with a line of the cable as that
// and itself as the line. Nothing that is a line is left on an unmarked white, whatever is
// asked.
func (p *Pass) ungrounded(w, v *wire, does wiring.FunctionKind) []Fix {
	if p.suite.region == nil || len(p.suite.region.Wiring.Schemes) == 0 {
		return nil
	}
	var exchange, grounds, marks []wiring.Edit
	t := &p.spec.Cables[w.cable].Type
	c := p.coloursOf(t)
	for _, box := range w.box {
		if !p.idleEnd(wiring.End{Box: box, Wire: v.Wire}) {
			return nil
		}
		exchange = append(exchange, wiring.SwapWires{Box: box, A: w.Wire, B: v.Wire})
		marks = append(marks, wiring.Remark{End: wiring.End{Box: box, Wire: v.Wire}, As: c.markFor(t)})
		if to, ok := p.groundIn(box, w.Wire); ok {
			grounds = append(grounds, wiring.JoinSplice{Box: box, Join: []wiring.Joint{to, {Wire: w.Wire}}})
		}
	}
	if c.forLine(v.core.Colour) || does == wiring.NeutralConductor {
		return []Fix{newFix(slices.Concat(exchange, grounds)...)}
	}
	out := []Fix{newFix(slices.Concat(exchange, grounds, marks)...)}
	m := p.metal()
	for k := range m.wires {
		u := &m.wires[k]
		if u.cable != w.cable || u.ground || u.Wire == v.Wire || !c.forLine(u.core.Colour) {
			continue
		}
		var as []wiring.Edit
		for _, box := range w.box {
			as = append(as, wiring.SwapWires{Box: box, A: v.Wire, B: u.Wire})
		}
		out = append(out, newFix(slices.Concat(exchange, as, grounds, marks)...))
	}
	return out
}

// groundIn returns what a grounding conductor is joined with in a box: another one, or else
// the grounding terminal of a device, light or metal box.
func (p *Pass) groundIn(box string, not wiring.Wire) (wiring.Joint, bool) {
	for _, e := range p.job.Wiring.Ends(box) {
		if j := (wiring.Joint{Wire: e.Wire}); e.Wire != not && p.groundJoint(j) {
			return j, true
		}
	}
	var owners []string
	for _, d := range p.devicesIn(box) {
		owners = append(owners, d.Name)
	}
	for i := range p.spec.Lights {
		if l := &p.spec.Lights[i]; l.Box == box && l.On == "" {
			owners = append(owners, l.Name)
		}
	}
	if p.box(box).Metal {
		owners = append(owners, "box")
	}
	if len(owners) == 0 {
		return wiring.Joint{}, false
	}
	return wiring.Joint{Device: owners[0], Terminal: "ground"}, true
}

// lightsOn returns how many lights have an end on the metal of a wire.
func (p *Pass) lightsOn(w *wire) float64 {
	m := p.metal()
	lights := 0.0
	for l := range p.job.Wiring.Net().Loads() {
		for _, t := range l.Terminals() {
			if x, _ := m.on(t); x == m.piece[w.term[0]] || x == m.piece[w.term[1]] {
				lights++
			}
		}
	}
	return lights
}

// broken reports which pieces have a grounding conductor and no ground, and are used for
// nothing else; the wires on each, in name order.
func (p *Pass) broken() (map[int32][]wiring.End, []int32) {
	m := p.metal()
	out := map[int32][]wiring.End{}
	var order []int32
	for i := range m.wires {
		w := &m.wires[i]
		if !w.ground {
			continue
		}
		for e, t := range w.term {
			x := m.piece[t]
			if m.railed(x) || e == 1 && !w.known {
				continue
			}
			end := wiring.End{Box: w.box[e], Wire: w.Wire}
			if f, _ := p.job.Wiring.FunctionAt(end); f.Kind != wiring.Spare && f.Kind != wiring.Loose {
				continue
			}
			if out[x] == nil {
				order = append(order, x)
			}
			out[x] = append(out[x], end)
		}
	}
	return out, order
}

func groundBroken(p *Pass) error {
	m := p.metal()
	ends, order := p.broken()
	for _, x := range order {
		f := Finding{Place: p.endPlace(ends[x][0]), Section: p.section(rules.GroundsUnbroken),
			Message: fmt.Sprintf("%s leads back to no ground", ends[x][0].Wire)}
		for i, t := range m.terms {
			if t.Name == "ground" && m.piece[i] == x {
				f.Related = append(f.Related, p.devicePlace(t.Owner()))
			}
		}
		for _, e := range ends[x] {
			f.Fixes = append(f.Fixes, newFix(wiring.Mend{Wire: e.Wire}))
			for i := range p.spec.Splices {
				s := &p.spec.Splices[i]
				if y, ok := m.on(joinTerminal(s.Box, s.Join[0])); ok && s.Box == e.Box && len(m.ground[y]) > 0 && len(m.neutral[y])+len(m.hot[y]) == 0 {
					f.Fixes = append(f.Fixes, newFix(wiring.JoinSplice{Box: s.Box, Join: []wiring.Joint{s.Join[0], {Wire: e.Wire}}}))
				}
			}
			for k := range p.spec.Feeds {
				if p.spec.Feeds[k].Box == e.Box {
					f.Fixes = append(f.Fixes, newFix(wiring.MoveLanding{End: e, Device: p.spec.Feeds[k].Name, Terminal: "ground"}))
				}
			}
		}
		p.Report(f)
	}
	return nil
}
