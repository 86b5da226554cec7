package switchnet

import (
	"cmp"
	"iter"
	"slices"

	"example.com/switchleg/internal/dense"
)

// A Short is a joint of two rails that should be apart.
type Short struct {
	// Rails are the two rails, the earlier one first.
	Rails [2]Rail
	// Path is a shortest witness through metal from one to the other.
	Path Path
}

// Shorted reports whether rails of different potential are joined anywhere in
// this state.
func (v *View) Shorted() bool {
	for _, l := range v.label {
		if l.Conflict() {
			return true
		}
	}
	g := v.net.graph
	return slices.ContainsFunc(v.direct, func(d directJoin) bool { return (g.NetRails[d.x] | g.NetRails[d.y]).Conflict() })
}

// Shorts yields the shorts of this state, each with its witness path. Each joined
// piece of metal is listed once for each pair of rails of different potential that
// meet on it: first what is joined for good, then single contacts between two
// rails by device name, then pieces by the name of their first terminal. A short
// does not hide others, and does not touch the circuits beside it. Finding a
// witness takes time linear in the net.
func (v *View) Shorts() iter.Seq[Short] {
	sys := v.net.source.System
	return v.meetings(func(a, b Rail) bool { return sys.Between(a, b) > 0 })
}

// NeutralToGround yields the joints of neutral and ground beyond the source, in
// the order of [View.Shorts]. They trip nothing and put load current on the
// grounding conductors.
func (v *View) NeutralToGround() iter.Seq[Short] {
	return v.meetings(func(a, b Rail) bool { return a == Neutral && b == Ground })
}

func (v *View) meetings(wanted func(a, b Rail) bool) iter.Seq[Short] {
	return func(yield func(Short) bool) {
		n, g := v.net, v.net.graph
		pairs := func(x, y dense.Rails, forGood bool, allow func(edge) bool) bool {
			for a := range Rails() {
				for b := range Rails() {
					if a >= b || !wanted(a, b) {
						continue
					}
					// What hangs on two rails that are joined for good
					// anyway is no second place.
					if i, j := n.railTerm[a], n.railTerm[b]; i < 0 || j < 0 || forGood != (n.termNet[i] == n.termNet[j]) {
						continue
					}
					if x&a.bit() != 0 && y&b.bit() != 0 || x&b.bit() != 0 && y&a.bit() != 0 {
						if !yield(Short{[2]Rail{a, b}, v.witness(a, b, allow)}) {
							return false
						}
					}
				}
			}
			return true
		}
		for _, rails := range g.NetRails {
			if rails != 0 && !pairs(rails, rails, true, func(edge) bool { return false }) {
				return
			}
		}
		for _, d := range v.directJoins() {
			ok := pairs(g.NetRails[d.x], g.NetRails[d.y], false, func(e edge) bool {
				return e.index == d.device && g.NetRails[n.termNet[e.from]] != 0 && g.NetRails[n.termNet[e.to]] != 0
			})
			if !ok {
				return
			}
		}
		for root := range v.parent {
			if v.parent[root] != int32(root) || g.NetRails[root] != 0 {
				continue
			}
			label := v.label[root]
			ok := pairs(label, label, false, func(e edge) bool {
				return v.find(n.termNet[e.from]) == int32(root) || v.find(n.termNet[e.to]) == int32(root)
			})
			if !ok {
				return
			}
		}
	}
}

// directJoins returns the pairs of rail nets that a device joins by its contacts
// alone, each once, by device and then by net.
func (v *View) directJoins() []directJoin {
	list := slices.Clone(v.direct)
	for i, d := range list {
		list[i].x, list[i].y = min(d.x, d.y), max(d.x, d.y)
	}
	slices.SortFunc(list, func(a, b directJoin) int {
		return cmp.Or(cmp.Compare(a.device, b.device), cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y))
	})
	return slices.Compact(list)
}

// witness returns a shortest path from rail a to rail b through conductors and
// splices, and through contacts that allow admits. Of several it takes the first in
// the order of choices from a.
func (v *View) witness(a, b Rail, allow func(edge) bool) Path {
	n := v.net
	start, end := n.railTerm[a], n.railTerm[b]
	own, other := n.termNet[start], n.termNet[end]
	by := make(map[int32]edge)
	queue := []int32{start}
	by[start] = edge{from: -1}
	for len(queue) > 0 && queue[0] != end {
		t := queue[0]
		queue = queue[1:]
		for e := range v.edgesFrom(t) {
			if e.kind == ByLoad {
				continue
			}
			if e.kind == ByContact {
				from, to := n.termNet[e.from], n.termNet[e.to]
				onward := (from == own || n.graph.NetRails[from] == 0) && (to == other || n.graph.NetRails[to] == 0)
				if from == to || !onward || !allow(e) {
					continue
				}
			}
			if _, seen := by[e.to]; !seen {
				by[e.to] = e
				queue = append(queue, e.to)
			}
		}
	}
	var p Path
	for t := end; t != start; {
		e, ok := by[t]
		if !ok {
			return Path{}
		}
		p.Steps = append(p.Steps, n.step(e))
		t = e.from
	}
	slices.Reverse(p.Steps)
	return p
}
