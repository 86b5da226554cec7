package trace_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"

	"pgregory.net/rapid"
)

// bench is a case with what is drawn from it.
type bench struct {
	c        *trace.Case
	w        *wiring.Wiring
	classes  []trace.Class
	settings []trace.Setting
	lights   []switchnet.Ref
	points   []switchnet.Terminal
}

func newBench(tb testing.TB, w *wiring.Wiring) *bench {
	tb.Helper()
	c := newCase(tb, w, &trace.Options{Filament: everyLight(w)})
	return &bench{c, w, c.Classes(), settings(tb, w), everyLight(w), c.Points()}
}

// handles draws which switches are mounted the other way up.
func handles(t *rapid.T, w *wiring.Wiring) map[switchnet.Ref]bool {
	out := map[switchnet.Ref]bool{}
	for _, d := range w.Spec().Devices {
		if d.Kind.Name == "three-way" || d.Kind.Name == "four-way" {
			out[switchnet.Ref{Place: d.Box, Name: d.Name}] = rapid.Bool().Draw(t, "over")
		}
	}
	return out
}

// observe draws something to observe in a world, and what it comes to there.
func (b *bench) observe(t *rapid.T, d *world) trace.Observation {
	at := rapid.SampledFrom(b.settings).Draw(t, "at")
	p := rapid.SampledFrom(b.points).Draw(t, "red")
	q := rapid.SampledFrom(b.points).Filter(func(q switchnet.Terminal) bool { return q != p }).Draw(t, "black")
	kind := rapid.IntRange(0, 5).Draw(t, "what")
	if kind >= 4 && d.saw(at, nil).Tripped {
		kind = 0
	}
	switch kind {
	case 1:
		return d.inUse()
	case 2, 3:
		return d.ohms(trace.Continuity{At: at, Between: [2]switchnet.Terminal{p, q}, Lifted: kind == 3})
	case 4:
		return d.reads(trace.Reading{At: at, Red: p, Black: q, Meter: steady.LowImpedance})
	case 5:
		return d.references(trace.Reference{At: at, Point: p})
	}
	return d.saw(at, b.lights)
}

// TestLawTruthIsNeverEliminated holds that whatever is wrong, and however handles are
// mounted, no true report speaks against it. What is true is worked out by packages
// switchnet and steady.
func TestLawTruthIsNeverEliminated(t *testing.T) {
	var benches []*bench
	for _, places := range []int{2, 3} {
		benches = append(benches, newBench(t, chain(t, places)))
	}
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(benches).Draw(t, "job")
		k := rapid.IntRange(0, len(b.classes)-1).Draw(t, "class")
		cause := rapid.SampledFrom(b.classes[k].Causes).Draw(t, "cause")
		d := newWorld(t, b.w, cause.Fault.Edits, handles(t, b.w))
		s := b.c.Session()
		for range rapid.IntRange(1, 6).Draw(t, "reports") {
			o := b.observe(t, d)
			if r, ok := o.(trace.Reading); ok {
				ref := d.references(trace.Reference{At: r.At, Point: r.Black})
				if err := s.Recall(trace.Report{Of: ref}); err != nil {
					t.Fatal(err)
				}
				if !ref.Shown {
					continue
				}
			}
			if err := s.Recall(trace.Report{Of: o}); err != nil {
				t.Fatal(err)
			}
			v, err := s.Verdict()
			if err != nil {
				t.Fatal(err)
			}
			if v.Status == trace.Contradiction {
				t.Fatalf("%s: contradicted by %s", cause, o)
			}
			if w := s.Weight(k); w == 0 {
				t.Fatalf("%s: eliminated by %s", cause, o)
			}
		}
		// Undoing all of it leaves nothing behind.
		for range s.Log() {
			s.Undo()
		}
		if got, want := s.Weight(k), b.c.Session().Weight(k); got != want {
			t.Fatalf("undone, %s weighs %v and not %v", cause, got, want)
		}
	})
}

// TestLawOneLieIsOutvoted holds that one wrong report among many that are 90 % sure
// leaves the truth among what remains.
func TestLawOneLieIsOutvoted(t *testing.T) {
	b := newBench(t, chain(t, 2))
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, len(b.classes)-1).Draw(t, "class")
		d := newWorld(t, b.w, b.classes[k].Causes[0].Fault.Edits, handles(t, b.w))
		s := b.c.Session()
		tell := func(o trace.Observation) {
			if err := s.Recall(trace.Report{Of: o, Confidence: 90 * quantity.Percent}); err != nil {
				t.Fatal(err)
			}
		}
		lie := rapid.IntRange(0, len(b.settings)-1).Draw(t, "lie")
		for i, at := range b.settings {
			o := d.saw(at, b.lights)
			if i == lie && !o.Tripped {
				if o.Lights[0].Glow == trace.Dark {
					o.Lights[0].Glow = trace.Lit
				} else {
					o.Lights[0].Glow = trace.Dark
				}
			}
			tell(o)
		}
		// The same again, without the lie.
		for range 2 {
			for _, at := range b.settings {
				tell(d.saw(at, b.lights))
			}
		}
		v, err := s.Verdict()
		if err != nil {
			t.Fatal(err)
		}
		in := slices.ContainsFunc(v.Fits, func(f trace.Fit) bool {
			return fmt.Sprint(f.Class) == fmt.Sprint(b.classes[k])
		})
		// A class with little weight to begin with may stay behind one that lights
		// alike; it is never out.
		if !in && s.Weight(k) == 0 {
			t.Fatalf("%s is out", b.classes[k].Causes[0])
		}
		alike := false
		for _, f := range v.Fits {
			e := newWorld(t, b.w, f.Class.Causes[0].Fault.Edits, nil)
			lit := func(w *world) (n [4]int) {
				for _, at := range b.settings {
					o := w.saw(at, b.lights)
					switch {
					case o.Tripped:
						n[3]++
					default:
						n[min(int(o.Lights[0].Glow)-1, 2)]++
					}
				}
				return n
			}
			alike = alike || lit(e) == lit(d)
		}
		if !alike {
			t.Fatalf("nothing that remains lights as often as %s does", b.classes[k].Causes[0])
		}
	})
}

// TestLawNoiseKeepsTheTruthRanked follows what a session advises, with answers of which
// nobody is wholly sure and one of which may be a lie: the truth keeps some weight, and where
// no single fault gives all that was reported it is among the nearest.
func TestLawNoiseKeepsTheTruthRanked(t *testing.T) {
	b := newBench(t, chain(t, 2))
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, len(b.classes)-1).Draw(t, "class")
		d := newWorld(t, b.w, b.classes[k].Causes[0].Fault.Edits, handles(t, b.w))
		liar := newWorld(t, b.w, rapid.SampledFrom(b.classes).Draw(t, "lie").Causes[0].Fault.Edits, nil)
		at := rapid.IntRange(0, 12).Draw(t, "at")
		s := b.c.Session()
		for n := range 8 {
			a, err := s.Next(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if a.Status != trace.Searching {
				break
			}
			from := d
			if n == at {
				from = liar
			}
			if err := s.Answer(a.Test, from.truth(a.Test, b.lights), 90*quantity.Percent); err != nil {
				t.Fatal(err)
			}
		}
		v, err := s.Verdict()
		if err != nil {
			t.Fatal(err)
		}
		if s.Weight(k) == 0 {
			t.Fatalf("%s is out", b.classes[k].Causes[0])
		}
		if v.Status == trace.Contradiction && !holds(v, b.classes[k]) {
			t.Fatalf("%s is not among the nearest", b.classes[k].Causes[0])
		}
	})
}
