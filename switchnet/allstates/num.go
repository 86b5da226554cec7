package allstates

import (
	"math/big"
	"math/bits"
)

// num is a whole number, mantissa times 2^exp. Counts over switches of two
// positions are mostly small multiples of large powers of two, so the mantissa is
// a word as long as it fits and a big.Int, never changed once made, only then.
type num struct {
	word uint64 // odd, or 0
	exp  uint32
	big  *big.Int // the mantissa, if it does not fit word
}

func number(x uint64) num {
	if x == 0 {
		return num{}
	}
	z := bits.TrailingZeros64(x)
	return num{word: x >> z, exp: uint32(z)}
}

func (a num) zero() bool { return a.word == 0 && a.big == nil }

func (a num) mantissa() *big.Int {
	if a.big != nil {
		return a.big
	}
	return new(big.Int).SetUint64(a.word)
}

func (a num) plus(b num) num {
	if a.zero() {
		return b
	}
	if b.zero() {
		return a
	}
	if a.exp < b.exp {
		a, b = b, a
	}
	shift := a.exp - b.exp
	if a.big == nil && b.big == nil && int(shift) < bits.LeadingZeros64(a.word) {
		if sum, carry := bits.Add64(a.word<<shift, b.word, 0); carry == 0 {
			n := number(sum)
			n.exp += b.exp
			return n
		}
	}
	m := new(big.Int).Lsh(a.mantissa(), uint(shift))
	return normal(m.Add(m, b.mantissa()), b.exp)
}

func (a num) times(b num) num {
	if a.zero() || b.zero() {
		return num{}
	}
	if a.big == nil && b.big == nil {
		if hi, lo := bits.Mul64(a.word, b.word); hi == 0 {
			return num{word: lo, exp: a.exp + b.exp}
		}
	}
	return normal(new(big.Int).Mul(a.mantissa(), b.mantissa()), a.exp+b.exp)
}

// normal takes over m.
func normal(m *big.Int, exp uint32) num {
	if m.Sign() == 0 {
		return num{}
	}
	if z := m.TrailingZeroBits(); z > 0 {
		m.Rsh(m, z)
		exp += uint32(z)
	}
	if m.IsUint64() {
		return num{word: m.Uint64(), exp: exp}
	}
	return num{big: m, exp: exp}
}

// minus returns a - b, which must not be negative.
func (a num) minus(b num) num {
	switch {
	case b.zero():
		return a
	case a.big == nil && b.big == nil && a.exp >= b.exp && int(a.exp-b.exp) < bits.LeadingZeros64(a.word):
		n := number(a.word<<(a.exp-b.exp) - b.word)
		if n.word != 0 {
			n.exp += b.exp
		}
		return n
	}
	low := min(a.exp, b.exp)
	m := new(big.Int).Lsh(a.mantissa(), uint(a.exp-low))
	return normal(m.Sub(m, new(big.Int).Lsh(b.mantissa(), uint(b.exp-low))), low)
}

func (a num) value() *big.Int { return new(big.Int).Lsh(a.mantissa(), uint(a.exp)) }
