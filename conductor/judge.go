package conductor

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// Verdict is the judgement of a circuit as it is.
type Verdict struct {
	Status Status `json:"status"`           // Fits, or Unlawful
	Faults []Rule `json:"faults,omitempty"` // the rules it breaks, in the order of the rules
	Advice []Rule `json:"advice,omitempty"` // advice it does not follow, in the order of the rules

	Ampacity   quantity.Current `json:"ampacity,omitzero"`    // what the size may carry as installed
	MaxBreaker quantity.Current `json:"max_breaker,omitzero"` // largest standard breaker the size may have
	Grounding  Size             `json:"grounding,omitzero"`   // least grounding conductor; the zero Size where the table has no rows

	Drop      quantity.Voltage `json:"drop,omitzero"` // 0 without a length
	DropShare quantity.Ratio   `json:"drop_share,omitzero"`
	DropLimit quantity.Ratio   `json:"drop_limit,omitzero"`
	AtLoad    quantity.Voltage `json:"at_load,omitzero"`

	Protections []Protection `json:"protections,omitempty"`
	Steps       []Step       `json:"steps"` // the failed ones are the faults, and advice not followed
}

// Judge judges a circuit as it is: whether the breaker, which c must name, is
// lawful for its smallest conductor, the load within what both may carry, the
// drop within its limit, and the grounding conductor, where c names it, large
// enough. The size asked for and the stock do not matter. Errors are those of
// [Sizer.Size], and [ErrNoSuchSize].
func (s *Sizer) Judge(c Circuit, size Size) (Verdict, error) {
	var errs errorList
	if err := c.Check(); err != nil {
		errs = append(errs, err)
	}
	errs.unless(c.Breaker > 0, "breaker: judging a circuit needs the rating of its overcurrent device")
	if err := errs.join(); err != nil {
		return Verdict{}, err
	}
	breaker, rating, err := s.rate(&c)
	if err != nil {
		return Verdict{}, err
	}
	u, t, err := s.one(&c, breaker, size)
	if err != nil {
		return Verdict{}, err
	}
	lengths, err := s.planRuns(u)
	if err != nil {
		return Verdict{}, err
	}
	fails := t.fails
	v := Verdict{Status: Fits, Ampacity: t.final, MaxBreaker: s.breakerWithin(t.largest()), AtLoad: c.Volts, Steps: insertRating(u.steps, rating)}
	if last := rating[len(rating)-1]; last.Failed {
		fails.add(last.Rule)
	}
	if u.tooHot { // nothing else that the heat decides has an answer
		fails &^= byAmpacity
		fails.add(RuleAmbient)
		v.Ampacity, v.MaxBreaker = 0, 0
	}
	if err := s.judgeLengths(lengths, &t, &fails, &v); err != nil {
		return Verdict{}, err
	}
	if !u.tooHot {
		v.Steps = s.explain(v.Steps, u, lengths, &t, false)
	}
	if s.judgeGrounding(u, &t, &v) {
		fails.add(RuleGrounding)
	}
	if v.Faults = fails.rules(); fails != 0 {
		v.Status = Unlawful
	}
	s.protect(&c, c.Breaker, &v.Protections, &v.Steps)
	return v, nil
}

// judgeLengths writes the drop, and adds what the lengths fail to faults or
// advice.
func (s *Sizer) judgeLengths(r *runs, t *trial, fails *failures, v *Verdict) error {
	if r == nil {
		return nil
	}
	f, err := s.figure(r.drop, t.at)
	if err != nil {
		return err
	}
	step := r.drop.step(s.sizes[t.at].Size, f, false)
	v.Drop, v.DropShare, v.DropLimit = step.Drop, step.Share, step.Limit
	v.AtLoad -= step.Drop
	if r.drop.exceeds(f) {
		if r.drop.force == Binding {
			fails.add(RuleVoltageDrop)
		} else {
			v.Advice = append(v.Advice, RuleVoltageDrop)
		}
	}
	if r.loop != nil {
		impedance, err := s.loopOf(r.loop, t.at)
		if err != nil {
			return err
		}
		if impedance > r.loop.limit {
			fails.add(RuleFaultLoop)
		}
	}
	return nil
}

// judgeGrounding writes the grounding conductor needed, and reports whether the
// one found is smaller.
func (s *Sizer) judgeGrounding(u *surroundings, t *trial, v *Verdict) bool {
	v.Grounding, v.Steps = s.ground(u, s.baseline(u, t), t, v.Steps)
	found := u.c.Grounding
	if !found.Valid() || !v.Grounding.Valid() || found.Compare(v.Grounding) >= 0 {
		return false
	}
	v.Steps = append(v.Steps, Step{Rule: RuleGrounding, Source: v.Steps[len(v.Steps)-1].Source, Failed: true,
		Size: v.Grounding, Other: found, Material: u.c.Material, Need: u.breaker})
	return true
}

// Cautions returns what a reader must know of the steps; see [Sizing.Cautions].
func (v Verdict) Cautions() []string { return cautions(v.Steps, v.Protections) }

// Cautions returns what a reader of the answer must know, in the order of the
// steps, each once: figures of low confidence that it used, protection that the
// table leaves unverified, a drop beyond a limit that is only advice. The wording
// is not stable.
func (z Sizing) Cautions() []string {
	all := cautions(z.Steps, z.Protections)
	for i := range z.Steps {
		step := &z.Steps[i]
		if step.Rule == RuleVoltageDrop && step.Failed && step.Size == z.Size {
			all = append(all, fmt.Sprintf("voltage drop %s is beyond the advised %s", step.Share.FormatPercent(2), step.Limit))
		}
	}
	return all
}

func cautions(steps []Step, protections []Protection) []string {
	var all []string
	add := func(text string) {
		if !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	for i := range steps {
		step := &steps[i]
		for _, source := range [2]Source{step.Source, step.LimitSource} {
			if source.Confidence == LowConfidence && step.Demand != Unverified {
				add(fmt.Sprintf("%s uses a figure of low confidence (%s, %s): verify it before relying on it",
					step.Rule, source.Section, source.Edition))
			}
		}
	}
	for _, p := range protections {
		if p.Demand == Unverified {
			add(fmt.Sprintf("%s protection in %s is unverified: ask the inspector", p.Kind, p.Location))
		}
	}
	return all
}
