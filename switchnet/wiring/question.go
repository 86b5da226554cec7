package wiring

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Question returns the circuit as package conductor sizes or judges it: the sum of
// its lights at unity power factor, all of it continuous, for lights burn for hours;
// the conductor to the farthest light and back, if the ways to all of them are
// known; the cable with its smallest conductor, the first in name order; and the
// smallest grounding conductor that its cables bring. What a wiring does not know
// (ambient, bundles, how the cable lies, what terminations are listed for) keeps its
// zero. The error says what the wiring lacks: a cable, or a light that states its
// load.
func (w *Wiring) Question(c Circuit) (conductor.Circuit, error) {
	if len(c.Cables) == 0 {
		return conductor.Circuit{}, fmt.Errorf("no cable leads from it")
	}
	q := conductor.Circuit{Volts: c.Volts, Breaker: c.Breaker}
	for _, name := range c.Cables {
		i, ok := w.idx.cables[name]
		if !ok {
			return conductor.Circuit{}, fmt.Errorf("cable %q is not of this wiring", name)
		}
		cable := &w.spec.Cables[i]
		smallest := func(core conductor.Core) bool { return core.Size == c.Smallest }
		if cable.Type.Material == c.Material && q.Construction == 0 && slices.ContainsFunc(cable.Type.Cores, smallest) {
			q = q.OfCable(cable.Type)
		}
		if g := cable.Type.GroundingSize(); g.Valid() && (!q.Grounding.Valid() || g.Compare(q.Grounding) < 0) {
			q.Grounding = g
		}
	}
	if c.Power == 0 {
		return q, fmt.Errorf("no light on it states its load")
	}
	known := !slices.ContainsFunc(c.Routes, func(r Route) bool { return !r.Complete })
	if far, ok := c.Longest(); ok && known {
		q.Path = far.Length()
	}
	apparent, err := conductor.ApparentOf(c.Power, quantity.Whole)
	if err == nil {
		q.Load.Continuous, err = conductor.CurrentOf(apparent, c.Volts, 1)
	}
	return q, err
}
