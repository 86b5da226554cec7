package trace_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// pairOf reports whether two faults at once are among the causes of some classes.
func pairOf(v trace.Verdict, a, b string) bool {
	return says(v, a+", and "+b) || says(v, b+", and "+a)
}

// TestLawTwoFaultsAreFound injects two faults, with handles mounted this way and that, and
// answers truthfully, by packages switchnet and steady, first what is proposed for one fault
// and then, once no single one gives what was reported, what is proposed for two: the pair is
// never ruled out, no step is taken that is a bolted fault before the breaker was known to
// open, and the end is its class alone or says what keeps the rest from being told apart.
func TestLawTwoFaultsAreFound(t *testing.T) {
	for _, r := range []struct {
		name   string
		w      *wiring.Wiring
		every  int // of the single faults that are reckoned with
		truths int
		opt    trace.Options
	}{
		{"2 places", chain(t, 2), 5, 4, trace.Options{Filament: []switchnet.Ref{lamp}}},
		{"3 places", chain(t, 3), 9, 3, trace.Options{Filament: []switchnet.Ref{lamp}}},
		{"2 places, no reading on the live circuit", chain(t, 2), 7, 3, trace.Options{NoLive: true}},
		{"2 places, flips alone", chain(t, 2), 9, 6, trace.Options{NoLive: true, NoDead: true}},
	} {
		began := time.Now()
		if *long {
			r.truths *= 8
		}
		lights := everyLight(r.w)
		for i, f := range miswire.List(r.w) {
			if i%r.every == 0 {
				r.opt.Faults = append(r.opt.Faults, f)
			}
		}
		c := newCase(t, r.w, &r.opt)
		n := len(r.opt.Faults)
		first, ends, tests := map[trace.Status]int{}, map[trace.Status]int{}, 0
		for k := range r.truths {
			i, j := 7*k%n, (11*k+5)%n
			if i == j {
				continue
			}
			a, b := r.opt.Faults[min(i, j)], r.opt.Faults[max(i, j)] // the one made after the other
			edits := slices.Concat(a.Edits, b.Edits)
			if _, err := r.w.Apply(edits...); err != nil {
				edits = slices.Concat(b.Edits, a.Edits)
				if _, err := r.w.Apply(edits...); err != nil {
					continue // no pair that can be
				}
			}
			d := newWorld(t, r.w, edits, mounted(r.w, k))
			s := c.Session()
			v, _, _ := follow(t, s, d, lights)
			first[v.Status]++
			for step := 0; ; step++ {
				two, err := s.Two(context.Background(), &trace.DoubleOptions{Enough: 1 << 20})
				if err != nil {
					t.Fatal(err)
				}
				v, err := two.Session.Verdict()
				if err != nil {
					t.Fatal(err)
				}
				if !two.All {
					t.Fatalf("%s: not all of %d pairs", r.name, two.Of)
				}
				if !pairOf(v, a.Says, b.Says) {
					t.Fatalf("%s: %s, and %s: ruled out after %d tests", r.name, a, b, step)
				}
				x := next(t, two.Session)
				if x.Status != trace.Searching {
					ends[x.Status]++
					tests += step
					if x.Status == trace.NoTest && len(x.Refused) == 0 && !x.Cut {
						t.Errorf("%s: %s, and %s: %d classes are left, and nothing says why", r.name, a, b, len(v.Fits))
					}
					break
				}
				if step > 60 {
					t.Fatalf("%s: %s, and %s: no end to the tests", r.name, a, b)
				}
				o := d.truth(x.Test, lights)
				if saw, ok := o.(trace.Saw); ok && saw.Tripped && x.Test.Kind == trace.FlipAndLook {
					t.Errorf("%s: %s, and %s: %s is a bolted fault", r.name, a, b, x.Test)
				}
				if err := s.Answer(x.Test, o, sure); err != nil {
					t.Fatal(err)
				}
			}
		}
		t.Logf("%s: %d faults, %d pairs; one fault: %v; two: %v, %d tests (%s)", r.name, n, n*(n-1)/2, first, ends, tests, time.Since(began).Round(time.Millisecond))
		if ends[trace.Found] == 0 {
			t.Errorf("%s: no pair was found", r.name)
		}
	}
}

// bothEnds returns a session of a chain in which an exchange at both ends was seen in every
// setting, which no single fault gives.
func bothEnds(t *testing.T, opt *trace.Options) *trace.Session {
	t.Helper()
	w := chain(t, 2)
	s := newCase(t, w, opt).Session()
	edits := slices.Concat(fault(t, w, "hall.common and hall.traveler 1 are exchanged in box place-1").Edits,
		fault(t, w, "hall.common and hall.traveler 2 are exchanged in box place-2").Edits)
	d := newWorld(t, w, edits, nil)
	for _, at := range settings(t, w) {
		recall(t, s, d.saw(at, []switchnet.Ref{lamp}))
	}
	if err := s.Do(trace.Action{Do: trace.LockOut}); err != nil {
		t.Fatal(err)
	}
	if err := s.Do(trace.Action{Do: trace.ProveDead, Box: "place-1"}); err != nil {
		t.Fatal(err)
	}
	for _, x := range []string{"C1.black", "C1.red"} {
		at := at("up", "up")
		o := d.ohms(trace.Continuity{At: at, Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), end("place-1", "C1", x[3:])}})
		if err := s.Report(trace.Report{Of: o}); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// TestTwoGoesOn holds that a search that is asked again after one report more comes to what
// one that begins anew comes to, that taking a report back does too, and that its limits are
// kept and said.
func TestTwoGoesOn(t *testing.T) {
	ctx := context.Background()
	s := bothEnds(t, nil)
	log := s.Log()
	all := func(two *trace.Two) (out []string) {
		v, err := two.Session.Verdict()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range v.Fits {
			for _, c := range f.Class.Causes {
				out = append(out, c.String()+" "+c.Share.String())
			}
		}
		return out
	}
	opt := &trace.DoubleOptions{Enough: 40, Tries: 4000}
	goes := s.Case().Session()
	for i, e := range log {
		if err := goes.Enter(e); err != nil {
			t.Fatal(err)
		}
		on, err := goes.Two(ctx, opt)
		if err != nil {
			t.Fatal(err)
		}
		anew, err := goes.Clone().Two(ctx, opt)
		if err != nil {
			t.Fatal(err)
		}
		if on.Tried != anew.Tried || on.Of != anew.Of || on.Pairs != anew.Pairs || on.All != anew.All || !slices.Equal(all(on), all(anew)) {
			t.Errorf("after report %d: %d pairs of %d tried, anew %d of %d", i+1, on.Pairs, on.Tried, anew.Pairs, anew.Tried)
		}
		if on.Tried > 4000 || on.Pairs > 40 || on.All != (on.Tried == on.Of) {
			t.Errorf("after report %d: %d pairs of %d tried of %d, all: %v", i+1, on.Pairs, on.Tried, on.Of, on.All)
		}
	}
	goes.Undo()
	back, err := goes.Two(ctx, opt)
	if err != nil {
		t.Fatal(err)
	}
	anew, err := goes.Clone().Two(ctx, opt)
	if err != nil || back.Tried != anew.Tried || !slices.Equal(all(back), all(anew)) {
		t.Errorf("taken back: %d pairs of %d tried, anew %d of %d, %v", back.Pairs, back.Tried, anew.Pairs, anew.Tried, err)
	}
	if _, err := s.Two(ctx, &trace.DoubleOptions{Enough: -1}); err == nil {
		t.Error("less than none is enough")
	}
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := s.Clone().Two(stopped, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
}

// TestTwoIsCautious holds that while pairs may fit that were never weighed nothing is
// energized in a setting in which the breaker was not seen to hold, that this is said, and
// that it is proposed where all are weighed and none of them, nor a single fault that is
// nearly right, would be a bolted fault.
func TestTwoIsCautious(t *testing.T) {
	ctx := context.Background()
	w := chain(t, 2)
	var some []miswire.Fault
	for i, f := range miswire.List(w) {
		if i%3 == 0 {
			some = append(some, f)
		}
	}
	c := newCase(t, w, &trace.Options{NoDead: true, NoLive: true, Faults: some})
	for _, r := range []struct {
		why    string
		use    bool // the breaker is known to hold
		enough int
		flips  bool
	}{
		{"some are weighed", false, 5, false},
		{"some are weighed, and none trips", true, 5, true},
		{"all are weighed, and none trips", true, 1 << 20, true},
		{"all are weighed, and some trip", false, 1 << 20, false},
	} {
		s := c.Session()
		recall(t, s, saw(trace.Lit, "up", "up"), saw(trace.Dark, "down", "up"))
		recall(t, s, trace.Flipped{From: at("up", "up"), Switch: place(1), Changed: true})
		if r.use {
			recall(t, s, trace.InUse{})
		}
		two, err := s.Two(ctx, &trace.DoubleOptions{Enough: r.enough, Tries: 1 << 20})
		if err != nil {
			t.Fatal(err)
		}
		if two.All != (r.enough > 5) {
			t.Fatalf("%s: all of them: %v", r.why, two.All)
		}
		a := next(t, two.Session)
		if flips := a.Status == trace.Searching && a.Test.Kind == trace.FlipAndLook; flips != r.flips {
			t.Errorf("%s: %v, %v, refused %v", r.why, a.Status, a.Test, trace.SayRefused(a.Refused))
		}
		if refused := slices.ContainsFunc(a.Refused, func(x trace.Refusal) bool { return x.Rule == trace.BoltedFault }); refused == r.flips {
			t.Errorf("%s: refused %v", r.why, trace.SayRefused(a.Refused))
		}
	}
}
