package allstates

import (
	"math/bits"
	"slices"
)

// Outcomes of a load, as bits of a mask: those of switchnet.LoadStatus less one.
const (
	outUnlit = iota
	outLit
	outDim
	outFaulted
	outcomes
)

// target is a load or a net whose outcome a question is about.
type target struct {
	load int32 // -1 for a net
	mask uint8 // outcomes that satisfy, by LoadStatus-1 or ConditionKind-1
	deep bool  // the outcome may depend on other loads
	ends [2]end
}

// end is where an end of a load, or a wanted net, is found in a key: a pin, or if
// it is negative a label that never changes.
type end int32

func fixed(l label) end { return end(-1 - int32(l)) }

func (e end) fixed() bool { return e < 0 }

func (e end) label() label { return label(-1 - int32(e)) }

// pin is a value that a key carries on after the net it belongs to has closed.
type pin struct {
	net  int32 // local net, -1 if the net has no device
	next int32 // next pin of the same net, -1 at the end
	load int32 // which of the other loads it is an end of, or -1
}

// otherLoad is a load that may feed a target through itself.
type otherLoad struct{ ends [2]end }

// query is a question: a conjunction of targets, of positions, and of whether the
// net is shorted. A classifying query has one target and asks for its outcome.
type query struct {
	f        *frame
	targets  []target
	classify bool
	short    int              // +1 wanted, -1 excluded, 0 not asked
	allowed  map[int32][]bool // by device: its positions, if it is claimed to be in some

	rank  []int32 // by device: a given order; nil to search for one
	loose bool    // devices may do more than their kinds say; see Editor

	r     *region
	order []int32
	pins  []pin
	head  []int32 // first pin of a local net; nil if there are no pins
	// others are the loads that a deep target may hang together with.
	others  []otherLoad
	deep    bool
	mono    [8]bool  // labels that are final once they are there
	initial []uint16 // pins of nets without a device, at the start
	never   bool     // a claim that cannot hold in any state
}

// prepare finds the region of the query and an order of its devices, and places
// the pins. Targets whose outcome never changes are judged here.
func (q *query) prepare(w *walker) {
	f := q.f
	if q.short > 0 && !f.shorted && len(f.risky)+len(f.direct) == 0 {
		q.never = true
	}
	if q.never {
		q.r, q.targets = &region{}, nil
		return
	}
	var seeds, extra []int32
	seed := func(x int32) {
		if f.bound[x] == 0 {
			seeds = append(seeds, x)
		}
	}
	var groups map[int32]bool
	for i := range q.targets {
		t := &q.targets[i]
		nets := [2]int32{int32(t.ends[0]), int32(t.ends[0])}
		if t.load >= 0 {
			nets = f.loads[t.load]
		}
		for _, x := range nets {
			seed(x)
			if f.bound[x] != 0 {
				continue
			}
			brought := f.reaches(x)
			if t.load >= 0 && brought.Conflict() || t.load < 0 && isLine(labelOf(brought)) {
				t.deep, q.deep = true, true
				if groups == nil {
					groups = map[int32]bool{}
				}
				groups[f.groupOf(x)] = true
			}
		}
	}
	if q.deep {
		var roots []int32
		for g := range groups {
			roots = append(roots, g)
		}
		slices.Sort(roots)
		for _, g := range roots {
			for _, l := range f.groupLoads(g) {
				seed(f.loads[l][0])
				seed(f.loads[l][1])
			}
		}
	}
	if q.short != 0 {
		for _, x := range f.risky {
			seed(x)
		}
		extra = append(extra, f.direct...)
	}
	held := len(extra)
	for d := range q.allowed {
		extra = append(extra, d)
	}
	slices.Sort(extra[held:])
	q.r = w.explore(f, seeds, extra)
	if q.rank == nil {
		q.order = q.r.arrange()
	} else {
		q.order = identity(len(q.r.devices))
		slices.SortFunc(q.order, func(a, b int32) int { return int(q.rank[q.r.devices[a]] - q.rank[q.r.devices[b]]) })
	}
	q.finality()
	q.place(w, groups)
}

// finality finds the labels that nothing in the region can change any more.
func (q *query) finality() {
	f := q.f
	for l := lineA; l < shorted; l++ {
		q.mono[l] = l != earthed
	}
	for _, x := range q.r.nets {
		r := f.rails[f.piece[x]]
		if bits.OnesCount8(uint8(r)) < 2 {
			continue
		}
		for l := lineA; l <= ground; l++ {
			if r&railsOf(l) != 0 {
				q.mono[l] = false
			}
		}
	}
}

// place gives every target and every load beside it its pins.
func (q *query) place(w *walker, groups map[int32]bool) {
	f := q.f
	var vertex map[int32]uint16 // nets without a device and without rails
	other := int32(-1)
	at := func(x int32, deep bool) end {
		if f.bound[x] != 0 {
			return fixed(labelOf(f.bound[x]))
		}
		l := w.of(x)
		if q.r.degree[l] == 0 {
			if f.base[x] != 0 || !deep {
				return fixed(labelOf(f.base[x]))
			}
			v, ok := vertex[x]
			if !ok {
				if vertex == nil {
					vertex = map[int32]uint16{}
				}
				v = uint16(firstBlock + 8*len(vertex))
				vertex[x] = v
			}
			q.initial = append(q.initial, v)
			q.pins = append(q.pins, pin{-1, -1, other})
			return end(len(q.pins) - 1)
		}
		if q.head == nil {
			q.head = make([]int32, len(q.r.nets))
			for i := range q.head {
				q.head[i] = -1
			}
		}
		q.pins = append(q.pins, pin{l, q.head[l], other})
		q.head[l] = int32(len(q.pins) - 1)
		return end(len(q.pins) - 1)
	}
	open := q.targets[:0]
	for _, t := range q.targets {
		if t.load < 0 {
			t.ends = [2]end{at(int32(t.ends[0]), q.deep)}
		} else {
			e := f.loads[t.load]
			t.ends = [2]end{at(e[0], q.deep), at(e[1], q.deep)}
		}
		if !q.classify && t.ends[0].fixed() && (t.load < 0 || t.ends[1].fixed()) {
			q.never = q.never || t.mask>>q.outcome(&t, t.ends[0].label(), t.ends[1].label())&1 == 0
			continue
		}
		open = append(open, t)
	}
	q.targets = open
	if !q.deep {
		return
	}
	seen := map[[2]int32]bool{}
	for i, e := range f.loads {
		side := e[0]
		if f.bound[side] != 0 {
			side = e[1]
		}
		if f.bound[side] != 0 || !groups[f.groupOf(side)] || e[0] == e[1] || q.aims(int32(i)) {
			continue
		}
		if e[1] < e[0] {
			e[0], e[1] = e[1], e[0]
		}
		if !seen[e] {
			seen[e] = true
			other = int32(len(q.others))
			q.others = append(q.others, otherLoad{[2]end{at(e[0], true), at(e[1], true)}})
		}
	}
}

// aims reports whether a load is a target.
func (q *query) aims(load int32) bool {
	return slices.ContainsFunc(q.targets, func(t target) bool { return t.load == load })
}

// outcome returns the outcome of a target whose ends have final labels and are not
// fed through other loads.
func (q *query) outcome(t *target, a, b label) uint8 {
	if t.load >= 0 {
		switch {
		case a == shorted || b == shorted:
			return outFaulted
		case a == noRail || b == noRail || potential(a) == potential(b):
			return outUnlit
		}
		return outLit
	}
	return conditionOf(a, false)
}
