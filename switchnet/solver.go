package switchnet

import (
	"example.com/switchleg/internal/dense"
)

// A Solver solves states of one net. It holds scratch memory, so that solving a
// state allocates nothing after the first that needs it; it is for one goroutine.
// Make one with [Net.NewSolver].
type Solver struct {
	view View
}

// NewSolver returns a solver for the net. Its memory is linear in the net. That of a
// net that no Builder built solves nothing.
func (n *Net) NewSolver() *Solver {
	if n == nil || n.graph == nil {
		return new(Solver)
	}
	nets := n.graph.Nets()
	return &Solver{view: View{
		net:     n,
		parent:  make([]int32, nets),
		label:   make([]dense.Rails, nets),
		through: make([]dense.Rails, nets),
		supply:  make([]supply, len(n.loads)),
		pos:     make([]uint8, len(n.deviceRef)),
	}}
}

// Solve returns the net's view in a state, in time linear in the net. The view is
// good until the next Solve. A state of another net is an error.
func (s *Solver) Solve(state State) (*View, error) {
	v := &s.view
	if v.net == nil {
		return nil, &Problem{BadSource, "net", "there is none; Builder.Build makes one"}
	}
	if state.net != v.net {
		return nil, &Problem{ForeignState, "state", "is of another net; carry it over with State.On"}
	}
	copy(v.pos, state.pos)
	v.contacts()
	v.loads()
	return v, nil
}

// contacts joins nets through closed contacts. Nets that hold a rail are
// boundaries: they label what they touch and join nothing.
func (v *View) contacts() {
	g := v.net.graph
	parent, label, rails := v.parent, v.label, g.NetRails
	for i := range parent {
		parent[i] = int32(i)
	}
	copy(label, rails)
	v.direct = v.direct[:0]
	for d, k := range g.DeviceKind {
		joins := g.Kinds[k].Joins[v.pos[d]]
		nets := g.DeviceNets[g.DeviceStart[d]:]
		for _, j := range joins {
			x, y := nets[j[0]], nets[j[1]]
			rx, ry := rails[x], rails[y]
			switch {
			case rx|ry == 0:
				x, y = v.find(x), v.find(y)
				if x != y {
					// The smaller number is the root: deterministic,
					// and path halving keeps finds short.
					if y < x {
						x, y = y, x
					}
					parent[y] = x
					label[x] |= label[y]
				}
			case rx == 0:
				label[v.find(x)] |= ry
			case ry == 0:
				label[v.find(y)] |= rx
			case rx != ry:
				v.direct = append(v.direct, directJoin{int32(d), x, y})
			}
		}
	}
	for i := range parent {
		if r := v.find(int32(i)); r != int32(i) {
			label[i] = label[r]
		}
	}
}

// find returns the root of net i's block, halving the path.
func (v *View) find(i int32) int32 {
	parent := v.parent
	for parent[i] != i {
		parent[i] = parent[parent[i]]
		i = parent[i]
	}
	return i
}

// loads decides what each load gets, and what is live only through a load.
func (v *View) loads() {
	g := v.net.graph
	open := false
	for i, ends := range g.LoadNets {
		a, b := v.label[ends[0]], v.label[ends[1]]
		s := supply{status: Unlit}
		open = open || a == 0 || b == 0
		switch {
		case a.Conflict() || b.Conflict():
			s.status = Faulted
		case a == 0 || b == 0:
		case a.Potentials() != b.Potentials():
			s.status = Lit
		}
		v.supply[i] = s
	}
	v.open = open
	if !open {
		return
	}
	clear(v.through)
	v.reach()
}

// reach spreads, over blocks that hold no rail, which rails are reached through
// loads, and marks the loads that lie in series between rails.
func (v *View) reach() {
	g := v.net.graph
	// group[r] for a block root r without rails: the root of its group of
	// blocks that hang together through loads. It starts as parent.
	group := v.group
	if group == nil {
		group = make([]int32, len(v.parent))
		v.group = group
	}
	for i := range group {
		group[i] = int32(i)
	}
	find := func(i int32) int32 {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for _, ends := range g.LoadNets {
		x, y := v.find(ends[0]), v.find(ends[1])
		if v.label[x] != 0 || v.label[y] != 0 {
			continue
		}
		x, y = find(x), find(y)
		if x != y {
			if y < x {
				x, y = y, x
			}
			group[y] = x
		}
	}
	series := false
	for _, ends := range g.LoadNets {
		x, y := v.find(ends[0]), v.find(ends[1])
		lx, ly := v.label[x], v.label[y]
		if lx != 0 {
			x, lx, ly = y, ly, lx
		}
		if lx != 0 || ly == 0 {
			continue
		}
		// The other end is on a rail and x is not: the group of x reaches
		// that rail.
		r := find(x)
		v.through[r] |= ly
		if v.through[r].Conflict() {
			series = true
		}
	}
	for i := range v.through {
		if v.label[i] == 0 {
			v.through[i] = v.through[find(v.find(int32(i)))]
		} else {
			v.through[i] = 0
		}
	}
	if series {
		v.series()
	}
}
