package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on what a wiring does.
var functionRules = []Rule{
	{Code: "never-lit", Topic: Function, Doc: "A light that no position of the switches lights.", Find: neverLit},
	{Code: "always-lit", Topic: Function, Doc: "A light of the building, or one that is plugged in and a control names, that no switch puts out.",
		Yields: []Code{"two-circuits-one-light"}, Find: alwaysLit},
	{Code: "does-not-toggle", Topic: Function, Doc: "A place that does not change its light from every state, with the two states.",
		Yields: []Code{"circuits-joined", "two-circuits-one-light"}, Find: doesNotToggle},
	{Code: "other-control", Topic: Function, Doc: "A switch that changes a light of another control, or one of none where there are controls.", Find: otherControl},
	{Code: "no-effect", Topic: Function, Doc: "A switch that matters to nothing.", Yields: []Code{"circuits-joined"}, Find: noEffect},
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
		if l.law.Kind != allstates.NeverLit || l.law.Dim {
			continue // what is dim is told by the rule on that
		}
		why := ""
		fed, back := [2]bool{}, [2]bool{}
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
			fed[e], back[e] = hot, earth
		}
		shorted := l.law.Faulted
		if !shorted && (fed[0] && back[0] || fed[1] && back[1]) {
			if shorted, err = p.shorts(); err != nil {
				return err
			}
		}
		bridged := l.piece[0] == l.piece[1] && !p.touched(l.piece[0])
		// A short may be all that keeps it dark.
		silent := shorted && !bridged && (fed[0] && back[1] || fed[1] && back[0])
		f := Finding{silent: silent, Place: p.devicePlace(l.ref), About: l.ref, Message: l.ref.Name + " is lit in no state" + why}
		live, err := p.deadlyDark(l)
		if err != nil {
			return err
		}
		if s, ok := live.Witness(); ok {
			f.silent = false // no short is the reason for that
			f.Message += "; both its ends are live"
			f.Standing, f.Witness = Hazardous, []Witness{p.witness(s, l.law.Matter)}
		}
		p.Report(f)
	}
	return nil
}

// deadlyDark returns the states in which a lamp is dark with both ends live.
func (p *Pass) deadlyDark(l *lamp) (*allstates.Set, error) {
	a, err := p.Analysis()
	if err != nil {
		return nil, err
	}
	return a.Find(p.ctx, allstates.LoadIs(l.ref, switchnet.Unlit), allstates.Hazardous(l.ends[0]), allstates.Hazardous(l.ends[1]))
}

func alwaysLit(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	for i := range lamps {
		l := &lamps[i]
		_, wanted := p.controlled(l)
		if l.law.Kind != allstates.AlwaysLit || !wanted {
			continue
		}
		if !l.wiredIn() && len(p.job.Intent.Controls) == 0 {
			continue // what is plugged in may be meant to be on
		}
		p.Report(Finding{Place: p.devicePlace(l.ref), About: l.ref, Message: l.ref.Name + " is lit in every state", Fixes: p.tabOut(l)})
	}
	return nil
}

// tabOut returns the fix of a light that is plugged into a receptacle whose halves are
// joined: one whose hot tab is out.
func (p *Pass) tabOut(l *lamp) []Fix {
	r := switchnet.Ref{Place: l.light.Box, Name: l.light.On}
	if k := p.kind(r); k == nil || !k.Equal(switchnet.Receptacle()) {
		return nil
	}
	return []Fix{newFix(wiring.ReplaceDevice{Device: r, Kind: switchnet.SplitReceptacle()})}
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
		// One exception of each switch: together they may be as many as there are states.
		for _, r := range p.moving(places) {
			e, ok, err := p.untoggled(l, r)
			if err != nil {
				return err
			}
			if ok {
				moved := l.law.Matter
				if !slices.Contains(moved, r) { // it matters to nothing, and is what moves
					moved = append(slices.Clone(moved), r)
					slices.SortFunc(moved, switchnet.Ref.Compare)
				}
				p.Report(Finding{Place: p.devicePlace(r), About: l.ref, Related: []Place{p.devicePlace(l.ref)},
					Message: fmt.Sprintf("%s does not always toggle %s: it stays %v", r, l.ref.Name, e.Before) + masters(l),
					Witness: []Witness{p.witness(e.From, moved), p.witness(e.To, moved)}})
			}
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

// kind returns the kind of a device of the net, nil if there is none. It must not be
// changed.
func (p *Pass) kind(r switchnet.Ref) *switchnet.Kind {
	net := p.job.Wiring.Net()
	i, ok := net.DeviceIndex(r)
	if !ok {
		return nil
	}
	d := net.DeviceAt(i)
	return &d.Kind
}

// moving returns those of some devices that have more than one position.
func (p *Pass) moving(refs []switchnet.Ref) []switchnet.Ref {
	var out []switchnet.Ref
	for _, r := range refs {
		if k := p.kind(r); k != nil && len(k.Positions) > 1 && !k.Breaker {
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
		why := "which it is not meant to"
		if !wanted {
			why = "which no control names"
		}
		for _, r := range l.law.Matter {
			if !slices.Contains(places, r) {
				p.Report(Finding{Place: p.devicePlace(r), About: l.ref, Related: []Place{p.devicePlace(l.ref)},
					Message: fmt.Sprintf("%s changes %s, %s", r, l.ref.Name, why)})
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
		reached := p.reachedFrom(r)
		if p.explained(r, lamps, reached) || p.receptacleOn(reached) {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(r), About: r, Message: r.String() + " matters to no light"})
	}
	return nil
}

// explained reports whether a light that is always or never lit is the reason why a
// switch does nothing: one of its control, or one that it could reach.
func (p *Pass) explained(r switchnet.Ref, lamps []lamp, reached map[int32]bool) bool {
	for i := range lamps {
		l := &lamps[i]
		if l.law.Kind != allstates.NeverLit && l.law.Kind != allstates.AlwaysLit {
			continue
		}
		if places, ok := p.controlled(l); ok && slices.Contains(places, r) || reached[l.piece[0]] || reached[l.piece[1]] {
			return true
		}
	}
	return false
}

// reachedFrom returns the metal that a contact of a switch could join to something.
func (p *Pass) reachedFrom(r switchnet.Ref) map[int32]bool {
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
	return seen
}

// receptacleOn reports whether a receptacle is on some metal: something may be plugged
// into it.
func (p *Pass) receptacleOn(reached map[int32]bool) bool {
	m := p.metal()
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if len(d.Kind.Positions) != 1 {
			continue
		}
		for _, t := range d.Kind.Terminals {
			if x, ok := m.on(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t}); ok && reached[x] && len(m.neutral[x]) == 0 {
				return true
			}
		}
	}
	return false
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
				steps := paths.List[0].Steps
				if onLine(v, steps[0].From) && onLine(v, steps[len(steps)-1].To) {
					f.Standing = Hazardous
					f.Message += ", between two lines: the smaller load gets more than its voltage"
				}
				for _, step := range steps {
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

// onLine reports whether a terminal is on a line and on nothing else.
func onLine(v *switchnet.View, t switchnet.Terminal) bool {
	c, ok := v.Condition(t)
	return ok && c.Kind() == switchnet.Live
}
