package conductor

import "example.com/switchleg/conductor/quantity"

// runs is what the length of a circuit asks of a size: voltage drop and fault
// loop. A nil runs asks nothing.
type runs struct {
	drop *dropPlan
	loop *loopPlan
}

func (s *Sizer) planRuns(u *surroundings) (*runs, error) {
	if !u.c.hasLength() {
		return nil, nil
	}
	drop, err := s.planDrop(u.c)
	if err != nil {
		return nil, err
	}
	loop, err := s.planLoop(u.c, u.breaker)
	if err != nil {
		return nil, err
	}
	return &runs{drop, loop}, nil
}

// judgeRuns records which limits on length the size fails. A figure the table
// lacks is an error.
func (s *Sizer) judgeRuns(r *runs, t *trial) error {
	if r == nil {
		return nil
	}
	f, err := s.figure(r.drop, t.at)
	if err != nil {
		return err
	}
	if r.drop.judge && r.drop.exceeds(f) {
		t.fails.add(RuleVoltageDrop)
	}
	if r.loop == nil {
		return nil
	}
	impedance, err := s.loopOf(r.loop, t.at)
	if err == nil && impedance > r.loop.limit {
		t.fails.add(RuleFaultLoop)
	}
	return err
}

// alsoJudgeRuns is judgeRuns for a size that was passed over for other rules and
// has not met this one; a figure the table lacks then matters to nobody.
func (s *Sizer) alsoJudgeRuns(r *runs, t *trial) {
	_ = s.judgeRuns(r, t)
}

// dropOf returns the drop of the size as a step, or nil where there is none.
func (r *runs) dropOf(s *Sizer, at int) *Step {
	if r == nil {
		return nil
	}
	f, err := s.figure(r.drop, at)
	if err != nil {
		return nil
	}
	step := r.drop.step(s.sizes[at].Size, f, false)
	return &step
}

// explain appends the steps of the size's lengths. A drop beyond a limit that
// was not judged is marked as failed all the same.
func (r *runs) explain(s *Sizer, steps []Step, t *trial, failedOnly bool) []Step {
	if r == nil {
		return steps
	}
	if r.loop != nil {
		if impedance, err := s.loopOf(r.loop, t.at); err == nil {
			if failed := impedance > r.loop.limit; failed || !failedOnly {
				per := s.resistance(r.loop.c.Material, r.loop.c.Stranding, t.at, false).Resistance + r.loop.earth.Resistance
				steps = append(steps, r.loop.step(s.sizes[t.at].Size, per, impedance, failed))
			}
		}
	}
	if f, err := s.figure(r.drop, t.at); err == nil {
		failed := r.drop.exceeds(f)
		if failed || !failedOnly {
			steps = append(steps, r.drop.step(s.sizes[t.at].Size, f, failed))
		}
	}
	return steps
}

// loopPlan is the limit on a circuit's fault loop.
type loopPlan struct {
	c       *Circuit
	rule    *FaultLoopRule
	curve   TripCurve
	earth   *Resistance
	breaker quantity.Current
	limit   quantity.Resistance // rounded down to the nanoohm
}

// planLoop prepares the fault loop of a circuit that asks for one, or returns
// nil.
func (s *Sizer) planLoop(c *Circuit, breaker quantity.Current) (*loopPlan, error) {
	if c.Loop.Curve == "" {
		return nil, nil
	}
	rule := &s.t.FaultLoop
	if rule.Source.Absent() {
		return nil, s.missing(RuleFaultLoop, "limit on the fault loop")
	}
	if breaker == 0 {
		return nil, s.missing(RuleFaultLoop, "limit on the fault loop without the rating of the device")
	}
	p := &loopPlan{c: c, rule: rule, breaker: breaker}
	for _, curve := range rule.Curves {
		if curve.Name == c.Loop.Curve {
			p.curve = curve
		}
	}
	if p.curve.Name == "" {
		names := make([]string, len(rule.Curves))
		for i, curve := range rule.Curves {
			names[i] = curve.Name
		}
		return nil, &UnknownNameError{s.t.Region, "trip curve", c.Loop.Curve, names}
	}
	at := s.index(c.Loop.Earth)
	if at < 0 {
		return nil, s.unlisted(c.Loop.Earth)
	}
	if p.earth = s.resistance(c.Material, c.Stranding, at, false); p.earth == nil {
		return nil, s.missing(RuleFaultLoop, "resistance for %s %s", c.Loop.Earth, c.Material)
	}
	// Volts times the factor, over the trip current, in nanoohms.
	p.limit = quantity.Resistance(new(fraction).times(int64(c.Volts)).times(int64(rule.VoltageFactor)).times(int64(quantity.Ohm)).
		over(int64(breaker)).over(int64(p.curve.Multiple)).round(down))
	return p, nil
}

// loopOf returns the impedance of the loop with the size at index at, rounded up
// to the nanoohm.
func (s *Sizer) loopOf(p *loopPlan, at int) (quantity.Resistance, error) {
	line := s.resistance(p.c.Material, p.c.Stranding, at, false)
	if line == nil {
		return 0, s.missing(RuleFaultLoop, "resistance for %s %s", s.sizes[at].Size, p.c.Material)
	}
	own := new(fraction).times(int64(line.Resistance + p.earth.Resistance)).times(p.c.outAndBack()).times(int64(p.rule.Rise)).
		times(int64(quantity.Ohm)).over(2).over(perOhmMeter).over(perMeter).over(perWhole).round(up)
	return p.c.Loop.External + quantity.Resistance(own), nil
}

// step explains the loop of a size; per is that of line and earth together.
func (p *loopPlan) step(size Size, per quantity.ResistancePerLength, impedance quantity.Resistance, failed bool) Step {
	return Step{Rule: RuleFaultLoop, Source: p.rule.Source, LimitSource: p.curve.Source, Failed: failed, Size: size, Material: p.c.Material,
		Other: p.c.Loop.Earth, Per: per, Factor: p.rule.Rise, Length: quantity.Length(p.c.outAndBack() / 2), External: p.c.Loop.External, Loop: impedance,
		LoopLimit: p.limit, Limit: p.rule.VoltageFactor, Second: p.curve.Multiple, Word: p.curve.Name, Have: p.breaker}
}
