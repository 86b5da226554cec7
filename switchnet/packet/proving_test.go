package packet_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// proven returns the packet of a job with its proving.
func proven(tb testing.TB, in packet.Input) *packet.Document {
	tb.Helper()
	in.Proving = true
	d, err := packet.Build(context.Background(), in)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

func demoInput(tb testing.TB, name string, src []byte) packet.Input {
	tb.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	return packet.Input{Title: f.Title, Intent: f.Intent, Region: f.Region, Wiring: w}
}

// row returns a planned job: one control from n places along one line.
func row(tb testing.TB, n int) packet.Input {
	tb.Helper()
	us, err := rules.Load("us-2023")
	if err != nil {
		tb.Fatal(err)
	}
	in := intent.Intent{Supply: switchnet.SplitPhase(), Feeds: []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}}, Lights: []wiring.Light{{Name: "lamp", Box: "top", Power: 10 * quantity.Watt}}}
	c := intent.Control{Name: "all", Lights: []string{"lamp"}}
	last := "panel"
	for i := range n + 1 {
		b := wiring.Box{Name: fmt.Sprintf("b%d", i+1), Kind: wiring.DeviceBox}
		if i == n {
			b = wiring.Box{Name: "top", Kind: wiring.CeilingBox}
		} else {
			c.Places = append(c.Places, b.Name)
		}
		in.Boxes = append(in.Boxes, b)
		in.Runs = append(in.Runs, intent.Run{From: last, To: b.Name, Length: 10 * quantity.Foot})
		last = b.Name
	}
	in.Controls = []intent.Control{c}
	p, err := plan.New(context.Background(), in, us, nil)
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(p.Spec)
	if err != nil {
		tb.Fatal(err)
	}
	return packet.Input{Title: "Row", Intent: in, Region: us, Wiring: w}
}

// metalOf numbers the ends of all wires by what is joined by wires and splices alone, counted
// by hand: rounds of taking the least number, until nothing changes.
func metalOf(s wiring.Spec) map[[2]string]int {
	of := map[[2]string]int{}
	var joins [][][2]string
	for _, c := range s.Cables {
		for _, k := range c.Type.Cores {
			name := c.Name + "." + k.Colour.String()
			joins = append(joins, [][2]string{{c.From, name}, {c.To, name}})
		}
	}
	for _, x := range s.Splices {
		var join [][2]string
		for _, j := range x.Join {
			if j.Device == "" {
				join = append(join, [2]string{x.Box, j.Wire.Cable + "." + j.Wire.Conductor})
			} else {
				join = append(join, [2]string{x.Box, j.Device + "." + j.Terminal})
			}
		}
		joins = append(joins, join)
	}
	for _, join := range joins {
		for _, e := range join {
			if of[e] == 0 {
				of[e] = len(of) + 1
			}
		}
	}
	for changed := true; changed; {
		changed = false
		for _, join := range joins {
			least := of[join[0]]
			for _, e := range join {
				least = min(least, of[e])
			}
			for _, e := range join {
				changed = changed || of[e] != least
				of[e] = least
			}
		}
	}
	return of
}

// The ring-out list is that of package trace, box by box, and its expected
// values are those of the splices; the walk moves every switch.
func TestProving(t *testing.T) {
	for name, in := range map[string]packet.Input{
		"two groups of two places":  rows(t, 2, 2),
		"five places":               row(t, 5),
		"the cottage, which is old": demoInput(t, demo.CottageName, demo.Cottage()),
	} {
		d := proven(t, in)
		all, err := trace.RingOutOf(context.Background(), in.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Proving.Rings) != len(all.Rings) || len(all.Rings) == 0 {
			t.Errorf("%s: %d tests, and trace has %d", name, len(d.Proving.Rings), len(all.Rings))
		}
		metal := metalOf(in.Wiring.Spec())
		left := map[string]bool{}
		for _, r := range d.Proving.Rings {
			if r.From.Box != r.To.Box {
				if r.From.Wire != r.To.Wire || r.Want != trace.Joined {
					t.Errorf("%s: from box to box: %+v", name, r)
				}
				left[""] = true
				continue
			}
			if left[""] {
				t.Errorf("%s: %+v comes after those from box to box", name, r)
			}
			// The metal of a box is in no splice, and the panel's is the ground's.
			a, b := [2]string{r.From.Box, r.From.Wire}, [2]string{r.To.Box, r.To.Wire}
			if metal[a] != 0 && metal[b] != 0 && (metal[a] == metal[b]) != (r.Want == trace.Joined) {
				t.Errorf("%s: %+v, and the splices say otherwise", name, r)
			}
		}
		if len(d.Proving.Walks) != 1 || d.Proving.Walks[0].Control != "" {
			t.Fatalf("%s: walks %+v", name, d.Proving.Walks)
		}
		var moved, switches []string
		for _, f := range d.Proving.Walks[0].Flips {
			moved = append(moved, f.Box+"/"+f.Device)
		}
		for _, x := range in.Wiring.Spec().Devices {
			if len(x.Kind.Positions) > 1 {
				switches = append(switches, x.Box+"/"+x.Name)
			}
		}
		slices.Sort(moved)
		slices.Sort(switches)
		if !slices.Equal(slices.Compact(moved), switches) {
			t.Errorf("%s: the walk moves %v of %v", name, moved, switches)
		}
	}
}

// What is too large is said, and each control has a walk all the same.
func TestProvingOfLargeJobs(t *testing.T) {
	for _, c := range []struct {
		places, flips int
		listed        bool
		says          string
	}{
		{3, 7, true, "every single fault of the job"},
		{4, 8, true, "where two conductors touch along their runs"}, // 7 flips miss two sections that share no box
		{9, 18, true, "not worked out, for the control has more than 6 places"},
		{45, 90, false, "not worked out, for the control has more than 6 places"},
	} {
		d := proven(t, row(t, c.places))
		v := d.Proving
		if len(v.Walks) != 1 || len(v.Walks[0].Flips) != c.flips || !strings.Contains(v.Walks[0].Says, c.says) {
			t.Errorf("%d places: %+v; want %d flips, %q", c.places, v.Walks, c.flips, c.says)
		}
		if small := c.places <= 4; small != (v.Readings.Problem == "") || small != (len(v.Readings.Readings) > 0) {
			t.Errorf("%d places: %d readings, %q", c.places, len(v.Readings.Readings), v.Readings.Problem)
		}
		if data, err := json.Marshal(v.Readings); err != nil || bytes.Contains(data, []byte("null")) {
			t.Errorf("%d places: %s, %v", c.places, data, err)
		}
		if (v.RingProblem == "") != c.listed || (len(v.Rings) > 0) != c.listed {
			t.Errorf("%d places: %d tests, %q", c.places, len(v.Rings), v.RingProblem)
		}
	}
}

// It is worked out only when it is asked for, and given up when it is called off.
func TestProvingOnRequest(t *testing.T) {
	in := row(t, 2)
	d, err := packet.Build(context.Background(), in)
	if err != nil || d.Proving != nil {
		t.Errorf("%v, %v", d.Proving, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	in.Proving = true
	if _, err := packet.Build(ctx, in); !errors.Is(err, context.Canceled) {
		t.Errorf("called off: %v", err)
	}
}

// The page and the text have both lists, with boxes to tick and what to do if it goes wrong.
func TestProvingShown(t *testing.T) {
	in := row(t, 3)
	in.Proving = true
	d := proven(t, in)
	page, err := packet.NewPage(context.Background(), d, in, &packet.PageOptions{Parts: []packet.Part{packet.RingOutPart, packet.WalkPart}})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if _, err := page.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	html := b.String()
	wellMade(t, html)
	for _, out := range []string{html, text(t, d)} {
		for _, want := range []string{"End to end, with a long lead", "stop, and find out why", "The whole job", "7 flips", "leave it off, lock out"} {
			if !strings.Contains(out, want) {
				t.Errorf("%q is not said in:\n%.300s", want, out)
			}
		}
	}
	if got, want := strings.Count(html, `class="tick"`), len(d.Proving.Rings)+len(d.Proving.Readings.Readings)+7; got != want {
		t.Errorf("%d boxes to tick, want %d", got, want)
	}
}

// What is found, and the checklist, stand in the text and in the data as on the page, with a
// job in order and with one that is not.
func TestFindingsAndChecklistShown(t *testing.T) {
	for _, r := range []struct {
		why, expect, found string
		change             func(s *wiring.Spec)
	}{
		{"in order", "open, with every handle one way and the other", "None. What is written down is right", func(*wiring.Spec) {}},
		{"a neutral on a ground away from the service", "JOINED as drawn: do not energize", "HAZARDOUS: ", func(s *wiring.Spec) {
			s.Ties = []wiring.Tie{{Box: "b2", A: wiring.WireJoint("C3", "white"), B: wiring.WireJoint("C3", "bare")}}
		}},
	} {
		in := row(t, 3)
		s := in.Wiring.Spec()
		r.change(&s)
		w, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		in.Wiring = w
		d := proven(t, in)
		plain := strings.Join(strings.Fields(text(t, d)), " ")
		p, err := packet.NewPage(context.Background(), d, in, &packet.PageOptions{Parts: []packet.Part{packet.FindingsPart, packet.EnergizingPart}})
		if err != nil {
			t.Fatal(err)
		}
		var html strings.Builder
		if _, err := p.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		page := html.String()
		if len(d.Proving.Energizing) != 1 {
			t.Fatalf("%s: %d checklists, want one a feed", r.why, len(d.Proving.Energizing))
		}
		c := d.Proving.Energizing[0]
		if !slices.ContainsFunc(c.Dead, func(e packet.Expected) bool { return e.Expect == r.expect }) {
			t.Errorf("%s: no dead test expects %q", r.why, r.expect)
		}
		for _, e := range slices.Concat(c.Dead, c.Live) {
			if !strings.Contains(plain, "[ ] "+e.Between+": "+e.Expect) {
				t.Errorf("%s: %+v is not in the text", r.why, e)
			}
			if !strings.Contains(page, "<td>"+e.Between+"</td>") {
				t.Errorf("%s: %+v is not on the page", r.why, e)
			}
		}
		if !strings.Contains(plain, r.found) {
			t.Errorf("%s: %q is not in the text", r.why, r.found)
		}
		for _, x := range d.Proving.Findings {
			if !strings.Contains(plain, strings.Join(strings.Fields(x.Message), " ")) || !strings.Contains(page, x.Code) {
				t.Errorf("%s: finding %+v is left out", r.why, x)
			}
		}
	}
}

// The one lead stays on a wire until all that is told from there is told, and never comes
// back to it; at each wire, what is joined comes before what is not.
func TestRingsAreWalked(t *testing.T) {
	d := proven(t, demoInput(t, demo.CottageName, demo.Cottage()))
	left := map[packet.RingEnd]bool{}
	var at packet.RingEnd
	open, met := false, 0
	for _, r := range d.Proving.Rings {
		if r.From.Box != r.To.Box {
			break // from here on every wire is told from end to end
		}
		met++
		if r.From != at {
			left[at] = true
			if at, open = r.From, false; left[at] {
				t.Errorf("the lead comes back to %v", at)
			}
		}
		if r.Want == trace.Joined && open {
			t.Errorf("%v: what is joined comes after what is not", r)
		}
		open = open || r.Want == trace.Open
	}
	if met < 10 {
		t.Errorf("%d tests within the boxes of the cottage, which has more", met)
	}
}
