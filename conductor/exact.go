package conductor

import (
	"math"
	"math/bits"
)

// words of a wide product: 384 bits, enough for six 64-bit factors.
const wide = 6

// fraction is a product of at most six whole numbers over a product of at most
// six, kept factored so that nothing is rounded before the end. Sizing needs
// nothing but positive products and comparisons of them.
type fraction struct {
	above, below [wide]uint64
	na, nb       int
}

// times puts n among f's upper factors and returns f. A negative n counts as
// zero.
func (f *fraction) times(n int64) *fraction {
	f.above[f.na] = uint64(max(n, 0))
	f.na++
	return f
}

// over puts n, which must be above zero, among f's lower factors and returns f.
func (f *fraction) over(n int64) *fraction {
	f.below[f.nb] = uint64(n)
	f.nb++
	return f
}

func (f *fraction) tops() []uint64    { return f.above[:f.na] }
func (f *fraction) bottoms() []uint64 { return f.below[:f.nb] }

// cmp compares f with g.
func (f *fraction) cmp(g *fraction) int {
	var left, right natural
	left.set(f.tops(), g.bottoms())
	right.set(g.tops(), f.bottoms())
	for i := max(left.n, right.n) - 1; i >= 0; i-- {
		switch {
		case left.word[i] < right.word[i]:
			return -1
		case left.word[i] > right.word[i]:
			return 1
		}
	}
	return 0
}

// rounding is what becomes of the remainder of a division.
type rounding uint8

const (
	down rounding = iota
	up
	nearest // half to even
)

// round returns f as a whole number, at most the largest int64.
func (f *fraction) round(r rounding) int64 {
	var n natural
	n.set(f.tops(), nil)
	if r == nearest {
		n.multiply(2) // the last bit of the quotient then says which half
	}
	inexact := false
	for _, d := range f.bottoms() {
		if n.divide(d) != 0 {
			inexact = true
		}
	}
	if n.n > 1 {
		return math.MaxInt64
	}
	q := n.word[0]
	switch {
	case r == up && inexact:
		q++
	case r == nearest:
		half := q & 1
		q >>= 1
		if half == 1 && (inexact || q&1 == 1) {
			q++
		}
	}
	return int64(min(q, math.MaxInt64))
}

// natural is a whole number of up to 384 bits, its low word first; words from n
// on are zero. That holds any product that occurs here; a larger one saturates
// rather than wraps.
type natural struct {
	word [wide]uint64
	n    int // words in use, at least 1 once set
}

// set makes n the product of all factors.
func (n *natural) set(a, b []uint64) {
	n.word[0], n.n = 1, 1
	for _, x := range a {
		n.multiply(x)
	}
	for _, x := range b {
		n.multiply(x)
	}
}

func (n *natural) multiply(x uint64) {
	if x == 0 {
		*n = natural{n: 1} // whatever it was, and no word too many
		return
	}
	carry := uint64(0)
	for i := range n.n {
		hi, lo := bits.Mul64(n.word[i], x)
		var c uint64
		n.word[i], c = bits.Add64(lo, carry, 0)
		carry = hi + c
	}
	switch {
	case carry == 0:
	case n.n < wide:
		n.word[n.n] = carry
		n.n++
	default:
		for i := range n.word {
			n.word[i] = math.MaxUint64
		}
	}
}

// divide divides n by d and returns the remainder.
func (n *natural) divide(d uint64) uint64 {
	remainder := uint64(0)
	for i := n.n - 1; i >= 0; i-- {
		n.word[i], remainder = bits.Div64(remainder, n.word[i], d)
	}
	for n.n > 1 && n.word[n.n-1] == 0 {
		n.n--
	}
	return remainder
}

// root returns the least whole number whose square is at least n.
func root(n int64) int64 {
	if n <= 0 {
		return 0
	}
	r := int64(math.Sqrt(float64(n)))
	for r > 0 && (r-1)*(r-1) >= n {
		r--
	}
	for r*r < n {
		r++
	}
	return r
}

// dividedBy divides f by g and returns f. The two must have no more than six factors on
// either side together.
func (f *fraction) dividedBy(g *fraction) *fraction {
	for _, n := range g.bottoms() {
		f.above[f.na] = n
		f.na++
	}
	for _, n := range g.tops() {
		f.below[f.nb] = n
		f.nb++
	}
	return f
}
