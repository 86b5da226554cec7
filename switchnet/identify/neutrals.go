package identify

import (
	"math"
	"math/bits"
	"slices"
	"strings"
)

// A neutralWay is what is unusual about the neutrals of a frame: those of some controls
// are kept apart from others of the same feed, or those of two feeds are joined.
type neutralWay struct {
	weight float64
	odds   int
	// Groups of controls each of which has a neutral of its own that is kept apart from
	// those of the others, and from the rest of the feed where that goes on beside them; from
	// where, and the feed, -1 if none is.
	groups []uint
	from   int
	feed   int
	// again is where two that were kept apart are joined once more; -1 if they are not.
	// Unlawful: they then share the current.
	again int
	// tied are feeds whose neutrals are joined in a box; unlawful, if they are several.
	tied   []int
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

// apart returns the controls whose neutral is kept apart.
func (w *neutralWay) apart() uint {
	all := uint(0)
	for _, x := range w.groups {
		all |= x
	}
	return all
}

// root returns the feed whose neutral a feed has.
func (f *frame) root(feed int) int {
	if feed >= 0 && f.shares[feed] >= 0 {
		return f.shares[feed]
	}
	return feed
}

// neutralWays returns the ways to keep the neutrals of a frame apart and to join them,
// the plain one first.
func (g *generator) neutralWays(f *frame) []neutralWay {
	plain := neutralWay{weight: 1, feed: -1, again: -1}
	out := []neutralWay{plain}
	for r := range g.feeds {
		if f.feedAt[r] >= 0 && f.shares[r] < 0 {
			out = append(out, g.apart(f, plain, r)...)
		}
	}
	if f.odds >= g.odd {
		return out
	}
	// tie takes feeds from the i-th on beside some that pass the same places.
	var tie func(i int, both uint64, feeds []int)
	tie = func(i int, both uint64, feeds []int) {
		if n := len(feeds); n > 1 {
			for p := range g.leaf(0) {
				if both&placeSet(p) != 0 {
					w := plain
					w.weight, w.odds, w.tied, w.tiedAt = math.Pow(part(g.pr.Tied), float64(n-1)), n-1, slices.Clone(feeds), p
					out = append(out, w)
				}
			}
			if f.odds+n > g.odd {
				return
			}
		}
		for ; i < len(g.feeds); i++ {
			if f.feedAt[i] < 0 || f.shares[i] >= 0 {
				continue
			}
			if x := both & g.touched(f, f.trunk(g, i, 0)); x != 0 {
				tie(i+1, x, append(feeds, i))
			}
		}
	}
	tie(0, ^uint64(0), nil)
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
		need |= f.touches(g, k)
	}
	return need
}

// touches returns the places at which a control uses its neutral.
func (f *frame) touches(g *generator, k int) uint64 {
	switch p := &f.plans[k]; p.scheme {
	case SwitchedNeutral:
		return placeSet(p.order[0])
	case HotNeutralThrows:
		return placeSet(p.order[0]) | placeSet(p.order[len(p.order)-1])
	}
	return g.lit(k)
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

// branch adds the neutrals that are kept apart, and says what is joined where.
func (g *generator) branch(f *frame) {
	w := &f.way
	w.joins = nil
	if len(w.tied) > 0 {
		var nodes []int
		for _, x := range w.tied {
			nodes = append(nodes, f.neutral[x])
		}
		slices.Sort(nodes)
		for _, n := range nodes[1:] {
			w.joins = append(w.joins, join{nodes[0], n, placeSet(w.tiedAt)})
		}
	}
	if w.feed < 0 {
		return
	}
	trunk := f.neutral[w.feed]
	f.nodes[trunk].need |= placeSet(w.from)
	var side []int
	for _, group := range w.groups {
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
	if w := &f.way; w.apart()&(1<<k) != 0 {
		return f.plans[k].branch
	}
	return f.neutral[f.plans[k].neutral]
}
