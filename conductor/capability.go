package conductor

import (
	"example.com/switchleg/conductor/quantity"
)

// Capability is what a size may carry in its surroundings.
type Capability struct {
	Status Status `json:"status"` // Fits, or TooHot when nothing

	Table        quantity.Current `json:"table,omitzero"`        // from the column of the insulation, or of the cable's limit on where to start
	Corrected    quantity.Current `json:"corrected,omitzero"`    // after ambient correction and bundling adjustment
	Terminations quantity.Current `json:"terminations,omitzero"` // in the column the terminations allow
	Limit        quantity.Current `json:"limit,omitzero"`        // in the column the cable is held to; 0 for none
	Ampacity     quantity.Current `json:"ampacity,omitzero"`     // the least of the last three
	MaxBreaker   quantity.Current `json:"max_breaker,omitzero"`  // largest standard breaker it may have, 0 for none

	Steps []Step `json:"steps"`
}

// Cautions returns what a reader must know of the steps; see [Sizing.Cautions].
func (c Capability) Cautions() []string { return cautions(c.Steps, nil) }

// Capability returns what the size may carry in the surroundings of c, whose
// load and lengths do not matter. Where c names no breaker, the size decides the
// column of the terminations. Errors are those of [Sizer.Size], and
// [ErrNoSuchSize].
func (s *Sizer) Capability(c Circuit, size Size) (Capability, error) {
	c.Load = Load{}
	u, t, err := s.one(&c, c.Breaker, size)
	if err != nil {
		return Capability{}, err
	}
	y := Capability{Status: Fits, Table: t.start, Corrected: t.corrected, Terminations: t.ends, Limit: t.cap, Ampacity: t.final,
		MaxBreaker: s.breakerWithin(t.largest())}
	if u.tooHot {
		return Capability{Status: TooHot, Steps: u.steps}, nil
	}
	y.Steps = s.explain(u.steps, u, nil, &t, false)
	return y, nil
}

// one surrounds the circuit and tries one size, without regard to load.
func (s *Sizer) one(c *Circuit, breaker quantity.Current, size Size) (*surroundings, trial, error) {
	var errs errorList
	c.checkRest(&errs)
	if err := errs.join(); err != nil {
		return nil, trial{}, err
	}
	at := s.index(size)
	if at < 0 {
		return nil, trial{}, s.unlisted(size)
	}
	u, err := s.surround(c, breaker, size)
	if err != nil {
		return nil, trial{}, err
	}
	t, ok := s.try(u, at, true)
	if !ok {
		return nil, trial{}, s.missing(RuleAmpacity, "ampacity for %s %s at %s", size, c.Material, u.start.rating)
	}
	return u, t, nil
}

// LargestDevice returns the largest standard rating that protects a conductor of
// the given ampacity, before any cap on small conductors, and 0 where none is
// small enough. Receptacles says that the circuit supplies several.
func (s *Sizer) LargestDevice(ampacity quantity.Current, receptacles bool) (quantity.Current, error) {
	if len(s.t.Overcurrent) == 0 {
		return 0, s.missing(RuleStandardRating, "standard overcurrent ratings")
	}
	device, _ := s.deviceFor(ampacity, receptacles)
	return device, nil
}

// LargestLoad is the largest load of a size and what bounds it.
type LargestLoad struct {
	// Status is Fits, or says why the size may carry nothing: TooHot; NoSize when
	// it may not be used, or not behind c's breaker; NoRating when no breaker is
	// small enough, and RatingTooSmall when the one that is may not be used.
	Status  Status           `json:"status"`
	Load    quantity.Current `json:"load"` // rounded down to the microampere
	Breaker quantity.Current `json:"breaker,omitzero"`
	Binding []Rule           `json:"binding,omitempty"` // what bounds the load, in the order of the rules
	Steps   []Step           `json:"steps"`
}

// LargestLoad returns the largest load, all continuous or not at all, that the
// size may carry in the surroundings of c: behind c's breaker, or the largest
// it may have, and within the limit on voltage drop if c has a length. Errors
// are those of [Sizer.Capability].
func (s *Sizer) LargestLoad(c Circuit, size Size, continuous bool) (LargestLoad, error) {
	c.Load = Load{}
	u, t, err := s.one(&c, c.Breaker, size)
	if err != nil {
		return LargestLoad{}, err
	}
	if u.tooHot {
		return LargestLoad{Status: TooHot, Binding: []Rule{RuleAmbient}, Steps: u.steps}, nil
	}
	y := LargestLoad{Status: Fits, Breaker: c.Breaker}
	if c.Breaker == 0 {
		y.Breaker = s.breakerWithin(t.largest())
	} else if _, _, err := s.rateGiven(&c, 0, Source{}); err != nil {
		return LargestLoad{}, err
	}
	switch least := &s.t.MinimumRating; {
	case t.fails != 0:
		return LargestLoad{Status: NoSize, Binding: t.fails.rules(), Steps: s.explain(u.steps, u, nil, &t, false)}, nil
	case y.Breaker == 0:
		return LargestLoad{Status: NoRating, Binding: []Rule{RuleStandardRating}, Steps: s.explain(u.steps, u, nil, &t, false)}, nil
	case y.Breaker < least.of(&c):
		step := Step{Rule: RuleMinimumRating, Source: least.Source, Have: y.Breaker, Need: least.of(&c), Failed: true}
		return LargestLoad{Status: RatingTooSmall, Binding: []Rule{RuleMinimumRating}, Steps: append(u.steps, step)}, nil
	}
	conductorFactor, deviceFactor := quantity.Whole, quantity.Whole
	if continuous {
		if s.t.Continuous.Source.Absent() {
			return LargestLoad{}, s.missing(RuleContinuousLoad, "rule for continuous load")
		}
		conductorFactor, deviceFactor = s.t.Continuous.Conductor, s.t.Continuous.Overcurrent
	}
	bounds := []bound{
		{RuleStandardRating, shrink(y.Breaker, deviceFactor)},
		{RuleAmpacity, shrink(t.ends, conductorFactor)},
		{RuleCorrectedAmpacity, t.corrected},
	}
	if t.cap > 0 {
		bounds = append(bounds, bound{RuleNonmetallic, t.cap})
	}
	if t.small != nil && continuous && t.small.MaxContinuous > 0 {
		bounds = append(bounds, bound{RuleSmallConductor, t.small.MaxContinuous})
	}
	if c.hasLength() {
		byDrop, limited, err := s.loadWithinDrop(&c, t.at)
		if err != nil {
			return LargestLoad{}, err
		}
		if limited {
			bounds = append(bounds, bound{RuleVoltageDrop, byDrop})
		}
	}
	y.Load, y.Binding = least(bounds)
	y.Steps = s.explainLoad(u, &t, y, continuous)
	return y, nil
}

// Cautions returns what a reader must know of the steps; see [Sizing.Cautions].
func (l LargestLoad) Cautions() []string { return cautions(l.Steps, nil) }

// explainLoad works the size's steps with the load that was found.
func (s *Sizer) explainLoad(u *surroundings, t *trial, y LargestLoad, continuous bool) []Step {
	c := u.c
	u.breaker, u.load, u.need = y.Breaker, y.Load, y.Load
	c.Load = Load{Other: y.Load}
	if continuous {
		c.Load = Load{Continuous: y.Load}
		u.need = raise(c.Load, s.t.Continuous.Conductor)
		u.steps = append([]Step{{Rule: RuleContinuousLoad, Source: s.t.Continuous.Source, Load: c.Load,
			Factor: s.t.Continuous.Conductor, Need: u.need}}, u.steps...)
	}
	var lengths *runs
	if c.hasLength() && y.Load > 0 {
		if plan, err := s.planDrop(c); err == nil {
			lengths = &runs{drop: plan}
		}
	}
	return s.explain(u.steps, u, lengths, t, false)
}

// bound is one upper bound on a load and the rule it comes from.
type bound struct {
	rule Rule
	load quantity.Current
}

// least returns the least bound and every rule that sets it.
func least(bounds []bound) (quantity.Current, []Rule) {
	load := bounds[0].load
	for _, b := range bounds {
		load = min(load, b.load)
	}
	var rules failures
	for _, b := range bounds {
		if b.load == load {
			rules.add(b.rule)
		}
	}
	return load, rules.rules()
}

// shrink returns current over factor, rounded down: the load that, raised by the
// factor, is the current.
func shrink(current quantity.Current, factor quantity.Ratio) quantity.Current {
	return quantity.Current(new(fraction).times(int64(current)).times(perWhole).over(int64(factor)).round(down))
}
