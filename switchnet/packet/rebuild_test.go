package packet_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// built is what a colleague makes who has the sheets of the boxes and nothing else: what
// lands on each terminal, what is in each splice, what is under a cap or left loose, each
// with its tag and marking.
func built(d *packet.Document) []string {
	var out []string
	for _, b := range d.Boxes {
		end := func(e packet.End) string {
			return fmt.Sprintf("%s (tag %q, marked %q)", e.Wire, e.Tag, e.Marked)
		}
		splices := make([][]string, len(b.Splices))
		for i, s := range b.Splices {
			for _, e := range s.Ends {
				splices[i] = append(splices[i], end(e))
			}
		}
		for _, v := range b.Devices {
			for _, t := range v.Terminals {
				for _, e := range t.Ends {
					out = append(out, fmt.Sprintf("%s: %s.%s has %s", b.Name, v.Name, t.Name, end(e)))
				}
				for _, n := range t.Pigtails {
					splices[n-1] = append(splices[n-1], v.Name+"."+t.Name)
				}
			}
		}
		for i, s := range splices {
			if slices.Sort(s); len(s) != len(b.Splices[i].Ends)+len(b.Splices[i].Leads) {
				out = append(out, fmt.Sprintf("%s: splice %d says otherwise than the terminals", b.Name, i+1))
			}
			out = append(out, b.Name+": joined "+strings.Join(s, " + "))
		}
		for _, u := range b.Unused {
			out = append(out, fmt.Sprintf("%s: %s is %s", b.Name, end(u.End), u.Use))
		}
	}
	slices.Sort(out)
	return out
}

// meant is the same from the wiring.
func meant(w *wiring.Wiring) []string {
	s := w.Spec()
	tags, marks := map[wiring.End]string{}, map[wiring.End]string{}
	for _, x := range s.Tags {
		tags[wiring.End{Box: x.Box, Wire: x.Wire}] = x.Text
	}
	for _, x := range s.Marks {
		marks[wiring.End{Box: x.Box, Wire: x.Wire}] = x.As.String()
	}
	end := func(box string, wire wiring.Wire) string {
		e := wiring.End{Box: box, Wire: wire}
		return fmt.Sprintf("%s (tag %q, marked %q)", wire, tags[e], marks[e])
	}
	var out []string
	for _, l := range s.Landings {
		out = append(out, fmt.Sprintf("%s: %s.%s has %s", l.Box, l.Device, l.Terminal, end(l.Box, l.Wire)))
	}
	for _, x := range s.Splices {
		var all []string
		for _, j := range x.Join {
			if j.Device != "" {
				all = append(all, j.Device+"."+j.Terminal)
			} else {
				all = append(all, end(x.Box, j.Wire))
			}
		}
		slices.Sort(all)
		out = append(out, x.Box+": joined "+strings.Join(all, " + "))
	}
	for _, b := range s.Boxes {
		for _, e := range w.Ends(b.Name) {
			if use, _ := w.Use(e); use == wiring.Capped || use == wiring.Hanging {
				out = append(out, fmt.Sprintf("%s: %s is %s", b.Name, end(b.Name, e.Wire), use))
			}
		}
	}
	slices.Sort(out)
	return out
}

// The sheets of the boxes say all of a wiring and nothing else: what they say can be built
// and is that wiring, of the demo jobs and of jobs thrown together at random.
func TestSheetsRebuildTheWiring(t *testing.T) {
	same := func(t tester, w *wiring.Wiring, region *rules.Region) {
		t.Helper()
		d, err := packet.Build(context.Background(), packet.Input{Title: "job", Wiring: w, Region: region})
		if err != nil {
			t.Fatalf("%v", err)
		}
		if diff := cmp.Diff(meant(w), built(d)); diff != "" {
			t.Errorf("the sheets say otherwise than the wiring (-wiring +sheets):\n%s", diff)
		}
	}
	var shed wiring.Spec
	var us *rules.Region
	for _, j := range []struct {
		name string
		src  []byte
	}{{demo.CottageName, demo.Cottage()}, {demo.ShedWiredName, demo.ShedWired()}} {
		f, err := job.Parse(j.name, j.src, nil)
		if err != nil {
			t.Fatal(err)
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		same(t, w, f.Region)
		shed, us = f.Wiring, f.Region
	}
	gen := wirings(shed, us)
	rapid.Check(t, func(t *rapid.T) { same(t, gen.Draw(t, "wiring"), us) })

	// It tells a wire that is moved, by every landing of the shed.
	w, err := wiring.New(shed)
	if err != nil {
		t.Fatal(err)
	}
	right := meant(w)
	for i, l := range shed.Landings {
		moved := shed.Clone()
		moved.Landings = slices.Delete(moved.Landings, i, i+1)
		if l.Terminal == "ground" {
			continue
		}
		moved.Landings = append(moved.Landings, wiring.Landing{Box: l.Box, Device: l.Device, Terminal: "ground", Wire: l.Wire})
		wrong, err := wiring.New(moved)
		if err != nil {
			t.Fatal(err)
		}
		if cmp.Equal(right, meant(wrong)) {
			t.Errorf("%v moved to the ground goes unseen", l)
		}
	}
}

// What the sheets of the shed say a conductor does is what the circuit does in all 256
// settings, breaker on: a hot is live in each, a neutral and a ground are what they are in
// each, a traveler and a leg are live in some and not in others.
func TestSheetsSayWhatTheCircuitDoes(t *testing.T) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	d, err := packet.Build(context.Background(), packet.Input{Title: "job", Intent: f.Intent, Wiring: w, Region: f.Region})
	if err != nil {
		t.Fatal(err)
	}
	says := map[switchnet.Terminal][]string{}
	for _, b := range d.Boxes {
		for _, v := range b.Devices {
			for _, x := range v.Terminals {
				at := switchnet.Terminal{Place: b.Name, Device: v.Name, Name: x.Name}
				for _, e := range x.Ends {
					says[at] = append(says[at], e.Says)
				}
				for _, n := range x.Pigtails {
					says[at] = append(says[at], b.Splices[n-1].Says)
				}
			}
		}
	}
	states := []switchnet.State{w.Net().Rest()}
	for _, v := range f.Wiring.Devices {
		for _, s := range slices.Clone(states) {
			other, err := s.Flip(switchnet.Ref{Place: v.Box, Name: v.Name})
			if err != nil {
				t.Fatal(err)
			}
			states = append(states, other)
		}
	}
	solver := w.Net().NewSolver()
	kinds := map[switchnet.Terminal]map[switchnet.ConditionKind]int{}
	for _, s := range states {
		view, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		for at := range says {
			c, ok := view.Condition(at)
			if !ok {
				t.Fatalf("no terminal %v", at)
			}
			if kinds[at] == nil {
				kinds[at] = map[switchnet.ConditionKind]int{}
			}
			kinds[at][c.Kind()]++
		}
	}
	all, met := len(states), map[string]int{}
	for at, list := range says {
		for _, s := range list {
			live := kinds[at][switchnet.Live]
			for _, tt := range []struct {
				word string
				ok   bool
			}{
				{"hot of ", live == all},
				{"neutral of ", kinds[at][switchnet.OnNeutral] == all},
				{"ground", kinds[at][switchnet.OnGround] == all},
				{" traveler between ", live > 0 && live < all},
				{"switch leg of ", live > 0 && live < all},
			} {
				if !strings.Contains(s, tt.word) {
					continue
				}
				if met[tt.word]++; !tt.ok {
					t.Errorf("%v is said to be %q, and is %v over the %d settings", at, s, kinds[at], all)
				}
			}
		}
	}
	if len(states) != 256 || len(met) != 5 {
		t.Errorf("%d settings and %v were met", len(states), met)
	}
}
