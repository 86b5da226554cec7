package check

import (
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on metal that a hand can touch.
var bondRules = []Rule{
	{Code: "metal-live", Topic: ShockFire, Doc: "The yoke of a device, a metal box or the body of a light that is live in some state.", Find: metalLive},
	{Code: "metal-on-neutral", Topic: ShockFire, Doc: "The yoke of a device, a metal box or the body of a light bonded to a neutral: it is live when that opens.",
		Yields: []Code{"metal-live"}, Find: metalOnNeutral},
	{Code: "box-unbonded", Topic: ShockFire, Doc: "A metal box that is joined to no ground.", Yields: []Code{"metal-live", "metal-on-neutral"}, Find: boxUnbonded},
	{Code: "yoke-unbonded", Topic: ShockFire, Doc: "A device whose yoke is joined to no ground.", Yields: []Code{"metal-live", "metal-on-neutral"}, Find: yokeUnbonded},
	{Code: "light-unbonded", Topic: ShockFire, Doc: "A light whose grounding lead is joined to no ground.", Yields: []Code{"metal-live", "metal-on-neutral"}, Find: lightUnbonded},
}

// bare returns the things that a hand can touch, by the metal of their grounding
// terminals, where it is joined to no ground for good: devices, metal boxes and lights
// that are wired in, in that order.
func (p *Pass) bare() []bonded {
	if p.touch != nil {
		return p.touch
	}
	m := p.metal()
	out := []bonded{}
	add := func(ref switchnet.Ref) {
		if x, ok := m.on(ref.Terminal("ground")); ok && len(m.ground[x]) == 0 {
			out = append(out, bonded{ref, x})
		}
	}
	for i := range p.spec.Devices {
		add(switchnet.Ref{Place: p.spec.Devices[i].Box, Name: p.spec.Devices[i].Name})
	}
	for i := range p.spec.Boxes {
		if b := &p.spec.Boxes[i]; b.Metal && b.Kind != wiring.Panel {
			add(switchnet.Ref{Place: b.Name, Name: "box"})
		}
	}
	for i := range p.spec.Lights {
		if v := &p.spec.Lights[i]; v.On == "" {
			add(switchnet.Ref{Place: v.Box, Name: v.Name})
		}
	}
	p.touch = out
	return out
}

// bonded is a thing that a hand can touch, and the piece its grounding terminal is on.
type bonded struct {
	ref   switchnet.Ref
	piece int32
}

// alone reports whether nothing but grounding terminals and wires is on a piece: no
// contact, no light, no rail.
func (p *Pass) alone(piece int32) bool {
	m := p.metal()
	if m.railed(piece) || len(m.at[piece]) > 0 {
		return false
	}
	for l := range p.job.Wiring.Net().Loads() {
		for _, t := range l.Terminals() {
			if x, _ := m.on(t); x == piece {
				return false
			}
		}
	}
	return true
}

func metalLive(p *Pass) error {
	for _, b := range p.bare() {
		if p.alone(b.piece) {
			continue
		}
		a, err := p.Analysis()
		if err != nil {
			return err
		}
		set, err := a.Find(p.ctx, allstates.Hazardous(b.ref.Terminal("ground")))
		if err != nil {
			return err
		}
		s, ok := set.Witness()
		if !ok {
			continue
		}
		f := Finding{Place: p.devicePlace(b.ref), About: b.ref, Message: p.body(b.ref) + " is live", Fixes: p.bond(b.ref)}
		if len(p.metal().hot[b.piece]) == 0 {
			f.Message += " in some state"
			f.Witness = []Witness{p.witness(s, nil)}
		}
		p.Report(f)
	}
	return nil
}

func metalOnNeutral(p *Pass) error {
	m := p.metal()
	for _, b := range p.bare() {
		if p.alone(b.piece) {
			continue
		}
		f := Finding{Place: p.devicePlace(b.ref), About: b.ref, Fixes: append(p.feedsReversed(), p.bond(b.ref)...), Section: p.section(rules.NeutralNotGround),
			Message: p.body(b.ref) + " is bonded to a neutral and to no ground: it is live wherever that opens"}
		if len(m.neutral[b.piece]) == 0 {
			a, err := p.Analysis()
			if err != nil {
				return err
			}
			set, err := a.Find(p.ctx, allstates.TerminalIs(b.ref.Terminal("ground"), switchnet.OnNeutral))
			if err != nil {
				return err
			}
			s, ok := set.Witness()
			if !ok {
				continue
			}
			f.Witness = []Witness{p.witness(s, nil)}
		}
		p.Report(f)
	}
	return nil
}

// body returns what a hand touches of a thing.
func (p *Pass) body(ref switchnet.Ref) string {
	if ref.Name == "box" {
		return "metal box " + ref.Place
	}
	if slices.ContainsFunc(p.spec.Lights, func(l wiring.Light) bool { return l.Box == ref.Place && l.Name == ref.Name }) {
		return "the body of " + ref.Name
	}
	return "the yoke of " + ref.String()
}

// bond proposes to take a grounding terminal out of whatever it is in and to join it
// with the grounds of its box.
func (p *Pass) bond(ref switchnet.Ref) []Fix {
	var out []Fix
	j := wiring.Joint{Device: ref.Name, Terminal: "ground"}
	var before []wiring.Edit
	for i := range p.spec.Splices {
		if s := &p.spec.Splices[i]; s.Box == ref.Place && len(s.Join) > 1 && slices.Contains(s.Join, j) {
			before = []wiring.Edit{wiring.SplitSplice{Box: s.Box, Out: []wiring.Joint{j}}}
		}
	}
	add := func(to wiring.Joint) {
		out = append(out, newFix(slices.Concat(before, []wiring.Edit{wiring.JoinSplice{Box: ref.Place, Join: []wiring.Joint{to, j}}})...))
	}
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		if s.Box != ref.Place || slices.Contains(s.Join, j) {
			continue
		}
		if k := slices.IndexFunc(s.Join, p.groundJoint); k >= 0 {
			add(s.Join[k])
		}
	}
	for _, e := range p.job.Wiring.Ends(ref.Place) {
		if w := (wiring.Joint{Wire: e.Wire}); p.groundJoint(w) {
			add(w)
		}
	}
	return out
}

// unbonded reports a grounding terminal that is joined to no ground, unless a broken
// grounding conductor is the reason.
func (p *Pass) unbonded(kind func(switchnet.Ref) bool, name rules.Name) {
	m := p.metal()
	for _, b := range p.bare() {
		if !kind(b.ref) || m.railed(b.piece) {
			continue
		}
		if ends, _ := p.broken(); ends[b.piece] != nil {
			continue
		}
		f := Finding{Place: p.devicePlace(b.ref), About: b.ref, Section: p.section(name), Fixes: p.bond(b.ref),
			Message: p.body(b.ref) + " is joined to no ground"}
		if !p.groundReaches(b.ref.Place) {
			f.ByHand = true
			f.Message += ", and none comes to its box"
			if law, ok := p.law(rules.ReplacementWithoutGround); ok && law.Says == rules.Permitted && name == rules.SwitchBonded {
				f.Message += "; " + law.Source.String() + " may let a replacement be" + noted(&law)
			}
		}
		p.Report(f)
	}
}

// groundReaches reports whether a grounding conductor, or a feed, is in a box.
func (p *Pass) groundReaches(box string) bool {
	return slices.ContainsFunc(p.spec.Feeds, func(f wiring.Feed) bool { return f.Box == box }) ||
		slices.ContainsFunc(p.job.Wiring.Ends(box), func(e wiring.End) bool { return p.groundJoint(wiring.Joint{Wire: e.Wire}) })
}

func boxUnbonded(p *Pass) error {
	p.unbonded(func(r switchnet.Ref) bool { return r.Name == "box" && len(p.job.Wiring.Ends(r.Place)) > 0 }, rules.GroundsJoined)
	return nil
}

func yokeUnbonded(p *Pass) error {
	p.unbonded(func(r switchnet.Ref) bool { return p.kind(r) != nil }, rules.SwitchBonded)
	return nil
}

func lightUnbonded(p *Pass) error {
	p.unbonded(func(r switchnet.Ref) bool {
		return slices.ContainsFunc(p.spec.Lights, func(l wiring.Light) bool { return l.Box == r.Place && l.Name == r.Name })
	}, rules.GroundsJoined)
	return nil
}
