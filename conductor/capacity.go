package conductor

import (
	"example.com/switchleg/conductor/quantity"
)

// surroundings are what the rules make of a circuit before a size is tried.
type surroundings struct {
	c       *Circuit
	breaker quantity.Current // 0 when not known
	need    quantity.Current // load with its continuous part raised, for the conductor
	load    quantity.Current // load as it is

	ends    *column // what the terminations allow
	start   *column // what correction and adjustment start from
	cap     *column // what the result is held to, or nil
	ambient quantity.Ratio
	bundle  quantity.Ratio

	tooHot bool
	steps  []Step // of the surroundings, in order
}

// trial is one size tried in its surroundings.
type trial struct {
	at        int // index into sizes
	ends      quantity.Current
	start     quantity.Current
	corrected quantity.Current
	cap       quantity.Current // 0 for none
	final     quantity.Current // least of the three
	device    quantity.Current // largest device by ampacity
	nextUp    bool             // device is the next size up
	small     *SmallConductor
	fails     failures
}

// usualSteps is how many steps an answer usually has room for.
const usualSteps = 18

// usualTogether is how many current-carrying conductors ampacity tables assume.
const usualTogether = 3

// failures is a set of rules.
type failures uint32

func (f failures) has(r Rule) bool { return f&(1<<r) != 0 }
func (f *failures) add(r Rule)     { *f |= 1 << r }

// rules returns the set in the order of the rules.
func (f failures) rules() []Rule {
	var rules []Rule
	for r := RuleContinuousLoad; int(r) <= len(ruleWords.words); r++ {
		if f.has(r) {
			rules = append(rules, r)
		}
	}
	return rules
}

// byAmpacity are the rules that decide the least size before wishes and drop.
const byAmpacity failures = 1<<RuleLeastSize | 1<<RuleAmpacity | 1<<RuleCorrectedAmpacity | 1<<RuleNonmetallic |
	1<<RuleAtAmpacity | 1<<RuleNextSizeUp | 1<<RuleSmallConductor

// raise returns load with the continuous part raised by factor, rounded up to
// the microampere.
func raise(l Load, factor quantity.Ratio) quantity.Current {
	return l.Other + quantity.Current(new(fraction).times(int64(l.Continuous)).times(int64(factor)).over(perWhole).round(up))
}

// surround works out what holds for the circuit whatever its size. The breaker
// decides the terminations' column; without one, size does.
func (s *Sizer) surround(c *Circuit, breaker quantity.Current, size Size) (*surroundings, error) {
	u := &surroundings{c: c, breaker: breaker, load: c.Load.Total(), ambient: quantity.Whole, bundle: quantity.Whole}
	u.steps = make([]Step, 0, usualSteps)
	u.need = u.load
	if c.Load.Continuous > 0 {
		if s.t.Continuous.Source.Absent() {
			return nil, s.missing(RuleContinuousLoad, "rule for continuous load")
		}
		u.need = raise(c.Load, s.t.Continuous.Conductor)
		u.steps = append(u.steps, Step{Rule: RuleContinuousLoad, Source: s.t.Continuous.Source, Load: c.Load, Factor: s.t.Continuous.Conductor, Need: u.need})
	}
	if err := s.chooseColumns(u, size); err != nil {
		return nil, err
	}
	if err := s.correct(u); err != nil {
		return nil, err
	}
	return u, s.adjust(u)
}

func (s *Sizer) chooseColumns(u *surroundings, size Size) error {
	c := u.c
	if err := s.checkMethod(c.Method); err != nil {
		return err
	}
	if c.Method != "" {
		for _, m := range s.t.Methods {
			if m.Name == c.Method {
				u.steps = append(u.steps, Step{Rule: RuleAmpacity, Source: m.Source, Word: m.Words})
			}
		}
	}
	u.start = s.hottestColumn(c.Material, c.Insulation, c.Method)
	if u.start == nil {
		return s.missing(RuleAmpacity, "ampacity for %s conductors rated %s", c.Material, c.Insulation)
	}
	if rule := s.t.Nonmetallic; c.Construction == NonmetallicSheath && !rule.Source.Absent() {
		u.cap = s.hottestColumn(c.Material, min(rule.Limit, c.Insulation), c.Method)
		u.start = s.hottestColumn(c.Material, min(rule.Start, c.Insulation), c.Method)
		if u.cap == nil {
			return s.missing(RuleAmpacity, "ampacity for %s at %s", c.Material, rule.Limit.InCelsius())
		}
	}
	return s.terminate(u, size)
}

// terminate chooses the column the terminations allow.
func (s *Sizer) terminate(u *surroundings, size Size) error {
	c, rule := u.c, s.t.Terminations
	step := Step{Rule: RuleTerminations, Source: rule.Source}
	if rule.Source.Absent() {
		// No rule: the coolest column there is, unless the listing is known.
		if u.ends = s.leastColumn(c.Material, 0, c.Method); c.Terminations > 0 {
			u.ends = s.hottestColumn(c.Material, min(c.Terminations, c.Insulation), c.Method)
		}
		if u.ends == nil {
			return s.missing(RuleAmpacity, "ampacity for %s at terminations of %s", c.Material, c.Terminations)
		}
		if step.Rating = u.ends.rating; u.ends != u.start {
			step.Word = ", the coolest there is, for the table has no rule on terminations"
			if c.Terminations > 0 {
				step.Word = ", as they are listed"
			}
			u.steps = append(u.steps, step)
		}
		return nil
	}
	large := u.breaker > rule.ThresholdRating
	if u.breaker == 0 {
		large = size.Compare(rule.ThresholdSize) > 0
	}
	limit := rule.Default
	switch {
	case c.Terminations > 0:
		limit = min(c.Terminations, rule.Above)
		step.Word = ", as they are listed"
	case large:
		limit = rule.Above
	}
	if u.ends = s.hottestColumn(c.Material, min(limit, c.Insulation), c.Method); u.ends == nil {
		return s.missing(RuleAmpacity, "ampacity for %s at terminations of %s", c.Material, limit)
	}
	step.Rating = u.ends.rating
	u.steps = append(u.steps, step)
	return nil
}

// checkMethod refuses a reference method the region does not have, and the lack
// of one where it needs one.
func (s *Sizer) checkMethod(method string) error {
	if method == "" && len(s.t.Methods) == 0 {
		return nil
	}
	names := make([]string, 0, len(s.t.Methods))
	for _, m := range s.t.Methods {
		if m.Name == method {
			return nil
		}
		names = append(names, m.Name)
	}
	if len(names) == 0 {
		return s.missing(RuleAmpacity, "reference method %q, nor any other", method)
	}
	return &UnknownNameError{s.t.Region, "reference method, for how the cable lies", method, names}
}

// correct finds the factor for the ambient. Rows are sorted by ambient.
func (s *Sizer) correct(u *surroundings) error {
	ambient := u.c.Ambient
	if ambient == 0 || ambient == s.t.AmbientBase {
		return nil
	}
	step := Step{Rule: RuleAmbient, Ambient: ambient, Rating: u.start.rating}
	found := false
	for _, row := range s.t.Ambient {
		if row.Rating != u.start.rating {
			continue
		}
		step.Source, step.Factor = row.Source, row.Factor
		if found = ambient <= row.UpTo; found {
			break
		}
	}
	if step.Source.Absent() {
		return s.missing(RuleAmbient, "ambient correction for conductors rated %s", u.start.rating)
	}
	u.ambient = step.Factor
	u.tooHot = !found
	step.Failed = u.tooHot
	u.steps = append(u.steps, step)
	return nil
}

// adjust finds the factor for conductors lying together.
func (s *Sizer) adjust(u *surroundings) error {
	b := u.c.Bundle
	if b.Carrying == 0 {
		return nil
	}
	nm := s.t.Nonmetallic
	// Below that many conductors, some of the cables have too few to count.
	sealed := u.cap != nil && b.Sealed > nm.TogetherAbove && b.Carrying >= (nm.TogetherAbove+1)*nm.MinCarrying
	exempt := s.t.BundlingExempt
	if !exempt.Source.Absent() && b.Length > 0 && b.Length <= exempt.Length && !sealed {
		u.steps = append(u.steps, Step{Rule: RuleBundling, Source: exempt.Source, Count: b.Carrying, Length: b.Length,
			Word: "short enough for no adjustment"})
		return nil
	}
	if sealed {
		u.steps = append(u.steps, Step{Rule: RuleBundling, Source: nm.Source, Count: b.Carrying, Length: b.Length,
			Word: "sealed or embedded together: adjusted at any length"})
	}
	for _, row := range s.t.Bundling {
		if b.Carrying >= row.From && (row.UpTo == 0 || b.Carrying <= row.UpTo) {
			u.bundle = row.Factor
			u.steps = append(u.steps, Step{Rule: RuleBundling, Source: row.Source, Count: b.Carrying, Factor: row.Factor})
			return nil
		}
	}
	if len(s.t.Bundling) == 0 && b.Carrying <= usualTogether {
		return nil
	}
	return s.missing(RuleBundling, "adjustment for %d current-carrying conductors together", b.Carrying)
}

// try evaluates the size at index at, or reports false where the table gives it
// no ampacity. withFactors false leaves correction and adjustment out.
func (s *Sizer) try(u *surroundings, at int, withFactors bool) (trial, bool) {
	ends, start := u.ends.rows[at], u.start.rows[at]
	if ends == nil || start == nil || u.cap != nil && u.cap.rows[at] == nil {
		return trial{}, false
	}
	t := trial{at: at, ends: ends.Current, start: start.Current, corrected: start.Current}
	if withFactors {
		t.corrected = quantity.Current(new(fraction).times(int64(start.Current)).times(int64(u.ambient)).times(int64(u.bundle)).
			over(perWhole).over(perWhole).round(down))
	}
	t.final = min(t.ends, t.corrected)
	if u.cap != nil {
		t.cap = u.cap.rows[at].Current
		t.final = min(t.final, t.cap)
	}
	t.device, t.nextUp = s.deviceFor(t.final, u.c.Receptacles)
	t.small = s.smallLimit(u.c.Material, at)
	s.judgeTrial(u, &t)
	return t, true
}

// judgeTrial records which rules of byAmpacity the size fails.
func (s *Sizer) judgeTrial(u *surroundings, t *trial) {
	size := s.sizes[t.at].Size
	if least := s.t.LeastSize; !least.Source.Absent() && size.Compare(least.Size) < 0 {
		t.fails.add(RuleLeastSize)
	}
	if t.ends < u.need {
		t.fails.add(RuleAmpacity)
	}
	if t.corrected < u.load {
		t.fails.add(RuleCorrectedAmpacity)
	}
	if t.cap > 0 && t.cap < u.load {
		t.fails.add(RuleNonmetallic)
	}
	if u.breaker > t.device {
		t.fails.add(t.deviceRule())
	}
	if t.small != nil && (u.breaker > t.small.MaxRating || t.small.MaxContinuous > 0 && u.c.Load.Continuous > t.small.MaxContinuous) {
		t.fails.add(RuleSmallConductor)
	}
}

// deviceRule is the rule that gave the largest device.
func (t *trial) deviceRule() Rule {
	if t.nextUp {
		return RuleNextSizeUp
	}
	return RuleAtAmpacity
}

// largest returns the largest device the size may have, its own cap included.
func (t *trial) largest() quantity.Current {
	if t.small != nil {
		return min(t.device, t.small.MaxRating)
	}
	return t.device
}

// deviceFor returns the largest standard rating that protects an ampacity, and
// whether that is the next size up. It is 0 where no rating is small enough.
// Ratings made only as fuses count: they decide what is next.
func (s *Sizer) deviceFor(ampacity quantity.Current, receptacles bool) (device quantity.Current, nextUp bool) {
	for _, row := range s.t.Overcurrent {
		if row.Rating <= ampacity {
			device = row.Rating
			continue
		}
		rule := s.t.NextSizeUp
		if device != ampacity && !rule.Source.Absent() && row.Rating <= rule.UpTo && !(receptacles && rule.NotForReceptacles) {
			return row.Rating, true
		}
		break
	}
	return device, false
}
