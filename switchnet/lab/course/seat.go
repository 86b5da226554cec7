package course

import (
	"bytes"
	"fmt"
)

// seats returns the variant, from 0, of each of n students, who sit in rows of the given
// length; 0 means one row. Each gets, of the variants that no neighbour before them has
// (left, in front, and across), one of those given out least, the secret deciding
// between them. Where there are not enough, those across may share first, then those in
// front; with two or more no one shares with the left. In one row the variants
// are given out equally often but for one.
func seats(secret Secret, file string, n, row, variants int) []int {
	if row == 0 {
		row = max(n, 1)
	}
	given := make([]int, variants)
	out := make([]int, n)
	for i := range out {
		left, front, across := -1, -1, [2]int{-1, -1}
		if i%row > 0 {
			left = out[i-1]
		}
		if i >= row {
			front = out[i-row]
			if i%row > 0 {
				across[0] = out[i-row-1]
			}
			if i%row < row-1 {
				across[1] = out[i-row+1]
			}
		}
		// cost puts sharing with the left above all, then front, then across, then
		// how often the variant was given.
		cost := func(v int) [4]int {
			c := [4]int{3: given[v]}
			if v == left {
				c[0]++
			}
			if v == front {
				c[1]++
			}
			for _, a := range across {
				if v == a {
					c[2]++
				}
			}
			return c
		}
		best, bestKey := -1, []byte(nil)
		for v := range variants {
			key := secret.mac("seat", file, fmt.Sprint(i), fmt.Sprint(v))
			if best >= 0 {
				switch a, b := cost(v), cost(best); {
				case less(b, a), a == b && bytes.Compare(key, bestKey) > 0:
					continue
				}
			}
			best, bestKey = v, key
		}
		out[i] = best
		given[best]++
	}
	return out
}

func less(a, b [4]int) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}
