package packet_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// shed reads the boat shed and lets change have its way with it.
func shed(tb testing.TB, change func(f *job.File)) *packet.Document {
	tb.Helper()
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
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
	d, err := packet.Build(context.Background(), packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

func text(tb testing.TB, d *packet.Document) string {
	tb.Helper()
	var b strings.Builder
	if err := packet.WriteText(&b, d); err != nil {
		tb.Fatal(err)
	}
	return b.String()
}

// TestOrder holds documents to the order of the file, and the sheets of the boxes to
// their place before the proofs.
func TestOrder(t *testing.T) {
	d := shed(t, func(f *job.File) {
		slices.Reverse(f.Wiring.Cables)
		slices.Reverse(f.Wiring.Boxes)
		slices.Reverse(f.Intent.Controls)
	})
	if got := d.Cables[0].Name; got != "C12" {
		t.Errorf("the first cable is %s, want C12, the first of the file", got)
	}
	if got := d.Boxes[0].Name; got != "slipway" {
		t.Errorf("the first box is %s, want slipway, the first of the file", got)
	}
	if got := d.Controls[0].Name; got != "slipway" {
		t.Errorf("the first control is %s, want slipway, the first of the file", got)
	}
	if got := d.Circuits[0].Cables[0]; got != "C12" {
		t.Errorf("the circuit's first cable is %s, want C12, the first of the file", got)
	}
	s := text(t, d)
	order := []string{"TOUCHES A CONDUCTOR", "CABLE SCHEDULE", "BOX slipway", "BOX panel", "TAKE-OFF", "WHAT EACH CONTROL DOES", "SIZING"}
	for i, h := range order {
		at := strings.Index(s, h)
		if at < 0 {
			t.Fatalf("no heading %q", h)
		}
		if i > 0 && at < strings.Index(s, order[i-1]) {
			t.Errorf("%q comes before %q", h, order[i-1])
		}
	}
}

// TestNothingHangsOnTheOrderOfLandings shuffles lists whose order no document
// shows.
func TestNothingHangsOnTheOrderOfLandings(t *testing.T) {
	want := text(t, shed(t, nil))
	for seed := range uint64(5) {
		got := text(t, shed(t, func(f *job.File) {
			r := rand.New(rand.NewPCG(seed, 1))
			w := &f.Wiring
			r.Shuffle(len(w.Landings), func(i, j int) { w.Landings[i], w.Landings[j] = w.Landings[j], w.Landings[i] })
			r.Shuffle(len(w.Tags), func(i, j int) { w.Tags[i], w.Tags[j] = w.Tags[j], w.Tags[i] })
		}))
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("seed %d: the packet differs (-want +got):\n%s", seed, diff)
		}
	}
}

// TestJSON reads back what is written, with nothing lost and no field unknown.
func TestJSON(t *testing.T) {
	for _, change := range []func(f *job.File){nil, func(f *job.File) { // every field that is seldom there
		f.Wiring.Ties = append(f.Wiring.Ties, wiring.Tie{Box: "loft", A: wiring.WireJoint("C5", "red"), B: wiring.WireJoint("C5", "white")})
		f.Wiring.Opens = append(f.Wiring.Opens, wiring.Wire{Cable: "C8", Conductor: "black"})
		f.Wiring.Boxes[1].Volume.Sections = nil
		f.Wiring.Landings = f.Wiring.Landings[1:]
	}} {
		d := shed(t, change)
		var b bytes.Buffer
		if err := packet.WriteJSON(&b, d); err != nil {
			t.Fatal(err)
		}
		var got packet.Document
		r := json.NewDecoder(&b)
		r.DisallowUnknownFields()
		if err := r.Decode(&got); err != nil {
			t.Fatal(err)
		}
		if got.Format != packet.FormatVersion || got.Title != "Boat shed" || len(got.Cautions) == 0 {
			t.Errorf("format %v, title %q, %d cautions", got.Format, got.Title, len(got.Cautions))
		}
		if diff := cmp.Diff(text(t, d), text(t, &got)); diff != "" {
			t.Errorf("the text differs after reading the JSON back (-want +got):\n%s", diff)
		}
		var again bytes.Buffer
		if err := packet.WriteJSON(&again, &got); err != nil {
			t.Fatal(err)
		}
		var first bytes.Buffer
		if err := packet.WriteJSON(&first, d); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(first.String(), again.String()); diff != "" {
			t.Errorf("the JSON differs after reading it back (-want +got):\n%s", diff)
		}
	}
	fill := shed(t, nil).Boxes[2].Fill
	if fill == nil || fill.Required.String() != "32 in3" || fill.Available.String() != "34 in3" || fill.Status.String() != "fits" {
		t.Errorf("slip-door: %+v", fill)
	}
}

// TestFaults breaks the shed and wants the packet to say so.
func TestFaults(t *testing.T) {
	apply := func(edits ...wiring.Edit) func(f *job.File) {
		return func(f *job.File) {
			w, err := wiring.New(f.Wiring)
			if err == nil {
				w, err = w.Apply(edits...)
			}
			if err != nil {
				t.Fatal(err)
			}
			f.Wiring = w.Spec()
		}
	}
	wire := func(cable, conductor string) wiring.Wire { return wiring.Wire{Cable: cable, Conductor: conductor} }
	rows := []struct {
		why    string
		change func(f *job.File)
		want   []string
	}{
		{"one wire of each pair exchanged at a four-way", apply(wiring.SwapLandings{Box: "yard-door", A: wire("C3", "red"), B: wire("C4", "red")}),
			[]string{"lit only", "two settings that differ in one handle", "Shorts: none"}},
		{"the neutral of the loft touches a traveler", apply(wiring.TieJoints{Box: "loft", A: wiring.WireJoint("C5", "red"), B: wiring.WireJoint("C5", "white")}),
			[]string{"SHORT: in ", "the rails meet by: service line A - ", "in some settings an end of it is on a short"}},
		{"a spare under a cap is listed", apply(wiring.CapEnd{End: wiring.End{Box: "loft", Wire: wire("C10", "black")}}),
			[]string{"Not used here", "capped", "never lit"}},
		{"a broken wire is marked in the schedule", apply(wiring.Cut{Wire: wire("C8", "black")}),
			[]string{"(open along the run)", "never lit"}},
		{"a device taken away leaves its place without one", func(f *job.File) {
			f.Intent.Controls[2].Places = append(f.Intent.Controls[2].Places, "yard-door")
		}, []string{"yard-door (no device called slipway there)"}},
		{"a box whose volume nobody knows gets no guess", func(f *job.File) { f.Wiring.Boxes[1].Volume.Sections = nil },
			[]string{"volume not known", "volume unknown"}},
		{"a box that is too small says by how much", func(f *job.File) { f.Wiring.Boxes[2].Volume = f.Wiring.Boxes[1].Volume },
			[]string{"required 32 in3, available 22.5 in3, spare -9.5 in3: does not fit"}},
		{"a breaker too large for the conductor is unlawful", func(f *job.File) { f.Wiring.Feeds[0].Breaker *= 2 },
			[]string{"behind at most 15 A, 30 A wanted: not enough", "\n  unlawful\n"}},
		{"a light without a load cannot be sized", func(f *job.File) {
			for i := range f.Wiring.Lights {
				f.Wiring.Lights[i].Power = 0
			}
		}, []string{"not sized: no light on it states its load"}},
	}
	for _, r := range rows {
		t.Run(strings.ReplaceAll(r.why, " ", "-"), func(t *testing.T) {
			s := text(t, shed(t, r.change))
			for _, want := range r.want {
				if !strings.Contains(s, want) {
					t.Errorf("the packet does not say %q", want)
				}
			}
		})
	}
}

func TestBuildNeedsItsInput(t *testing.T) {
	if _, err := packet.Build(context.Background(), packet.Input{}); err == nil {
		t.Error("a packet was made of nothing")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := packet.Build(ctx, packet.Input{Intent: f.Intent, Wiring: w, Region: f.Region}); err == nil {
		t.Error("a packet was made although the context had ended")
	}
}

// TestFilesHavePlainNames keeps names of boxes from becoming paths and from writing
// over each other where capitals do not count, and wants the cautions before what a
// sheet says of its box.
func TestFilesHavePlainNames(t *testing.T) {
	d := shed(t, nil)
	d.Boxes[0].Name = "../over the/hill"
	d.Boxes[1].Name = "...over-the-hill"
	d.Boxes[2].Name = "...Over-the-hill"
	files, err := packet.Files(d)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, f := range files {
		if strings.ContainsAny(f.Name, "/\\ ") || seen[strings.ToLower(f.Name)] {
			t.Errorf("file name %q", f.Name)
		}
		seen[strings.ToLower(f.Name)] = true
		if strings.HasPrefix(f.Name, "box-") {
			first, _, _ := strings.Cut(string(f.Data), "\nBOX ")
			if !strings.Contains(first, "De-energize") {
				t.Errorf("%s does not begin with the cautions", f.Name)
			}
		}
	}
	if len(files) != 4+len(d.Boxes) {
		t.Errorf("%d files, want the packet twice, two tables and %d boxes", len(files), len(d.Boxes))
	}
}

func BenchmarkShed(b *testing.B) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		b.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		d, err := packet.Build(context.Background(), packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
		if err != nil {
			b.Fatal(err)
		}
		if err := packet.WriteText(&bytes.Buffer{}, d); err != nil {
			b.Fatal(err)
		}
	}
}

// TestFind wants no meter to be trusted with a contact that it cannot see, and what
// may be exchanged to leave every answer as it was.
func TestFind(t *testing.T) {
	find := func(k switchnet.Kind) string {
		d := shed(t, func(f *job.File) { f.Wiring.Devices[0].Kind = k })
		for _, b := range d.Boxes {
			if b.Name == "store-door" {
				return strings.Join(b.Devices[0].Find, " ")
			}
		}
		return ""
	}
	rows := []struct {
		why       string
		kind      switchnet.Kind
		want, not string
	}{
		{"a meter finds the common of a plain switch", switchnet.ThreeWay(), "continuity tester: the common is", "electronics"},
		{"it does not see through a dimmer that is off", switchnet.ThreeWayDimmer(), "does not see through electronics", "the common is"},
		{"nor through any other electronics", switchnet.ElectronicThreeWay(), "does not see through electronics", "the common is"},
	}
	for _, r := range rows {
		if got := find(r.kind); !strings.Contains(got, r.want) || strings.Contains(got, r.not) {
			t.Errorf("%s: %q", r.why, got)
		}
	}
}
