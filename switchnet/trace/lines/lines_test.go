package lines_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// caseOf returns the case of a job, with few faults: they do not matter to lines.
func caseOf(tb testing.TB, name string, src []byte, rename func(*wiring.Spec)) *trace.Case {
	tb.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		tb.Fatal(err)
	}
	if rename != nil {
		rename(&f.Wiring)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	c, err := trace.New(context.Background(), w, &trace.Options{Faults: miswire.List(w)[:1]})
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

func shed(tb testing.TB) *trace.Case { return caseOf(tb, demo.ShedWiredName, demo.ShedWired(), nil) }

// hostile is the cottage with the names that a writer of lines would rather not see.
func hostile(tb testing.TB) *trace.Case {
	return caseOf(tb, demo.CottageName, demo.Cottage(), func(s *wiring.Spec) {
		names := map[string]string{}
		odd := []string{`a:b`, `a`, `b.c`, `say "it"`, `back\slash`, `x=lit`, `# no comment`, `any`, `with`, "n\u0301o\u00a0break", `trip`, `:`}
		for i := range s.Boxes {
			names[s.Boxes[i].Name] = odd[i%len(odd)] + strings.Repeat("'", i/len(odd))
			s.Boxes[i].Name = names[s.Boxes[i].Name]
		}
		for i := range s.Feeds {
			s.Feeds[i].Box = names[s.Feeds[i].Box]
		}
		for i := range s.Lights {
			s.Lights[i].Box = names[s.Lights[i].Box]
		}
		for i := range s.Devices {
			s.Devices[i].Box = names[s.Devices[i].Box]
		}
		for i := range s.Cables {
			s.Cables[i].From, s.Cables[i].To = names[s.Cables[i].From], names[s.Cables[i].To]
		}
		for i := range s.Splices {
			s.Splices[i].Box = names[s.Splices[i].Box]
		}
		for i := range s.Landings {
			s.Landings[i].Box = names[s.Landings[i].Box]
		}
		for i := range s.Caps {
			s.Caps[i].Box = names[s.Caps[i].Box]
		}
		for i := range s.Marks {
			s.Marks[i].Box = names[s.Marks[i].Box]
		}
		for i := range s.Tags {
			s.Tags[i].Box = names[s.Tags[i].Box]
		}
		for i := range s.Ties {
			s.Ties[i].Box = names[s.Ties[i].Box]
		}
	})
}

// entries draws entries about a case.
func entries(c *trace.Case) *rapid.Generator[trace.Entry] {
	points := c.Points()
	handles := c.Session().Handles()
	spec := c.Wiring().Spec()
	return rapid.Custom(func(t *rapid.T) trace.Entry {
		box := func() string { return rapid.SampledFrom(spec.Boxes).Draw(t, "box").Name }
		point := func() switchnet.Terminal { return rapid.SampledFrom(points).Draw(t, "point") }
		setting := func() trace.Setting {
			out := trace.Setting{}
			for _, h := range handles {
				if rapid.Bool().Draw(t, "in") {
					out = append(out, h)
				}
			}
			return out
		}
		if rapid.IntRange(0, 3).Draw(t, "what") == 0 {
			a := trace.Action{Do: trace.Do(rapid.IntRange(1, int(trace.TakeLeads)).Draw(t, "do"))}
			if a.Do == trace.ProveDead || a.Do == trace.FindBrittle {
				a.Box = box()
			}
			return trace.Entry{Action: &a}
		}
		var r trace.Report
		switch rapid.IntRange(0, 5).Draw(t, "of") {
		case 0:
			o := trace.Saw{At: setting(), Tripped: rapid.Bool().Draw(t, "trip")}
			if !o.Tripped {
				l := rapid.SampledFrom(spec.Lights).Draw(t, "light")
				o.Lights = []trace.Seen{{Light: switchnet.Ref{Place: l.Box, Name: l.Name}, Glow: trace.Glow(rapid.IntRange(1, 6).Draw(t, "glow"))}}
			}
			r.Of = o
		case 1:
			r.Of = trace.Flipped{From: setting(), Switch: rapid.SampledFrom(handles).Draw(t, "switch").Switch, Changed: rapid.Bool().Draw(t, "changed")}
		case 2:
			r.Of = trace.InUse{Tripped: rapid.Bool().Draw(t, "trips")}
		case 3:
			r.Of = trace.Continuity{At: setting(), Between: [2]switchnet.Terminal{point(), point()}, Lifted: rapid.Bool().Draw(t, "lifted"), Found: trace.Path(rapid.IntRange(1, 3).Draw(t, "found"))}
		case 4:
			r.Of = trace.Reading{At: setting(), Red: point(), Black: point(), Meter: steady.MeterKind(rapid.IntRange(1, 3).Draw(t, "meter")),
				Shows: quantity.Voltage(rapid.Int64Range(0, 500_000_000).Draw(t, "shows")), Tolerance: quantity.Voltage(rapid.Int64Range(0, 20).Draw(t, "tolerance")) * quantity.Volt}
		case 5:
			r.Of = trace.Reference{At: setting(), Point: point(), Shown: rapid.Bool().Draw(t, "shown")}
		}
		r.Confidence = quantity.Ratio(rapid.Int64Range(0, 99).Draw(t, "sure")) * quantity.Whole / 100
		return trace.Entry{Report: &r, Earlier: rapid.Bool().Draw(t, "earlier")}
	})
}

// What is written is read back as it was, with the demo's names and with hostile ones.
func TestReadsWhatItWrites(t *testing.T) {
	for name, c := range map[string]*trace.Case{"shed": shed(t), "hostile": hostile(t)} {
		t.Run(name, func(t *testing.T) {
			v := lines.For(c.Wiring(), c.Points())
			gen := entries(c)
			rapid.Check(t, func(t *rapid.T) {
				e := gen.Draw(t, "entry")
				line, err := lines.Write(e)
				if err != nil {
					t.Fatal(err)
				}
				if strings.ContainsAny(line, "\n\r") {
					t.Fatalf("%q is not one line", line)
				}
				got, err := v.Read(line, nil)
				if err != nil {
					t.Fatalf("%s: %v", line, err)
				}
				if d := cmp.Diff(e, got); d != "" {
					t.Fatalf("%s (-written +read):\n%s", line, d)
				}
			})
		})
	}
}

// What a person types, and what it is taken for.
func TestTyped(t *testing.T) {
	c := shed(t)
	v := lines.For(c.Wiring(), c.Points())
	at := trace.Setting{{Switch: switchnet.Ref{Place: "loft", Name: "aisle"}, Position: "up"}}
	rows := []struct{ line, means, why string }{
		{`see "stair light"=dark`, `see "stair-top:stair light"=dark with loft:aisle=up`, "a light that no other box has needs no box; the handles stand as they stand"},
		{`see stair-top:"stair light"=dark`, `see "stair-top:stair light"=dark with loft:aisle=up`, "quotes may stand within a word"},
		{`  see   aisle-1=lit   # at dusk`, `see "aisle-1:aisle light 1"=lit with loft:aisle=up`, "blanks and a remark; a box with one light"},
		{`see trip with any sure 60 %`, `see trip with any sure 60%`, "a unit may stand apart"},
		{`flip loft:stair nothing with loft:stair=down`, `flip loft:stair nothing with loft:stair=down`, "this switch did nothing"},
		{`earlier use holds`, `earlier use holds`, "before the session"},
		{`ohms loft:C6.black loft:C6.red open`, `ohms loft:C6.black loft:C6.red open with loft:aisle=up`, "a dead test"},
		{`volts loft:C6.black loft:C6.bare 118 V low`, `volts loft:C6.black loft:C6.bare 118V low with loft:aisle=up`, "a tester that loads the circuit"},
		{`volts loft:C6.black loft:C6.bare 41V high within 2V`, `volts loft:C6.black loft:C6.bare 41V high within 2V with loft:aisle=up`, "a high impedance and a tolerance"},
		{`reference loft:C6.bare shows`, `reference loft:C6.bare shows with loft:aisle=up`, "a reference proven"},
		{`prove dead loft`, `prove dead loft`, "done, not observed"},
	}
	for _, r := range rows {
		e, err := v.Read(r.line, at)
		if err != nil {
			t.Errorf("%s: %v (%s)", r.line, err, r.why)
			continue
		}
		if got, err := lines.Write(e); err != nil || got != r.means {
			t.Errorf("%s\n got %s, %v\nwant %s (%s)", r.line, got, err, r.means, r.why)
		}
	}
}

// What is wrong with a line is said with its column and what was expected.
func TestWrong(t *testing.T) {
	c := shed(t)
	v := lines.For(c.Wiring(), c.Points())
	rows := []struct {
		line   string
		column int
		says   string
	}{
		{"", 1, "empty"},
		{"   # nothing", 1, "empty"},
		{"look aisle-1=lit", 1, "lines begin with see, flip"},
		{"see", 4, "LIGHT=GLOW"},
		{"see aisle-1", 5, "does not say LIGHT=GLOW"},
		{"see aisle-9=lit", 5, `no light "aisle-9"; it has "aisle-1:aisle light 1"`},
		{"see aisle-1=on", 5, `"on" is nothing that a light does`},
		{"see aisle-1=lit aisle-1=dark", 17, "said twice"},
		{"see aisle-1=lit with", 21, "SWITCH=POSITION, or any"},
		{"see aisle-1=lit with loft:aisle=left", 22, "it has"},
		{"see aisle-1=lit with aisle=up", 22, "more than one switch; say which"},
		{"see aisle-1=lit sure", 21, "is missing"},
		{"see aisle-1=lit sure 0%", 17, "above 0 %"},
		{"see aisle-1=lit sure 140%", 17, "at most"},
		{"see aisle-1=lit sure 40% sure 30%", 26, "said twice"},
		{"see aisle-1=lit lifted", 17, "not expected"},
		{"flip loft:stair maybe", 17, "write nothing, changes"},
		{"flip bridge nothing", 6, "no switch"},
		{"use holds with any", 1, "leave out with"},
		{"ohms loft:C6.black loft:C6.purple open", 20, "in box \"loft\" there are"},
		{"ohms attic:C6.black loft:C6.red open", 6, "with a box of: panel"},
		{"ohms loft:C6.black loft:C6.red shut", 32, "open, load, joined"},
		{"volts loft:C6.black loft:C6.bare many", 34, "the volts"},
		{"volts loft:C6.black loft:C6.bare 0V", 36, "meter is missing; write low, high, proximity"},
		{"volts loft:C6.black loft:C6.bare 0V with any", 37, "is no meter; write low, high, proximity"},
		{"lock", 5, "is missing"},
		{"lock in", 6, "write out"},
		{"lock out now", 10, "not expected"},
		{"prove dead bridge", 12, "no box"},
		{"earlier lock out", 1, "before an observation"},
		{`see "aisle-1=lit`, 5, "not closed"},
		{`see "\q"=lit`, 5, "not closed, or holds"},
	}
	for _, r := range rows {
		_, err := v.Read(r.line, nil)
		bad, ok := err.(*lines.Error)
		if !ok || bad.Column != r.column || !strings.Contains(bad.Detail, r.says) {
			t.Errorf("%q: %v; want column %d and %q", r.line, err, r.column, r.says)
		}
	}
	if _, err := v.Read("see "+strings.Repeat("x", lines.MaxLine), nil); err == nil || !strings.Contains(err.Error(), "longer") {
		t.Errorf("a line without end: %v", err)
	}
}

// Where handles stand is read back as it was, and what is wrong with it has its column.
func TestStand(t *testing.T) {
	for _, c := range []*trace.Case{shed(t), hostile(t)} {
		v := lines.For(c.Wiring(), nil)
		for _, at := range []trace.Setting{nil, c.Session().Handles()[:1], c.Session().Handles()} {
			for _, box := range []string{"", c.Wiring().Spec().Boxes[0].Name} {
				if at == nil && box == "" {
					continue
				}
				line := lines.WriteStand(at, box)
				gotAt, gotBox, err := v.ReadStand(line)
				if d := cmp.Diff(at, gotAt); err != nil || d != "" || gotBox != box {
					t.Errorf("%s: in %q, %v\n%s", line, gotBox, err, d)
				}
			}
		}
	}
	c := shed(t)
	v := lines.For(c.Wiring(), nil)
	for line, want := range map[string]string{
		"stand":                               "column 6: after stand",
		"stand in":                            "column 9: the box is missing",
		"stand in attic":                      "column 10: the job has no box",
		"stand loft:aisle":                    "column 7:",
		"stand loft:aisle=up loft:aisle=down": "column 21: loft:aisle is said twice",
		"stand in loft now":                   "column 15:",
		"sit in loft":                         "column 1:",
	} {
		if _, _, err := v.ReadStand(line); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", line, err, want)
		}
	}
}

// Parts that are unset are not written as something else.
func TestWritesNothingUnset(t *testing.T) {
	rows := []trace.Entry{
		{}, {Action: &trace.Action{}}, {Action: &trace.Action{Do: trace.LockOut}, Report: &trace.Report{Of: trace.InUse{}}},
		{Report: &trace.Report{}}, {Report: &trace.Report{Of: trace.Saw{Lights: []trace.Seen{{}}}}},
		{Report: &trace.Report{Of: trace.Continuity{}}}, {Report: &trace.Report{Of: trace.Reading{}}},
		{Action: &trace.Action{Do: trace.LockOut}, Earlier: true},
	}
	for i, e := range rows {
		if line, err := lines.Write(e); err == nil {
			t.Errorf("row %d gives %q", i, line)
		}
	}
}

// FuzzRead holds that no line does worse than an error, and that what is read is
// written as a line that says the same.
func FuzzRead(f *testing.F) {
	c := hostile(f)
	v := lines.For(c.Wiring(), c.Points())
	gen := entries(c)
	for seed := range 40 {
		line, err := lines.Write(gen.Example(seed))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(line)
	}
	f.Add(`earlier see "x" with any sure 20 %`)
	at := c.Session().Handles()
	f.Fuzz(func(t *testing.T, line string) {
		e, err := v.Read(line, at)
		if err != nil {
			return
		}
		again, err := lines.Write(e)
		if err != nil {
			t.Fatalf("%q is read and not written: %v", line, err)
		}
		back, err := v.Read(again, nil)
		if err != nil {
			t.Fatalf("%q, written as %q: %v", line, again, err)
		}
		if third, err := lines.Write(back); err != nil || third != again {
			t.Fatalf("%q, then %q, %v", again, third, err)
		}
	})
}

// A session is written down and taken up again.
func Example() {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := trace.New(context.Background(), w, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, s := lines.For(c.Wiring(), c.Points()), c.Session()
	for _, line := range []string{"earlier use holds", `flip stair-foot:stair nothing`} {
		e, err := v.Read(line, s.Handles())
		if err == nil {
			err = s.Enter(e)
		}
		if err != nil {
			fmt.Println(err)
			return
		}
	}
	for _, e := range s.Log() {
		line, err := lines.Write(e)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(line)
	}
	// Output:
	// earlier use holds
	// flip stair-foot:stair nothing with loft:aisle=up loft:stair=up slip-door:aisle=up slip-door:slipway=off stair-foot:aisle=up stair-foot:stair=up store-door:aisle=up yard-door:aisle=up
}

// TestSplitTakesWhatQuoteWrites holds that a name is one word of a line wherever it
// stands, and that words know where they begin and whether they stood in quotes.
func TestSplitTakesWhatQuoteWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfN(rapid.StringN(0, 12, -1).Filter(utf8.ValidString), 1, 5).Draw(t, "names")
		line := ""
		var want []lines.Word
		for _, n := range names {
			if line != "" {
				line += "  "
			}
			want = append(want, lines.Word{Text: n, Column: len(line) + 1, Quoted: lines.Quote(n) != n})
			line += lines.Quote(n)
		}
		got, err := lines.Split(line + " # a comment")
		if err != nil || !slices.Equal(got, want) {
			t.Fatalf("%q: %v, %v; want %v", line, got, err, want)
		}
	})
	var at *lines.Error
	if _, err := lines.Split(`goes "U2 ceiling`); !errors.As(err, &at) || at.Column != 6 {
		t.Errorf("an open quote: %v", err)
	}
}
