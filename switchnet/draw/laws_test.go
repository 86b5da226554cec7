package draw

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// choices draws a wiring by rapid, as bytes that shrink to the plainest one.
func choices(t *rapid.T) func(n int) int {
	return spelled(rapid.SliceOfN(rapid.Byte(), 0, 400).Draw(t, "choices"))
}

// TestBoxesRandom holds the pictures of the boxes of any wiring to a clean layout, and
// to what the wiring says of every end.
func TestBoxesRandom(t *testing.T) {
	for seed := range uint64(150) {
		w := drawWiring(t, seeded(seed), ordinary)
		boxLaws(t, w)
	}
	rapid.Check(t, func(rt *rapid.T) {
		boxLaws(rt, drawWiring(rt, choices(rt), ordinary))
	})
}

// TestRunsRandom holds the run plans of any wiring to a clean layout that shows every
// cable between its boxes, laid out either way.
func TestRunsRandom(t *testing.T) {
	byPosition := 0
	for seed := range uint64(300) {
		if runsLaws(t, drawWiring(t, seeded(seed), ordinary)) {
			byPosition++
		}
	}
	// Of the fixed seeds.
	if byPosition < 20 {
		t.Errorf("%d of 300 plans were laid out by coordinates; the test means little below 20", byPosition)
	}
	rapid.Check(t, func(rt *rapid.T) {
		runsLaws(rt, drawWiring(rt, choices(rt), ordinary))
	})
}

func runsLaws(t tester, w *wiring.Wiring) (byPosition bool) {
	t.Helper()
	r := New(w).plan(func(s string) string { return s })
	for _, width := range []int{Phone, Page} {
		wantRuns(t, r, &Picture{title: "tree", scene: *r.tree(width)})
		if s, ok := r.byPosition(width); ok {
			byPosition = true
			wantRuns(t, r, &Picture{title: "map", scene: *s})
		}
	}
	return byPosition
}

func wantRuns(t tester, r *runPlan, p *Picture) {
	t.Helper()
	wantClean(t, p)
	drawn := map[string]int{}
	for _, x := range p.scene.wires {
		drawn[x.from+"\x00"+x.to]++
	}
	for _, c := range r.cables {
		a, b := endPin(c.name, c.from), endPin(c.name, c.to)
		if drawn[a+"\x00"+b]+drawn[b+"\x00"+a] != 1 {
			t.Errorf("%s: cable %q is not drawn once between its boxes", p.title, c.name)
		}
	}
	if len(p.scene.wires) != len(r.cables) {
		t.Errorf("%s: %d lines for %d cables", p.title, len(p.scene.wires), len(r.cables))
	}
}

// TestNamed reads the pictures of the boxes as a person does who has nothing else: the
// word for the colour stands beside the beginning of every stroke, under the name of
// its cable, and the name of the conductor at its end, with the terminal's if it ends
// on one.
func TestNamed(t *testing.T) {
	w := shed(t)
	for _, b := range w.Spec().Boxes {
		for _, width := range []int{Phone, Page} {
			p, err := New(w).Box(b.Name, &Options{Width: width})
			if err != nil {
				t.Fatal(err)
			}
			for i := range p.scene.wires {
				x := &p.scene.wires[i]
				if x.name == "pigtail" {
					continue
				}
				cable, colour, _ := strings.Cut(x.name, ".")
				from, to := x.pts[0], x.pts[len(x.pts)-1]
				if l := beside(&p.scene, from, colour); l == nil || l.at.x > from.x {
					t.Errorf("box %s at %d: no %q beside the beginning of %s", b.Name, width, colour, x.name)
				}
				above := ""
				for k := range p.scene.labels {
					if l := &p.scene.labels[k]; l.bold && l.at.x < from.x && l.at.y < from.y && strings.HasPrefix(l.text, "C") {
						above = l.text
					}
				}
				if !strings.HasPrefix(above, cable+" ") {
					t.Errorf("box %s at %d: %s begins under %q", b.Name, width, x.name, above)
				}
				if l := beside(&p.scene, to, x.name); l == nil || l.at.x < to.x {
					t.Errorf("box %s at %d: no name at the end of %s", b.Name, width, x.name)
				}
				if parts := strings.Split(x.to, "\x00"); parts[0] == "terminal" && beside(&p.scene, to, parts[2]) == nil {
					t.Errorf("box %s at %d: %s ends on no %q", b.Name, width, x.name, parts[2])
				}
			}
		}
	}
}

// beside returns the label with a text whose line is level with a point or just below.
func beside(s *scene, p point, text string) *label {
	for i := range s.labels {
		if l := &s.labels[i]; l.text == text && l.at.y > p.y && l.at.y <= p.y+5+leading {
			return l
		}
	}
	return nil
}

// shed returns the boat shed, wired.
func shed(t *testing.T) *wiring.Wiring {
	t.Helper()
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// TestLargeBoxes draws boxes as full as they come: four gangs and more, ten cables and
// more, some of them of ten loose conductors.
func TestLargeBoxes(t *testing.T) {
	most := 0
	for seed := range uint64(40) {
		w := drawWiring(t, seeded(1000+seed), limits{boxes: 1, cables: 14, devices: 8})
		boxLaws(t, w)
		for _, b := range w.Spec().Boxes {
			most = max(most, len(w.Ends(b.Name)))
		}
	}
	// Of the fixed seeds.
	if most < 50 {
		t.Errorf("the fullest box has %d conductors; the test means little below 50", most)
	}
}

func boxLaws(t tester, w *wiring.Wiring) {
	t.Helper()
	d := New(w)
	for _, b := range w.Spec().Boxes {
		for _, width := range []int{Phone, Page} {
			p, err := d.Box(b.Name, &Options{Width: width})
			if err != nil {
				t.Fatal(err)
			}
			wantClean(t, p)
			wantEnds(t, w, b.Name, p)
		}
	}
}

// wantEnds compares every conductor drawn with what the wiring says of its end, read
// from the wiring's own lists.
func wantEnds(t tester, w *wiring.Wiring, box string, p *Picture) {
	t.Helper()
	spec := w.Spec()
	want := map[string]string{}
	for _, e := range w.Ends(box) {
		switch use, _ := w.Use(e); use {
		case wiring.Capped, wiring.Hanging:
			want[e.Wire.String()] = "end\x00" + e.Wire.String()
		}
	}
	for _, l := range spec.Landings {
		if l.Box == box {
			want[l.Wire.String()] = "terminal\x00" + l.Device + "\x00" + l.Terminal + "\x00"
		}
	}
	n, leads := 0, 0
	for _, s := range spec.Splices {
		if s.Box != box {
			continue
		}
		n++
		for _, j := range s.Join {
			if j.Device == "" {
				want[j.Wire.String()] = fmt.Sprintf("splice\x00%d\x00", n)
			} else {
				leads++
			}
		}
	}
	for i := range p.scene.wires {
		x := &p.scene.wires[i]
		if x.name == "pigtail" {
			leads--
			continue
		}
		if x.from != "cable\x00"+x.name {
			t.Errorf("%s begins at %q", x.name, x.from)
		}
		if to, ok := want[x.name]; !ok || !strings.HasPrefix(x.to, to) {
			t.Errorf("%s in %s ends on %q; the wiring has it on %q", x.name, box, x.to, to)
		}
		delete(want, x.name)
	}
	if len(want) > 0 || leads != 0 {
		t.Errorf("%s: not drawn: %v, and %d pigtails", box, want, leads)
	}
}
