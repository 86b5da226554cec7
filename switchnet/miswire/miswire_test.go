package miswire_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

func read(tb testing.TB, name string, src []byte) *wiring.Wiring {
	tb.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	return w
}

func chain(tb testing.TB, places int) *wiring.Wiring {
	tb.Helper()
	name := fmt.Sprintf("testdata/chain-%d.yaml", places)
	src, err := os.ReadFile(name)
	if err != nil {
		tb.Fatal(err)
	}
	return read(tb, name, src)
}

// TestGolden holds the list of a two-place chain, and for chains of 2, 3, 4 and 6 places
// how many faults of each kind there are and into which classes they fall.
func TestGolden(t *testing.T) {
	var b strings.Builder
	for _, places := range []int{2, 3, 4, 6} {
		w := chain(t, places)
		list := miswire.List(w)
		count := map[miswire.Kind]int{}
		for _, f := range list {
			count[f.Kind]++
		}
		classes, err := miswire.Classes(context.Background(), w, list, nil)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%d places: %d faults in %d classes\n", places, len(list), len(classes))
		for _, k := range miswire.Kinds() {
			if count[k] > 0 {
				fmt.Fprintf(&b, "  %3d %v\n", count[k], k)
			}
		}
		for _, c := range classes {
			lamp := c.Behaviour.Tallies[0]
			fmt.Fprintf(&b, "  %3d of them: lit in %d of %d", len(c.Faults), lamp.Lit, c.Behaviour.States)
			if lamp.Dim > 0 {
				fmt.Fprintf(&b, ", dim in %d", lamp.Dim)
			}
			if c.Behaviour.Shorted > 0 {
				fmt.Fprintf(&b, ", a short in %d", c.Behaviour.Shorted)
			}
			if c.Right {
				b.WriteString(", as without a fault")
			}
			fmt.Fprintf(&b, "; the first: %s\n", c.Faults[0].Says)
		}
	}
	golden.Compare(t, "testdata/chains.golden", []byte(b.String()))
	b.Reset()
	for _, f := range miswire.List(chain(t, 2)) {
		fmt.Fprintf(&b, "%v: %s\n", f.Kind, f.Says)
	}
	golden.Compare(t, "testdata/chain-2.golden", []byte(b.String()))
}

// TestSignatures holds how often the lamp lights with faults whose tables are known: each
// is reached by some fault of the list, of its kind.
func TestSignatures(t *testing.T) {
	for _, c := range []struct {
		places, lit, shorted int
		kind                 miswire.Kind
		why                  string
	}{
		{2, 2, 0, miswire.TerminalsExchanged, "travelers exchanged are no fault"},
		{2, 1, 0, miswire.TerminalsExchanged, "common and traveler exchanged"},
		{3, 2, 0, miswire.TerminalsExchanged, "the same, with a master"},
		{3, 2, 0, miswire.PairsCrossed, "the four-way is the master"},
		{4, 4, 0, miswire.PairsCrossed, "the four-way is the master"},
		{2, 1, 0, miswire.ConductorCut, "an open traveler"},
		{3, 2, 0, miswire.ConductorCut, "an open traveler is next to an end"},
		{4, 4, 0, miswire.ConductorCut, "an open traveler in the middle"},
		{3, 2, 0, miswire.WrongDevice, "a three-way in the four-way's place"},
		{3, 1, 0, miswire.WrongDevice, "the same, landed otherwise"},
		{2, 3, 0, miswire.ContactWelded, "a throw welded at an end"},
		{3, 6, 0, miswire.ContactWelded, "a contact of the four-way welded"},
		{3, 3, 0, miswire.ContactDead, "a contact of the four-way dead in one position"},
		{4, 6, 0, miswire.ContactDead, "the same with four places"},
		{3, 4, 0, miswire.DeviceStuck, "the four-way never acts"},
		{2, 3, 0, miswire.Tied, "the hot on a traveler"},
		{2, 4, 0, miswire.Tied, "the travelers on each other"},
		{3, 2, 4, miswire.Tied, "the neutral on a traveler"},
		{2, 0, 2, miswire.SplicedWrong, "the leg in the neutrals trips where it should light"},
		{2, 1, 0, miswire.WrongDevice, "a single-pole in a three-way's place"},
	} {
		w := chain(t, c.places)
		found := false
		for _, f := range miswire.List(w) {
			if f.Kind != c.kind {
				continue
			}
			wrong, err := f.Apply(w)
			if err != nil {
				t.Fatal(err)
			}
			b, err := miswire.Behave(context.Background(), wrong, nil)
			if err != nil {
				t.Fatal(err)
			}
			found = found || b.Tallies[0].Lit == c.lit && b.Shorted == c.shorted
		}
		if !found {
			t.Errorf("%d places: no fault of kind %v lights the lamp in %d states with %d shorts: %s", c.places, c.kind, c.lit, c.shorted, c.why)
		}
	}
}

// TestShed applies every fault of the boat shed: each changes the wiring, and none comes
// twice.
func TestShed(t *testing.T) {
	w := read(t, demo.ShedWiredName, demo.ShedWired())
	seen := map[string]string{}
	last := miswire.Kind(0)
	for _, f := range miswire.List(w) {
		if f.Kind < last {
			t.Errorf("%s: kind %v comes after %v", f.Says, f.Kind, last)
		}
		last = f.Kind
		if first, ok := seen[f.Says]; ok {
			t.Errorf("%q comes twice, as %s", f.Says, first)
		}
		seen[f.Says] = f.Kind.String()
		wrong, err := f.Apply(w)
		if err != nil {
			t.Error(err)
			continue
		}
		if reflect.DeepEqual(wrong.Spec(), w.Spec()) {
			t.Errorf("%s: nothing changed", f.Says)
		}
	}
}

// TestShuffled holds that the order in which a job is written down does not matter.
func TestShuffled(t *testing.T) {
	w := read(t, demo.ShedWiredName, demo.ShedWired())
	want := fmt.Sprint(miswire.List(w))
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 1))
		s := w.Spec()
		shuffle(r, s.Feeds)
		shuffle(r, s.Boxes)
		shuffle(r, s.Lights)
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
		if got := fmt.Sprint(miswire.List(v)); got != want {
			t.Fatalf("seed %d: the list differs", seed)
		}
	}
}

func shuffle[T any](r *rand.Rand, s []T) {
	r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
}

func TestLimits(t *testing.T) {
	w := chain(t, 3)
	if _, err := miswire.Behave(context.Background(), w, &miswire.Options{States: 7}); err == nil || !strings.Contains(err.Error(), "8 states and the limit is 7") {
		t.Errorf("seven states were enough for eight: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := miswire.Behave(ctx, w, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
	other := miswire.List(w)[0]
	if _, err := other.Apply(read(t, demo.ShedWiredName, demo.ShedWired())); err == nil || !strings.Contains(err.Error(), "miswire") {
		t.Errorf("a fault of another wiring: %v", err)
	}
	if _, err := miswire.Kind(0).MarshalText(); err == nil {
		t.Error("the unset kind has a word")
	}
	for _, k := range miswire.Kinds() {
		if text, err := k.MarshalText(); err != nil || string(text) != k.String() {
			t.Errorf("%v: %q, %v", k, text, err)
		}
	}
}

func BenchmarkClasses(b *testing.B) {
	w := chain(b, 4)
	list := miswire.List(w)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := miswire.Classes(context.Background(), w, list, nil); err != nil {
			b.Fatal(err)
		}
	}
}
