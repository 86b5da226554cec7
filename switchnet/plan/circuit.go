package plan

import (
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// circuit is what is wanted of one feed. Its clients are its groups and then its
// needs, each known by its number.
type circuit struct {
	feed   int
	root   int32 // the box of the feed
	groups []group
	needs  []need
}

// group is a control on a circuit.
type group struct {
	control int
	places  []int32 // boxes
	keep    []bool  // of each place: the neutral is to be there
	lights  []int   // of the intent
	at      []int32 // the box of each light
	schemes []intent.Scheme
}

// need is a need on a circuit.
type need struct {
	index int // of the intent
	kind  intent.NeedKind
	box   int32
}

func (c *circuit) clients() int { return len(c.groups) + len(c.needs) }

// shape is how a group is wired: its scheme and the places at its ends, as indices
// into its places. Of a single place both ends are that.
type shape struct {
	scheme intent.Scheme
	a, b   int
}

// shapes returns the ways to wire the group, in the order in which the first of
// equals is taken: by scheme, then hot end, then leg end.
func (g *group) shapes() []shape {
	n := len(g.places)
	if n == 1 {
		return []shape{{intent.Chain, 0, 0}}
	}
	var out []shape
	for _, s := range intent.Schemes() {
		switch {
		case !slices.Contains(g.schemes, s):
		case s == intent.JoinedCommons && n == 2:
			out = append(out, shape{s, 0, 1})
		case s == intent.Chain:
			for a := range n {
				for b := range n {
					if a != b {
						out = append(out, shape{s, a, b})
					}
				}
			}
		}
	}
	return out
}

// wanted returns the boxes that the circuit must reach.
func (c *circuit) wanted() map[int32]bool {
	out := map[int32]bool{c.root: true}
	for i := range c.groups {
		for _, b := range c.groups[i].places {
			out[b] = true
		}
		for _, b := range c.groups[i].at {
			out[b] = true
		}
	}
	for i := range c.needs {
		out[c.needs[i].box] = true
	}
	return out
}

// want is what one client has to have between a node and its parent.
type want struct {
	hot, neutral       bool
	lines, legs, spare int // lines: legs, commons and travelers
}

func (w want) none() bool { return w == want{} }

// layout is a circuit on a tree, with what is below each node.
type layout struct {
	*circuit
	t      *tree
	below  [][]below // by group and node
	needAt []int32   // node of each need
	end    [][]int32 // by group and place: its node
	light  [][]int32 // by group and light: its node
	tours  []toured  // by group: the tour that was asked for last
}

// toured is the order in which a group of some shape visits its places.
type toured struct {
	of    shape
	order []int32
}

// below counts what of a group is in a subtree.
type below struct{ places, lights, keep int32 }

func newLayout(c *circuit, t *tree) *layout {
	l := &layout{circuit: c, t: t}
	for i := range c.groups {
		g := &c.groups[i]
		n := make([]below, t.size())
		var ends, lights []int32
		for k, b := range g.places {
			v := t.node[b]
			ends = append(ends, v)
			n[v].places++
			if g.keep[k] {
				n[v].keep++
			}
		}
		for _, b := range g.at {
			v := t.node[b]
			lights = append(lights, v)
			n[v].lights++
		}
		for v := t.size() - 1; v > 0; v-- {
			p := &n[t.parent[v]]
			p.places += n[v].places
			p.lights += n[v].lights
			p.keep += n[v].keep
		}
		l.below, l.end, l.light = append(l.below, n), append(l.end, ends), append(l.light, lights)
	}
	for i := range c.needs {
		l.needAt = append(l.needAt, t.node[c.needs[i].box])
	}
	return l
}

// groupWant returns what a group has to have between node v and its parent, if its
// first switch is below v and its last one is.
func (l *layout) groupWant(g int, v int32, scheme intent.Scheme, first, last bool) want {
	return l.groups[g].want(l.below[g][v], scheme, first, last)
}

// want returns what a group has to have on the only way to that part of it which is
// counted.
func (g *group) want(n below, scheme intent.Scheme, first, last bool) want {
	lights, places := int32(len(g.at)), int32(len(g.places))
	w := want{neutral: n.lights > 0 || n.keep > 0}
	if scheme == intent.JoinedCommons {
		w.hot = first || last
		some := first || last || n.lights > 0
		all := first && last && n.lights == lights
		if some && !all {
			w.lines, w.legs = 1, 1
		}
		if first != last {
			w.lines++
		}
		return w
	}
	w.hot = first
	if (last || n.lights > 0) && !(last && n.lights == lights) {
		w.lines, w.legs = 1, 1
	}
	switch {
	case first != last:
		w.lines += 2
	case n.places > 0 && n.places < places:
		w.lines += 4
	}
	return w
}

// want returns what a need has to have on the only way to it.
func (n *need) want() want {
	switch n.kind {
	case intent.UnswitchedPower:
		return want{hot: true, neutral: true}
	case intent.NeutralOnly:
		return want{neutral: true}
	}
	return want{spare: 1}
}

// want returns what a client has to have between node v and its parent.
func (l *layout) want(client int, v int32, shapes []shape) want {
	if client < len(l.groups) {
		s := shapes[client]
		return l.groupWant(client, v, s.scheme, l.t.within(l.end[client][s.a], v), l.t.within(l.end[client][s.b], v))
	}
	n := client - len(l.groups)
	if !l.t.within(l.needAt[n], v) {
		return want{}
	}
	return l.needs[n].want()
}
