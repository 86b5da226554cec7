package wiring

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// Question returns the circuit as package conductor sizes or judges it: the sum of
// its lights, each at its power factor (1 where it states none), all of it continuous, for lights burn for hours;
// the conductor to the farthest light and back, if the ways to all of them are
// known; the cable with its smallest conductor, the first in name order; and the
// smallest grounding conductor that its cables bring. On a feed of several poles all
// lights that return to the neutral are taken to be on one pole, at the voltage from
// line to neutral, and the others add to them: the most that one conductor may
// carry. What a wiring does not know (ambient, bundles, how the cable lies, what
// terminations are listed for) keeps its zero. The error says what the wiring lacks:
// a cable, or a light that states its load.
func (w *Wiring) Question(c Circuit) (conductor.Circuit, error) {
	if err := w.Check(); err != nil {
		return conductor.Circuit{}, err
	}
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
	var between, neutral quantity.ApparentPower // what lies between two poles, and what does not
	var silent []string
	for i, l := range w.lightsOf(c) {
		if l == nil {
			return q, fmt.Errorf("%v is not of this wiring", c.Routes[i].Light)
		}
		if l.Power == 0 {
			silent = append(silent, l.Name)
			continue
		}
		draws, err := l.Apparent()
		if err != nil {
			return q, err
		}
		if c.Routes[i].Between {
			between += draws
		} else {
			neutral += draws
		}
	}
	if len(silent) > 0 {
		return q, fmt.Errorf("lights on it do not state their load: %s", strings.Join(silent, ", "))
	}
	if c.Poles > 1 && neutral > 0 {
		q.Volts = w.spec.Supply.LineToNeutral
	}
	first, err := current(between, c.Volts)
	second, err2 := current(neutral, q.Volts)
	q.Load.Continuous = first + second
	return q, cmp.Or(err, err2)
}

// current returns what a load draws at a voltage on two conductors.
func current(apparent quantity.ApparentPower, volts quantity.Voltage) (quantity.Current, error) {
	if apparent == 0 {
		return 0, nil
	}
	return conductor.CurrentOf(apparent, volts, 1)
}

// lightsOf returns the lights of a circuit in the order of its routes, nil for one
// that is not of this wiring.
func (w *Wiring) lightsOf(c Circuit) []*Light {
	number := map[switchnet.Ref]int{}
	for i, r := range c.Routes {
		number[r.Light] = i
	}
	out := make([]*Light, len(c.Routes))
	for i := range w.spec.Lights {
		if n, ok := number[w.spec.Lights[i].ref()]; ok {
			out[n] = &w.spec.Lights[i]
		}
	}
	return out
}
