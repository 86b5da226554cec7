package identify

// plan adds the nodes of a control.
func (g *generator) plan(f *frame, i int) {
	hot := f.hot
	p, c := &f.plans[i], &g.control[i]
	name := c.name
	first, last := p.order[0], p.order[len(p.order)-1]
	lights := uint64(0)
	for _, l := range c.lights {
		lights |= placeSet(g.lights[l].place)
	}
	add := func(fn Function, need uint64) int {
		f.nodes = append(f.nodes, node{role: Role{Function: fn, Of: name}, kind: otherNode, of: i, need: need, twin: -1})
		return len(f.nodes) - 1
	}
	back := -1
	if p.neutral >= 0 {
		back = f.back(i)
	}
	n := len(p.order)
	p.common, p.throws = make([]int, n), make([][]int, n)
	chain := func(from, to int) {
		if n == 1 {
			// A single switch: which screw is which says nothing.
			p.common[0], p.throws[0] = -1, []int{from, to}
			return
		}
		for k := range n {
			p.common[k] = -1
		}
		p.common[0], p.common[n-1] = from, to
		for k := 0; k+1 < n; k++ {
			need := placeSet(p.order[k]) | placeSet(p.order[k+1])
			a := add(Traveler, need)
			b := add(Traveler, need)
			f.nodes[a].twin, f.nodes[b].twin = b, a
			p.throws[k] = append(p.throws[k], a, b)
			p.throws[k+1] = append(p.throws[k+1], a, b)
		}
	}
	switch p.scheme {
	case Chain, OnePlace:
		f.nodes[hot[p.feed]].need |= placeSet(first)
		leg := add(SwitchLeg, placeSet(last)|lights)
		if back >= 0 {
			f.nodes[back].need |= lights
		}
		p.lamps = [2]int{leg, back}
		chain(hot[p.feed], leg)
	case SwitchedNeutral:
		f.nodes[hot[p.feed]].need |= lights
		ret := add(Return, placeSet(last)|lights)
		f.nodes[back].need |= placeSet(first)
		p.lamps = [2]int{hot[p.feed], ret}
		chain(back, ret)
	case JoinedCommons:
		both := placeSet(first) | placeSet(last)
		f.nodes[hot[p.feed]].need |= both
		leg := add(SwitchLeg, both|lights)
		link := add(CommonLink, both)
		if back >= 0 {
			f.nodes[back].need |= lights
		}
		p.lamps = [2]int{leg, back}
		p.common = []int{link, link}
		p.throws = [][]int{{hot[p.feed], leg}, {hot[p.feed], leg}}
	case HotNeutralThrows:
		both := placeSet(first) | placeSet(last)
		f.nodes[hot[p.feed]].need |= both
		f.nodes[back].need |= both
		a := add(SwitchLeg, placeSet(first)|lights)
		b := add(SwitchLeg, placeSet(last)|lights)
		p.lamps = [2]int{a, b}
		p.common = []int{a, b}
		p.throws = [][]int{{hot[p.feed], back}, {hot[p.feed], back}}
	}
}
