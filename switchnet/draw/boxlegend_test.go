package draw

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// The picture of a box says by itself what its signs mean, what each end is that has no
// tag, where the far end of each cable is, and where the devices stand.
func TestBoxSaysAll(t *testing.T) {
	wired := func(name string, src []byte, change func(*wiring.Spec)) *wiring.Wiring {
		f, err := job.Parse(name, src, nil)
		if err != nil {
			t.Fatal(err)
		}
		if change != nil {
			change(&f.Wiring)
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	cottage := wired(demo.CottageName, demo.Cottage(), nil)
	wide := wired(demo.ShedWiredName, demo.ShedWired(), func(s *wiring.Spec) {
		s.Boxes[slices.IndexFunc(s.Boxes, func(b wiring.Box) bool { return b.Name == "slip-door" })].Gangs = 3
		for i := range s.Devices {
			switch d := &s.Devices[i]; {
			case d.Box != "slip-door":
			case d.Name == "aisle":
				d.Gang, d.Gangs = 2, 2
			default:
				d.Gang = 0
			}
		}
	})
	for _, tt := range []struct {
		reason string
		w      *wiring.Wiring
		box    string
		has    []string
		hasNot []string
	}{
		{"a switch in each gang", shed(t), "slip-door",
			[]string{"neutral", "ground", "other end in slipway", "gang 1 of 2, counted from the left", "gang 2 of 2, counted from the left", "spliced", "a screw or lead"},
			[]string{"from slipway", "under a cap", "loose"}},
		{"one gang has nothing to tell apart", shed(t), "store-door", nil, []string{"gang 1 of 1, counted from the left"}},
		{"a wide switch, and one of which nothing is said", wide, "slip-door", []string{"gangs 2 to 3 of 3, counted from the left"}, []string{"gang 2 of 3, counted from the left"}},
		{"caps and loose ends", cottage, "stair-head", []string{"under a cap", "loose", "unknown", "its far end not known"}, nil},
	} {
		p, err := New(tt.w).Box(tt.box, nil)
		if err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, l := range p.scene.labels {
			all = append(all, l.text)
		}
		for _, want := range tt.has {
			if !slices.Contains(all, want) {
				t.Errorf("%s: nowhere %q in %q", tt.reason, want, all)
			}
		}
		for _, not := range tt.hasNot {
			if slices.Contains(all, not) {
				t.Errorf("%s: it says %q", tt.reason, not)
			}
		}
	}
}

// A circuit says what the numbers behind its wires and in its flags are, where it has any.
func TestChainSaysAll(t *testing.T) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w := shed(t)
	const more, flag = "+ and a number: that many wires more are one metal with it", "a number in a flag: it goes on in the next row"
	for _, tt := range []struct {
		reason, control string
		flags           bool
	}{
		{"five places and three lights take several rows", "aisle", true},
		{"one switch takes one", "slipway", false},
	} {
		c := f.Intent.Controls[slices.IndexFunc(f.Intent.Controls, func(c intent.Control) bool { return c.Name == tt.control })]
		g := Group{Name: c.Name}
		g.Switches, _ = c.Switches(w)
		for _, l := range f.Wiring.Lights {
			if slices.Contains(c.Lights, l.Name) {
				g.Lights = append(g.Lights, switchnet.Ref{Place: l.Box, Name: l.Name})
			}
		}
		p, err := New(w).Chain(g, w.Net().Rest(), nil)
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, l := range p.scene.labels {
			said += l.text + " "
		}
		if !strings.Contains(said, more) || strings.Contains(said, flag) != tt.flags {
			t.Errorf("%s: %s", tt.reason, said)
		}
	}
}
