package steady_test

import (
	"errors"
	"math/big"
	"math/cmplx"
	"testing"

	"example.com/switchleg/switchnet/steady"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// denseSystem returns the nodal matrix of a solution's network as a real one of twice
// the size, with the potential of what floats set to zero.
func denseSystem(branches []steady.TestBranch, volts []complex128, n int, floats func(int) bool) (*mat.Dense, *mat.VecDense) {
	matrix, rhs := mat.NewDense(2*n, 2*n, nil), mat.NewVecDense(2*n, nil)
	add := func(i, j int, y complex128) {
		matrix.Set(i, j, matrix.At(i, j)+real(y))
		matrix.Set(n+i, n+j, matrix.At(n+i, n+j)+real(y))
		matrix.Set(i, n+j, matrix.At(i, n+j)-imag(y))
		matrix.Set(n+i, j, matrix.At(n+i, j)+imag(y))
	}
	inject := func(i int, c complex128) {
		rhs.SetVec(i, rhs.AtVec(i)+real(c))
		rhs.SetVec(n+i, rhs.AtVec(n+i)+imag(c))
	}
	for i := range n {
		if floats(i) {
			add(i, i, 1)
		}
	}
	for _, b := range branches {
		for _, end := range []struct {
			a, o int
			emf  complex128
		}{{b.I, b.J, b.EMF}, {b.J, b.I, -b.EMF}} {
			if b.I == b.J || end.a >= n || floats(end.a) {
				continue
			}
			add(end.a, end.a, b.Y)
			inject(end.a, b.Y*end.emf)
			if end.o >= n {
				inject(end.a, b.Y*volts[end.o])
			} else {
				add(end.a, end.o, -b.Y)
			}
		}
	}
	return matrix, rhs
}

// The sparse solver finds what gonum's dense one finds, to within what the dense one
// can promise: its condition number times the rounding of a float64.
func TestDenseAgrees(t *testing.T) {
	const rounding = 1.0 / (1 << 52)
	rapid.Check(t, func(rt *rapid.T) {
		w := drawWiring(rt, t)
		s := solve(t, problem(t, w, drawOptions(rt, w)), drawState(rt, w))
		if !s.Status().Figures() {
			return
		}
		branches, volts, known := s.Branches()
		n := len(volts) - known
		matrix, rhs := denseSystem(branches, volts, n, s.FloatingNode)
		var lu mat.LU
		lu.Factorize(matrix)
		var x mat.VecDense
		var poor mat.Condition
		if err := lu.SolveVecTo(&x, false, rhs); err != nil && !errors.As(err, &poor) {
			rt.Fatal(err)
		}
		within := 240 * lu.Cond() * rounding
		for i := range n {
			if s.FloatingNode(i) {
				continue
			}
			if d := cmplx.Abs(volts[i] - complex(x.AtVec(i), x.AtVec(n+i))); !(d <= within) {
				rt.Fatalf("node %d: %v, dense %v; apart by %.3g V where %.3g V is its rounding", i, volts[i], complex(x.AtVec(i), x.AtVec(n+i)), d, within)
			}
		}
	})
}

// precise is a complex number of 256 bits.
type precise struct{ re, im *big.Float }

func exactly(c complex128) precise {
	return precise{new(big.Float).SetPrec(256).SetFloat64(real(c)), new(big.Float).SetPrec(256).SetFloat64(imag(c))}
}

func float() *big.Float { return new(big.Float).SetPrec(256) }

func (a precise) add(b precise) precise {
	return precise{float().Add(a.re, b.re), float().Add(a.im, b.im)}
}

func (a precise) sub(b precise) precise {
	return precise{float().Sub(a.re, b.re), float().Sub(a.im, b.im)}
}

func (a precise) mul(b precise) precise {
	return precise{float().Sub(float().Mul(a.re, b.re), float().Mul(a.im, b.im)), float().Add(float().Mul(a.re, b.im), float().Mul(a.im, b.re))}
}

func (a precise) over(b precise) precise {
	m := float().Add(float().Mul(b.re, b.re), float().Mul(b.im, b.im))
	q := a.mul(precise{b.re, float().Neg(b.im)})
	return precise{q.re.Quo(q.re, m), q.im.Quo(q.im, m)}
}

func (a precise) zero() bool { return a.re.Sign() == 0 && a.im.Sign() == 0 }

func (a precise) complex() complex128 {
	re, _ := a.re.Float64()
	im, _ := a.im.Float64()
	return complex(re, im)
}

// The potentials are those of elimination in 256 bits to 1e-9 of each, picofarads
// beside milliohms and all. Gonum's float64 cannot judge those: it subtracts on its
// diagonal.
func TestPreciseAgrees(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := drawWiring(rt, t)
		s := solve(t, problem(t, w, drawOptions(rt, w)), drawState(rt, w))
		if !s.Status().Figures() {
			return
		}
		branches, volts, known := s.Branches()
		n := len(volts) - known
		rows := make([]map[int]precise, n) // column n is the right side
		add := func(i, j int, y precise) {
			if have, ok := rows[i][j]; ok {
				y = y.add(have)
			}
			rows[i][j] = y
		}
		for i := range rows {
			rows[i] = map[int]precise{}
			if s.FloatingNode(i) {
				rows[i][i] = exactly(1)
			}
		}
		for _, b := range branches {
			for _, end := range []struct {
				a, o int
				emf  complex128
			}{{b.I, b.J, b.EMF}, {b.J, b.I, -b.EMF}} {
				if b.I == b.J || b.Y == 0 || end.a >= n || s.FloatingNode(end.a) {
					continue
				}
				y := exactly(b.Y)
				add(end.a, end.a, y)
				add(end.a, n, y.mul(exactly(end.emf)))
				if end.o >= n {
					add(end.a, n, y.mul(exactly(volts[end.o])))
				} else {
					add(end.a, end.o, exactly(0).sub(y))
				}
			}
		}
		for k := range n {
			for i := k + 1; i < n; i++ {
				below, ok := rows[i][k]
				if !ok || below.zero() {
					continue
				}
				factor := below.over(rows[k][k])
				for j, y := range rows[k] {
					if j > k {
						add(i, j, exactly(0).sub(factor.mul(y)))
					}
				}
			}
		}
		x := make([]precise, n)
		for k := n - 1; k >= 0; k-- {
			sum := exactly(0)
			if c, ok := rows[k][n]; ok {
				sum = c
			}
			for j, y := range rows[k] {
				if j > k && j < n {
					sum = sum.sub(y.mul(x[j]))
				}
			}
			x[k] = sum.over(rows[k][k])
		}
		for i := range n {
			if s.FloatingNode(i) {
				continue
			}
			want := x[i].complex()
			// What is below a picovolt is as good as nothing.
			if d := cmplx.Abs(volts[i] - want); !(d <= 1e-9*cmplx.Abs(want)+1e-12) {
				rt.Fatalf("node %d: %v, in 256 bits %v", i, volts[i], want)
			}
		}
	})
}
