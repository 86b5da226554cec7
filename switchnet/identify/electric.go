package identify

import (
	"math/bits"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet/trace"
)

// A circuit is what is joined to what under a possibility, with boxes taken apart so far
// and some ends twisted together. The vertices are the ends, then the neutral bar of the
// panels.
type circuit struct {
	comp  []int8    // metal, numbered by the first vertex
	group []int8    // the same with everything joined that a load or a switch may join
	hot   []uint16  // of each metal: the feeds whose hot is on it
	bar   int8      // the metal of the neutral bar
	loose []bool    // of each group: something other than a filament joins it
	reach []uint16  // of each group: the feeds whose hot is in it
	hangs []hanging // with every feed on; then, if there are several, with each of them off
	line  phases    // of the feeds
}

// hanging says of each metal that no rail is on the feeds whose hot, and whether the
// neutral, it may hang on through loads and switches. Rails bound what hangs on them; a hot
// that is off is none.
type hanging struct {
	hot []uint16
	bar []bool
}

// hanging returns what hangs on what with a set of feeds off, false if that was not worked
// out.
func (c *circuit) hanging(off uint16) (hanging, bool) {
	switch k := 1 + bits.TrailingZeros16(off); {
	case off == 0:
		return c.hangs[0], true
	case off&(off-1) == 0 && k < len(c.hangs):
		return c.hangs[k], true
	}
	return hanging{}, false
}

// vertices numbers, for a frame, the joints of each node in each place after the ends and
// the bar.
func (f *frame) vertices(ends, places int) (at []int, n int) {
	at = make([]int, len(f.nodes)*places)
	n = ends + 1
	for k := range f.nodes {
		for rest := f.at[k]; rest != 0; rest &= rest - 1 {
			at[k*places+bits.TrailingZeros64(rest)] = n
			n++
		}
	}
	return at, n
}

// A setup is how far the open boxes are taken apart, and what is twisted together.
type setup struct {
	stage []Stage
	ties  [][2]int
}

// circuit returns what a possibility joins. It takes time linear in the ends and nodes.
func (sp *space) circuit(h *possibility, s setup) *circuit {
	f, ends, places := h.frame, len(sp.ends), sp.places()
	vertex := func(node, place int) int32 { return int32(f.joint[node*places+place]) }
	uf := unionfind.New(f.size)
	bar := int32(ends)
	for e, n := range h.node {
		if m := f.lay.mate[e]; m > e {
			uf.Union(int32(e), int32(m))
		}
		if n == spareNode {
			continue
		}
		if s.stage[sp.at[e]] != Parted {
			uf.Union(int32(e), vertex(int(n), sp.at[e]))
		}
		if far := f.lay.far[sp.unitOf[e]]; far >= len(sp.open) {
			uf.Union(int32(e), vertex(int(n), far))
		}
	}
	for k, r := range f.lay.runs {
		for n := range f.nodes {
			if r.hidden && f.nodes[n].runs&(1<<k) != 0 {
				uf.Union(vertex(n, r.a), vertex(n, r.b))
			}
		}
	}
	for _, x := range f.way.joins {
		for rest := x.at; rest != 0; rest &= rest - 1 {
			p := bits.TrailingZeros64(rest)
			uf.Union(vertex(x.a, p), vertex(x.b, p))
		}
	}
	for _, t := range s.ties {
		uf.Union(int32(t[0]), int32(t[1]))
	}
	for i, n := range f.nodes {
		if n.kind == neutralNode {
			uf.Union(vertex(i, f.feedAt[n.of]), bar)
		}
	}
	hot := make(map[int32]uint16, len(sp.feeds))
	for i, n := range f.nodes {
		if n.kind == hotNode {
			hot[uf.Find(vertex(i, f.feedAt[n.of]))] |= 1 << n.of
		}
	}
	// What a load or the contact of a switch may join.
	soft := unionfind.New(f.size)
	for x := range int32(f.size) {
		soft.Union(x, uf.Find(x))
	}
	var loose []int32
	var edges [][2]int32
	join := func(a, b int32, filament bool) {
		soft.Union(a, b)
		edges = append(edges, [2]int32{uf.Find(a), uf.Find(b)})
		if !filament && uf.Find(a) != uf.Find(b) {
			loose = append(loose, a)
		}
	}
	for i, n := range f.nodes {
		if n.kind == hotNode {
			join(vertex(i, f.feedAt[n.of]), bar, false) // what else the circuit feeds
		}
	}
	for i, p := range f.plans {
		for _, l := range sp.control[i].lights {
			at := sp.lights[l].place
			if at < len(sp.open) && s.stage[at] == Parted {
				continue
			}
			b := bar
			if p.lamps[1] >= 0 {
				b = vertex(p.lamps[1], at)
			}
			join(vertex(p.lamps[0], at), b, sp.lights[l].filament)
		}
		for k, at := range p.order {
			if at < len(sp.open) && s.stage[at] != Found {
				continue
			}
			screws := p.throws[k]
			if p.common[k] >= 0 {
				screws = append([]int{p.common[k]}, screws...)
			}
			for j := 1; j < len(screws); j++ {
				join(vertex(screws[0], at), vertex(screws[j], at), false)
			}
		}
	}
	for i, x := range f.onward {
		if x >= 0 {
			h, n := f.hot[x], f.neutral[x]
			at := f.lay.onward[i]
			join(vertex(h, at), vertex(n, at), false)
		}
	}
	c := number(uf, soft, ends, hot, loose)
	c.line = f.line
	c.hangs = []hanging{c.hang(uf, edges, f.size, hot, 0)}
	if len(sp.feeds) > 1 {
		for k := range sp.feeds {
			c.hangs = append(c.hangs, c.hang(uf, edges, f.size, hot, 1<<k))
		}
	}
	return c
}

// hang works out what metal hangs on through loads and switches, a set of feeds off.
func (c *circuit) hang(uf *unionfind.Sets, edges [][2]int32, size int, hot map[int32]uint16, off uint16) hanging {
	ends := len(c.comp) - 1
	bar := uf.Find(int32(ends))
	free := unionfind.New(size)
	rail := func(r int32) bool { return r == bar || hot[r]&^off != 0 }
	for _, e := range edges {
		if !rail(e[0]) && !rail(e[1]) {
			free.Union(e[0], e[1])
		}
	}
	hots, bars := map[int32]uint16{}, map[int32]bool{}
	for _, e := range edges {
		for i, r := range e {
			if o := e[1-i]; !rail(r) && rail(o) {
				g := free.Find(r)
				hots[g] |= hot[o] &^ off
				bars[g] = bars[g] || o == bar
			}
		}
	}
	out := hanging{make([]uint16, len(c.hot)), make([]bool, len(c.hot))}
	for e := range int32(ends) + 1 {
		if r := uf.Find(e); !rail(r) {
			k, g := c.comp[e], free.Find(r)
			out.hot[k], out.bar[k] = hots[g], bars[g]
		}
	}
	return out
}

// number gives metal and groups numbers in the order of the ends.
func number(uf, soft *unionfind.Sets, ends int, hot map[int32]uint16, loose []int32) *circuit {
	c := &circuit{comp: make([]int8, ends+1), group: make([]int8, ends+1)}
	comps, groups := make(map[int32]int8, ends), make(map[int32]int8, ends)
	for e := range int32(ends) + 1 {
		r := uf.Find(e)
		k, ok := comps[r]
		if !ok {
			k = int8(len(comps))
			comps[r] = k
			c.hot = append(c.hot, hot[r])
		}
		c.comp[e] = k
		g := soft.Find(e)
		k, ok = groups[g]
		if !ok {
			k = int8(len(groups))
			groups[g] = k
			c.loose = append(c.loose, false)
			c.reach = append(c.reach, 0)
		}
		c.group[e] = k
	}
	c.bar = c.comp[ends]
	for _, x := range loose {
		if k, ok := groups[soft.Find(x)]; ok {
			c.loose[k] = true
		}
	}
	for r, mask := range hot {
		if k, ok := groups[soft.Find(r)]; ok {
			c.reach[k] |= mask
		}
	}
	return c
}

// perhaps is the likelihood of an answer that may come out in any of three ways.
const perhaps = 1.0 / 3

// An outcome is what a test comes to under a possibility: one answer for sure, or, at
// anyPath and anyLevel, any of three.
type outcome uint8

// The outcomes of an ohmmeter, less one the paths of package trace, and anyPath; those
// of a voltmeter are the levels, and anyLevel and allLevel.
const (
	anyPath  outcome = 3
	anyLevel outcome = outcome(levels) // but the volts of two lines
	allLevel outcome = outcome(levels) + 1
)

// path returns what an ohmmeter finds between two vertices, every circuit off.
func (c *circuit) path(a, b int) outcome {
	switch {
	case c.comp[a] == c.comp[b]:
		return outcome(trace.Joined - 1)
	case c.group[a] != c.group[b]:
		return outcome(trace.Open - 1)
	case c.loose[c.group[a]]:
		return anyPath
	}
	return outcome(trace.Through - 1)
}

// pathLikely returns how likely an ohmmeter is to find a path.
func pathLikely(o outcome, p trace.Path) float64 {
	switch o {
	case anyPath:
		return perhaps
	case outcome(p - 1):
		return 1
	}
	return 0
}

// levelLikely returns how likely a reading is to come to a level.
func levelLikely(o outcome, l Level) float64 {
	switch {
	case o == allLevel:
		return 1.0 / float64(levels)
	case o == anyLevel && l != TwoLines:
		return perhaps
	case o == outcome(l):
		return 1
	}
	return 0
}

// volts returns what a tester that loads the circuit shows between two vertices, the
// feeds of a set off.
func (sp *space) volts(c *circuit, a, b int, off uint16) outcome {
	if c.comp[a] == c.comp[b] {
		return outcome(None)
	}
	hotA, hotB := c.hot[c.comp[a]]&^off, c.hot[c.comp[b]]&^off
	barA, barB := c.comp[a] == c.bar, c.comp[b] == c.bar
	switch {
	case hotA != 0 && hotB != 0:
		if c.line.differ(hotA | hotB) {
			return outcome(TwoLines)
		}
		return outcome(None)
	case hotA != 0 && barB || hotB != 0 && barA:
		return outcome(OneLine)
	case (hotA != 0 || barA) && (hotB != 0 || barB):
		return outcome(None)
	}
	// One at least hangs free, or on a load. Nothing shows unless both lead to something,
	// and one of them to something live.
	ka, kb := c.comp[a], c.comp[b]
	var live uint16
	var driven func(k int8) bool
	if h, ok := c.hanging(off); ok {
		live = hotA | hotB | h.hot[ka] | h.hot[kb]
		driven = func(k int8) bool {
			return c.hot[k]&^off != 0 || k == c.bar || h.hot[k] != 0 || h.bar[k]
		}
	} else {
		// Whatever is in a group may hang on all of it.
		ga, gb := c.group[a], c.group[b]
		live = (c.reach[ga] | c.reach[gb]) &^ off
		driven = func(k int8) bool {
			g := ga
			if k == kb {
				g = gb
			}
			return c.reach[g]&^off != 0 || g == c.group[len(c.group)-1]
		}
	}
	switch {
	case live == 0 || !driven(ka) || !driven(kb):
		return outcome(None)
	case c.line.differ(live):
		return allLevel
	}
	return anyLevel
}

// bolted reports whether some live feed is, or may be through a switch, on metal with
// the neutral or with a feed of another line.
func (sp *space) bolted(c *circuit) bool {
	for k, hot := range c.hot {
		if hot == 0 {
			continue
		}
		if int8(k) == c.bar {
			return true
		}
		if c.line.differ(hot) {
			return true
		}
	}
	return false
}
