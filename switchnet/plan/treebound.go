package plan

import (
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// floor returns a bound below every plan on the tree. On each run the hot and the
// neutral are there at least if some shape of every kind needs them, and a cable of
// n conductors costs at least n times what the cheapest conductor of any cable
// does. So each group can be given the shape that is best for it alone, at that
// price, and none can do better together.
func (s *searcher) floor(all [][]shape) score {
	var sum rules.Amount
	t := s.l.t
	per := make([]rules.Amount, t.size())
	for v := 1; v < t.size(); v++ {
		if r := &s.runs[t.run[v]]; !r.Existing {
			c, _ := s.store.least.For(r.Length)
			per[v] = max(0, c-1) // For rounds up
		}
	}
	for v := int32(1); int(v) < t.size(); v++ {
		neutral := false
		for g := range all {
			n := s.l.below[g][v]
			neutral = neutral || n.lights > 0 || n.keep > 0
		}
		hot, spares := false, 0
		for k := range s.l.needs {
			w := s.l.want(len(s.l.groups)+k, v, nil)
			hot, neutral, spares = hot || w.hot, neutral || w.neutral, spares+w.spare
		}
		used := spares
		if hot {
			used++
		}
		if neutral {
			used++
		}
		if used > 0 {
			used++ // the grounding conductor
		}
		sum += per[v] * rules.Amount(used)
	}
	for g := range all {
		tabs := map[intent.Scheme]table{}
		for _, scheme := range schemesOf(all[g]) {
			tab := make(table, t.size())
			for v := int32(1); int(v) < t.size(); v++ {
				for k := range 4 {
					w := s.l.groupWant(g, v, scheme, k == onlyA || k == both, k == onlyB || k == both)
					tab[v][k].cost = per[v] * rules.Amount(w.lines)
				}
			}
			tabs[scheme] = tab
		}
		values := s.ends(g, all[g], tabs)
		sum += slices.MinFunc(values, score.compare).cost
	}
	return score{s.lacking(all), sum}
}

// lacking returns for how many conductors there is no room in any plan on the tree:
// on each run at least for as many as there is none for some client alone, shaped
// whichever way is best for it there.
func (s *searcher) lacking(all [][]shape) int {
	sum := 0
	for v := int32(1); int(v) < s.l.t.size(); v++ {
		most := 0
		alone := func(w want) int {
			if w.none() {
				return 0
			}
			one := s.shared.together(1)
			return s.store.price(s.runs, s.l.t.run[v], loads(nil, []want{w}, one, one)[0]).score.lack
		}
		for g := range all {
			least := 1 << 30
			for _, sh := range schemesOf(all[g]) {
				for k := range 4 {
					least = min(least, alone(s.l.groupWant(g, v, sh, k == onlyA || k == both, k == onlyB || k == both)))
				}
			}
			most = max(most, least)
		}
		for k := range s.l.needs {
			most = max(most, alone(s.l.want(len(s.l.groups)+k, v, nil)))
		}
		sum += most
	}
	return sum
}

// schemesOf returns the schemes of shapes, each once.
func schemesOf(shapes []shape) []intent.Scheme {
	var out []intent.Scheme
	for _, sh := range shapes {
		if !slices.Contains(out, sh.scheme) {
			out = append(out, sh.scheme)
		}
	}
	return out
}
