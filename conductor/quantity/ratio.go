package quantity

import (
	"math"
	"math/bits"
	"strings"
)

// Ratio is a pure number in billionths: a correction factor, a percentage.
type Ratio int64

// Units of ratio.
const (
	Whole   Ratio = 1_000_000_000 // the factor 1
	Percent       = Whole / 100
)

var ratio = dimension{noun: "ratio", example: "3 %", units: []unit{
	{size: int64(Percent), spell: []string{"%", "percent"}},
}}

var factor = dimension{noun: "factor", example: "0.91", units: []unit{
	{size: int64(Whole), spell: []string{""}},
}}

// ParseRatio returns the ratio written as a number of percent, "3 %" or
// "3 percent". A bare number is refused, because 3 and 3 % are both plausible;
// [ParseFactor] reads bare factors. The error is a *[ParseError].
func ParseRatio(text string) (Ratio, error) {
	r, err := ratio.parse(text)
	return Ratio(r), err
}

// ParseFactor returns the ratio written as a bare decimal number, such as the
// correction factor "0.91". The error is a *[ParseError].
func ParseFactor(text string) (Ratio, error) {
	if len(text) > maxText {
		return 0, factor.fail(text, "longer than %d characters", maxText)
	}
	number, rest := splitNumber(strings.Trim(text, " \t"))
	if number == "" || rest != "" {
		return 0, factor.fail(text, "is not a bare decimal number")
	}
	v, problem := scaleDecimal(number, int64(Whole), 0)
	if problem != "" {
		return 0, factor.fail(text, "%s", problem)
	}
	return Ratio(v), nil
}

// Factor returns r as a bare decimal number, exactly, such as "0.91";
// [ParseFactor] reads it back.
func (r Ratio) Factor() string { return r.FormatFactor(maxPlaces) }

// FormatFactor returns r as a bare decimal number rounded half to even to at
// most places decimals (0 to 15), without trailing zeros.
func (r Ratio) FormatFactor(places int) string {
	number, _ := decimal(int64(r), &factor.units[0], min(max(places, 0), maxPlaces))
	return number
}

// FormatPercent returns r in percent rounded half to even to at most places
// decimals (0 to 15), without trailing zeros, such as "2.25 %".
func (r Ratio) FormatPercent(places int) string {
	return ratio.format(int64(r), int64(Percent), places)
}

// String returns r in percent, exactly, such as "3 %"; ParseRatio reads it back.
func (r Ratio) String() string { return ratio.shortest(int64(r)) }

// MarshalText returns the text of String.
func (r Ratio) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseRatio reads; on an error r is unchanged.
func (r *Ratio) UnmarshalText(text []byte) error {
	parsed, err := ParseRatio(string(text))
	if err == nil {
		*r = parsed
	}
	return err
}

// Float64 returns r as a float64, for numeric code.
func (r Ratio) Float64() float64 { return float64(r) / float64(Whole) }

// Scale returns q times r rounded half to even to the base unit of q, and
// whether that was exact. A product outside the type's range saturates at its
// end and is reported inexact.
func Scale[Q Quantity](q Q, r Ratio) (product Q, exact bool) {
	negative := (q < 0) != (r < 0)
	_, a := difference(int64(q), 0)
	_, b := difference(int64(r), 0)
	hi, lo := bits.Mul64(a, b)
	if hi >= uint64(Whole) {
		return saturated[Q](negative), false
	}
	magnitude, rest := bits.Div64(hi, lo, uint64(Whole))
	if half := uint64(Whole) / 2; rest > half || rest == half && magnitude%2 == 1 {
		magnitude++
	}
	if magnitude > math.MaxInt64 {
		return saturated[Q](negative), false
	}
	product = Q(magnitude)
	if negative {
		product = -product
	}
	return product, rest == 0
}

func saturated[Q Quantity](negative bool) Q {
	if negative {
		return Q(math.MinInt64 + 1)
	}
	return Q(math.MaxInt64)
}

// FromFloat returns count units, rounded to the nearest base unit: the way back
// from numeric code, as in FromFloat(118.3, Volt). It reports false, with a
// zero quantity, for a count that is not a number or out of range.
func FromFloat[Q Quantity](count float64, unit Q) (Q, bool) {
	v := math.RoundToEven(count * float64(unit))
	if !(math.Abs(v) < 1<<63) {
		return 0, false
	}
	return Q(v), true
}
