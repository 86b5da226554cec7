package steady

import (
	"iter"
	"math/cmplx"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Phantom is a piece of metal with a voltage to ground that comes through no
// metal.
type Phantom struct {
	// Wires are the wires of the piece, in the order of cable and conductor
	// names.
	Wires []wiring.Wire
	// Reading is that of an ordinary high-impedance meter from the first of
	// them, in the first box of its cable, to the ground of the service. Its
	// Verdict says whether a load makes it vanish: a piece behind a lamp is
	// real.
	Reading Reading
}

// Phantoms yields the wires that no rail is joined to by metal in this state and on
// which a high-impedance meter shows 1 V or more to ground, in the order of their
// first wire. The sizes hang on Options.Coupling, which is an assumption.
func (s *Solution) Phantoms() iter.Seq[Phantom] {
	return func(yield func(Phantom) bool) {
		if s.hi == nil {
			return
		}
		nw := s.p.nw
		sets := s.metal()
		railed := map[int32]bool{}
		source := s.p.net.Source()
		for r := range switchnet.Rails() {
			if source.System.Has(r) {
				node, _ := s.nodeOf(source.Rail(r))
				railed[sets.Find(node)] = true
			}
		}
		pieces := map[int32]int{}
		var list [][]int
		for i := range nw.wires {
			for e, node := range nw.wires[i].ends {
				root := sets.Find(node)
				if railed[root] || e == 1 && root == sets.Find(nw.wires[i].ends[0]) {
					continue
				}
				if at, ok := pieces[root]; ok {
					list[at] = append(list[at], i)
					continue
				}
				pieces[root] = len(list)
				list = append(list, []int{i})
			}
		}
		earth := source.Rail(switchnet.Ground)
		earthNode, _ := s.nodeOf(earth)
		for _, piece := range list {
			first := &nw.wires[piece[0]]
			end := 0
			if pieceRoot := sets.Find(first.ends[0]); railed[pieceRoot] || list[pieces[pieceRoot]][0] != piece[0] {
				end = 1
			}
			// Most pieces are at no voltage at all; do not load those.
			if node := first.ends[end]; s.floatsAt(node) || cmplx.Abs(s.across(node, earthNode)) < absentBelow {
				continue
			}
			p := Phantom{}
			for _, i := range piece {
				p.Wires = append(p.Wires, nw.wires[i].wire)
			}
			var err error
			p.Reading, err = s.Read(Meter{Kind: HighImpedance}, Probes{Red: first.wire.In(first.at[end]), Black: earth})
			if err != nil || p.Reading.Shows.Volts() < absentBelow {
				continue
			}
			if !yield(p) {
				return
			}
		}
	}
}

// metal returns the nodes joined by metal in this state: by anything but loads and
// coupling.
func (s *Solution) metal() *unionfind.Sets {
	nw := s.p.nw
	sets := unionfind.New(len(s.hi))
	join := func(k int32) {
		if k >= 0 && real(s.admittance(k)) != 0 {
			sets.Union(nw.branches[k].i, nw.branches[k].j)
		}
	}
	for i := range nw.wires {
		join(nw.wires[i].branch)
	}
	for i := range nw.joints {
		join(nw.joints[i].branch)
	}
	for _, k := range nw.supply {
		join(k)
	}
	for d := range nw.devices {
		part := &nw.devices[d]
		c := &nw.contacts[part.kind]
		for i := range c.pairs {
			if k := part.first + int32(i); s.admittance(k) == c.y {
				join(k)
			}
		}
	}
	return sets
}
