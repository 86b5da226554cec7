package conductor

import (
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// Sizing is the answer to a circuit that was to be sized.
type Sizing struct {
	Status Status `json:"status"`
	// Binding are the rules that passed over the next smaller size (or, when
	// nothing fits, the largest), in the order of the rules. Empty when the
	// smallest size of the table serves.
	Binding []Rule `json:"binding,omitempty"`

	Size    Size             `json:"size,omitzero"`    // the zero Size unless it fits
	Least   Size             `json:"least,omitzero"`   // smallest that load and protection allow, before voltage drop, fault loop and wishes
	Breaker quantity.Current `json:"breaker,omitzero"` // rating of the overcurrent device
	// Ampacity is what Size may carry as installed, the least of the corrected
	// ampacity, the terminations' column and the cable's limit.
	Ampacity   quantity.Current `json:"ampacity,omitzero"`
	MaxBreaker quantity.Current `json:"max_breaker,omitzero"` // largest standard breaker Size may have
	Grounding  Size             `json:"grounding,omitzero"`   // grounding conductor; the zero Size where the table has no rows

	Drop      quantity.Voltage `json:"drop,omitzero"`       // of Size, 0 without a length
	DropShare quantity.Ratio   `json:"drop_share,omitzero"` // of the supply voltage
	DropLimit quantity.Ratio   `json:"drop_limit,omitzero"` // 0 for none
	AtLoad    quantity.Voltage `json:"at_load,omitzero"`    // supply voltage less the drop

	Protections []Protection `json:"protections,omitempty"` // what the location needs, by kind, then place
	// Steps are the load, the device and the surroundings in the order of the
	// rules; then what failed the next smaller size; then the size, its lengths
	// and its grounding conductor; then the protections.
	Steps []Step `json:"steps"`
}

// Size returns the smallest size and the overcurrent device for the circuit. An
// error is a malformed circuit, with everything that is wrong with it, or a
// [MissingRuleError]; what a sound question meets with is the Status.
//
// The device is the smallest standard rating for the load, no less than the
// region's usual least. The size is the smallest of the region's table, or of
// the stock, that carries the load before correction in the column of its
// terminations, carries it after correction and adjustment, is protected by the
// device, and keeps the limits on fault loop and voltage drop.
func (s *Sizer) Size(c Circuit) (Sizing, error) {
	if err := c.Check(); err != nil {
		return Sizing{}, err
	}
	breaker, rating, err := s.rate(&c)
	if err != nil {
		return Sizing{}, err
	}
	u, err := s.surround(&c, breaker, Size{})
	if err != nil {
		return Sizing{}, err
	}
	z := Sizing{Breaker: breaker, Steps: insertRating(u.steps, rating)}
	switch last := &rating[len(rating)-1]; {
	case last.Failed && breaker == 0:
		z.Status, z.Binding = NoRating, []Rule{last.Rule}
	case last.Failed:
		z.Status, z.Binding = RatingTooSmall, []Rule{last.Rule}
	case u.tooHot:
		z.Status, z.Binding = TooHot, []Rule{RuleAmbient}
	default:
		if err := s.search(u, &z); err != nil {
			return Sizing{}, err
		}
	}
	s.protect(&c, breaker, &z.Protections, &z.Steps)
	return z, nil
}

// insertRating puts the steps of the device after those of the load.
func insertRating(steps, rating []Step) []Step {
	at := 0
	for at < len(steps) && steps[at].Rule == RuleContinuousLoad {
		at++
	}
	return slices.Insert(steps, at, rating...)
}

// rate chooses or checks the overcurrent device. The last step says whether it
// serves.
func (s *Sizer) rate(c *Circuit) (quantity.Current, []Step, error) {
	need := c.Load.Total()
	source := s.t.AtAmpacity
	if c.Load.Continuous > 0 && !s.t.Continuous.Source.Absent() {
		need = raise(c.Load, s.t.Continuous.Overcurrent)
		source = s.t.Continuous.OvercurrentSource
	}
	if len(s.t.Overcurrent) == 0 {
		return 0, nil, s.missing(RuleStandardRating, "standard overcurrent ratings")
	}
	if c.Breaker > 0 {
		return s.rateGiven(c, need, source)
	}
	least := s.t.MinimumRating
	steps := make([]Step, 0, 2)
	floor := need
	if !least.Source.Absent() {
		step := Step{Rule: RuleMinimumRating, Source: least.Source, Need: least.of(c)}
		if !c.LeastRating && least.Suggested > step.Need {
			step.Need, step.Base = least.Suggested, step.Need
		}
		floor = max(need, step.Need)
		steps = append(steps, step)
	}
	step := Step{Rule: RuleStandardRating, Need: need, Failed: true}
	for _, row := range s.t.Overcurrent {
		if row.Kind == FuseOnly {
			continue
		}
		step.Source, step.Have = row.Source, row.Rating
		if row.Rating >= floor {
			step.Failed = false
			break
		}
	}
	steps = append(steps, step)
	if step.Failed {
		return 0, steps, nil
	}
	return step.Have, steps, nil
}

// of returns the least rating of the circuit.
func (m *MinimumRating) of(c *Circuit) quantity.Current {
	if c.Receptacles {
		return max(m.Rating, m.WithReceptacles)
	}
	return m.Rating
}

// rateGiven checks the device that was given.
func (s *Sizer) rateGiven(c *Circuit, need quantity.Current, source Source) (quantity.Current, []Step, error) {
	if !slices.ContainsFunc(s.t.Overcurrent, func(row OvercurrentSize) bool { return row.Rating == c.Breaker }) {
		ratings := make([]string, len(s.t.Overcurrent))
		for i, row := range s.t.Overcurrent {
			ratings[i] = row.Rating.String()
		}
		return 0, nil, &UnknownNameError{s.t.Region, "standard rating of the overcurrent device", c.Breaker.String(), ratings}
	}
	step := Step{Rule: RuleStandardRating, Source: source, Need: need, Have: c.Breaker, Failed: c.Breaker < need, Word: "given"}
	if least := s.t.MinimumRating; !least.Source.Absent() && c.Breaker < least.of(c) && !step.Failed {
		step = Step{Rule: RuleMinimumRating, Source: least.Source, Have: c.Breaker, Need: least.of(c), Failed: true}
	}
	return c.Breaker, []Step{step}, nil
}

// search finds the smallest size that serves, and writes it and its steps.
func (s *Sizer) search(u *surroundings, z *Sizing) error {
	runs, err := s.planRuns(u)
	if err != nil {
		return err
	}
	var passed trial // the next smaller size
	tried := false
	for at := range s.sizes {
		t, ok := s.try(u, at, true)
		if !ok {
			continue
		}
		if !z.Least.Valid() && t.fails == 0 {
			z.Least = s.sizes[at].Size
		}
		s.judgeWish(u.c, &t)
		if t.fails == 0 {
			if err := s.judgeRuns(runs, &t); err != nil {
				return err
			}
		}
		if t.fails == 0 {
			if tried {
				s.alsoJudgeRuns(runs, &passed)
				z.Binding = passed.fails.rules()
				z.Steps = s.explain(z.Steps, u, runs, &passed, true)
			}
			s.settle(u, runs, &t, z)
			return nil
		}
		passed, tried = t, true
	}
	z.Status = NoSize
	if tried {
		s.alsoJudgeRuns(runs, &passed)
		z.Binding = passed.fails.rules()
		z.Steps = s.explain(z.Steps, u, runs, &passed, true)
		z.Status = statusOf(passed.fails)
	}
	return nil
}

// statusOf says what the largest size failed by.
func statusOf(fails failures) Status {
	switch {
	case fails&byAmpacity == 0 && fails.has(RuleFaultLoop):
		return LoopNotMet
	case fails&byAmpacity == 0 && fails.has(RuleVoltageDrop):
		return DropNotMet
	}
	return NoSize
}

// judgeWish records whether the question asked for larger or other sizes.
func (s *Sizer) judgeWish(c *Circuit, t *trial) {
	size := s.sizes[t.at].Size
	if c.AtLeast.Valid() && size.Compare(c.AtLeast) < 0 || c.Stock != nil && !slices.Contains(c.Stock, size) {
		t.fails.add(RuleAsked)
	}
}

// settle writes the size that serves.
func (s *Sizer) settle(u *surroundings, runs *runs, t *trial, z *Sizing) {
	z.Status = Fits
	z.Size = s.sizes[t.at].Size
	z.Ampacity = t.final
	z.MaxBreaker = s.breakerWithin(t.largest())
	z.Steps = s.explain(z.Steps, u, runs, t, false)
	z.AtLoad = u.c.Volts
	if d := runs.dropOf(s, t.at); d != nil {
		z.Drop, z.DropShare, z.DropLimit = d.Drop, d.Share, d.Limit
		z.AtLoad -= d.Drop
	}
	z.Grounding, z.Steps = s.ground(u, s.baseline(u, t), t, z.Steps)
}

// breakerWithin returns the largest rating made as a breaker that is not above
// limit, or 0.
func (s *Sizer) breakerWithin(limit quantity.Current) quantity.Current {
	var largest quantity.Current
	for _, row := range s.t.Overcurrent {
		if row.Kind != FuseOnly && row.Rating <= limit {
			largest = row.Rating
		}
	}
	return largest
}

// explain appends the steps of a size: all of them, or only those that failed.
func (s *Sizer) explain(steps []Step, u *surroundings, runs *runs, t *trial, failedOnly bool) []Step {
	add := func(step Step) {
		step.Failed = t.fails.has(step.Rule)
		if step.Failed || !failedOnly {
			steps = append(steps, step)
		}
	}
	size := s.sizes[t.at].Size
	about := Step{Size: size, Material: u.c.Material}
	if least := s.t.LeastSize; !least.Source.Absent() {
		step := about
		step.Rule, step.Source, step.Other = RuleLeastSize, least.Source, least.Size
		add(step)
	}
	step := about
	step.Rule, step.Source, step.Rating, step.Have, step.Need = RuleAmpacity, u.ends.rows[t.at].Source, u.ends.rating, t.ends, u.need
	add(step)
	step = about
	step.Rule, step.Source, step.Rating, step.Base = RuleCorrectedAmpacity, u.start.rows[t.at].Source, u.start.rating, t.start
	step.Factor, step.Second, step.Have, step.Need = u.ambient, u.bundle, t.corrected, u.load
	add(step)
	if t.cap > 0 {
		step = about
		step.Rule, step.Source, step.Rating, step.Have, step.Need = RuleNonmetallic, s.t.Nonmetallic.Source, u.cap.rating, t.cap, u.load
		add(step)
	}
	step = about
	step.Rule, step.Source, step.Base, step.Have, step.Need = RuleAtAmpacity, s.t.AtAmpacity, t.final, t.device, u.breaker
	if t.nextUp {
		step.Rule, step.Source = RuleNextSizeUp, s.t.NextSizeUp.Source
	}
	add(step)
	if t.small != nil {
		step = about
		step.Rule, step.Source, step.Have, step.Need = RuleSmallConductor, t.small.Source, t.small.MaxRating, u.breaker
		if over := t.small.MaxContinuous; over > 0 && u.c.Load.Continuous > over {
			step.Have, step.Need, step.Word = over, u.c.Load.Continuous, "continuous load"
		}
		add(step)
	}
	steps = runs.explain(s, steps, t, failedOnly)
	if t.fails.has(RuleAsked) {
		step = about
		step.Rule, step.Word = RuleAsked, "not among the sizes asked for"
		add(step)
	}
	return steps
}
