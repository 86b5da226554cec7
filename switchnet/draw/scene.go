package draw

// A picture is laid out as a scene: texts with measured boxes, shapes, and wires from
// one anchor to another, in whole px. The SVG is written from it and adds nothing, so
// a test of the scene is a test of the picture.

type point struct{ x, y int }

type rect struct{ x, y, w, h int }

func (r rect) right() int  { return r.x + r.w }
func (r rect) bottom() int { return r.y + r.h }

// overlaps reports whether two rectangles share more than an edge.
func (r rect) overlaps(o rect) bool {
	return r.x < o.right() && o.x < r.right() && r.y < o.bottom() && o.y < r.bottom()
}

// contains reports whether o lies within r.
func (r rect) contains(o rect) bool {
	return r.x <= o.x && r.y <= o.y && o.right() <= r.right() && o.bottom() <= r.bottom()
}

// grown returns the rectangle with n more on every side.
func (r rect) grown(n int) rect { return rect{r.x - n, r.y - n, r.w + 2*n, r.h + 2*n} }

// cuts reports whether the line from a to b has a point inside the rectangle, not
// counting its edges.
func (r rect) cuts(a, b point) bool {
	// Clip the line to the open rectangle (Liang and Barsky, 1984), in exact
	// integer arithmetic: the share of the line that is left is from lo to hi.
	loN, loD, hiN, hiD := 0, 1, 1, 1
	dx, dy := b.x-a.x, b.y-a.y
	for _, e := range [4][2]int{{-dx, a.x - r.x}, {dx, r.right() - a.x}, {-dy, a.y - r.y}, {dy, r.bottom() - a.y}} {
		p, q := e[0], e[1] // inside where p*t < q
		switch {
		case p == 0 && q <= 0:
			return false
		case p < 0: // t > q/p = -q/-p
			if -q*loD > loN*-p {
				loN, loD = -q, -p
			}
		case p > 0: // t < q/p
			if q*hiD < hiN*p {
				hiN, hiD = q, p
			}
		}
	}
	if dx == 0 && dy == 0 {
		return true
	}
	return loN*hiD < hiN*loD
}

// hull returns the smallest rectangle that holds all points.
func hull(pts []point) rect {
	lo, hi := pts[0], pts[0]
	for _, p := range pts[1:] {
		lo = point{min(lo.x, p.x), min(lo.y, p.y)}
		hi = point{max(hi.x, p.x), max(hi.y, p.y)}
	}
	return rect{lo.x, lo.y, hi.x - lo.x, hi.y - lo.y}
}

// tone is what something is painted with; each has a colour on light ground and one
// on dark.
type tone uint8

const (
	none   tone = iota
	paper       // the ground
	ink         // lines and text
	muted       // what matters less; still well above the contrast that text needs
	wash        // the ground of a block
	copper      // bare metal
)

// place says which point of a text its position is.
type place uint8

const (
	start place = iota
	middle
	end
)

// A label is one line of text. At is on its baseline.
type label struct {
	at    point
	place place
	text  string
	size  int
	bold  bool
	tone  tone   // 0 is ink
	full  string // what it was shortened from, if it was
}

// box returns the room the label takes at most.
func (l label) box() rect {
	w := textWidth(l.text, l.size, l.bold)
	x := l.at.x
	switch l.place {
	case middle:
		x -= (w + 1) / 2
	case end:
		x -= w
	}
	up := (l.size*92 + 99) / 100
	return rect{x, l.at.y - up, w, up + (l.size*25+99)/100}
}

// A shape is a part of a symbol or the outline of a block: a rectangle with round
// corners, a circle, or a line through points, closed or not.
type shape struct {
	kind   shapeKind
	r      rect    // of a rectangle or circle
	round  int     // radius of its corners
	pts    []point // of a line
	fill   tone
	stroke tone
	width  int // of the stroke, in tenths of a px
	dash   string
	// solid shapes are blocks: wires end at their edges, and text is inside them
	// or outside.
	solid bool
}

type shapeKind uint8

const (
	rectangle shapeKind = iota + 1
	circle
	line
	polygon
)

func (s *shape) bounds() rect {
	if s.kind == line || s.kind == polygon {
		return hull(s.pts)
	}
	return s.r
}

// An anchor is a point at which wires may end: a pin.
type anchor struct {
	name string
	at   point
}

// A wire is a conductor or a cable as drawn, from one anchor to another.
type wire struct {
	name     string
	from, to string // anchors
	pts      []point
	paint    paint
	// net tells wires that are one piece of metal, which may touch; 0 is none.
	net int
}

// scene is a picture laid out.
type scene struct {
	width, height int
	shapes        []shape // beneath the wires
	wires         []wire
	marks         []shape // above the wires
	labels        []label
	anchors       []anchor
}

func (s *scene) text(at point, p place, text string, size int, bold bool, t tone) {
	if text = clean(text); text != "" {
		s.labels = append(s.labels, label{at: at, place: p, text: text, size: size, bold: bold, tone: t})
	}
}

// lines writes lines one below the other, the first with its baseline at y, and
// returns the baseline of the next.
func (s *scene) lines(x, y int, p place, lines []string, size int, bold bool, t tone) int {
	for _, l := range lines {
		s.text(point{x, y}, p, l, size, bold, t)
		y += max(leading, size*5/4+1)
	}
	return y
}

func (s *scene) anchor(name string, at point) { s.anchors = append(s.anchors, anchor{name, at}) }

// frame sets the size of the picture from what is in it, with a margin.
func (s *scene) frame(margin int) {
	w, h := 0, 0
	grow := func(r rect) { w, h = max(w, r.right()), max(h, r.bottom()) }
	for i := range s.labels {
		grow(s.labels[i].box())
	}
	for i := range s.shapes {
		grow(s.shapes[i].bounds())
	}
	for i := range s.marks {
		grow(s.marks[i].bounds())
	}
	for i := range s.wires {
		grow(hull(s.wires[i].pts))
	}
	s.width, s.height = w+margin, h+margin
}
