package packet_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// The readings are those of package trace, each with its values, in text, on the page and
// in the data, with as many boxes to tick; and the sum of them says how much they show.
func TestReadings(t *testing.T) {
	for _, r := range []struct {
		why  string
		in   packet.Input
		says []string
	}{
		{"three places", row(t, 3), []string{"and no fewer, show them all", "neutrals lifted"}},
		{"a wiring with a fault, a handle moved and faults that nothing shows", demoInput(t, demo.CottageName, demo.Cottage()),
			[]string{"show them but for 6 sorts", "No such reading shows these", "moved between: open both times", "From box to box, with a long lead"}},
	} {
		k, err := trace.New(context.Background(), r.in.Wiring, nil)
		if err != nil {
			t.Fatal(err)
		}
		walk, err := k.Walk(context.Background(), nil)
		if err != nil {
			t.Fatal(err)
		}
		proof, err := k.Prove(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		r.in.Proving = true
		d := proven(t, r.in)
		got := d.Proving.Readings
		faults := 0
		for _, c := range walk.Unseen {
			faults += len(c.Causes)
		}
		if got.Faults != faults || len(got.Readings) != len(proof.Checks) || len(got.Hidden) != len(proof.Hidden) || got.Fewest != proof.Fewest || got.Problem != "" {
			t.Fatalf("%s: %d faults, %d readings, %d hidden, fewest %v, %q; trace has %d, %d, %d, %v", r.why,
				got.Faults, len(got.Readings), len(got.Hidden), got.Fewest, got.Problem, faults, len(proof.Checks), len(proof.Hidden), proof.Fewest)
		}
		page, err := packet.NewPage(context.Background(), d, r.in, &packet.PageOptions{Parts: []packet.Part{packet.WalkPart}})
		if err != nil {
			t.Fatal(err)
		}
		var html strings.Builder
		if _, err := page.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		wellMade(t, html.String())
		var cells []string // of the page, in rows
		tree(t, html.String()).walk(func(e *element) {
			if e.name == "tr" {
				var row []string
				for _, k := range e.kids {
					text := ""
					k.walk(func(e *element) { text += e.text })
					row = append(row, text)
				}
				cells = append(cells, strings.Join(row, "|"))
			}
		})
		plain := strings.Join(strings.Fields(text(t, d)), " ")
		data, err := json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		var back packet.Readings
		if err := json.Unmarshal(data, &back); err != nil || len(back.Readings) != len(got.Readings) {
			t.Fatalf("%s: read back as %d readings, %v", r.why, len(back.Readings), err)
		}
		for i, c := range proof.Checks {
			x := got.Readings[i]
			a, b := c.Test.Between[0], c.Test.Between[1]
			if x.From.Box != a.Place || x.From.Wire != a.Device+"."+a.Name || x.To.Box != b.Place || x.To.Wire != b.Device+"."+b.Name || x.Lifted != c.Test.Lifted {
				t.Errorf("%s: reading %d is %+v, trace has %v", r.why, i, x, c.Test.Between)
			}
			if c.Want != 0 && x.Expect() != c.Want.String() || c.Want == 0 && (len(x.Wants) != len(c.Wants) || x.Moved == nil || x.Moved.Box != c.Both.Place) {
				t.Errorf("%s: reading %d expects %q, trace %v %v", r.why, i, x.Expect(), c.Want, c.Wants)
			}
			from, to := x.From.Wire, x.To.Wire
			if x.From.Box != x.To.Box {
				from, to = from+" in "+x.From.Box, to+" in "+x.To.Box
			}
			if !strings.Contains(plain, "[ ] "+from+" "+to+" "+x.Expect()) {
				t.Errorf("%s: the text has no line for %+v", r.why, x)
			}
			if x.From.Box != x.To.Box {
				if want := fmt.Sprintf("<bdi>%s</bdi> in <bdi>%s</bdi></td><td><bdi>%s</bdi> in <bdi>%s</bdi></td><td>%s</td>", x.From.Wire, x.From.Box, x.To.Wire, x.To.Box, x.Expect()); !strings.Contains(html.String(), want) {
					t.Errorf("%s: the page has no %s", r.why, want)
				}
			} else if !slices.ContainsFunc(cells, func(c string) bool { return strings.HasSuffix(c, from+"|"+to+"|"+x.Expect()) }) {
				t.Errorf("%s: the page has no row for %+v", r.why, x)
			}
		}
		if n, want := strings.Count(html.String(), `class="tick"`), len(got.Readings)+len(d.Proving.Walks[0].Flips); n != want {
			t.Errorf("%s: %d boxes to tick, want %d", r.why, n, want)
		}
		for _, want := range append(r.says, "do not energize, and find out why", "locked out and tagged") {
			if !strings.Contains(plain, want) || !strings.Contains(html.String(), want) {
				t.Errorf("%s: %q is not said", r.why, want)
			}
		}
	}
}

// rows returns a planned job of groups that are alike, each from so many places along a row
// of its own.
func rows(tb testing.TB, groups, places int) packet.Input {
	tb.Helper()
	us, err := rules.Load("us-2023")
	if err != nil {
		tb.Fatal(err)
	}
	in := intent.Intent{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}}}
	for g := range groups {
		c := intent.Control{Name: fmt.Sprintf("group %d", g), Lights: []string{fmt.Sprintf("lamp %d", g)}, Feed: fmt.Sprintf("feed %d", g)}
		in.Feeds = append(in.Feeds, wiring.Feed{Name: c.Feed, Box: "panel", Breaker: 15 * quantity.Ampere})
		last := "panel"
		for i := range places + 1 {
			b := wiring.Box{Name: fmt.Sprintf("box %d of %d", i, g), Kind: wiring.DeviceBox, Placed: true,
				At: [3]quantity.Length{quantity.Length(i) * quantity.Meter, quantity.Length(g) * quantity.Meter, quantity.Length(g%2) * quantity.Meter}}
			if i == places {
				b.Kind = wiring.CeilingBox
				in.Lights = append(in.Lights, wiring.Light{Name: c.Lights[0], Box: b.Name, Power: 10 * quantity.Watt})
			} else {
				c.Places = append(c.Places, b.Name)
			}
			in.Boxes = append(in.Boxes, b)
			in.Runs = append(in.Runs, intent.Run{From: last, To: b.Name, Length: quantity.Length(10+g) * quantity.Foot})
			last = b.Name
		}
		in.Controls = append(in.Controls, c)
	}
	p, err := plan.New(context.Background(), in, us, nil)
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(p.Spec)
	if err != nil {
		tb.Fatal(err)
	}
	return packet.Input{Title: "Rows", Intent: in, Region: us, Wiring: w}
}

// The walk of a control is the same among others as when it is all there is, and moves
// nothing but its own handles; what it costs is paid once for those that are wired alike.
func TestWalksOfManyControls(t *testing.T) {
	one := proven(t, rows(t, 1, 4)).Proving.Walks[0]
	d := proven(t, rows(t, 40, 4))
	if len(d.Proving.Walks) != 40 {
		t.Fatalf("%d walks, want 40", len(d.Proving.Walks))
	}
	for g, w := range d.Proving.Walks {
		if len(w.Flips) != len(one.Flips) || w.Shortest != one.Shortest || !strings.Contains(w.Says, "every single fault of the control's own") {
			t.Errorf("group %d: %d flips, shortest %v, %q; alone it has %d, %v", g, len(w.Flips), w.Shortest, w.Says, len(one.Flips), one.Shortest)
		}
		for i, f := range w.Flips {
			var place, of, alone, zero int
			if _, err := fmt.Sscanf(f.Box, "box %d of %d", &place, &of); err != nil || of != g || f.Device != w.Control {
				t.Fatalf("group %d: flip %d is of %s in %s", g, i, f.Device, f.Box)
			}
			if _, err := fmt.Sscanf(one.Flips[i].Box, "box %d of %d", &alone, &zero); err != nil || alone != place {
				t.Errorf("group %d: flip %d is at place %d, and alone at %d", g, i, place, alone)
			}
		}
	}
	if d.Proving.Readings.Problem == "" {
		t.Error("the readings of a job with 2^160 settings are said to be all")
	}
}

// What is too much work is left out and said, each control on its own: those that are wired
// alike cost no more than one, and of those that are not the budget holds some.
func TestWalksHaveABudget(t *testing.T) {
	in := rows(t, 12, 6)
	s := in.Wiring.Spec()
	for g := range 12 {
		// A spare cable more at each place makes every group another.
		for k := range g {
			s.Cables = append(s.Cables, wiring.Cable{Name: fmt.Sprintf("spare %d of %d", k, g), Type: s.Cables[0].Type, From: fmt.Sprintf("box %d of %d", k%6, g)})
		}
	}
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	in.Wiring = w
	walks := proven(t, in).Proving.Walks
	var worked, left int
	for _, w := range walks {
		switch {
		case strings.Contains(w.Says, "every single fault of the control's own"):
			worked++
		case strings.HasSuffix(w.Says, "not worked out, for that takes more work than a packet spends on its walks") && len(w.Flips) == 12:
			left++
		default:
			t.Errorf("%s: %d flips, %q", w.Control, len(w.Flips), w.Says)
		}
	}
	if worked < 3 || left < 3 || worked+left != 12 {
		t.Errorf("%d walks worked out and %d left", worked, left)
	}
}

// BenchmarkLarge makes packets of 200 places, proving and page included.
func BenchmarkLarge(b *testing.B) {
	for _, r := range []struct{ groups, places int }{{1, 200}, {40, 5}, {100, 2}, {200, 1}} {
		b.Run(fmt.Sprintf("%dx%d", r.groups, r.places), func(b *testing.B) {
			in := rows(b, r.groups, r.places)
			in.Proving = true
			b.ReportAllocs()
			for b.Loop() {
				d, err := packet.Build(context.Background(), in)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := packet.NewPage(context.Background(), d, in, nil); err != nil {
					b.Fatal(err)
				}
				if _, err := packet.Files(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The way to a control may go through a box in which nothing stands: it is not left out with
// the branches that have nothing to do with it.
func TestWalkThroughAnEmptyBox(t *testing.T) {
	in := rows(t, 12, 4)
	s := in.Wiring.Spec()
	i := slices.IndexFunc(s.Landings, func(l wiring.Landing) bool {
		return l.Box == "box 0 of 3" && l.Terminal == "common"
	})
	hot := s.Landings[i].Wire
	s.Boxes = append(s.Boxes, wiring.Box{Name: "once a switch", Kind: wiring.JunctionBox}, wiring.Box{Name: "spare", Kind: wiring.JunctionBox})
	two := cable(t, "14/2")
	s.Cables = append(s.Cables, wiring.Cable{Name: "loop", Type: two, From: "box 0 of 3", To: "once a switch"}, wiring.Cable{Name: "spare", Type: two, From: "once a switch", To: "spare"})
	s.Splices = append(s.Splices,
		wiring.Splice{Box: "box 0 of 3", Join: []wiring.Joint{{Wire: hot}, wiring.WireJoint("loop", "black")}},
		wiring.Splice{Box: "once a switch", Join: []wiring.Joint{wiring.WireJoint("loop", "black"), wiring.WireJoint("loop", "white")}})
	s.Landings[i].Wire = wiring.Wire{Cable: "loop", Conductor: "white"}
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	in.Wiring = w
	walks := proven(t, in).Proving.Walks
	if w := walks[3]; len(w.Flips) < len(walks[2].Flips) || !strings.Contains(w.Says, "every single fault of the control's own") {
		t.Errorf("%d flips, %q; its neighbor has %d", len(w.Flips), w.Says, len(walks[2].Flips))
	}
}

// A job without a switch has readings and no walk.
func TestReadingsWithoutASwitch(t *testing.T) {
	in := rows(t, 1, 1)
	s := in.Wiring.Spec()
	d := s.Devices[0]
	s.Devices = nil
	var join []wiring.Joint
	s.Landings = slices.DeleteFunc(s.Landings, func(l wiring.Landing) bool {
		if l.Box == d.Box && l.Device == d.Name {
			if l.Terminal != "ground" {
				join = append(join, wiring.Joint{Wire: l.Wire})
			}
			return true
		}
		return false
	})
	for i := range s.Splices {
		p := &s.Splices[i]
		p.Join = slices.DeleteFunc(p.Join, func(j wiring.Joint) bool { return j.Device == d.Name })
	}
	s.Splices = append(s.Splices, wiring.Splice{Box: d.Box, Join: join})
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	in.Wiring = w
	v := proven(t, in).Proving
	if len(v.Walks) != 0 || len(v.Readings.Readings) == 0 || v.Readings.Problem != "" {
		t.Errorf("%d walks, %d readings, %q", len(v.Walks), len(v.Readings.Readings), v.Readings.Problem)
	}
}
