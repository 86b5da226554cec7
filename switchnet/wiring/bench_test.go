package wiring_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// sizes are the numbers of places in a chain that the benchmarks run with. What is
// linear takes ten times as long from one to the next.
var sizes = []int{100, 1_000, 10_000, 100_000}

func benchChains(b *testing.B, run func(b *testing.B, s wiring.Spec, w *wiring.Wiring)) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("places=%d", n), func(b *testing.B) {
			s := chain(b, n)
			w := build(b, s)
			b.ReportAllocs()
			run(b, s, w)
		})
	}
}

func BenchmarkNew(b *testing.B) {
	benchChains(b, func(b *testing.B, s wiring.Spec, _ *wiring.Wiring) {
		for b.Loop() {
			if _, err := wiring.New(s); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkFunctions includes the work that is done once for each wiring.
func BenchmarkFunctions(b *testing.B) {
	benchChains(b, func(b *testing.B, _ wiring.Spec, w *wiring.Wiring) {
		for b.Loop() {
			b.StopTimer()
			fresh, err := w.Apply()
			if err != nil {
				b.Fatal(err)
			}
			b.StartTimer()
			for _, f := range fresh.Functions() {
				if f.Kind == 0 {
					b.Fatal("no function")
				}
			}
		}
	})
}

func BenchmarkCircuits(b *testing.B) {
	benchChains(b, func(b *testing.B, _ wiring.Spec, w *wiring.Wiring) {
		for b.Loop() {
			if c := w.Circuits(); !c[0].Routes[0].Complete {
				b.Fatal("no way")
			}
		}
	})
}

// BenchmarkCircuitsApart has as many circuits as a chain has places, each with one
// light.
func BenchmarkCircuitsApart(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("feeds=%d", n), func(b *testing.B) {
			s := newSketch(b)
			s.box("panel", wiring.Panel)
			for i := range n {
				name, box := fmt.Sprint("feed ", i), fmt.Sprint("box ", i)
				cable := fmt.Sprint("C", i)
				s.Feeds = append(s.Feeds, feed(name, "panel"))
				s.box(box, wiring.CeilingBox)
				s.light(box, "lamp")
				s.Cables = append(s.Cables, wiring.Cable{Name: cable, Type: s.twoWire(), From: "panel", To: box, Length: 1000})
				s.land("panel", name+".hot", cable+".black")
				s.land("panel", name+".neutral", cable+".white")
				s.splice(box, cable+".black", "lamp.hot")
				s.splice(box, cable+".white", "lamp.neutral")
			}
			w := build(b, s.Spec)
			b.ReportAllocs()
			for b.Loop() {
				if c := w.Circuits(); len(c) != n || !c[n-1].Routes[0].Complete {
					b.Fatal("no way")
				}
			}
		})
	}
}

// BenchmarkContents counts every box.
func BenchmarkContents(b *testing.B) {
	benchChains(b, func(b *testing.B, s wiring.Spec, w *wiring.Wiring) {
		for b.Loop() {
			for _, box := range s.Boxes[1:] {
				if _, err := w.Contents(box.Name); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}

func BenchmarkApply(b *testing.B) {
	swap := wiring.SwapLandings{Box: "door 0", A: wire("C1.black"), B: wire("C1.red")}
	benchChains(b, func(b *testing.B, _ wiring.Spec, w *wiring.Wiring) {
		for b.Loop() {
			if _, err := w.Apply(swap); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// TestLarge asks a wiring of a size at which nothing quadratic would end everything.
func TestLarge(t *testing.T) {
	const n = 2_000
	s := newSketch(t)
	s.Spec = chain(t, n)
	for i := range n { // a light and a circuit of its own beside every place
		name := fmt.Sprint("feed ", i)
		s.Feeds = append(s.Feeds, feed(name, "panel"))
		s.light(fmt.Sprint("door ", i), "lamp")
		s.splice(fmt.Sprint("door ", i), "lamp.hot", "aisle.ground")
	}
	w := build(t, s.Spec)
	kinds := map[wiring.FunctionKind]int{}
	for _, f := range w.Functions() {
		kinds[f.Kind]++
	}
	if kinds[wiring.Traveler] != 2*(n-1) || kinds[wiring.NeutralConductor] != n+1 {
		t.Errorf("%v", kinds)
	}
	for _, b := range s.Boxes[1:] {
		if _, err := w.Contents(b.Name); err != nil {
			t.Fatal(err)
		}
	}
	c := w.Circuits()
	if len(c) != n+1 || len(c[n].Cables) != n+1 || c[n].Feed != (switchnet.Ref{Place: "panel", Name: "shed lights"}) {
		t.Errorf("%d circuits, the last with %d cables", len(c), len(c[n].Cables))
	}
}

// TestOneGreatSplice joins everything in one box in one splice.
func TestOneGreatSplice(t *testing.T) {
	const n = 10_000
	s := newSketch(t)
	s.feed("panel", "shed lights")
	s.box("store", wiring.JunctionBox)
	var join []string
	for i := range n {
		name := fmt.Sprint("C", i)
		s.Cables = append(s.Cables, wiring.Cable{Name: name, Type: s.twoWire(), From: "panel", To: "store", Length: 1000})
		join = append(join, name+".white")
	}
	s.splice("store", join...)
	s.land("panel", "shed lights.neutral", "C7.white")
	w := build(t, s.Spec)
	if f, _ := w.Function(wire("C9.white")); f.Kind != wiring.NeutralConductor {
		t.Errorf("it is %v", f)
	}
	c, err := w.Contents("store")
	if err != nil || contentsText(c) != fmt.Sprintf("%d 14 AWG spliced, ground %d 14 AWG bare, connectors 1 14 AWG", 2*n, n) {
		t.Errorf("%s, %v", contentsText(c), err)
	}
	half, err := w.Apply(wiring.SplitSplice{Box: "store", Out: s.Splices[0].Join[:n/2]})
	if err != nil {
		t.Fatal(err)
	}
	whole, err := half.Apply(wiring.JoinSplice{Box: "store", Join: s.Splices[0].Join})
	if err != nil || len(whole.Spec().Splices[0].Join) != n {
		t.Errorf("joined again: %v", err)
	}
}
