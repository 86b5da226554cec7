package packet_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// line returns what the schedule says of a conductor.
func line(t *testing.T, d *packet.Document, cable, colour string) packet.Conductor {
	t.Helper()
	for _, c := range d.Cables {
		for _, k := range c.Conductors {
			if c.Name == cable && k.Colour == colour {
				return k
			}
		}
	}
	t.Fatalf("no %s.%s", cable, colour)
	return packet.Conductor{}
}

func sheetOf(t *testing.T, d *packet.Document, box string) *packet.Box {
	t.Helper()
	i := slices.IndexFunc(d.Boxes, func(b packet.Box) bool { return b.Name == box })
	if i < 0 {
		t.Fatalf("no box %s", box)
	}
	return &d.Boxes[i]
}

// A broken wire does at either end what that end is joined to, and the schedule says
// so, as the sheets of the two boxes do.
func TestScheduleOfBrokenWires(t *testing.T) {
	d := shed(t, func(f *job.File) {
		f.Wiring.Opens = []wiring.Wire{{Cable: "C3", Conductor: "black"}, {Cable: "C9", Conductor: "white"}}
	})
	for _, r := range []struct{ why, cable, colour, says, kind string }{
		{"live up to the break, and beyond it on one switch only", "C3", "black", "hot of shed lights at slip-door, loose, on stair at stair-foot only at yard-door", "hot"},
		{"the neutral beyond has only the light on it", "C9", "white", "neutral of shed lights at aisle-2, loose, on aisle light 1 at aisle-1 only at aisle-1", "neutral"},
		{"whole wires do one thing", "C9", "black", "switch leg of aisle light 1, aisle light 2, aisle light 3", "switch leg"},
	} {
		k := line(t, d, r.cable, r.colour)
		if k.Says != r.says || k.Function.String() != r.kind {
			t.Errorf("%s: %q, %v; want %q, %s", r.why, k.Says, k.Function, r.says, r.kind)
		}
	}
	slip := sheetOf(t, d, "slip-door").Splices[0]
	if slip.Says != "hot of shed lights" {
		t.Errorf("at the slip door it is %q", slip.Says)
	}
	// The far end may be in a box that nobody knows.
	d = shed(t, func(f *job.File) {
		f.Wiring.Cables = append(f.Wiring.Cables, wiring.Cable{Name: "X", Type: f.Wiring.Cables[0].Type, From: "loft"})
		f.Wiring.Opens = []wiring.Wire{{Cable: "X", Conductor: "black"}}
		f.Wiring.Landings = append(f.Wiring.Landings, wiring.Landing{Box: "loft", Device: "stair", Terminal: "common", Wire: wiring.Wire{Cable: "X", Conductor: "black"}})
	})
	if k := line(t, d, "X", "black"); !strings.HasSuffix(k.Says, " at a box not known") {
		t.Errorf("of a wire to a box not known: %q", k.Says)
	}
}

func TestScheduleOfMarks(t *testing.T) {
	black, red := conductor.Plain(conductor.Black), conductor.Plain(conductor.Red)
	white := wiring.Wire{Cable: "C3", Conductor: "white"}
	for _, r := range []struct {
		why   string
		marks []wiring.Mark
		want  string
	}{
		{"alike", []wiring.Mark{{Box: "slip-door", Wire: white, As: black}, {Box: "yard-door", Wire: white, As: black}}, "black at both ends"},
		{"otherwise", []wiring.Mark{{Box: "slip-door", Wire: white, As: black}, {Box: "yard-door", Wire: white, As: red}}, "black at slip-door, red at yard-door"},
		{"near end", []wiring.Mark{{Box: "slip-door", Wire: white, As: black}}, "black at slip-door"},
		{"far end", []wiring.Mark{{Box: "yard-door", Wire: white, As: red}}, "red at yard-door"},
		{"none", nil, ""},
	} {
		d := shed(t, func(f *job.File) { f.Wiring.Marks = r.marks })
		if k := line(t, d, "C3", "white"); k.Marked != r.want {
			t.Errorf("%s: %q, want %q", r.why, k.Marked, r.want)
		} else if has := strings.Contains(text(t, d), "(marked "+r.want+")"); has != (r.want != "") {
			t.Errorf("%s: the text says it: %v", r.why, has)
		}
	}
}

// Splices that look alike and must stay apart are named; those of other uses are not.
func TestApart(t *testing.T) {
	d := shed(t, nil)
	want := []string{"Keep splices 1 and 2 apart, although each is neutral of shed lights: joined, current would come back by another cable than took it out."}
	if got := sheetOf(t, d, "loft").Apart; !slices.Equal(got, want) {
		t.Errorf("loft: %q", got)
	}
	if got := sheetOf(t, d, "slip-door").Apart; got != nil {
		t.Errorf("slip-door: %q", got)
	}
	// A second circuit passes through the slip door.
	d = shed(t, func(f *job.File) {
		w := &f.Wiring
		w.Feeds = append(w.Feeds, wiring.Feed{Name: "winch", Box: "panel", Breaker: 15 * quantity.Ampere})
		two := w.Cables[0].Type
		w.Cables = append(w.Cables, wiring.Cable{Name: "W1", Type: two, From: "panel", To: "slip-door"}, wiring.Cable{Name: "W2", Type: two, From: "slip-door", To: "slipway"})
		for terminal, colour := range map[string]string{"hot": "black", "neutral": "white"} {
			w.Landings = append(w.Landings, wiring.Landing{Box: "panel", Device: "winch", Terminal: terminal, Wire: wiring.Wire{Cable: "W1", Conductor: colour}})
		}
		for _, colour := range []string{"black", "white"} {
			w.Splices = append(w.Splices, wiring.Splice{Box: "slip-door", Join: []wiring.Joint{
				{Wire: wiring.Wire{Cable: "W1", Conductor: colour}}, {Wire: wiring.Wire{Cable: "W2", Conductor: colour}}}})
		}
	})
	want = []string{"Keep splices 1 and 4 apart: hot of shed lights and hot of winch.", "Keep splices 2 and 5 apart: neutral of shed lights and neutral of winch."}
	if got := sheetOf(t, d, "slip-door").Apart; !slices.Equal(got, want) {
		t.Errorf("slip-door: %q, want %q", got, want)
	}
	if !strings.Contains(text(t, d), "  > Keep splices 2 and 5 apart") {
		t.Error("the text does not say it")
	}
}

// What is wrong stands on the cover, and a packet with nothing wrong says nothing.
func TestCover(t *testing.T) {
	for _, r := range []struct {
		why    string
		change func(f *job.File)
		want   string
	}{
		{"a box too small", func(f *job.File) { f.Wiring.Boxes[4].Volume.Sections[0].Marked = 20 * quantity.CubicInch },
			"WRONG: what is in these boxes does not fit them, see their sheets: stair-foot"},
		{"a box of no known volume", func(f *job.File) { f.Wiring.Boxes[4].Volume.Sections = nil },
			"OPEN: whether these boxes hold what is in them, see their sheets: stair-foot"},
		{"a light that does not obey", func(f *job.File) { f.Wiring.Landings[len(f.Wiring.Landings)-1].Terminal = "traveler 1" },
			"WRONG: these lights do not obey every place, see what each control does: stair light, loft light"},
		{"a breaker too large", func(f *job.File) { f.Wiring.Feeds[0].Breaker = 30 * quantity.Ampere }, "WRONG: circuit shed lights: "},
		{"a short", func(f *job.File) {
			f.Wiring.Ties = []wiring.Tie{{Box: "loft", A: wiring.Joint{Wire: wiring.Wire{Cable: "C5", Conductor: "red"}}, B: wiring.Joint{Wire: wiring.Wire{Cable: "C5", Conductor: "bare"}}}}
		}, "WRONG: there are settings with a SHORT"},
	} {
		cover, _, _ := strings.Cut(text(t, shed(t, r.change)), "CABLE SCHEDULE")
		if !strings.Contains(strings.Join(strings.Fields(cover), " "), r.want) {
			t.Errorf("%s: no %q on the cover\n%s", r.why, r.want, cover)
		}
	}
	cover, _, _ := strings.Cut(text(t, shed(t, nil)), "CABLE SCHEDULE")
	if strings.Contains(cover, "WRONG") || strings.Contains(cover, "OPEN") {
		t.Errorf("the shed is in order:\n%s", cover)
	}
}

// What is said to turn the handles round does: with the two throws of that device
// exchanged every setting lights what it left dark, and the control works as before.
func TestSense(t *testing.T) {
	swap := func(f *job.File) {
		for i := range f.Wiring.Landings {
			if l := &f.Wiring.Landings[i]; l.Box == "stair-foot" && l.Device == "stair" && l.Terminal != "common" {
				l.Terminal = map[string]string{"traveler 1": "traveler 2", "traveler 2": "traveler 1"}[l.Terminal]
			}
		}
	}
	before, after := shed(t, nil).Controls[1], shed(t, swap).Controls[1]
	if !strings.Contains(before.Sense, "two screws of stair at stair-foot that are not its common") {
		t.Errorf("stair: %q", before.Sense)
	}
	for i, s := range before.Table {
		for k, l := range s.Lights {
			if l == after.Table[i].Lights[k] {
				t.Errorf("%v: %s is %s either way", s.Handles, before.Lights[k], l)
			}
		}
	}
	for _, r := range after.Results {
		if !r.EveryPlace {
			t.Errorf("%s does not work any more", r.Light)
		}
	}
	if one := shed(t, nil).Controls[2]; one.Sense != "" {
		t.Errorf("one place: %q", one.Sense)
	}
	broken := shed(t, func(f *job.File) { f.Wiring.Landings[len(f.Wiring.Landings)-1].Terminal = "traveler 1" }).Controls[1]
	if broken.Sense != "" {
		t.Errorf("one that does not work: %q", broken.Sense)
	}
}

// A box of which no volume is known is not said to have none.
func TestVolumeUnknown(t *testing.T) {
	s := text(t, shed(t, func(f *job.File) { f.Wiring.Boxes[4].Volume.Sections = nil }))
	if !strings.Contains(s, "  required 32 in3: volume unknown, read what is marked on the box\n") || strings.Contains(s, "available 0 in3") {
		t.Errorf("of the stair foot it is said:\n%s", s)
	}
}

// How a box is set at rough-in, what is nailed over its cables, and a door that would
// cover it, stand on its sheet in each form, and nothing that the job does not say.
func TestSheetsSaySetting(t *testing.T) {
	const warning = "WARNING: The open door covers this box"
	for _, r := range []struct {
		why    string
		set    func(b *wiring.Box, c *wiring.Cable)
		says   []string // of the sheet as text and as HTML
		json   []string // of its entry in the data
		silent []string
	}{
		{"nothing stated", func(b *wiring.Box, c *wiring.Cable) { b.Placed = false }, nil, nil, []string{"Height", "Nail side", "Door", "nail_side", "behind_door", "nail plate", "WARNING"}},
		{"placed and nailed", func(b *wiring.Box, c *wiring.Cable) { b.NailSide = wiring.RightSide },
			[]string{"Height as drawn: 13 ft up", "Nail side: right, as you face the box."}, []string{`"nail_side": "right"`, `"at": [`}, []string{"Door", "WARNING"}},
		{"behind an open door", func(b *wiring.Box, c *wiring.Cable) { b.Door, b.DoorOpens = wiring.HingeSide, wiring.TowardBox },
			[]string{"Door: the box stands at its hinge side, and it opens toward the box.", warning}, []string{`"door": "hinge side"`, `"door_opens": "toward"`, `"behind_door": true`}, nil},
		{"beside a door that opens the other way", func(b *wiring.Box, c *wiring.Cable) { b.Door, b.DoorOpens = wiring.HingeSide, wiring.AwayFromBox },
			[]string{"opens away from the box"}, []string{`"door_opens": "away"`}, []string{"WARNING", "behind_door"}},
		{"at the latch", func(b *wiring.Box, c *wiring.Cable) { b.Door, b.DoorOpens = wiring.LatchSide, wiring.TowardBox },
			[]string{"stands at its latch side, and it opens toward"}, []string{`"door": "latch side"`}, []string{"WARNING", "behind_door"}},
		{"a door of which more is not known", func(b *wiring.Box, c *wiring.Cable) { b.Door = wiring.HingeSide },
			[]string{"which way it opens is not stated"}, []string{`"door": "hinge side"`}, []string{"WARNING", "door_opens"}},
		{"a hole near the edge and a notch", func(b *wiring.Box, c *wiring.Cable) {
			c.Bored, c.Notches = []quantity.Length{quantity.Inch, 2 * quantity.Inch}, 1
		},
			[]string{"2 nail plates"}, []string{`"nail_plates": 2`}, []string{"WARNING"}},
		{"holes in the middle", func(b *wiring.Box, c *wiring.Cable) { c.Bored = []quantity.Length{2 * quantity.Inch} }, nil, nil, []string{"nail plate", "nail_plates"}},
	} {
		f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(f.Wiring.Boxes, func(b wiring.Box) bool { return b.Name == "loft" })
		k := slices.IndexFunc(f.Wiring.Cables, func(c wiring.Cable) bool { return c.Name == "C7" })
		r.set(&f.Wiring.Boxes[i], &f.Wiring.Cables[k])
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		in := packet.Input{Title: f.Title, Intent: f.Intent, Region: f.Region, Wiring: w}
		d, err := packet.Build(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		var plain, data, html strings.Builder
		if err := packet.WriteBox(&plain, d, i); err != nil {
			t.Fatal(err)
		}
		e := json.NewEncoder(&data)
		e.SetIndent("", "  ")
		if err := e.Encode(d.Boxes[i]); err != nil {
			t.Fatal(err)
		}
		page, err := packet.NewPage(context.Background(), d, in, &packet.PageOptions{Boxes: []string{"loft"}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := page.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		_, sheet, _ := strings.Cut(html.String(), "<h3>Rough-in")
		for _, want := range r.says {
			for form, out := range map[string]string{"text": strings.Join(strings.Fields(plain.String()), " "), "page": sheet} {
				if !strings.Contains(out, want) {
					t.Errorf("%s: the %s does not say %q", r.why, form, want)
				}
			}
		}
		for _, want := range r.json {
			if !strings.Contains(data.String(), want) {
				t.Errorf("%s: the data lack %s", r.why, want)
			}
		}
		for _, no := range r.silent {
			for form, out := range map[string]string{"text": plain.String(), "page": sheet, "data": data.String()} {
				if strings.Contains(out, no) {
					t.Errorf("%s: the %s says %q", r.why, form, no)
				}
			}
		}
	}
}

// The words of a region stand for those of this module, and not in the names of the job.
func TestWordsLeaveNamesAlone(t *testing.T) {
	uk, err := rules.Load("uk-2018")
	if err != nil {
		t.Fatal(err)
	}
	in := demoInput(t, demo.ShedWiredName, demo.ShedWired())
	spec := in.Wiring.Spec()
	for i := range spec.Lights {
		if l := &spec.Lights[i]; l.Name == "floodlight" {
			l.Name = "three-way traveler"
		}
	}
	for i := range spec.Splices {
		for k := range spec.Splices[i].Join {
			if j := &spec.Splices[i].Join[k]; j.Device == "floodlight" {
				j.Device = "three-way traveler"
			}
		}
	}
	w, err := wiring.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	d, err := packet.Build(context.Background(), packet.Input{Wiring: w, Region: uk})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := line(t, d, "C12", "black").Says, "switched line of three-way traveler"; got != want {
		t.Errorf("the leg is %q, want %q", got, want)
	}
	if got, want := line(t, d, "C2", "red").Says, "aisle strapper between slip-door and store-door"; got != want {
		t.Errorf("a traveler is %q, want %q", got, want)
	}
	if got, want := sheetOf(t, d, "store-door").Devices[0].Kind, "two-way"; got != want {
		t.Errorf("the switch is %q, want %q", got, want)
	}
}
