package plan_test

import (
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// holds reports whether conductors can be given cores, each its own.
func (o *oracle) holds(t *conductor.CableType, kinds []byte, used []bool) bool {
	if len(kinds) == 0 {
		return true
	}
	for i, c := range t.Cores {
		if used[i] || c.Grounding {
			continue
		}
		white := c.Colour.Main == conductor.White // with a stripe it is the second neutral of a cable
		var ok bool
		switch kinds[0] {
		case 'n':
			ok = white
		case 'l':
			ok = !white
		case 's':
			ok = true
		default:
			ok = !white || o.remark
		}
		if ok {
			used[i] = true
			if o.holds(t, kinds[1:], used) {
				return true
			}
			used[i] = false
		}
	}
	return false
}

// whole reports whether all that a run carries is in one cable: the one that is given, or
// what is in a raceway.
func whole(r *intent.Run) bool { return r.Raceway || r.Cable.Name != "" }

// loose is what one loose conductor costs: as much as the cheapest of any cable, rounded
// up.
func (o *oracle) loose() rules.Rate {
	var best rules.Rate
	for i, t := range o.cables {
		n := rules.Amount(len(t.Cores))
		if a := (o.rates[i].Amount + n - 1) / n; best.Amount == 0 || a < best.Amount {
			best = rules.Rate{Amount: a, Per: o.rates[i].Per}
		}
	}
	return best
}

// given is the cost of the cable that a run has, false if it does not hold the conductors:
// nothing if it lies there, what the stock says, or as many loose conductors.
func (o *oracle) given(r *intent.Run, kinds []byte) (rules.Amount, bool) {
	if !o.holds(&r.Cable, kinds, make([]bool, len(r.Cable.Cores))) {
		return 0, false
	}
	if r.Existing {
		return 0, true
	}
	rate := o.loose()
	rate.Amount *= rules.Amount(len(r.Cable.Cores))
	for i := range o.cables {
		if o.cables[i].Name == r.Cable.Name {
			rate = o.rates[i]
		}
	}
	c, _ := rate.For(r.Length)
	return c, true
}

// raceway is the cost of loose conductors and a ground, false if there are more neutrals
// than colours of the neutral.
func (o *oracle) raceway(r *intent.Run, kinds []byte) (rules.Amount, bool) {
	n := 0
	for _, k := range kinds {
		if k == 'n' {
			n++
		}
	}
	each, _ := o.loose().For(r.Length)
	return each * rules.Amount(len(kinds)+1), n <= o.neutrals
}

// cost is the least cost of one cable for conductors on a run, false if none holds
// them.
func (o *oracle) cost(r *intent.Run, kinds []byte) (rules.Amount, bool) {
	switch {
	case r.Raceway:
		return o.raceway(r, kinds)
	case r.Cable.Name != "":
		return o.given(r, kinds)
	}
	var count [4]int
	for _, k := range kinds {
		switch k {
		case 'n':
			count[0]++
		case 'l':
			count[1]++
		case 's':
			count[3]++
		default:
			count[2]++
		}
	}
	able, known := o.fits[count]
	if !known {
		for i := range o.cables {
			if o.holds(&o.cables[i], kinds, make([]bool, len(o.cables[i].Cores))) {
				able = append(able, i)
			}
		}
		o.fits[count] = able
	}
	best, ok := rules.Amount(0), false
	for _, i := range able {
		if c, _ := o.rates[i].For(r.Length); !ok || c < best {
			best, ok = c, true
		}
	}
	return best, ok
}

// permutations of n things.
func permutations(n int) [][]int {
	if n == 0 {
		return [][]int{{}}
	}
	var out [][]int
	for _, p := range permutations(n - 1) {
		for i := 0; i <= len(p); i++ {
			q := slices.Insert(slices.Clone(p), i, n-1)
			out = append(out, q)
		}
	}
	return out
}

// labels returns every way to give n things the labels of cables.
func labels(n int) [][]int {
	if n == 0 {
		return [][]int{{}}
	}
	var out [][]int
	for _, l := range labels(n - 1) {
		most := -1
		for _, x := range l {
			most = max(most, x)
		}
		for x := 0; x <= most+1; x++ {
			out = append(out, append(slices.Clone(l), x))
		}
	}
	return out
}
