package switchnet

import "iter"

// adjacency lists, for each terminal, the parts that touch it. It is made at the
// first search for a path and kept with the net.
type adjacency struct {
	start []int32
	part  []int32 // index<<2 | (StepKind-1); conductors first, in name order, then splices, devices, loads
}

func (n *Net) adjacent() *adjacency {
	n.edgesOnce.Do(func() {
		a := &adjacency{start: make([]int32, len(n.terms)+1)}
		for pass := range 2 {
			var next []int32
			if pass == 1 {
				for i := range n.terms {
					a.start[i+1] += a.start[i]
				}
				a.part = make([]int32, a.start[len(n.terms)])
				next = append([]int32(nil), a.start[:len(n.terms)]...)
			}
			add := func(t, index int32, kind StepKind) {
				if pass == 0 {
					a.start[t+1]++
					return
				}
				a.part[next[t]] = index<<2 | int32(kind-1)
				next[t]++
			}
			for i, c := range n.conductorTerms {
				add(c[0], int32(i), ByConductor)
				add(c[1], int32(i), ByConductor)
			}
			for i, s := range n.spliceTerms {
				for _, t := range s {
					add(t, int32(i), BySplice)
				}
			}
			for d := range n.deviceRef {
				for _, t := range n.deviceTerms[n.deviceStart[d]:n.deviceStart[d+1]] {
					add(t, int32(d), ByContact)
				}
			}
			for i, e := range n.loadTerms {
				add(e[0], int32(i), ByLoad)
				add(e[1], int32(i), ByLoad)
			}
		}
		n.edges = a
	})
	return n.edges
}

// edge is a step in numbers.
type edge struct {
	kind     StepKind
	index    int32
	from, to int32
}

// edgesFrom yields the steps that can be taken from a terminal in this state:
// conductors in name order, then splices, closed contacts and loads.
func (v *View) edgesFrom(t int32) iter.Seq[edge] {
	n, a := v.net, v.net.adjacent()
	return func(yield func(edge) bool) {
		for _, p := range a.part[a.start[t]:a.start[t+1]] {
			e := edge{StepKind(p&3 + 1), p >> 2, t, -1}
			switch e.kind {
			case ByConductor:
				c := n.conductorTerms[e.index]
				if e.to = c[0]; e.to == t {
					e.to = c[1]
				}
				if !yield(e) {
					return
				}
			case BySplice:
				for _, u := range n.spliceTerms[e.index] {
					if e.to = u; u != t && !yield(e) {
						return
					}
				}
			case ByContact:
				terms := n.deviceTerms[n.deviceStart[e.index]:n.deviceStart[e.index+1]]
				blocks := n.graph.Kinds[n.deviceKind[e.index]].Blocks[v.pos[e.index]]
				own := blocks[0]
				for i, u := range terms {
					if u == t {
						own = blocks[i]
					}
				}
				for i, u := range terms {
					if e.to = u; u != t && blocks[i] == own && !yield(e) {
						return
					}
				}
			case ByLoad:
				l := n.loadTerms[e.index]
				if e.to = l[0]; e.to == t {
					e.to = l[1]
				}
				if !yield(e) {
					return
				}
			}
		}
	}
}

func (n *Net) step(e edge) Step {
	s := Step{Kind: e.kind, From: n.terms[e.from], To: n.terms[e.to]}
	switch e.kind {
	case ByConductor:
		s.Name = n.conductors[e.index].Name
	case BySplice:
		s.Name = n.splices[e.index].Name
	case ByContact:
		s.Name = n.deviceRef[e.index].Name
	case ByLoad:
		s.Name = n.loads[e.index].Name
	}
	return s
}
