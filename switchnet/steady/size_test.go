package steady_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// The size of a problem grows with the wiring and no faster, and a state costs a
// fixed number of allocations.
func TestLinear(t *testing.T) {
	for _, n := range []int{10, 100, 1000} {
		w := chain(t, switchnet.SplitPhase(), n, 3, 10*quantity.Foot, 18*quantity.Watt).build()
		p := problem(t, w, nil)
		nodes, fill := p.Nodes()
		if nodes > 6*n+20 || fill > 5*nodes {
			t.Errorf("%d places: %d nodes and %d entries, want at most 6 and 30 a place", n, nodes, fill)
		}
		rest := w.Net().Rest()
		if a := testing.AllocsPerRun(5, func() { solve(t, p, rest) }); a > 12 {
			t.Errorf("%d places: %g allocations a state", n, a)
		}
	}
}
