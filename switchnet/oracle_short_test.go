package switchnet_test

import (
	"slices"

	"example.com/switchleg/switchnet"
)

// meeting is where two rails meet: joined for good, by one device, or on a piece
// of metal that no rail holds.
type meeting struct {
	rails [2]switchnet.Rail
	// steps are those that a witness may take.
	may func(way) bool
}

// meetings returns the places where two rails meet, each once for each pair, in
// promised order.
func (o *oracle) meetings(wanted func(a, b switchnet.Rail) bool) (all []meeting) {
	pairs := func(yes func(a, b switchnet.Rail) bool, may func(way) bool) {
		for a := range switchnet.Rails() {
			for b := range switchnet.Rails() {
				if a < b && o.sys.Has(a) && o.sys.Has(b) && wanted(a, b) && yes(a, b) {
					all = append(all, meeting{[2]switchnet.Rail{a, b}, may})
				}
			}
		}
	}
	forGood := func(a, b switchnet.Rail) bool { return o.held(o.rail[a]).Has(b) }
	done := set{} // terminals of metal looked at
	for t := range o.net.Terminals() {
		if done[t] {
			continue
		}
		metal := o.piece(t)
		for u := range metal {
			done[u] = true
		}
		pairs(func(a, b switchnet.Rail) bool { return metal[o.rail[a]] && metal[o.rail[b]] },
			func(w way) bool { return fixed(w.Kind) })
	}
	for d := range o.net.Devices() {
		var joins [][2]set // pairs of metal held by rails that the device joins
		for _, name := range d.Kind.Terminals {
			for _, w := range o.steps[d.Terminal(name)] {
				if w.Kind != switchnet.ByContact || w.part.place != d.Place || w.part.name != d.Name {
					continue
				}
				x, y := o.piece(w.From), o.piece(w.To)
				if o.held(w.From).Empty() || o.held(w.To).Empty() || x[w.To] {
					continue
				}
				if first(o, y).Compare(first(o, x)) < 0 {
					x, y = y, x
				}
				joins = append(joins, [2]set{x, y})
			}
		}
		slices.SortFunc(joins, func(p, q [2]set) int {
			if c := first(o, p[0]).Compare(first(o, q[0])); c != 0 {
				return c
			}
			return first(o, p[1]).Compare(first(o, q[1]))
		})
		for i, p := range joins {
			if i > 0 && first(o, p[0]) == first(o, joins[i-1][0]) && first(o, p[1]) == first(o, joins[i-1][1]) {
				continue
			}
			pairs(func(a, b switchnet.Rail) bool {
				return p[0][o.rail[a]] && p[1][o.rail[b]] || p[1][o.rail[a]] && p[0][o.rail[b]]
			}, func(w way) bool {
				return fixed(w.Kind) || w.part.place == d.Place && w.part.name == d.Name && w.Kind == switchnet.ByContact &&
					!o.held(w.From).Empty() && !o.held(w.To).Empty()
			})
		}
	}
	clear(done)
	for t := range o.net.Terminals() {
		if done[t] || !o.held(t).Empty() {
			continue
		}
		metal, rails := o.piece(t), o.rails(t)
		for u := range metal {
			done[u] = true
		}
		pairs(func(a, b switchnet.Rail) bool { return rails.Has(a) && rails.Has(b) && !forGood(a, b) },
			func(w way) bool {
				return fixed(w.Kind) || w.Kind == switchnet.ByContact && (metal[w.From] || metal[w.To])
			})
	}
	return all
}

// first returns the first terminal of metal in name order.
func first(o *oracle, metal set) switchnet.Terminal {
	for t := range o.net.Terminals() {
		if metal[t] {
			return t
		}
	}
	return switchnet.Terminal{}
}

// witness returns the first of the shortest paths between two rails by the steps
// a meeting admits, in order of choices; nil if there are too many to list. It
// leaves the metal of its first rail once and meets no metal of a third.
func (o *oracle) witness(m meeting) []way {
	own, other := o.piece(o.rail[m.rails[0]]), o.piece(o.rail[m.rails[1]])
	var best []way
	var path []way
	seen := set{}
	var walk func(at switchnet.Terminal)
	walk = func(at switchnet.Terminal) {
		if o.left--; o.left <= 0 || best != nil && len(path) >= len(best) {
			return
		}
		if at == o.rail[m.rails[1]] {
			best = slices.Clone(path)
			return
		}
		seen[at] = true
		for _, w := range o.steps[at] {
			leaves := own[at] || o.held(at).Empty()
			enters := other[w.To] || o.held(w.To).Empty()
			if seen[w.To] || w.Kind == switchnet.ByLoad || !m.may(w) || !fixed(w.Kind) && !(leaves && enters) {
				continue
			}
			path = append(path, w)
			walk(w.To)
			path = path[:len(path)-1]
		}
		delete(seen, at)
	}
	walk(o.rail[m.rails[0]])
	if o.left <= 0 {
		return nil
	}
	return best
}
