package trace

import (
	"context"
	"math/bits"
	"slices"
)

// coverTries is how many choices the search for the smallest cover may try.
const coverTries = 50_000

// rowSet is a set of rows.
type rowSet []uint64

func (s rowSet) has(r int) bool { return s[r/64]>>(r%64)&1 == 1 }
func (s rowSet) add(r int)      { s[r/64] |= 1 << (r % 64) }

func (s rowSet) empty() bool { return !slices.ContainsFunc(s, func(w uint64) bool { return w != 0 }) }

// and returns how many rows two sets have in common.
func (s rowSet) and(t rowSet) (n int) {
	for i, w := range s {
		n += bits.OnesCount64(w & t[i])
	}
	return n
}

// within reports whether what counts of a set is in another.
func (s rowSet) within(t, counts rowSet) bool {
	for i, w := range s {
		if w&counts[i]&^t[i] != 0 {
			return false
		}
	}
	return true
}

func (s rowSet) without(t rowSet) rowSet {
	out := slices.Clone(s)
	for i := range out {
		out[i] &^= t[i]
	}
	return out
}

// cover chooses columns that between them have every row that any has, and reports
// whether there are no fewer such. First what must be and what need not be is struck out
// until nothing changes: a column whose rows another has too, a row that is in every
// column that another row is in, and the only column that has a row is chosen. What is
// left is tried out, the row with the fewest columns first. Of columns that do as well it
// is the first.
func cover(ctx context.Context, columns []column, rows int) (chosen []int, fewest bool, err error) {
	words := (rows + 63) / 64
	left := make(rowSet, words)
	var has []rowSet // of the columns that may be chosen
	var name []int   // their numbers
	seen := map[string]bool{}
	for i, x := range columns {
		s := make(rowSet, words)
		var key []byte
		for _, r := range x.rows {
			s.add(r)
			left.add(r)
		}
		for _, w := range s {
			for b := 0; b < 64; b += 8 {
				key = append(key, byte(w>>b))
			}
		}
		if !seen[string(key)] {
			seen[string(key)] = true
			has, name = append(has, s), append(name, i)
		}
	}
	drop := func(i int) {
		has, name = slices.Delete(has, i, i+1), slices.Delete(name, i, i+1)
	}
	for changed := true; changed; {
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		changed = false
		for i := len(has) - 1; i >= 0; i-- {
			for k := range has {
				// Of two that are the same the first stays.
				if i != k && has[i].within(has[k], left) && (k < i || !has[k].within(has[i], left)) {
					drop(i)
					changed = true
					break
				}
			}
		}
		in := make([]rowSet, rows) // columns by row
		for r := range in {
			in[r] = make(rowSet, (len(has)+63)/64)
			for i, s := range has {
				if s.has(r) {
					in[r].add(i)
				}
			}
		}
		for r := range rows {
			for q := range rows {
				if r != q && left.has(r) && left.has(q) && in[q].within(in[r], in[q]) {
					left[r/64] &^= 1 << (r % 64) // whatever covers q covers r
					changed = true
				}
			}
		}
		for r := range rows {
			if !left.has(r) {
				continue
			}
			only, n := -1, 0
			for i, s := range has {
				if s.has(r) {
					only, n = i, n+1
				}
			}
			if n == 1 {
				chosen = append(chosen, name[only])
				left = left.without(has[only])
				drop(only)
				changed = true
			}
		}
	}
	if left.empty() {
		return chosen, true, nil
	}
	rest, fewest := tryCovers(ctx, has, left)
	for _, i := range rest {
		chosen = append(chosen, name[i])
	}
	return chosen, fewest, ctx.Err()
}

// tryCovers returns the smallest choice of columns for what is left, as far as it may try.
func tryCovers(ctx context.Context, has []rowSet, left rowSet) (best []int, fewest bool) {
	// The greedy choice is the bound to begin with.
	for rest := left; !rest.empty(); {
		at, most := -1, 0
		for i, s := range has {
			if n := s.and(rest); n > most {
				at, most = i, n
			}
		}
		best = append(best, at)
		rest = rest.without(has[at])
	}
	tries := 0
	var try func(left rowSet, sofar []int)
	try = func(left rowSet, sofar []int) {
		tries++
		if tries > coverTries || ctx.Err() != nil {
			return
		}
		if left.empty() {
			best = slices.Clone(sofar)
			return
		}
		most := 0
		for _, s := range has {
			most = max(most, s.and(left))
		}
		if len(sofar)+(left.and(left)+most-1)/most >= len(best) {
			return
		}
		row, few := -1, 0
		for r := range 64 * len(left) {
			if !left.has(r) {
				continue
			}
			n := 0
			for _, s := range has {
				if s.has(r) {
					n++
				}
			}
			if row < 0 || n < few {
				row, few = r, n
			}
		}
		for i, s := range has {
			if s.has(row) {
				try(left.without(s), append(sofar, i))
			}
		}
	}
	try(left, nil)
	return best, tries <= coverTries
}
