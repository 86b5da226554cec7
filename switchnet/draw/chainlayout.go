package draw

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

const (
	pinPitch = 30 // of the terminals of a cell
	flagSize = 22
)

// chainRow is one row of a circuit diagram: cells from left to right, with a gap before
// each and one after the last. Gap i is on the left of cell i.
type chainRow struct {
	c      *chain
	cells  []*cell
	widths []int
	gaps   []chainGap
	buses  map[int]int // levels, by net
	levels int
	width  int
	count  map[int]int // pins of a net in the row
	first  map[int]int // and its first and last gap
	last   map[int]int
	// Where everything is, when it is drawn.
	x, gapX []int
	mid     int
	busY    int
	named   map[int]bool         // nets that are named in it or before
	nameAt  map[*chainPin]string // pins with the name of their net above their stub
}

// layout places everything.
func (c *chain) layout(out *scene, width int, ways []way) {
	y := margin + large
	out.text(point{margin, y}, start, "Control "+c.group.Name, large, true, ink)
	y += 4
	says := "As drawn, not as measured. Handles and lights as stated; heavy: the way of the current."
	if len(ways) == 0 {
		says = "As drawn, not as measured. Handles and lights as stated; no light of the group has a current."
	}
	if c.view.Shorted() {
		says += " SHORT: rails that must be apart are joined in this state."
	}
	y = out.lines(margin, y+leading, start, wrap(says, width-2*margin, small, false), small, false, muted)
	rows := c.rows(width - 2*margin)
	for _, r := range rows {
		y = r.draw(out, y+4) + 10
	}
	c.heavy(out, rows, ways)
	out.lines(margin, y+small, start, wrap(strings.Join(c.legend(out, len(rows)), "; "), width-2*margin, small, false), small, false, muted)
	out.frame(margin)
}

// legend says what stands in the picture for what.
func (c *chain) legend(out *scene, rows int) []string {
	var says []string
	for _, r := range []struct{ letter, says string }{{"N", "N: neutral"}, {"G", "G: ground"}, {"A", "A: line A"}, {"B", "B: line B"}, {"C", "C: line C"}} {
		if slices.ContainsFunc(out.labels, func(l label) bool { return l.text == r.letter }) {
			says = append(says, r.says)
		}
	}
	for _, l := range out.labels {
		if head, more, ok := strings.Cut(l.text, " +"); ok && slices.Contains(slices.Collect(maps.Values(c.names)), head+" +"+more) {
			says = append(says, "+ and a number: that many wires more are one metal with it")
			break
		}
	}
	if rows > 1 {
		says = append(says, "a number in a flag: it goes on in the next row")
	}
	return says
}

// rows breaks the chain into rows no wider than the room, with flags where they break,
// and at least one cell in each.
func (c *chain) rows(room int) []*chainRow {
	// The last cell that each net comes to, and the first.
	first, last := map[int]int{}, map[int]int{}
	for i, x := range c.cells {
		for _, list := range [][]*chainPin{x.left, x.right} {
			for _, p := range list {
				if _, ok := first[p.net]; !ok {
					first[p.net] = i
				}
				last[p.net] = i
			}
		}
	}
	number := map[int]int{} // of nets, in the order in which they first break off
	named := map[int]bool{} // nets whose names stand in a row before
	var rows []*chainRow
	var open []int // nets that go on from the row before, in the order of its flag
	for at := 0; at < len(c.cells); {
		var best *chainRow
		var bestOpen []int
		bestEnd := at
		for end := at + 1; end <= len(c.cells); end++ {
			cells := slices.Clone(c.cells[at:end])
			if len(open) > 0 {
				cells = append([]*cell{c.flag(open, number, len(rows), false)}, cells...)
			}
			var out []int
			if end < len(c.cells) {
				out = c.crossing(cells, end, first, last)
				for _, n := range out {
					if number[n] == 0 {
						number[n] = -1 // for its width
					}
				}
				if len(out) > 0 {
					cells = append(cells, c.flag(out, number, len(rows), true))
				}
				for _, n := range out {
					if number[n] == -1 {
						delete(number, n)
					}
				}
			}
			r := c.row(cells, named)
			if best != nil && r.width > room {
				break
			}
			best, bestOpen, bestEnd = r, out, end
			if r.width > room {
				break
			}
		}
		for _, n := range bestOpen {
			if number[n] == 0 {
				number[n] = len(number) + 1
			}
		}
		// The flags once more, now that their numbers are known.
		for _, x := range best.cells {
			if x.kind == flagCell {
				for _, p := range append(slices.Clone(x.left), x.right...) {
					p.flag = fmt.Sprint(number[p.net])
				}
			}
		}
		rows, named = append(rows, best), best.named
		open, at = bestOpen, bestEnd
	}
	return rows
}

// crossing returns the nets that come to cells on both sides of the break before a
// cell, those on the right of the cell before the break first, in their order.
func (c *chain) crossing(cells []*cell, end int, first, last map[int]int) []int {
	var out []int
	add := func(n int) {
		if _, rail := c.rails[n]; !rail && first[n] < end && last[n] >= end && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	for i := len(cells) - 1; i >= 0; i-- {
		for _, p := range cells[i].right {
			add(p.net)
		}
		for _, p := range cells[i].left {
			add(p.net)
		}
	}
	return out
}

// flag returns the cell that ends a row or begins the next.
func (c *chain) flag(nets []int, number map[int]int, row int, out bool) *cell {
	x := &cell{kind: flagCell}
	for _, n := range nets {
		p := &chainPin{name: fmt.Sprintf("flag\x00%d\x00%d\x00%t", row, n, out), net: n, cell: x, flag: fmt.Sprint(number[n])}
		if out {
			x.left = append(x.left, p)
		} else {
			x.right = append(x.right, p)
		}
	}
	return x
}

// row measures a row: the heights of all pins, relative to its middle, and the widths
// of its cells and gaps.
func (c *chain) row(cells []*cell, named map[int]bool) *chainRow {
	r := &chainRow{c: c, cells: cells, buses: map[int]int{}, named: maps.Clone(named)}
	for i, x := range cells {
		grid(x.right)
		if i > 0 {
			c.follow(x, cells[i-1].right)
		} else {
			grid(x.left)
		}
		r.widths = append(r.widths, x.width())
	}
	r.findGaps()
	for i := range cells {
		r.width += r.widths[i]
	}
	for i := range r.gaps {
		r.width += r.gaps[i].width()
	}
	return r
}

// grid puts pins one below the other, level with the middle of the row.
func grid(pins []*chainPin) {
	for i, p := range pins {
		p.at.y = i*pinPitch - (len(pins)-1)*pinPitch/2
	}
}

// follow puts the pins on the left of a cell level with those of the same nets on the
// right of the one before, and clear of all others. The marks of rails are in nobody's
// way: they stand right at their pins.
func (c *chain) follow(x *cell, before []*chainPin) {
	level := func(p *chainPin) (int, bool) {
		for _, q := range before {
			if q.net == p.net {
				return q.at.y, true
			}
		}
		return 0, false
	}
	slices.SortStableFunc(x.left, func(p, q *chainPin) int {
		a, okA := level(p)
		b, okB := level(q)
		switch {
		case okA && okB:
			return a - b
		case okA:
			return -1
		case okB:
			return 1
		}
		return 0
	})
	grid(x.left)
	y := -1 << 20
	for _, p := range x.left {
		want := p.at.y
		if l, ok := level(p); ok {
			want = l
		}
		want = max(want, y+28)
		for slices.ContainsFunc(before, func(q *chainPin) bool {
			d := q.at.y - want
			if _, rail := c.rails[q.net]; rail {
				return false
			}
			return d > -apart && d < apart && (q.net != p.net || d != 0)
		}) {
			want++
		}
		p.at.y, y = want, want
	}
}

// width returns the width of a cell.
func (x *cell) width() int {
	if x.kind == flagCell {
		w := flagSize
		for _, p := range append(slices.Clone(x.left), x.right...) {
			w = max(w, textWidth(p.flag, small, true)+12)
		}
		return w
	}
	w := 54
	for _, t := range x.above {
		w = max(w, min(textWidth(clean(t), small, true), 92))
	}
	for _, t := range x.below {
		w = max(w, min(textWidth(clean(t), small, false), 92))
	}
	return w
}
