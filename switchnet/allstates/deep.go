package allstates

import "slices"

// deep deals with blocks that hold no rail and hang together through loads. A
// target load is dim if a simple path between rails of different potential runs
// through it, and a target net may be live through loads. For that the key keeps
// the ends of the loads around, as far as they can still be of use.
type deep struct {
	degree map[uint16]int
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
			if c := s.columns[e]; c >= 0 && int(c) < len(pins) && pins[c] != settled {
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
		for i := range q.others {
			for _, e := range q.others[i].ends {
				if v, ok := s.value(e, pins); ok && v >= firstBlock {
					dp.degree[v]++
				}
			}
		}
		closed := func(v uint16) bool { return v >= firstBlock && !s.marked(v>>3) }
		for i := range q.others {
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
			if useless || okA && okB && dp.parallel(s, pins, i, a, b) {
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
}

// parallel reports whether an earlier load has the same ends.
func (dp *deep) parallel(s *sweep, pins []uint16, i int, a, b uint16) bool {
	return slices.ContainsFunc(s.q.others[:i], func(l otherLoad) bool {
		c, ok := s.value(l.ends[0], pins)
		d, ok2 := s.value(l.ends[1], pins)
		return ok && ok2 && (a == c && b == d || a == d && b == c)
	})
}

// series makes one load of load i and the only other load on block v, at which
// both end.
func (dp *deep) series(s *sweep, pins []uint16, i, side int, v uint16) bool {
	mine := s.q.others[i].ends[side]
	for j := range s.q.others {
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
