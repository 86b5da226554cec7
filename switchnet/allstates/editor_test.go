package allstates_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// TestEditor makes random changes, and after each compares the editor with the
// question asked of a net that was built with the change in it.
func TestEditor(t *testing.T) {
	ctx := context.Background()
	kept, rebuilt, yes, no, wide := 0, 0, 0, 0, 0
	for seed := range uint64(700) {
		rng := rand.New(rand.NewPCG(seed, 9))
		w := newWild(seed, 6)
		net := w.build()
		a, err := allstates.Analyze(ctx, net, nil)
		if err != nil {
			t.Fatal(err)
		}
		load := w.loads[rng.IntN(len(w.loads))].Ref
		terms := slices.Collect(net.Terminals())
		touched := terms[rng.IntN(len(terms))]
		which := rng.IntN(4)
		claimsOn := switchnet.Ref{}
		if which == 3 {
			claimsOn = touched.Owner()
		}
		claims := [][]allstates.Claim{
			{allstates.LoadIs(load, switchnet.Lit)},
			{allstates.Shorted()},
			{allstates.LoadIs(load, switchnet.Dim, switchnet.Faulted)},
			{allstates.LoadIs(load, switchnet.Unlit), allstates.Hazardous(touched), allstates.NotShorted()},
		}[which]
		e, err := a.Editor(ctx, claims...)
		if knot := (*allstates.BudgetError)(nil); errors.As(err, &knot) {
			wide++
			continue
		}
		if err != nil {
			t.Fatal(seed, err)
		}
		for step := range 8 {
			edited := w.clone()
			i := rng.IntN(len(edited.devices))
			d := &edited.devices[i]
			if len(d.Kind.Positions) < 2 || d.Kind.Breaker {
				continue
			}
			term := func() string { return d.Kind.Terminals[rng.IntN(len(d.Kind.Terminals))] }
			before := e.Rebuilds()
			switch rng.IntN(4) {
			case 0, 1:
				x, y := term(), term()
				if err := e.Exchange(ctx, d.Ref, x, y); err != nil {
					t.Fatal(err)
				}
				tx, ty := d.Terminal(x), d.Terminal(y)
				lx, okX := edited.landing[tx]
				ly, okY := edited.landing[ty]
				delete(edited.landing, tx)
				delete(edited.landing, ty)
				if okX {
					edited.landing[ty] = lx
				}
				if okY {
					edited.landing[tx] = ly
				}
			case 2:
				x, at := term(), w.metal[rng.IntN(len(w.metal))]
				if err := e.Land(ctx, d.Ref, x, at); err != nil {
					t.Fatal(err)
				}
				edited.landing[d.Terminal(x)] = at
			case 3:
				kind := d.Kind.Clone()
				kind.Name += " altered"
				if len(kind.Internal) > 0 {
					if err := e.Replace(ctx, d.Ref, kind, nil); err == nil {
						t.Fatalf("%v with a load inside was replaced", d.Ref)
					}
					continue
				}
				for p := range kind.Positions {
					names := slices.Clone(kind.Terminals)
					rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
					cut := rng.IntN(len(names) + 1)
					kind.Positions[p].Joins = [][]string{names[:cut], names[cut:]}
				}
				if taken := slices.ContainsFunc(w.devices, func(o switchnet.Device) bool { return o.Kind.Name == kind.Name }); taken {
					continue
				}
				if err := e.Replace(ctx, d.Ref, kind, nil); claimsOn == d.Ref {
					if err == nil {
						t.Fatalf("%v, which a claim names, was replaced", d.Ref)
					}
					continue
				} else if err != nil {
					t.Fatal(err)
				}
				d.Kind = kind
			}
			if e.Rebuilds() > before {
				rebuilt++
			} else {
				kept++
			}
			w = edited
			b, err := allstates.Analyze(ctx, w.build(), nil)
			if err != nil {
				t.Fatal(err)
			}
			set, err := b.Find(ctx, claims...)
			if err != nil {
				t.Fatal(err)
			}
			if e.Possible() == set.Empty() {
				t.Logf("%+v %v %v", claims, d.Ref, d.Kind)
				t.Fatalf("seed %d, step %d: editor says %v, a new question finds %v states", seed, step, e.Possible(), set.Count())
			}
			if e.Possible() {
				yes++
			} else {
				no++
			}
		}
	}
	t.Logf("%d changes within the structure, %d rebuilds; %d times yes, %d times no, %d too wide", kept, rebuilt, yes, no, wide)
	if wide > 10 || kept < 500 || rebuilt < 100 || yes < 300 || no < 300 {
		t.Errorf("too few of one sort of change or answer: %d kept, %d rebuilt, %d yes, %d no", kept, rebuilt, yes, no)
	}
}
