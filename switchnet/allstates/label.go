package allstates

import "example.com/switchleg/internal/dense"

// A label is what a block of joined nets is known to be joined to. Rails of
// different potential together are one label, since nothing can part them again.
type label = uint16

const (
	noRail label = iota
	lineA
	lineB
	lineC
	neutral
	ground
	earthed // neutral and ground
	shorted
)

// labelOf returns the label of a set of rails.
func labelOf(r dense.Rails) label {
	switch {
	case r == 0:
		return noRail
	case r.Conflict():
		return shorted
	case r == dense.LineA:
		return lineA
	case r == dense.LineB:
		return lineB
	case r == dense.LineC:
		return lineC
	case r == dense.Neutral:
		return neutral
	case r == dense.Ground:
		return ground
	}
	return earthed
}

// railsOf is the inverse of labelOf; of a short it returns every rail.
func railsOf(l label) dense.Rails {
	const all = dense.LineA | dense.LineB | dense.LineC | dense.Neutral | dense.Ground
	return [...]dense.Rails{0, dense.LineA, dense.LineB, dense.LineC, dense.Neutral, dense.Ground, dense.Neutral | dense.Ground, all}[l]
}

// join returns the label of two blocks made one.
func join(a, b label) label {
	switch {
	case a == b || b == noRail:
		return a
	case a == noRail:
		return b
	case a == shorted || b == shorted || a < neutral || b < neutral:
		return shorted
	}
	return earthed
}

// potential returns a number that is equal for labels of one potential.
func potential(l label) label {
	if l >= neutral && l <= earthed {
		return neutral
	}
	return l
}

// isLine reports whether a line is on the block.
func isLine(l label) bool { return l >= lineA && l <= lineC || l == shorted }

// The value of a slot in a key: a final label below 8, then settled, then
// firstBlock + 8*block + label for a block that may still change.
const (
	settled    = 8
	firstBlock = 16
)
