package draw

import (
	"fmt"
	"slices"
)

// treeNode is a node of the spanning forest of a run plan.
type treeNode struct {
	node     int
	cables   []int // from its parent, all of them
	children []int // numbers in the forest; the last has the most below it
	weight   int
	extra    []int // cables that the forest leaves out, in the order of the job
	parent   int   // -1 for a root
	// pins beneath its symbol: of the cables to its children, in their order.
	pins int
}

// forest returns the nodes breadth first, each component from its first feed, or its
// first box if it has none.
func (r *runPlan) forest() []treeNode {
	var out []treeNode
	seen := make([]int, len(r.nodes)) // number in the forest plus 1
	var roots []int
	for pass := range 2 {
		for i := range r.nodes {
			if r.nodes[i].fed == (pass == 0) {
				roots = append(roots, i)
			}
		}
	}
	tree := make([]bool, len(r.cables))
	for _, root := range roots {
		if seen[root] > 0 {
			continue
		}
		out = append(out, treeNode{node: root, parent: -1})
		seen[root] = len(out)
		for at := len(out) - 1; at < len(out); at++ {
			n := out[at].node
			for _, c := range r.nodes[n].cables {
				if tree[c] {
					continue
				}
				f := r.far(n, c)
				if seen[f] == 0 {
					out = append(out, treeNode{node: f, parent: at})
					seen[f] = len(out)
					out[at].children = append(out[at].children, len(out)-1)
				}
				if k := seen[f] - 1; out[k].parent == at {
					out[k].cables = append(out[k].cables, c)
					tree[c] = true
				}
			}
		}
	}
	for i := range r.cables {
		if !tree[i] {
			for _, n := range []int{r.cables[i].from, r.cables[i].to} {
				k := seen[n] - 1
				out[k].extra = append(out[k].extra, i)
			}
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		t := &out[i]
		t.weight++
		slices.SortStableFunc(t.children, func(a, b int) int { return out[a].weight - out[b].weight })
		for _, c := range t.children {
			t.pins += len(out[c].cables)
		}
		if t.parent >= 0 {
			out[t.parent].weight += t.weight
		}
	}
	return out
}

// treeLayout lays a run plan out as a tree that grows downwards. The heaviest child
// of a node stands below it, all that hangs on the others is set in between and to the
// right; so a long chain goes straight down, and nothing stands further right than
// the logarithm of the number of boxes.
type treeLayout struct {
	scene
	r      *runPlan
	forest []treeNode
	width  int
	shift  int // room at the left for what the forest leaves out
	loops  []hop
	loopOf []int // cables
	pinAt  map[string]point
}

func (r *runPlan) tree(width int) *scene {
	l := &treeLayout{r: r, forest: r.forest(), width: width, pinAt: map[string]point{}}
	for _, t := range l.forest {
		for _, c := range t.extra {
			if r.cables[c].from == t.node {
				l.loopOf = append(l.loopOf, c)
			}
		}
	}
	slices.Sort(l.loopOf)
	// Some of these share tracks, but how many it takes is known only when all
	// heights are; a track each leaves room for all.
	l.shift = len(l.loopOf) * apart
	y := margin + large
	l.text(point{margin, y}, start, "Run plan", large, true, ink)
	y += 14
	for i := range l.forest {
		if l.forest[i].parent < 0 {
			y = l.place(i, margin+l.shift+4, y) + 8
		}
	}
	l.outside()
	r.legend(&l.scene, y+leading, width)
	l.frame(margin)
	return &l.scene
}

// firstPin is how far from the left edge of a symbol its first pin beneath it is.
const firstPin = 12

func endPin(cable string, node int) string { return fmt.Sprintf("%s\x00%d", cable, node) }

// pendingNode is a node that is still to be placed.
type pendingNode struct {
	t    int
	x    int
	from []point // where the cables leave its parent
}

// place lays out a tree of the forest, the root with its left edge at x and its top at
// y, and returns the y below it. It keeps its own stack, for chains are long.
func (l *treeLayout) place(root, x, y int) int {
	stack := []pendingNode{{t: root, x: x}}
	for len(stack) > 0 {
		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		t := &l.forest[p.t]
		n := &l.r.nodes[t.node]
		below := t.parent >= 0 && l.isLast(p.t)
		// What the cables are stands above the symbol.
		textX := p.x
		if below {
			textX = p.x + firstPin + len(t.cables)*apart
		}
		if t.parent >= 0 {
			y += leading
			for _, c := range t.cables {
				y = l.lines(textX, y, start, wrap(clean(l.r.cables[c].label), max(l.width-margin-textX, 90), small, false), small, false, muted)
			}
			y -= leading - 6
		}
		w := n.symbolWidth(t.pins)
		var lines []string
		lead := p.x + w + 8
		room := max(l.width-margin-lead, 90)
		name := wrap(clean(n.called()), room, normal, true)
		for _, s := range n.text {
			lines = append(lines, wrap(clean(s), room, small, false)...)
		}
		for _, c := range t.extra {
			lines = append(lines, wrap(clean("also "+l.r.cables[c].label+", to "+l.r.nodes[l.r.far(t.node, c)].called()), room, small, false)...)
		}
		sideways := len(t.extra)
		if !below {
			sideways += len(t.cables)
		}
		box := rect{p.x, y, w, max(22, sideways*apart+8)}
		l.symbol(n, box)
		ty := l.lines(lead, y+normal+2, start, name, normal, true, ink)
		ty = l.lines(lead, ty, start, lines, small, false, ink)
		l.enter(t, p, box, below)
		for k, c := range t.extra {
			at := point{box.x, box.bottom() - 8 - k*apart}
			l.anchor(endPin(l.r.cables[c].name, t.node), at)
			l.pinAt[endPin(l.r.cables[c].name, t.node)] = at
		}
		y = max(box.bottom(), ty-leading+4) + 6
		l.leave(t, box, &stack)
	}
	return y
}

func (l *treeLayout) isLast(i int) bool {
	c := l.forest[l.forest[i].parent].children
	return c[len(c)-1] == i
}

// leave puts pins beneath a node for the cables to its children, those of the last
// child leftmost, and the children on the stack.
func (l *treeLayout) leave(t *treeNode, box rect, stack *[]pendingNode) {
	x := box.x + firstPin
	for k := len(t.children) - 1; k >= 0; k-- {
		child := &l.forest[t.children[k]]
		next := pendingNode{t: t.children[k], x: box.x}
		for range child.cables {
			next.from = append(next.from, point{x, box.bottom()})
			x += apart
		}
		if k < len(t.children)-1 {
			next.x = box.x + t.pins*apart + 20
		}
		*stack = append(*stack, next)
	}
}

// enter draws the cables from a node's parent.
func (l *treeLayout) enter(t *treeNode, p pendingNode, box rect, below bool) {
	for k, c := range t.cables {
		name := l.r.cables[c].name
		from := p.from[k]
		pts := []point{from, {from.x, box.y}}
		if !below {
			// The leftmost of several turns last, so that they do not cross.
			y := box.y + 8 + (len(t.cables)-1-k)*apart
			pts = []point{from, {from.x, y}, {box.x, y}}
		}
		parent := l.forest[t.parent].node
		l.anchor(endPin(name, parent), from)
		l.anchor(endPin(name, t.node), pts[len(pts)-1])
		l.wires = append(l.wires, wire{name: name, from: endPin(name, parent), to: endPin(name, t.node), pts: pts, paint: paint{style: sheath}})
	}
}

// outside draws the cables that the forest leaves out, round the left side.
func (l *treeLayout) outside() {
	for _, c := range l.loopOf {
		e := &l.r.cables[c]
		l.loops = append(l.loops, hop{left: l.pinAt[endPin(e.name, e.from)].y, right: l.pinAt[endPin(e.name, e.to)].y})
	}
	track, _ := loopTracks(l.loops)
	for i, c := range l.loopOf {
		e := &l.r.cables[c]
		a, b := l.pinAt[endPin(e.name, e.from)], l.pinAt[endPin(e.name, e.to)]
		x := margin + l.shift - 4 - track[i]*apart
		l.wires = append(l.wires, wire{name: e.name, from: endPin(e.name, e.from), to: endPin(e.name, e.to), pts: []point{a, {x, a.y}, {x, b.y}, b}, paint: paint{style: sheath}})
	}
}
