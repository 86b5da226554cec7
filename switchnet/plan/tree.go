package plan

import (
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// step is a way out of a box: a run and the box at its other end.
type step struct{ run, to int32 }

// ways are the runs that leave each box, in the order of the runs.
type ways [][]step

// waysOf returns the runs by box, all of them or without those that are there only if
// needed. Runs from a box to itself and between unknown boxes are left out; what is wrong
// with them is reported elsewhere.
func waysOf(runs []intent.Run, boxes map[string]int32, n int, all bool) ways {
	w := make(ways, n)
	for i := range runs {
		a, okA := boxes[runs[i].From]
		b, okB := boxes[runs[i].To]
		if !okA || !okB || a == b || runs[i].IfNeeded && !all {
			continue
		}
		w[a] = append(w[a], step{int32(i), b})
		w[b] = append(w[b], step{int32(i), a})
	}
	return w
}

// reach reports which boxes can be reached from one.
func (w ways) reach(from int32) []bool {
	reached := make([]bool, len(w))
	reached[from] = true
	for queue := []int32{from}; len(queue) > 0; queue = queue[1:] {
		for _, s := range w[queue[0]] {
			if !reached[s.to] {
				reached[s.to] = true
				queue = append(queue, s.to)
			}
		}
	}
	return reached
}

// back returns for each box the way back along fewest runs to one that is reached, as the
// next step; the run is -1 where there is none and in those that are reached.
func (w ways) back(reached []bool) []step {
	out := make([]step, len(w))
	seen := slices.Clone(reached)
	var queue []int32
	for b := range out {
		out[b].run = -1
		if reached[b] {
			queue = append(queue, int32(b))
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		for _, s := range w[queue[0]] {
			if !seen[s.to] {
				seen[s.to], out[s.to] = true, step{s.run, queue[0]}
				queue = append(queue, s.to)
			}
		}
	}
	return out
}

// tree is the runs that a circuit uses, seen from its feed. Its nodes are in
// preorder, so that a node comes after its parent; node 0 is the box of the feed.
type tree struct {
	box    []int32 // of each node
	parent []int32 // node; -1 for node 0
	run    []int32 // to the parent; -1 for node 0
	kids   [][]int32
	last   []int32         // the last node of the subtree
	node   map[int32]int32 // of each box
}

func (t *tree) size() int { return len(t.box) }

// within reports whether node v is in the subtree of node u.
func (t *tree) within(v, u int32) bool { return v >= u && v <= t.last[u] }

// treeOf returns the tree that the runs marked as used make from a box on; runs
// that would close a ring are not followed. Branches without a wanted box are left
// out. Children come in the order of the runs.
func treeOf(w ways, root int32, use func(run int32) bool, wanted func(box int32) bool) *tree {
	parent := make([]step, len(w)) // of each box that was reached, the way back
	reached, keep := make([]bool, len(w)), make([]bool, len(w))
	parent[root] = step{-1, -1}
	reached[root], keep[root] = true, true
	order := []int32{root}
	// Breadth first would find the same boxes; depth first keeps the preorder.
	type frame struct {
		box  int32
		next int
	}
	stack := []frame{{root, 0}}
	for len(stack) > 0 {
		f := &stack[len(stack)-1]
		if f.next == len(w[f.box]) {
			stack = stack[:len(stack)-1]
			continue
		}
		s := w[f.box][f.next]
		f.next++
		if reached[s.to] || !use(s.run) {
			continue
		}
		parent[s.to], reached[s.to] = step{s.run, f.box}, true
		order = append(order, s.to)
		stack = append(stack, frame{s.to, 0})
	}
	for i := len(order) - 1; i > 0; i-- {
		b := order[i]
		if keep[b] || wanted(b) {
			keep[b] = true
			keep[parent[b].to] = true
		}
	}
	t := &tree{node: map[int32]int32{}}
	for _, b := range order {
		if !keep[b] {
			continue
		}
		v := int32(len(t.box))
		t.node[b] = v
		t.box = append(t.box, b)
		p := parent[b]
		t.run = append(t.run, p.run)
		t.kids = append(t.kids, nil)
		if p.run < 0 {
			t.parent = append(t.parent, -1)
			continue
		}
		u := t.node[p.to]
		t.parent = append(t.parent, u)
		t.kids[u] = append(t.kids[u], v)
	}
	t.last = make([]int32, t.size())
	for v := int32(t.size()) - 1; v >= 0; v-- {
		t.last[v] = max(t.last[v], v)
		if p := t.parent[v]; p >= 0 {
			t.last[p] = max(t.last[p], t.last[v])
		}
	}
	return t
}

// path returns the nodes whose ways to their parents make the way between two
// nodes.
func (t *tree) path(u, v int32) []int32 {
	var up, down []int32
	for u != v {
		if u > v {
			up = append(up, u)
			u = t.parent[u]
		} else {
			down = append(down, v)
			v = t.parent[v]
		}
	}
	for i := len(down) - 1; i >= 0; i-- {
		up = append(up, down[i])
	}
	return up
}

// span returns the nodes whose ways to their parents join the given nodes, in
// preorder.
func (t *tree) span(nodes []int32) []int32 {
	if len(nodes) < 2 {
		return nil
	}
	// Up from every node until what was seen before or the top of them all.
	top := nodes[0]
	for _, v := range nodes[1:] {
		for !t.within(v, top) {
			top = t.parent[top]
		}
	}
	seen := map[int32]bool{top: true}
	var out []int32
	for _, v := range nodes {
		for !seen[v] {
			seen[v] = true
			out = append(out, v)
			v = t.parent[v]
		}
	}
	slices.Sort(out)
	return out
}

// tour returns the places, as nodes, in a depth-first order that begins at a and
// ends at b: at each fork the branch that holds b comes last, the others in the
// order of the tree, the way up before the ways down. Such an order crosses each
// run between a and b once, every other run among the places twice, and no order
// crosses any run fewer times.
func (t *tree) tour(places []int32, a, b int32) []int32 {
	wanted := map[int32]bool{}
	for _, p := range places {
		wanted[p] = true
	}
	// Only branches with places are entered.
	inside := map[int32]bool{}
	for _, v := range t.span(places) {
		inside[v] = true
	}
	toB := map[[2]int32]bool{} // steps of the way from a to b
	u := a
	for u != b {
		next := t.parent[u]
		if t.within(b, u) {
			for _, k := range t.kids[u] {
				if t.within(b, k) {
					next = k
				}
			}
		}
		toB[[2]int32{u, next}] = true
		u = next
	}
	neighbours := func(v int32) []int32 {
		var out []int32
		if t.parent[v] >= 0 && inside[v] {
			out = append(out, t.parent[v])
		}
		for _, k := range t.kids[v] {
			if inside[k] {
				out = append(out, k)
			}
		}
		for i, n := range out {
			if toB[[2]int32{v, n}] {
				out = append(append(out[:i:i], out[i+1:]...), n)
				break
			}
		}
		return out
	}
	var order []int32
	type frame struct {
		node, from int32
		ways       []int32
	}
	stack := []frame{{a, -1, neighbours(a)}}
	order = append(order, a)
	for len(stack) > 0 {
		f := &stack[len(stack)-1]
		if len(f.ways) == 0 {
			stack = stack[:len(stack)-1]
			continue
		}
		n := f.ways[0]
		f.ways = f.ways[1:]
		if n == f.from {
			continue
		}
		if wanted[n] && n != b {
			order = append(order, n)
		}
		stack = append(stack, frame{n, f.node, neighbours(n)})
	}
	if b != a {
		order = append(order, b)
	}
	return order
}
