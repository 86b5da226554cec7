package draw

import "slices"

// chainGap is the room between two cells: stubs at the pins on either side with the
// names of conductors above them, and between them tracks on which nets go up and
// down.
type chainGap struct {
	stub  [2]int // widths of the stubs of the pins on its left and on its right
	nets  []gapNet
	track []int
	n     int
}

// gapNet is what a net does in a gap.
type gapNet struct {
	net  int
	pins []*chainPin // those on the left first
	left int         // how many are on the left
	bus  bool        // it goes on beyond the gap
}

// findGaps says what each net does in each gap, and gives levels below the cells to
// those that go from gap to gap.
func (r *chainRow) findGaps() {
	r.gaps = make([]chainGap, len(r.cells)+1)
	in := map[int][2]int{} // the first and the last gap of each net
	each := func(f func(gap int, p *chainPin, left bool)) {
		for i, x := range r.cells {
			for k, list := range [][]*chainPin{x.left, x.right} {
				for _, p := range list {
					if _, rail := r.c.rails[p.net]; !rail {
						f(i+k, p, k == 1)
					}
				}
			}
		}
	}
	r.count = map[int]int{}
	each(func(gap int, p *chainPin, _ bool) {
		g, ok := in[p.net]
		if !ok {
			g = [2]int{gap, gap}
		}
		in[p.net] = [2]int{min(g[0], gap), max(g[1], gap)}
		r.count[p.net]++
	})
	r.levelBuses(in)
	r.first, r.last, r.nameAt = map[int]int{}, map[int]int{}, map[*chainPin]string{}
	for n, g := range in {
		r.first[n], r.last[n] = g[0], g[1]
	}
	each(func(gap int, p *chainPin, left bool) {
		if r.count[p.net] < 2 {
			return
		}
		g := &r.gaps[gap]
		k := slices.IndexFunc(g.nets, func(n gapNet) bool { return n.net == p.net })
		if k < 0 {
			k = len(g.nets)
			g.nets = append(g.nets, gapNet{net: p.net, bus: in[p.net][0] < in[p.net][1]})
		}
		n := &g.nets[k]
		if left {
			n.pins = slices.Insert(n.pins, n.left, p)
			n.left++
		} else {
			n.pins = append(n.pins, p)
		}
	})
	for i, x := range r.cells {
		for k, list := range [][]*chainPin{x.left, x.right} {
			g := &r.gaps[i+k]
			for _, p := range list {
				g.stub[1-k] = max(g.stub[1-k], r.stub(p))
			}
		}
	}
	for i := range r.gaps {
		g := &r.gaps[i]
		hops := make([]hop, len(g.nets))
		for k, n := range g.nets {
			hops[k] = n.hop()
		}
		g.track, g.n = hopTracks(hops)
	}
}

// levelBuses gives each net that goes beyond a gap a level, such that no two on one
// level share a gap.
func (r *chainRow) levelBuses(in map[int][2]int) {
	var nets []int
	for n, g := range in {
		if g[0] < g[1] {
			nets = append(nets, n)
		}
	}
	slices.SortFunc(nets, func(a, b int) int {
		ga, gb := in[a], in[b]
		if d := (ga[1] - ga[0]) - (gb[1] - gb[0]); d != 0 {
			return d
		}
		if ga[0] != gb[0] {
			return ga[0] - gb[0]
		}
		return a - b
	})
	var ends [][][2]int
	for _, n := range nets {
		level := 0
		for level < len(ends) && slices.ContainsFunc(ends[level], func(g [2]int) bool { return in[n][0] <= g[1] && g[0] <= in[n][1] }) {
			level++
		}
		if level == len(ends) {
			ends = append(ends, nil)
		}
		ends[level] = append(ends[level], in[n])
		r.buses[n] = level
	}
	r.levels = len(ends)
}

// low is a height below all cells, for the spans of nets that go down to a level.
const low = 1 << 12

// hop is how a net crosses a gap, with all heights it comes to.
func (n *gapNet) hop() hop {
	h := hop{left: low, right: low}
	if n.left > 0 {
		h.left = n.pins[0].at.y
	}
	if n.left < len(n.pins) {
		h.right = n.pins[n.left].at.y
	}
	h.lo, h.hi = h.left, h.left
	for _, p := range n.pins {
		h.lo, h.hi = min(h.lo, p.at.y), max(h.hi, p.at.y)
	}
	if n.left == 0 {
		h.lo = n.pins[0].at.y
		h.hi = n.pins[len(n.pins)-1].at.y
	}
	if n.bus {
		h.hi = low
		if n.left > 0 && n.left < len(n.pins) {
			h.right = max(h.right, h.left+1) // goes down
		}
	} else if n.left == 0 || n.left == len(n.pins) {
		// Back to the side it comes from.
		h.left, h.right = h.lo, h.hi
	}
	return h
}

func (g *chainGap) width() int {
	if g.stub == [2]int{} {
		return 0 // at an end of the row
	}
	return max(g.stub[0]+g.stub[1]+2*trackMargin+g.n*apart, 24)
}

// trackMargin is the room between stubs and tracks.
const trackMargin = 5

// stub returns how long the stub of a pin must be to carry what stands above it: the
// name of its net where it first comes, or the letter of a rail.
func (r *chainRow) stub(p *chainPin) int {
	if letter, rail := r.c.rails[p.net]; rail {
		return 24 + textWidth(letter, small, true)
	}
	if p.cell.kind == flagCell {
		return 6
	}
	name := r.c.names[p.net]
	if r.named[p.net] || name == "" {
		return 6
	}
	r.named[p.net] = true
	r.nameAt[p] = name
	return textWidth(name, small, false) + 8
}

// shorten leaves out the middle of a text that is wider than small text of width.
func shorten(text string, width int) string {
	if textWidth(text, small, false) <= width {
		return text
	}
	runes := []rune(text)
	for keep := len(runes) - 1; keep > 2; keep-- {
		head := keep / 3
		if s := string(runes[:head]) + "…" + string(runes[len(runes)-(keep-head):]); textWidth(s, small, false) <= width {
			return s
		}
	}
	return "…"
}
