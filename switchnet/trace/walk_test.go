package trace_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// touching returns a wiring's nets with each two of the live conductors of its sections
// touching, sections that share no box included.
func touching(tb testing.TB, w *wiring.Wiring, places int) []trace.Variant {
	tb.Helper()
	var ends []switchnet.Terminal
	for i := range places + 1 {
		cable := fmt.Sprintf("C%d", i)
		box := "panel"
		if i > 0 {
			box = fmt.Sprintf("place-%d", i)
		}
		for _, colour := range []string{"black", "red", "white"} {
			if (i == 0 || i == places) && colour == "red" {
				continue
			}
			ends = append(ends, end(box, cable, colour))
		}
	}
	var out []trace.Variant
	for i, p := range ends {
		for _, q := range ends[i+1:] {
			if p.Name == "white" && q.Name == "white" {
				continue // joined anyway
			}
			b := w.Net().Builder()
			b.Splice("run", "staple", p, q)
			net, err := b.Build()
			if err != nil {
				tb.Fatal(err)
			}
			out = append(out, trace.Variant{Says: fmt.Sprintf("%s touches %s", p, q), Net: net})
		}
	}
	return out
}

// TestWalk holds the lengths of proving walks against every single fault and every tie
// between two conductors of the job, wherever they run; and replays each walk on every
// fault, from every start, by package switchnet: something that a sound job does not do
// is seen on the way.
func TestWalk(t *testing.T) {
	lit := []trace.Seen{{Light: lamp, Glow: trace.Lit}}
	for _, r := range []struct {
		places, most int
		start        []trace.Seen
	}{
		{2, 3, nil}, {3, 7, nil}, {4, 8, nil}, {5, 9, nil}, {6, 9, nil}, {7, 11, nil}, {8, 11, nil},
		{2, 3, lit}, {3, 6, lit}, {4, 6, lit}, {5, 8, lit}, {6, 8, lit}, {7, 10, lit}, {8, 10, lit},
	} {
		width := 200
		if r.places > 6 {
			if !*long {
				continue
			}
			width = trace.DefaultWidth
		}
		w := chain(t, r.places)
		c := newCase(t, w, &trace.Options{NoDead: true, NoLive: true})
		also := touching(t, w, r.places)
		walk, err := c.Walk(context.Background(), &trace.WalkOptions{Start: r.start, Also: also, Width: width})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%d places, start %v: %d flips, shortest %v: %v", r.places, r.start, len(walk.Flips), walk.Shortest, walk.Flips)
		if len(walk.Flips) > r.most || !walk.Shortest {
			t.Errorf("%d places, start %v: %d flips (shortest: %v); want at most %d", r.places, r.start, len(walk.Flips), walk.Shortest, r.most)
		}
		for _, k := range c.Classes() {
			if !k.Seen {
				continue
			}
			bad, err := w.Apply(k.Causes[0].Fault.Edits...)
			if err != nil {
				t.Fatal(err)
			}
			replay(t, k.Causes[0].String(), bad.Net(), walk, r.start != nil)
		}
		for _, v := range also {
			// Two travelers of one section, or the like, are in the list as well.
			replay(t, v.Says, v.Net, walk, r.start != nil)
		}
	}
}

// replay walks through a net from every start: a sound chain has its lamp change at
// every flip, and nothing else.
func replay(t *testing.T, says string, net *switchnet.Net, walk trace.Walk, lit bool) {
	t.Helper()
	solver := net.NewSolver()
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	look := func(s switchnet.State) (on, off bool) {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		x, _ := v.Supply(lamp)
		ok := !v.Shorted()
		return ok && x.Status == switchnet.Lit && x.Volts == 120_000_000, ok && x.Status == switchnet.Unlit
	}
	for s := range states {
		from := s
		on, off := look(s)
		exposed := !on && !off
		if lit && !on {
			continue // not seen so
		}
		for _, r := range walk.Flips {
			if s, err = s.Flip(r); err != nil {
				t.Fatal(err)
			}
			was := on
			on, off = look(s)
			exposed = exposed || on == was || !on && !off
		}
		if !exposed {
			t.Errorf("%s: from %v the walk %v shows nothing", says, from, walk.Flips)
		}
	}
}

// TestWalkHidden holds that what no flip shows is said, and ends the search all the same.
func TestWalkHidden(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, &trace.Options{NoDead: true, NoLive: true})
	walk, err := c.Walk(context.Background(), &trace.WalkOptions{Also: []trace.Variant{{Says: "nothing", Net: w.Net()}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(walk.Hidden) != 1 || walk.Hidden[0] != "nothing" || len(walk.Unseen) != 0 {
		t.Errorf("hidden %v, unseen %v", walk.Hidden, walk.Unseen)
	}
	// With an ohmmeter at hand there are classes that it tells apart and no flip shows.
	walk, err = newCase(t, w, nil).Walk(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(walk.Unseen) == 0 {
		t.Error("flips show everything")
	}
	for _, k := range walk.Unseen {
		if k.Seen || k.Sound || k.Trips {
			t.Errorf("%s is unseen: seen %v, sound %v, trips %v", &k, k.Seen, k.Sound, k.Trips)
		}
	}
}

// TestWalkSight holds that a light counts where it is seen from the switch just moved: each
// fault that the walk is to expose changes what is seen there, from every start, by package
// switchnet; and that a light that no switch sees exposes nothing.
func TestWalkSight(t *testing.T) {
	w := chain(t, 3)
	sight := func(from string) *trace.Case {
		return newCase(t, w, &trace.Options{NoDead: true, NoLive: true, Sight: []trace.Sight{{Light: lamp, From: from}}})
	}
	c := sight("place-2")
	walk, err := c.Walk(context.Background(), &trace.WalkOptions{From: "place-1"})
	if err != nil {
		t.Fatal(err)
	}
	everywhere, err := newCase(t, w, &trace.Options{NoDead: true, NoLive: true}).Walk(context.Background(), nil)
	if err != nil || len(walk.Flips) < len(everywhere.Flips) {
		t.Errorf("%d flips where the lamp is seen from one place, %d where from all; %v", len(walk.Flips), len(everywhere.Flips), err)
	}
	unseen := map[string]bool{}
	for _, k := range walk.Unseen {
		unseen[k.Causes[0].String()] = true
	}
	replayed := 0
	for _, k := range c.Classes() {
		if k.Sound || unseen[k.Causes[0].String()] {
			continue
		}
		replayed++
		bad, err := w.Apply(k.Causes[0].Fault.Edits...)
		if err != nil {
			t.Fatal(err)
		}
		// What is seen at each flip at place-2 of a net from a state.
		seen := func(net *switchnet.Net, s switchnet.State) (out string) {
			for _, f := range walk.Flips {
				if s, err = s.Flip(f); err != nil {
					t.Fatal(err)
				}
				v, err := net.NewSolver().Solve(s)
				if err != nil {
					t.Fatal(err)
				}
				x, _ := v.Supply(lamp)
				switch {
				case v.Shorted():
					out += "trip"
				case f == place(2):
					out += fmt.Sprint(x.Status, x.Volts, " ")
				}
			}
			return out
		}
		states := func(net *switchnet.Net) (out []switchnet.State) {
			all, _, err := net.States(nil)
			if err != nil {
				t.Fatal(err)
			}
			for s := range all {
				out = append(out, s)
			}
			return out
		}
		sound := map[string]bool{}
		for _, s := range states(w.Net()) {
			sound[seen(w.Net(), s)] = true
		}
		for _, s := range states(bad.Net()) {
			if sound[seen(bad.Net(), s)] {
				t.Errorf("%s: from %v nothing is seen at place-2 that a sound job does not show", k.Causes[0], s)
			}
		}
	}
	if replayed < 15 {
		t.Errorf("%d classes are exposed by %v", replayed, walk.Flips)
	}
	walk, err = sight("panel").Walk(context.Background(), &trace.WalkOptions{From: "place-1"})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range c.Classes() {
		in := false
		for _, u := range walk.Unseen {
			in = in || u.Causes[0].String() == k.Causes[0].String()
		}
		if !k.Sound && !k.Trips && !in {
			t.Errorf("%s is exposed by a lamp that no switch sees", k.Causes[0])
		}
	}
}

func TestWalkRefuses(t *testing.T) {
	c := newCase(t, chain(t, 2), &trace.Options{NoDead: true, NoLive: true})
	for _, r := range []struct {
		opt  trace.WalkOptions
		want string
		why  string
	}{
		{trace.WalkOptions{From: "cellar"}, `no box "cellar"`, "an unknown box"},
		{trace.WalkOptions{Start: []trace.Seen{{Light: place(1), Glow: trace.Lit}}}, "no light hall at place-1", "a switch is no light"},
		{trace.WalkOptions{Start: []trace.Seen{{Light: lamp, Glow: trace.Bright}}}, "never looks like that", "no start of a sound job"},
		{trace.WalkOptions{Also: []trace.Variant{{Says: "x"}}}, "is not set", "no net"},
		{trace.WalkOptions{Also: []trace.Variant{{Says: "x", Net: shed(t).Net()}}}, "no switch hall at place-1", "the net of another job"},
	} {
		_, err := c.Walk(context.Background(), &r.opt)
		if err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%s: got %v, want %q", r.why, err, r.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := c.Walk(ctx, nil); err == nil {
		t.Error("a context that ended was not noticed")
	}
}

// BenchmarkWalk is the walk of a chain from any start.
func BenchmarkWalk(b *testing.B) {
	for _, places := range []int{3, 4, 5, 8} {
		c := newCase(b, chain(b, places), &trace.Options{NoDead: true, NoLive: true})
		b.Run(fmt.Sprint(places), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				w, err := c.Walk(context.Background(), nil)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(w.Flips)), "flips")
			}
		})
	}
}

// A job with a switch whose handle is marked, and one of many switches, have a walk too.
func TestWalkOfTheShed(t *testing.T) {
	c := newCase(t, shed(t), nil)
	w, err := c.Walk(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	used := map[switchnet.Ref]bool{}
	for _, f := range w.Flips {
		used[f] = true
	}
	if len(used) != 8 || len(w.Flips) > 14 {
		t.Errorf("%d flips of %d switches; want all 8, in 14 flips at most: %v", len(w.Flips), len(used), w.Flips)
	}
}

// TestTouching holds that each two pieces of metal of a chain's wiring touch once, and that
// the net of each is the job's with those two joined and no more.
func TestTouching(t *testing.T) {
	for _, places := range []int{2, 3, 4} {
		w := chain(t, places)
		variants, err := trace.Touching(context.Background(), w)
		if err != nil {
			t.Fatal(err)
		}
		// The hot, the neutral and the ground, two travelers a section, and the leg.
		metal := 3 + 2*(places-1) + 1
		if want := metal * (metal - 1) / 2; len(variants) != want {
			t.Errorf("%d places: %d variants, want %d", places, len(variants), want)
		}
		says := map[string]bool{}
		for _, v := range variants {
			says[v.Says] = true
			if got := v.Net.Dense().Nets(); got != w.Net().Dense().Nets()-1 {
				t.Errorf("%s: %d nets, the job has %d", v.Says, got, w.Net().Dense().Nets())
			}
		}
		if len(says) != len(variants) || !says["C0.black and C1.red touch along their runs"] {
			t.Errorf("%d places: %d different: %v", places, len(says), says)
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if _, err := trace.Touching(ended, chain(t, 2)); !errors.Is(err, context.Canceled) {
		t.Errorf("ended: %v", err)
	}
}
