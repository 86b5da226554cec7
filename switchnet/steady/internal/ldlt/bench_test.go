package ldlt

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// BenchmarkSmall factors and solves a network of the size of a room's wiring, by the
// sparse way and by a dense one that works on the real matrix of twice the size:
// three conductors side by side with rungs between them, as cables make.
func BenchmarkSmall(b *testing.B) {
	for _, n := range []int{20, 50, 200} {
		var pairs []Pair
		for i := int32(0); int(i) < n; i++ {
			if int(i)+3 < n {
				pairs = append(pairs, Pair{i, i + 3})
			}
			if i%3 != 2 && int(i)+1 < n {
				pairs = append(pairs, Pair{i, i + 1})
			}
		}
		r := rand.New(rand.NewPCG(1, uint64(n)))
		draw := func() complex128 { return complex(1+r.Float64(), r.Float64()) }
		between, shunt, injected, volts := make([]complex128, len(pairs)), make([]complex128, n), make([]complex128, n), make([]complex128, n)
		for i := range between {
			between[i] = draw()
		}
		for i := range shunt {
			shunt[i], injected[i] = draw(), draw()
		}
		b.Run(fmt.Sprintf("sparse/nodes=%d", n), func(b *testing.B) {
			f := Analyze(n, pairs).NewFactor()
			b.ReportAllocs()
			for b.Loop() {
				f.Factor(between, shunt)
				f.Solve(volts, injected)
			}
		})
		b.Run(fmt.Sprintf("dense/nodes=%d", n), func(b *testing.B) {
			matrix, rhs := denseSystem(n, pairs, between, shunt, injected)
			var lu mat.LU
			var x mat.VecDense
			b.ReportAllocs()
			for b.Loop() {
				lu.Factorize(matrix)
				if err := lu.SolveVecTo(&x, false, rhs); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
