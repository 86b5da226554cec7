package job_test

import (
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// What the format cannot say, and what could not be read back, is not written.
func TestMarshalRefuses(t *testing.T) {
	for _, tt := range []struct {
		why, says string
		change    func(f *job.File)
	}{
		{"rules that nobody knows", "no region", func(f *job.File) { f.Rules = "us-1999" }},
		{"a supply without a name", "supply", func(f *job.File) { f.Wiring.Supply.LineToLine = 200 * quantity.Volt }},
		{"a breaker in a box", "breaker", func(f *job.File) { f.Wiring.Devices[0].Kind = switchnet.Breaker(1) }},
		{"another kind under a built-in name", "another kind", func(f *job.File) { f.Wiring.Devices[0].Kind.Electronic = true }},
		{"a terminal with a dot", "dot", func(f *job.File) {
			k := switchnet.SinglePole()
			k.Name, k.Terminals[0], k.Positions[1].Joins[0][0] = "dotted", "li.ne", "li.ne"
			f.Kinds = append(f.Kinds, k)
		}},
		{"a cable that the format cannot name", "made up otherwise", func(f *job.File) { f.Wiring.Cables[0].Type.Cores[0].Size = conductor.AWG(10) }},
		{"a cable type of no known name", "fancy", func(f *job.File) { f.Wiring.Cables[0].Type.Name = "fancy" }},
		{"gangs stated twice", "gangs", func(f *job.File) { f.Wiring.Boxes[1].Volume.Gangs = 3 }},
		{"an addition of no kind", "read back", func(f *job.File) { f.Wiring.Boxes[1].Volume.Additions = []boxfill.Addition{{}} }},
		{"a feed on the neutral", "no line", func(f *job.File) { f.Wiring.Feeds[0].Lines = []switchnet.Rail{switchnet.Neutral} }},
		{"a wiring that contradicts itself", "another place", func(f *job.File) { f.Wiring.Landings = append(f.Wiring.Landings, f.Wiring.Landings[0]) }},
		{"a box called unknown", "unknown", func(f *job.File) {
			f.Wiring.Boxes = append(f.Wiring.Boxes, wiring.Box{Name: "unknown", Kind: wiring.JunctionBox})
		}},
	} {
		f := parse(t, demo.ShedWiredName, demo.ShedWired())
		tt.change(f)
		if out, err := job.Marshal(f, options()); out != nil || err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: want an error that says %q, got %v", tt.why, tt.says, err)
		}
	}
}

// A file that is too large for the default limits is written, to be read with
// larger ones.
func TestMarshalLarge(t *testing.T) {
	opt := options()
	opt.MaxBytes = roomy
	f, err := job.Parse("large.yaml", large(600), opt)
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Wiring.Boxes {
		f.Wiring.Boxes[i].Location = strings.TrimSpace(strings.Repeat("along the aisle ", 250))
	}
	f.Intent.Boxes = f.Wiring.Boxes
	out, err := job.Marshal(f, options())
	if err != nil {
		t.Fatal(err)
	}
	if len(out) <= 2<<20 {
		t.Fatalf("%d bytes are not too many", len(out))
	}
	g, err := job.Parse("large.yaml", out, opt)
	if err != nil || !f.Equal(g) {
		t.Errorf("it reads otherwise: %v", err)
	}
}

func TestEqual(t *testing.T) {
	a := parse(t, demo.ShedWiredName, demo.ShedWired())
	for _, tt := range []struct {
		why    string
		equal  bool
		change func(f *job.File)
	}{
		{"nothing changed", true, func(*job.File) {}},
		{"empty and nil are alike", true, func(f *job.File) { f.Wiring.Caps = []wiring.Cap{} }},
		{"the name of the file is not in it", true, func(f *job.File) { f.Name = "other.yaml" }},
		{"the title is", false, func(f *job.File) { f.Title += "!" }},
		{"a length", false, func(f *job.File) { f.Wiring.Cables[3].Length++ }},
		{"the order of a list", false, func(f *job.File) {
			s := f.Wiring.Splices
			s[0], s[1] = s[1], s[0]
		}},
		{"a control", false, func(f *job.File) { f.Intent.Controls[0].Places[0] = "loft" }},
	} {
		b := parse(t, demo.ShedWiredName, demo.ShedWired())
		tt.change(b)
		if a.Equal(b) != tt.equal || b.Equal(a) != tt.equal {
			t.Errorf("%s: Equal is %v", tt.why, !tt.equal)
		}
	}
}

// Every field that a problem can be about has a place, and a ref to nothing has none.
func TestPosition(t *testing.T) {
	src := "format: 1\nrules: us-2023\nsupply: wye\nboxes:\n  - {name: panel, kind: panel, material: metal}\n  - {name: loft, kind: device}\n" +
		"cables:\n  - {name: C1, type: 14/2, from: panel, to: loft}\nsplices:\n  - {box: loft, join: [C1.black, C1.white]}\nopens: [C1.bare]\n"
	f := parse(t, "shed.yaml", []byte(src))
	for _, tt := range []struct {
		ref          wiring.Ref
		why          string
		line, column int
	}{
		{wiring.Ref{List: "supply"}, "a key of the file", 3, 9},
		{wiring.Ref{List: "boxes", Index: 0, Field: "metal"}, "a field with another key", 5, 42},
		{wiring.Ref{List: "boxes", Index: 1, Field: "gangs"}, "nothing said: the entry", 6, 5},
		{wiring.Ref{List: "boxes", Index: 1}, "the entry", 6, 5},
		{wiring.Ref{List: "splices", Index: 0, Field: "join 1"}, "one of a list", 10, 34},
		{wiring.Ref{List: "splices", Index: 0, Field: "join 7"}, "none of a list: the list", 10, 23},
		{wiring.Ref{List: "opens", Index: 0}, "an entry without keys", 11, 9},
		{wiring.Ref{List: "boxes", Index: 2}, "no entry", 0, 0},
		{wiring.Ref{List: "boxes", Index: -1}, "no entry", 0, 0},
		{wiring.Ref{List: "nothing"}, "no list", 0, 0},
	} {
		pos, ok := f.Position(tt.ref)
		if pos.Line != tt.line || pos.Column != tt.column || ok != (tt.line > 0) {
			t.Errorf("%v (%s) is at %v, %v; want %d:%d", tt.ref, tt.why, pos, ok, tt.line, tt.column)
		}
	}
	if _, ok := new(job.File).Position(wiring.Ref{List: "boxes"}); ok {
		t.Error("a file that was not read has places")
	}
}
