package main

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
)

// short writes a count so that it can be read: a power of two as such if it is
// large, any other large number to five digits.
func short(n *big.Int) string {
	switch bits := n.BitLen(); {
	case bits <= 50:
		return grouped(n.Int64())
	case n.TrailingZeroBits() == uint(bits-1):
		return "2^" + strconv.Itoa(bits-1)
	}
	digits := n.String()
	exponent := len(digits) - 1
	return fmt.Sprintf("about %s.%s x 10^%d", digits[:1], digits[1:5], exponent)
}

// grouped writes a number with commas.
func grouped(n int64) string {
	s := strconv.FormatInt(n, 10)
	var b strings.Builder
	for i, c := range s {
		if i > 0 && (len(s)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(c)
	}
	return b.String()
}
