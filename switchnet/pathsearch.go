package switchnet

import (
	"container/heap"
	"slices"
)

// vertex is a terminal, before (0) or after (1) the path has gone through the
// wanted load.
type vertex struct {
	term int32
	used int32
}

// partial is a path under way: a run of steps that continues another partial.
type partial struct {
	up    int32 // the partial it continues, -1 at the start
	order int32 // rank among the continuations of up
	depth int32
	run   []edge
	at    vertex
	steps int32 // so far
	bound int32 // steps so far and the fewest still to come
	done  bool
}

// pathSearch looks for simple paths from one line through one load.
type pathSearch struct {
	v      *View
	from   Rail
	load   int32
	series bool
	left   [2][]int32 // fewest steps to a goal, by used; -1 if none leads there
	parts  []partial
	heap   []int32
	epoch  int32
	// What the partial being extended has met, if it holds the epoch:
	terms   []int32 // terminals
	splices []int32 // splices
	groups  []int32 // groups of joined contacts, by device start and block
	pieces  []int32 // in series, pieces of metal left through a load, by root
}

func newPathSearch(v *View, from Rail, load int32, series bool) *pathSearch {
	n := v.net
	s := &pathSearch{v: v, from: from, load: load, series: series,
		terms: make([]int32, len(n.terms)), splices: make([]int32, len(n.splices)),
		groups: make([]int32, len(n.deviceTerms)), pieces: make([]int32, len(v.parent))}
	s.distances()
	return s
}

// The heap of partials, for container/heap.

func (s *pathSearch) Len() int      { return len(s.heap) }
func (s *pathSearch) Swap(i, j int) { s.heap[i], s.heap[j] = s.heap[j], s.heap[i] }
func (s *pathSearch) Push(x any)    { s.heap = append(s.heap, x.(int32)) }
func (s *pathSearch) Pop() any {
	x := s.heap[len(s.heap)-1]
	s.heap = s.heap[:len(s.heap)-1]
	return x
}

// Less orders partials by bound, then by their place in the tree of choices, so
// that what comes out first among equals does not depend on the heap.
func (s *pathSearch) Less(i, j int) bool {
	a, b := s.heap[i], s.heap[j]
	p := s.parts
	if p[a].bound != p[b].bound {
		return p[a].bound < p[b].bound
	}
	for p[a].depth > p[b].depth {
		a = p[a].up
	}
	for p[b].depth > p[a].depth {
		b = p[b].up
	}
	for p[a].up != p[b].up {
		a, b = p[a].up, p[b].up
	}
	return p[a].order < p[b].order
}

// goal reports whether a path from the line may end on the terminal: the terminal
// of a rail that comes later and has another potential.
func (s *pathSearch) goal(t int32) bool {
	for r := s.from + 1; r <= Ground; r++ {
		if s.v.net.railTerm[r] == t && s.v.net.source.System.Between(s.from, r) > 0 {
			return true
		}
	}
	return false
}

// allowed reports whether a path may take a step, whatever it has met so far.
// Inside a net of fixed conductors it may always. By contacts and loads it may
// leave the net of its own rail and cross nets without rails, and it ends in the
// first net of another rail. In series it leaves metal on its own line only at the
// start, and ends with the first metal on another.
func (s *pathSearch) allowed(e edge) bool {
	n := s.v.net
	switch e.kind {
	case ByConductor, BySplice:
		return true
	case ByLoad:
		if e.index != s.load && !s.series {
			return false
		}
		if s.series {
			x, y := s.v.find(n.termNet[e.from]), s.v.find(n.termNet[e.to])
			near, far, own := s.v.label[x], s.v.label[y], s.from.bit()
			if x == y || near != 0 && near != own || far == own || near.Conflict() || far.Conflict() {
				return false
			}
		}
	}
	from, to := n.termNet[e.from], n.termNet[e.to]
	own := n.termNet[n.railTerm[s.from]]
	return (from == own || n.graph.NetRails[from] == 0) && to != own
}

// distances fills s.left by walking backward from the goals, breadth first.
func (s *pathSearch) distances() {
	n := s.v.net
	for used := range s.left {
		s.left[used] = make([]int32, len(n.terms))
		for i := range s.left[used] {
			s.left[used][i] = -1
		}
	}
	spliceSeen := [2][]bool{make([]bool, len(n.splices)), make([]bool, len(n.splices))}
	var queue []vertex
	for r := s.from + 1; r <= Ground; r++ {
		if t := n.railTerm[r]; t >= 0 && s.goal(t) {
			s.left[1][t] = 0
			queue = append(queue, vertex{t, 1})
		}
	}
	for len(queue) > 0 {
		x := queue[0]
		queue = queue[1:]
		d := s.left[x.used][x.term] + 1
		for e := range s.v.edgesFrom(x.term) {
			if e.kind == BySplice {
				if spliceSeen[x.used][e.index] && s.left[x.used][e.to] >= 0 {
					continue
				}
				spliceSeen[x.used][e.index] = true
			}
			back := edge{e.kind, e.index, e.to, e.from}
			if !s.allowed(back) {
				continue
			}
			y := vertex{e.to, x.used}
			if e.kind == ByLoad && e.index == s.load {
				if x.used == 0 {
					continue
				}
				y.used = 0
			}
			if s.left[y.used][y.term] < 0 {
				s.left[y.used][y.term] = d
				queue = append(queue, y)
			}
		}
	}
}

func (s *pathSearch) run(most, work int) Paths {
	var out Paths
	start := s.v.net.railTerm[s.from]
	if s.left[0][start] < 0 {
		return out
	}
	s.parts = append(s.parts, partial{up: -1, at: vertex{start, 0}, bound: s.left[0][start]})
	s.heap = append(s.heap, 0)
	for len(s.heap) > 0 {
		if len(out.List) == most || work <= 0 {
			out.Truncated = true
			break
		}
		top := heap.Pop(s).(int32)
		if s.parts[top].done {
			out.List = append(out.List, s.path(top))
			continue
		}
		work -= s.extend(top)
	}
	return out
}

// extend takes a partial as far as there is one way to go and its bound holds, and
// puts what follows back on the heap. It returns the work done.
func (s *pathSearch) extend(top int32) int {
	s.epoch++
	work := 0
	for p := top; p >= 0; p = s.parts[p].up {
		for _, e := range s.parts[p].run {
			s.meet(e)
			work++
		}
	}
	part := s.parts[top]
	part.run = slices.Clone(part.run)
	var ways []edge
	for {
		if part.at.used == 1 && s.goal(part.at.term) {
			part.done = true
			s.parts[top] = part
			heap.Push(s, top)
			return work
		}
		ways = ways[:0]
		for e := range s.v.edgesFrom(part.at.term) {
			work++
			if s.met(e) || !s.allowed(e) {
				continue
			}
			if y, ok := s.next(part.at, e); ok && s.left[y.used][y.term] >= 0 {
				ways = append(ways, e)
			}
		}
		if len(ways) != 1 {
			break
		}
		s.meet(ways[0])
		part.at, _ = s.next(part.at, ways[0])
		part.run = append(part.run, ways[0])
		part.steps++
		if b := part.steps + s.left[part.at.used][part.at.term]; b > part.bound {
			part.bound = b
			s.parts[top] = part
			heap.Push(s, top)
			return work
		}
	}
	s.parts[top] = part
	for i, e := range ways {
		at, _ := s.next(part.at, e)
		s.parts = append(s.parts, partial{
			up: top, order: int32(i), depth: part.depth + 1, run: []edge{e}, at: at,
			steps: part.steps + 1, bound: max(part.bound, part.steps+1+s.left[at.used][at.term]),
		})
		heap.Push(s, int32(len(s.parts)-1))
	}
	return work
}

// meet notes what a step of the partial being extended goes through and leaves.
func (s *pathSearch) meet(e edge) {
	s.terms[e.from] = s.epoch
	switch e.kind {
	case BySplice:
		s.splices[e.index] = s.epoch
	case ByContact:
		s.groups[s.group(e)] = s.epoch
	case ByLoad:
		s.pieces[s.v.find(s.v.net.termNet[e.from])] = s.epoch
	}
}

// met reports whether a step would lead to a terminal, through a splice or a group
// of contacts, or in series into a piece of metal, that the partial has met.
func (s *pathSearch) met(e edge) bool {
	if s.terms[e.to] == s.epoch {
		return true
	}
	switch e.kind {
	case BySplice:
		return s.splices[e.index] == s.epoch
	case ByContact:
		return s.groups[s.group(e)] == s.epoch
	case ByLoad:
		return s.pieces[s.v.find(s.v.net.termNet[e.to])] == s.epoch
	}
	return false
}

// group numbers the group of joined contacts that a step goes through.
func (s *pathSearch) group(e edge) int32 {
	n := s.v.net
	start := n.deviceStart[e.index]
	for i, t := range n.deviceTerms[start:n.deviceStart[e.index+1]] {
		if t == e.from {
			return start + int32(n.graph.Kinds[n.deviceKind[e.index]].Blocks[s.v.pos[e.index]][i])
		}
	}
	return start
}

// next returns where a step leads, or false if it would go through the wanted
// load twice.
func (s *pathSearch) next(at vertex, e edge) (vertex, bool) {
	y := vertex{e.to, at.used}
	if e.kind == ByLoad && e.index == s.load {
		if at.used == 1 {
			return y, false
		}
		y.used = 1
	}
	return y, true
}

func (s *pathSearch) path(p int32) Path {
	runs := [][]edge{}
	for ; p >= 0; p = s.parts[p].up {
		runs = append(runs, s.parts[p].run)
	}
	var out Path
	for _, run := range slices.Backward(runs) {
		for _, e := range run {
			out.Steps = append(out.Steps, s.v.net.step(e))
		}
	}
	return out
}
