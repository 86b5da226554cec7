package draw

import (
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// mapLimit is the most boxes, and the most cables, of a plan by coordinates.
const mapLimit = 60

// planMap is one try of a plan by coordinates: a way to turn and to stretch it.
type planMap struct {
	scene
	r     *runPlan
	width int
	boxes []rect   // of the symbols
	runs  [][2]int // for each cable its two ends, as numbers in ends
	ends  []point
	top   int
}

// byPosition lays a run plan out as its boxes lie, or says that it cannot.
func (r *runPlan) byPosition(width int) (*scene, bool) {
	if len(r.nodes) < 2 || len(r.nodes) > mapLimit || len(r.cables) > mapLimit {
		return nil, false
	}
	for i := range r.nodes {
		if b := r.nodes[i].box; b == nil || !b.Placed {
			return nil, false
		}
	}
	// As drawings usually lie, unless that leaves the length of the building too
	// little room.
	turns := []bool{false, true}
	if width < 500 {
		turns = []bool{true, false}
	}
	for _, turned := range turns {
		for _, gap := range [][2]int{{52, 52}, {52, 70}, {64, 70}, {76, 90}, {64, 120}, {76, 160}, {24, 60}, {24, 90}, {0, 60}, {0, 90}, {0, 130}} {
			for _, cablesFirst := range []bool{false, true} {
				m := &planMap{r: r, width: width}
				if m.set(turned, gap[0], gap[1]) && m.connect() && m.write(cablesFirst) {
					m.finish(turned)
					return &m.scene, true
				}
			}
		}
	}
	return nil, false
}

// set places the symbols: along the width what lies across or along, below one another
// the other. Neighbours on a line are kept apart by no less than gap across, and below
// downwards.
func (m *planMap) set(turned bool, gap, below int) bool {
	n := len(m.r.nodes)
	side := make([]quantity.Length, n)
	down := make([]quantity.Length, n)
	for i := range m.r.nodes {
		at := m.r.nodes[i].box.At
		side[i], down[i] = at[0], -at[1]
		if turned {
			side[i], down[i] = at[1], at[0]
		}
	}
	// The sides leave room for names beside the outermost symbols.
	left := max(margin+48, m.width/8)
	xs, ok := stretch(side, gap, m.width-2*left)
	if !ok {
		return false
	}
	ys, _ := stretch(down, below, 0)
	m.top = margin + large + 2*leading
	// Of boxes at one place the one with the most cables keeps it.
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(m.r.nodes[b].cables) - len(m.r.nodes[a].cables) })
	taken := map[point]int{}
	m.boxes = make([]rect, n)
	for _, i := range order {
		p := point{left + xs[i], m.top + 34 + ys[i]}
		k := taken[p]
		taken[p]++
		p.x, p.y = p.x+k*34, p.y+k*below
		node := &m.r.nodes[i]
		w, h := node.symbolWidth(0), 22
		m.boxes[i] = rect{p.x - w/2, p.y - h/2, w, h}
	}
	return true
}

// stretch returns positions on a line: in the order of the values, no two different
// ones nearer than gap, and otherwise to one scale as large as the room allows. Without
// a limit on the room the scale is such that the nearest two that are further apart
// than that keep their proportions up to twice the gap.
func stretch(values []quantity.Length, gap, room int) ([]int, bool) {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	sorted = slices.Compact(sorted)
	if room > 0 && (len(sorted)-1)*gap > room {
		return nil, false
	}
	span := sorted[len(sorted)-1] - sorted[0]
	place := func(per int) map[quantity.Length]int { // px for the whole span
		at := map[quantity.Length]int{sorted[0]: 0}
		x := 0
		for i, v := range sorted[1:] {
			d := v - sorted[i]
			w := gap
			if span > 0 {
				w = max(gap, int(float64(per)*(float64(d)/float64(span))))
			}
			if room == 0 {
				w = min(w, 2*gap)
			}
			x += w
			at[v] = x
		}
		return at
	}
	per := 0
	if room == 0 {
		per = (len(sorted) - 1) * gap * 5 / 4
	} else {
		// The largest scale that fits: every gap only grows with it.
		lo, hi := 0, room
		for lo < hi {
			mid := (lo + hi + 1) / 2
			if at := place(mid); at[sorted[len(sorted)-1]] <= room {
				lo = mid
			} else {
				hi = mid - 1
			}
		}
		per = lo
	}
	at := place(per)
	out := make([]int, len(values))
	for i, v := range values {
		out[i] = at[v]
	}
	return out, true
}

// connect draws the cables straight, side by side where several run between two boxes.
// A box that a line of others runs through or past, or whose own line lies close to
// another, is moved aside.
func (m *planMap) connect() bool {
	for round := range 120 {
		m.strokes()
		hit := false
		for c := range m.r.cables {
			a, b := m.ends[m.runs[c][0]], m.ends[m.runs[c][1]]
			for i := range m.boxes {
				if i != m.r.cables[c].from && i != m.r.cables[c].to && m.boxes[i].grown(8).cuts(a, b) {
					hit = true

					m.aside(i, a, b, round)
					break
				}
			}
		}
		for i := range m.boxes {
			for k := range i {
				if m.boxes[i].grown(10).overlaps(m.boxes[k].grown(10)) {
					hit = true
					m.boxes[i].y += 12
				}
			}
		}
		if hit {
			continue
		}
		i, d, ok := m.close()
		if ok {
			return m.sound()
		}
		m.aside(i, m.ends[m.runs[d][0]], m.ends[m.runs[d][1]], round)
	}
	return false
}

// aside moves a box a step across a line: sideways always towards the middle of the
// picture, where there is room; up or down away from the line. Where that leads
// nowhere for long, the other of the two is tried for a while.
func (m *planMap) aside(i int, a, b point, round int) {
	const step = 14
	p := &m.boxes[i]
	if steep := abs(b.y-a.y) > abs(b.x-a.x); steep != (round%40 >= 20) {
		if a.x+b.x < m.width {
			p.x += step
		} else {
			p.x -= step
		}
		p.x = min(max(p.x, margin), m.width-margin-p.w)
		return
	}
	at := center(*p)
	below := (b.x-a.x)*(at.y-a.y) > (b.y-a.y)*(at.x-a.x)
	if b.x < a.x {
		below = !below
	}
	if below || p.y-step < m.top+20 {
		p.y += step
	} else {
		p.y -= step
	}
}

// close looks for a cable that ends so near to another that the two could be taken for
// one another; ok says that there is none. It returns the box to move, and the cable
// to move it away from.
func (m *planMap) close() (box, from int, ok bool) {
	for c := range m.runs {
		for d := range m.runs {
			if c == d {
				continue
			}
			e, f := m.ends[m.runs[d][0]], m.ends[m.runs[d][1]]
			for k := range 2 {
				p := m.ends[m.runs[c][k]]
				if !(rect{p.x - 6, p.y - 6, 12, 12}).cuts(e, f) {
					continue
				}
				// The far end of the one that leads to the fewer others, if the
				// other does not end there too.
				x, y := &m.r.cables[c], &m.r.cables[d]
				mine, theirs := [2]int{x.to, x.from}[k], y.from
				if y.from == [2]int{x.from, x.to}[k] {
					theirs = y.to
				}
				if len(m.r.nodes[mine].cables) <= len(m.r.nodes[theirs].cables) && mine != y.from && mine != y.to {
					return mine, d, false
				}
				if theirs != x.from && theirs != x.to {
					return theirs, c, false
				}
				return mine, d, false
			}
		}
	}
	return 0, 0, true
}

func abs(a int) int { return max(a, -a) }

// strokes finds the ends of all lines on the edges of the symbols.
func (m *planMap) strokes() {
	m.ends, m.runs = nil, nil
	count := map[[2]int]int{}
	key := func(c int) [2]int {
		e := &m.r.cables[c]
		return [2]int{min(e.from, e.to), max(e.from, e.to)}
	}
	for c := range m.r.cables {
		count[key(c)]++
	}
	index := map[[2]int]int{}
	for c := range m.r.cables {
		k := key(c)
		off := (2*index[k] - count[k] + 1) * 6 // half px
		index[k]++
		a, b := center(m.boxes[k[0]]), center(m.boxes[k[1]])
		// Across the line, rounded to the nearer axis.
		var by point
		if abs(b.x-a.x) > abs(b.y-a.y) {
			by.y = off
		} else {
			by.x = off
		}
		a, b = point{a.x + by.x, a.y + by.y}, point{b.x + by.x, b.y + by.y}
		from, to := leaves(m.boxes[k[0]], a, b), leaves(m.boxes[k[1]], b, a)
		if m.r.cables[c].from != k[0] {
			from, to = to, from
		}
		m.runs = append(m.runs, [2]int{len(m.ends), len(m.ends) + 1})
		m.ends = append(m.ends, from, to)
	}
}

func center(r rect) point { return point{r.x + r.w/2, r.y + r.h/2} }

// leaves returns where the line from a point in a rectangle to one outside leaves it.
func leaves(r rect, a, b point) point {
	dx, dy := b.x-a.x, b.y-a.y
	best := b
	num, den := 1, 1 // the least share of the way
	try := func(n, d int, p point) {
		if d < 0 {
			n, d = -n, -d
		}
		if d > 0 && n >= 0 && n*den < num*d {
			num, den, best = n, d, p
		}
	}
	for _, x := range []int{r.x, r.right()} {
		if dx != 0 && (x-a.x)*dx >= 0 {
			try(x-a.x, dx, point{x, a.y + (x-a.x)*dy/dx})
		}
	}
	for _, y := range []int{r.y, r.bottom()} {
		if dy != 0 && (y-a.y)*dy >= 0 {
			try(y-a.y, dy, point{a.x + (y-a.y)*dx/dy, y})
		}
	}
	return best
}

// sound reports whether every symbol is within the width, every end on the edge of its
// symbol, and every line long enough to be seen.
func (m *planMap) sound() bool {
	for _, b := range m.boxes {
		if b.x < margin || b.right() > m.width-margin || b.y < m.top {
			return false
		}
	}
	for c := range m.runs {
		a, b := m.ends[m.runs[c][0]], m.ends[m.runs[c][1]]
		for k, node := range []int{m.r.cables[c].from, m.r.cables[c].to} {
			p, r := []point{a, b}[k], m.boxes[node]
			if p.x != r.x && p.x != r.right() && p.y != r.y && p.y != r.bottom() || !r.contains(rect{p.x, p.y, 0, 0}) {
				return false
			}
		}
		if abs(a.x-b.x)+abs(a.y-b.y) < 16 {
			return false
		}
	}
	return true
}

// finish draws the symbols and the lines, and says how the plan lies.
func (m *planMap) finish(turned bool) {
	m.text(point{margin, margin + large}, start, "Run plan", large, true, ink)
	says := "As the boxes lie, not to scale: along to the right, across upwards."
	if turned {
		says = "As the boxes lie, not to scale: along downwards, across to the right."
	}
	m.scene.lines(margin, margin+large+leading+1, start, wrap(says, m.width-2*margin, small, false), small, false, muted)
	for i := range m.r.nodes {
		m.symbol(&m.r.nodes[i], m.boxes[i])
	}
	for c := range m.r.cables {
		e := &m.r.cables[c]
		a, b := m.ends[m.runs[c][0]], m.ends[m.runs[c][1]]
		m.anchor(endPin(e.name, e.from), a)
		m.anchor(endPin(e.name, e.to), b)
		m.wires = append(m.wires, wire{name: e.name, from: endPin(e.name, e.from), to: endPin(e.name, e.to), pts: []point{a, b}, paint: paint{style: sheath}})
	}
	m.frame(0)
	m.r.legend(&m.scene, m.height+leading+8, m.width)
	m.frame(margin)
}
