package ldlt

import "slices"

// A Pair is two nodes that some admittance may join. I is less than J.
type Pair struct{ I, J int32 }

// Symbolic is the order of elimination of a network and the fill it makes. It is
// immutable and safe for concurrent use.
type Symbolic struct {
	n       int
	order   []int32 // node eliminated k-th
	place   []int32 // k for each node
	start   []int32 // columns of rows: place k has rows[start[k]:start[k+1]]
	rows    []int32 // places, ascending within a column
	slot    []int32 // index into rows for each pair
	widest  int
	inOrder bool // nodes go in the order of their numbers
}

// Analyze returns the elimination of n nodes joined as the pairs say. Pairs must
// be distinct. The order is that of approximate minimum degree (Amestoy, Davis and
// Duff, "An approximate minimum degree ordering algorithm", 1996) without their
// supervariables: quotient graph, element absorption, approximate external degree.
// Leaves go first and trees get no fill. It depends only on the numbers of the
// nodes and on which pairs there are. Memory is linear in the fill.
func Analyze(n int, pairs []Pair) *Symbolic {
	s := &Symbolic{n: n, place: make([]int32, n), start: make([]int32, 1, n+1)}
	q := newQuotient(n, pairs)
	around := make([][]int32, n) // what each node was joined to when it went
	turn := make([]int32, n)
	for k := range n {
		p := q.next()
		turn[p] = int32(k)
		around[p] = q.eliminate(p)
	}
	s.finish(pairs, around, postorder(around, turn))
	return s
}

// AnalyzeInOrder is Analyze for nodes that are to be eliminated in the order of
// their numbers.
func AnalyzeInOrder(n int, pairs []Pair) *Symbolic {
	s := &Symbolic{n: n, place: make([]int32, n), start: make([]int32, 1, n+1)}
	q := newQuotient(n, pairs)
	around := make([][]int32, n)
	order := make([]int32, n)
	for p := range int32(n) {
		q.pull(p)
		around[p] = q.eliminate(p)
		order[p] = p
	}
	s.finish(pairs, around, order)
	return s
}

// finish lays out the columns and finds the slots.
func (s *Symbolic) finish(pairs []Pair, around [][]int32, order []int32) {
	s.order, s.inOrder = order, slices.IsSorted(order)
	for k, p := range s.order {
		s.place[p] = int32(k)
	}
	for _, p := range s.order {
		from := len(s.rows)
		for _, v := range around[p] {
			s.rows = append(s.rows, s.place[v])
		}
		slices.Sort(s.rows[from:])
		s.start = append(s.start, int32(len(s.rows)))
		s.widest = max(s.widest, len(around[p]))
	}
	s.slot = make([]int32, len(pairs))
	for i, p := range pairs {
		a, b := s.place[p.I], s.place[p.J]
		a, b = min(a, b), max(a, b)
		at, _ := slices.BinarySearch(s.rows[s.start[a]:s.start[a+1]], b)
		s.slot[i] = s.start[a] + int32(at)
	}
}

// postorder returns the nodes in an order that makes the same fill as their turns
// do and keeps what works on the same numbers together in memory: children of the
// elimination tree before their parent, subtree by subtree. The parent of a node is
// the first to go of those around it.
func postorder(around [][]int32, turn []int32) []int32 {
	n := len(turn)
	parent, child, sibling := make([]int32, n), make([]int32, n), make([]int32, n)
	byTurn := make([]int32, n)
	for p, k := range turn {
		byTurn[k] = int32(p)
	}
	for i := range child {
		child[i], sibling[i], parent[i] = -1, -1, -1
	}
	var roots []int32
	// From the last turn to the first, so that each list of children begins
	// with the first to go.
	for k := n - 1; k >= 0; k-- {
		p := byTurn[k]
		for _, v := range around[p] {
			if parent[p] < 0 || turn[v] < turn[parent[p]] {
				parent[p] = v
			}
		}
		if up := parent[p]; up >= 0 {
			sibling[p] = child[up]
			child[up] = p
		} else {
			roots = append(roots, p)
		}
	}
	slices.Reverse(roots)
	out := make([]int32, 0, n)
	for _, root := range roots {
		// Down to the first leaf, then up and across.
		p := root
		for child[p] >= 0 {
			p = child[p]
		}
		for {
			out = append(out, p)
			if p == root {
				break
			}
			if next := sibling[p]; next >= 0 {
				for p = next; child[p] >= 0; {
					p = child[p]
				}
			} else {
				p = parent[p]
			}
		}
	}
	return out
}

// Order returns the nodes in the order of elimination. Who numbers its nodes by it
// gets its arrays read from one end to the other.
func (s *Symbolic) Order() []int32 { return s.order }

// Fill returns the number of entries of the factor below its diagonal.
func (s *Symbolic) Fill() int { return len(s.rows) }

// quotient is the quotient graph of an elimination in progress.
type quotient struct {
	vars  [][]int32 // nodes joined to each node directly
	elems [][]int32 // elements (eliminated nodes) each node belongs to
	inner [][]int32 // nodes of each element
	gone  []bool
	dead  []bool  // element absorbed
	mark  []int32 // stamp for sets of nodes
	stamp int32
	left  []int32 // nodes of an element outside the current one
	seen  []int32 // stamp of left
	degs  []int32
	head  []int32 // first node of each degree, -1
	succ  []int32
	pred  []int32
	least int32
	buf   []int32
}

func newQuotient(n int, pairs []Pair) *quotient {
	q := &quotient{vars: make([][]int32, n), elems: make([][]int32, n), inner: make([][]int32, n), gone: make([]bool, n), dead: make([]bool, n),
		mark: make([]int32, n), left: make([]int32, n), seen: make([]int32, n), degs: make([]int32, n),
		head: make([]int32, n+1), succ: make([]int32, n), pred: make([]int32, n)}
	count := make([]int32, n+1)
	for _, p := range pairs {
		count[p.I]++
		count[p.J]++
	}
	flat := make([]int32, 2*len(pairs))
	at := int32(0)
	for i := range n {
		q.vars[i] = flat[at : at : at+count[i]]
		at += count[i]
	}
	for _, p := range pairs {
		q.vars[p.I] = append(q.vars[p.I], p.J)
		q.vars[p.J] = append(q.vars[p.J], p.I)
	}
	for i := range q.head {
		q.head[i] = -1
	}
	// From the last node to the first, so that of equal degrees the first
	// node comes first.
	for i := n - 1; i >= 0; i-- {
		slices.Sort(q.vars[i])
		q.degs[i] = int32(len(q.vars[i]))
		q.push(int32(i))
	}
	return q
}

func (q *quotient) push(i int32) {
	d := q.degs[i]
	q.succ[i], q.pred[i] = q.head[d], -1
	if q.head[d] >= 0 {
		q.pred[q.head[d]] = i
	}
	q.head[d] = i
	q.least = min(q.least, d)
}

func (q *quotient) pull(i int32) {
	if q.pred[i] >= 0 {
		q.succ[q.pred[i]] = q.succ[i]
	} else {
		q.head[q.degs[i]] = q.succ[i]
	}
	if q.succ[i] >= 0 {
		q.pred[q.succ[i]] = q.pred[i]
	}
}

// next takes out a node of least degree.
func (q *quotient) next() int32 {
	for q.head[q.least] < 0 {
		q.least++
	}
	p := q.head[q.least]
	q.pull(p)
	return p
}

// eliminate makes node p an element and returns its nodes, ascending.
func (q *quotient) eliminate(p int32) []int32 {
	q.stamp++
	q.mark[p] = q.stamp
	around := q.buf[:0]
	take := func(list []int32) {
		for _, v := range list {
			if !q.gone[v] && q.mark[v] != q.stamp {
				q.mark[v] = q.stamp
				around = append(around, v)
			}
		}
	}
	take(q.vars[p])
	for _, e := range q.elems[p] {
		if !q.dead[e] {
			take(q.inner[e])
			q.dead[e], q.inner[e] = true, nil
		}
	}
	q.buf = around
	q.gone[p] = true
	around = slices.Clone(around)
	slices.Sort(around)
	q.inner[p] = around
	q.vars[p], q.elems[p] = nil, nil
	for _, i := range around {
		for _, e := range q.elems[i] {
			if q.dead[e] {
				continue
			}
			if q.seen[e] != q.stamp {
				q.seen[e], q.left[e] = q.stamp, int32(len(q.inner[e]))
			}
			q.left[e]--
		}
	}
	for _, i := range around {
		q.pull(i)
		q.vars[i] = slices.DeleteFunc(q.vars[i], func(v int32) bool { return q.gone[v] || q.mark[v] == q.stamp })
		// An element that lies within the new one says nothing more.
		q.elems[i] = slices.DeleteFunc(q.elems[i], func(e int32) bool { return q.dead[e] || q.left[e] == 0 })
		d := len(q.vars[i]) + len(around) - 1
		for _, e := range q.elems[i] {
			d += int(q.left[e])
		}
		q.elems[i] = append(q.elems[i], p)
		q.degs[i] = int32(min(d, len(q.gone)-1))
	}
	// Backwards, so that of equal degrees the first node comes first.
	for k := len(around) - 1; k >= 0; k-- {
		q.push(around[k])
	}
	return around
}
