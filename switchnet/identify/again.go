package identify

import (
	"fmt"

	"example.com/switchleg/switchnet/trace"
)

// heard is what an ohmmeter found between two points, and under which possibilities that
// hung on something of which nobody knows what it is: a load of the feed elsewhere, a
// switch that stands in its box, a box in which somebody worked.
type heard struct {
	found trace.Path
	loose func(i int) bool
}

// between returns what an ohmmeter lay between, with the boxes as they are: whatever was
// twisted together meanwhile, what nobody knows was the same.
func between(o Continuity, stage []Stage) string {
	a, b := o.Between[0].String(), o.Between[1].String()
	return fmt.Sprint(min(a, b), " ", max(a, b), stage)
}

// still is how likely an ohmmeter is to find once more what it found, where that hangs on
// something of which nobody knows what it is. It lies there as it lay before: were each
// test taken for news, a true possibility would lose two thirds of its weight with each, and
// tests that tell nothing would be proposed.
const still = 0.9

// stillLikely returns how likely it is to find the same once more, or something else.
func stillLikely(same bool) float64 {
	if same {
		return still
	}
	return (1 - still) / 2
}

// pathAgain is pathLikely of a test in a setup, where the two points may have been measured
// before.
func (s *Session) pathAgain(o Continuity, stage []Stage) func(outcome, trace.Path) float64 {
	last, again := s.heard[between(o, stage)]
	if !again {
		return pathLikely
	}
	return func(x outcome, p trace.Path) float64 {
		if x == anyPath {
			return stillLikely(p == last.found)
		}
		return pathLikely(x, p)
	}
}
