package check

import (
	"maps"
	"math"
	"slices"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
)

// joints numbers what is joined within boxes: terminals that landings, splices and ties
// join, cables left out.
type joints struct {
	of    []int32 // by terminal
	count int
}

func (p *Pass) local() *joints { return &p.metal().local }

// flow is a state in which the current of a light leaves a cable out of balance.
type flow struct {
	light   switchnet.Ref
	state   switchnet.State
	devices []switchnet.Ref
	net     float64 // by how much, for a current of 1
}

// small is the current, of 1, that is taken for none.
const small = 1e-6

// searched is how many states of each light are looked at for currents: half of them the
// first in which it is lit, half drawn with equal chance by fixed seeds.
const searched = 64

// currents returns for some cables a state in which each does not balance.
func (p *Pass) currents(cables []int32) (map[int32]flow, error) {
	out := map[int32]flow{}
	lamps, err := p.lamps()
	if err != nil {
		return nil, err
	}
	for i := range lamps {
		l := &lamps[i]
		set := l.load.States(switchnet.Lit)
		look := func(s switchnet.State) {
			sums := p.divide(s, l)
			for _, c := range cables {
				if _, ok := out[c]; !ok && math.Abs(sums[c]) > small {
					out[c] = flow{l.ref, s, l.law.Matter, math.Abs(sums[c])}
				}
			}
		}
		n := 0
		for s := range set.All() {
			if n++; n > searched/2 || len(out) == len(cables) {
				break
			}
			look(s)
		}
		for seed := range uint64(searched / 2) {
			if n <= searched/2 || len(out) == len(cables) {
				break
			}
			if err := p.ctx.Err(); err != nil {
				return nil, err
			}
			s, _ := set.Random(seed)
			look(s)
		}
	}
	return out, nil
}

// divide returns by cable the sum of its conductors' currents, counted from its first
// box, when one light draws a current of 1, every conductor has the same resistance and
// nothing else is on.
func (p *Pass) divide(s switchnet.State, l *lamp) map[int32]float64 {
	m, local := p.metal(), p.local()
	sets := unionfind.New(local.count) // closed contacts join without resistance
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		position, _ := s.Position(ref)
		k, _ := d.Kind.Position(position)
		for _, g := range d.Kind.Positions[k].Joins {
			for _, t := range g[1:] {
				sets.Union(local.of[m.term(ref.Terminal(g[0]))], local.of[m.term(ref.Terminal(t))])
			}
		}
	}
	rails := map[int32]bool{}
	for i := range p.spec.Feeds {
		for _, t := range p.feedTerminals(int32(i)) {
			rails[sets.Find(local.of[m.term(p.feedRef(int32(i)).Terminal(t))])] = true
		}
	}
	out := map[int32]float64{}
	for e, sign := range []float64{1, -1} {
		for c, i := range p.half(sets, sets.Find(local.of[m.term(l.ends[e])]), rails) {
			out[c] += sign * i
		}
	}
	return out
}

// branch is a conductor between two joints.
type branch struct{ a, b, cable int32 }

// half returns by cable the sum of its conductors' currents when a current of 1 is put in
// at a node and taken out at whichever rails it reaches.
func (p *Pass) half(sets *unionfind.Sets, from int32, rails map[int32]bool) map[int32]float64 {
	if rails[from] {
		return nil
	}
	m, local := p.metal(), p.local()
	var branches []branch
	adjacent := map[int32][]int{}
	for i := range m.wires {
		w := &m.wires[i]
		if !w.known || w.open {
			continue
		}
		a, b := sets.Find(local.of[w.term[0]]), sets.Find(local.of[w.term[1]])
		if a != b {
			adjacent[a] = append(adjacent[a], len(branches))
			adjacent[b] = append(adjacent[b], len(branches))
			branches = append(branches, branch{a, b, w.cable})
		}
	}
	seen := map[int32]bool{from: true}
	order := []int32{from}
	used := map[int]bool{}
	reached := false
	for i := 0; i < len(order); i++ {
		if rails[order[i]] {
			reached = true
			continue
		}
		for _, k := range adjacent[order[i]] {
			used[k] = true
			if n := branches[k].a + branches[k].b - order[i]; !seen[n] {
				seen[n] = true
				order = append(order, n)
			}
		}
	}
	if !reached {
		return nil
	}
	list := slices.Sorted(maps.Keys(used))
	volts := potentials(order, rails, branches, list)
	out := map[int32]float64{}
	for _, k := range list {
		out[branches[k].cable] += volts[branches[k].a] - volts[branches[k].b]
	}
	return out
}

// potentials returns the potential of each node when a current of 1 is put in at the
// first and the rails are at 0, every branch being of 1 ohm. Nodes are taken out one at a
// time, the one with the fewest neighbours first (a star becomes a mesh), and put back in
// the opposite order; of what series and parallel make up this takes linear time.
func potentials(nodes []int32, rails map[int32]bool, branches []branch, used []int) map[int32]float64 {
	near := map[int32]map[int32]float64{} // conductance between nodes
	for _, n := range nodes {
		near[n] = map[int32]float64{}
	}
	for _, k := range used {
		b := branches[k]
		near[b.a][b.b]++
		near[b.b][b.a]++
	}
	type taken struct {
		node   int32
		to     []int32
		weight []float64
		total  float64
	}
	var out []taken
	waiting := slices.Clone(nodes)
	waiting = slices.DeleteFunc(waiting, func(n int32) bool { return n == nodes[0] || rails[n] })
	for len(waiting) > 0 {
		best := 0
		for i, n := range waiting {
			if len(near[n]) < len(near[waiting[best]]) {
				best = i
			}
			if len(near[waiting[best]]) <= 2 {
				break
			}
		}
		n := waiting[best]
		waiting = slices.Delete(waiting, best, best+1)
		t := taken{node: n, to: slices.Sorted(maps.Keys(near[n]))}
		for _, o := range t.to {
			t.weight = append(t.weight, near[n][o])
			t.total += near[n][o]
			delete(near[o], n)
		}
		for i, a := range t.to {
			for j, b := range t.to[:i] {
				g := t.weight[i] * t.weight[j] / t.total
				near[a][b] += g
				near[b][a] += g
			}
		}
		out = append(out, t)
	}
	volts := map[int32]float64{}
	total := 0.0
	for _, o := range slices.Sorted(maps.Keys(near[nodes[0]])) {
		total += near[nodes[0]][o]
	}
	volts[nodes[0]] = 1 / total
	for _, t := range slices.Backward(out) {
		sum := 0.0
		for i, o := range t.to {
			sum += t.weight[i] * volts[o]
		}
		volts[t.node] = sum / t.total
	}
	return volts
}
