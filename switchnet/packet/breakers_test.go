package packet_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// caseFiles are the job files of real wirings, right and wrong ones.
func caseFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "job", "testdata", "cases", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no case files: %v", err)
	}
	return files
}

// TestBreakersLeaveNothingOut switches on one breaker at a time and puts the switches
// in every position: whatever is then live in a box, the box names that breaker.
func TestBreakersLeaveNothingOut(t *testing.T) {
	several, live := 0, 0
	for _, name := range caseFiles(t) {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := job.Parse(name, src, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !f.HasWiring() {
			continue
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := packet.Build(context.Background(), packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
		if err != nil {
			t.Fatal(err)
		}
		says := map[string][]string{}
		for _, b := range doc.Boxes {
			says[b.Name] = b.Breakers
			if len(b.Breakers) > 1 {
				several++
			}
		}
		net := w.Net()
		solver := net.NewSolver()
		for _, on := range f.Wiring.Feeds {
			hold := net.Rest()
			for _, off := range f.Wiring.Feeds {
				if off.Box == on.Box && off.Name == on.Name {
					continue
				}
				if hold, err = hold.With(switchnet.Ref{Place: off.Box, Name: off.Name}, "off"); err != nil {
					t.Fatal(err)
				}
			}
			feed := switchnet.Ref{Place: on.Box, Name: on.Name}
			states, count, err := net.States(&switchnet.StatesOptions{Hold: hold})
			if err != nil {
				t.Fatal(err)
			}
			if !count.IsInt64() || count.Int64() > 5000 {
				t.Fatalf("%s has %s states; too many to visit", name, count)
			}
			for state := range states {
				view, err := solver.Solve(state)
				if err != nil {
					t.Fatal(err)
				}
				for at, c := range view.Hazards() {
					if names, box := says[at.Place]; box && at.Device != "" && at.Place != on.Box {
						live++
						if !slices.Contains(names, feed.String()) {
							t.Fatalf("%s: %v is %v from %v, and the sheet of its box names %q", name, at, c, feed, names)
						}
					}
				}
			}
		}
	}
	if several == 0 || live == 0 {
		t.Errorf("%d boxes with several circuits and %d live places tried; want some of either", several, live)
	}
}

// borrowed has a stair light whose neutral goes home through the box of the loft light,
// which is on another circuit: with that one off, taking its whites apart is deadly
// while the stair light burns.
const borrowed = `format: 1
rules: us-2023
feeds:
  - {name: stair, box: panel, breaker: 15 A}
  - {name: loft, box: panel, breaker: 15 A}
boxes:
  - {name: panel, kind: panel}
  - {name: stair-foot, kind: device}
  - {name: stair-top, kind: ceiling}
  - {name: loft-ridge, kind: ceiling}
lights:
  - {name: stair light, box: stair-top, load: 12 W}
  - {name: loft light, box: loft-ridge, load: 12 W}
cables:
  - {name: A, type: 14/2, from: panel, to: stair-foot}
  - {name: B, type: 14/2, from: stair-foot, to: stair-top}
  - {name: L, type: 14/2, from: panel, to: loft-ridge}
  - {name: N, type: 14/2, from: loft-ridge, to: stair-top}
devices:
  - {name: stair, box: stair-foot, kind: single-pole}
splices:
  - {box: stair-top, join: [B.black, stair light.hot]}
  - {box: stair-top, join: [N.white, stair light.neutral]}
  - {box: loft-ridge, join: [L.black, loft light.hot]}
  - {box: loft-ridge, join: [L.white, N.white, loft light.neutral]}
landings:
  - {box: panel, device: stair, terminal: hot, wire: A.black}
  - {box: panel, device: loft, terminal: hot, wire: L.black}
  - {box: panel, device: loft, terminal: neutral, wire: L.white}
  - {box: stair-foot, device: stair, terminal: line, wire: A.black}
  - {box: stair-foot, device: stair, terminal: load, wire: B.black}
`

// TestBreakersHoldWhileEndsAreLifted takes off one wire's end at a time, as whoever
// works in a box does: whatever any one breaker then makes live in that box, the box
// names that breaker.
func TestBreakersHoldWhileEndsAreLifted(t *testing.T) {
	lifted, foreign := 0, 0
	for _, name := range append(caseFiles(t), "borrowed.yaml") {
		src, err := []byte(borrowed), error(nil)
		if name != "borrowed.yaml" {
			src, err = os.ReadFile(name)
		}
		if err != nil {
			t.Fatal(err)
		}
		f, err := job.Parse(name, src, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !f.HasWiring() || len(f.Wiring.Feeds) < 2 {
			continue // the one breaker is named wherever its cables are
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := packet.Build(context.Background(), packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range doc.Boxes {
			for _, end := range w.Ends(b.Name) {
				after, err := w.Apply(wiring.Release{End: end})
				if b.Kind == "panel" || err != nil {
					continue
				}
				lifted++
				own := f.Wiring.Feeds[0].Name
				if fn, ok := w.FunctionAt(end); ok && len(fn.Feeds) > 0 {
					own = fn.Feeds[0].Name
				}
				for feed, at := range liveIn(t, after, b.Name) {
					if feed.Name != own {
						foreign++
					}
					if !slices.Contains(b.Breakers, feed.String()) {
						t.Errorf("%s: with %v taken off, %v is live from %v, and the sheet of its box names %q", name, end, at, feed, b.Breakers)
					}
				}
			}
		}
	}
	if lifted == 0 || foreign == 0 {
		t.Errorf("%d ends lifted, and %d times another circuit was live: the test sees too little", lifted, foreign)
	}
}

// liveIn returns the feeds that make something live in a box when they alone are on,
// each with a terminal that it makes live.
func liveIn(t *testing.T, w *wiring.Wiring, box string) map[switchnet.Ref]switchnet.Terminal {
	t.Helper()
	net := w.Net()
	solver := net.NewSolver()
	live := map[switchnet.Ref]switchnet.Terminal{}
	spec := w.Spec()
	for _, on := range spec.Feeds {
		feed, hold := switchnet.Ref{Place: on.Box, Name: on.Name}, net.Rest()
		for _, off := range spec.Feeds {
			if other := (switchnet.Ref{Place: off.Box, Name: off.Name}); other != feed {
				var err error
				if hold, err = hold.With(other, "off"); err != nil {
					t.Fatal(err)
				}
			}
		}
		states, _, err := net.States(&switchnet.StatesOptions{Hold: hold})
		if err != nil {
			t.Fatal(err)
		}
		for state := range states {
			view, err := solver.Solve(state)
			if err != nil {
				t.Fatal(err)
			}
			for at := range view.Hazards() {
				if at.Place == box && at.Device != "" {
					live[feed] = at
				}
			}
		}
	}
	return live
}

// TestBreakers names the breakers of boxes that are not plain.
func TestBreakers(t *testing.T) {
	at := func(d *packet.Document, box string) packet.Box {
		i := slices.IndexFunc(d.Boxes, func(b packet.Box) bool { return b.Name == box })
		return d.Boxes[i]
	}
	second := func(f *job.File) {
		f.Wiring.Feeds = append(f.Wiring.Feeds, wiring.Feed{Name: "winch", Box: "panel", Breaker: f.Wiring.Feeds[0].Breaker, Poles: 1})
	}
	open := func(wires ...string) func(f *job.File) {
		return func(f *job.File) {
			for _, name := range wires {
				cable, colour, _ := strings.Cut(name, ".")
				f.Wiring.Opens = append(f.Wiring.Opens, wiring.Wire{Cable: cable, Conductor: colour})
			}
		}
	}
	rows := []struct {
		why    string
		change func(f *job.File)
		box    string
		want   []string
	}{
		{"a breaker that feeds nothing is in its panel alone", second, "panel", []string{"shed lights at panel", "winch at panel"}},
		{"and in no other box", second, "slip-door", []string{"shed lights at panel"}},
		{"a wire that is broken is not trusted to stay so", open("C12.black", "C12.white"), "slipway", []string{"shed lights at panel"}},
		{"a box that no cable enters is fed by nothing", func(f *job.File) {
			f.Wiring.Boxes = append(f.Wiring.Boxes, wiring.Box{Name: "rafter", Kind: wiring.JunctionBox})
		}, "rafter", []string{}},
		{"behind a lamp whose neutral is broken the white is live, and here nothing else is", open("C10.white", "C11.black"),
			"loft-ridge", []string{"shed lights at panel"}},
	}
	for _, r := range rows {
		if got := at(shed(t, r.change), r.box).Breakers; !slices.Equal(got, r.want) {
			t.Errorf("%s: %s names %q, want %q", r.why, r.box, got, r.want)
		}
	}
	for _, b := range shed(t, nil).Boxes {
		if (b.Danger != "") != (b.Kind == "panel") {
			t.Errorf("%s, a %s, says %q", b.Name, b.Kind, b.Danger)
		}
	}
}
