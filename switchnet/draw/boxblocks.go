package draw

// joint draws a splice as one joint: a bar that all its conductors run into, round
// from those on the left to the pigtails on the right.
func (l *boxLayout) joint(lefts, rights []int, edge, bottom int) {
	a, b := l.colX+4, edge-4
	var pts []point
	if len(lefts) > 0 {
		pts = append(pts, point{a, lefts[0]})
		if len(rights) > 0 {
			pts = append(pts, point{a, bottom}, point{b, bottom})
		} else {
			pts = append(pts, point{a, lefts[len(lefts)-1]})
		}
	}
	if len(rights) > 0 {
		if len(lefts) == 0 {
			pts = append(pts, point{b, rights[len(rights)-1]})
		}
		pts = append(pts, point{b, rights[0]})
	}
	if len(pts) == 0 {
		return // all of it goes to another part of the picture
	}
	l.marks = append(l.marks, shape{kind: line, pts: pts, stroke: ink, width: 30})
}

// blocks places what the conductors end on, and returns how far down it reaches.
func (l *boxLayout) blocks(y, bottom int) int {
	s := l.s
	l.right = map[string]int{}
	edge := l.colX + l.c.right
	last := y - 100
	below := 0 // how much room the blocks still to come take at least
	for _, b := range s.blocks {
		below += l.heightOf(b) + 12
	}
	for _, b := range s.blocks {
		// A block stands level with its wires where that leaves room for the rest.
		if want := l.level(b); want > y {
			y = min(want, max(y, bottom-below))
		}
		below -= l.heightOf(b) + 12
		top := y
		x, room := l.colX+10, l.c.right-20
		y += normal + 4
		y = l.lines(x, y, start, wrap(clean(b.head), room, normal, true), normal, true, ink)
		for _, t := range b.says {
			y = l.lines(x, y, start, wrap(clean(t), room, small, false), small, false, muted)
		}
		y += 2
		var lefts, rights []int
		for _, r := range b.rows {
			y = l.free(max(y, last+pitch), r.wire)
			last = y
			l.right[r.name] = y
			if r.wire >= 0 {
				l.anchor(r.name, point{l.colX, y})
				lefts = append(lefts, y)
				l.pin(b.kind, l.colX, y)
			}
			if r.right != "" {
				l.anchor(r.right, point{edge, y})
				rights = append(rights, y)
				l.pin(b.kind, edge, y)
			}
			y = l.row(r, x, y+4, room) - 4
		}
		y += 4
		box := shape{kind: rectangle, r: rect{l.colX, top, l.c.right, y - top}, fill: wash, stroke: ink, width: 10, solid: true}
		if b.kind == splice {
			box.round, box.width = 8, 18
			l.joint(lefts, rights, edge, y-6)
		}
		if b.kind == loose {
			box.dash = "4 3"
		}
		l.shapes = append(l.shapes, box)
		y += 12
	}
	return y - 12
}

// row writes the text of a row with its first baseline at y, and returns the baseline
// of what comes below.
func (l *boxLayout) row(r *row, x, y, room int) int {
	strong, text := clean(r.strong), clean(r.text)
	edge := x + room
	switch {
	case strong == "" && r.right != "":
		return l.lines(edge, y, end, wrap(text, room, normal, false), normal, false, ink)
	case strong == "":
		return l.lines(x, y, start, wrap(text, room, normal, false), normal, false, ink)
	case textWidth(strong, normal, true)+8+textWidth(text, normal, false) <= room:
		l.text(point{x, y}, start, strong, normal, true, ink)
		l.text(point{edge, y}, end, text, normal, false, ink)
		return y + leading
	}
	y = l.lines(x, y, start, wrap(strong, room, normal, true), normal, true, ink)
	return l.lines(edge, y, end, wrap(text, room-8, normal, false), normal, false, ink)
}

// heightOf returns about how high a block gets.
func (l *boxLayout) heightOf(b *block) int {
	room := l.c.right - 20
	h := 8 + leading*len(wrap(clean(b.head), room, normal, true))
	for _, t := range b.says {
		h += leading * len(wrap(clean(t), room, small, false))
	}
	for _, r := range b.rows {
		probe := &boxLayout{}
		h += max(pitch, probe.row(r, 0, 0, room))
	}
	return h
}

// level returns the height at which a block stands level with its wires, or 0.
func (l *boxLayout) level(b *block) int {
	sum, n := 0, 0
	for _, r := range b.rows {
		if r.wire >= 0 {
			sum, n = sum+l.lefts[r.wire], n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum/n - l.heightOf(b)*2/3
}

// free returns the first height from y on at which a pin on the right stands level
// with that of its own wire or clear of all on the left.
func (l *boxLayout) free(y, wire int) int {
	for {
		clear := true
		for i, at := range l.lefts {
			if i == wire && at == y {
				return y
			}
			if d := at - y; d > -apart && d < apart {
				clear = false
			}
		}
		if clear {
			return y
		}
		y++
	}
}

// pin draws what a wire ends on at the edge of a block: a dot in a splice, the open
// circle of a terminal on a device, a bar for a cap.
func (l *boxLayout) pin(kind blockKind, x, y int) {
	switch kind {
	case splice:
		l.marks = append(l.marks, shape{kind: circle, r: rect{x - 4, y - 4, 8, 8}, fill: ink})
	case device:
		l.marks = append(l.marks, shape{kind: circle, r: rect{x - 4, y - 4, 8, 8}, fill: paper, stroke: ink, width: 18})
	case capped:
		l.marks = append(l.marks, shape{kind: rectangle, r: rect{x - 3, y - 5, 6, 10}, fill: ink})
	case loose:
		l.marks = append(l.marks, shape{kind: rectangle, r: rect{x - 4, y - 4, 8, 8}, fill: paper, stroke: ink, width: 15})
	}
}
