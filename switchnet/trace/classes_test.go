package trace_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"

	"github.com/google/go-cmp/cmp"
)

// TestClasses holds how many classes there are under which tests, and, for two places,
// which faults no test of any sort tells from each other.
func TestClasses(t *testing.T) {
	var b strings.Builder
	for _, places := range []int{2, 3, 4} {
		w := chain(t, places)
		fmt.Fprintf(&b, "%d places, %d faults\n", places, len(miswire.List(w)))
		for _, o := range []struct {
			what string
			opt  trace.Options
		}{
			{"flip and look only", trace.Options{NoDead: true, NoLive: true}},
			{"with live readings", trace.Options{NoDead: true}},
			{"with dead tests", trace.Options{NoLive: true}},
			{"with both", trace.Options{}},
			{"with both, the lamp a filament", trace.Options{Filament: []switchnet.Ref{lamp}}},
		} {
			classes := newCase(t, w, &o.opt).Classes()
			trips, seen := 0, 0
			for _, c := range classes {
				if c.Trips {
					trips++
				}
				if c.Seen {
					seen++
				}
			}
			fmt.Fprintf(&b, "  %s: %d classes, %d betrayed by light or breaker, %d of them by a trip\n", o.what, len(classes), seen, trips)
		}
	}
	b.WriteString("\ntwo places, all tests: classes of more than one cause\n")
	for _, c := range newCase(t, chain(t, 2), nil).Classes() {
		if len(c.Causes) == 1 {
			continue
		}
		for i, x := range c.Causes {
			lead := "    "
			if i == 0 {
				lead = "  - "
			}
			fmt.Fprintf(&b, "%s%s\n", lead, x)
		}
	}
	golden.Compare(t, "testdata/classes.golden", []byte(b.String()))
}

// TestLampClasses compares the classes under flips alone with miswire.Classes, which
// knows the sense of every handle: each of those lies whole in one of these.
func TestLampClasses(t *testing.T) {
	for _, places := range []int{2, 3, 4} {
		w := chain(t, places)
		list := miswire.List(w)
		fine, err := miswire.Classes(context.Background(), w, list, nil)
		if err != nil {
			t.Fatal(err)
		}
		in := map[string]int{}
		for i, c := range newCase(t, w, &trace.Options{NoDead: true, NoLive: true}).Classes() {
			for _, x := range c.Causes {
				in[x.Fault.Says] = i
			}
		}
		for _, c := range fine {
			for _, f := range c.Faults {
				if in[f.Says] != in[c.Faults[0].Says] {
					t.Errorf("%d places: %q and %q light alike in every setting and are two classes", places, f.Says, c.Faults[0].Says)
				}
			}
		}
		// Known senses give the same as miswire.
		var known []switchnet.Ref
		for i := range places {
			known = append(known, place(i+1))
		}
		if got := len(newCase(t, w, &trace.Options{NoDead: true, NoLive: true, Known: known}).Classes()); got != len(fine) {
			t.Errorf("%d places: %d classes with known handles; miswire has %d", places, got, len(fine))
		}
	}
}

// TestShuffled holds that the order in which a job is written down matters nowhere.
func TestShuffled(t *testing.T) {
	w := chain(t, 3)
	want := newCase(t, w, nil)
	for seed := range uint64(3) {
		r := rand.New(rand.NewPCG(seed, 1))
		s := w.Spec()
		shuffle(r, s.Boxes)
		shuffle(r, s.Devices)
		shuffle(r, s.Cables)
		shuffle(r, s.Splices)
		for _, sp := range s.Splices {
			shuffle(r, sp.Join)
		}
		shuffle(r, s.Landings)
		v, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		if got := newCase(t, v, nil).Classes(); fmt.Sprint(got) != fmt.Sprint(want.Classes()) {
			t.Fatalf("seed %d: the classes differ", seed)
		}
	}
}

// TestShuffledAnswers holds the same of what is worked out from a case: the card with its
// cures, the proof, the pairs, the ring-out.
func TestShuffledAnswers(t *testing.T) {
	answers := func(w *wiring.Wiring) string {
		var b bytes.Buffer
		c := newCase(t, w, nil)
		s := c.Session()
		recall(t, s, trace.InUse{}, saw(trace.Lit, "up", "up"), saw(trace.Dark, "down", "up"))
		card, err := s.Strategy(context.Background(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := card.Write(&b); err != nil {
			t.Fatal(err)
		}
		p, err := c.Prove(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Checks {
			fmt.Fprintln(&b, x.Steps(), x.Exposes)
		}
		two, err := s.Doubles(context.Background(), &trace.DoubleOptions{Tries: 300})
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintln(&b, two)
		ring, err := trace.RingOutOf(context.Background(), w)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range ring.Rings {
			fmt.Fprintln(&b, x.Between, x.Want)
		}
		return b.String()
	}
	w := chain(t, 2)
	want := answers(w)
	for seed := range uint64(2) {
		r := rand.New(rand.NewPCG(seed, 2))
		s := w.Spec()
		shuffle(r, s.Boxes)
		shuffle(r, s.Devices)
		shuffle(r, s.Cables)
		shuffle(r, s.Splices)
		for _, sp := range s.Splices {
			shuffle(r, sp.Join)
		}
		shuffle(r, s.Landings)
		v, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, answers(v)); diff != "" {
			t.Fatalf("seed %d: %s", seed, diff)
		}
	}
}

func shuffle[T any](r *rand.Rand, s []T) {
	r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
}

// TestRightIsHarmless holds which faults are none: they are in the class of the sound
// job, whatever is measured.
func TestRightIsHarmless(t *testing.T) {
	var got []string
	for _, c := range newCase(t, chain(t, 3), nil).Classes() {
		for _, x := range c.Causes {
			if c.Sound {
				got = append(got, x.String())
			}
		}
	}
	want := []string{
		"nothing is wrong",
		"hall.traveler 1 and hall.traveler 2 are exchanged in box place-1",
		"hall.pair 1 first and hall.pair 1 second are exchanged in box place-2",
		"hall.pair 2 first and hall.pair 2 second are exchanged in box place-2",
		"hall.traveler 1 and hall.traveler 2 are exchanged in box place-3",
		"hall is a four-way, pair 1 first for common, pair 2 first for traveler 1, pair 2 second for traveler 2 in box place-1",
		"hall is a four-way, pair 1 first for common, pair 2 first for traveler 1, pair 2 second for traveler 2 in box place-3",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("what is as good as right (-want +got):\n%s", diff)
	}
}

// TestPriors holds that what was lately worked on is likelier, and that what has no
// weight is left out.
func TestPriors(t *testing.T) {
	w := chain(t, 3)
	share := func(p trace.Priors, place string) (share float64) {
		for _, c := range newCase(t, w, &trace.Options{Priors: &p}).Classes() {
			for _, x := range c.Causes {
				if x.Fault.Kind == miswire.TerminalsExchanged && x.Fault.Box == place {
					share += float64(x.Share)
				}
			}
		}
		return share
	}
	p := trace.DefaultPriors()
	if a, b := share(p, "place-1"), share(p, "place-3"); a != b {
		t.Errorf("the two ends weigh %v and %v", a, b)
	}
	p.Replaced = []switchnet.Ref{place(3)}
	if a, b := share(p, "place-1"), share(p, "place-3"); b < 9*a {
		t.Errorf("an exchange at the replaced device weighs %v, at the other %v", b, a)
	}
	// A device that takes more wires than there are is unlikelier, whatever it is called.
	renamed := miswire.List(w)
	for i, f := range renamed {
		renamed[i].Edits = slices.Clone(f.Edits)
		for k, e := range f.Edits {
			if r, ok := e.(wiring.ReplaceDevice); ok && f.Kind == miswire.WrongDevice {
				r.Kind.Name = "intermediate"
				renamed[i].Edits[k] = r
			}
		}
	}
	for _, faults := range [][]miswire.Fault{miswire.List(w), renamed} {
		share := func(says string) (most quantity.Ratio) {
			for _, c := range newCase(t, w, &trace.Options{Faults: faults}).Classes() {
				for _, x := range c.Causes {
					if x.Fault.Kind == miswire.WrongDevice && strings.HasPrefix(x.String(), says) {
						most = max(most, x.Share)
					}
				}
			}
			return most
		}
		if more, less := share("hall is a four-way"), share("hall is a single-pole"); more == 0 || more*5 < less-5 || more*5 > less+5 {
			t.Errorf("a device with a terminal too many weighs %v, one with a terminal too few %v", more, less)
		}
	}
	p = trace.Priors{Right: 1, Kinds: map[miswire.Kind]int{miswire.Tied: 0}}
	for _, c := range newCase(t, w, &trace.Options{Priors: &p}).Classes() {
		for _, x := range c.Causes {
			if x.Fault.Kind == miswire.Tied {
				t.Fatalf("%s has no weight and is there", x)
			}
		}
	}
}

// TestNewRefuses holds what is refused, all of it at once.
func TestNewRefuses(t *testing.T) {
	w := chain(t, 3)
	ghost := switchnet.Ref{Place: "attic", Name: "ghost"}
	for _, c := range []struct {
		opt  trace.Options
		want []string
		why  string
	}{
		{trace.Options{Known: []switchnet.Ref{ghost}}, []string{"no switch ghost at attic"}, "an unknown switch"},
		{trace.Options{Filament: []switchnet.Ref{ghost}}, []string{"no light ghost at attic"}, "an unknown light"},
		{trace.Options{Sight: []trace.Sight{{Light: ghost, From: "place-1"}, {Light: lamp, From: "cellar"}}}, []string{"no light ghost at attic", `no box "cellar"`}, "both mistakes of one list"},
		{trace.Options{States: 7}, []string{"more than 7 settings"}, "too many settings"},
		{trace.Options{Priors: &trace.Priors{Kinds: zeros()}}, []string{"weight zero"}, "nothing is possible"},
		{trace.Options{Faults: []miswire.Fault{{Kind: miswire.Tied, Says: "x", Edits: []wiring.Edit{wiring.Cut{Wire: wiring.Wire{Cable: "C9", Conductor: "red"}}}}}}, []string{"C9"}, "a fault of another job"},
	} {
		_, err := trace.New(context.Background(), w, &c.opt)
		for _, want := range c.want {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %v, want %q", c.why, err, want)
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := trace.New(ctx, w, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
}

func zeros() map[miswire.Kind]int {
	out := map[miswire.Kind]int{}
	for _, k := range miswire.Kinds() {
		out[k] = 0
	}
	return out
}

// TestWords holds that every word is read back and that the unset value has none.
func TestWords(t *testing.T) {
	for _, g := range []trace.Glow{trace.Dark, trace.Lit, trace.Dim, trace.Half, trace.Flicker, trace.Bright} {
		text, err := g.MarshalText()
		var back trace.Glow
		if err != nil || back.UnmarshalText(text) != nil || back != g {
			t.Errorf("%v: %q, %v, back %v", g, text, err, back)
		}
	}
	for _, v := range []interface{ MarshalText() ([]byte, error) }{
		trace.Glow(0), trace.Path(0), trace.Volts(0), trace.Do(0), trace.Status(0), trace.Rule(0), trace.Rule(200),
	} {
		if text, err := v.MarshalText(); err == nil {
			t.Errorf("%s of an unset value", text)
		}
	}
	if !reflect.DeepEqual(trace.Open.String(), "open") {
		t.Error(trace.Open)
	}
}
