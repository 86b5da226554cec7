package quantity

import (
	"math/bits"
	"strconv"
	"strings"
)

// inexactPlaces is how many decimals In prints when the decimal does not end.
const inexactPlaces = 3

// maxPlaces caps Format: more decimals than any unit can make exact.
const maxPlaces = 15

// format renders v in the unit of the given size, rounded half to even to at
// most places decimals (no trailing zeros).
func (d *dimension) format(v, size int64, places int) string {
	u := d.unitOf(size)
	number, _ := decimal(v, u, min(max(places, 0), maxPlaces))
	return number + " " + u.spell[0]
}

// in renders v exactly in the unit of the given size if the decimal ends, and
// otherwise rounded to inexactPlaces.
func (d *dimension) in(v, size int64) string {
	u := d.unitOf(size)
	number, exact := decimal(v, u, maxPlaces)
	if !exact {
		number, _ = decimal(v, u, inexactPlaces)
	}
	return number + " " + u.spell[0]
}

// shortest renders v exactly in the unit that takes the fewest characters, leaving
// out the quiet ones; of equals the one first in the table, and zero in the first
// unit. Every dimension has a unit that is not quiet in which every value is an
// ending decimal, so an exact text exists.
func (d *dimension) shortest(v int64) string {
	if v == 0 {
		return d.in(0, d.units[0].size)
	}
	best := ""
	for i := range d.units {
		u := &d.units[i]
		if u.quiet {
			continue
		}
		number, exact := decimal(v, u, maxPlaces)
		if text := number + " " + u.spell[0]; exact && (best == "" || len(text) < len(best)) {
			best = text
		}
	}
	return best
}

// decimal renders (v - u.zero) / u.size rounded half to even to at most places
// decimals, and reports whether that is exact.
func decimal(v int64, u *unit, places int) (number string, exact bool) {
	negative, magnitude := difference(v, u.zero)
	size := uint64(u.size)
	whole, rest := magnitude/size, magnitude%size
	if rest == 0 {
		number = strconv.FormatUint(whole, 10)
		if negative {
			number = "-" + number // whole is not zero then
		}
		return number, true
	}
	scale := uint64(1)
	for range places {
		scale *= 10
	}
	hi, lo := bits.Mul64(rest, scale)
	digits, remainder := bits.Div64(hi, lo, size) // hi < size because rest < size and scale < 2^64
	exact = remainder == 0
	switch half := size - remainder; {
	case remainder > half, remainder == half && digits%2 == 1, remainder == half && places == 0 && whole%2 == 1:
		digits++
	}
	if digits == scale {
		whole, digits = whole+1, 0
	}
	var b strings.Builder
	if negative && (whole != 0 || digits != 0) {
		b.WriteByte('-')
	}
	b.WriteString(strconv.FormatUint(whole, 10))
	if digits != 0 {
		fraction := strconv.FormatUint(digits, 10)
		b.WriteByte('.')
		b.WriteString(strings.Repeat("0", places-len(fraction)))
		b.WriteString(strings.TrimRight(fraction, "0"))
	}
	return b.String(), exact
}

// difference returns the sign and magnitude of a - b.
func difference(a, b int64) (negative bool, magnitude uint64) {
	if a < b {
		return true, uint64(b) - uint64(a)
	}
	return false, uint64(a) - uint64(b)
}
