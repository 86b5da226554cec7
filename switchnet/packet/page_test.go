package packet_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

func pageOf(tb testing.TB, change func(f *job.File), opt *packet.PageOptions) string {
	tb.Helper()
	return pageFrom(tb, demo.ShedWiredName, demo.ShedWired(), change, opt)
}

func pageFrom(tb testing.TB, name string, src []byte, change func(f *job.File), opt *packet.PageOptions) string {
	tb.Helper()
	s, err := tryPage(tb, name, src, change, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func tryPage(tb testing.TB, name string, src []byte, change func(f *job.File), opt *packet.PageOptions) (string, error) {
	tb.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		tb.Fatal(err)
	}
	if change != nil {
		change(f)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	in := packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region}
	d, err := packet.Build(context.Background(), in)
	if err != nil {
		tb.Fatal(err)
	}
	p, err := packet.NewPage(context.Background(), d, in, opt)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	if _, err := p.WriteTo(&b); err != nil {
		tb.Fatal(err)
	}
	return b.String(), nil
}

// element is what the tests read of an element of a page.
type element struct {
	name string
	attr map[string]string
	text string
	kids []*element
}

// tree reads a page as strict XML, so that every element is closed in its order.
func tree(t *testing.T, page string) *element {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(page))
	root := &element{}
	stack := []*element{root}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		top := stack[len(stack)-1]
		switch x := tok.(type) {
		case xml.StartElement:
			e := &element{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			top.kids = append(top.kids, e)
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			top.text += string(x)
		}
	}
	return root
}

func (e *element) walk(f func(*element)) {
	f(e)
	for _, k := range e.kids {
		k.walk(f)
	}
}

// wellMade holds a page to what every page must be.
func wellMade(t *testing.T, page string) {
	t.Helper()
	ids, to := map[string]bool{}, []string{}
	tree(t, page).walk(func(e *element) {
		if id := e.attr["id"]; id != "" {
			if ids[id] {
				t.Errorf("two elements have the id %q", id)
			}
			ids[id] = true
		}
		switch e.name {
		case "script", "link", "img", "iframe", "object", "form":
			t.Errorf("the page has an element %s", e.name)
		case "svg":
			if len(e.kids) < 2 || e.kids[0].name != "title" || e.kids[0].text == "" || e.kids[1].name != "desc" || e.kids[1].text == "" {
				t.Error("a picture has no text alternative")
			}
		}
		for k, v := range e.attr {
			if strings.HasPrefix(k, "on") || k == "src" || k == "href" && !strings.HasPrefix(v, "#") {
				t.Errorf("%s has %s=%q", e.name, k, v)
			}
		}
		if l := e.attr["href"]; l != "" {
			to = append(to, l[1:])
		}
	})
	for _, l := range to {
		if !ids[l] {
			t.Errorf("a link leads to #%s, which is not there", l)
		}
	}
	if strings.Contains(page, "url(") || strings.Contains(page, "@import") {
		t.Error("the page asks for something outside")
	}
	if !strings.Contains(page, "prove the tester on a known live source") {
		t.Error("the page has no cautions")
	}
}

var picture = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// TestPageGolden holds the words of the boat shed's page; its pictures are held by the
// tests of package draw, and stand here by their titles.
func TestPageGolden(t *testing.T) {
	page := pageOf(t, nil, nil)
	wellMade(t, page)
	short := picture.ReplaceAllStringFunc(page, func(s string) string {
		_, s, _ = strings.Cut(s, "<title>")
		s, _, _ = strings.Cut(s, "</title>")
		return "[picture: " + s + "]"
	})
	golden.Compare(t, "testdata/shed.html", []byte(short))
	if pageOf(t, nil, nil) != page {
		t.Error("two pages of one job differ")
	}
	wellMade(t, pageFrom(t, demo.CottageName, demo.Cottage(), nil, nil))
}

// Names are text, whatever they are: no name becomes an element, an attribute or a rule
// of style.
func TestPageNames(t *testing.T) {
	plainTree := map[string]int{}
	tree(t, pageOf(t, nil, nil)).walk(func(e *element) { plainTree[e.name]++ })
	for _, r := range []struct{ why, name string }{
		{"a script", `<script>alert(1)</script>`},
		{"an end of what it stands in", `</title></style></svg></section><b onclick="x()">`},
		{"a formula", `=cmd()|' /C calc'!A0`},
		{"an attribute", `" onload="alert(1)`},
		{"a template", `{{.Title}}`},
		{"an entity", `&lt;b&gt;&#0;`},
		{"a long one", strings.Repeat("slip", 50)},
		{"right to left", "\u05de\u05e1\u05d3\u05e8\u05d5\u05df \u05d0"},
	} {
		page := pageOf(t, func(f *job.File) {
			renameBox(f, "slip-door", r.name)
			f.Title = strings.Repeat(r.name, 10000/len(r.name)+1) // names have a limit, titles none
		}, nil)
		wellMade(t, page)
		heads := []string{}
		seen := map[string]int{}
		tree(t, page).walk(func(e *element) {
			seen[e.name]++
			if e.name == "bdi" {
				heads = append(heads, e.text)
			}
		})
		if !slices.Contains(heads, r.name) {
			t.Errorf("%s: its name does not stand on the page as it is", r.why)
		}
		for _, name := range []string{"b", "section", "table", "style", "bdi"} {
			if name != "style" && seen[name] != plainTree[name] {
				t.Errorf("%s: %d elements %s, want the %d of any page", r.why, seen[name], name, plainTree[name])
			}
		}
	}
}

// renameBox gives a box of a job another name.
func renameBox(f *job.File, from, to string) {
	fix := func(s *string) {
		if *s == from {
			*s = to
		}
	}
	w := &f.Wiring
	for i := range w.Boxes {
		fix(&w.Boxes[i].Name)
	}
	for i := range w.Feeds {
		fix(&w.Feeds[i].Box)
	}
	for i := range w.Lights {
		fix(&w.Lights[i].Box)
	}
	for i := range w.Devices {
		fix(&w.Devices[i].Box)
	}
	for i := range w.Cables {
		fix(&w.Cables[i].From)
		fix(&w.Cables[i].To)
	}
	for i := range w.Splices {
		fix(&w.Splices[i].Box)
	}
	for i := range w.Landings {
		fix(&w.Landings[i].Box)
	}
	for i := range w.Caps {
		fix(&w.Caps[i].Box)
	}
	for i := range w.Marks {
		fix(&w.Marks[i].Box)
	}
	for i := range w.Tags {
		fix(&w.Tags[i].Box)
	}
	for i := range f.Intent.Controls {
		for k := range f.Intent.Controls[i].Places {
			fix(&f.Intent.Controls[i].Places[k])
		}
	}
}

// What is chosen is there, and nothing else is but the cautions.
func TestPageParts(t *testing.T) {
	sections := func(page string) string {
		var ids []string
		tree(t, page).walk(func(e *element) {
			if strings.HasPrefix(e.attr["class"], "part") {
				ids = append(ids, e.attr["id"])
			}
		})
		return strings.Join(ids, " ")
	}
	for _, r := range []struct {
		why  string
		opt  *packet.PageOptions
		want string
	}{
		{"one part", &packet.PageOptions{Parts: []packet.Part{packet.EnergizingPart}}, "energizing"},
		{"two, in the order of the page", &packet.PageOptions{Parts: []packet.Part{packet.SizingPart, packet.CablesPart}}, "cables sizing"},
		{"the sheet of a box, with its tags", &packet.PageOptions{Boxes: []string{"slip-door"}}, "box-3 tags"},
	} {
		page := pageOf(t, nil, r.opt)
		wellMade(t, page)
		if got := sections(page); got != r.want {
			t.Errorf("%s: %s, want %s", r.why, got, r.want)
		}
	}
	_, err := tryPage(t, demo.ShedWiredName, demo.ShedWired(), nil, &packet.PageOptions{Parts: []packet.Part{"soup"}, Boxes: []string{"moon"}, Revision: &packet.Revised{Number: 1}})
	for _, want := range []string{`no part "soup"`, `no box "moon"`, "revision 1"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: says nothing of %q", err, want)
		}
	}
}

// A revised packet names what is void and reprints no other sheet.
func TestPageRevision(t *testing.T) {
	opt := &packet.PageOptions{Revision: &packet.Revised{Number: 3, Boxes: []plan.BoxChange{{Box: "loft", Was: []string{"it was so"}, Is: []string{"it is so"}}, {Box: "old shed"}}}}
	page := pageOf(t, nil, opt)
	wellMade(t, page)
	for _, want := range []string{"replaced here: <bdi>loft</bdi>", "no more, and their sheets are void: <bdi>old shed</bdi>", "revision 3; earlier sheets of this box are void", "<li>it was so</li>", "<li>it is so</li>"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q", want)
		}
	}
	if n := strings.Count(page, `class="part sheet"`); n != 1 {
		t.Errorf("%d sheets of boxes, want that of the loft", n)
	}
	if strings.Contains(pageOf(t, nil, nil), "Void sheets") {
		t.Error("a first packet speaks of void sheets")
	}
}

// The expected values follow the wiring: a fault shows in the test that would meet it.
func TestPageEnergizing(t *testing.T) {
	only := &packet.PageOptions{Parts: []packet.Part{packet.EnergizingPart}}
	value := func(page, between string) string {
		_, rest, ok := strings.Cut(page, "<td>"+between+"</td><td")
		if !ok {
			t.Fatalf("no test of %s", between)
		}
		_, rest, _ = strings.Cut(rest, ">")
		rest, _, _ = strings.Cut(rest, "</td>")
		return rest
	}
	tie := func(a, b string) func(f *job.File) {
		return func(f *job.File) {
			f.Wiring.Ties = []wiring.Tie{{Box: "loft", A: wiring.WireJoint("C5", a), B: wiring.WireJoint("C5", b)}}
		}
	}
	for _, r := range []struct {
		why, between, want string
		change             func(f *job.File)
	}{
		{"in order", "hot to neutral", "open, with every handle one way and the other", nil},
		{"in order", "hot to ground", "open, with every handle one way and the other", nil},
		{"a single switch and a chain alike", "hot here to hot of floodlight", "near 0 ohm or open, and the other after each move", nil},
		{"a single-pole feed of a split phase", "hot to ground", "about 120 V", nil},
		{"an ohmmeter does not see through electronics", "hot here to hot of floodlight", "not to be told dead", func(f *job.File) {
			for i := range f.Wiring.Devices {
				if d := &f.Wiring.Devices[i]; d.Name == "slipway" {
					d.Kind = switchnet.ElectronicSwitch()
				}
			}
		}},
		{"a traveler on the neutral", "hot to neutral", "JOINED in some position", tie("red", "white")},
		{"a traveler on the ground", "hot to ground", "JOINED in some position", tie("red", "bare")},
		{"neutral on ground away from the service", "neutral to ground, with the neutral off its bar", "JOINED as drawn", tie("white", "bare")},
		{"a broken leg", "hot here to hot of floodlight", "open in every position", func(f *job.File) { f.Wiring.Opens = []wiring.Wire{{Cable: "C12", Conductor: "black"}} }},
		{"a broken ground", "ground here to ground of floodlight in slipway", "nothing grounds it", func(f *job.File) { f.Wiring.Opens = []wiring.Wire{{Cable: "C12", Conductor: "bare"}} }},
	} {
		page := pageOf(t, r.change, only)
		if strings.HasPrefix(r.want, "about") {
			_, page, _ = strings.Cut(page, "4. Live tests")
		}
		if got := value(page, r.between); !strings.Contains(got, r.want) {
			t.Errorf("%s: %s is %q, want %q", r.why, r.between, got, r.want)
		}
	}
}

func ExampleNewPage() {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		panic(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		panic(err)
	}
	in := packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region}
	d, err := packet.Build(context.Background(), in)
	if err != nil {
		panic(err)
	}
	p, err := packet.NewPage(context.Background(), d, in, &packet.PageOptions{Boxes: []string{"slip-door"}})
	if err != nil {
		panic(err)
	}
	var b strings.Builder
	if _, err := p.WriteTo(&b); err != nil {
		panic(err)
	}
	fmt.Println(strings.Count(b.String(), `<section class="part sheet"`), "sheet")
	// Output: 1 sheet
}
