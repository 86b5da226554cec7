package conductor

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

// baseline returns the trial from which an increase of the conductors is
// counted: the least by ampacity as installed, or without correction and
// adjustment, as the region's edition has it.
func (s *Sizer) baseline(u *surroundings, least trial) trial {
	if s.t.GroundingIncrease.Baseline != BeforeCorrection {
		return least
	}
	for at := range s.sizes {
		if t, ok := s.try(u, at, false); ok && t.fails == 0 {
			return t
		}
	}
	return least
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
		step.Factor = quantity.Ratio(new(fraction).times(s.area(t.at)).times(perWhole).over(s.area(base.at)).round(nearest))
		step.Size = s.inProportion(size, base.at, t.at)
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

// area returns the area of a size in the unit of its system: circular mils as
// the table states them, or square micrometers.
func (s *Sizer) area(at int) int64 {
	if mils := s.sizes[at].Area; mils > 0 {
		return int64(mils)
	}
	return int64(s.sizes[at].Size.Area())
}

// inProportion returns the smallest size of the table whose area is at least
// that of ground times the area at index to over that at index from; the largest
// of the table if none is.
func (s *Sizer) inProportion(ground Size, from, to int) Size {
	needed := new(fraction).times(s.area(s.index(ground))).times(s.area(to)).over(s.area(from))
	for at := range s.sizes {
		same := s.sizes[at].Area > 0 == (s.sizes[s.index(ground)].Area > 0)
		if same && new(fraction).times(s.area(at)).cmp(needed) >= 0 {
			return s.sizes[at].Size
		}
	}
	return s.sizes[len(s.sizes)-1].Size
}

// InProportion returns the grounding conductor that keeps its proportion to the
// circuit conductors when these grow from one size to another: the smallest of
// the table whose area is at least ground's times the ratio of their areas, and
// never larger than the circuit conductors where the region says so. It is for
// regions that increase by area; ground is the least behind the device.
func (s *Sizer) InProportion(ground, from, to Size) (Size, error) {
	rule := &s.t.GroundingIncrease
	if rule.Source.Absent() || rule.Basis != ByArea {
		return Size{}, s.missing(RuleGroundingIncrease, "increase of the grounding conductor by area")
	}
	for _, size := range []Size{ground, from, to} {
		if s.index(size) < 0 {
			return Size{}, s.unlisted(size)
		}
	}
	if to.Compare(from) < 0 {
		return Size{}, fmt.Errorf("grounding conductor in proportion: the circuit shrinks from %s to %s; name the smaller size first", from, to)
	}
	if (s.sizes[s.index(from)].Area > 0) != (s.sizes[s.index(to)].Area > 0) {
		return Size{}, fmt.Errorf("grounding conductor in proportion: %s and %s are sizes of two systems", from, to)
	}
	size := s.inProportion(ground, s.index(from), s.index(to))
	if rule.NeverAboveCircuit && size.Compare(to) > 0 {
		size = to
	}
	return size, nil
}
