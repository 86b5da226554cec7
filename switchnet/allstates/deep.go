package allstates

import (
	"cmp"
	"slices"
)

// deep deals with blocks that hold no rail and hang together through loads. A
// target load is dim if a simple path between rails of different potential runs
// through it, and a target net may be live through loads. For that the key keeps
// the ends of the loads around, as far as they can still be of use.
type deep struct {
	// layout is another number whenever a column comes or goes, so that plans
	// made for one layout are not used for another.
	layout int
	column []int32 // pin of each column
	active []int32 // other loads with an end that has appeared and may matter
	degree map[uint16]int

	movable []int32
	edges   [][2]uint16
}

func (dp *deep) reset() {
	dp.layout, dp.column, dp.active = 0, dp.column[:0], dp.active[:0]
}

// reveal takes note of a pin that has got its column.
func (dp *deep) reveal(s *sweep, p int32) {
	dp.layout++
	dp.column = append(dp.column, p)
	if l := s.q.pins[p].load; l >= 0 {
		if i, there := slices.BinarySearch(dp.active, l); !there {
			dp.active = slices.Insert(dp.active, i, l)
		}
	}
}

// narrow takes the columns that are settled in every key of s.next out of the
// keys.
func (dp *deep) narrow(s *sweep) {
	out := make([]bool, s.pinned)
	left := s.pinned
	for c := range out {
		out[c] = true
	}
	slots := -1
	for _, k := range s.next {
		if k < sinks {
			continue
		}
		key := s.keys.at(int32(k))
		slots = len(key) - s.pinned
		for c, v := range key[slots:] {
			if v != settled {
				out[c] = false
			}
		}
	}
	for _, o := range out {
		if o {
			left--
		}
	}
	if slots < 0 || left == s.pinned {
		return
	}
	for i, k := range s.next {
		if k < sinks {
			continue
		}
		v := append(s.vals[:0], s.keys.at(int32(k))...)
		kept := v[:slots]
		for c, x := range v[slots:] {
			if !out[c] {
				kept = append(kept, x)
			}
		}
		s.vals = v
		id, _ := s.keys.intern(kept)
		s.next[i] = uint32(id)
	}
	pins := dp.column[:0]
	for c, p := range dp.column {
		if out[c] {
			s.columns[p] = gone
		} else {
			s.columns[p] = int32(len(pins))
			pins = append(pins, p)
		}
	}
	dp.column, s.pinned = pins, left
	dp.layout++
	dp.active = slices.DeleteFunc(dp.active, func(l int32) bool {
		return !slices.ContainsFunc(s.q.others[l].ends[:], func(e end) bool { return !e.fixed() && s.columns[e] != gone })
	})
}

// reduce drops from the pins every other load that can no longer lie on a path
// that matters, and makes one of two in series or in parallel.
func (dp *deep) reduce(s *sweep, pins []uint16) {
	q := s.q
	nets := false
	for i := range q.targets {
		nets = nets || q.targets[i].load < 0
	}
	drop := func(l *otherLoad) (dropped bool) {
		for _, e := range l.ends {
			if e.fixed() {
				continue
			}
			if c := s.columns[e]; c >= 0 && pins[c] != settled {
				pins[c] = settled
				dropped = true
			}
		}
		return dropped
	}
	if dp.degree == nil {
		dp.degree = map[uint16]int{}
	}
	for changed := true; changed; {
		changed = false
		clear(dp.degree)
		for i := range q.targets {
			for _, e := range q.targets[i].ends {
				if v, ok := s.value(e, pins); ok && v >= firstBlock {
					dp.degree[v] += 3 // never in the way of a target
				}
			}
		}
		for _, i := range dp.active {
			for _, e := range q.others[i].ends {
				if v, ok := s.value(e, pins); ok && v >= firstBlock {
					dp.degree[v]++
				}
			}
		}
		closed := func(v uint16) bool { return v >= firstBlock && !s.marked(v>>3) }
		s.work += len(dp.active)
		for n, i := range dp.active {
			l := &q.others[i]
			a, okA := s.value(l.ends[0], pins)
			b, okB := s.value(l.ends[1], pins)
			gone := okA && a == settled || okB && b == settled
			if gone {
				changed = drop(l) || changed
				continue
			}
			useless := okA && closed(a) && dp.degree[a] == 1 || okB && closed(b) && dp.degree[b] == 1 ||
				okA && okB && (a == b || a < settled && b < settled) ||
				!nets && (okA && a == shorted || okB && b == shorted)
			if useless || okA && okB && dp.parallel(s, pins, n, a, b) {
				if drop(l) {
					changed = true
					break
				}
				continue
			}
			if okA && okB && (closed(a) && dp.degree[a] == 2 && dp.series(s, pins, i, 0, a) ||
				closed(b) && dp.degree[b] == 2 && dp.series(s, pins, i, 1, b)) {
				changed = true
				break
			}
		}
	}
	dp.settle(s, pins)
}

// settle gives the loads of which both ends have appeared the first of their
// columns, in order of what they end on: which load it is does not matter any more.
func (dp *deep) settle(s *sweep, pins []uint16) {
	rank := func(v uint16) uint16 {
		switch {
		case v < firstBlock:
			return v
		case s.marked(v >> 3):
			return firstBlock + s.number[v>>3]
		}
		return 0xffff
	}
	dp.edges = dp.edges[:0]
	dp.movable = dp.movable[:0]
	for _, i := range dp.active {
		e := &s.q.others[i].ends
		if e[0].fixed() || e[1].fixed() || s.columns[e[0]] < 0 || s.columns[e[1]] < 0 {
			continue
		}
		dp.movable = append(dp.movable, i)
		a, b := pins[s.columns[e[0]]], pins[s.columns[e[1]]]
		if a == settled {
			continue
		}
		if rank(b) < rank(a) {
			a, b = b, a
		}
		dp.edges = append(dp.edges, [2]uint16{a, b})
	}
	slices.SortStableFunc(dp.edges, func(x, y [2]uint16) int {
		return cmp.Or(cmp.Compare(rank(x[0]), rank(y[0])), cmp.Compare(rank(x[1]), rank(y[1])))
	})
	for n, i := range dp.movable {
		edge := [2]uint16{settled, settled}
		if n < len(dp.edges) {
			edge = dp.edges[n]
		}
		for k, e := range s.q.others[i].ends {
			pins[s.columns[e]] = edge[k]
		}
	}
}

// parallel reports whether an earlier active load than the nth has the same ends.
func (dp *deep) parallel(s *sweep, pins []uint16, n int, a, b uint16) bool {
	return slices.ContainsFunc(dp.active[:n], func(i int32) bool {
		l := &s.q.others[i]
		c, ok := s.value(l.ends[0], pins)
		d, ok2 := s.value(l.ends[1], pins)
		return ok && ok2 && (a == c && b == d || a == d && b == c)
	})
}

// series makes one load of load i and the only other load on block v, at which
// both end.
func (dp *deep) series(s *sweep, pins []uint16, i int32, side int, v uint16) bool {
	mine := s.q.others[i].ends[side]
	for _, j := range dp.active {
		if j == i {
			continue
		}
		l := &s.q.others[j]
		for k, e := range l.ends {
			if w, ok := s.value(e, pins); !ok || w != v {
				continue
			}
			far, ok := s.value(l.ends[1-k], pins)
			if !ok || far == settled {
				return false
			}
			for _, x := range l.ends {
				if !x.fixed() {
					pins[s.columns[x]] = settled
				}
			}
			pins[s.columns[mine]] = far
			return true
		}
	}
	return false
}

// outcome returns the outcome of target i after the last device.
func (dp *deep) outcome(s *sweep, i int, a, b uint16, pins []uint16) uint8 {
	q := s.q
	t := &q.targets[i]
	type edge struct{ a, b uint16 }
	var edges []edge
	add := func(ends [2]end) {
		x, _ := s.value(ends[0], pins)
		y, _ := s.value(ends[1], pins)
		if x != settled && y != settled && x != y {
			edges = append(edges, edge{x, y})
		}
	}
	for j := range q.others {
		add(q.others[j].ends)
	}
	for j := range q.targets {
		if q.targets[j].load >= 0 && j != i {
			add(q.targets[j].ends)
		}
	}
	if t.load < 0 {
		if a < firstBlock {
			return conditionOf(a, false)
		}
		reached := []uint16{a}
		for n := 0; n < len(reached); n++ {
			for _, e := range edges {
				for _, far := range [2][2]uint16{{e.a, e.b}, {e.b, e.a}} {
					if far[0] != reached[n] {
						continue
					}
					if isLine(far[1]) && far[1] < settled {
						return conditionOf(noRail, true)
					}
					if far[1] >= firstBlock && !slices.Contains(reached, far[1]) {
						reached = append(reached, far[1])
					}
				}
			}
		}
		return conditionOf(noRail, false)
	}
	if a < firstBlock && b < firstBlock {
		return q.outcome(t, a, b)
	}
	if a == shorted || b == shorted {
		return outFaulted
	}
	if a == b {
		return outUnlit
	}
	var between [][2]uint16
	for _, e := range edges {
		if e.a != shorted && e.b != shorted {
			between = append(between, [2]uint16{e.a, e.b})
		}
	}
	if dim(a, b, between) {
		return outDim
	}
	return outUnlit
}

// dim reports whether two paths without a common vertex lead from a and b along
// the edges to two rails of different potential, entering no rail on the way. It
// looks for two units of flow (Menger, 1927): the first path, then one that may
// take back steps of the first.
func dim(a, b uint16, edges [][2]uint16) bool {
	// Vertices: blocks, and one for each potential.
	var names []uint16
	vertex := func(v uint16) int {
		if v < settled {
			v = potential(v)
		}
		i := slices.Index(names, v)
		if i < 0 {
			i = len(names)
			names = append(names, v)
		}
		return i
	}
	from := [2]int{vertex(a), vertex(b)}
	if from[0] == from[1] {
		return false
	}
	type arc struct{ to, back, room int }
	var arcs []arc
	var out [][]int
	node := func(n int) {
		for len(out) <= n {
			out = append(out, nil)
		}
	}
	link := func(x, y, room int) {
		node(max(x, y))
		out[x] = append(out[x], len(arcs))
		arcs = append(arcs, arc{y, len(arcs) + 1, room})
		out[y] = append(out[y], len(arcs))
		arcs = append(arcs, arc{x, len(arcs) - 1, 0})
	}
	// Vertex i is entered at 2i+2 and left at 2i+3; the source is 0, the sink 1.
	for _, v := range from {
		link(0, 2*v+2, 1)
	}
	for _, e := range edges {
		x, y := vertex(e[0]), vertex(e[1])
		if e[0] >= firstBlock {
			link(2*x+3, 2*y+2, 1)
		}
		if e[1] >= firstBlock {
			link(2*y+3, 2*x+2, 1)
		}
	}
	for i, v := range names {
		link(2*i+2, 2*i+3, 1)
		if v < settled {
			link(2*i+3, 1, 1)
		}
	}
	for range 2 {
		via := make([]int, len(out))
		for i := range via {
			via[i] = -1
		}
		queue := []int{0}
		for len(queue) > 0 && via[1] < 0 {
			x := queue[0]
			queue = queue[1:]
			for _, e := range out[x] {
				if y := arcs[e].to; arcs[e].room > 0 && via[y] < 0 && y != 0 {
					via[y] = e
					queue = append(queue, y)
				}
			}
		}
		if via[1] < 0 {
			return false
		}
		for x := 1; x != 0; x = arcs[arcs[via[x]].back].to {
			arcs[via[x]].room--
			arcs[arcs[via[x]].back].room++
		}
	}
	return true
}
