package conductor

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

// baseline returns the trial from which an increase of the conductors is
// counted: the least that carries the load and is protected, as installed or
// without correction and adjustment, as the region's edition has it. What a rule
// makes larger for its own sake, whatever the load, is an increase. Where none
// serves, nothing is one.
func (s *Sizer) baseline(u *surroundings, settled *trial) trial {
	asInstalled := s.t.GroundingIncrease.Baseline != BeforeCorrection
	for at := range s.sizes {
		if t, ok := s.try(u, at, asInstalled); ok && t.fails&^(1<<RuleLeastSize) == 0 {
			return t
		}
	}
	return *settled
}

// ground returns the grounding conductor behind the breaker, larger where the
// circuit's conductors are larger than they need be. It is the zero Size where
// the table has no rows for the material.
func (s *Sizer) ground(u *surroundings, base trial, t *trial, steps []Step) (Size, []Step) {
	row := s.groundingRow(u.c.Material, u.breaker)
	if row == nil {
		return Size{}, steps
	}
	size := row.Size
	steps = append(steps, Step{Rule: RuleGrounding, Source: row.Source, Size: size, Material: u.c.Material, Need: u.breaker})
	rule := &s.t.GroundingIncrease
	if rule.Source.Absent() || t.at <= base.at {
		return size, steps
	}
	step := Step{Rule: RuleGroundingIncrease, Source: rule.Source, Material: u.c.Material, Other: s.sizes[base.at].Size}
	if rule.Basis == ByAmpacity {
		if row = s.groundingRow(u.c.Material, max(u.breaker, t.ends)); row == nil {
			return size, steps
		}
		step.Need = t.ends
		step.Size = row.Size
	} else {
		from, to := s.sizes[base.at].Size, s.sizes[t.at].Size
		step.Factor = quantity.Ratio(new(fraction).times(s.area(to)).times(perWhole).over(s.area(from)).round(nearest))
		step.Size = s.inProportion(size, from, to)
	}
	if rule.NeverAboveCircuit && step.Size.Compare(s.sizes[t.at].Size) > 0 {
		step.Size = s.sizes[t.at].Size
	}
	if step.Size.Compare(size) < 0 {
		step.Size = size
	}
	return step.Size, append(steps, step)
}

// groundingRow returns the row of the least device not below the rating, or nil.
func (s *Sizer) groundingRow(m Material, rating quantity.Current) *GroundingRow {
	for i := range s.grounding[m] {
		if row := &s.grounding[m][i]; rating <= row.UpTo {
			return row
		}
	}
	return nil
}

// area returns the area of a size in the unit of its system: circular mils, as
// the table states them if it lists the size, or square micrometers.
func (s *Sizer) area(size Size) int64 {
	if at := s.index(size); at >= 0 && s.sizes[at].Area > 0 {
		return int64(s.sizes[at].Area)
	}
	if mils, ok := size.CircularMils(); ok {
		return int64(mils)
	}
	return int64(size.Area())
}

// sameSystem reports whether the areas of two sizes are in one unit.
func sameSystem(a, b Size) bool { return (a.system == metric) == (b.system == metric) }

// inProportion returns the smallest size of the table whose area is at least
// that of ground times the area of to over that of from; the largest of its
// system if none is.
func (s *Sizer) inProportion(ground, from, to Size) Size {
	needed := new(fraction).times(s.area(ground)).times(s.area(to)).over(s.area(from))
	largest := ground
	for _, row := range s.sizes {
		if !sameSystem(row.Size, ground) {
			continue
		}
		largest = row.Size
		if new(fraction).times(s.area(row.Size)).cmp(needed) >= 0 {
			break
		}
	}
	return largest
}

// InProportion returns the grounding conductor that keeps its proportion to the
// circuit conductors when these grow from one size to another: the smallest of
// the table whose area is at least ground's times the ratio of their areas, and
// never larger than the circuit conductors where the region says so. It is for
// regions that increase by area; ground, the least behind the device, must be in
// the table, the sizes of the circuit need not be.
func (s *Sizer) InProportion(ground, from, to Size) (Size, error) {
	rule := &s.t.GroundingIncrease
	switch {
	case rule.Source.Absent() || rule.Basis != ByArea:
		return Size{}, s.missing(RuleGroundingIncrease, "increase of the grounding conductor by area")
	case s.index(ground) < 0:
		return Size{}, s.unlisted(ground)
	case !from.Valid() || !to.Valid() || !sameSystem(from, to) || !sameSystem(ground, from):
		return Size{}, fmt.Errorf("grounding conductor %s in proportion to %s and %s: write three sizes of one system", ground, from, to)
	case to.Compare(from) < 0:
		return Size{}, fmt.Errorf("grounding conductor in proportion: the circuit shrinks from %s to %s; name the smaller size first", from, to)
	}
	size := s.inProportion(ground, from, to)
	if rule.NeverAboveCircuit && size.Compare(to) > 0 {
		size = to
	}
	return size, nil
}
