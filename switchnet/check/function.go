package check

import (
	"fmt"
	"iter"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on what a wiring does.
var functionRules = []Rule{
	{Code: "never-lit", Topic: Function, Doc: "A light that no position of the switches lights.", Find: neverLit},
	{Code: "always-lit", Topic: Function, Doc: "A light of the building that no switch puts out.", Find: alwaysLit},
	{Code: "does-not-toggle", Topic: Function, Doc: "A place that does not change its light from every state, with the two states.", Find: doesNotToggle},
	{Code: "other-control", Topic: Function, Doc: "A switch that changes a light of another control.", Find: otherControl},
	{Code: "no-effect", Topic: Function, Doc: "A switch that matters to nothing.", Find: noEffect},
	{Code: "in-series", Topic: Function, Doc: "Lights in series: each gets a part of the voltage.", Find: inSeries},
	{Code: "wrong-voltage", Topic: Function, Doc: "A light at another voltage than it is made for.", Find: wrongVoltage},
	{Code: "short", Topic: ShockFire, Doc: "Rails joined that must be apart, with the state and the path.", Find: short},
}

func neverLit(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	m := p.metal()
	for i := range lamps {
		l := &lamps[i]
		if l.law.Kind != allstates.NeverLit || l.law.Dim || l.law.Faulted {
			continue // what is dim or shorted is told by the rules on that
		}
		why := ""
		for e := range l.ends {
			hot, earth := false, false
			for _, x := range m.reach(l.piece[e]) {
				hot = hot || len(m.hot[x]) > 0
				earth = earth || len(m.neutral[x])+len(m.ground[x]) > 0
			}
			switch {
			case !hot && !earth:
				why += fmt.Sprintf("; its %s end reaches nothing", l.ends[e].Name)
			case !earth && e == 1:
				why += "; its neutral end reaches no neutral"
			}
		}
		p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Message: l.ref.Name + " is lit in no state" + why})
	}
	return nil
}

func alwaysLit(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		_, wanted := p.controlled(l)
		if l.law.Kind != allstates.AlwaysLit || !l.wiredIn() || !wanted {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Message: l.ref.Name + " is lit in every state"})
	}
	return nil
}

func doesNotToggle(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		places, wanted := p.controlled(l)
		if !wanted || l.law.Kind == allstates.NeverLit || l.law.Kind == allstates.AlwaysLit || containsAll(l.law.Toggle, places) {
			continue
		}
		t, err := l.load.Toggles(p.moving(places)...)
		if err != nil {
			return err
		}
		seen := map[switchnet.Ref]bool{}
		for e := range t.Exceptions() {
			if seen[e.Switch] {
				continue
			}
			seen[e.Switch] = true
			p.Report(Finding{Place: p.devicePlace(e.Switch), About: l.ref, Related: []Place{p.devicePlace(l.ref)},
				Message: fmt.Sprintf("%s does not always toggle %s: it stays %v", e.Switch, l.ref.Name, e.Before) + masters(l),
				Witness: []Witness{p.witness(e.From, l.law.Matter), p.witness(e.To, l.law.Matter)}})
		}
	}
	return nil
}

// masters names, for a light that is lit only in certain positions of some switches,
// these switches.
func masters(l *lamp) string {
	if l.law.Kind != allstates.LitOnlyWhen || len(l.law.Needs) == 0 || len(l.law.Needs) == len(l.law.Matter) {
		return ""
	}
	out := "; it is lit only with "
	for i, n := range l.law.Needs {
		if i > 0 {
			out += " and "
		}
		out += n.Device.String() + " " + n.Positions[0]
	}
	return out
}

func containsAll(have, want []switchnet.Ref) bool {
	return !slices.ContainsFunc(want, func(r switchnet.Ref) bool { return !slices.Contains(have, r) })
}

// moving returns those of some devices that have more than one position.
func (p *Pass) moving(refs []switchnet.Ref) []switchnet.Ref {
	var out []switchnet.Ref
	for _, r := range refs {
		if d, ok := p.job.Wiring.Net().Device(r); ok && len(d.Kind.Positions) > 1 && !d.Kind.Breaker {
			out = append(out, r)
		}
	}
	return out
}

func otherControl(p *Pass) error {
	if len(p.job.Intent.Controls) == 0 {
		return nil
	}
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		places, wanted := p.controlled(l)
		if !wanted {
			continue
		}
		for _, r := range l.law.Matter {
			if !slices.Contains(places, r) {
				p.Report(Finding{Place: p.devicePlace(r), About: l.ref, Related: []Place{p.devicePlace(l.ref)},
					Message: fmt.Sprintf("%s changes %s, which it is not meant to", r, l.ref.Name)})
			}
		}
	}
	return nil
}

func noEffect(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	matter := map[switchnet.Ref]bool{}
	for i := range lamps {
		for _, r := range lamps[i].law.Matter {
			matter[r] = true
		}
	}
	var devices []switchnet.Ref
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if r := (switchnet.Ref{Place: d.Box, Name: d.Name}); len(d.Kind.Positions) > 1 && !matter[r] {
			devices = append(devices, r)
		}
	}
	for _, r := range devices {
		if on, err := p.feedsReceptacle(r); err != nil || on {
			if err != nil {
				return err
			}
			continue // something may be plugged in
		}
		p.Report(Finding{Place: p.devicePlace(r), About: r, Message: r.String() + " matters to no light"})
	}
	return nil
}

// feedsReceptacle reports whether a contact of a switch could join a receptacle to
// something.
func (p *Pass) feedsReceptacle(r switchnet.Ref) (bool, error) {
	m := p.metal()
	seen := map[int32]bool{}
	for i := range m.contacts {
		c := &m.contacts[i]
		if d := &p.spec.Devices[c.device]; d.Box == r.Place && d.Name == r.Name {
			for _, x := range c.piece {
				for _, y := range m.reach(x) {
					seen[y] = true
				}
			}
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if len(d.Kind.Positions) != 1 {
			continue
		}
		for _, t := range d.Kind.Terminals {
			if x, ok := m.on(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t}); ok && t != "ground" && seen[x] && len(m.neutral[x]) == 0 {
				return true, nil
			}
		}
	}
	return false, nil
}

func inSeries(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		if !l.law.Dim {
			continue
		}
		f := Finding{Place: p.devicePlace(l.ref), About: l.ref, Message: l.ref.Name + " is in series with other lights in some state"}
		if s, ok := l.load.States(switchnet.Dim).Witness(); ok {
			f.Witness = []Witness{p.witness(s, l.law.Matter)}
			v, err := s.Net().NewSolver().Solve(s)
			if err != nil {
				return err
			}
			paths, err := v.Paths(l.ref, &switchnet.PathOptions{Max: 1})
			if err != nil {
				return err
			}
			if len(paths.List) > 0 {
				for _, step := range paths.List[0].Steps {
					if r := step.From.Owner(); step.Kind == switchnet.ByLoad && r != l.ref {
						f.Related = append(f.Related, p.devicePlace(r))
					}
				}
			}
		}
		p.Report(f)
	}
	return nil
}

// mostStates is in how many states of the switches that matter to a light its voltage
// is looked at.
const mostStates = 1 << 14

func wrongVoltage(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	system := p.spec.Supply
	poles := slices.ContainsFunc(p.spec.Feeds, func(f wiring.Feed) bool { return max(f.Poles, len(f.Lines)) > 1 })
	for i := range lamps {
		l := &lamps[i]
		want := l.light.Volts
		if want == 0 {
			if poles {
				continue // it may be made for the voltage between lines
			}
			want = system.LineToNeutral
		}
		if !l.load.Can(switchnet.Lit) {
			continue
		}
		states, err := p.litStates(l, want)
		if err != nil {
			return err
		}
		n := 0
		var solver *switchnet.Solver
		for s := range states {
			if n++; n > mostStates {
				break
			}
			if solver == nil {
				solver = s.Net().NewSolver()
			}
			v, err := solver.Solve(s)
			if err != nil {
				return err
			}
			got, _ := v.Supply(l.ref)
			if got.Status == switchnet.Lit && !near(got.Volts, want) {
				p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Witness: []Witness{p.witness(s, l.law.Matter)},
					Message: fmt.Sprintf("%s gets %v and is made for %v", l.ref.Name, got.Volts, want)})
				break
			}
		}
	}
	return nil
}

// near reports whether a nominal voltage is that of a rating: within 15 percent, since
// 110, 115, 120 and 125 V, and 220 to 250 V, are names for one system.
func near(got, want quantity.Voltage) bool {
	d := got - want
	return max(d, -d)*100 <= want*15
}

// litStates returns the states of the switches that matter to a light in which it is
// lit; none where it could not be lit at another voltage than it is made for.
func (p *Pass) litStates(l *lamp, want quantity.Voltage) (iter.Seq[switchnet.State], error) {
	none := func(func(switchnet.State) bool) {}
	system := p.spec.Supply
	m := p.metal()
	var rails switchnet.RailSet
	for e := range l.ends {
		for _, x := range m.reach(l.piece[e]) {
			for _, f := range m.hot[x] {
				lines := p.spec.Feeds[f].Lines
				if len(lines) == 0 {
					for k := range max(p.spec.Feeds[f].Poles, 1) {
						lines = append(lines, switchnet.LineA+switchnet.Rail(k))
					}
				}
				for _, r := range lines {
					rails = rails.With(r)
				}
			}
		}
	}
	lines := 0
	for range rails.All() {
		lines++
	}
	if lines <= 1 && near(system.LineToNeutral, want) {
		return none, nil
	}
	net, err := p.Quiet()
	if err != nil {
		return nil, err
	}
	vary := l.law.Matter
	if vary == nil {
		vary = []switchnet.Ref{}
	}
	a, err := allstates.Analyze(p.ctx, net, &allstates.Options{Vary: vary})
	if err != nil {
		return nil, err
	}
	set, err := a.Find(p.ctx, allstates.LoadIs(l.ref, switchnet.Lit))
	if err != nil {
		return nil, err
	}
	return set.All(), nil
}

func short(p *Pass) error {
	a, err := p.Analysis()
	if err != nil {
		return err
	}
	set, err := a.Find(p.ctx, allstates.Shorted())
	if err != nil {
		return err
	}
	s, ok := set.Witness()
	if !ok {
		return nil
	}
	v, err := s.Net().NewSolver().Solve(s)
	if err != nil {
		return err
	}
	for sh := range v.Shorts() {
		devices := []switchnet.Ref{}
		for _, step := range sh.Path.Steps {
			if r := (switchnet.Ref{Place: step.From.Place, Name: step.From.Device}); step.Kind == switchnet.ByContact && !slices.Contains(devices, r) && len(p.moving([]switchnet.Ref{r})) > 0 {
				devices = append(devices, r)
			}
		}
		f := Finding{Place: p.shortPlace(sh), Message: fmt.Sprintf("%v and %v are joined: %v", sh.Rails[0], sh.Rails[1], sh.Path)}
		if len(devices) > 0 {
			f.Witness = []Witness{p.witness(s, devices)}
		}
		p.Report(f)
	}
	return nil
}

// shortPlace returns where a short is most likely to have been made: where two things
// touch, or else the last switch on its path, or else its last splice.
func (p *Pass) shortPlace(sh switchnet.Short) Place {
	var device, splice, last switchnet.Terminal
	for _, step := range sh.Path.Steps {
		last = step.To
		switch step.Kind {
		case switchnet.BySplice:
			for i, t := range p.spec.Ties {
				if t.Box == step.From.Place && (joinTerminal(t.Box, t.A) == step.From && joinTerminal(t.Box, t.B) == step.To ||
					joinTerminal(t.Box, t.B) == step.From && joinTerminal(t.Box, t.A) == step.To) {
					out := p.terminalPlace(step.From)
					out.At = wiring.Ref{List: "ties", Index: i}
					return out
				}
			}
			splice = step.From
		case switchnet.ByContact:
			if d, ok := p.job.Wiring.Net().Device(step.From.Owner()); ok && !d.Kind.Breaker {
				device = step.From
			}
		}
	}
	switch {
	case device != switchnet.Terminal{}:
		return p.devicePlace(device.Owner())
	case splice != switchnet.Terminal{}:
		return p.terminalPlace(splice)
	}
	return p.terminalPlace(last)
}

func joinTerminal(box string, j wiring.Joint) switchnet.Terminal {
	if j.Device != "" {
		return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
	}
	return j.Wire.In(box)
}
