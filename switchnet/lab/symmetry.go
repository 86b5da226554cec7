package lab

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// maxSymmetric is how many terminals a kind may have for its symmetries to be looked
// for; they are looked for among all orders of the terminals.
const maxSymmetric = 6

// symmetries returns the ways in which the terminals of a kind, its ground left out, can
// be exchanged so that it does the same with its handle perhaps in another position:
// the travelers of a three-way, the pairs of a four-way. Each is a map of every
// terminal; the first leaves all as they are. A kind with something inside has no other.
func symmetries(k switchnet.Kind) []map[string]string {
	var names []string
	for _, t := range k.Terminals {
		if t != "ground" {
			names = append(names, t)
		}
	}
	same := map[string]string{}
	for _, n := range names {
		same[n] = n
	}
	out := []map[string]string{same}
	if len(names) > maxSymmetric || len(k.Internal) > 0 || k.Electronic {
		return out
	}
	want := positionsOf(k, same)
	order := slices.Clone(names)
	permute(order, len(order), func() {
		m := map[string]string{}
		for i, n := range names {
			m[n] = order[i]
		}
		if !slices.Equal(order, names) && slices.Equal(positionsOf(k, m), want) {
			out = append(out, m)
		}
	})
	slices.SortStableFunc(out[1:], func(a, b map[string]string) int {
		for _, n := range names {
			if c := strings.Compare(a[n], b[n]); c != 0 {
				return c
			}
		}
		return 0
	})
	return out
}

// positionsOf returns what the positions of a kind join, terminals renamed, in an order
// that does not depend on that of the positions.
func positionsOf(k switchnet.Kind, rename map[string]string) []string {
	var out []string
	for _, p := range k.Positions {
		var groups []string
		for _, g := range p.Joins {
			var to []string
			for _, t := range g {
				if n, ok := rename[t]; ok {
					t = n
				}
				to = append(to, t)
			}
			slices.Sort(to)
			groups = append(groups, fmt.Sprintf("%q", to))
		}
		slices.Sort(groups)
		out = append(out, strings.Join(groups, ";"))
	}
	slices.Sort(out)
	return out
}

// permute calls with every order of the first n names.
func permute(s []string, n int, do func()) {
	if n <= 1 {
		do()
		return
	}
	for i := range n {
		s[i], s[n-1] = s[n-1], s[i]
		permute(s, n-1, do)
		s[i], s[n-1] = s[n-1], s[i]
	}
}
