package check

import (
	"fmt"
	"math/bits"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on what a cable carries.
var balanceRules = []Rule{
	{Code: "unbalanced-cable", Topic: ShockFire, Doc: "A cable that does not carry back what it carries out, with a state in which it does not.",
		Yields: []Code{"borrowed-neutral", "circuits-joined", "two-circuits-one-light", "light-on-ground", "travelers-apart"}, Find: unbalanced},
	{Code: "parallel-conductors", Topic: ShockFire, Doc: "Two conductors that run side by side between the same joints: when one opens, the other carries all.", Find: parallel},
}

// unbalanced finds the cables whose current-carrying conductors do not sum to zero in
// some state.
//
// A cable whose conductors are a cut of the circuit, so that without them nothing joins
// what is at one of its ends with what is at the other, balances in every state by
// Kirchhoff's law, whatever the loads. Every cable that is a bridge of the graph of boxes
// is such a cut. For the others the cut is looked for among conductors, contacts, loads
// and the supply; where it is missing, states are searched for one in which the current
// of one light, divided over equal conductors, does not sum to zero.
func unbalanced(p *Pass) error {
	var bad []int32
	for _, c := range p.notBridges() {
		if !p.cuts(c) {
			bad = append(bad, c)
		}
	}
	if len(bad) == 0 {
		return nil
	}
	found, err := p.currents(bad)
	if err != nil {
		return err
	}
	split, _ := p.law(rules.SplitInNonmetallic)
	for _, c := range bad {
		u, ok := found[c]
		if !ok {
			continue
		}
		cable := &p.spec.Cables[c]
		share := "all"
		if u.net < 1-small {
			share = fmt.Sprintf("%.2g", u.net)
		}
		f := Finding{Place: p.cablePlace(cable.Name), About: u.light, Section: p.section(rules.CircuitTogether),
			amount: u.net, Witness: []Witness{p.witness(u.state, u.devices)}, Related: []Place{p.devicePlace(u.light)},
			Message: fmt.Sprintf("%s does not carry back what it carries out: of the current of %s, %s returns by another way", cable.Name, u.light.Name, share)}
		if split.Says == rules.Permitted && !p.metallic(cable) {
			// The field around it, and the trip of a device that compares, stand.
			f.Standing = Defect
			f.Message += "; no metal is around it, so " + split.Source.String() + " may permit it: ask the inspector"
		}
		p.Report(f)
	}
	return nil
}

// metallic reports whether a cable, or a box at one of its ends, is of metal, or may be:
// what a raceway is made of is not stated.
func (p *Pass) metallic(c *wiring.Cable) bool {
	switch c.Type.Construction {
	case conductor.NonmetallicSheath, conductor.FlatTwinAndEarth:
	default:
		return true
	}
	return slices.ContainsFunc(p.spec.Boxes, func(b wiring.Box) bool { return b.Metal && (b.Name == c.From || b.Name == c.To) })
}

// notBridges returns the cables, by number in name order, without which their two ends
// are still joined by other cables; boxes with feeds are joined by the service.
func (p *Pass) notBridges() []int32 {
	number := make(map[string]int32, len(p.spec.Boxes))
	node := func(name string) int32 {
		n, ok := number[name]
		if !ok {
			n = int32(len(number))
			number[name] = n
		}
		return n
	}
	type edge struct{ a, b, cable int32 }
	var edges []edge
	m := p.metal()
	last := int32(-1)
	for i := range m.wires {
		if w := &m.wires[i]; w.cable != last {
			last = w.cable
			if w.known {
				edges = append(edges, edge{node(w.box[0]), node(w.box[1]), w.cable})
			}
		}
	}
	for i := range p.spec.Feeds {
		if first := p.spec.Feeds[0].Box; p.spec.Feeds[i].Box != first {
			edges = append(edges, edge{node(first), node(p.spec.Feeds[i].Box), -1})
		}
	}
	if len(edges) < len(number) {
		// No more edges than a forest has; if it is one, all are bridges.
		sets, ring := unionfind.New(len(number)), false
		for _, e := range edges {
			ring = !sets.Union(e.a, e.b) || ring
		}
		if !ring {
			return nil
		}
	}
	start := make([]int32, len(number)+1)
	for _, e := range edges {
		start[e.a+1]++
		start[e.b+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	next := slices.Clone(start)
	half := make([]int32, 2*len(edges)) // edge numbers by node
	for i, e := range edges {
		half[next[e.a]] = int32(i)
		next[e.a]++
		half[next[e.b]] = int32(i)
		next[e.b]++
	}
	bridge := bridges(len(number), start, half, func(e, from int32) int32 { return edges[e].a + edges[e].b - from }, len(edges))
	var out []int32
	for i, e := range edges {
		if e.cable >= 0 && !bridge[i] {
			out = append(out, e.cable)
		}
	}
	return out
}

// bridges returns which edges of a graph are bridges (Tarjan, 1974), without recursion.
func bridges(nodes int, start, half []int32, other func(edge, from int32) int32, edges int) []bool {
	out := make([]bool, edges)
	order, low := make([]int32, nodes), make([]int32, nodes)
	at := slices.Clone(start[:nodes])
	came := make([]int32, nodes)
	count := int32(0)
	for root := range int32(nodes) {
		if order[root] != 0 {
			continue
		}
		stack := []int32{root}
		came[root] = -1
		count++
		order[root], low[root] = count, count
		for len(stack) > 0 {
			v := stack[len(stack)-1]
			if at[v] < start[v+1] {
				e := half[at[v]]
				at[v]++
				w := other(e, v)
				switch {
				case e == came[v]:
				case order[w] == 0:
					came[w] = e
					count++
					order[w], low[w] = count, count
					stack = append(stack, w)
				default:
					low[v] = min(low[v], order[w])
				}
				continue
			}
			stack = stack[:len(stack)-1]
			if len(stack) > 0 {
				u := stack[len(stack)-1]
				low[u] = min(low[u], low[v])
				out[came[v]] = low[v] > order[u]
			}
		}
	}
	return out
}

// cuts reports whether a cable's conductors are a cut of the circuit. Grounding
// conductors on the ground, and on nothing else, carry nothing and are left out.
func (p *Pass) cuts(cable int32) bool {
	m := p.metal()
	local := p.local()
	sets := unionfind.New(local.count + 1)
	supply := int32(local.count)
	for i := range m.wires {
		w := &m.wires[i]
		if w.cable != cable && w.known && !w.open && !p.idle(w) {
			sets.Union(local.of[w.term[0]], local.of[w.term[1]])
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		first := int32(-1)
		for _, t := range d.Kind.Terminals {
			if t == "ground" {
				continue
			}
			n := local.of[m.term(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t})]
			if first >= 0 {
				sets.Union(first, n)
			}
			first = n
		}
	}
	for i := range p.spec.Feeds {
		for _, t := range p.feedTerminals(int32(i)) {
			if t != "ground" {
				sets.Union(supply, local.of[m.term(p.feedRef(int32(i)).Terminal(t))])
			}
		}
	}
	for l := range p.job.Wiring.Net().Loads() {
		ends := l.Terminals()
		sets.Union(local.of[m.term(ends[0])], local.of[m.term(ends[1])])
	}
	var left, right []int32
	for i := range m.wires {
		if w := &m.wires[i]; w.cable == cable && !w.open && !p.idle(w) {
			left = append(left, sets.Find(local.of[w.term[0]]))
			right = append(right, sets.Find(local.of[w.term[1]]))
		}
	}
	return !slices.ContainsFunc(right, func(x int32) bool { return slices.Contains(left, x) })
}

// idle reports whether a wire is a ground and nothing else, or spare.
func (p *Pass) idle(w *wire) bool {
	f, _ := p.job.Wiring.Function(w.Wire)
	switch f.Kind {
	case wiring.GroundConductor, wiring.Spare:
		return true
	}
	return false
}

// parallel passes over conductors of a size from which the region lets them lie in
// parallel; without such a rule it finds all of them.
func parallel(p *Pass) error {
	m, local := p.metal(), p.local()
	law, _ := p.law(rules.ParallelConductors)
	type pair struct{ a, b int32 }
	first := map[pair]int{}
	for i := range m.wires {
		w := &m.wires[i]
		if w.ground || w.open || !w.known {
			continue
		}
		q := pair{local.of[w.term[0]], local.of[w.term[1]]}
		if q.a > q.b {
			q.a, q.b = q.b, q.a
		}
		k, ok := first[q]
		if !ok {
			first[q] = i
			continue
		}
		if law.Size.Valid() && w.core.Size.Compare(law.Size) >= 0 && m.wires[k].core.Size.Compare(law.Size) >= 0 {
			continue
		}
		f := Finding{Place: p.endPlace(wiring.End{Box: w.box[0], Wire: w.Wire}), Section: law.Source, Related: []Place{p.endPlace(wiring.End{Box: w.box[0], Wire: m.wires[k].Wire})},
			Message: fmt.Sprintf("%s and %s run side by side between the same joints", m.wires[k].Wire, w.Wire)}
		for _, box := range w.box {
			f.Fixes = append(f.Fixes, p.partParallel(box, m.wires[k].Wire, w.Wire)...)
		}
		for _, x := range []wiring.Wire{w.Wire, m.wires[k].Wire} {
			var caps []wiring.Edit
			for _, b := range w.box {
				caps = append(caps, wiring.CapEnd{End: wiring.End{Box: b, Wire: x}})
			}
			f.Fixes = append(f.Fixes, newFix(caps...))
		}
		p.Report(f)
	}
	return nil
}

// partParallel proposes to part a splice of a box that two wires are in, each wire with some
// of what else is there: two groups of neutrals were made one. Few things are divided in
// every way, the fewest to the second wire first.
func (p *Pass) partParallel(box string, a, b wiring.Wire) []Fix {
	const most = 4 // other things
	var out []Fix
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		if s.Box != box || !slices.Contains(s.Join, wiring.Joint{Wire: a}) || !slices.Contains(s.Join, wiring.Joint{Wire: b}) {
			continue
		}
		rest := slices.DeleteFunc(slices.Clone(s.Join), func(j wiring.Joint) bool { return j == wiring.Joint{Wire: a} || j == wiring.Joint{Wire: b} })
		if len(rest) < 2 || len(rest) > most {
			continue
		}
		for few := 1; few < len(rest); few++ {
			for set := range 1 << len(rest) {
				if bits.OnesCount(uint(set)) != few {
					continue
				}
				apart := []wiring.Joint{{Wire: b}}
				for n, j := range rest {
					if set&(1<<n) != 0 {
						apart = append(apart, j)
					}
				}
				out = append(out, newFix(wiring.SplitSplice{Box: box, Out: apart}))
			}
		}
	}
	return out
}
