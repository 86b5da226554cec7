package quantity

import (
	"fmt"
	"math"
	"math/bits"
	"strings"
)

// A ParseError says why a text is no quantity of the wanted kind.
type ParseError struct {
	Quantity string   // kind wanted: "length", "volume"
	Text     string   // what was given, shortened when very long
	Problem  string   // what is wrong with it
	Accepted []string // units accepted, as they are printed; none for a bare factor
	Example  string   // a text that would be accepted
}

func (e *ParseError) Error() string {
	if len(e.Accepted) == 0 {
		return fmt.Sprintf("%s %q: %s; write a number without a unit, such as %q",
			e.Quantity, e.Text, e.Problem, e.Example)
	}
	return fmt.Sprintf("%s %q: %s; write a number and a unit (%s), such as %q",
		e.Quantity, e.Text, e.Problem, strings.Join(e.Accepted, ", "), e.Example)
}

func (d *dimension) fail(text, format string, args ...any) error {
	if len(text) > maxText {
		text = strings.ToValidUTF8(text[:maxText], "") + "..."
	}
	return &ParseError{
		Quantity: d.noun, Text: text, Problem: fmt.Sprintf(format, args...),
		Accepted: d.printed(), Example: d.example,
	}
}

// parse reads "number unit" as an exact count of base units.
func (d *dimension) parse(text string) (int64, error) {
	if len(text) > maxText {
		return 0, d.fail(text, "longer than %d characters", maxText)
	}
	number, name := splitNumber(strings.Trim(text, " \t"))
	if number == "" {
		return 0, d.fail(text, "does not start with a number")
	}
	if name == "" {
		return 0, d.fail(text, "has no unit")
	}
	u, hint := d.find(name)
	if u == nil {
		if hint != "" {
			return 0, d.fail(text, "%q is not a unit of %s, did you mean %q", name, d.noun, hint)
		}
		return 0, d.fail(text, "%q is not a unit of %s", name, d.noun)
	}
	v, problem := scaleDecimal(number, u.size, u.zero)
	if problem != "" {
		return 0, d.fail(text, "%s", problem)
	}
	return v, nil
}

// splitNumber cuts text after its leading decimal number. The number is empty
// when there is none; it may still be malformed, which scaleDecimal reports.
func splitNumber(text string) (number, rest string) {
	i := 0
	if i < len(text) && text[i] == '-' {
		i++
	}
	start := i
	for i < len(text) && (text[i] == '.' || text[i] >= '0' && text[i] <= '9') {
		i++
	}
	if i == start {
		return "", text
	}
	return text[:i], strings.TrimLeft(text[i:], " \t")
}

// find returns the unit spelled name, or a spelling that differs from name in
// case only.
func (d *dimension) find(name string) (u *unit, hint string) {
	for i := range d.units {
		for _, s := range d.units[i].spell {
			if s == name {
				return &d.units[i], ""
			}
			if hint == "" && strings.EqualFold(s, name) {
				hint = s
			}
		}
	}
	return nil, hint
}

// scaleDecimal returns number*size + zero when that is a whole number that an
// int64 holds, and otherwise what is wrong. size is positive, zero is not.
func scaleDecimal(number string, size, zero int64) (v int64, problem string) {
	const (
		tooLarge = "is larger than can be held"
		tooFine  = "has more decimal places than can be held exactly"
	)
	digits, negative := strings.CutPrefix(number, "-")
	whole, fraction, point := strings.Cut(digits, ".")
	if whole == "" || point && fraction == "" || strings.Contains(fraction, ".") {
		return 0, "is not a plain decimal number"
	}
	fraction = strings.TrimRight(fraction, "0")
	whole = strings.TrimLeft(whole, "0")
	if len(whole) > 19 {
		return 0, tooLarge
	}
	// What is left of the fraction does not end in 0, so the unit's size must
	// supply a factor 2 or 5 per place: no unit has more than 19 of either.
	if len(fraction) > 19 {
		return 0, tooFine
	}
	scale := uint64(1)
	for range len(fraction) {
		scale *= 10 // at most 10^19, which a uint64 holds
	}
	over, units := bits.Mul64(natural(whole), uint64(size))
	hi, lo := bits.Mul64(natural(fraction), uint64(size))
	parts, remainder := bits.Div64(hi, lo, scale) // hi < scale: the fraction is below scale, size below 2^63
	quotient, carry := bits.Add64(units, parts, 0)
	if remainder != 0 {
		return 0, tooFine
	}
	if over != 0 || carry != 0 {
		return 0, tooLarge
	}
	// Add zero, which is negative or nil, to the signed quotient.
	below := uint64(-zero)
	switch {
	case !negative && quotient >= below:
		negative, quotient = false, quotient-below
	case !negative:
		negative, quotient = true, below-quotient
	default:
		sum, carry := bits.Add64(quotient, below, 0)
		if carry != 0 {
			return 0, tooLarge
		}
		quotient = sum
	}
	switch {
	case negative && quotient <= 1<<63:
		return -int64(quotient), "" // the least int64 negates to itself
	case !negative && quotient <= math.MaxInt64:
		return int64(quotient), ""
	}
	return 0, tooLarge
}

// natural returns the value of at most 19 digits; of none, 0.
func natural(digits string) uint64 {
	var n uint64
	for i := range len(digits) {
		n = 10*n + uint64(digits[i]-'0')
	}
	return n
}
