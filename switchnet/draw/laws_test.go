package draw

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
		boxLaws(t, drawWiring(t, choices(rt), ordinary))
		if t.Failed() {
			rt.FailNow()
		}
	})
}

func boxLaws(t *testing.T, w *wiring.Wiring) {
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
func wantEnds(t *testing.T, w *wiring.Wiring, box string, p *Picture) {
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
			want[l.Wire.String()] = l.Device + "\x00" + l.Terminal + "\x00"
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
				want[j.Wire.String()] = fmt.Sprintf("splice %d\x00", n)
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
