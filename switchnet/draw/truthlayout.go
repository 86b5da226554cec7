package draw

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// column is the width of a setting, and rowHeight the height of a switch or light.
const (
	column    = 15
	rowHeight = 20
)

func (t *truth) layout(s *scene, width int) {
	room := width - 2*margin
	y := margin + large
	s.text(point{margin, y}, start, "Control "+t.group.Name+": every setting", large, true, ink)
	y += leading + 4
	says := "As drawn, not as measured. All other switches at rest, breakers on."
	if len(t.settings) > 0 {
		says += " From column to column one handle moves."
	}
	y = s.lines(margin, y, start, wrap(says, room, small, false), small, false, muted) + 4
	for i, l := range t.lights {
		// Lights of which the same is said stand together.
		same := func(o lightLaw) bool { return o.says == l.says && slices.Equal(o.not, l.not) }
		if slices.ContainsFunc(t.lights[:i], same) {
			continue
		}
		var names []string
		for _, o := range t.lights[i:] {
			if same(o) {
				names = append(names, o.light.Name)
			}
		}
		text := strings.Join(names, ", ") + ": " + l.says
		if len(l.not) > 0 {
			text += "; " + strings.Join(l.not, "; ")
		}
		y = s.lines(margin, y, start, wrap(clean(text), room, normal, !l.every), normal, !l.every, ink)
	}
	if t.shorts != "" {
		y = s.lines(margin, y, start, wrap(t.shorts, room, normal, true), normal, true, ink)
	}
	if len(t.settings) == 0 {
		t.places(s, y+4, room)
		s.frame(margin)
		return
	}
	names := t.nameColumn(room)
	each := min(perStrip, max(4, (room-names-8)/column))
	if each > 8 {
		each -= each % 8 // strips break where the first handles move
	}
	for from := 0; from < len(t.settings); from += each {
		y = t.strip(s, y+8, names, from, min(from+each, len(t.settings)))
	}
	t.legend(s, y+leading+2, room)
	s.frame(margin)
}

// nameColumn returns the width of the names of switches and lights.
func (t *truth) nameColumn(room int) int {
	w := 0
	for k := range t.switches {
		w = max(w, textWidth(clean(t.placeOf(k)), small, false))
	}
	for _, l := range t.group.Lights {
		w = max(w, textWidth(clean(l.Name), small, true))
	}
	w = max(w, textWidth("short", small, true))
	return min(w, max(room-8*column-12, 84))
}

// strip draws some settings side by side, and returns the y below.
func (t *truth) strip(s *scene, y, names, from, to int) int {
	left := margin + names + 8
	row := func(name string, bold bool, cell func(i int, c point)) {
		lines := wrap(clean(name), names, small, bold)
		h := max(rowHeight, len(lines)*leading+5)
		s.shapes = append(s.shapes, shape{kind: rectangle, r: rect{left, y, (to - from) * column, h}, stroke: muted, width: 8})
		s.lines(margin+names, y+h/2-(len(lines)-1)*leading/2+4, end, lines, small, bold, ink)
		for i := from; i < to; i++ {
			cell(i, point{left + (i-from)*column + column/2, y + h/2})
		}
		y += h
	}
	for k := range t.switches {
		row(t.placeOf(k), false, func(i int, c point) { t.handle(s, k, t.settings[i].positions[k], c) })
	}
	y += 3
	for k, l := range t.group.Lights {
		row(l.Name, true, func(i int, c point) {
			s.status(t.settings[i].status[k], c)
			if t.unchanged(i, k) {
				// A bar in the line between two settings that should differ.
				x := c.x - column/2 - 1
				s.stroke(30, point{x, c.y - rowHeight/2 + 2}, point{x, c.y + rowHeight/2 - 2})
			}
		})
	}
	if t.shorts != "" {
		row("short", true, func(i int, c point) {
			if t.settings[i].shorted {
				s.cross(c)
			}
		})
	}
	return y
}

// handle draws the position of a handle: up and down as the triangles that point
// there, on and off as the bar and ring that mark them on switches, and others by
// number.
func (t *truth) handle(s *scene, k, position int, c point) {
	switch name := t.switches[k].Kind.Positions[position].Name; {
	case name == "up":
		s.marks = append(s.marks, shape{kind: polygon, pts: []point{{c.x - 5, c.y + 4}, {c.x + 5, c.y + 4}, {c.x, c.y - 5}}, fill: ink})
	case name == "down":
		s.marks = append(s.marks, shape{kind: polygon, pts: []point{{c.x - 5, c.y - 4}, {c.x + 5, c.y - 4}, {c.x, c.y + 5}}, fill: paper, stroke: ink, width: 12})
	case name == "on":
		s.stroke(25, point{c.x, c.y - 5}, point{c.x, c.y + 5})
	case name == "off":
		s.marks = append(s.marks, shape{kind: circle, r: rect{c.x - 4, c.y - 4, 8, 8}, stroke: ink, width: 14})
	default:
		s.text(point{c.x, c.y + 4}, middle, numeral(position), small, false, ink)
	}
}

// numeral is the number of a position from 1, in one character.
func numeral(position int) string {
	const marks = "123456789abcdefghijklmnopqrstuvwxyz"
	if position < len(marks) {
		return marks[position : position+1]
	}
	return "+"
}

// status draws what a light does.
func (s *scene) status(status switchnet.LoadStatus, c point) {
	ring := shape{kind: circle, r: rect{c.x - 5, c.y - 5, 10, 10}, fill: paper, stroke: ink, width: 13}
	switch status {
	case switchnet.Lit:
		ring.fill = ink
	case switchnet.Dim:
		s.marks = append(s.marks, ring)
		ring = shape{kind: circle, r: rect{c.x - 2, c.y - 2, 4, 4}, fill: ink}
	case switchnet.Faulted:
		s.cross(c)
		return
	}
	s.marks = append(s.marks, ring)
}

// cross draws the mark of a short.
func (s *scene) cross(c point) {
	s.stroke(16, point{c.x - 4, c.y - 4}, point{c.x + 4, c.y + 4})
	s.stroke(16, point{c.x - 4, c.y + 4}, point{c.x + 4, c.y - 4})
}

// legend draws what the marks mean, as many on a line as fit.
func (t *truth) legend(s *scene, y, room int) {
	x := margin
	add := func(says string, mark func(c point)) {
		lines := wrap(clean(says), room-16, small, false)
		w := textWidth(lines[0], small, false) + 26
		if x > margin && (x+w > margin+room || len(lines) > 1) {
			x, y = margin, y+rowHeight
		}
		mark(point{x + 6, y - 4})
		s.lines(x+16, y, start, lines, small, false, muted)
		x += w
		if len(lines) > 1 {
			x, y = margin, y+(len(lines)-1)*leading+rowHeight
		}
	}
	seen := map[string]bool{}
	for k, dev := range t.switches {
		for i, p := range dev.Kind.Positions {
			name := p.Name
			if name != "up" && name != "down" && name != "on" && name != "off" {
				name = fmt.Sprintf("%s: %s", t.placeOf(k), name)
			}
			if !seen[name] {
				seen[name] = true
				add(name, func(c point) { t.handle(s, k, i, c) })
			}
		}
	}
	used := map[switchnet.LoadStatus]bool{}
	bar := false
	for i, x := range t.settings {
		for k, status := range x.status {
			used[status] = true
			bar = bar || t.unchanged(i, k)
		}
	}
	for _, status := range []switchnet.LoadStatus{switchnet.Lit, switchnet.Unlit, switchnet.Dim} {
		if used[status] {
			add(status.String(), func(c point) { s.status(status, c) })
		}
	}
	if t.shorts != "" || used[switchnet.Faulted] {
		add("a short: a breaker opens", s.cross)
	}
	if bar {
		add("a handle moved and the light did not change", func(c point) { s.stroke(30, point{c.x, c.y - 7}, point{c.x, c.y + 7}) })
	}
}

// places lists the switches of a group with too many settings to list.
func (t *truth) places(s *scene, y, room int) {
	text := fmt.Sprintf("%d places, %s settings: ", len(t.switches), number(t.total))
	for k := range t.switches {
		if k > 0 {
			text += ", "
		}
		text += t.placeOf(k)
	}
	s.lines(margin, y, start, wrap(clean(text), room, small, false), small, false, muted)
}
