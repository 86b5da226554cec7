package identify_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestHungLive: what a tester shows on the travelers of a switch that still stands in its
// box hangs on how it stands, whichever breaker of another circuit is off and at whichever
// end it is read. However often it is read, the true wiring keeps its place.
func TestHungLive(t *testing.T) {
	s := cottage(t, "lower", "upper")
	for _, name := range []string{"porch", "hall"} {
		s.Feeds = append(s.Feeds, wiring.Feed{Name: name, Box: "panel", Breaker: 15 * quantity.Ampere})
	}
	enter(t, s, "L1", "14/2", "lower", "panel")
	enter(t, s, "A1", "14/3", "lower", "upper")
	enter(t, s, "U2", "14/2", "upper", "ceiling")
	x := newCase(t, s, &identify.Options{Parted: []string{"upper"}}).Session()
	observe := func(o identify.Observation) {
		t.Helper()
		if err := x.Observe(o); err != nil {
			t.Fatal(err)
		}
	}
	places := func() float64 { // how likely both switches act
		sum := 0.0
		for _, f := range x.Verdict(1 << 20).Fits {
			if len(f.Plans[0].Places) == 2 {
				sum += f.Likely.Float64()
			}
		}
		return sum
	}
	was := places()
	observe(identify.Reference{Point: identify.Outside(), Shown: true})
	// The switch stands so that black has the hot and red nothing; white is the neutral.
	for _, off := range [][]string{nil, {"porch"}, {"hall"}, {"hall", "porch"}} {
		for _, box := range []string{"upper", "lower"} {
			for _, r := range []struct {
				wire  string
				shows quantity.Voltage
			}{{"A1.white", 0}, {"A1.black", 120 * quantity.Volt}, {"A1.red", 0}} {
				observe(identify.Reading{Red: wire(r.wire).In(box), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: r.shows, Off: off})
			}
		}
	}
	if is := places(); was < 0.9 || is < 0.6 {
		t.Errorf("both switches act by %v, after 24 readings that say little of it by %v", was, is)
	}
	// Something else than before is possible, and unlikely.
	observe(identify.Reading{Red: wire("A1.black").In("upper"), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 0})
	if v := x.Verdict(1); v.Status == trace.Contradiction {
		t.Errorf("another reading than before: %v", v.Status)
	}
}
