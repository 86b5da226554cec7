package draw

import "slices"

// draw places a row with its top at y and returns the y below it.
func (r *chainRow) draw(s *scene, y int) int {
	up, down := 0, 0 // of the middle
	for i, x := range r.cells {
		top, bottom := x.extent()
		if x.kind != flagCell {
			top += len(r.wrapped(i, x.above, true))*leading + 6
			bottom += len(r.wrapped(i, x.below, false))*leading + 4
		}
		up, down = max(up, top), max(down, bottom)
	}
	r.mid = y + up + 4
	r.busY = r.mid + down + 12
	at := margin
	for i := range r.cells {
		r.gapX = append(r.gapX, at)
		at += r.gaps[i].width()
		r.x = append(r.x, at)
		at += r.widths[i]
	}
	r.gapX = append(r.gapX, at)
	for i, x := range r.cells {
		r.cell(s, i, x)
	}
	r.wires(s)
	bottom := r.mid + down
	if r.levels > 0 {
		bottom = r.busY + r.levels*apart
	}
	return bottom
}

// extent returns how far a cell reaches above and below the middle of its row.
func (x *cell) extent() (up, down int) {
	up, down = 18, 18
	for _, list := range [][]*chainPin{x.left, x.right} {
		for _, p := range list {
			up, down = max(up, 14-p.at.y), max(down, 14+p.at.y)
		}
	}
	return up, down
}

func (r *chainRow) wrapped(i int, texts []string, bold bool) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, wrap(clean(t), r.widths[i], small, bold)...)
		}
	}
	return out
}

// cell draws a cell, and gives its pins their places.
func (r *chainRow) cell(s *scene, i int, x *cell) {
	left, right := r.x[i], r.x[i]+r.widths[i]
	for _, p := range x.left {
		p.at = point{left, r.mid + p.at.y}
		s.anchor(p.name, p.at)
	}
	for _, p := range x.right {
		p.at = point{right, r.mid + p.at.y}
		s.anchor(p.name, p.at)
	}
	up, down := x.span(r.mid)
	if x.kind == flagCell {
		for _, p := range append(slices.Clone(x.left), x.right...) {
			r.flag(s, i, p)
		}
		return
	}
	box := shape{kind: rectangle, r: rect{left, up, right - left, down - up}, fill: wash, stroke: muted, width: 10, solid: true}
	if x.kind == lampCell {
		box.fill, box.stroke = paper, paper
	}
	s.shapes = append(s.shapes, box)
	middleX := (left + right) / 2
	above := r.wrapped(i, x.above, true)
	s.lines(middleX, up-6-(len(above)-1)*leading, middle, above, small, true, ink)
	s.lines(middleX, down+small+2, middle, r.wrapped(i, x.below, false), small, false, ink)
	switch x.kind {
	case lampCell:
		r.lamp(s, i, x)
	case sourceCell:
		r.source(s, i, x)
	case deviceCell:
		r.contacts(s, i, x)
	}
}

// span returns the y of the top and bottom of a cell whose pins have their places.
func (x *cell) span(mid int) (top, bottom int) {
	top, bottom = mid-18, mid+18
	for _, list := range [][]*chainPin{x.left, x.right} {
		for _, p := range list {
			top, bottom = min(top, p.at.y-14), max(bottom, p.at.y+14)
		}
	}
	return top, bottom
}

// flag draws the flag of a net that goes on in another row.
func (r *chainRow) flag(s *scene, i int, p *chainPin) {
	a, b := r.x[i], r.x[i]+r.widths[i]
	y := p.at.y
	s.shapes = append(s.shapes, shape{kind: polygon, pts: []point{{a, y - 9}, {b - 6, y - 9}, {b, y}, {b - 6, y + 9}, {a, y + 9}}, fill: wash, stroke: ink, width: 12})
	s.text(point{(a + b) / 2, y + 4}, middle, p.flag, small, true, ink)
}

// inner returns the contact of a pin within its cell.
func (r *chainRow) inner(p *chainPin, i int) point {
	if p.at.x == r.x[i] {
		return point{p.at.x + 12, p.at.y}
	}
	return point{p.at.x - 12, p.at.y}
}

func (s *scene) stroke(width int, pts ...point) {
	s.marks = append(s.marks, shape{kind: line, pts: pts, stroke: ink, width: width})
}

func (s *scene) contact(p point) {
	s.marks = append(s.marks, shape{kind: circle, r: rect{p.x - 3, p.y - 3, 6, 6}, fill: paper, stroke: ink, width: 15})
}

// contacts draws the contacts of a device as they stand.
func (r *chainRow) contacts(s *scene, i int, x *cell) {
	pins := map[string]*chainPin{}
	for _, list := range [][]*chainPin{x.left, x.right} {
		for _, p := range list {
			pins[p.on.Name] = p
			s.stroke(15, p.at, r.inner(p, i))
		}
	}
	for _, pos := range x.dev.Positions {
		if pos.Name != x.pos {
			continue
		}
		for _, group := range pos.Joins {
			var last *chainPin
			for _, name := range group {
				p := pins[name]
				if p == nil {
					continue
				}
				if last != nil {
					s.stroke(20, r.blade(last, p, i)...)
				}
				last = p
			}
		}
	}
	for _, p := range slices.Concat(x.left, x.right) {
		s.contact(r.inner(p, i))
	}
}

// blade returns the way of a closed contact between two pins of a cell.
func (r *chainRow) blade(a, b *chainPin, i int) []point {
	p, q := r.inner(a, i), r.inner(b, i)
	if p.x != q.x {
		return []point{p, q}
	}
	in := point{p.x + 10, p.y}
	if p.x > r.x[i]+r.widths[i]/2 {
		in.x = p.x - 10
	}
	return []point{p, in, {in.x, q.y}, q}
}

// source draws a feed: the supply, and the contact of its breaker.
func (r *chainRow) source(s *scene, i int, x *cell) {
	for _, p := range x.right {
		c := point{r.x[i] + 16, p.at.y}
		in := r.inner(p, i)
		s.stroke(15, in, p.at)
		if r.closed(x, p) {
			s.stroke(20, point{c.x + 9, c.y}, in)
		} else {
			s.stroke(20, point{c.x + 9, c.y}, point{in.x - 4, in.y - 10})
		}
		s.marks = append(s.marks, shape{kind: circle, r: rect{c.x - 9, c.y - 9, 18, 18}, fill: paper, stroke: ink, width: 13})
		s.stroke(13, point{c.x - 5, c.y}, point{c.x - 3, c.y - 3}, point{c.x - 1, c.y - 3}, point{c.x + 1, c.y + 3}, point{c.x + 3, c.y + 3}, point{c.x + 5, c.y})
		s.contact(in)
	}
}

// closed reports whether anything is joined to a terminal in the position of its cell.
func (r *chainRow) closed(x *cell, p *chainPin) bool {
	for _, pos := range x.dev.Positions {
		if pos.Name == x.pos {
			return slices.ContainsFunc(pos.Joins, func(g []string) bool { return slices.Contains(g, p.on.Name) })
		}
	}
	return false
}

// lamp draws a lamp between its two pins.
func (r *chainRow) lamp(s *scene, i int, x *cell) {
	c := point{r.x[i] + r.widths[i]/2, r.mid}
	for _, p := range slices.Concat(x.left, x.right) {
		s.stroke(15, p.at, point{c.x, p.at.y}, c)
	}
	s.lamp(c, 11)
}

// trackX returns the x of a net's track in a gap.
func (r *chainRow) trackX(gap, net int) int {
	g := &r.gaps[gap]
	for k, n := range g.nets {
		if n.net == net {
			return r.gapX[gap] + g.stub[0] + trackMargin + g.track[k]*apart + apart/2
		}
	}
	return r.gapX[gap]
}

// gapOf returns the gap on which a pin of the row lies.
func (r *chainRow) gapOf(p *chainPin) int {
	for i, x := range r.cells {
		if x == p.cell {
			if slices.Contains(x.right, p) {
				return i + 1
			}
			return i
		}
	}
	return -1
}

// course returns the way from one pin of a row to another of the same net.
func (r *chainRow) course(p, q *chainPin) []point {
	gp, gq := r.gapOf(p), r.gapOf(q)
	x := r.trackX(gp, p.net)
	if gp == gq {
		if p.at.y == q.at.y {
			return []point{p.at, q.at}
		}
		return []point{p.at, {x, p.at.y}, {x, q.at.y}, q.at}
	}
	y, z := r.busY+r.buses[p.net]*apart, r.trackX(gq, p.net)
	return []point{p.at, {x, p.at.y}, {x, y}, {z, y}, {z, q.at.y}, q.at}
}

// wires draws the nets of the row, and what stands at the pins of others.
func (r *chainRow) wires(s *scene) {
	first := map[int]*chainPin{}
	for i, x := range r.cells {
		for k, list := range [][]*chainPin{x.left, x.right} {
			for _, p := range list {
				r.end(s, p, i+k, k == 1)
				if _, rail := r.c.rails[p.net]; rail || r.count[p.net] < 2 {
					continue
				}
				if f := first[p.net]; f != nil {
					s.wires = append(s.wires, wire{name: r.c.names[p.net], from: f.name, to: p.name, pts: r.course(f, p), paint: paint{style: plain}, net: p.net + 1})
				} else {
					first[p.net] = p
				}
			}
		}
	}
	for gap := range r.gaps {
		for _, n := range r.gaps[gap].nets {
			r.dots(s, gap, &n)
		}
	}
}

// end writes the name of a pin's net, and draws what a pin ends on that leads to no
// other of the row: the mark of a rail, or the open end of a conductor that leads to
// nothing the diagram shows.
func (r *chainRow) end(s *scene, p *chainPin, gap int, onRight bool) {
	sign := -1
	side := end
	if onRight {
		sign, side = 1, start
	}
	if name := r.nameAt[p]; name != "" {
		s.text(point{p.at.x + sign*4, p.at.y - 7}, side, name, small, false, muted)
	}
	letter, rail := r.c.rails[p.net]
	switch {
	case rail:
		at := point{p.at.x + sign*12, p.at.y}
		s.anchor("rail\x00"+p.name, at)
		s.wires = append(s.wires, wire{name: letter, from: p.name, to: "rail\x00" + p.name, pts: []point{p.at, at}, paint: paint{style: plain}, net: p.net + 1})
		s.stroke(25, point{at.x, at.y - 7}, point{at.x, at.y + 7})
		s.text(point{at.x + sign*5, at.y + 4}, side, letter, small, true, ink)
	case r.count[p.net] < 2 && r.nameAt[p] != "":
		g := &r.gaps[gap]
		length := g.stub[1] - 4
		if onRight {
			length = g.stub[0] - 4
		}
		at := point{p.at.x + sign*length, p.at.y}
		s.anchor("open\x00"+p.name, at)
		s.wires = append(s.wires, wire{name: r.nameAt[p], from: p.name, to: "open\x00" + p.name, pts: []point{p.at, at}, paint: paint{style: plain}, net: p.net + 1})
		s.marks = append(s.marks, shape{kind: circle, r: rect{at.x - 3, at.y - 3, 6, 6}, fill: paper, stroke: ink, width: 12})
	}
}

// dots marks where three branches of a net or more meet.
func (r *chainRow) dots(s *scene, gap int, n *gapNet) {
	x := r.trackX(gap, n.net)
	branches := map[int]int{} // by height
	lo, hi := n.pins[0].at.y, n.pins[0].at.y
	for _, p := range n.pins {
		branches[p.at.y]++
		lo, hi = min(lo, p.at.y), max(hi, p.at.y)
	}
	if n.bus {
		y := r.busY + r.buses[n.net]*apart
		if gap > r.first[n.net] {
			branches[y]++
		}
		if gap < r.last[n.net] {
			branches[y]++
		}
		lo, hi = min(lo, y), max(hi, y)
	}
	var heights []int
	for y, k := range branches {
		if y > lo {
			k++
		}
		if y < hi {
			k++
		}
		if k > 2 {
			heights = append(heights, y)
		}
	}
	slices.Sort(heights)
	for _, y := range heights {
		s.marks = append(s.marks, shape{kind: circle, r: rect{x - 3, y - 3, 6, 6}, fill: ink})
	}
}
