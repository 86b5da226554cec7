package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on lamps that stay live.
var lampRules = []Rule{
	{Code: "neutral-switched", Topic: ShockFire, Doc: "A switch that opens the neutral of a light, whose hot stays live when it is off.",
		Yields: []Code{"polarity-flips"}, Find: neutralSwitched},
	{Code: "live-when-off", Topic: ShockFire, Doc: "A light with both ends live while it is off.",
		Yields: []Code{"polarity-flips", "neutral-switched", "never-lit"}, Find: liveWhenOff},
	{Code: "polarity-flips", Topic: ShockFire, Doc: "A light whose hot and neutral ends change with the switches: hot and neutral on the throws.", Find: polarityFlips},
	{Code: "neutral-on-throw", Topic: ShockFire, Doc: "A switch with a neutral or a ground on one throw and a hot on another: the full voltage stands between them, and a device put in by the book is a short.",
		Find: neutralOnThrow},
	{Code: "shell-on-hot", Topic: ShockFire, Doc: "A light whose neutral end, the screw shell, is on the hot.", Find: shellOnHot},
	{Code: "receptacle-reversed", Topic: ShockFire, Doc: "A receptacle with a hot on a neutral terminal, or the reverse.", Find: receptacleReversed},
	{Code: "light-on-ground", Topic: ShockFire, Doc: "A light whose current returns by the grounding conductor.", Find: lightOnGround},
}

var (
	earth = []switchnet.ConditionKind{switchnet.OnNeutral, switchnet.OnGround}
)

// polarity returns the states in which a lamp is lit with the hot at its hot end, and
// with the hot at its neutral end. Only for a lamp with no end earthed for good.
func (p *Pass) polarity(l *lamp) (right, wrong *allstates.Set, err error) {
	a, err := p.Analysis()
	if err != nil {
		return nil, nil, err
	}
	lit := allstates.LoadIs(l.ref, switchnet.Lit)
	sets := [2]*allstates.Set{}
	for e := range sets {
		sets[e], err = a.Find(p.ctx, lit, allstates.TerminalIs(l.ends[e], switchnet.Live), allstates.TerminalIs(l.ends[1-e], earth...))
		if err != nil {
			return nil, nil, err
		}
	}
	return sets[0], sets[1], nil
}

// floating returns the lamps that do one of some things in some state and have no end
// earthed for good.
func (p *Pass) floating(do ...switchnet.LoadStatus) ([]*lamp, error) {
	lamps, err := p.lamps()
	if err != nil {
		return nil, err
	}
	var out []*lamp
	for i := range lamps {
		if l := &lamps[i]; l.earthed(p.metal()) == -1 && slices.ContainsFunc(do, l.load.Can) {
			out = append(out, l)
		}
	}
	return out, nil
}

func neutralSwitched(p *Pass) error {
	lamps, err := p.floating(switchnet.Lit)
	if err != nil {
		return err
	}
	for _, l := range lamps {
		right, wrong, err := p.polarity(l)
		if err != nil {
			return err
		}
		for _, set := range []*allstates.Set{right, wrong} {
			s, ok := set.Witness()
			if !ok {
				continue
			}
			by, err := neutralOpeners(s, l.ref)
			if err != nil {
				return err
			}
			if len(by) == 0 {
				continue
			}
			verb := "switches"
			if len(by) > 1 {
				verb = "switch"
			}
			p.Report(Finding{Place: p.devicePlace(by[0]), About: l.ref, Related: []Place{p.devicePlace(l.ref)},
				Section: p.section(rules.NeutralNotSwitched), Fixes: append(p.feedsReversed(), p.exchangePolarity(by[0].Place)...),
				Message: fmt.Sprintf("%s %s the neutral of %s; its hot stays live when it is off", names(by), verb, l.ref.Name),
				Witness: []Witness{p.witness(s, l.law.Matter)}})
			break
		}
	}
	return nil
}

// exchangePolarity proposes to exchange two conductors of each of two cables in a box:
// what came by the white then comes by the black.
func (p *Pass) exchangePolarity(box string) []Fix {
	cores := map[string][]wiring.Wire{}
	var cables []string
	for _, e := range p.job.Wiring.Ends(box) {
		if p.groundJoint(wiring.Joint{Wire: e.Wire}) || p.idleEnd(e) {
			continue
		}
		if cores[e.Wire.Cable] == nil {
			cables = append(cables, e.Wire.Cable)
		}
		cores[e.Wire.Cable] = append(cores[e.Wire.Cable], e.Wire)
	}
	var out []Fix
	for i, a := range cables {
		for _, b := range cables[i+1:] {
			if len(cores[a]) == 2 && len(cores[b]) == 2 {
				out = append(out, newFix(wiring.SwapWires{Box: box, A: cores[a][0], B: cores[a][1]}, wiring.SwapWires{Box: box, A: cores[b][0], B: cores[b][1]}))
			}
		}
	}
	return out
}

// neutralOpeners returns the switches through which a lit lamp's current returns, in
// the order in which it passes them, without those that open its hot as well.
func neutralOpeners(s switchnet.State, load switchnet.Ref) ([]switchnet.Ref, error) {
	v, err := s.Net().NewSolver().Solve(s)
	if err != nil {
		return nil, err
	}
	paths, err := v.Paths(load, &switchnet.PathOptions{Max: 1})
	if err != nil || len(paths.List) == 0 {
		return nil, err
	}
	var out, back []switchnet.Ref
	passed := false
	for _, step := range paths.List[0].Steps {
		switch step.Kind {
		case switchnet.ByLoad:
			passed = true
		case switchnet.ByContact:
			r := step.From.Owner()
			if d, ok := s.Net().Device(r); !ok || d.Kind.Breaker || len(d.Kind.Positions) < 2 {
				continue
			}
			if passed && !slices.Contains(back, r) {
				back = append(back, r)
			} else if !passed {
				out = append(out, r)
			}
		}
	}
	return slices.DeleteFunc(back, func(r switchnet.Ref) bool { return slices.Contains(out, r) }), nil
}

func liveWhenOff(p *Pass) error {
	lamps, err := p.floating(switchnet.Lit, switchnet.Dim, switchnet.Unlit)
	if err != nil {
		return err
	}
	a, err := p.Analysis()
	if err != nil {
		return err
	}
	for _, l := range lamps {
		set, err := a.Find(p.ctx, allstates.LoadIs(l.ref, switchnet.Unlit), allstates.Hazardous(l.ends[0]), allstates.Hazardous(l.ends[1]))
		if err != nil {
			return err
		}
		if s, ok := set.Witness(); ok {
			p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Witness: []Witness{p.witness(s, l.law.Matter)},
				Message: "both ends of " + l.ref.Name + " are live while it is off"})
		}
	}
	return nil
}

func polarityFlips(p *Pass) error {
	lamps, err := p.floating(switchnet.Lit)
	if err != nil {
		return err
	}
	for _, l := range lamps {
		right, wrong, err := p.polarity(l)
		if err != nil {
			return err
		}
		s, ok := right.Witness()
		t, ok2 := wrong.Witness()
		if ok && ok2 {
			p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Section: p.section(rules.SwitchUngroundedOnly),
				Witness: []Witness{p.witness(s, l.law.Matter), p.witness(t, l.law.Matter)},
				Message: l.ref.Name + " has its hot now at one end and now at the other: hot and neutral are both on the throws, the full voltage between them; a dimmer does not outlast that, and a device landed by the book is a short"})
		}
	}
	return nil
}

func shellOnHot(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		if !l.wiredIn() {
			continue
		}
		var witness []Witness
		switch l.earthed(p.metal()) {
		case 0:
			if !l.load.Can(switchnet.Lit) {
				continue
			}
		case -1:
			right, wrong, err := p.polarity(l)
			if err != nil {
				return err
			}
			s, ok := wrong.Witness()
			if !ok || !right.Empty() {
				continue
			}
			witness = []Witness{p.witness(s, l.law.Matter)}
		default:
			continue
		}
		p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Section: p.section(rules.ShellOnNeutral), Witness: witness,
			Message: "the neutral end of " + l.ref.Name + " is on the hot, and so is the shell that a hand can touch",
			Fixes:   append(p.feedsReversed(), newFix(wiring.SwapTerminals{Box: l.ref.Place, A: wiring.Joint{Device: l.ref.Name, Terminal: "hot"}, B: wiring.Joint{Device: l.ref.Name, Terminal: "neutral"}}))})
	}
	return nil
}

func receptacleReversed(p *Pass) error {
	m := p.metal()
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if len(d.Kind.Positions) != 1 {
			continue
		}
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		var bad []switchnet.Terminal
		for _, name := range d.Kind.Terminals {
			t := ref.Terminal(name)
			x, ok := m.on(t)
			if !ok {
				continue
			}
			hot, neutral := false, len(m.neutral[x])+len(m.ground[x]) > 0
			for _, y := range m.reach(x) {
				hot = hot || len(m.hot[y]) > 0
			}
			if isNeutral(name) && hot && !neutral || isHot(name) && neutral {
				bad = append(bad, t)
			}
		}
		if len(bad) == 0 {
			continue
		}
		f := Finding{Place: p.terminalPlace(bad[0]), About: ref, Section: p.section(rules.TerminalPolarity), Message: fmt.Sprintf("%s is on a hot where it should be on a neutral, or the reverse", ref), Fixes: p.feedsReversed()}
		var swaps []wiring.Edit
		for _, name := range d.Kind.Terminals {
			if !isHot(name) {
				continue
			}
			other := "neutral" + name[len("hot"):]
			if slices.Contains(d.Kind.Terminals, other) {
				swaps = append(swaps, wiring.SwapTerminals{Box: d.Box, A: wiring.Joint{Device: d.Name, Terminal: name}, B: wiring.Joint{Device: d.Name, Terminal: other}})
				f.Fixes = append(f.Fixes, newFix(swaps[len(swaps)-1]))
			}
		}
		if len(swaps) > 1 {
			f.Fixes = append(f.Fixes, newFix(swaps...))
		}
		p.Report(f)
	}
	return nil
}

func isHot(terminal string) bool     { return len(terminal) >= 3 && terminal[:3] == "hot" }
func isNeutral(terminal string) bool { return len(terminal) >= 7 && terminal[:7] == "neutral" }

func lightOnGround(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	m := p.metal()
	a, err := p.Analysis()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		if !l.load.Can(switchnet.Lit) && !l.load.Can(switchnet.Dim) {
			continue
		}
		e := l.earthed(m)
		f := Finding{Place: p.devicePlace(l.ref), About: l.ref, Fixes: p.feedsReversed(), Section: p.section(rules.GroundNotConductor), Message: "the current of " + l.ref.Name + " returns by a grounding conductor"}
		switch {
		case e >= 0:
			if x := l.piece[e]; len(m.neutral[x]) > 0 || len(m.ground[x]) == 0 {
				continue
			}
		case e == -1:
			found := false
			for _, t := range l.ends {
				set, err := a.Find(p.ctx, allstates.LoadIs(l.ref, switchnet.Lit), allstates.TerminalIs(t, switchnet.OnGround))
				if err != nil {
					return err
				}
				if s, ok := set.Witness(); ok && !found {
					found = true
					f.Witness = []Witness{p.witness(s, l.law.Matter)}
				}
			}
			if !found {
				continue
			}
		default:
			continue
		}
		p.Report(f)
	}
	return nil
}
