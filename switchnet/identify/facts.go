package identify

import (
	"slices"

	"example.com/switchleg/switchnet/wiring"
)

// facts are what the drawing says was seen: ends that are and are not spliced together,
// and what is on which screw.
type facts struct {
	pairs []pairFact
	land  []landFact
	alone []int // ends under a cap
}

type pairFact struct {
	a, b     int // a < b
	place    int
	together bool
}

type landFact struct {
	end    int
	place  int
	device string
	common bool
	either bool // the switch has no common
}

// facts reads what is seen in the open boxes off a wiring, but for boxes in which
// somebody worked.
func (sp *space) facts(spec wiring.Spec, disturbed []string) facts {
	var out facts
	number := map[wiring.End]int{}
	for e, x := range sp.ends {
		number[x] = e
	}
	for place, box := range sp.open {
		if slices.Contains(disturbed, box) {
			continue
		}
		// Terminals and splices are the groups; a terminal in a splice makes them one.
		group := map[int]int{} // of ends
		terminal := map[[2]string]int{}
		names, next := map[int][][2]string{}, 0
		merge := func(a, b int) {
			for e, x := range group {
				if x == b {
					group[e] = a
				}
			}
			for t, x := range terminal {
				if x == b {
					terminal[t] = a
				}
			}
		}
		on := func(device, name string) int {
			t := [2]string{device, name}
			if x, ok := terminal[t]; ok {
				return x
			}
			next++
			terminal[t] = next
			return next
		}
		for _, l := range spec.Landings {
			if e, ok := number[wiring.End{Box: box, Wire: l.Wire}]; ok && l.Box == box {
				group[e] = on(l.Device, l.Terminal)
			}
		}
		for _, s := range spec.Splices {
			if s.Box != box {
				continue
			}
			next++
			x := next
			for _, j := range s.Join {
				if j.Device != "" {
					merge(x, on(j.Device, j.Terminal))
				} else if e, ok := number[wiring.End{Box: box, Wire: j.Wire}]; ok {
					group[e] = x
				}
			}
		}
		for _, c := range spec.Caps {
			if e, ok := number[wiring.End{Box: box, Wire: c.Wire}]; ok && c.Box == box {
				next++
				group[e] = next
				out.alone = append(out.alone, e)
			}
		}
		for t, x := range terminal {
			names[x] = append(names[x], t)
		}
		// What is under a cap is joined with nothing, said or not.
		for _, a := range out.alone {
			for b := range sp.ends {
				if _, said := group[b]; !said && sp.at[a] == place && sp.at[b] == place {
					out.pairs = append(out.pairs, pairFact{min(a, b), max(a, b), place, false})
				}
			}
		}
		for a := range sp.ends {
			x, ok := group[a]
			if !ok {
				continue
			}
			for b := a + 1; b < len(sp.ends); b++ {
				if y, ok := group[b]; ok {
					out.pairs = append(out.pairs, pairFact{a, b, place, x == y})
				}
			}
			for _, t := range names[x] {
				for _, d := range spec.Devices {
					if d.Box == box && d.Name == t[0] && t[1] != "ground" && t[1] != "neutral" {
						out.land = append(out.land, landFact{end: a, place: place, device: t[0], common: t[1] == "common", either: !slices.Contains(d.Kind.Terminals, "common") && len(d.Kind.Terminals) == 2})
					}
				}
			}
		}
	}
	slices.SortFunc(out.land, func(a, b landFact) int {
		if a.end != b.end {
			return a.end - b.end
		}
		if a.common != b.common {
			return map[bool]int{true: -1, false: 1}[a.common]
		}
		return 0
	})
	return out
}

// lands reports whether a node belongs on such a screw in a frame. What a device does
// that is none of a control says nothing.
func (g *generator) lands(f *frame, n int, l landFact) bool {
	for i := range f.plans {
		if g.control[i].name != l.device && !(len(g.control) == 1 && slices.Contains(g.control[i].places, l.place)) {
			continue
		}
		p := &f.plans[i]
		k := slices.Index(p.order, l.place)
		if k < 0 {
			// A switch that no longer acts may hold anything.
			return true
		}
		is := func(x int) bool { return x >= 0 && n >= 0 && f.metal(x, l.place) == f.metal(n, l.place) }
		if len(p.order) == 1 || l.either {
			// Any two screws of a switch alone. Where it has a third, what was the other traveler
			// may still be on that.
			return slices.ContainsFunc(p.throws[k], is) || is(p.common[k]) || n == spareNode && (p.scheme == OnePlace || !l.either)
		}
		if l.common {
			return is(p.common[k])
		}
		return slices.ContainsFunc(p.throws[k], is)
	}
	return true
}

// unary reports whether what is on screws and under caps lets the conductors of a run do
// this.
func (g *generator) unary(f *frame, r run, have []int8) bool {
	does := func(end int) (int, bool) {
		for c, e := range r.conds {
			if e == end || f.lay.mate[e] == end {
				return int(have[c]), true
			}
		}
		return 0, false
	}
	for _, l := range g.known.land {
		if n, ok := does(l.end); ok && !g.lands(f, n, l) {
			return false
		}
	}
	for _, e := range g.known.alone {
		if n, ok := does(e); ok && n != spareNode && g.used(f, n, g.at[e]) {
			return false
		}
	}
	return true
}

// hold reports whether what the runs up to the i-th do agrees with what is spliced with
// what.
func (fs *facts) hold(f *frame, node []int8, i int) bool {
	if len(fs.pairs) == 0 {
		return true
	}
	last := func(end int) int {
		for k, r := range f.lay.runs {
			for _, e := range r.conds {
				if e == end || f.lay.mate[e] == end {
					return k
				}
			}
		}
		return -1
	}
	for _, p := range fs.pairs {
		if max(last(p.a), last(p.b)) != i {
			continue
		}
		if f.together(node, p) != p.together {
			return false
		}
	}
	return true
}

// together reports whether two ends of one box are on one metal there.
func (f *frame) together(node []int8, p pairFact) bool {
	a, b := int(node[p.a]), int(node[p.b])
	return a != spareNode && b != spareNode && f.metal(a, p.place) == f.metal(b, p.place)
}

// agrees reports whether a possibility agrees with facts.
func (g *generator) agrees(h *possibility, fs *facts) bool {
	for _, p := range fs.pairs {
		if h.frame.together(h.node, p) != p.together {
			return false
		}
	}
	for _, l := range fs.land {
		if !g.lands(h.frame, int(h.node[l.end]), l) {
			return false
		}
	}
	for _, e := range fs.alone {
		if n := h.node[e]; n != spareNode && g.used(h.frame, int(n), g.at[e]) {
			return false
		}
	}
	return true
}

// used reports whether a switch or a light of a place uses a node.
func (g *generator) used(f *frame, n, place int) bool {
	for i := range f.plans {
		p := &f.plans[i]
		if f.screw(i, place, n) != 0 {
			return true
		}
		if n == p.lamps[0] || n == p.lamps[1] {
			for _, l := range g.control[i].lights {
				if g.lights[l].place == place {
					return true
				}
			}
		}
	}
	return false
}
