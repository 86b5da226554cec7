package identify

import (
	"math/bits"
	"slices"
)

// powers reports whether a constant hot of a feed and a neutral of that same feed are in
// an open box, and lie in the same cables all the way from where the feed comes in, so
// that what is taken from one and given back to the other leaves no cable with a net
// current (NEC 300.3(B)). A neutral that is kept apart does not go with a hot in another
// cable; one that is joined again, or with that of another feed, gives back a part by
// another way. Of loose conductors of different sets that go the same way it is not sure
// that they lie in one raceway. What is in cables between closed boxes nobody has seen;
// each run of them counts as one cable.
func (c *Case) powers(h *possibility, feed, box int) Surety {
	f, w := h.frame, &h.frame.way
	if f.feedAt[feed] < 0 {
		return Never
	}
	root := f.root(feed)
	if slices.Contains(w.tied, root) {
		return Never
	}
	down, ok := f.lay.along(placeSet(f.feedAt[feed]) | placeSet(box))
	back, ok2 := f.lay.along(placeSet(f.feedAt[root]) | placeSet(box))
	if !ok || !ok2 {
		return Never
	}
	hot, trunk := f.hot[feed], f.neutral[root]
	best := Never
	if !(w.feed == root && w.again >= 0 && f.loops(back)) {
		best = c.goes(h, hot, trunk, down, back)
	}
	if w.feed != root || w.again >= 0 {
		return best
	}
	// From the box to where it leaves the trunk the neutral may be one that is kept apart.
	beyond, ok := f.lay.along(placeSet(w.from) | placeSet(box))
	if !ok || beyond&back != beyond {
		return best // the box is not beyond where the neutrals part
	}
	for _, j := range w.joins {
		if j.a == trunk {
			best = min(best, max(c.goes(h, hot, j.b, down&beyond, beyond), c.goes(h, hot, trunk, down&^beyond, back&^beyond)))
		}
	}
	return best
}

// loops reports whether some of the runs lie between the two places where neutrals that
// are kept apart are joined.
func (f *frame) loops(runs uint64) bool {
	loop, ok := f.lay.along(placeSet(f.way.from) | placeSet(f.way.again))
	return !ok || loop&runs != 0
}

// goes reports whether a hot takes some runs and a neutral some others, in the same cable
// where they are the same runs, and else each in loose conductors from the panel.
func (c *Case) goes(h *possibility, hot, neutral int, down, back uint64) Surety {
	f := h.frame
	if f.nodes[hot].runs&down != down || f.nodes[neutral].runs&back != back {
		return Never
	}
	is := Surely
	for rest := down & back; rest != 0; rest &= rest - 1 {
		if r := f.lay.runs[bits.TrailingZeros64(rest)]; !r.hidden {
			is = max(is, c.sp.beside(c.sp.endIn(h, r, hot), c.sp.endIn(h, r, neutral), h))
		}
	}
	// Two cables of feeds that share a neutral.
	a, b := down&^back, back&^down
	if a == 0 && b == 0 {
		return is
	}
	if bits.OnesCount64(a) != 1 || bits.OnesCount64(b) != 1 {
		return Never
	}
	r, x := f.lay.runs[bits.TrailingZeros64(a)], f.lay.runs[bits.TrailingZeros64(b)]
	if r.hidden || x.hidden {
		return Never
	}
	return max(is, c.sp.beside(c.sp.endIn(h, r, hot), c.sp.endIn(h, x, neutral), h))
}

// beside reports whether two conductors lie in one cable or raceway.
func (sp *space) beside(a, b int, h *possibility) Surety {
	u, v := sp.unitOf[a], sp.unitOf[b]
	set := func(a int) [2]string {
		names := [2]string{sp.units[sp.unitOf[a]].cable}
		if m := h.frame.lay.mate[a]; m >= 0 {
			names[1] = sp.units[sp.unitOf[m]].cable
		}
		return names
	}
	switch {
	case u == v:
		return Surely
	case !sp.units[u].loose || !sp.units[v].loose:
		return Never
	case set(a) == set(b):
		return Surely
	}
	return Possibly
}

// endIn returns the first end of the conductor in which a node takes a run that is not
// hidden.
func (sp *space) endIn(h *possibility, r run, node int) int {
	return r.conds[slices.IndexFunc(r.conds, func(e int) bool { return int(h.node[e]) == node })]
}
