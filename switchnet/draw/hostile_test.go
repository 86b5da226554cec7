package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// pictures returns all sorts of picture of a wiring.
func pictures(t tester, w *wiring.Wiring, choose func(n int) int, opt *Options) []*Picture {
	t.Helper()
	d := New(w)
	var out []*Picture
	add := func(p *Picture, err error) {
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	add(d.Runs(opt))
	for _, b := range w.Spec().Boxes {
		add(d.Box(b.Name, opt))
	}
	if g := everything(w, choose); len(g.Lights)*len(g.Switches) > 0 {
		g.Name = `<b onload="x">` + strings.Repeat("long ", 60)
		add(d.Chain(g, switchnet.State{}, opt))
		add(d.Truth(ctx(), g, opt))
	}
	return out
}

func svgOf(t tester, p *Picture) string {
	t.Helper()
	var b bytes.Buffer
	if n, err := p.WriteTo(&b); err != nil || n != int64(b.Len()) {
		t.Fatalf("WriteTo returned %d, %v for %d bytes", n, err, b.Len())
	}
	return b.String()
}

// TestWellFormed reads the pictures of wirings with hostile names as XML and wants only
// the elements that pictures are made of, and the text alternative first.
func TestWellFormed(t *testing.T) {
	known := []string{"svg", "title", "desc", "style", "rect", "circle", "path", "text"}
	for seed := range uint64(60) {
		choose := seeded(seed)
		for _, p := range pictures(t, drawWiring(t, choose, ordinary), choose, &Options{Width: Phone, Scheme: Scheme(seed % 3)}) {
			text := svgOf(t, p)
			var elements []string
			for dec := xml.NewDecoder(strings.NewReader(text)); ; {
				tok, err := dec.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatalf("seed %d, %s: %v", seed, clip(p.title, 40), err)
				}
				if e, ok := tok.(xml.StartElement); ok {
					elements = append(elements, e.Name.Local)
					for _, a := range e.Attr {
						if strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Name.Local, "href") {
							t.Fatalf("an element has the attribute %s", a.Name.Local)
						}
					}
				}
			}
			for _, e := range elements {
				if !slices.Contains(known, e) {
					t.Fatalf("seed %d: a picture has an element %q", seed, e)
				}
			}
			if !slices.Equal(elements[:3], []string{"svg", "title", "desc"}) {
				t.Errorf("a picture begins with %q; want its title and description first", elements[:3])
			}
		}
	}
}

// TestLongText cuts a tag of 10,000 characters short, keeps what fits in its title, and
// loses no line of the picture for it.
func TestLongText(t *testing.T) {
	w, _ := long(t, 2)
	s := w.Spec()
	tag := strings.Repeat("pair <to> the store & on ", 400)
	s.Tags = []wiring.Tag{{Box: "place-00", Wire: wiring.Wire{Cable: "C0", Conductor: "black"}, Text: strings.TrimSpace(tag)}}
	s.Boxes[1].Location = strings.TrimSpace(tag)
	d := New(w)
	if after, err := wiring.New(s); err == nil {
		d = New(after)
	} else {
		// The wiring may refuse it; the drawer must not depend on that.
		d.tags[wiring.End{Box: "place-00", Wire: s.Tags[0].Wire}] = tag
		d.boxes["place-00"].box.Location = tag
	}
	p, err := d.Box("place-00", &Options{Width: Phone})
	if err != nil {
		t.Fatal(err)
	}
	wantClean(t, p)
	if _, h := p.Size(); h > 1500 {
		t.Errorf("the picture is %d px high", h)
	}
	text := svgOf(t, p)
	if !strings.Contains(text, "…") || !strings.Contains(text, "<title>pair &lt;to&gt; the store &amp; on pair") {
		t.Error("the tag is not cut short with the rest in its title")
	}
	if len(text) > 40_000 {
		t.Errorf("%d bytes for a box of five conductors", len(text))
	}
}

func TestClean(t *testing.T) {
	rows := []struct{ why, in, want string }{
		{"plain", "slip-door", "slip-door"},
		{"lines and tabs are blanks", "a\tb\nc", "a b c"},
		{"control characters show", "a\x07b", "a\ufffdb"},
		{"what turns text round shows", "x\u202ey\u2066z", "x\ufffdy\ufffdz"},
		{"no character of XML", "a\ufffeb", "a\ufffdb"},
		{"not UTF-8", "a\xffb", "a\ufffdb"},
		{"three marks on a letter and no more", "n\u0301\u0302\u0303\u0304\u0305x", "n\u0301\u0302\u0303x"},
	}
	for _, r := range rows {
		if got := clean(r.in); got != r.want {
			t.Errorf("%s: %q, want %q", r.why, got, r.want)
		}
	}
}

// TestIsolate wants right-to-left names set apart, so that what follows a name on its
// line stays behind it.
func TestIsolate(t *testing.T) {
	rows := []struct{ in, want string }{
		{"from loft", "from loft"},
		{"from דלת המחסן, 14 ft", "from \u2068דלת המחסן\u2069, 14 ft"},
		{"דלת.red", "\u2068דלת\u2069.red"},
		{"א and ב", "\u2068א\u2069 and \u2068ב\u2069"},
	}
	for _, r := range rows {
		if got := isolate(r.in); got != r.want {
			t.Errorf("isolate(%q) = %q, want %q", r.in, got, r.want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, text := range []string{"", "a", "two words", strings.Repeat("W", 200), "store-door-at-the-far-end-of-the-long-aisle", "階段の下の箱と倉庫のドア", strings.Repeat("long name ", 19)} {
		for _, width := range []int{12, 40, 90, 400} {
			lines := wrap(text, width, small, false)
			if got := strings.Join(strings.Fields(strings.Join(lines, "")), ""); got != strings.Join(strings.Fields(text), "") {
				t.Errorf("wrapping %q at %d loses text: %q", text, width, lines)
			}
			for _, l := range lines {
				if textWidth(l, small, false) > width && len([]rune(l)) > 1 {
					t.Errorf("wrapping %q at %d: the line %q is wider", text, width, l)
				}
			}
		}
	}
}

// luminance returns the relative luminance of a colour #rrggbb (WCAG 2.2).
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	var rgb [3]int
	if _, err := fmt.Sscanf(colour, "#%02x%02x%02x", &rgb[0], &rgb[1], &rgb[2]); err != nil {
		t.Fatal(err)
	}
	l := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		c := float64(rgb[i]) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		l += weight * c
	}
	return l
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// TestContrast holds text to 7:1 on every ground, bare conductors to 3:1 on it, and hues
// to 3:1 on the white they are laid on.
func TestContrast(t *testing.T) {
	for scheme := range 2 {
		for _, ground := range []tone{paper, wash} {
			for _, text := range []tone{ink, muted} {
				if c := contrast(t, tints[text][scheme], tints[ground][scheme]); c < 7 {
					t.Errorf("%s on %s: %.1f:1, want 7:1", tints[text][scheme], tints[ground][scheme], c)
				}
			}
		}
		if c := contrast(t, tints[copper][scheme], tints[paper][scheme]); c < 3 {
			t.Errorf("bare metal in scheme %d: %.1f:1", scheme+1, c)
		}
	}
	for h := conductor.Black; h <= conductor.Pink; h++ {
		if c := contrast(t, pigments[h], "#ffffff"); c < 3 && h != conductor.White {
			t.Errorf("%s on white: %.1f:1, want 3:1", h, c)
		}
	}
}

// TestPatterns wants no two hues that look alike without their colour.
func TestPatterns(t *testing.T) {
	seen := map[string]conductor.Hue{}
	for h := conductor.Bare; h <= conductor.Pink; h++ {
		pattern := dashes[h]
		switch h {
		case conductor.Bare, conductor.Black, conductor.White:
			continue // a thin line, a solid one, an empty one
		}
		if o, ok := seen[pattern]; ok || pattern == "" {
			t.Errorf("%s and %s have the pattern %q", o, h, pattern)
		}
		seen[pattern] = h
	}
}

// TestSame draws each wiring twice, from drawers of its own, and with its cables
// written the other way round: pictures of boxes and circuits do not depend on it.
func TestSame(t *testing.T) {
	for seed := range uint64(25) {
		w := drawWiring(t, seeded(seed), ordinary)
		s := w.Spec()
		for i := range s.Cables {
			if seed%2 == 1 {
				s.Cables[i] = s.Cables[i].Turned()
			}
		}
		turned, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		a, b := pictures(t, w, seeded(seed), nil), pictures(t, w, seeded(seed), nil)
		c := pictures(t, turned, seeded(seed), nil)
		for i := range a {
			first := svgOf(t, a[i])
			if first != svgOf(t, b[i]) {
				t.Errorf("seed %d: %s is drawn in two ways", seed, clip(a[i].title, 40))
			}
			if i > 0 && first != svgOf(t, c[i]) {
				t.Errorf("seed %d: %s depends on which end of a cable is its beginning", seed, clip(a[i].title, 40))
			}
		}
	}
}

// TestConcurrent draws with one drawer from several goroutines; the race detector and
// the bytes tell whether they disturb one another.
func TestConcurrent(t *testing.T) {
	w, g := long(t, 5)
	d := New(w)
	want := make(chan string, 8)
	for range 8 {
		go func() {
			var b bytes.Buffer
			for _, draw := range []func() (*Picture, error){
				func() (*Picture, error) { return d.Box("place-01", nil) },
				func() (*Picture, error) { return d.Runs(nil) },
				func() (*Picture, error) { return d.Chain(g, switchnet.State{}, nil) },
				func() (*Picture, error) { return d.Truth(ctx(), g, nil) },
			} {
				p, err := draw()
				if err == nil {
					_, err = p.WriteTo(&b)
				}
				if err != nil {
					b.WriteString(err.Error())
				}
			}
			want <- b.String()
		}()
	}
	first := <-want
	for range 7 {
		if got := <-want; got != first {
			t.Error("pictures differ between goroutines")
		}
	}
}

// TestSchemes wants the reader's choice followed unless the program has chosen.
func TestSchemes(t *testing.T) {
	w, _ := long(t, 2)
	rows := []struct {
		scheme     Scheme
		want, none string
	}{
		{0, "prefers-color-scheme: dark", ""},
		{Light, tints[paper][0], "<style>"},
		{Dark, tints[paper][1], "<style>"},
	}
	for _, r := range rows {
		p, err := New(w).Runs(&Options{Scheme: r.scheme})
		if err != nil {
			t.Fatal(err)
		}
		text := svgOf(t, p)
		if !strings.Contains(text, r.want) || r.none != "" && strings.Contains(text, r.none) {
			t.Errorf("scheme %d: want %q and not %q", r.scheme, r.want, r.none)
		}
	}
}

// TestWords wants the words of the region in every picture.
func TestWords(t *testing.T) {
	w, g := long(t, 3)
	g.Name = "long"
	opt := &Options{Words: strings.NewReplacer("three-way", "two-way", "four-way", "intermediate").Replace}
	for _, p := range pictures(t, w, func(int) int { return 0 }, opt) {
		if text := svgOf(t, p); strings.Contains(text, "three-way") || strings.Contains(text, "four-way") {
			t.Errorf("%s does not speak the region's words", p.Title())
		}
	}
}
