package draw

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/wiring"
)

const (
	margin     = 8
	pitch      = 18   // of rows that have pins
	tagLimit   = 160  // runes of a tag that are shown
	titleLimit = 2000 // runes of what was cut short that its title holds
	minLeft    = 80   // the least width of the names of conductors, in px
	minRight   = 104  // and of the blocks
)

// column widths of the picture of a box.
type boxColumns struct{ left, channel, right, loops int }

// layout places everything. Cables stand at the left outside the box, what their
// conductors end on at the right inside it, with a channel between for the conductors
// and one at the far right for pigtails. How wide the channels are depends on the
// heights of the rows, and those on how text wraps in what the channels leave, so it
// is tried until it fits.
func (s *boxSheet) layout(out *scene, width int) {
	c := boxColumns{channel: 30, loops: 12}
	// Widths of channels only grow, and no channel needs more tracks than it has
	// wires, so this ends.
	for {
		free := width - 2*margin - c.channel - c.loops - 8
		c.left = max(minLeft, min(free*42/100, s.widestEnd()))
		c.right = max(minRight, min(free-c.left, s.widestBlock()))
		try := &boxLayout{s: s, c: c}
		channel, loops := try.place(width)
		if channel <= c.channel && loops <= c.loops {
			*out = try.scene
			return
		}
		c.channel, c.loops = max(c.channel, channel), max(c.loops, loops)
	}
}

// widestEnd returns the width at which no text of the cables need wrap.
func (s *boxSheet) widestEnd() int {
	w := 0
	for _, c := range s.cables {
		w = max(w, textWidth(clean(c.name)+"  "+clean(c.kind), normal, true), textWidth(toward(c.toward), small, false))
	}
	for i := range s.ends {
		e := &s.ends[i]
		w = max(w, textWidth(s.endText(e), normal, true)+s.besideWidth(e))
	}
	return w + 10
}

func (s *boxSheet) widestBlock() int {
	w := 0
	for _, b := range s.blocks {
		w = max(w, textWidth(clean(b.head), normal, true))
		for _, t := range b.says {
			w = max(w, min(textWidth(clean(t), small, false), 230))
		}
		for _, r := range b.rows {
			w = max(w, textWidth(clean(r.strong), normal, true)+8+textWidth(clean(r.text), normal, false))
		}
	}
	return w + 24
}

// endText is what stands at the beginning of a conductor's stroke.
func (s *boxSheet) endText(e *sheetEnd) string {
	t := e.colour.String()
	if e.mark.Valid() {
		t += ", marked " + e.mark.String()
	}
	if e.open {
		t += ", OPEN along its run"
	}
	return t + s.touch[e.wire.String()]
}

// beside is what a conductor's tag says, or in a word what it does where it has none.
func (s *boxSheet) beside(e *sheetEnd) (text string, tagged bool) {
	if e.tag != "" {
		return clip(clean(e.tag), tagLimit), true
	}
	return clean(e.brief), false
}

func (s *boxSheet) besideWidth(e *sheetEnd) int {
	text, _ := s.beside(e)
	return textWidth(text, small, false) + 18
}

// boxLayout is one try.
type boxLayout struct {
	scene
	s     *boxSheet
	c     boxColumns
	lefts []int          // heights of the ends' pins
	right map[string]int // heights of the pins of rows
	wallX int
	colX  int
}

// place lays everything out and returns the widths that the channels need.
func (l *boxLayout) place(width int) (channel, loops int) {
	s := l.s
	l.wallX = margin + l.c.left
	l.colX = l.wallX + l.c.channel
	y := l.heading(width)
	top := y
	bottom := max(l.cables(top+6), top)
	bottom = max(bottom, l.blocks(top+10, bottom))
	wall := rect{l.wallX, top, l.c.channel + l.c.right + l.c.loops, bottom + 8 - top}
	l.shapes = slices.Insert(l.shapes, 0, shape{kind: rectangle, r: wall, round: 6, stroke: muted, width: 15})

	hops := make([]hop, len(s.ends))
	for i := range s.ends {
		hops[i] = hop{left: l.lefts[i], right: l.right[s.ends[i].to]}
	}
	track, n := hopTracks(hops)
	for i, h := range hops {
		e := &s.ends[i]
		x := l.wallX + 16 + track[i]*apart
		pts := []point{{l.wallX + 4, h.left}, {x, h.left}, {x, h.right}, {l.colX, h.right}}
		if h.left == h.right {
			pts = []point{pts[0], pts[3]}
		}
		p := insulation(e.colour)
		p.tape = e.mark.Main
		l.wires = append(l.wires, wire{name: e.wire.String(), from: "cable\x00" + e.wire.String(), to: e.to, pts: pts, paint: p})
	}
	ends := make([]hop, len(s.leads))
	for i, x := range s.leads {
		ends[i] = hop{left: l.right[x.from], right: l.right[x.to]}
	}
	turn, m := loopTracks(ends)
	edge := l.colX + l.c.right
	for i, h := range ends {
		x := edge + 12 + turn[i]*apart
		look := paint{style: pigtail}
		if s.leads[i].ground {
			look.style = bare // or green, which no job says
		}
		l.wires = append(l.wires, wire{name: "pigtail", from: s.leads[i].from, to: s.leads[i].to, paint: look,
			pts: []point{{edge, h.left}, {x, h.left}, {x, h.right}, {edge, h.right}}})
	}
	y = wall.bottom() + 20
	for _, n := range s.notes {
		y = l.lines(margin, y, start, wrap(clean(n), max(width, wall.right())-2*margin, normal, true), normal, true, ink)
	}
	l.legend(margin, y, max(width, wall.right())-2*margin)
	l.frame(margin)
	if n > 0 {
		channel = 16 + n*apart + 8
	}
	if m > 0 {
		loops = 12 + m*apart + 4
	}
	return channel, loops
}

// heading writes what stands above the box and returns where the box begins.
func (l *boxLayout) heading(width int) int {
	s := l.s
	room := max(width, l.colX+l.c.right+l.c.loops+margin) - 2*margin
	y := margin + large
	y = l.lines(margin, y, start, wrap(cmp.Or(s.heading, clean("Box "+s.name)), room, large, true), large, true, ink) + 2
	about := s.has.box.Kind.String()
	switch s.has.box.Kind {
	case wiring.Panel:
	case wiring.DeviceBox:
		gangs := max(s.has.box.Gangs, 1)
		about = fmt.Sprintf("device box, %d gangs", gangs)
		if gangs == 1 {
			about = "device box, 1 gang"
		}
	default:
		about += " box"
	}
	if s.has.box.Location != "" {
		about += "; " + s.has.box.Location
	}
	y = l.lines(margin, y, start, wrap(clip(clean(about), 400), room, normal, false), normal, false, ink)
	if s.has.box.Kind == wiring.Panel {
		y = l.lines(margin, y, start, wrap(panelDanger, room, normal, true), normal, true, ink)
	}
	y = l.lines(margin, y, start, wrap(cautions.Brief(), room, small, false), small, false, muted)
	return y - 4
}

// cables places the cables and the ends of their conductors, and returns how far down
// they reach.
func (l *boxLayout) cables(y int) int {
	s := l.s
	l.lefts = make([]int, len(s.ends))
	x := l.wallX - 10
	room := l.c.left - 10
	last := y - 100
	for _, c := range s.cables {
		y = max(y, last+pitch)
		y += normal
		for _, t := range wrap(clean(c.name)+" "+clean(c.kind), room, normal, true) {
			l.text(point{x, y}, end, t, normal, true, ink)
			y += leading
		}
		y = l.lines(x, y, end, wrap(toward(c.toward), room, small, false), small, false, muted)
		y -= 2
		first := 0
		for i := c.first; i < c.last; i++ {
			e := &s.ends[i]
			y = max(y, last+pitch)
			last = y
			if i == c.first {
				first = y
			}
			l.lefts[i] = y
			l.anchor("cable\x00"+e.wire.String(), point{l.wallX + 4, y})
			text := wrap(s.endText(e), room, normal, true)
			beside, tagged := s.beside(e)
			if len(text) == 1 && textWidth(text[0], normal, true)+s.besideWidth(e) <= room {
				l.text(point{x, y + 4}, end, text[0], normal, true, ink)
				at := point{x - textWidth(text[0], normal, true) - 8, y + 4}
				if tagged {
					l.tag(at.x, at.y, []string{beside}, e.tag)
				} else {
					l.text(point{at.x - 5, at.y}, end, beside, small, false, muted)
				}
				y += pitch
				continue
			}
			y = l.lines(x, y+4, end, text, normal, true, ink)
			if tagged {
				y = l.tag(x, y+2, wrap(beside, room-10, small, false), e.tag) + 1
			} else if !e.plain {
				y = l.lines(x, y, end, wrap(beside, room, small, false), small, false, muted)
			}
			y = max(y-4, last+pitch)
		}
		if c.last > c.first {
			l.shapes = append(l.shapes, shape{kind: rectangle, r: rect{l.wallX - 4, first - 8, 8, last - first + 16}, round: 3, fill: muted, solid: true})
		}
		y += 8
	}
	return y
}

// tag draws the tag of a conductor, its right edge at x and its first line of text on
// the baseline y, and returns the baseline of what comes below.
func (l *boxLayout) tag(x, y int, lines []string, full string) int {
	w := 0
	for _, text := range lines {
		w = max(w, textWidth(text, small, false))
	}
	var r rect
	for i, text := range lines {
		t := label{at: point{x - 5 - w/2, y + i*leading}, place: middle, text: text, size: small}
		if i == len(lines)-1 && strings.HasSuffix(text, "…") {
			t.full = clip(clean(full), titleLimit)
		}
		l.labels = append(l.labels, t)
		if b := t.box(); i == 0 {
			r = b
		} else {
			r = hull([]point{{r.x, r.y}, {r.right(), r.bottom()}, {b.x, b.y}, {b.right(), b.bottom()}})
		}
	}
	l.shapes = append(l.shapes, shape{kind: rectangle, r: rect{r.x - 4, r.y - 1, r.w + 8, r.h + 1}, round: 2, stroke: muted, width: 10})
	return y + len(lines)*leading
}
