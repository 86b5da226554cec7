package identify

import (
	"math/bits"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// A neutralWay is what is unusual about the neutrals of a frame: those of some controls
// are kept apart from others of the same feed, or those of two feeds are joined.
type neutralWay struct {
	weight float64
	odds   int
	// Of groups of controls whose neutral is kept apart: from where, and the feed. Two
	// groups that lie side by side are each apart from the other, one from the rest.
	groups [2]uint
	from   int
	feed   int
	// again is where what was kept apart is joined once more; -1 if it is not. Unlawful:
	// the two then share the current.
	again int
	// tied are two feeds whose neutrals are joined in a box; unlawful, if they are two.
	tied   [2]int
	tiedAt int
	joins  []join // once the nodes are there
}

// A join makes two nodes one in some places.
type join struct {
	a, b int // a < b
	at   uint64
}

// metal returns the node with which another one is joined in a place, the first of
// them; or itself.
func (f *frame) metal(n, place int) int {
	for again := true; again; {
		again = false
		for _, j := range f.way.joins {
			if n == j.b && place >= 0 && j.at&placeSet(place) != 0 {
				n, again = j.a, true
			}
		}
	}
	return n
}

// root returns the feed whose neutral a feed has.
func (f *frame) root(feed int) int {
	if feed >= 0 && f.shares[feed] >= 0 {
		return f.shares[feed]
	}
	return feed
}

// shared goes on with a feed that shares the neutral of an earlier one: where that comes
// in, or, in a raceway, with a hot of its own from the panel.
func (g *generator) shared(f *frame, i int, next func(int) error) error {
	at, was, odds := f.feedAt[i], f.weight, f.odds
	defer func() { f.feedAt[i], f.shares[i], f.weight, f.odds = at, -1, was, odds }()
	f.weight, f.odds = was*part(g.pr.Shared), odds+1
	if f.odds > g.odd || f.weight == 0 {
		return nil
	}
	for j := range i {
		if f.feedAt[j] < 0 || f.shares[j] >= 0 || slices.Contains(f.shares[:i], j) || g.feeds[i].panel != g.feeds[j].panel {
			continue
		}
		switch {
		case at < 0 && f.feedAt[j] >= g.leaf(0): // both hots in one cable
			f.feedAt[i] = f.feedAt[j]
		case at >= g.leaf(0):
			if !g.looseAt(f.lay, at) || !g.looseAt(f.lay, f.feedAt[j]) {
				continue
			}
		case at < 0 || at != f.feedAt[j]:
			continue
		}
		f.shares[i] = j
		if err := next(i + 1); err != nil {
			return err
		}
		f.feedAt[i] = at
	}
	return nil
}

// looseAt reports whether what comes from the cable of a feed is loose conductors.
func (g *generator) looseAt(lay *layout, at int) bool {
	for u, p := range lay.far {
		if p == at && !g.units[u].loose {
			return false
		}
	}
	return at >= g.leaf(0)
}

// lines chooses the line of every feed whose line is not stated, from the i-th on: the
// first is on the first line if that says nothing.
func (g *generator) lines(f *frame, i int, next func() error) error {
	if i == len(g.feeds) {
		was := f.weight
		defer func() { f.weight = was }()
		for k, j := range f.shares {
			if j >= 0 && !g.space.lines(&circuit{lineB: f.lineB}, 1<<k|1<<j) {
				f.weight *= part(g.pr.SharedOneLine)
			}
		}
		if f.weight == 0 {
			return nil
		}
		return next()
	}
	one := !slices.ContainsFunc(f.feedAt[:i], func(p int) bool { return p >= 0 })
	for k := range g.feeds {
		one = one && (g.feeds[k].free || f.feedAt[k] < 0)
	}
	if !g.feeds[i].free || f.feedAt[i] < 0 || one {
		return g.lines(f, i+1, next)
	}
	was := f.weight
	defer func() { f.weight = was; f.lineB &^= 1 << i }()
	f.weight = was / 2
	if err := g.lines(f, i+1, next); err != nil {
		return err
	}
	f.lineB |= 1 << i
	return g.lines(f, i+1, next)
}

// neutralWays returns the ways to keep the neutrals of a frame apart and to join them,
// the plain one first.
func (g *generator) neutralWays(f *frame) []neutralWay {
	plain := neutralWay{weight: 1, feed: -1, again: -1, tied: [2]int{-1, -1}}
	out := []neutralWay{plain}
	for r := range g.feeds {
		if f.feedAt[r] >= 0 && f.shares[r] < 0 {
			out = append(out, g.apart(f, plain, r)...)
		}
	}
	if f.odds >= g.odd {
		return out
	}
	for a := range g.feeds {
		for b := a + 1; b < len(g.feeds); b++ {
			if f.feedAt[a] < 0 || f.feedAt[b] < 0 || f.shares[a] >= 0 || f.shares[b] >= 0 {
				continue
			}
			both := g.touched(f, f.trunk(g, a, 0)) & g.touched(f, f.trunk(g, b, 0))
			for p := range g.open {
				if both&placeSet(p) != 0 {
					w := plain
					w.weight, w.odds, w.tied, w.tiedAt = part(g.pr.Tied), 1, [2]int{a, b}, p
					out = append(out, w)
				}
			}
		}
	}
	return out
}

// trunk returns the places that the neutral of a feed has to reach, but for the lights
// of some controls.
func (f *frame) trunk(g *generator, feed int, but uint) uint64 {
	need := placeSet(f.feedAt[feed])
	for k, x := range f.onward {
		if f.root(x) == feed && x >= 0 {
			need |= placeSet(f.lay.onward[k])
		}
	}
	for k := range f.plans {
		p := &f.plans[k]
		if f.root(p.neutral) != feed || p.neutral < 0 || but&(1<<k) != 0 {
			continue
		}
		switch p.scheme {
		case SwitchedNeutral:
			need |= placeSet(p.order[0])
		case HotNeutralThrows:
			need |= placeSet(p.order[0]) | placeSet(p.order[len(p.order)-1])
		default:
			need |= g.lit(k)
		}
	}
	return need
}

// lit returns the places of the lights of a control.
func (g *generator) lit(k int) uint64 {
	set := uint64(0)
	for _, l := range g.control[k].lights {
		set |= placeSet(g.lights[l].place)
	}
	return set
}

// touched returns the places that what reaches some places passes.
func (g *generator) touched(f *frame, need uint64) uint64 {
	runs, ok := f.lay.along(need)
	if !ok {
		return 0
	}
	for rest := runs; rest != 0; rest &= rest - 1 {
		r := f.lay.runs[bits.TrailingZeros64(rest)]
		need |= placeSet(r.a) | placeSet(r.b)
	}
	return need
}

// apart returns the ways to keep the neutral of one control apart from the others of a
// feed, from a box on: where both go the same way from there in some run.
func (g *generator) apart(f *frame, plain neutralWay, feed int) []neutralWay {
	var out []neutralWay
	may := uint(0) // controls whose lights have this neutral straight
	for k := range f.plans {
		p := &f.plans[k]
		if p.neutral >= 0 && f.root(p.neutral) == feed && p.scheme != SwitchedNeutral && p.scheme != HotNeutralThrows {
			may |= 1 << k
		}
	}
	if may == 0 {
		return nil
	}
	for k := range f.plans {
		if may&(1<<k) == 0 {
			continue
		}
		for from := range g.leaf(0) {
			runs, ok := f.lay.along(placeSet(from) | g.lit(k))
			stem, ok2 := f.lay.along(placeSet(from) | placeSet(f.feedAt[feed]))
			if !ok || !ok2 || runs&stem != 0 {
				continue
			}
			beside := uint(0)
			for m := range f.plans {
				if m == k || may&(1<<m) == 0 {
					continue
				}
				if x, ok := f.lay.along(placeSet(from) | g.lit(m)); ok && x&runs != 0 {
					if x&stem != 0 {
						beside = 0
						break
					}
					beside |= 1 << m
				}
			}
			trunk, ok := f.lay.along(f.trunk(g, feed, 1<<k|beside) | placeSet(from))
			along := trunk
			if !ok || (trunk&runs != 0) == (beside != 0) {
				continue // nothing to be apart from, or three side by side
			}
			if beside != 0 {
				need := placeSet(from)
				for m := range f.plans {
					if beside&(1<<m) != 0 {
						need |= g.lit(m)
					}
				}
				along, _ = f.lay.along(need)
				if along&stem != 0 || along&trunk != 0 {
					continue
				}
				if bits.OnesCount(beside) == 1 && beside < 1<<k {
					continue // the same, the other way round
				}
			}
			w := plain
			w.groups, w.from, w.feed = [2]uint{1 << k, beside}, from, feed
			w.weight, w.odds = part(g.pr.Apart), 0
			seen := false
			for rest := runs & along; rest != 0; rest &= rest - 1 {
				r := f.lay.runs[bits.TrailingZeros64(rest)]
				if !r.hidden && (r.a == from || r.b == from) {
					seen = true
					if !g.several(r) {
						w.odds = 1
					}
				}
			}
			if !seen || f.odds+w.odds > g.odd {
				continue
			}
			out = append(out, w)
			if f.odds+w.odds >= g.odd {
				continue
			}
			// Joined once more at the far end of a run that both take.
			far := uint64(0)
			for rest := runs & along; rest != 0; rest &= rest - 1 {
				if r := f.lay.runs[bits.TrailingZeros64(rest)]; !r.hidden {
					far |= placeSet(r.a) | placeSet(r.b)
				}
			}
			for rest := far &^ placeSet(from); rest != 0; rest &= rest - 1 {
				if p := bits.TrailingZeros64(rest); p < g.leaf(0) {
					x := w
					x.weight, x.odds, x.again = w.weight*part(g.pr.Tied), w.odds+1, p
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// several reports whether a run lies in several cables, or in a raceway.
func (g *generator) several(r run) bool {
	for _, e := range r.conds {
		u := &g.units[g.unitOf[e]]
		if u.loose || u.box == g.units[g.unitOf[r.conds[0]]].box && g.unitOf[e] != g.unitOf[r.conds[0]] {
			return true
		}
	}
	return false
}

// branch adds the neutrals that are kept apart, and says what is joined where.
func (g *generator) branch(f *frame) {
	w := &f.way
	w.joins = nil
	if w.tied[0] >= 0 {
		a, b := f.neutral[w.tied[0]], f.neutral[w.tied[1]]
		w.joins = append(w.joins, join{min(a, b), max(a, b), placeSet(w.tiedAt)})
	}
	if w.feed < 0 {
		return
	}
	trunk := f.neutral[w.feed]
	f.nodes[trunk].need |= placeSet(w.from)
	var side []int
	for _, group := range w.groups {
		if group == 0 {
			continue
		}
		need := placeSet(w.from)
		var names []string
		for k := range f.plans {
			if group&(1<<k) != 0 {
				need |= g.lit(k)
				names = append(names, g.control[k].name)
			}
		}
		if w.again >= 0 {
			need |= placeSet(w.again)
		}
		role := f.nodes[trunk].role
		role.For = strings.Join(names, " and ")
		n := len(f.nodes)
		f.nodes = append(f.nodes, node{role: role, kind: otherNode, of: w.feed, need: need, twin: -1})
		w.joins = append(w.joins, join{trunk, n, placeSet(w.from)})
		side = append(side, n)
		for k := range f.plans {
			if group&(1<<k) != 0 {
				f.plans[k].branch = n
			}
		}
	}
	if w.again >= 0 {
		if len(side) == 1 {
			f.nodes[trunk].need |= placeSet(w.again)
			side = []int{trunk, side[0]}
		}
		w.joins = append(w.joins, join{side[0], side[1], placeSet(w.again)})
	}
}

// back returns the node of the neutral of a control's lights.
func (f *frame) back(k int) int {
	if w := &f.way; w.feed >= 0 && (w.groups[0]|w.groups[1])&(1<<k) != 0 {
		return f.plans[k].branch
	}
	return f.neutral[f.plans[k].neutral]
}

// free reports whether the line of a feed is not stated and may be one of several.
func free(lines []switchnet.Rail, supply switchnet.System) bool {
	return len(lines) == 0 && supply.Lines > 1
}
