package trace_test

import (
	"testing"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
)

// few returns a case of a chain with some of its faults, one of each class that does not
// trip: every step-th from one on, with no more than so many.
func few(tb testing.TB, places, from, step, most int, opt trace.Options) *trace.Case {
	tb.Helper()
	w := chain(tb, places)
	var faults []miswire.Fault
	n := 0
	for _, k := range newCase(tb, w, &opt).Classes() {
		if k.Trips || k.Sound {
			continue
		}
		if n%step == from%step && len(faults) < most {
			faults = append(faults, k.Causes[0].Fault)
		}
		n++
	}
	opt.Faults = faults
	return newCase(tb, w, &opt)
}

// TestNextIsNearTheOptimum compares the expected effort of what a session advises with
// that of the best tree of tests there is, all of which are tried, and with a fixed order.
func TestNextIsNearTheOptimum(t *testing.T) {
	flips := trace.Options{NoDead: true, NoLive: true}
	dead := trace.Options{NoLive: true, Filament: []switchnet.Ref{lamp}}
	for _, r := range []struct {
		name                     string
		places, from, step, most int
		opt                      trace.Options
		locked, long             bool
	}{
		{"2 places, flips", 2, 0, 1, 9, flips, false, false},
		{"3 places, flips", 3, 0, 4, 6, flips, false, true},
		{"3 places, flips", 3, 1, 3, 7, flips, false, true},
		{"3 places, flips", 3, 2, 5, 4, flips, false, false},
		{"3 places, flips", 3, 3, 4, 5, flips, false, true},
		{"4 places, flips", 4, 0, 6, 6, flips, false, false},
		{"4 places, flips", 4, 1, 6, 6, flips, false, true},
		{"4 places, flips", 4, 3, 7, 5, flips, false, true},
		{"2 places, all tests", 2, 0, 17, 6, dead, false, true},
		{"2 places, all tests", 2, 3, 23, 5, dead, false, true},
		{"3 places, all tests", 3, 1, 51, 4, dead, false, true},
		{"2 places, boxes open and dead", 2, 4, 13, 4, dead, true, true},
		{"2 places, boxes open and dead", 2, 5, 43, 2, dead, true, true},
	} {
		if r.long && !*long {
			continue
		}
		began := time.Now()
		c := few(t, r.places, r.from, r.step, r.most, r.opt)
		s := c.Session()
		recall(t, s, trace.InUse{})
		if r.locked {
			do := []trace.Action{{Do: trace.LockOut}}
			for _, b := range c.Wiring().Spec().Boxes {
				do = append(do, trace.Action{Do: trace.ProveDead, Box: b.Name})
			}
			for _, a := range do {
				if err := s.Do(a); err != nil {
					t.Fatal(err)
				}
			}
		}
		best, err := s.Optimum(400_000)
		if err != nil {
			t.Errorf("%s: %v", r.name, err)
			continue
		}
		chosen, err := s.Chosen(10_000)
		if err != nil {
			t.Fatal(err)
		}
		fixed, err := s.Fixed(10_000)
		if err != nil {
			t.Fatal(err)
		}
		ratio := chosen.Effort.Seconds() / best.Effort.Seconds()
		t.Logf("%s, %d classes: entropy %.0f s, optimum %.1f s (%d states), session %.1f s, fixed order %.1f s: %.3f (%s)", r.name, len(c.Classes()),
			s.EntropyBound().Seconds(), best.Effort.Seconds(), best.Nodes, chosen.Effort.Seconds(), fixed.Effort.Seconds(), ratio, time.Since(began).Round(time.Millisecond))
		if ratio > 1.1 {
			t.Errorf("%s: the session takes %.3f times the optimum", r.name, ratio)
		}
	}
}
