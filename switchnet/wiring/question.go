package wiring

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Question returns the circuit as package conductor sizes or judges it: the sum of
// its lights at unity power factor, all of it continuous, for lights burn for hours;
// the conductor to the farthest light and back; the cable with its smallest
// conductor, the first of the spec; and the smallest grounding conductor that its
// cables bring. What a wiring does not know (ambient, bundles, how the cable lies,
// what terminations are listed for) keeps its zero. The error says what the wiring
// lacks: a cable, or a light that states its load.
func (w *Wiring) Question(c Circuit) (conductor.Circuit, error) {
	if len(c.Cables) == 0 {
		return conductor.Circuit{}, fmt.Errorf("no cable leads from it")
	}
	q := conductor.Circuit{Volts: c.Volts, Breaker: c.Breaker}
	for i := range w.spec.Cables {
		cable := &w.spec.Cables[i]
		if !slices.Contains(c.Cables, cable.Name) {
			continue
		}
		if cable.Type.Size == c.Smallest && cable.Type.Material == c.Material && q.Construction == 0 {
			q = q.OfCable(cable.Type)
		}
		if g := cable.Type.GroundingSize(); g.Valid() && (!q.Grounding.Valid() || g.Compare(q.Grounding) < 0) {
			q.Grounding = g
		}
	}
	if c.Power == 0 {
		return q, fmt.Errorf("no light on it states its load")
	}
	if far, ok := c.Longest(); ok {
		q.Path = far.Length()
	}
	apparent, err := conductor.ApparentOf(c.Power, quantity.Whole)
	if err == nil {
		q.Load.Continuous, err = conductor.CurrentOf(apparent, c.Volts, 1)
	}
	return q, err
}
