package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on workmanship.
var workRules = []Rule{
	{Code: "loose-end", Topic: Workmanlike, Doc: "The end of a conductor that is landed nowhere and not capped.", Find: looseEnd},
	{Code: "open-conductor", Topic: Workmanlike, Doc: "A conductor that is broken along its run and in use at both ends.", Find: openConductor},
	{Code: "two-under-one-screw", Topic: Workmanlike, Doc: "Two conductors under one screw of a device.", Find: twoUnderOneScrew},
	{Code: "one-ended-splice", Topic: Workmanlike, Doc: "A splice with a single thing in it.", Find: oneEndedSplice},
	{Code: "wrong-switch", Topic: Workmanlike, Doc: "A switch with a contact that nothing uses, a four-way where a three-way would stand; or a single-pole among several places.",
		Find: wrongSwitch},
	{Code: "travelers-apart", Topic: Workmanlike, Doc: "The travelers of one pair in two cables.", Find: travelersApart},
	{Code: "untagged", Topic: Workmanlike, Doc: "A traveler without a tag, in a job that has tags.", Find: untagged},
	{Code: "doubled-tag", Topic: Workmanlike, Doc: "Two tags that say the same of conductors that do different things, or two tags on one end.", Find: doubledTag},
	{Code: "pushed-in", Topic: Workmanlike, Doc: "A conductor that a spring behind the device holds, and not its screw.", Find: pushedIn},
	{Code: "circuits-untagged", Topic: Workmanlike, Doc: "Two circuits in one box, and no tag that says which neutral or hot is whose.", Find: circuitsUntagged},
}

// ends yields every end of a wire that is in a known box, cables in name order.
func (p *Pass) ends(yield func(w *wire, e wiring.End, x int32) bool) {
	m := p.metal()
	for i := range m.wires {
		w := &m.wires[i]
		for k := range w.box {
			if k == 1 && !w.known {
				continue
			}
			if !yield(w, wiring.End{Box: w.box[k], Wire: w.Wire}, m.piece[w.term[k]]) {
				return
			}
		}
	}
}

func looseEnd(p *Pass) error {
	p.ends(func(w *wire, e wiring.End, _ int32) bool {
		if u, _ := p.job.Wiring.Use(e); u != wiring.Hanging {
			return true
		}
		f := Finding{Place: p.endPlace(e), Section: p.section(rules.FreeEndsCovered), Message: e.String() + " is landed nowhere and not capped"}
		for i := range p.spec.Splices {
			if s := &p.spec.Splices[i]; s.Box == e.Box && w.ground {
				if k := slices.IndexFunc(s.Join, p.groundJoint); k >= 0 {
					f.Fixes = append(f.Fixes, newFix(wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{s.Join[k], {Wire: e.Wire}}}))
				}
			}
		}
		if w.ground { // a ground is joined with the others of its box
			for i := range p.spec.Feeds {
				if v := &p.spec.Feeds[i]; v.Box == e.Box {
					f.Fixes = append(f.Fixes, newFix(wiring.MoveLanding{End: e, Device: v.Name, Terminal: "ground"}))
				}
			}
		}
		if !w.ground || p.soleGround(e) {
			f.Fixes = append(f.Fixes, newFix(wiring.CapEnd{End: e}))
		}
		p.Report(f)
		return true
	})
	return nil
}

// soleGround reports whether nothing else in the box of an end is for grounding, so that
// there is nothing to join it with.
func (p *Pass) soleGround(e wiring.End) bool {
	b := p.box(e.Box)
	return !b.Metal && b.Kind != wiring.Panel && len(p.devicesIn(e.Box)) == 0 &&
		!slices.ContainsFunc(p.spec.Lights, func(l wiring.Light) bool { return l.Box == e.Box }) &&
		!slices.ContainsFunc(p.job.Wiring.Ends(e.Box), func(o wiring.End) bool { return o != e && p.groundJoint(wiring.Joint{Wire: o.Wire}) })
}

func openConductor(p *Pass) error {
	m := p.metal()
	for i := range m.wires {
		w := &m.wires[i]
		if !w.open {
			continue
		}
		used := 0
		for _, box := range w.box {
			if u, _ := p.job.Wiring.Use(wiring.End{Box: box, Wire: w.Wire}); u == wiring.Landed || u == wiring.Spliced {
				used++
			}
		}
		if used < 2 {
			continue
		}
		f := Finding{Place: p.cablePlace(w.Cable), Message: fmt.Sprintf("%s is broken along its run and in use at both ends", w.Wire), Fixes: []Fix{newFix(wiring.Mend{Wire: w.Wire})}}
		f.Place.Conductor = w.Conductor
		if k := slices.Index(p.spec.Opens, w.Wire); k >= 0 {
			f.Place.At = wiring.Ref{List: "opens", Index: k}
		}
		p.Report(f)
	}
	return nil
}

// pushedIn finds what is pushed in. No code forbids it; a spring that loosens is one of the
// places where old lights flicker, and whoever asks for a screw wants to know.
func pushedIn(p *Pass) error {
	for i := range p.spec.Landings {
		l := &p.spec.Landings[i]
		if !l.PushIn {
			continue
		}
		t := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		e := wiring.End{Box: l.Box, Wire: l.Wire}
		f := Finding{Place: p.endPlace(e), About: t.Owner(), Message: fmt.Sprintf("%s is pushed into %v and not under its screw", e, t),
			Fixes: []Fix{newFix(wiring.MoveLanding{End: e, Device: l.Device, Terminal: l.Terminal})}}
		f.Place.At = wiring.Ref{List: "landings", Index: i}
		p.Report(f)
	}
	return nil
}

func twoUnderOneScrew(p *Pass) error {
	landed, spliced := map[switchnet.Terminal][]int{}, map[switchnet.Terminal][]int{}
	for i := range p.spec.Landings {
		l := &p.spec.Landings[i]
		t := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		landed[t] = append(landed[t], i)
	}
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		for _, j := range s.Join {
			if j.Device != "" {
				t := joinTerminal(s.Box, j)
				spliced[t] = append(spliced[t], i)
			}
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		for _, name := range append(slices.Clone(d.Kind.Terminals), "ground") {
			t := switchnet.Terminal{Place: d.Box, Device: d.Name, Name: name}
			list, pigtails := landed[t], spliced[t]
			if len(list)+len(pigtails) < 2 || len(list) == 0 {
				continue // a screw with jumpers and pigtails only may be one that is made for it
			}
			slices.SortFunc(list, func(a, b int) int {
				return joinCompare(wiring.Joint{Wire: p.spec.Landings[a].Wire}, wiring.Joint{Wire: p.spec.Landings[b].Wire})
			})
			f := Finding{Place: p.terminalPlace(t), About: t.Owner(), Section: p.section(rules.OneUnderATerminal), Message: fmt.Sprintf("%d conductors are under one screw, %v", len(list)+len(pigtails), t)}
			f.Place.At = wiring.Ref{List: "landings", Index: slices.Max(list)}
			joints := []wiring.Joint{{Device: d.Name, Terminal: name}}
			for _, k := range list {
				joints = append(joints, wiring.Joint{Wire: p.spec.Landings[k].Wire})
				f.Related = append(f.Related, p.endPlace(wiring.End{Box: d.Box, Wire: p.spec.Landings[k].Wire}))
			}
			if len(pigtails) == 0 {
				joints = append(joints[1:], joints[0]) // a new splice, named by its wires
			}
			f.Fixes = []Fix{newFix(wiring.JoinSplice{Box: d.Box, Join: joints})}
			p.Report(f)
		}
	}
	return nil
}

func oneEndedSplice(p *Pass) error {
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		if len(s.Join) != 1 {
			continue
		}
		j := s.Join[0]
		f := Finding{Place: p.splicePlace(i), Message: fmt.Sprintf("%v is alone in its splice in box %s", j, s.Box)}
		if j.Device == "" && !p.groundJoint(j) {
			f.Fixes = []Fix{newFix(wiring.CapEnd{End: wiring.End{Box: s.Box, Wire: j.Wire}})}
		}
		p.Report(f)
	}
	return nil
}

// replace returns the edit that puts another kind of device in the place of one.
func replace(ref switchnet.Ref, k switchnet.Kind, rename map[string]string) wiring.Edit {
	return wiring.ReplaceDevice{Device: ref, Kind: k, Rename: rename}
}

// wrongSwitch finds switches with terminals that nothing is on. A switch that its light
// does not obey is told by the rules on function.
func wrongSwitch(p *Pass) error {
	failing, err := p.failing()
	if err != nil {
		return err
	}
	used := map[switchnet.Terminal]bool{}
	for i := range p.spec.Landings {
		l := &p.spec.Landings[i]
		used[switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}] = true
	}
	for i := range p.spec.Splices {
		for _, j := range p.spec.Splices[i].Join {
			if j.Device != "" {
				used[switchnet.Terminal{Place: p.spec.Splices[i].Box, Device: j.Device, Name: j.Terminal}] = true
			}
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if len(d.Kind.Positions) < 2 {
			continue
		}
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		var idle, busy []string
		for _, t := range d.Kind.Terminals {
			switch {
			case isNeutral(t):
			case used[ref.Terminal(t)]:
				busy = append(busy, t)
			default:
				idle = append(idle, t)
			}
		}
		fails := slices.Contains(failing, ref)
		f := Finding{Place: p.devicePlace(ref), About: ref}
		switch {
		case fails && len(idle) == 0 && len(busy) == 2:
			f.Message = fmt.Sprintf("%s, a %s, is one of several places of a light: an end wants a three-way, a place between a four-way", ref, d.Kind.Name)
			f.Fixes = p.wider(ref, busy)
		case len(idle) == 0 || len(busy) == 0:
			continue // all of it is used, or it is not wired at all
		case fails:
			f.Message = fmt.Sprintf("nothing is on %s of %s, a %s", list(idle), ref, d.Kind.Name)
		default:
			f.Message = fmt.Sprintf("nothing is on %s of %s, a %s: a simpler switch would do", list(idle), ref, d.Kind.Name)
			f.Fixes = p.simpler(ref, &d.Kind, busy)
		}
		p.Report(f)
	}
	return nil
}

// failing returns the devices of controls with several places of which not every one
// toggles every light from every state.
func (p *Pass) failing() ([]switchnet.Ref, error) {
	if len(p.job.Intent.Controls) == 0 {
		return nil, nil
	}
	lamps, err := p.lamps()
	if err != nil {
		return nil, err
	}
	var out []switchnet.Ref
	for i := range lamps {
		l := &lamps[i]
		if places, ok := p.controlled(l); ok && len(places) > 1 && !containsAll(l.law.Toggle, places) {
			out = append(out, places...)
		}
	}
	return out, nil
}

// wider proposes a three-way, with an idle wire of the box on its third terminal.
func (p *Pass) wider(ref switchnet.Ref, busy []string) []Fix {
	var out []Fix
	for i := range busy {
		r := map[string]string{busy[i]: "common", busy[1-i]: "traveler 1"}
		for _, e := range p.job.Wiring.Ends(ref.Place) {
			if u, _ := p.job.Wiring.Use(e); (u == wiring.Hanging || u == wiring.Capped) && !p.groundJoint(wiring.Joint{Wire: e.Wire}) {
				out = append(out, newFix(replace(ref, switchnet.ThreeWay(), r), wiring.MoveLanding{End: e, Device: ref.Name, Terminal: "traveler 2"}))
			}
		}
	}
	return out
}

// simpler proposes switches that have as many terminals as are in use.
func (p *Pass) simpler(ref switchnet.Ref, k *switchnet.Kind, busy []string) []Fix {
	var out []Fix
	switch {
	case len(busy) == 2:
		plain := switchnet.SinglePole()
		for _, r := range []map[string]string{{busy[0]: "line", busy[1]: "load"}, {busy[0]: "load", busy[1]: "line"}} {
			out = append(out, newFix(replace(ref, plain, r)))
		}
	case len(busy) == 3 && len(k.Terminals) > 3:
		for i, common := range busy {
			rest := slices.Delete(slices.Clone(busy), i, i+1)
			out = append(out, newFix(replace(ref, switchnet.ThreeWay(), map[string]string{common: "common", rest[0]: "traveler 1", rest[1]: "traveler 2"})))
		}
	}
	return out
}
