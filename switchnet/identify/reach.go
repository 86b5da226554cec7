package identify

import (
	"math/bits"
	"slices"
)

// take takes a conductor of each run of one set that is not in another, and reports
// whether there was one.
func take(spare []int, runs, had uint64) bool {
	ok := true
	for rest := runs &^ had; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros64(rest)
		spare[i]--
		ok = ok && spare[i] >= 0
	}
	return ok
}

// reach lets the i-th node, if it is a hot or a neutral, go as far as runs have spare
// conductors, and then the next.
func (g *generator) reach(f *frame, i int, spare []int, yield func(*frame) error) error {
	if i == len(f.nodes) {
		done := *f
		done.at = make([]uint64, len(f.nodes))
		for k, n := range f.nodes {
			done.at[k] = n.need
			for rest := n.runs; rest != 0; rest &= rest - 1 {
				r := f.lay.runs[bits.TrailingZeros64(rest)]
				done.at[k] |= placeSet(r.a) | placeSet(r.b)
			}
		}
		done.nodes = slices.Clone(f.nodes)
		done.plans = slices.Clone(f.plans)
		done.feedAt = slices.Clone(f.feedAt)
		done.shares = slices.Clone(f.shares)
		done.onward = slices.Clone(f.onward)
		done.joint, done.size = done.vertices(len(g.ends), g.places())
		return yield(&done)
	}
	n := &f.nodes[i]
	if n.kind == otherNode {
		return g.reach(f, i+1, spare, yield)
	}
	on, more := part(g.pr.NeutralOn), 0
	if n.kind == hotNode {
		on, more = part(g.pr.HotOn), 1
	}
	was, weight, odds := n.runs, f.weight, f.odds
	defer func() { n.runs, f.weight, f.odds = was, weight, odds }()
	places := n.need
	for rest := was; rest != 0; rest &= rest - 1 {
		r := f.lay.runs[bits.TrailingZeros64(rest)]
		places |= placeSet(r.a) | placeSet(r.b)
	}
	// Every set of further runs that hang on, once: the first run that hangs on is taken,
	// or barred for what comes after.
	var grow func(runs, places, barred uint64, weight float64) error
	grow = func(runs, places, barred uint64, weight float64) error {
		next := -1
		for k, r := range f.lay.runs {
			a, b := places&placeSet(r.a) != 0, places&placeSet(r.b) != 0
			if far := max(r.a, r.b); a != b && (far < g.leaf(0) || far == g.leaf(n.of)) && barred&(1<<k) == 0 && spare[k] > 0 {
				next = k
				break
			}
		}
		if next < 0 {
			if f.idle(n, runs&^was) {
				return nil
			}
			n.runs, f.weight = runs, weight
			if f.odds = odds + more*bits.OnesCount64(runs&^was&^f.lay.hidden()); f.odds > g.odd {
				return nil
			}
			return g.reach(f, i+1, spare, yield)
		}
		if err := grow(runs, places, barred|1<<next, weight); err != nil {
			return err
		}
		if on == 0 {
			return nil
		}
		r := f.lay.runs[next]
		spare[next]--
		defer func() { spare[next]++ }()
		if r.hidden {
			return grow(runs|1<<next, places|placeSet(r.a)|placeSet(r.b), barred, weight)
		}
		return grow(runs|1<<next, places|placeSet(r.a)|placeSet(r.b), barred, weight*on)
	}
	return grow(was, places, f.blind(n), weight)
}

// blind returns the hidden runs by which a node would reach nothing but hidden ones.
func (f *frame) blind(n *node) uint64 {
	out := uint64(0)
	for i, r := range f.lay.runs {
		if !r.hidden || n.runs&(1<<i) != 0 {
			continue
		}
		side := r.side
		if n.need&side != 0 {
			side = ^side
		}
		shows := false
		for _, x := range f.lay.runs {
			shows = shows || !x.hidden && side&placeSet(x.a) != 0 && side&placeSet(x.b) != 0
		}
		if !shows {
			out |= 1 << i
		}
	}
	return out
}

// idle reports whether a node that goes farther than it needs to ends in hidden cables,
// where nobody would know the difference.
func (f *frame) idle(n *node, beyond uint64) bool {
	for rest := beyond & f.lay.hidden(); rest != 0; rest &= rest - 1 {
		r := f.lay.runs[bits.TrailingZeros64(rest)]
		// The side that is not needed holds a visible run, or it is idle.
		side := r.side
		if n.need&side != 0 {
			side = ^side
		}
		shows := false
		for more := beyond &^ f.lay.hidden(); more != 0; more &= more - 1 {
			x := f.lay.runs[bits.TrailingZeros64(more)]
			shows = shows || side&placeSet(x.a) != 0 && side&placeSet(x.b) != 0
		}
		if !shows {
			return true
		}
	}
	return false
}

// hidden returns the hidden runs.
func (lay *layout) hidden() uint64 {
	set := uint64(0)
	for i, r := range lay.runs {
		if r.hidden {
			set |= 1 << i
		}
	}
	return set
}
