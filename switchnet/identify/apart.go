package identify

import (
	"math"
	"math/bits"
)

// apart returns the ways to keep neutrals of one feed apart from each other from a box on:
// the neutral of some controls from that of others, or from what else the feed goes on to.
//
// What is kept apart is sorted into groups, and the rest goes with the trunk if that goes
// on beside them. Every two of these take a run from the box together: of others it makes
// no difference whether they are one neutral or two, so that they count as one.
func (g *generator) apart(f *frame, plain neutralWay, feed int) []neutralWay {
	var out []neutralWay
	for from := range g.leaf(0) {
		stem, ok := f.lay.along(placeSet(from) | placeSet(f.feedAt[feed]))
		if !ok {
			continue
		}
		near := uint64(0) // the runs that can be seen to begin there, but for the way to the feed
		for i, r := range f.lay.runs {
			if !r.hidden && (r.a == from || r.b == from) && stem&(1<<i) == 0 {
				near |= 1 << i
			}
		}
		if near == 0 {
			continue
		}
		// The controls whose lights have this neutral straight, and hang on the box.
		runs := make([]uint64, len(f.plans))
		hang := uint(0)
		for k := range f.plans {
			p := &f.plans[k]
			if p.neutral < 0 || f.root(p.neutral) != feed || p.scheme == SwitchedNeutral || p.scheme == HotNeutralThrows {
				continue
			}
			if x, ok := f.lay.along(placeSet(from) | g.lit(k)); ok && x&stem == 0 && x&near != 0 {
				runs[k] = x
				hang |= 1 << k
			}
		}
		trunk, ok := f.lay.along(f.trunk(g, feed, hang) | placeSet(from))
		if !ok {
			continue
		}
		// Those that go with nothing else are of the trunk whatever it does.
		var list []int
		all := uint64(0)
		for k := range f.plans {
			if hang&(1<<k) == 0 {
				continue
			}
			others := trunk
			for m := range f.plans {
				if m != k {
					others |= runs[m]
				}
			}
			if runs[k]&others&near != 0 {
				list = append(list, k)
				all |= runs[k]
			}
		}
		out = append(out, g.groups(f, plain, partings{feed: feed, from: from, near: near, trunk: trunk, beside: trunk&all&near != 0, runs: runs, list: list})...)
	}
	return out
}

// partings is what may be kept apart from a box on.
type partings struct {
	feed, from int
	near       uint64   // the runs that begin there
	trunk      uint64   // those that the neutral takes for all else
	beside     bool     // which some of the controls take too
	runs       []uint64 // those of each control from there
	list       []int    // the controls
}

// groups returns every way to sort the controls of partings into groups, the first of them
// the trunk if that goes beside, with two at least.
func (g *generator) groups(f *frame, plain neutralWay, p partings) []neutralWay {
	var out []neutralWay
	sets, takes := []uint{0}, []uint64{p.trunk} // of the trunk, then of the groups
	var walk func(i int)
	walk = func(i int) {
		if i == len(p.list) {
			out = append(out, g.grouped(f, plain, p, sets, takes)...)
			return
		}
		k := p.list[i]
		for b := range len(sets) + 1 {
			if b == 0 && !p.beside {
				continue
			}
			if b == len(sets) {
				sets, takes = append(sets, 0), append(takes, 0)
			}
			was := takes[b]
			sets[b] |= 1 << k
			takes[b] |= p.runs[k]
			walk(i + 1)
			sets[b] &^= 1 << k
			if takes[b] = was; b > 0 && sets[b] == 0 {
				sets, takes = sets[:b], takes[:b]
			}
		}
	}
	walk(0)
	return out
}

// grouped returns the ways with such groups: as they are, and, of two, joined once more at
// the far end of a run that both take.
func (g *generator) grouped(f *frame, plain neutralWay, p partings, sets []uint, takes []uint64) []neutralWay {
	first := 1
	if p.beside {
		first = 0
	}
	n := len(sets) - first
	if n < 2 {
		return nil
	}
	w := plain
	w.from, w.feed = p.from, p.feed
	w.groups = append(w.groups, sets[1:]...)
	w.weight = math.Pow(part(g.pr.Apart), float64(n-1))
	for a := first; a < len(sets); a++ {
		for b := a + 1; b < len(sets); b++ {
			if takes[a]&takes[b]&p.near == 0 {
				return nil
			}
		}
	}
	for rest := p.near; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros64(rest)
		in := 0
		for _, x := range takes[first:] {
			if x&(1<<i) != 0 {
				in++
			}
		}
		if in > 1 && !g.several(f.lay.runs[i]) {
			w.odds = max(w.odds, in-1)
		}
	}
	if f.odds+w.odds > g.odd {
		return nil
	}
	out := []neutralWay{w}
	if n > 2 || f.odds+w.odds >= g.odd {
		return out
	}
	far := uint64(0)
	for rest := takes[first] & takes[first+1]; rest != 0; rest &= rest - 1 {
		if r := f.lay.runs[bits.TrailingZeros64(rest)]; !r.hidden {
			far |= placeSet(r.a) | placeSet(r.b)
		}
	}
	for rest := far &^ placeSet(p.from); rest != 0; rest &= rest - 1 {
		if at := bits.TrailingZeros64(rest); at < g.leaf(0) {
			x := w
			x.weight, x.odds, x.again = w.weight*part(g.pr.Tied), w.odds+1, at
			out = append(out, x)
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
