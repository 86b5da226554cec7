package draw

import (
	"fmt"
	"strings"
	"testing"
)

// faults returns what is wrong with the layout of a scene: what a person would trip
// over who reads it. It knows nothing of how scenes are laid out.
func faults(s *scene) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	frame := rect{0, 0, s.width, s.height}

	boxes := make([]rect, len(s.labels))
	for i, l := range s.labels {
		boxes[i] = l.box()
		if l.size < small {
			add("the text %q is %d px high; the least is %d", l.text, l.size, small)
		}
		if l.text == "" || strings.TrimSpace(l.text) != l.text {
			add("the text %q is empty or has blanks at an end", l.text)
		}
		if !frame.contains(boxes[i]) {
			add("the text %q leaves the picture", l.text)
		}
		for k := range i {
			if boxes[i].overlaps(boxes[k]) {
				add("the texts %q and %q overlap", s.labels[k].text, l.text)
			}
		}
	}
	var solid []shape
	for _, list := range [][]shape{s.shapes, s.marks} {
		for _, x := range list {
			if !frame.contains(x.bounds()) {
				add("a shape at %v leaves the picture", x.bounds())
			}
			if x.solid {
				solid = append(solid, x)
			}
			for i, b := range boxes {
				if outlineCuts(&x, b) {
					add("a line of a shape at %v runs through the text %q", x.bounds(), s.labels[i].text)
				}
			}
		}
	}
	for i, x := range solid {
		for _, y := range solid[:i] {
			if x.r.overlaps(y.r) {
				add("two blocks overlap at %v and %v", x.r, y.r)
			}
		}
	}
	at := map[string]point{}
	for _, a := range s.anchors {
		if _, twice := at[a.name]; twice {
			add("there are two anchors called %q", a.name)
		}
		at[a.name] = a.at
	}
	for i := range s.wires {
		w := &s.wires[i]
		from, ok1 := at[w.from]
		to, ok2 := at[w.to]
		if len(w.pts) < 2 || !ok1 || !ok2 || w.pts[0] != from || w.pts[len(w.pts)-1] != to {
			add("wire %s does not go from %q to %q", w.name, w.from, w.to)
			continue
		}
		for k := range w.pts[1:] {
			a, b := w.pts[k], w.pts[k+1]
			if !frame.contains(hull([]point{a, b})) {
				add("wire %s leaves the picture", w.name)
			}
			for j, box := range boxes {
				if box.grown(2).cuts(a, b) {
					add("wire %s runs through the text %q", w.name, s.labels[j].text)
				}
			}
			for _, x := range solid {
				if x.r.cuts(a, b) {
					add("wire %s runs through a block at %v", w.name, x.r)
				}
			}
		}
		for k := range s.wires[:i] {
			if v := &s.wires[k]; v.net == 0 || v.net != w.net {
				for _, f := range meetings(v, w) {
					add("wires %s and %s %s", v.name, w.name, f)
				}
			}
		}
	}
	return out
}

// outlineCuts reports whether a stroke of a shape runs through a text, or a filled
// mark lies on it.
func outlineCuts(x *shape, b rect) bool {
	var pts []point
	switch {
	case x.kind == circle:
		return x.r.overlaps(b)
	case x.kind == rectangle:
		if x.stroke == none && x.fill != paper && x.fill != wash {
			return x.r.overlaps(b) // a filled bar
		}
		if x.stroke == none {
			return false
		}
		r := x.r
		pts = []point{{r.x, r.y}, {r.right(), r.y}, {r.right(), r.bottom()}, {r.x, r.bottom()}, {r.x, r.y}}
	default:
		pts = x.pts
		if x.kind == polygon {
			pts = append(append([]point{}, pts...), pts[0])
		}
	}
	for k := range pts[1:] {
		if b.cuts(pts[k], pts[k+1]) {
			return true
		}
	}
	return false
}

// meetings returns how two wires meet otherwise than by crossing, or by ending on one
// anchor.
func meetings(v, w *wire) []string {
	var out []string
	shared := v.from == w.from || v.from == w.to || v.to == w.from || v.to == w.to
	for i := range v.pts[1:] {
		for j := range w.pts[1:] {
			a, b, c, d := v.pts[i], v.pts[i+1], w.pts[j], w.pts[j+1]
			if side(a, b, c) == 0 && side(a, b, d) == 0 && side(c, d, a) == 0 {
				if o := hull([]point{a, b}); o.overlapsClosed(hull([]point{c, d})) {
					out = append(out, "lie on one another")
				}
				continue
			}
			if a.x == b.x && c.x == d.x && near(a.x, c.x) && max(min(a.y, b.y), min(c.y, d.y)) < min(max(a.y, b.y), max(c.y, d.y)) ||
				a.y == b.y && c.y == d.y && near(a.y, c.y) && max(min(a.x, b.x), min(c.x, d.x)) < min(max(a.x, b.x), max(c.x, d.x)) {
				out = append(out, "run side by side too close to tell apart")
			}
			for _, t := range []bool{onSegment(a, b, c), onSegment(a, b, d), onSegment(c, d, a), onSegment(c, d, b)} {
				if t && !shared {
					out = append(out, "touch")
				}
			}
		}
	}
	return out
}

func near(a, b int) bool { return a-b < 6 && b-a < 6 }

// overlapsClosed is overlaps for rectangles that may be as thin as a line.
func (r rect) overlapsClosed(o rect) bool {
	return r.x <= o.right() && o.x <= r.right() && r.y <= o.bottom() && o.y <= r.bottom()
}

// side returns on which side of the line from a to b the point c is.
func side(a, b, c point) int { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

// onSegment reports whether c is on the line from a to b.
func onSegment(a, b, c point) bool {
	return side(a, b, c) == 0 && hull([]point{a, b}).overlapsClosed(rect{c.x, c.y, 0, 0})
}

func wantClean(tb tester, p *Picture) {
	tb.Helper()
	for i, f := range faults(&p.scene) {
		if i == 10 {
			tb.Errorf("%s: and more", clip(p.title, 40))
			return
		}
		tb.Errorf("%s: %s", clip(p.title, 40), clip(f, 300))
	}
}

// TestFaults shows that the check sees what it is there for.
func TestFaults(t *testing.T) {
	base := func() *scene {
		s := &scene{width: 200, height: 100}
		s.text(point{10, 20}, start, "left", normal, false, ink)
		s.anchor("a", point{10, 50})
		s.anchor("b", point{100, 50})
		s.wires = []wire{{name: "w", from: "a", to: "b", pts: []point{{10, 50}, {100, 50}}}}
		return s
	}
	if f := faults(base()); len(f) != 0 {
		t.Fatalf("a sound scene has faults: %q", f)
	}
	rows := []struct {
		want  string
		spoil func(s *scene)
	}{
		{"overlap", func(s *scene) { s.text(point{20, 22}, start, "again", normal, false, ink) }},
		{"leaves the picture", func(s *scene) { s.text(point{190, 20}, start, "beyond", normal, false, ink) }},
		{"px high", func(s *scene) { s.text(point{100, 90}, start, "tiny", 8, false, ink) }},
		{"runs through the text", func(s *scene) { s.text(point{50, 54}, start, "on the wire", normal, false, ink) }},
		{"does not go from", func(s *scene) { s.wires[0].to = "c" }},
		{"does not go from", func(s *scene) { s.wires[0].pts[1].x = 90 }},
		{"runs through a block", func(s *scene) {
			s.shapes = append(s.shapes, shape{kind: rectangle, r: rect{40, 40, 20, 20}, stroke: ink, solid: true})
		}},
		{"a line of a shape", func(s *scene) {
			s.shapes = append(s.shapes, shape{kind: line, pts: []point{{0, 15}, {60, 15}}, stroke: ink})
		}},
		{"two blocks overlap", func(s *scene) {
			r := shape{kind: rectangle, r: rect{140, 40, 20, 20}, stroke: ink, solid: true}
			s.shapes = append(s.shapes, r, r)
		}},
		{"too close", func(s *scene) {
			s.anchor("c", point{10, 53})
			s.anchor("d", point{100, 53})
			s.wires = append(s.wires, wire{name: "v", from: "c", to: "d", pts: []point{{10, 53}, {100, 53}}})
		}},
		{"touch", func(s *scene) {
			s.anchor("c", point{60, 50})
			s.anchor("d", point{60, 90})
			s.wires = append(s.wires, wire{name: "v", from: "c", to: "d", pts: []point{{60, 50}, {60, 90}}})
		}},
		{"lie on one another", func(s *scene) {
			s.wires = append(s.wires, wire{name: "v", from: "a", to: "b", pts: []point{{10, 50}, {100, 50}}})
		}},
	}
	for _, r := range rows {
		s := base()
		r.spoil(s)
		if f := strings.Join(faults(s), "\n"); !strings.Contains(f, r.want) {
			t.Errorf("want a fault with %q, got %q", r.want, f)
		}
	}
}
