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
