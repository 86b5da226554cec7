package packet_test

import (
	"bytes"
	"context"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// hostile are texts that do harm in one output or another where they are not escaped.
var hostile = []struct{ why, text string }{
	{"a script", "<script>alert(1)</script>"},
	{"an end of what it stands in", `</title></style></svg></td><b onclick="x()">`},
	{"a formula", "=cmd()|' /C calc'!A0"},
	{"a formula by another sign", "@x"},
	{"an attribute", `" onload="alert(1)`},
	{"right to left", "\u05de\u05d7\u05e1\u05df \u05d4\u05e1\u05d9\u05e8\u05d5\u05ea"},
	{"10,000 characters", strings.Repeat("slip ", 2000) + "!"},
	{"characters that steer a terminal", "a\x1b[2J\x07b\x00c"},
	{"characters that turn what follows round", "a\u202eb\u2066c"},
	{"a template", "{{.Title}}"},
}

// hostileJob returns the shed with a text everywhere that the types allow one: the title and
// where a box is, whatever the text; and, if it can be a name and a tag, the name of a box,
// of a control and a light, and a tag.
func hostileJob(t *testing.T, text string) (packet.Input, *packet.Document, bool) {
	t.Helper()
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	f.Title = text
	s := &f.Wiring
	for i := range s.Boxes {
		if s.Boxes[i].Name == "slip-door" {
			s.Boxes[i].Location = text
		}
	}
	named := wiring.CheckName(text) == nil
	if named {
		renameBox(f, "slip-door", text)
		s.Tags[0].Text = text
		for i := range s.Devices {
			if s.Devices[i].Name == "slipway" {
				s.Devices[i].Name = text
			}
		}
		for i := range s.Landings {
			if s.Landings[i].Device == "slipway" {
				s.Landings[i].Device = text
			}
		}
		for i := range s.Splices {
			for k := range s.Splices[i].Join {
				if j := &s.Splices[i].Join[k]; j.Device == "slipway" {
					j.Device = text
				}
			}
		}
		for i := range f.Intent.Controls {
			if c := &f.Intent.Controls[i]; c.Name == "slipway" {
				c.Name = text
			}
		}
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	in := packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region}
	d, err := packet.Build(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return in, d, named
}

// eachHostile runs a test with each text.
func eachHostile(t *testing.T, test func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document)) {
	t.Helper()
	names := 0
	for _, h := range hostile {
		in, d, named := hostileJob(t, h.text)
		if named {
			names++
		}
		t.Run(h.why, func(t *testing.T) { test(t, h.text, named, in, d) })
	}
	if names != 7 {
		t.Errorf("%d of the texts can be names", names)
	}
}

// harmless reports what a terminal would obey in a text.
func harmless(t *testing.T, what, text string) {
	t.Helper()
	for _, r := range text {
		if unicode.IsControl(r) && r != '\n' && r != '\r' {
			t.Fatalf("the %s has the control character %U", what, r)
		}
	}
}

// shown is how a text stands in an output that cannot show all of it.
func shown(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
			return unicode.ReplacementChar
		}
		return r
	}, text)
}

func TestHostilePage(t *testing.T) {
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		p, err := packet.NewPage(context.Background(), d, in, nil)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if _, err := p.WriteTo(&b); err != nil {
			t.Fatal(err)
		}
		harmless(t, "page", b.String())
		wellMade(t, b.String())
		whole, pictures := 0, 0
		tree(t, b.String()).walk(func(e *element) {
			if e.name == "bdi" && strings.Map(legible, text) == e.text {
				whole++
			}
			if e.name == "svg" {
				pictures++
			}
		})
		if whole == 0 || pictures < 12 {
			t.Errorf("the text stands apart in %d places, want it whole; %d pictures", whole, pictures)
		}
	})
}

// legible is what a page makes of a character.
func legible(r rune) rune {
	if unicode.IsControl(r) {
		return unicode.ReplacementChar
	}
	return r
}

func TestHostileTags(t *testing.T) {
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		p, err := packet.NewPage(context.Background(), d, in, &packet.PageOptions{Parts: []packet.Part{packet.TagsPart}})
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if _, err := p.WriteTo(&b); err != nil {
			t.Fatal(err)
		}
		harmless(t, "page", b.String())
		wellMade(t, b.String())
		tags, here := 0, 0
		tree(t, b.String()).walk(func(e *element) {
			if e.name == "ul" && e.attr["class"] == "tags" {
				e.walk(func(e *element) {
					if e.name == "li" {
						tags++
					}
					if e.name == "bdi" && e.text == text {
						here++
					}
				})
			}
		})
		if tags < 33 || named && here == 0 {
			t.Errorf("%d tags, %d with the text", tags, here)
		}
	})
}

func TestHostileText(t *testing.T) {
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		var b strings.Builder
		if err := packet.WriteText(&b, d); err != nil {
			t.Fatal(err)
		}
		harmless(t, "text", b.String())
		if strings.ContainsFunc(b.String(), func(r rune) bool { return unicode.Is(unicode.Bidi_Control, r) }) {
			t.Error("the text holds a character that turns what follows round")
		}
		if !strings.Contains(b.String(), shown(text)) {
			t.Errorf("the text has no %.60q", shown(text))
		}
		for i := range d.Boxes {
			var b strings.Builder
			if err := packet.WriteBox(&b, d, i); err != nil {
				t.Fatal(err)
			}
			harmless(t, "sheet", b.String())
		}
	})
}

func TestHostileJSON(t *testing.T) {
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		var b bytes.Buffer
		if err := packet.WriteJSON(&b, d); err != nil {
			t.Fatal(err)
		}
		harmless(t, "JSON", b.String())
		var back packet.Document
		if err := json.Unmarshal(b.Bytes(), &back); err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(back.Boxes, func(b packet.Box) bool { return b.Location == text })
		if back.Title != text || at < 0 || named && back.Boxes[at].Name != text {
			t.Errorf("it reads back with the title %.60q, and the box %d", back.Title, at)
		}
	})
}

func TestHostileTables(t *testing.T) {
	computes := regexp.MustCompile(`^\s*[=+\-@]|;\s*[=+\-@]|[\t\r\n]`)
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		// The table of cables names the boxes, that of the material the kinds of device.
		d.Cables[0].Name, d.TakeOff.Items[0].Name = text, text
		for _, write := range []func(t *testing.T) [][]string{
			func(t *testing.T) [][]string { return table(t, d, packet.WriteCablesCSV) },
			func(t *testing.T) [][]string { return table(t, d, packet.WriteTakeOffCSV) },
		} {
			rows := write(t)
			found := false
			for _, row := range rows {
				if len(row) != len(rows[0]) {
					t.Fatalf("a row of %d cells among rows of %d", len(row), len(rows[0]))
				}
				for _, cell := range row {
					harmless(t, "table", cell)
					if computes.MatchString(cell) {
						t.Errorf("a spreadsheet computes %.60q", cell)
					}
					found = found || strings.TrimPrefix(cell, "'") == strings.Map(func(r rune) rune {
						if unicode.IsControl(r) {
							return ' '
						}
						return r
					}, text)
				}
			}
			if !found {
				t.Errorf("no cell has %.60q", text)
			}
		}
	})
}

// A folder's files have names that no system takes for anything else.
func TestHostileFiles(t *testing.T) {
	plain := regexp.MustCompile(`^(packet\.(txt|json)|take-off\.csv|cables\.csv|box-[A-Za-z0-9-]{0,90}\.txt)$`)
	eachHostile(t, func(t *testing.T, text string, named bool, in packet.Input, d *packet.Document) {
		files, err := packet.Files(d)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, f := range files {
			if !plain.MatchString(f.Name) || seen[strings.ToLower(f.Name)] {
				t.Errorf("a file is called %q", f.Name)
			}
			seen[strings.ToLower(f.Name)] = true
		}
	})
}
