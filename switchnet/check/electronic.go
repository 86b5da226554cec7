package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// The rules on controls with electronics inside.
var electronicRules = []Rule{
	{Code: "control-without-power", Topic: Function, Doc: "A control whose electronics or pilot lamp are powered in no state: most often it lacks its neutral.", Find: controlWithoutPower},
	{Code: "control-at-wrong-end", Topic: Function, Doc: "A control whose electronics lose their power in some state: most often it stands where its common is not on the unswitched hot.",
		Find: controlAtWrongEnd},
	{Code: "standby-on-ground", Topic: ShockFire, Doc: "A control whose standby current, or that of its pilot lamp, returns by the grounding conductor.", Find: standbyOnGround},
	{Code: "too-little-load", Topic: Function, Doc: "A dimmer or electronic switch with less load than it needs: the light flickers, or does not go off.", Find: tooLittleLoad},
	{Code: "carries-too-much", Topic: ShockFire, Doc: "A switch or dimmer that carries more than it is marked for.", Find: carriesTooMuch},
	{Code: "two-dimmers", Topic: Function, Doc: "Two dimmers on one light.", Find: twoDimmers},
	{Code: "dimmer-on-receptacle", Topic: Law, Doc: "A dimmer in the way to a receptacle, into which anything may be plugged.",
		Needs: needs(rules.DimmerFixedLights), Find: dimmerOnReceptacle},
}

// inside is a control with electronics, or a lamp that needs the neutral, between two of its
// terminals.
type inside struct {
	ref  switchnet.Ref // the control
	lamp string        // the name of what is no electronics, but burns with the light
	ends [2]switchnet.Terminal
	load *allstates.Load
	a    *allstates.Analysis
}

// insides returns what is inside controls, in name order, with what it does in every state:
// electronics, and lamps that are on the neutral.
func (p *Pass) insides() ([]inside, error) {
	if p.controls != nil {
		return p.controls, nil
	}
	p.controls = []inside{}
	var a *allstates.Analysis
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		for _, in := range d.Kind.Internal {
			lamp := ""
			if !d.Kind.Electronic {
				if lamp = in.Name; !isNeutral(in.From) && !isNeutral(in.To) {
					continue // it burns through the light
				}
			}
			if a == nil {
				var err error
				if a, err = allstates.Analyze(p.ctx, p.job.Wiring.Net(), nil); err != nil {
					return nil, err
				}
			}
			ref := switchnet.Ref{Place: d.Box, Name: d.Name}
			l, err := a.Load(p.ctx, switchnet.Ref{Place: d.Box, Name: d.Name + " " + in.Name})
			if err != nil {
				return nil, err
			}
			p.controls = append(p.controls, inside{ref, lamp, [2]switchnet.Terminal{ref.Terminal(in.From), ref.Terminal(in.To)}, l, a})
		}
	}
	slices.SortFunc(p.controls, func(a, b inside) int { return a.ref.Compare(b.ref) })
	return p.controls, nil
}

func controlWithoutPower(p *Pass) error {
	all, err := p.insides()
	if err != nil {
		return err
	}
	for _, in := range all {
		if in.load.Can(switchnet.Lit) {
			continue
		}
		message := in.ref.String() + " has power for its electronics in no state"
		if in.lamp != "" {
			message = fmt.Sprintf("the %s of %s burns in no state", in.lamp, in.ref)
		}
		none := false
		for _, t := range in.ends {
			if x, ok := p.metal().on(t); ok && isNeutral(t.Name) && len(p.metal().neutral[x]) == 0 {
				message += "; its neutral is on none"
				none = true
			}
		}
		if in.lamp != "" && !none {
			continue // the light that it burns with has a finding
		}
		p.Report(Finding{Place: p.devicePlace(in.ref), About: in.ref, Message: message})
	}
	return nil
}

func controlAtWrongEnd(p *Pass) error {
	all, err := p.insides()
	if err != nil {
		return err
	}
	for _, in := range all {
		set := in.load.States(switchnet.Unlit, switchnet.Dim)
		s, ok := set.Witness()
		if !ok || !in.load.Can(switchnet.Lit) || in.lamp != "" {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(in.ref), About: in.ref, Witness: []Witness{p.witness(s, in.load.Matters())},
			Message: in.ref.String() + " loses the power for its electronics in some state: it is not on the unswitched hot"})
	}
	return nil
}

func standbyOnGround(p *Pass) error {
	all, err := p.insides()
	if err != nil {
		return err
	}
	law, _ := p.law(rules.StandbyThroughNeutral)
	m := p.metal()
	for _, in := range all {
		what := "electronics"
		if in.lamp != "" {
			what = in.lamp
		}
		for _, t := range in.ends {
			x, ok := m.on(t)
			if ok && len(m.ground[x]) > 0 && len(m.neutral[x])+len(m.hot[x]) == 0 {
				p.Report(Finding{Place: p.terminalPlace(t), About: in.ref, Section: law.Source,
					Message: fmt.Sprintf("the current of the %s of %s returns by the grounding conductor", what, in.ref)})
			}
		}
	}
	return nil
}

func twoDimmers(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	told := map[string]bool{}
	for i := range lamps {
		l := &lamps[i]
		var dimmers []switchnet.Ref
		for _, r := range l.law.Matter {
			if k := p.kind(r); k != nil && k.Dimmer {
				dimmers = append(dimmers, r)
			}
		}
		if len(dimmers) < 2 || told[names(dimmers)] {
			continue
		}
		told[names(dimmers)] = true // several lights of one control are one finding
		f := Finding{Place: p.devicePlace(dimmers[1]), About: dimmers[1],
			Message: fmt.Sprintf("%s are dimmers of one light, %s; only one may dim", names(dimmers), l.ref.Name)}
		for _, r := range dimmers {
			if r != dimmers[1] {
				f.Related = append(f.Related, p.devicePlace(r))
			}
			d, _ := p.job.Wiring.Net().Device(r)
			f.Fixes = append(f.Fixes, p.plainer(r, d.Kind)...)
		}
		p.Report(f)
	}
	return nil
}

// plainer proposes to put a plain three-way or single-pole in the place of a dimmer.
func (p *Pass) plainer(ref switchnet.Ref, k switchnet.Kind) []Fix {
	for _, plain := range []switchnet.Kind{switchnet.ThreeWay(), switchnet.SinglePole()} {
		if slices.ContainsFunc(plain.Terminals, func(t string) bool { return !slices.Contains(k.Terminals, t) }) {
			continue
		}
		return []Fix{newFix(replace(ref, plain, nil))}
	}
	return nil
}
