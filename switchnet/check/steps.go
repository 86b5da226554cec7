package check

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// general returns the single steps that may undo a fault in the boxes that a finding is
// about, those nearest to it first: what touches parted, what is broken mended, two
// terminals of a device exchanged, an end landed, spliced or moved to another splice, a
// lead moved to another splice, two wires of a box exchanged, a lead moved to a wire that
// is landed.
func (p *Pass) general(f *Finding) []Fix {
	var out []Fix
	add := func(edits ...wiring.Edit) {
		if !slices.ContainsFunc(edits, p.groundsOther) {
			out = append(out, newFix(edits...))
		}
	}
	for _, t := range p.spec.Ties {
		add(wiring.Untie(t))
	}
	for _, w := range p.spec.Opens {
		add(wiring.Mend{Wire: w})
	}
	boxes := p.near(f)
	for _, box := range boxes {
		for _, d := range p.devicesIn(box) {
			for i, a := range d.Kind.Terminals {
				for _, b := range d.Kind.Terminals[i+1:] {
					add(wiring.SwapTerminals{Box: box, A: wiring.Joint{Device: d.Name, Terminal: a}, B: wiring.Joint{Device: d.Name, Terminal: b}})
				}
			}
		}
	}
	for _, box := range boxes {
		p.moveEnds(box, add)
		p.moveLeads(box, false, add)
	}
	for _, box := range boxes {
		ends := p.job.Wiring.Ends(box)
		for i, a := range ends {
			for _, b := range ends[i+1:] {
				add(wiring.SwapWires{Box: box, A: a.Wire, B: b.Wire})
			}
		}
	}
	for _, box := range boxes {
		p.moveLeads(box, true, add)
	}
	return out
}

// land returns the edit that brings an end to a terminal of a device: a landing, or where
// something is on it already a splice with a pigtail, for a screw takes one conductor.
func (p *Pass) land(e wiring.End, device, terminal string) wiring.Edit {
	screw := wiring.Joint{Device: device, Terminal: terminal}
	for _, l := range p.spec.Landings {
		if l.Box == e.Box && l.Device == device && l.Terminal == terminal && l.Wire != e.Wire {
			return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{{Wire: l.Wire}, {Wire: e.Wire}, screw}}
		}
	}
	for _, s := range p.spec.Splices {
		if s.Box == e.Box && slices.Contains(s.Join, screw) && !slices.Contains(s.Join, wiring.Joint{Wire: e.Wire}) {
			return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{s.Join[0], {Wire: e.Wire}}}
		}
	}
	return wiring.MoveLanding{End: e, Device: device, Terminal: terminal}
}

// groundsOther reports whether an edit would join a grounding conductor or terminal with
// one that is not for grounding, which is never a cure.
func (p *Pass) groundsOther(e wiring.Edit) bool {
	switch e := e.(type) {
	case wiring.MoveLanding:
		return p.groundJoint(wiring.Joint{Wire: e.End.Wire}) != (e.Terminal == "ground")
	case wiring.JoinSplice:
		return slices.ContainsFunc(e.Join, p.groundJoint) && !allFunc(e.Join, p.groundJoint)
	}
	return false
}

func allFunc[T any](s []T, is func(T) bool) bool {
	return !slices.ContainsFunc(s, func(v T) bool { return !is(v) })
}

// idleEnd reports whether the end of a wire hangs or is capped.
func (p *Pass) idleEnd(e wiring.End) bool {
	u, _ := p.job.Wiring.Use(e)
	return u == wiring.Hanging || u == wiring.Capped
}

// moveEnds adds for a box every single wire end landed on, or spliced with, something
// else: those that are used for nothing first.
func (p *Pass) moveEnds(box string, add func(...wiring.Edit)) {
	ends := p.job.Wiring.Ends(box)
	for _, loose := range []bool{true, false} {
		for _, e := range ends {
			if p.idleEnd(e) != loose {
				continue
			}
			for _, d := range p.devicesIn(box) {
				for _, t := range d.Kind.Terminals {
					add(p.land(e, d.Name, t))
				}
			}
			p.landOnFeed(e, add)
			for i := range p.spec.Splices {
				if s := &p.spec.Splices[i]; s.Box == box && !slices.Contains(s.Join, wiring.Joint{Wire: e.Wire}) {
					add(wiring.JoinSplice{Box: box, Join: []wiring.Joint{s.Join[0], {Wire: e.Wire}}})
				}
			}
			for _, other := range ends {
				if other != e && p.idleEnd(other) && (!loose || e.Wire.String() < other.Wire.String()) {
					add(wiring.JoinSplice{Box: box, Join: []wiring.Joint{{Wire: other.Wire}, {Wire: e.Wire}}})
				}
			}
		}
	}
}

// landOnFeed adds an end landed on each terminal of the feeds of its box that nothing is
// on: to put a second circuit on a breaker is no cure of anything.
func (p *Pass) landOnFeed(e wiring.End, add func(...wiring.Edit)) {
	for i := range p.spec.Feeds {
		v := &p.spec.Feeds[i]
		if v.Box != e.Box {
			continue
		}
		for _, t := range p.feedTerminals(int32(i)) {
			if isHot(t) && slices.ContainsFunc(p.spec.Landings, func(l wiring.Landing) bool { return l.Box == v.Box && l.Device == v.Name && l.Terminal == t }) {
				continue
			}
			add(wiring.MoveLanding{End: e, Device: v.Name, Terminal: t})
		}
	}
}

// moveLeads adds for a box every lead or pigtail, of a light or a device, moved to
// another splice of the box or to a wire end that is used for nothing, or, landed, to a
// wire end that is landed, which then goes to its screw by a pigtail.
func (p *Pass) moveLeads(box string, landed bool, add func(...wiring.Edit)) {
	for _, j := range p.leads(box) {
		var before []wiring.Edit
		in := -1
		for i := range p.spec.Splices {
			if s := &p.spec.Splices[i]; s.Box == box && slices.Contains(s.Join, j) {
				in = i
				if len(s.Join) > 1 {
					before = []wiring.Edit{wiring.SplitSplice{Box: box, Out: []wiring.Joint{j}}}
				}
			}
		}
		to := func(o ...wiring.Joint) {
			add(slices.Concat(before, []wiring.Edit{wiring.JoinSplice{Box: box, Join: append(o, j)}})...)
		}
		if landed {
			for _, l := range p.spec.Landings {
				if screw := (wiring.Joint{Device: l.Device, Terminal: l.Terminal}); l.Box == box && screw.Device != j.Device { // its own would bypass the device
					to(wiring.Joint{Wire: l.Wire}, screw)
				}
			}
			continue
		}
		for i := range p.spec.Splices {
			if s := &p.spec.Splices[i]; s.Box == box && i != in {
				to(s.Join[0])
			}
		}
		for _, e := range p.job.Wiring.Ends(box) {
			if p.idleEnd(e) {
				to(wiring.Joint{Wire: e.Wire})
			}
		}
	}
}

// leads returns the terminals of a box that are in a splice, or on which nothing is, of
// its devices in name order and then of its lights.
func (p *Pass) leads(box string) []wiring.Joint {
	var out []wiring.Joint
	add := func(device string, terminals ...string) {
		for _, t := range terminals {
			if !slices.ContainsFunc(p.spec.Landings, func(l wiring.Landing) bool { return l.Box == box && l.Device == device && l.Terminal == t }) {
				out = append(out, wiring.Joint{Device: device, Terminal: t})
			}
		}
	}
	for _, d := range p.devicesIn(box) {
		add(d.Name, append(slices.Clone(d.Kind.Terminals), "ground")...)
	}
	var lights []string
	for i := range p.spec.Lights {
		if l := &p.spec.Lights[i]; l.Box == box && l.On == "" {
			lights = append(lights, l.Name)
		}
	}
	slices.Sort(lights)
	for _, name := range lights {
		add(name, "hot", "neutral", "ground")
	}
	return out
}

// near returns the boxes that a finding is about, the nearest first: that of its place,
// those of related places, those at the ends of their cables, and those of the switches
// that matter to its light or that are meant to.
func (p *Pass) near(f *Finding) []string {
	var out []string
	add := func(box string) {
		if box != "" && !slices.Contains(out, box) {
			out = append(out, box)
		}
	}
	add(f.Place.Box)
	cables := []string{f.Place.Cable}
	for _, r := range f.Related {
		add(r.Box)
		cables = append(cables, r.Cable)
	}
	for i := range p.spec.Cables {
		if c := &p.spec.Cables[i]; slices.Contains(cables, c.Name) {
			add(c.From)
			add(c.To)
		}
	}
	for i := range p.all {
		l := &p.all[i]
		places, _ := p.controlled(l)
		if l.ref != f.About && !slices.Contains(l.law.Matter, f.About) && !slices.Contains(places, f.About) {
			continue
		}
		for _, list := range [][]switchnet.Ref{l.law.Matter, places} {
			for _, r := range list {
				add(r.Place)
			}
		}
		add(l.ref.Place)
	}
	return out
}

// devicesIn returns the devices of a box in name order.
func (p *Pass) devicesIn(box string) []*wiring.Device {
	var out []*wiring.Device
	for i := range p.spec.Devices {
		if p.spec.Devices[i].Box == box {
			out = append(out, &p.spec.Devices[i])
		}
	}
	slices.SortFunc(out, func(a, b *wiring.Device) int { return strings.Compare(a.Name, b.Name) })
	return out
}
