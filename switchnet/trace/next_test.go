package trace_test

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// truth answers a test from a world.
func (d *world) truth(t trace.Test, of []switchnet.Ref) trace.Observation {
	d.tb.Helper()
	switch t.Kind {
	case trace.AskUse:
		return d.inUse()
	case trace.LookFrom, trace.FlipAndLook:
		return d.saw(t.At, of)
	case trace.DeadTest:
		return d.ohms(trace.Continuity{At: t.At, Between: t.Between, Lifted: t.Lifted})
	case trace.TryReference:
		return d.references(trace.Reference{At: t.At, Point: t.Between[1]})
	case trace.LiveReading:
		if t.Prove {
			if r := d.references(trace.Reference{At: t.At, Point: t.Between[1]}); !r.Shown {
				return r
			}
		}
		return d.reads(trace.Reading{At: t.At, Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance})
	}
	d.tb.Fatalf("what is %v?", t.Kind)
	return nil
}

// follow does what a session advises until it has no more advice, and returns the
// verdict, how many tests it took and their effort.
func follow(tb failer, s *trace.Session, d *world, of []switchnet.Ref) (v trace.Verdict, tests int, effort time.Duration) {
	tb.Helper()
	for {
		a, err := s.Next(context.Background())
		if err != nil {
			tb.Fatal(err)
		}
		if a.Status != trace.Searching {
			break
		}
		o := d.truth(a.Test, of)
		if err := s.Answer(a.Test, o, sure); err != nil {
			tb.Fatalf("%v: %v", a.Test.Kind, err)
		}
		tests++
		effort += a.Test.Effort
		if tests > 200 {
			tb.Fatal("no end to the tests")
		}
	}
	v, err := s.Verdict()
	if err != nil {
		tb.Fatal(err)
	}
	return v, tests, effort
}

// holds reports whether a class is among what remains.
func holds(v trace.Verdict, k trace.Class) bool {
	return slices.ContainsFunc(v.Fits, func(f trace.Fit) bool { return f.Class.Causes[0].Fault.Says == k.Causes[0].Fault.Says })
}

// TestLawSessionsEndInTheirClass injects what may be wrong, with handles mounted this
// way and that, and answers truthfully, by packages switchnet and steady: the session
// ends with that class and no other. Without tests on the dead circuit it may end with
// more, for what could be a bolted fault is not energized to find out, and a tester finds
// the same voltage through one lamp and through another fault.
func TestLawSessionsEndInTheirClass(t *testing.T) {
	for _, r := range []struct {
		places, step int
		opt          trace.Options
		why          string
	}{
		{2, 5, trace.Options{Filament: []switchnet.Ref{lamp}}, "the lamp reads as a resistance"},
		{2, 8, trace.Options{}, "the lamp has a driver"},
		{2, 8, trace.Options{NoDead: true}, "readings on the live circuit alone"},
		{2, 1, trace.Options{NoDead: true, NoLive: true}, "flips alone"},
		{3, 41, trace.Options{Filament: []switchnet.Ref{lamp}}, "a four-way between"},
		{4, 1, trace.Options{NoDead: true, NoLive: true}, "flips alone, two four-ways"},
		{6, 6, trace.Options{NoDead: true, NoLive: true}, "flips alone, four four-ways"},
	} {
		w := chain(t, r.places)
		c := newCase(t, w, &r.opt)
		classes := c.Classes()
		for i := 0; i < len(classes); i += r.step {
			k := classes[i]
			over := map[switchnet.Ref]bool{}
			for p := range r.places {
				over[place(p+1)] = i>>p&1 == 1
			}
			s := c.Session()
			v, tests, _ := follow(t, s, newWorld(t, w, k.Causes[len(k.Causes)-1].Fault.Edits, over), []switchnet.Ref{lamp})
			switch {
			case !holds(v, k):
				t.Errorf("%s, %d places: %s was eliminated", r.why, r.places, &k)
			case len(v.Fits) > 1 && !r.opt.NoDead:
				t.Errorf("%s, %d places: %s: %d classes are left after %d tests", r.why, r.places, &k, len(v.Fits), tests)
			case len(v.Fits) > 1 && r.opt.NoLive && !k.Trips && !slices.ContainsFunc(v.Fits, func(f trace.Fit) bool { return f.Class.Trips }):
				t.Errorf("%s, %d places: %s: %d classes are left, none of which trips", r.why, r.places, &k, len(v.Fits))
			}
		}
	}
}

func next(tb testing.TB, s *trace.Session) trace.Advice {
	tb.Helper()
	a, err := s.Next(context.Background())
	if err != nil {
		tb.Fatal(err)
	}
	return a
}

// TestBoltedFaultIsRefused holds that no handle is moved while that could be a bolted
// fault, whichever it is that could; and that it is proposed when nothing could any more.
func TestBoltedFaultIsRefused(t *testing.T) {
	w := chain(t, 2)
	s := newCase(t, w, nil).Session()
	recall(t, s, saw(trace.Lit, "up", "up"))
	a := next(t, s)
	// While it is lit, only the feed end can put the hot on what touches the neutral.
	if len(a.Refused) != 1 {
		t.Fatalf("refused: %v; want the handle of the feed end", a.Refused)
	}
	for i, r := range a.Refused {
		if r.Rule != trace.BoltedFault || !r.Because.Trips {
			t.Errorf("%v: rule %v, because of %s", r, r.Rule, &r.Because)
		}
		if want := fmt.Sprintf("moving %s: refused: it would be a bolted fault if ", place(i+1)); !strings.HasPrefix(r.String(), want) {
			t.Errorf("%q does not begin %q", r, want)
		}
	}
	if a.Test.Kind == trace.LiveReading || a.Test.Kind == trace.FlipAndLook && slices.Contains(a.Test.Flips, place(1)) {
		t.Errorf("%v of %v is proposed all the same", a.Test.Kind, a.Test.Flips)
	}
	// Somebody's word at 95 % is not enough; the setting itself seen is.
	if err := s.Report(trace.Report{Of: trace.InUse{}, Confidence: 95 * quantity.Percent}); err != nil {
		t.Fatal(err)
	}
	if a := next(t, s); len(a.Refused) != 1 {
		t.Errorf("refused on hearsay: %v", a.Refused)
	}
	recall(t, s, trace.InUse{})
	if a := next(t, s); len(a.Refused) != 0 || a.Test.Kind != trace.FlipAndLook {
		t.Errorf("nothing can be a bolted fault, and %v is proposed, refused %v", a.Test.Kind, a.Refused)
	}
}

// TestDeadBeforeLive holds that no reading is proposed on a live circuit while a test on
// the dead one would tell anything, and that after a trip there are dead tests only.
func TestDeadBeforeLive(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, nil)
	for _, what := range []string{"C1.red is open", "hall.common and hall.traveler 1 are exchanged in box place-1", "C0.black and C0.white touch in box place-1"} {
		d := newWorld(t, w, fault(t, w, what).Edits, nil)
		s := c.Session()
		tripped := false
		for {
			a := next(t, s)
			if a.Status != trace.Searching {
				break
			}
			if a.Test.Kind == trace.LiveReading || a.Test.Kind == trace.TryReference || tripped && a.Test.Kind != trace.DeadTest {
				t.Fatalf("%s: %v is proposed", what, a.Test.Kind)
			}
			o := d.truth(a.Test, []switchnet.Ref{lamp})
			if x, ok := o.(trace.Saw); ok {
				tripped = tripped || x.Tripped
			}
			if x, ok := o.(trace.InUse); ok {
				tripped = tripped || x.Tripped
			}
			if err := s.Answer(a.Test, o, sure); err != nil {
				t.Fatal(err)
			}
		}
		if v := verdict(t, s); v.Status != trace.Found || !says(v, what) {
			t.Errorf("%s: %v", what, v)
		}
	}
}

// TestAnswers holds that the answers a test may have cover all that is likely, and that
// an answer that is refused leaves the session as it was.
func TestAnswers(t *testing.T) {
	c := newCase(t, chain(t, 2), nil)
	s := c.Session()
	for range 6 {
		a := next(t, s)
		if a.Status != trace.Searching {
			break
		}
		answers, err := s.Answers(a.Test)
		if err != nil {
			t.Fatal(err)
		}
		sum := quantity.Ratio(0)
		for _, x := range answers {
			sum += x.Likely
		}
		if sum < quantity.Whole-10 || sum > quantity.Whole+10 || len(answers) < 2 {
			t.Errorf("%v: %d answers, together %s", a.Test.Kind, len(answers), sum)
		}
		log := len(s.Log())
		if err := s.Answer(a.Test, trace.Saw{}, sure); err == nil || len(s.Log()) != log {
			t.Errorf("an answer that says nothing: %v, %d entries more", err, len(s.Log())-log)
		}
		slices.SortStableFunc(answers, func(a, b trace.Answer) int { return cmp.Compare(b.Likely, a.Likely) })
		if err := s.Answer(a.Test, answers[0].Of, sure); err != nil {
			t.Fatal(err)
		}
	}
}

// TestSight holds that a light counts only where it is seen.
func TestSight(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, &trace.Options{NoDead: true, NoLive: true, Sight: []trace.Sight{{Light: lamp, From: "place-2"}}})
	s := c.Session()
	if err := s.Stand(nil, "place-1"); err != nil {
		t.Fatal(err)
	}
	recall(t, s, trace.InUse{})
	for range 10 {
		a := next(t, s)
		if a.Status != trace.Searching {
			break
		}
		if a.Test.Kind == trace.LookFrom && a.Test.Box == "place-1" {
			t.Error("a look from where nothing is seen")
		}
		answers, err := s.Answers(a.Test)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Answer(a.Test, answers[0].Of, sure); err != nil {
			t.Fatal(err)
		}
	}
	if v := verdict(t, s); v.Status == trace.Contradiction {
		t.Errorf("%v", v)
	}
}

func TestNextEnds(t *testing.T) {
	s := newCase(t, chain(t, 2), nil).Session()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	recall(t, s, trace.InUse{Tripped: true})
	if _, err := s.Next(ctx); err == nil {
		t.Error("a context that ended was not noticed")
	}
	if err := s.Do(trace.Action{Do: trace.FindBrittle, Box: "place-1"}); err != nil {
		t.Fatal(err)
	}
	if a := next(t, s); a.Status != trace.Ended {
		t.Errorf("brittle insulation was found: %v", a.Status)
	}
}

// BenchmarkFirst is a job of eight places, from the drawing to the first advice.
func BenchmarkFirst(b *testing.B) {
	w := chain(b, 8)
	b.ReportAllocs()
	for b.Loop() {
		s := newCase(b, w, nil).Session()
		next(b, s)
	}
}

// BenchmarkNext is one advice on six places with all faults and all tests: at the
// beginning, and when looking at the lights has told all it can.
func BenchmarkNext(b *testing.B) {
	w := chain(b, 6)
	c := newCase(b, w, nil)
	for _, r := range []struct {
		name string
		os   []trace.Observation
	}{
		{"start", nil},
		{"trips", []trace.Observation{trace.InUse{Tripped: true}}},
		{"looks right", looksRight(b, w)},
	} {
		b.Run(r.name, func(b *testing.B) {
			s := c.Session()
			recall(b, s, r.os...)
			b.ReportAllocs()
			for b.Loop() {
				next(b, s)
			}
		})
	}
}

// BenchmarkNextSlowest is every advice of sessions about six places that end in every 29th
// class, answered by packages switchnet and steady: the slowest is reported.
func BenchmarkNextSlowest(b *testing.B) {
	w := chain(b, 6)
	c := newCase(b, w, nil)
	classes := c.Classes()
	b.ReportAllocs()
	for b.Loop() {
		slowest, sum, n := time.Duration(0), time.Duration(0), 0
		for k := 3; k < len(classes); k += 29 {
			d := newWorld(b, w, classes[k].Causes[0].Fault.Edits, nil)
			s := c.Session()
			for {
				began := time.Now()
				a := next(b, s)
				took := time.Since(began)
				slowest, sum, n = max(slowest, took), sum+took, n+1
				if a.Status != trace.Searching {
					break
				}
				if a.Cut {
					b.Fatal("the search was cut")
				}
				if err := s.Answer(a.Test, d.truth(a.Test, []switchnet.Ref{lamp}), sure); err != nil {
					b.Fatal(err)
				}
			}
		}
		b.ReportMetric(float64(slowest.Milliseconds()), "ms-slowest")
		b.ReportMetric(sum.Seconds()*1000/float64(n), "ms-mean")
	}
}

// BenchmarkStrategy is the whole card of a chain.
func BenchmarkStrategy(b *testing.B) {
	for _, places := range []int{2, 3, 4} {
		c := newCase(b, chain(b, places), nil)
		b.Run(fmt.Sprint(places), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				card, err := c.Session().Strategy(context.Background(), nil)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(card.Tests), "tests")
			}
		})
	}
}

// looksRight returns every setting seen of a chain with nothing wrong.
func looksRight(tb testing.TB, w *wiring.Wiring) []trace.Observation {
	tb.Helper()
	out := []trace.Observation{trace.InUse{}}
	d := newWorld(tb, w, nil, nil)
	for _, at := range settings(tb, w) {
		out = append(out, d.saw(at, []switchnet.Ref{lamp}))
	}
	return out
}

// fault returns the fault of a wiring that says this.
func fault(tb testing.TB, w *wiring.Wiring, what string) miswire.Fault {
	tb.Helper()
	for _, f := range miswire.List(w) {
		if f.Says == what {
			return f
		}
	}
	tb.Fatalf("no fault says %q", what)
	return miswire.Fault{}
}
