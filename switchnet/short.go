package switchnet

import (
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
		g := v.net.graph
		pairs := func(x, y dense.Rails, allow func(from, to int32) bool) bool {
			for a := range Rails() {
				for b := range Rails() {
					if a >= b || !wanted(a, b) {
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
			if rails != 0 && !pairs(rails, rails, func(_, _ int32) bool { return false }) {
				return
			}
		}
		direct := slices.Clone(v.direct)
		slices.SortFunc(direct, func(a, b directJoin) int {
			return slices.Compare([]int32{a.device, a.x, a.y}, []int32{b.device, b.x, b.y})
		})
		for _, d := range slices.Compact(direct) {
			ok := pairs(g.NetRails[d.x], g.NetRails[d.y], func(from, to int32) bool {
				return from == d.x && to == d.y || from == d.y && to == d.x
			})
			if !ok {
				return
			}
		}
		for root := range v.parent {
			if v.parent[root] != int32(root) || g.NetRails[root] != 0 {
				continue
			}
			in := func(net int32) bool { return v.find(net) == int32(root) }
			ok := pairs(v.label[root], v.label[root], func(from, to int32) bool { return in(from) || in(to) })
			if !ok {
				return
			}
		}
	}
}

// witness returns a shortest path from rail a to rail b through conductors and
// splices, and through contacts between nets that allow admits. Of several it
// takes the first in the order of choices from a.
func (v *View) witness(a, b Rail, allow func(from, to int32) bool) Path {
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
				if from == to || !onward || !allow(from, to) {
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
