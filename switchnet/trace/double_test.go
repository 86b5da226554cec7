package trace_test

import (
	"context"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
)

// TestDoubles puts two faults in a chain, sees every setting, by package switchnet, and
// holds that the pair is found, that each pair found lights alike, and that all that is
// said is put right by its cure.
func TestDoubles(t *testing.T) {
	for _, r := range []struct {
		places int
		faults [2]string
		why    string
	}{
		{2, [2]string{"hall.common and hall.traveler 1 are exchanged in box place-1", "hall.common and hall.traveler 1 are exchanged in box place-2"},
			"an exchange at both ends: one of four, or never lit, by which screws"},
		{3, [2]string{"hall.common and hall.traveler 1 are exchanged in box place-1", "hall.common and hall.traveler 2 are exchanged in box place-3"},
			"one of eight: the table of two wrong devices"},
		{3, [2]string{"hall.pair 1 first and hall.pair 2 first are exchanged in box place-2", "hall.common and hall.traveler 2 are exchanged in box place-3"},
			"the four-way and an end"},
	} {
		w := chain(t, r.places)
		c := newCase(t, w, &trace.Options{NoDead: true, NoLive: true})
		s := c.Session()
		edits := slices.Concat(fault(t, w, r.faults[0]).Edits, fault(t, w, r.faults[1]).Edits)
		d := newWorld(t, w, edits, map[switchnet.Ref]bool{place(2): true})
		for _, at := range settings(t, w) {
			recall(t, s, d.saw(at, []switchnet.Ref{lamp}))
		}
		out, err := s.Doubles(context.Background(), &trace.DoubleOptions{Enough: 1 << 20})
		if err != nil {
			t.Fatal(err)
		}
		if out.Tried != out.Of || out.Of == 0 {
			t.Errorf("%s: %d of %d tried", r.why, out.Tried, out.Of)
		}
		for _, x := range out.Fits {
			bad, err := w.Apply(slices.Concat(x.Causes[0].Fault.Edits, x.Causes[1].Fault.Edits)...)
			if err != nil {
				continue // possible only the other way round
			}
			lit := func(d *world) (n int) {
				for _, at := range settings(t, w) {
					if o := d.saw(at, []switchnet.Ref{lamp}); !o.Tripped && o.Lights[0].Glow == trace.Lit {
						n++
					}
				}
				return n
			}
			e := newWorld(t, w, nil, nil)
			e.w, e.solver = bad, bad.Net().NewSolver()
			if lit(e) != lit(d) {
				t.Errorf("%s: %s lights in %d settings, and not in %d", r.why, x, lit(e), lit(d))
			}
			cure, err := c.CureDouble(x)
			if err != nil {
				t.Errorf("%s: %v", r.why, err)
				continue
			}
			if good, err := bad.Apply(cure.Edits...); err != nil || !slices.Equal(found(t, good), found(t, w)) {
				t.Errorf("%s: %s: cured, check finds something more (%v)", r.why, x, err)
			}
		}
		t.Logf("%s: %v, %d of %d pairs fit", r.why, verdict(t, s).Status, len(out.Fits), out.Of)
		if len(out.Fits) == 0 {
			t.Errorf("%s: no pair fits", r.why)
		}
		few, err := s.Doubles(context.Background(), &trace.DoubleOptions{Enough: 1})
		if err != nil || len(out.Fits) > 0 && (len(few.Fits) != 1 || few.Tried > out.Tried) {
			t.Errorf("%s: %d fit of %d tried where one is enough, %v", r.why, len(few.Fits), few.Tried, err)
		}
		none, err := s.Doubles(context.Background(), &trace.DoubleOptions{Tries: 1})
		if err != nil || none.Tried != 1 || none.Of != out.Of {
			t.Errorf("%s: %d of %d tried where one is the limit, %v", r.why, none.Tried, none.Of, err)
		}
	}
	s := newCase(t, chain(t, 2), nil).Session()
	if _, err := s.Doubles(context.Background(), &trace.DoubleOptions{Tries: -1}); err == nil {
		t.Error("less than no try")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := s.Doubles(ctx, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
}
