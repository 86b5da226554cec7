package packet

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/plan"
)

// A Part is a part of the page of a packet, by its name.
type Part string

// The parts, in the order of the page. The cautions are no part: they stand on every
// page, whatever is chosen.
const (
	RunsPart       Part = "runs"       // the run plan
	CablesPart     Part = "cables"     // the cable schedule
	BoxesPart      Part = "boxes"      // a sheet for every box
	TagsPart       Part = "tags"       // tags to cut out
	TakeOffPart    Part = "take-off"   // the material
	SizingPart     Part = "sizing"     // sizes, drop and protection
	FindingsPart   Part = "findings"   // what package check finds
	ProofPart      Part = "proof"      // what each control does
	RingOutPart    Part = "ring-out"   // continuity before any device is fitted
	EnergizingPart Part = "energizing" // the checklist
	WalkPart       Part = "walk"       // the proving walk
)

// Parts returns all parts in the order of the page.
func Parts() []Part {
	return []Part{RunsPart, CablesPart, BoxesPart, TagsPart, TakeOffPart, SizingPart, FindingsPart, ProofPart, RingOutPart, EnergizingPart, WalkPart}
}

// PageOptions says what a page holds. The zero value, or nil, means all of it.
type PageOptions struct {
	// Parts are the parts wanted, in any order; none, and no Boxes, means all of
	// them.
	Parts []Part
	// Boxes names boxes whose sheets and tags are wanted, beside the Parts.
	Boxes []string
	// Revision says which sheets this packet voids; nil for a first packet.
	Revision *Revised
}

// Revised says what a packet replaces.
type Revised struct {
	// Number is that of the revision, from 2; the first packet is revision 1.
	Number int
	// Boxes are the boxes whose earlier sheets are void: see [plan.Revision]. Those
	// that the wiring has not are boxes that are no more. The sheets of all other
	// boxes stay in force, and the page holds theirs only if they are asked for.
	Boxes []plan.BoxChange
}

// A Page is a packet as one self-contained page of HTML, with pictures, for paper and
// for screens of 360 px and more. It is immutable and safe for concurrent use.
type Page struct{ html []byte }

// WriteTo writes the page.
func (p *Page) WriteTo(w io.Writer) (int64, error) {
	n, err := w.Write(p.html)
	return int64(n), err
}

// NewPage makes the page of a document that [Build] made from the same input. The page
// asks for nothing from outside, carries no script, and is well-formed XML too.
// It is the same to the byte each time. An option that names a part or a box that there
// is not, and a revision below 2, are errors, all of them at once; so is the end of ctx.
//
// It takes the time of a check without fixes (see [check.Run]) and of the pictures.
func NewPage(ctx context.Context, d *Document, in Input, opt *PageOptions) (*Page, error) {
	if d == nil || in.Wiring == nil || in.Region == nil {
		return nil, errors.New("packet: a document, its wiring and the rules of its region are needed")
	}
	if opt == nil {
		opt = &PageOptions{}
	}
	if err := opt.check(d); err != nil {
		return nil, err
	}
	v := &page{Document: d, Brief: cautions.Brief(), Heading: cautions.Heading, Revision: 1, opt: opt, s: newSheets(in.Wiring, in.Region)}
	v.draw = draw.New(in.Wiring)
	if opt.Revision != nil {
		v.revise(opt.Revision)
	}
	if v.Trouble = trouble(d); v.Has(FindingsPart) || v.Has(BoxesPart) || len(opt.Boxes) > 0 {
		v.find(ctx, in)
	}
	if err := v.pictures(ctx, in); err != nil {
		return nil, err
	}
	if v.Has(EnergizingPart) {
		v.energize()
	}
	v.sheets()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := pageTemplate().Execute(&b, v); err != nil {
		return nil, fmt.Errorf("packet: %w", err)
	}
	return &Page{bytes.Map(legible, b.Bytes())}, nil
}

// legible puts a sign in place of the characters that no page of HTML may hold.
func legible(r rune) rune {
	if unicode.IsControl(r) && r != '\n' && r != '\t' || r == 0xfffe || r == 0xffff {
		return unicode.ReplacementChar
	}
	return r
}

func (o *PageOptions) check(d *Document) error {
	var errs []error
	for _, p := range o.Parts {
		if !slices.Contains(Parts(), p) {
			errs = append(errs, fmt.Errorf("there is no part %q of a packet; there are %s", p, strings.Join(partNames(), ", ")))
		}
	}
	for _, b := range o.Boxes {
		if !slices.ContainsFunc(d.Boxes, func(x Box) bool { return x.Name == b }) {
			errs = append(errs, fmt.Errorf("there is no box %q whose sheet could be printed", b))
		}
	}
	if o.Revision != nil && o.Revision.Number < 2 {
		errs = append(errs, fmt.Errorf("revision %d: a packet that replaces another is revision 2 or later", o.Revision.Number))
	}
	return errors.Join(errs...)
}

func partNames() []string {
	var out []string
	for _, p := range Parts() {
		out = append(out, string(p))
	}
	return out
}

//go:embed page.html page.css
var pageFiles embed.FS

var pageTemplate = sync.OnceValue(func() *template.Template {
	css, err := pageFiles.ReadFile("page.css")
	if err != nil {
		panic(err) // it is embedded
	}
	return template.Must(template.New("page.html").Funcs(template.FuncMap{
		"style":   func() template.CSS { return template.CSS(css) },
		"known":   known,
		"plural":  plural,
		"printed": printed,
		"size":    size,
		"rings":   ringTables,
		"says":    Readings.says,
		"tables":  Readings.tables,

		"inDoubt":       func() string { return inDoubt },
		"notChecked":    func() string { return notChecked },
		"wrongHere":     func() string { return wrongHere },
		"readingsFirst": func() string { return readingsFirst },
		"readingsLift":  func() string { return readingsLift },
		"join":          func(words []string) string { return strings.Join(words, ", ") },
	}).ParseFS(pageFiles, "page.html"))
})

// page is what the template reads.
type page struct {
	*Document
	Heading, Brief string
	Revision       int
	Void, Gone     []string // boxes whose sheets are void, those that are no more last
	Trouble        []string
	Runs           *figure
	Sheets         []sheet
	Tags           []tagged
	Proofs         []proof
	Found          []Finding
	FoundProblem   string
	Doubts         []string
	NotAsked       int
	Circuit        []Energized
	Shown          []sizing
	Materials      []material

	opt  *PageOptions
	s    *sheets
	draw *draw.Drawer
	of   map[string]plan.BoxChange
	svg  map[string]*figure // of boxes
}

// Has reports whether a part is wanted.
func (v *page) Has(p Part) bool {
	return len(v.opt.Parts)+len(v.opt.Boxes) == 0 || slices.Contains(v.opt.Parts, p)
}

// wants reports whether the sheet of a box is wanted: of a revision those that are
// void, unless a box is named.
func (v *page) wants(box string) bool {
	if slices.Contains(v.opt.Boxes, box) {
		return true
	}
	if _, changed := v.of[box]; v.opt.Revision != nil && !changed {
		return false
	}
	return v.Has(BoxesPart)
}

func (v *page) revise(r *Revised) {
	v.Revision, v.of = r.Number, map[string]plan.BoxChange{}
	for _, b := range r.Boxes {
		was, is := slices.Clone(b.Was), slices.Clone(b.Is)
		for _, said := range [][]string{was, is} {
			for i := range said {
				said[i] = v.s.speak(said[i])
			}
		}
		v.of[b.Box] = plan.BoxChange{Box: b.Box, Was: was, Is: is}
		if _, here := v.s.held[b.Box]; here && b.Box != "" {
			v.Void = append(v.Void, b.Box)
		} else {
			v.Gone = append(v.Gone, b.Box)
		}
	}
}

// figure is a picture for paper and screens, in parts where a page would not hold it, and
// one for phones where it differs.
type figure struct {
	Wide  []drawing
	Phone *drawing
}

// drawing is an SVG element.
type drawing struct {
	Title string
	SVG   template.HTML
	Broad bool // it does not fit the width that it was asked for
}

// tallest is how high a picture of a box is at most, in px, unless one thing in it is higher
// by itself: what page.css makes of that on paper has its smallest text at 7 points or more.
const tallest = 975

// picture draws one in both widths. What a picture writes is an SVG element in which
// package draw has escaped all names.
func (v *page) picture(make func(*draw.Options) ([]*draw.Picture, error)) (*figure, error) {
	draws := func(width int) ([]drawing, error) {
		parts, err := make(&draw.Options{Width: width, Words: v.s.speak})
		var out []drawing
		for _, p := range parts {
			var b strings.Builder
			if _, err := p.WriteTo(&b); err != nil {
				return nil, err
			}
			w, _ := p.Size()
			out = append(out, drawing{p.Title(), template.HTML(b.String()), w > width})
		}
		return out, err
	}
	wide, err := draws(draw.Page)
	if err != nil {
		return nil, err
	}
	f := &figure{Wide: wide}
	phone, err := draws(draw.Phone)
	if err != nil {
		return nil, err
	}
	if len(wide) != 1 || phone[0].SVG != wide[0].SVG {
		f.Phone = &phone[0]
	}
	return f, nil
}

// one draws what is in one part.
func one(p *draw.Picture, err error) ([]*draw.Picture, error) {
	if err != nil {
		return nil, err
	}
	return []*draw.Picture{p}, nil
}

// box draws a box: in parts for paper, and whole for phones, which scroll.
func (v *page) box(name string, o *draw.Options) ([]*draw.Picture, error) {
	if o.Width == draw.Page {
		return v.draw.BoxParts(name, o, tallest)
	}
	return one(v.draw.Box(name, o))
}

func (v *page) pictures(ctx context.Context, in Input) error {
	var err error
	if v.Has(RunsPart) {
		if v.Runs, err = v.picture(func(o *draw.Options) ([]*draw.Picture, error) { return one(v.draw.Runs(o)) }); err != nil {
			return err
		}
	}
	v.svg = map[string]*figure{}
	for i := range v.Boxes {
		name := v.Boxes[i].Name
		if !v.wants(name) {
			continue
		}
		if v.svg[name], err = v.picture(func(o *draw.Options) ([]*draw.Picture, error) { return v.box(name, o) }); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	if !v.Has(ProofPart) {
		return nil
	}
	for i := range v.Controls {
		p, err := v.prove(ctx, in, i)
		if err != nil {
			return err
		}
		v.Proofs = append(v.Proofs, p)
	}
	return nil
}

// proof is a control with its pictures.
type proof struct {
	*Control
	Chain, Truth *figure
	NoPicture    string
}

func (v *page) prove(ctx context.Context, in Input, i int) (proof, error) {
	p := proof{Control: &v.Controls[i]}
	c := in.Intent.Controls[i]
	g := draw.Group{Name: c.Name, Lights: v.s.lightsOf(c)}
	g.Switches, _ = c.Switches(v.s.w)
	state := litState(v.s.w.Net(), g)
	var err error
	if p.Chain, err = v.picture(func(o *draw.Options) ([]*draw.Picture, error) { return one(v.draw.Chain(g, state, o)) }); err == nil {
		p.Truth, err = v.picture(func(o *draw.Options) ([]*draw.Picture, error) { return one(v.draw.Truth(ctx, g, o)) })
	}
	if err != nil {
		// A net too knotted, or a group with nothing in it, has a proof without
		// pictures.
		p.NoPicture, err = said(ctx, err)
	}
	return p, err
}

// litState is a state that lights the first light of a group with at most one handle
// moved from rest, or rest if there is none.
func litState(net *switchnet.Net, g draw.Group) switchnet.State {
	rest := net.Rest()
	if len(g.Lights) == 0 {
		return rest
	}
	solver := net.NewSolver()
	lit := func(s switchnet.State) bool {
		view, err := solver.Solve(s)
		if err != nil {
			return false
		}
		supply, ok := view.Supply(g.Lights[0])
		return ok && supply.Status == switchnet.Lit
	}
	if lit(rest) {
		return rest
	}
	for _, d := range g.Switches {
		if s, err := rest.Flip(d); err == nil && lit(s) {
			return s
		}
	}
	return rest
}
