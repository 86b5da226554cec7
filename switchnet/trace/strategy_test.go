package trace_test

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// mounted returns which switches of a job are mounted the other way up, by the bits of a
// number.
func mounted(w *wiring.Wiring, bits int) map[switchnet.Ref]bool {
	out := map[switchnet.Ref]bool{}
	for i, d := range w.Spec().Devices {
		if d.Kind.Name == "three-way" || d.Kind.Name == "four-way" {
			out[switchnet.Ref{Place: d.Box, Name: d.Name}] = bits>>(i%8)&1 == 1
		}
	}
	return out
}

// TestLawStrategyKeepsItsWord injects what may be wrong, with handles mounted this way
// and that, and goes through the card by what packages switchnet and steady say: what is
// wrong is never left, and the end comes within what the card promises, with that class
// and no other.
func TestLawStrategyKeepsItsWord(t *testing.T) {
	for _, r := range []struct {
		name   string
		w      *wiring.Wiring
		step   int // of the classes followed
		driver bool
	}{
		{"2 places", chain(t, 2), 2, false},
		{"2 places, a lamp with a driver", chain(t, 2), 7, true},
		{"3 places", chain(t, 3), 13, false},
		{"4 places", chain(t, 4), 41, false},
		{"cottage", cottage(t), 29, false},
		{"6 places", chain(t, 6), 0, false},
		{"boat shed", shed(t), 0, false},
	} {
		tests := 4000
		switch {
		case *long:
			r.step, tests = 1, 40_000
		case r.step == 0:
			continue
		}
		began := time.Now()
		lights := everyLight(r.w)
		opt := &trace.Options{}
		if !r.driver {
			opt.Filament = lights
		}
		c := newCase(t, r.w, opt)
		card, err := c.Session().Strategy(context.Background(), &trace.StrategyOptions{Tests: tests})
		if err != nil {
			t.Fatal(err)
		}
		if card.LeftOut > 0 || card.Cut {
			t.Errorf("%s: %d ways left out, cut %v", r.name, card.LeftOut, card.Cut)
		}
		made := time.Since(began)
		classes := c.Classes()
		followed := 0
		for i := 0; i < len(classes); i += r.step {
			k := classes[i]
			followed++
			d := newWorld(t, r.w, k.Causes[i%len(k.Causes)].Fault.Edits, mounted(r.w, i))
			b, n, effort, tripped := card.Root, 0, time.Duration(0), false
			for b.Status == trace.Searching {
				n++
				effort += b.Test.Effort
				o := d.truth(b.Test, lights)
				switch o := o.(type) {
				case trace.Saw:
					tripped = tripped || o.Tripped
				case trace.InUse:
					tripped = tripped || o.Tripped
				}
				next, ok := card.After(b, o)
				if !ok {
					t.Fatalf("%s: %s: the card has no answer for %s", r.name, &k, o)
				}
				b = next
			}
			switch {
			case !holds(trace.Verdict{Fits: b.Fits}, k):
				t.Errorf("%s: %s was left", r.name, &k)
			case n > card.MostTests || effort > card.MostEffort:
				t.Errorf("%s: %s took %d tests and %s; the card promises %d and %s", r.name, &k, n, effort, card.MostTests, card.MostEffort)
			case len(b.Fits) > 1:
				t.Errorf("%s: %s ends with %d classes and %v; tripped: %v", r.name, &k, len(b.Fits), b.Status, tripped)
			}
		}
		t.Logf("%s: %d classes, %d followed; card of %d tests (%s): at most %d and %s, expected %.1f and %s",
			r.name, len(classes), followed, card.Tests, made.Round(time.Millisecond), card.MostTests, card.MostEffort, card.MeanTests, card.MeanEffort.Round(time.Second))
	}
}

// TestStrategyIsWhatNextSays holds that a session goes where the card goes.
func TestStrategyIsWhatNextSays(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, nil)
	s := c.Session()
	recall(t, s, saw(trace.Lit, "up", "up"), saw(trace.Dark, "down", "up"))
	card, err := s.Strategy(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Log()) != 2 {
		t.Errorf("the session has %d entries after its strategy", len(s.Log()))
	}
	for i, k := range c.Classes() {
		if i%11 != 0 {
			continue
		}
		d := newWorld(t, w, k.Causes[0].Fault.Edits, nil)
		if o := d.saw(at("up", "up"), []switchnet.Ref{lamp}); fmt.Sprint(o) != fmt.Sprint(saw(trace.Lit, "up", "up")) {
			continue
		}
		if o := d.saw(at("down", "up"), []switchnet.Ref{lamp}); fmt.Sprint(o) != fmt.Sprint(saw(trace.Dark, "down", "up")) {
			continue
		}
		x := s.Clone()
		b := card.Root
		for b.Status == trace.Searching {
			a := next(t, x)
			if a.Test.String() != b.Test.String() {
				t.Fatalf("%s: the session proposes %s, the card %s", &k, a.Test, b.Test)
			}
			o := d.truth(a.Test, []switchnet.Ref{lamp})
			if err := x.Answer(a.Test, o, sure); err != nil {
				t.Fatal(err)
			}
			b, _ = card.After(b, o)
		}
		if v := verdict(t, x); v.Status != b.Status && b.Status != trace.NoTest || len(v.Fits) != len(b.Fits) {
			t.Errorf("%s: the session ends %v with %d, the card %v with %d", &k, v.Status, len(v.Fits), b.Status, len(b.Fits))
		}
	}
}

// TestStrategyBudget holds that what is left out is said, and that the likeliest is not.
func TestStrategyBudget(t *testing.T) {
	s := newCase(t, chain(t, 2), nil).Session()
	whole, err := s.Strategy(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	last := whole.Tests
	for _, tests := range []int{1, 10, 100} {
		card, err := s.Strategy(context.Background(), &trace.StrategyOptions{Tests: tests})
		if err != nil {
			t.Fatal(err)
		}
		if card.Tests != tests || card.LeftOut == 0 || card.Share == 0 {
			t.Errorf("of %d tests: %d tests, %d left out, %s", tests, card.Tests, card.LeftOut, card.Share)
		}
		least, most := 1.0, 0.0 // of what is there, and of what was left out
		var walk func(b *trace.Branch)
		walk = func(b *trace.Branch) {
			if b.Status == trace.Searching {
				if len(b.Ways) > 0 {
					least = min(least, float64(b.Share))
				} else {
					most = max(most, float64(b.Share))
				}
			}
			for _, y := range b.Ways {
				walk(y.Then)
			}
		}
		least = float64(card.Root.Share)
		walk(card.Root)
		if least < most {
			t.Errorf("of %d tests: one at %v is there, and one at %v was left out", tests, least, most)
		}
		var text bytes.Buffer
		if err := card.Write(&text); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(text.String(), fmt.Sprintf("Left out are %d ways", card.LeftOut)) {
			t.Errorf("the card does not say what it leaves out:\n%.300s", text.String())
		}
		last = min(last, card.Tests)
	}
	if _, err := s.Strategy(context.Background(), &trace.StrategyOptions{Tests: -1}); err == nil {
		t.Error("less than no test")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := newCase(t, chain(t, 3), nil).Session().Strategy(ctx, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
}

// TestStrategyCard holds what a card says: cautions, steps, answers, cures.
func TestStrategyCard(t *testing.T) {
	w := chain(t, 2)
	s := newCase(t, w, &trace.Options{NoDead: true, NoLive: true}).Session()
	card, err := s.Strategy(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := card.Write(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"de-energize", "At an end take every test lead off", "Test 1\n  1. ", "At most ", "- if it never opened", "cure, locked out and every box it names proven dead: move C0.black from traveler 1 to common of hall in box place-1", "leave it open"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the card does not say %q:\n%s", want, text.String())
		}
	}
	// Every test that is referred to is there, once.
	for i := range card.Tests {
		head := fmt.Sprintf("\nTest %d", i+1)
		if n := strings.Count(text.String(), head+"\n") + strings.Count(text.String(), head+" ("); n != 1 {
			t.Errorf("test %d is there %d times", i+1, n)
		}
	}
	if !slices.ContainsFunc(card.Root.Ways, func(x trace.Way) bool { return x.Answer.Causes > 0 && x.Answer.Classes > 0 }) {
		t.Error("no answer says what would remain")
	}
}
