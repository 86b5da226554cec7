package draw

import "strings"

// textBlock is several lines of text that go together.
type textBlock struct {
	lines []string
	bold  int // how many of the first are bold
	w, h  int
}

func newTextBlock(strong, text string, width int) textBlock {
	t := textBlock{}
	if strong != "" {
		t.lines = wrap(clean(strong), width, normal, true)
		t.bold = len(t.lines)
	}
	if text != "" {
		t.lines = append(t.lines, wrap(clean(text), width, small, false)...)
	}
	for i, l := range t.lines {
		size, bold := small, false
		if i < t.bold {
			size, bold = normal, true
		}
		t.w = max(t.w, textWidth(l, size, bold))
	}
	t.h = len(t.lines) * leading
	return t
}

// write finds room for the names of the boxes and of the cables, one kind before the
// other, each next to what it is about.
func (m *planMap) write(cablesFirst bool) bool {
	var placed []rect
	free := func(r rect) bool {
		if r.x < margin || r.right() > m.width-margin || r.y < m.top {
			return false
		}
		for _, b := range m.boxes {
			if b.grown(2).overlaps(r) {
				return false
			}
		}
		for _, p := range placed {
			if p.overlaps(r) {
				return false
			}
		}
		g := r.grown(3)
		for _, l := range m.runs {
			if g.cuts(m.ends[l[0]], m.ends[l[1]]) {
				return false
			}
		}
		return true
	}
	put := func(candidates []spot, t textBlock, tone tone) bool {
		for _, r := range candidates {
			if free(r.rect) {
				placed = append(placed, r.rect)
				for i, s := range t.lines {
					size, bold := small, false
					if i < t.bold {
						size, bold = normal, true
					}
					at := point{r.x, r.y + 12 + i*leading}
					switch r.place {
					case middle:
						at.x = r.x + (r.w+1)/2
					case end:
						at.x = r.right()
					}
					m.text(at, r.place, s, size, bold, tone)
				}
				return true
			}
		}
		return false
	}
	cables := func() bool {
		for c := range m.r.cables {
			done := false
			for _, width := range []int{150, 76, 50} {
				t := newTextBlock("", m.r.cables[c].label, width)
				if done = put(m.along(c, t), t, muted); done {
					break
				}
			}
			if !done {
				return false
			}
		}
		return true
	}
	names := func() bool {
		for i := range m.r.nodes {
			n := &m.r.nodes[i]
			text := strings.Join(n.brief, "; ")
			done := false
			for _, width := range []int{120, 88, 66} {
				t := newTextBlock(n.called(), text, width)
				if len(t.lines) > 8 {
					continue
				}
				if done = put(around(m.boxes[i], t), t, ink); done {
					break
				}
			}
			if !done {
				return false
			}
		}
		return true
	}
	if cablesFirst {
		return cables() && names()
	}
	return names() && cables()
}

// spot is a place for a text, with the side on which it is lined up.
type spot struct {
	rect
	place place
}

// around returns the places for a text next to a symbol, the best first.
func around(b rect, t textBlock) []spot {
	right, left, cx := b.right()+6, b.x-6-t.w, b.x+b.w/2-t.w/2
	mid, below, above := b.y+b.h/2-t.h/2, b.bottom()+4, b.y-4-t.h
	return []spot{
		{rect{right, mid, t.w, t.h}, start}, {rect{left, mid, t.w, t.h}, end},
		{rect{cx, below, t.w, t.h}, middle}, {rect{cx, above, t.w, t.h}, middle},
		{rect{right, b.y - 2, t.w, t.h}, start}, {rect{right, b.bottom() + 2 - t.h, t.w, t.h}, start},
		{rect{left, b.y - 2, t.w, t.h}, end}, {rect{left, b.bottom() + 2 - t.h, t.w, t.h}, end},
		{rect{b.x, below, t.w, t.h}, start}, {rect{b.right() - t.w, below, t.w, t.h}, end},
		{rect{b.x, above, t.w, t.h}, start}, {rect{b.right() - t.w, above, t.w, t.h}, end},
		{rect{right, b.y - 2 - t.h, t.w, t.h}, start}, {rect{right, b.bottom() + 2, t.w, t.h}, start},
		{rect{left, b.y - 2 - t.h, t.w, t.h}, end}, {rect{left, b.bottom() + 2, t.w, t.h}, end},
	}
}

// along returns the places for a text next to a line, the best first.
func (m *planMap) along(c int, t textBlock) []spot {
	a, b := m.ends[m.runs[c][0]], m.ends[m.runs[c][1]]
	var out []spot
	for _, share := range []int{50, 38, 62, 26, 74, 15, 85} {
		p := point{a.x + (b.x-a.x)*share/100, a.y + (b.y-a.y)*share/100}
		if abs(b.x-a.x) > abs(b.y-a.y) {
			out = append(out, spot{rect{p.x - t.w/2, p.y - 5 - t.h, t.w, t.h}, middle}, spot{rect{p.x - t.w/2, p.y + 5, t.w, t.h}, middle})
		}
		out = append(out,
			spot{rect{p.x + 6, p.y - t.h/2, t.w, t.h}, start}, spot{rect{p.x - 6 - t.w, p.y - t.h/2, t.w, t.h}, end},
			spot{rect{p.x + 5, p.y - 2 - t.h, t.w, t.h}, start}, spot{rect{p.x + 5, p.y + 2, t.w, t.h}, start},
			spot{rect{p.x - 5 - t.w, p.y - 2 - t.h, t.w, t.h}, end}, spot{rect{p.x - 5 - t.w, p.y + 2, t.w, t.h}, end})
	}
	return out
}
