package steady_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
)

func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{5, 100, 1000, 10000} {
		b.Run(fmt.Sprintf("chain=%d", n), func(b *testing.B) {
			w := chain(b, switchnet.SplitPhase(), n, 3, 10*quantity.Foot, 18*quantity.Watt).build()
			p := problem(b, w, nil)
			states := []switchnet.State{w.Net().Rest(), with(b, w, "place 1", "aisle", "down")}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				i++
				solve(b, p, states[i%2])
			}
			nodes, fill := p.Nodes()
			b.ReportMetric(float64(nodes), "nodes")
			b.ReportMetric(float64(fill), "fill")
		})
	}
}

// The boat shed, one state; and the same with electronic lights, which take several
// rounds.
func BenchmarkShed(b *testing.B) {
	w, p := shed()
	b.ReportAllocs()
	for b.Loop() {
		solve(b, p, w.Net().Rest())
	}
}

func BenchmarkShedElectronic(b *testing.B) {
	w, _ := shed()
	loads := map[switchnet.Ref]steady.Load{}
	for l := range w.Net().Loads() {
		loads[l.Ref] = steady.Load{Kind: steady.Electronic, PowerFactor: 90 * quantity.Percent}
	}
	p := problem(b, w, &steady.Options{Loads: loads})
	b.ReportAllocs()
	for b.Loop() {
		solve(b, p, w.Net().Rest())
	}
}

func BenchmarkNew(b *testing.B) {
	for _, n := range []int{5, 1000, 10000} {
		b.Run(fmt.Sprintf("chain=%d", n), func(b *testing.B) {
			w := chain(b, switchnet.SplitPhase(), n, 3, 10*quantity.Foot, 18*quantity.Watt).build()
			b.ReportAllocs()
			for b.Loop() {
				problem(b, w, nil)
			}
		})
	}
}
