package trace_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

func electric(tb testing.TB) trace.Electric {
	tb.Helper()
	return trace.Electric{Table: &region(tb, "us-2023").Conductor}
}

// TestPredict holds what a meter is expected to show where a right job and one with an
// open traveler are left: the idle traveler rides on its neighbour, whatever is wrong, and
// falls to nothing under a load.
func TestPredict(t *testing.T) {
	w := chain(t, 2)
	open := "C1.red is open"
	p := trace.DefaultPriors()
	c := newCase(t, w, &trace.Options{Faults: []miswire.Fault{fault(t, w, open)}, Priors: &p, Known: []switchnet.Ref{place(1), place(2)}})
	s := c.Session()
	idle, driven := trace.Reading{}, trace.Reading{}
	for _, r := range []struct {
		x      *trace.Reading
		at     trace.Setting
		colour string
	}{{&idle, at("up", "up"), "red"}, {&driven, at("down", "up"), "red"}} {
		*r.x = trace.Reading{At: r.at, Red: end("place-2", "C1", r.colour), Black: end("place-2", "C1", "bare")}
	}
	for _, r := range []struct {
		x           trace.Reading
		meter       steady.MeterKind
		right, open trace.Volts
		why         string
	}{
		{idle, steady.HighImpedance, trace.Ambiguous, trace.Ambiguous, "a ghost on either: no meter of high impedance tells them apart"},
		{idle, steady.LowImpedance, trace.Dead, trace.Dead, "nor does a loaded one, where the traveler is idle"},
		{driven, steady.LowImpedance, trace.Hot, trace.Dead, "the driven one is hot, or open before it gets there"},
		{driven, steady.HighImpedance, trace.Hot, trace.Ambiguous, "and the open one a ghost"},
	} {
		r.x.Meter = r.meter
		got, err := s.Predict(context.Background(), r.x, electric(t))
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != 2 {
			t.Fatalf("%d predictions", len(got))
		}
		for _, x := range got {
			want := r.right
			if !x.Class.Sound {
				want = r.open
			}
			if x.Comes != want || x.Trips {
				t.Errorf("%s; want %v: %s", x, want, r.why)
			}
			// The same by package steady.
			d := newWorld(t, w, x.Class.Causes[0].Fault.Edits, nil)
			if shows := d.reads(r.x).Shows; shows < x.Least-quantity.Volt || shows > x.Most+quantity.Volt {
				t.Errorf("%s; the meter shows %s", x, shows)
			}
			if !strings.Contains(x.String(), "if "+x.Class.Causes[0].String()) {
				t.Error(x)
			}
		}
	}
}

// TestPredictRefuses holds that volts are for finalists, and what else is refused.
func TestPredictRefuses(t *testing.T) {
	s := newCase(t, chain(t, 2), nil).Session()
	_, err := s.Predict(context.Background(), trace.Reading{At: at("up"), Red: place(1).Terminal("common"), Meter: steady.Proximity}, trace.Electric{})
	for _, want := range []string{"classes remain", "leaves switches out", "no point of a box", "shows no volts", "Electric.Table: is not set"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
}

// TestFinals holds that among finalists a reading is found whose volts tell them apart, that
// a true reading speaks for the truth, and that there is none where a rule forbids it.
func TestFinals(t *testing.T) {
	w := chain(t, 2)
	// Two lamps in series with one another would be told by half the volts; here the
	// three that light in one setting of four at the far end.
	var faults []miswire.Fault
	for _, what := range []string{"hall.common and hall.traveler 1 are exchanged in box place-2", "hall: common does not join traveler 1 when up in box place-2", "C1.red is open"} {
		faults = append(faults, fault(t, w, what))
	}
	p := trace.DefaultPriors()
	p.Right = 0
	c := newCase(t, w, &trace.Options{Faults: faults, Priors: &p, NoDead: true, Known: []switchnet.Ref{place(1), place(2)}})
	for i, f := range faults {
		d := newWorld(t, w, f.Edits, nil)
		told := false
		for _, handles := range settings(t, w) {
			s := c.Session()
			if err := s.Stand(handles, "place-2"); err != nil {
				t.Fatal(err)
			}
			r, predicted, ok, err := s.Finals(context.Background(), electric(t))
			if err != nil {
				t.Fatal(err)
			}
			if !ok {
				continue
			}
			told = true
			shows := d.reads(r).Shows
			mine := slices.IndexFunc(predicted, func(x trace.Predicted) bool { return x.Class.Causes[0].Fault.Says == f.Says })
			if x := predicted[mine]; shows < x.Least-quantity.Volt || shows > x.Most+quantity.Volt {
				t.Errorf("%d: %s is predicted, and the meter shows %s", i, x, shows)
			}
		}
		if !told {
			t.Errorf("no reading tells %s from the others in any setting", f.Says)
		}
	}
	s := c.Session()
	if err := s.Do(trace.Action{Do: trace.LockOut}); err != nil {
		t.Fatal(err)
	}
	if _, _, ok, err := s.Finals(context.Background(), electric(t)); ok || err != nil {
		t.Errorf("a live reading of what is locked out: %v, %v", ok, err)
	}
}
