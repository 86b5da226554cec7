package ldlt

import (
	"math/cmplx"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// network draws distinct pairs of n nodes.
func network(rt *rapid.T) (n int, pairs []Pair) {
	n = rapid.IntRange(1, 24).Draw(rt, "nodes")
	seen := map[Pair]bool{}
	for range rapid.IntRange(0, 3*n).Draw(rt, "pairs") {
		a, b := int32(rapid.IntRange(0, n-1).Draw(rt, "a")), int32(rapid.IntRange(0, n-1).Draw(rt, "b"))
		p := Pair{min(a, b), max(a, b)}
		if a != b && !seen[p] {
			seen[p] = true
			pairs = append(pairs, p)
		}
	}
	return n, pairs
}

func admittance(rt *rapid.T, label string) complex128 {
	return complex(rapid.Float64Range(0.01, 100).Draw(rt, label), rapid.Float64Range(-10, 10).Draw(rt, label+" imaginary"))
}

// denseSystem returns the real matrix of twice the size and its right side.
func denseSystem(n int, pairs []Pair, between, shunt, injected []complex128) (*mat.Dense, *mat.VecDense) {
	dense := mat.NewDense(2*n, 2*n, nil)
	put := func(i, j int, y complex128) {
		for _, e := range []struct {
			r, c int
			v    float64
		}{{i, j, real(y)}, {n + i, n + j, real(y)}, {i, n + j, -imag(y)}, {n + i, j, imag(y)}} {
			dense.Set(e.r, e.c, dense.At(e.r, e.c)+e.v)
		}
	}
	rhs := mat.NewVecDense(2*n, nil)
	for i, y := range shunt {
		put(i, i, y)
		rhs.SetVec(i, real(injected[i]))
		rhs.SetVec(n+i, imag(injected[i]))
	}
	for k, p := range pairs {
		i, j, y := int(p.I), int(p.J), between[k]
		put(i, i, y)
		put(j, j, y)
		put(i, j, -y)
		put(j, i, -y)
	}
	return dense, rhs
}

// The potentials are those that a dense solver of the doubled real matrix finds.
func TestDense(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n, pairs := network(rt)
		between, shunt, injected := make([]complex128, len(pairs)), make([]complex128, n), make([]complex128, n)
		for i := range between {
			between[i] = admittance(rt, "between")
		}
		for i := range shunt {
			shunt[i], injected[i] = admittance(rt, "shunt"), admittance(rt, "injected")
		}
		dense, rhs := denseSystem(n, pairs, between, shunt, injected)
		var x mat.VecDense
		if err := x.SolveVec(dense, rhs); err != nil {
			rt.Skip("the matrix drawn is so badly conditioned that the dense solver, which is the oracle, gives no answer")
		}
		f := Analyze(n, pairs).NewFactor()
		f.Factor(between, shunt)
		volts := make([]complex128, n)
		f.Solve(volts, injected)
		for i, v := range volts {
			want := complex(x.AtVec(i), x.AtVec(n+i))
			if d := cmplx.Abs(v - want); !(d <= 1e-9*(1+cmplx.Abs(want))) {
				rt.Fatalf("node %d of %d: %v, dense %v", i, n, v, want)
			}
			if f.Floating(int32(i)) {
				rt.Fatalf("node %d floats beside its shunt", i)
			}
		}
	})
}

// Islands without a shunt float, exactly those, whatever the admittances.
func TestFloating(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n, pairs := network(rt)
		between, shunt := make([]complex128, len(pairs)), make([]complex128, n)
		for i := range between {
			if rapid.Bool().Draw(rt, "closed") {
				between[i] = admittance(rt, "between")
			}
		}
		held := make([]bool, n)
		for i := range shunt {
			if rapid.IntRange(0, 3).Draw(rt, "held") == 0 {
				shunt[i], held[i] = admittance(rt, "shunt"), true
			}
		}
		for range n {
			for k, p := range pairs {
				if between[k] != 0 {
					held[p.I] = held[p.I] || held[p.J]
					held[p.J] = held[p.J] || held[p.I]
				}
			}
		}
		f := Analyze(n, pairs).NewFactor()
		f.Factor(between, shunt)
		for i := range n {
			if f.Floating(int32(i)) == held[i] {
				rt.Fatalf("node %d: held %v, floating %v", i, held[i], f.Floating(int32(i)))
			}
		}
		if f.Loose() != slices.Contains(held, false) {
			rt.Fatalf("loose %v with %v", f.Loose(), held)
		}
	})
}

// Admittances twenty powers of ten apart at one node keep their accuracy: the
// pivots are sums, and nothing is subtracted.
func TestSpread(t *testing.T) {
	// Node 0 hangs on earth and on one volt by two tiny equal admittances, and
	// node 1 on node 0 by a huge one.
	f := Analyze(2, []Pair{{0, 1}}).NewFactor()
	f.Factor([]complex128{1e10}, []complex128{2e-10, 0})
	v := make([]complex128, 2)
	f.Solve(v, []complex128{1e-10, 0})
	for i, got := range v {
		if d := cmplx.Abs(got - 0.5); !(d <= 1e-15) {
			t.Errorf("node %d at %v, want 0.5", i, got)
		}
	}
}

// Trees get no fill, and a ladder two entries a node.
func TestFill(t *testing.T) {
	const n = 400
	var tree, ladder []Pair
	for i := int32(1); i < n; i++ {
		tree = append(tree, Pair{(i - 1) / 3, i})
	}
	for i := int32(0); i+2 < n; i += 2 {
		ladder = append(ladder, Pair{i, i + 1}, Pair{i, i + 2}, Pair{i + 1, i + 3})
	}
	ladder = append(ladder, Pair{n - 2, n - 1})
	if got := Analyze(n, tree).Fill(); got != n-1 {
		t.Errorf("a tree of %d nodes has %d entries, want %d", n, got, n-1)
	}
	if got := Analyze(n, ladder).Fill(); got > 2*n-3 {
		t.Errorf("a ladder of %d nodes has %d entries, want at most %d", n, got, 2*n-3)
	}
}

// The order hangs on which pairs there are, not on the order they are listed in,
// and going by it afterwards gives the same fill.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n, pairs := network(rt)
		first := Analyze(n, pairs)
		again := slices.Clone(pairs)
		for i := len(again) - 1; i > 0; i-- {
			j := rapid.IntRange(0, i).Draw(rt, "swap")
			again[i], again[j] = again[j], again[i]
		}
		if second := Analyze(n, again); !slices.Equal(first.Order(), second.Order()) {
			rt.Fatalf("order %v, listed otherwise %v", first.Order(), second.Order())
		}
		number := make([]int32, n)
		for k, node := range first.Order() {
			number[node] = int32(k)
		}
		for i, p := range again {
			a, b := number[p.I], number[p.J]
			again[i] = Pair{min(a, b), max(a, b)}
		}
		if third := AnalyzeInOrder(n, again); third.Fill() != first.Fill() {
			rt.Fatalf("fill %d, renumbered %d", first.Fill(), third.Fill())
		}
	})
}
