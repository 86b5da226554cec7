package conductor

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Exact fractions agree with rationals.
func TestLawFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (*fraction, *big.Rat) {
			f, r := new(fraction), big.NewRat(1, 1)
			for range rapid.IntRange(0, 3).Draw(t, name+" above") {
				n := rapid.Int64Range(0, 1<<62).Draw(t, name)
				f.times(n)
				r.Mul(r, rat(n))
			}
			for range rapid.IntRange(0, 3).Draw(t, name+" below") {
				n := rapid.Int64Range(1, 1<<62).Draw(t, name)
				f.over(n)
				r.Quo(r, rat(n))
			}
			return f, r
		}
		f, x := draw("f")
		g, y := draw("g")
		if got, want := f.cmp(g), x.Cmp(y); got != want {
			t.Fatalf("compares %d, want %d", got, want)
		}
		floor := new(big.Int).Quo(x.Num(), x.Denom())
		if !floor.IsInt64() {
			return
		}
		if got := f.round(down); got != floor.Int64() {
			t.Fatalf("down %d, want %v", got, floor)
		}
		rest := new(big.Rat).Sub(x, new(big.Rat).SetInt(floor))
		ceiling := new(big.Int).Set(floor)
		if rest.Sign() > 0 {
			ceiling.Add(ceiling, big.NewInt(1))
		}
		if got := f.round(up); ceiling.IsInt64() && got != ceiling.Int64() {
			t.Fatalf("up %d, want %v", got, ceiling)
		}
		even := new(big.Int).Set(floor)
		if c := rest.Cmp(big.NewRat(1, 2)); c > 0 || c == 0 && floor.Bit(0) == 1 {
			even.Add(even, big.NewInt(1))
		}
		if got := f.round(nearest); even.IsInt64() && got != even.Int64() {
			t.Fatalf("nearest %d, want %v", got, even)
		}
		if !y.IsInt() || y.Sign() == 0 {
			return
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(0, 1e18).Draw(t, "n")
		r := root(n)
		if r*r < n || r > 0 && (r-1)*(r-1) >= n {
			t.Fatalf("root(%d) = %d", n, r)
		}
	})
	if got := new(fraction).times(4).times(1 << 62).times(0).round(down); got != 0 {
		t.Errorf("nothing of a huge number rounds to %d", got)
	}
	huge := new(fraction)
	for range wide {
		huge.times(1 << 62)
	}
	if got := huge.round(down); got != 1<<63-1 {
		t.Errorf("a huge fraction rounds to %d", got)
	}
}
