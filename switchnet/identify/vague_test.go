package identify_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// TestGhostIsNoLine: what an idle conductor shows on a meter of high impedance settles
// nothing, however near it comes to the volts of a line; on a tester that loads it does.
func TestGhostIsNoLine(t *testing.T) {
	const nominal = 120 * quantity.Volt
	for _, x := range []struct {
		meter steady.MeterKind
		shows quantity.Voltage
		want  identify.Level
		why   string
	}{
		{steady.HighImpedance, 40 * quantity.Volt, identify.Between, "a spare red beside a live black"},
		{steady.HighImpedance, 60 * quantity.Volt, identify.Between, "half way between hot and ground"},
		{steady.HighImpedance, 90 * quantity.Volt, identify.Between, "an idle traveler on a long run"},
		{steady.HighImpedance, 118 * quantity.Volt, identify.OneLine, "within what the meter may be wrong"},
		{steady.HighImpedance, 0, identify.Between, "an open lead shows it too"},
		{steady.LowImpedance, 0, identify.None, "nothing drives it"},
		{steady.LowImpedance, 104 * quantity.Volt, identify.OneLine, "a line that sags under the load"},
		{steady.Proximity, 120 * quantity.Volt, identify.Between, "it feels the neighbour"},
	} {
		r := identify.Reading{Meter: x.meter, Shows: x.shows}
		if got := r.Comes(nominal); got != x.want {
			t.Errorf("%v on a %v meter, %s: %v, want %v", x.shows, x.meter, x.why, got, x.want)
		}
	}
}

// TestWorkedBox: what is measured while a box in which somebody worked is not apart says
// nothing, since no scheme says what is joined there; and nobody is asked to measure then.
func TestWorkedBox(t *testing.T) {
	s := cottage(t, "lower")
	enter(t, s, "F", "14/2", "lower", "panel")
	enter(t, s, "L", "14/2", "lower", "ceiling")
	c := newCase(t, s, &identify.Options{Disturbed: []string{"lower"}, Unusual: -1})
	n := c.Session()
	do(t, n, identify.LockOut, "")
	do(t, n, identify.ProveDead, "lower")
	before := n.Verdict(1)
	o := identify.Continuity{Between: [2]switchnet.Terminal{wire("F.black").In("lower"), wire("F.white").In("lower")}, Found: trace.Joined}
	if err := n.Observe(o); err != nil {
		t.Fatal(err)
	}
	if after := n.Verdict(1); after.Possibilities != before.Possibilities || after.Status == trace.Contradiction {
		t.Errorf("%d possibilities were left, and %d after a reading that says nothing", before.Possibilities, after.Possibilities)
	}
	a, err := n.Next(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if a.Status != trace.Searching {
		t.Fatalf("proposes nothing: %v", a.Status)
	}
	for _, b := range a.Test.Before {
		if b.Do == identify.TakeApart && b.Box == "lower" {
			return
		}
	}
	t.Errorf("proposes %v with the box as it is", a.Test)
}
