package draw

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// TestTruthRandom compares the strips of any wiring with states solved one by one.
func TestTruthRandom(t *testing.T) {
	strips := 0
	for seed := range uint64(200) {
		choose := seeded(seed)
		if truthLaws(t, drawWiring(t, choose, ordinary), choose) {
			strips++
		}
	}
	// Of the fixed seeds.
	if strips < 50 {
		t.Errorf("%d strips of 200 wirings; the test means little below 50", strips)
	}
	rapid.Check(t, func(rt *rapid.T) {
		choose := choices(rt)
		truthLaws(rt, drawWiring(rt, choose, ordinary), choose)
	})
}

func truthLaws(t tester, w *wiring.Wiring, choose func(n int) int) bool {
	t.Helper()
	g := everything(w, choose)
	if len(g.Lights) == 0 || len(g.Switches) == 0 {
		return false
	}
	d := New(w)
	for _, width := range []int{Phone, Page} {
		p, err := d.Truth(ctx(), g, &Options{Width: width})
		if err != nil {
			t.Fatal(err)
		}
		wantClean(t, p)
	}
	tr, err := d.truth(ctx(), &g)
	if err != nil {
		t.Fatal(err)
	}
	if len(tr.settings) == 0 {
		if tr.total.Int64() <= TruthLimit {
			t.Errorf("%s settings are not listed", tr.total)
		}
		return false
	}
	seen := map[string]bool{}
	lit := make([]int, len(g.Lights))
	solver := w.Net().NewSolver()
	var before []int
	for _, s := range tr.settings {
		state := w.Net().Rest()
		moved := 0
		for k, dev := range tr.switches {
			if state, err = state.With(dev.Ref, dev.Kind.Positions[s.positions[k]].Name); err != nil {
				t.Fatal(err)
			}
			if before != nil {
				moved += abs(s.positions[k] - before[k])
			}
		}
		if before != nil && moved != 1 {
			t.Errorf("from %v to %v more or less than one handle moves by one position", before, s.positions)
		}
		before = s.positions
		seen[fmt.Sprint(s.positions)] = true
		view, err := solver.Solve(state)
		if err != nil {
			t.Fatal(err)
		}
		for k, l := range g.Lights {
			supply, _ := view.Supply(l)
			if supply.Status != s.status[k] {
				t.Errorf("%s is %s in %v; the strip says %s", l, supply.Status, s.positions, s.status[k])
			}
			if supply.Status == switchnet.Lit {
				lit[k]++
			}
		}
		if view.Shorted() != s.shorted {
			t.Errorf("shorted in %v: %t, the strip says %t", s.positions, view.Shorted(), s.shorted)
		}
	}
	if int64(len(seen)) != tr.total.Int64() {
		t.Errorf("%d settings of %s are listed", len(seen), tr.total)
	}
	for k, l := range tr.lights {
		if want := fmt.Sprintf("lit in %d of %d settings", lit[k], len(seen)); strings.Contains(l.says, "lit in") && !strings.Contains(l.says, want) {
			t.Errorf("%s: %q; want %q", l.light, l.says, want)
		}
	}
	return true
}

// TestTruthOfMany sums up a chain of which nobody wants every setting.
func TestTruthOfMany(t *testing.T) {
	w, g := long(t, 40)
	p, err := New(w).Truth(ctx(), g, nil)
	if err != nil {
		t.Fatal(err)
	}
	wantClean(t, p)
	if want := "each of the 40 places changes it from every setting; lit in half of all settings"; !strings.Contains(p.Description(), want) {
		t.Errorf("no %q in %q", want, p.Description())
	}
}

// TestTruthShorts wants a row that marks the settings with a short, and none where there
// is none.
func TestTruthShorts(t *testing.T) {
	w, g := long(t, 3)
	tied, err := w.Apply(wiring.TieJoints{Box: "place-02", A: wiring.Joint{Wire: wiring.Wire{Cable: "C2", Conductor: "red"}}, B: wiring.Joint{Wire: wiring.Wire{Cable: "C3", Conductor: "white"}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		w      *wiring.Wiring
		shorts int
	}{{w, 0}, {tied, 4}} {
		p, err := New(r.w).Truth(ctx(), g, nil)
		if err != nil {
			t.Fatal(err)
		}
		rows := 0
		for _, l := range p.scene.labels {
			if l.text == "short" {
				rows++
			}
		}
		if (rows > 0) != (r.shorts > 0) || strings.Count(p.Description(), ", short.") != r.shorts {
			t.Errorf("%d rows of shorts and %d settings; want %d settings", rows, strings.Count(p.Description(), ", short."), r.shorts)
		}
	}
}

// TestTruthMark wants a mark wherever a handle moves and the light stays as it was, and
// none in a chain that is right.
func TestTruthMark(t *testing.T) {
	w, g := long(t, 3)
	count := func(w *wiring.Wiring) int {
		tr, err := New(w).truth(ctx(), &g)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for i := range tr.settings {
			if tr.unchanged(i, 0) {
				n++
			}
		}
		return n
	}
	if n := count(w); n != 0 {
		t.Errorf("%d marks in a chain that is right", n)
	}
	// The common and a traveler exchanged at the first place: lit in 2 of 8.
	bad, err := w.Apply(wiring.SwapLandings{Box: "place-00", A: wiring.Wire{Cable: "C0", Conductor: "black"}, B: wiring.Wire{Cable: "C1", Conductor: "red"}})
	if err != nil {
		t.Fatal(err)
	}
	if n := count(bad); n < 4 {
		t.Errorf("%d marks in a chain with the common and a traveler exchanged", n)
	}
}
