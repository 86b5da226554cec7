package lab_test

import (
	"context"
	"fmt"
	"maps"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// chain returns the generated job of a number of places in a row, as a base.
func chain(tb testing.TB, places int) lab.Base {
	tb.Helper()
	return generated(tb, lab.Recipe{Places: lab.Range{Least: places, Most: places}, Lights: lab.Range{Least: 1, Most: 1}, NoTwoGang: true, Feed: lab.AtFirst, Light: lab.AtLast})
}

func drawn(tb testing.TB, b lab.Base, seed lab.Seed) *lab.Job {
	tb.Helper()
	j, err := b.Draw(context.Background(), seed)
	if err != nil {
		tb.Fatal(err)
	}
	return j
}

// TestEveryMiswire makes every single fault of chains and of the shed: each makes a
// difference, but for exchanged travelers, of which there are as many as switches have
// pairs of them.
func TestEveryMiswire(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		base     lab.Base
		harmless int
		why      string
	}{
		{"2 places", chain(t, 2), 2, "one pair at each three-way"},
		{"3 places", chain(t, 3), 4, "and two at the four-way"},
		{"4 places", chain(t, 4), 6, "and two at the next"},
		{"boat shed", fromFile(t, demo.ShedWiredName, demo.ShedWired()), 11, "four three-ways, three four-ways, and the two screws of the single-pole"},
	}
	for _, tt := range tests {
		j := drawn(t, tt.base, 1)
		judge, err := lab.NewJudge(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		harmless := 0
		for _, f := range miswire.List(j.Wiring) {
			w, err := f.Apply(j.Wiring)
			if err != nil {
				t.Fatal(err)
			}
			diff, err := judge.Compare(context.Background(), w)
			if err != nil {
				t.Fatal(err)
			}
			if len(diff) > 0 {
				continue
			}
			if harmless++; f.Kind != miswire.TerminalsExchanged {
				t.Errorf("%s: %s makes no difference", tt.name, f.Says)
			}
		}
		if harmless != tt.harmless {
			t.Errorf("%s: %d faults make no difference, want %d: %s", tt.name, harmless, tt.harmless, tt.why)
		}
	}
}

// TestLandings takes the right answers to where joints go, changes each in every way, and
// exchanges every two. What gets full marks lights the same lights, whichever way the
// handles are up, by a walk through all states; and every exchange of travelers gets
// full marks.
func TestLandings(t *testing.T) {
	t.Parallel()
	for places := 2; places <= 4; places++ {
		j := drawn(t, chain(t, places), 3)
		var boxes []string
		for _, g := range j.Controls() {
			for _, r := range g.Switches {
				boxes = append(boxes, r.Place)
			}
		}
		rows := map[string]lab.Opened{"switches": lab.OpenSwitches(j, boxes)}
		for _, b := range boxes {
			rows["box "+b] = lab.OpenBox(j, b)
		}
		for name, o := range rows {
			key, full, less := o.Key(), 0, 0
			try := func(a lab.Answer) {
				r := o.Mark(a)
				if r.Points < r.Of {
					less++
					return
				}
				full++
				if w, err := o.Wiring(a); err != nil || !sameLights(t, j.Wiring, w) {
					t.Errorf("%d places, %s: full marks for lights that do otherwise: %v", places, name, a)
				}
			}
			try(key)
			fields := o.Fields()
			for i, f := range fields {
				for _, c := range f.Choices {
					if c != key[f.ID] {
						a := maps.Clone(key)
						a[f.ID] = c
						try(a)
					}
				}
				for _, g := range fields[i+1:] {
					if key[f.ID] != key[g.ID] {
						a := maps.Clone(key)
						a[f.ID], a[g.ID] = key[g.ID], key[f.ID]
						try(a)
					}
				}
			}
			if less < 2*full {
				t.Errorf("%d places, %s: %d changes get full marks and %d less", places, name, full, less)
			}
			// The key, one exchange at each three-way, two at each four-way.
			if want := 1 + 2 + 2*(places-2); name == "switches" && full != want {
				t.Errorf("%d places: %d answers get full marks, want %d", places, full, want)
			}
		}
	}
}

// sameLights reports whether there are handles to turn over with which two wirings light
// the same lights in every state.
func sameLights(t *testing.T, a, b *wiring.Wiring) bool {
	t.Helper()
	looks := func(w *wiring.Wiring) []string {
		states, _, err := w.Net().States(nil)
		if err != nil {
			t.Fatal(err)
		}
		solver := w.Net().NewSolver()
		var out []string
		for s := range states {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			look := fmt.Sprint(v.Shorted())
			for r, x := range v.Supplies() {
				look += fmt.Sprintf(" %s %s", r, x.Status)
			}
			out = append(out, look)
		}
		return out
	}
	la, lb := looks(a), looks(b)
	if len(la) != len(lb) {
		return false
	}
	for mask := range la {
		same := true
		for n := range la {
			same = same && la[n] == lb[n^mask]
		}
		if same {
			return true
		}
	}
	return false
}

// ExampleJudge exchanges the travelers at one switch, which is right, and then the
// common with one of them, which is not.
func ExampleJudge() {
	j, err := shedJob()
	if err != nil {
		fmt.Println(err)
		return
	}
	judge, err := lab.NewJudge(context.Background(), j)
	if err != nil {
		fmt.Println(err)
		return
	}
	screw := func(terminal string) wiring.Joint { return wiring.Joint{Device: "stair", Terminal: terminal} }
	for _, other := range []string{"traveler 2", "common"} {
		w, err := j.Wiring.Apply(wiring.SwapTerminals{Box: "loft", A: screw("traveler 1"), B: screw(other)})
		if err != nil {
			fmt.Println(err)
			return
		}
		diff, err := judge.Compare(context.Background(), w)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("traveler 1 for %s: %d differences\n", other, len(diff))
	}
	// Output:
	// traveler 1 for traveler 2: 0 differences
	// traveler 1 for common: 6 differences
}
