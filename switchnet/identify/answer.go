package identify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// reading returns a reading that comes to a level.
func (c *Case) reading(t Test, l Level) Reading {
	r := Reading{Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance, Off: t.Off, Tied: t.Tied}
	switch l {
	case OneLine:
		r.Shows = c.nominal
	case TwoLines:
		r.Shows = 2 * c.nominal
	case Between:
		r.Shows = c.nominal / 2
	}
	return r
}

// inBox returns what there is to see in a box under a possibility.
func (c *Case) inBox(h *possibility, p int, stage Stage) InBox {
	sp := c.sp
	o := InBox{Box: sp.open[p]}
	groups := map[int8][]wiring.Wire{}
	var order []int8
	for e, n := range h.node {
		if sp.at[e] != p {
			continue
		}
		if n == spareNode {
			o.Capped = append(o.Capped, sp.ends[e].Wire)
			continue
		}
		if groups[n] == nil {
			order = append(order, n)
		}
		groups[n] = append(groups[n], sp.ends[e].Wire)
	}
	for _, n := range order {
		if len(groups[n]) > 1 {
			o.Spliced = append(o.Spliced, groups[n])
		}
		if stage != Found {
			continue
		}
		for i := range h.frame.plans {
			on := h.frame.plans[i].screw(p, int(n))
			if on == 0 {
				continue
			}
			for _, d := range sp.w.Spec().Devices {
				if d.Box != o.Box || d.Name != sp.control[i].name {
					continue
				}
				for _, t := range d.Kind.Terminals {
					taken := slices.ContainsFunc(o.Screws, func(x Screw) bool { return x.Device == d.Name && x.Terminal == t })
					if t == "ground" || t == "neutral" || taken || (t == "common") != (on == 1) && slices.Contains(d.Kind.Terminals, "common") {
						continue
					}
					o.Screws = append(o.Screws, Screw{d.Name, t, groups[n][0]})
					break
				}
			}
		}
	}
	return o
}

// Answer takes the answer to a test that was done as it says: what had to be done before
// is noted, then the reference that was proven, then the observation. An error leaves
// nothing noted.
func (s *Session) Answer(t Test, o Observation, confidence quantity.Ratio) error {
	n := len(s.log)
	err := s.take(t, o, confidence)
	if err != nil && len(s.log) > n {
		s.replay(slices.Clone(s.log[:n]))
	}
	return err
}

func (s *Session) take(t Test, o Observation, confidence quantity.Ratio) error {
	for _, a := range t.Before {
		if err := s.do(a); err != nil {
			return err
		}
	}
	if _, is := o.(Reading); t.Prove && is {
		at := t.Between[1]
		if s.c.sp.end(wiring.End{Box: at.Place, Wire: wiring.Wire{Cable: at.Device, Conductor: at.Name}}) >= 0 {
			at = Outside()
		}
		if err := s.observe(Entry{Of: Reference{Point: at, Shown: true}}); err != nil {
			return err
		}
	}
	return s.observe(Entry{Of: o, Confidence: confidence})
}

// replay makes a log the log of the session.
func (s *Session) replay(log []Entry) {
	s.reset()
	for _, e := range log {
		_ = s.Enter(e) // what was taken once is taken again
	}
}

// Refuses returns what the session would say to an observation that somebody wants to
// make, such as energizing with ends twisted together: nil, or the rule that it breaks,
// as a *[trace.Broken]; a *[Bolted] says under which possibility it is a bolted fault.
// Nothing is noted.
func (s *Session) Refuses(o Observation) error {
	var errs trace.Errors
	o.compile(s, &errs)
	if len(errs) > 0 {
		return errs
	}
	return s.refuses(Entry{Of: o})
}

// Bolted is why a test is refused that would be a bolted fault, or could be through a
// switch that stands in its box.
type Bolted struct {
	trace.Broken
	// Plans and Ends are the likeliest possibility that remains under which it is one.
	Plans []Plan
	Ends  []Use
}

// Error returns the rule, what it refuses, and why.
func (b *Bolted) Error() string {
	plans := make([]string, len(b.Plans))
	for i, p := range b.Plans {
		plans[i] = p.String()
	}
	return fmt.Sprintf("%s (%s)", b.Broken.Error(), strings.Join(plans, "; "))
}

// Unwrap lets errors.As find the rule.
func (b *Bolted) Unwrap() error { return &b.Broken }
