package identify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

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
