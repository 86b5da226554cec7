package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/conductor"
)

// classes name the tones in the style sheet of a picture that follows the reader's
// choice of light or dark.
var classes = [...]string{none: "", paper: "paper", ink: "ink", muted: "muted", wash: "wash", copper: "copper"}

// family is the fonts asked for. Which one is used does not matter: see regular.
const family = "Arial, Helvetica, 'Liberation Sans', 'Noto Sans', 'DejaVu Sans', sans-serif"

// svg writes a scene.
type svg struct {
	bytes.Buffer
	scheme Scheme
}

func (p *Picture) render() []byte {
	w := &svg{scheme: p.scheme}
	s := &p.scene
	fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%d" height="%d" viewBox="0 0 %d %d" font-family="%s">`+"\n", s.width, s.height, s.width, s.height, family)
	w.WriteString("<title>" + escape(p.title) + "</title>\n<desc>" + escape(p.description) + "</desc>\n")
	if w.scheme == 0 {
		w.style()
	}
	w.shape(&shape{kind: rectangle, r: rect{0, 0, s.width, s.height}, fill: paper})
	for i := range s.shapes {
		w.shape(&s.shapes[i])
	}
	for i := range s.wires {
		w.wire(&s.wires[i])
	}
	for i := range s.marks {
		w.shape(&s.marks[i])
	}
	for i := range s.labels {
		w.label(&s.labels[i])
	}
	w.WriteString("</svg>\n")
	return w.Bytes()
}

// style is the sheet by which a picture turns dark where the reader wants it; what
// cannot read it, and paper, gets the light colours of the attributes.
func (w *svg) style() {
	w.WriteString("<style>@media screen and (prefers-color-scheme: dark) {")
	for t := paper; t <= copper; t++ {
		fmt.Fprintf(w, " .sl-%s { fill: %s } .sl-%s-line { stroke: %s }", classes[t], tints[t][1], classes[t], tints[t][1])
	}
	w.WriteString(" }</style>\n")
}

// tint returns the colour of a tone as written in attributes.
func (w *svg) tint(t tone) string {
	if w.scheme == Dark {
		return tints[t][1]
	}
	return tints[t][0]
}

// class returns the class attribute for a fill and a stroke.
func (w *svg) class(fill, stroke tone) string {
	if w.scheme != 0 || fill == none && stroke == none {
		return ""
	}
	var names []string
	if fill != none {
		names = append(names, "sl-"+classes[fill])
	}
	if stroke != none {
		names = append(names, "sl-"+classes[stroke]+"-line")
	}
	return ` class="` + strings.Join(names, " ") + `"`
}

func (w *svg) shape(s *shape) {
	fill := "none"
	if s.fill != none {
		fill = w.tint(s.fill)
	}
	attributes := w.class(s.fill, s.stroke) + ` fill="` + fill + `"`
	if s.stroke != none {
		attributes += fmt.Sprintf(` stroke="%s" stroke-width="%s"`, w.tint(s.stroke), tenths(s.width))
	}
	if s.dash != "" {
		attributes += ` stroke-dasharray="` + s.dash + `"`
	}
	switch s.kind {
	case rectangle:
		fmt.Fprintf(w, `<rect x="%d" y="%d" width="%d" height="%d"`, s.r.x, s.r.y, s.r.w, s.r.h)
		if s.round > 0 {
			fmt.Fprintf(w, ` rx="%d"`, s.round)
		}
	case circle:
		fmt.Fprintf(w, `<circle cx="%s" cy="%s" r="%s"`, halves(2*s.r.x+s.r.w), halves(2*s.r.y+s.r.h), halves(s.r.w))
	case line, polygon:
		d := course(s.pts)
		if s.kind == polygon {
			d += "Z"
		}
		fmt.Fprintf(w, `<path d="%s"`, d)
	}
	w.WriteString(attributes + "/>\n")
}

// wire strokes a wire in layers: a gap in what it crosses, the outline, white, and
// the hue laid on it in its pattern.
func (w *svg) wire(x *wire) {
	d := course(x.pts)
	layer := func(t tone, colour string, width int, dash string) {
		if t != none {
			colour = w.tint(t)
		}
		fmt.Fprintf(w, `<path%s d="%s" fill="none" stroke="%s" stroke-width="%s" stroke-linejoin="round"`, w.class(none, t), d, colour, tenths(width))
		if dash != "" {
			w.WriteString(` stroke-dasharray="` + dash + `"`)
		}
		w.WriteString("/>\n")
	}
	switch p := x.paint; p.style {
	case insulated:
		layer(paper, "", 75, "")
		layer(ink, "", 52, "")
		if p.hue == conductor.Black || p.stripe != 0 {
			layer(none, pigments[p.hue], 28, "")
		} else {
			layer(none, pigments[conductor.White], 28, "")
			if p.hue != conductor.White {
				layer(none, pigments[p.hue], 28, dashes[p.hue])
			}
		}
		if p.stripe != 0 {
			layer(none, pigments[p.stripe], 28, "4 10")
		}
	case bare:
		layer(paper, "", 60, "")
		layer(copper, "", 20, "")
	case pigtail:
		layer(paper, "", 60, "")
		layer(ink, "", 16, "")
	case plain:
		layer(ink, "", 13, "")
	case bold:
		layer(ink, "", 40, "")
	case sheath:
		layer(paper, "", 70, "")
		layer(ink, "", 20, "")
	}
	if x.paint.tape != 0 {
		// The tape near the end of the wire, in the colour it is marked with.
		a, b := x.pts[len(x.pts)-1], x.pts[len(x.pts)-2]
		if a.x > b.x {
			d = course([]point{{a.x - 14, a.y}, {a.x - 7, a.y}})
			layer(ink, "", 65, "")
			layer(none, pigments[x.paint.tape], 48, "")
		}
	}
}

func (w *svg) label(l *label) {
	t := l.tone
	if t == none {
		t = ink
	}
	fmt.Fprintf(w, `<text%s x="%d" y="%d" font-size="%d" fill="%s" direction="ltr"`, w.class(t, none), l.at.x, l.at.y, l.size, w.tint(t))
	if l.bold {
		w.WriteString(` font-weight="bold"`)
	}
	switch l.place {
	case middle:
		w.WriteString(` text-anchor="middle"`)
	case end:
		w.WriteString(` text-anchor="end"`)
	}
	w.WriteString(">")
	if l.full != "" {
		w.WriteString("<title>" + escape(isolate(l.full)) + "</title>")
	}
	w.WriteString(escape(isolate(l.text)) + "</text>\n")
}

// course writes a way through points with right angles where they are.
func course(pts []point) string {
	var b strings.Builder
	for i, p := range pts {
		switch {
		case i == 0:
			fmt.Fprintf(&b, "M%d %d", p.x, p.y)
		case p.y == pts[i-1].y:
			fmt.Fprintf(&b, "H%d", p.x)
		case p.x == pts[i-1].x:
			fmt.Fprintf(&b, "V%d", p.y)
		default:
			fmt.Fprintf(&b, "L%d %d", p.x, p.y)
		}
	}
	return b.String()
}

// escape returns a text as it may stand in an element, whatever is in it.
func escape(text string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		panic(err) // a bytes.Buffer does not fail
	}
	return b.String()
}

func tenths(n int) string {
	if n%10 == 0 {
		return fmt.Sprint(n / 10)
	}
	return fmt.Sprintf("%d.%d", n/10, n%10)
}

func halves(n int) string { return tenths(n * 5) }

// WriteTo writes the picture as one SVG element, with no declaration before it, so
// that it can stand in a page or in a file of its own.
func (p *Picture) WriteTo(w io.Writer) (int64, error) {
	n, err := w.Write(p.render())
	return int64(n), err
}
