package allstates_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// TestEqual compares wild nets with copies that differ in one landing, and the
// verdict with that of solving every state of both.
func TestEqual(t *testing.T) {
	ctx := context.Background()
	count := map[allstates.DifferenceKind]int{}
	for seed := range uint64(1500) {
		rng := rand.New(rand.NewPCG(seed, 11))
		w := newWild(seed, 6)
		v := w.clone()
		d := &v.devices[rng.IntN(len(v.devices))]
		switch x := d.Terminal(d.Kind.Terminals[rng.IntN(len(d.Kind.Terminals))]); rng.IntN(3) {
		case 0:
			v.landing[x] = v.metal[rng.IntN(len(v.metal))]
		case 1:
			delete(v.landing, x)
		}
		nets := [2]*switchnet.Net{w.build(), v.build()}
		var as [2]*allstates.Analysis
		var bs [2]*brute
		for i, n := range nets {
			a, err := allstates.Analyze(ctx, n, nil)
			if err != nil {
				t.Fatal(err)
			}
			as[i], bs[i] = a, bruteOf(n, nil)
		}
		diff, err := allstates.Equal(ctx, as[0], as[1])
		if err != nil {
			t.Fatal(err)
		}
		var want allstates.DifferenceKind
		var subject switchnet.Ref
		for l := range nets[0].Loads() {
			for i := range bs[0].states {
				if want == 0 && bs[0].status[l.Ref][i] != bs[1].status[l.Ref][i] {
					want, subject = allstates.DifferentStatus, l.Ref
				}
			}
		}
		for i := range bs[0].states {
			if want == 0 && bs[0].short[i] != bs[1].short[i] {
				want = allstates.DifferentShort
			}
		}
		count[want]++
		if diff == nil {
			if want != 0 {
				t.Fatalf("seed %d: no difference found, want %v of %v", seed, want, subject)
			}
			continue
		}
		if diff.Kind != want || diff.Subject != subject {
			t.Fatalf("seed %d: %v of %v, want %v of %v", seed, diff.Kind, diff.Subject, want, subject)
		}
		if key(diff.States[0]) != key(diff.States[1]) {
			t.Fatalf("seed %d: states %v and %v differ", seed, diff.States[0], diff.States[1])
		}
		for side := range 2 {
			view, err := nets[side].NewSolver().Solve(diff.States[side])
			if err != nil {
				t.Fatal(err)
			}
			if want == allstates.DifferentShort {
				if view.Shorted() != diff.Shorted[side] || diff.Shorted[0] == diff.Shorted[1] {
					t.Fatalf("seed %d: shorted %v said to be %v", seed, view.Shorted(), diff.Shorted)
				}
			} else if s, _ := view.Supply(subject); s.Status != diff.Status[side] || diff.Status[0] == diff.Status[1] {
				t.Fatalf("seed %d: %v said to be %v", seed, s.Status, diff.Status)
			}
		}
	}
	t.Log(count)
	for _, k := range []allstates.DifferenceKind{0, allstates.DifferentStatus, allstates.DifferentShort} {
		if count[k] < 20 {
			t.Errorf("only %d pairs with difference %v", count[k], k)
		}
	}
}
