package switchnet_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// TestLongChainsToggle tries states of chains of up to 2,000 reversing switches: a
// flip of any switch must change the lamp.
func TestLongChainsToggle(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, places := range []int{2, 3, 4, 5, 10, 63, 64, 65, 300, 2000} {
		net := chain(t, places)
		solver := net.NewSolver()
		lit := func(s switchnet.State) bool {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			if v.Shorted() {
				t.Fatalf("%d places: %v shorts", places, s)
			}
			sup, _ := v.Supply(lamp)
			return sup.Status == switchnet.Lit
		}
		seen := map[bool]int{}
		for range 10 {
			pos := make([]uint8, places+1)
			for i := range places {
				pos[i] = uint8(r.IntN(2))
			}
			// The breaker's place, panel, comes after the places p000000
			// and on in name order, and stays on.
			s, err := net.StateOf(pos)
			if err != nil {
				t.Fatal(err)
			}
			before := lit(s)
			seen[before]++
			for _, i := range r.Perm(places)[:min(places, 60)] {
				flipped, err := s.Flip(ref(place(i), "aisle"))
				if err != nil {
					t.Fatal(err)
				}
				if lit(flipped) == before {
					t.Fatalf("%d places: from %v the switch at %s does nothing", places, s, place(i))
				}
			}
		}
		if places > 3 && (seen[true] == 0 || seen[false] == 0) {
			t.Errorf("%d places: the tried states are all lit or all unlit: %v", places, seen)
		}
	}
}

// TestLongWays checks that the path of a lit lamp at the end of a long chain, and
// the witness of a short there, are found whole.
func TestLongWays(t *testing.T) {
	const places = 2000
	b := chain(t, places).Builder()
	b.Conductor("tie", hotLeg, service().Rail(switchnet.Ground))
	shorted, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	s := chain(t, places).Rest()
	v := solve(t, s)
	if sup, _ := v.Supply(lamp); sup.Status != switchnet.Lit {
		if s, err = s.Flip(ref(place(7), "aisle")); err != nil {
			t.Fatal(err)
		}
		v = solve(t, s)
	}
	paths, err := v.Paths(lamp, nil)
	// Breaker, then a conductor and a contact for each place, then the leg, the
	// lamp and the neutral.
	if want := 2 + 2*places + 3; err != nil || len(paths.List) != 1 || paths.Truncated || len(paths.List[0].Steps) != want {
		t.Errorf("%d paths (truncated %v), %v; want one of %d steps", len(paths.List), paths.Truncated, err, want)
	}
	on, err := s.On(shorted)
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for short := range solve(t, on).Shorts() {
		count++
		// The same way, with the tie in place of the lamp.
		if want := 2 + 2*places + 2; short.Rails != [2]switchnet.Rail{switchnet.LineA, switchnet.Ground} || len(short.Path.Steps) != want {
			t.Errorf("short of %v with a witness of %d steps, want %d", short.Rails, len(short.Path.Steps), want)
		}
	}
	if count != 1 {
		t.Errorf("%d shorts, want 1", count)
	}
}

// TestPathWork stops a search that would list too many ways: a ladder of parallel
// conductors has 2^30 of them.
func TestPathWork(t *testing.T) {
	b := chain(t, 30).Builder()
	for i := 1; i < 30; i++ {
		for which, name := range []string{"first", "second"} {
			from := term(place(i-1), "aisle", []string{"traveler 1", "traveler 2"}[which])
			if i > 1 {
				from = term(place(i-1), "aisle", []string{"pair 2 first", "pair 2 second"}[which])
			}
			b.Conductor(fmt.Sprint(place(i), " doubled ", name), from, entry(i, 30, which))
		}
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	s := net.Rest()
	v := solve(t, s)
	if sup, _ := v.Supply(lamp); sup.Status != switchnet.Lit {
		if s, err = s.Flip(ref(place(0), "aisle")); err != nil {
			t.Fatal(err)
		}
		v = solve(t, s)
	}
	for _, opt := range []*switchnet.PathOptions{nil, {Max: 5}, {Max: 1000, Work: 5000}, {Work: 1}} {
		paths, err := v.Paths(lamp, opt)
		if err != nil || !paths.Truncated {
			t.Errorf("with %+v %d of 2^29 paths are all, %v", opt, len(paths.List), err)
		}
		if want := map[bool]int{true: 16}[opt == nil]; want > 0 && len(paths.List) != want {
			t.Errorf("by default %d paths, want %d", len(paths.List), want)
		}
		if opt != nil && opt.Max == 5 && len(paths.List) != 5 {
			t.Errorf("%d paths, want 5", len(paths.List))
		}
	}
}

// TestConcurrentSolvers solves one net in many goroutines, from its first use on.
// Run with -race it finds what solvers share.
func TestConcurrentSolvers(t *testing.T) {
	const goroutines = 8
	for seed := range uint64(12) {
		spec := netgen.Seeded(seed, netgen.Limits{States: 32})
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		texts, errs := make([]string, goroutines), make([]error, goroutines)
		var wg sync.WaitGroup
		for i := range goroutines {
			wg.Add(1)
			go func() {
				defer wg.Done()
				texts[i], errs[i] = writeUpOf(net, 16)
			}()
		}
		wg.Wait()
		for i, text := range texts {
			if errs[i] != nil {
				t.Fatal(errs[i])
			}
			sameText(t, texts[0], text)
		}
	}
}

// TestSolveAllocatesNothing asserts that after the first solve of each sort of
// state a solver allocates nothing, nor does a walk over its answers.
func TestSolveAllocatesNothing(t *testing.T) {
	for seed := range uint64(40) {
		spec := netgen.Seeded(seed, netgen.Limits{States: 32})
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		iter, _, err := net.States(&switchnet.StatesOptions{Breakers: true})
		if err != nil {
			t.Fatal(err)
		}
		var states []switchnet.State
		for s := range iter {
			states = append(states, s)
		}
		solver := net.NewSolver()
		hazards := 0
		visit := func() {
			for _, s := range states {
				v, err := solver.Solve(s)
				if err != nil {
					t.Fatal(err)
				}
				v.Shorted()
				for _, c := range v.Conditions() {
					if c.Hazardous() {
						hazards++
					}
				}
				for range v.Supplies() {
					hazards++
				}
			}
		}
		if n := testing.AllocsPerRun(3, visit); n > 0 {
			t.Errorf("seed %d: %v allocations in %d states, want none\n%v", seed, n, len(states), spec)
		}
		if hazards == 0 {
			t.Errorf("seed %d: nothing to look at\n%v", seed, spec)
		}
	}
}

// TestWriteUpSays keeps the comparisons that rest on writeUp from comparing
// nothing.
func TestWriteUpSays(t *testing.T) {
	text := writeUp(t, chain(t, 2), 4)
	for _, want := range []string{"live on line A", "{Status:lit Volts:120 V", "by leg to lamp hot at aisle", "8 states", "aisle at p000001 down"} {
		if !strings.Contains(text, want) {
			t.Errorf("the write-up does not say %q:\n%s", want, text)
		}
	}
}
