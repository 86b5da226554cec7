package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
)

// TestHung: the ohmmeter between conductors that hang on a switch which still stands in
// its box finds what that happens to join. The more pairs are measured and found open the
// less a wiring in which that is bound to come out may gain by it: the true one keeps its
// place, and nothing is called all but certain for it.
func TestHung(t *testing.T) {
	s := cottage(t, "lower", "upper")
	enter(t, s, "A1", "14/3", "lower", "upper")
	enter(t, s, "U2", "14/2", "upper", "ceiling")
	enter(t, s, "U3", "14/2", "upper", "panel")
	x := newCase(t, s, &identify.Options{Parted: []string{"upper"}}).Session()
	for _, a := range []identify.Action{{Do: identify.LockOut}, {Do: identify.ProveDead, Box: "lower"}, {Do: identify.ProveDead, Box: "upper"}} {
		if err := x.Do(a.Do, a.Box); err != nil {
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
	point := func(box, w string) switchnet.Terminal { return wire(w).In(box) }
	// The switch stands so that black and red are joined, and white is left.
	for _, p := range []struct {
		a, b  switchnet.Terminal
		found trace.Path
	}{
		{point("lower", "A1.white"), point("lower", "A1.black"), trace.Open},
		{point("lower", "A1.white"), point("lower", "A1.red"), trace.Open},
		{point("upper", "A1.white"), point("upper", "A1.black"), trace.Open},
		{point("upper", "A1.white"), point("upper", "A1.red"), trace.Open},
		{point("lower", "A1.white"), point("upper", "A1.black"), trace.Open},
		{point("lower", "A1.white"), point("upper", "A1.red"), trace.Open},
		{point("lower", "A1.red"), point("upper", "A1.white"), trace.Open},
		{point("lower", "A1.black"), point("upper", "A1.white"), trace.Open},
	} {
		if err := x.Observe(identify.Continuity{Between: [2]switchnet.Terminal{p.a, p.b}, Found: p.found}); err != nil {
			t.Fatal(err)
		}
	}
	if is := places(); was < 0.9 || is < 0.6 {
		t.Errorf("both switches act by %v, after eight measurements that say nothing of it by %v", was, is)
	}
}
