package boxfill

import (
	"math/bits"

	"example.com/switchleg/conductor/quantity"
)

// A Weight is a number of allowances, such as 0.25 or 2, in billionths.
type Weight quantity.Ratio

// One is the weight of one allowance.
const One = Weight(quantity.Whole)

// maxWeight bounds the weight of a rule, so that weights can be added up.
const maxWeight = 100 * One

// maxAllowances bounds their sum.
const maxAllowances = 100_000_000 * One

// String returns the weight as a decimal number, exactly.
func (w Weight) String() string { return quantity.Ratio(w).Factor() }

// MarshalText returns the text of String.
func (w Weight) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads a plain decimal number; on an error w is unchanged.
func (w *Weight) UnmarshalText(text []byte) error {
	r, err := quantity.ParseFactor(string(text))
	if err == nil {
		*w = Weight(r)
	}
	return err
}

// of returns w allowances of the given volume, rounded up to the picoliter
// where the product is no whole number of them, and false if it is negative or
// above maxVolume. With the figures of a code the product is always whole.
func (w Weight) of(allowance quantity.Volume) (quantity.Volume, bool) {
	if w < 0 || allowance < 0 {
		return 0, false
	}
	hi, lo := bits.Mul64(uint64(w), uint64(allowance))
	if hi >= uint64(One) {
		return 0, false
	}
	product, rest := bits.Div64(hi, lo, uint64(One))
	if rest > 0 {
		product++
	}
	return quantity.Volume(product), product <= uint64(maxVolume)
}
