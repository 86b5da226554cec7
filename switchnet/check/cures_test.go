package check_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// TestCures holds wirings of which several things are found and one cure puts all right,
// where another would take one finding away and leave the wiring worse: every finding has
// the cure first, and when it is made nothing is left.
func TestCures(t *testing.T) {
	for _, c := range []struct {
		file, cure, why string
		findings        int
	}{
		{"neutrals-of-two-chains-made-one", "take C3.white and C5.white out of the splice in box loft and splice it apart",
			"with the white of one cable capped the other carries back for both, twice as far out of balance", 3},
		{"hot-and-neutral-exchanged-in-the-panel", "exchange what is on shed lights.hot and shed lights.neutral in box panel",
			"a white marked as a hot on its breaker would hide what is wrong", 7},
		{"neutral-and-ground-exchanged-in-the-panel", "exchange what is on shed lights.neutral and shed lights.ground in box panel",
			"with white and bare exchanged at the light, its current would be on the bares of all cables", 7},
		{"bare-as-a-traveler", "exchange the ends of C2.bare and C2.red in box loft, then exchange the ends of C2.bare and C2.red in box stair-foot, then splice C3.bare and C2.bare together in box loft, then splice C1.bare and C2.bare together in box stair-foot",
			"a bare that is a traveler no more is joined with the grounds, and capped nowhere", 2},
		{"bare-as-the-leg", "exchange the ends of C2.bare and C2.white in box slip-door, then exchange the ends of C2.bare and C2.white in box slipway, then exchange the ends of C2.white and C2.black in box slip-door, then exchange the ends of C2.white and C2.black in box slipway, then splice slipway.ground and C2.bare together in box slip-door, then splice C1.bare and C2.bare together in box slipway, then re-mark C2.white in box slip-door as red, then re-mark C2.white in box slipway as red",
			"the white may be the supply of the switch, marked, and not the return", 2},
		{"black-and-marked-white", "exchange the ends of C1.black and C1.white in box panel, then exchange the ends of C1.black and C1.white in box slipway, then take the marking off C1.white in box panel, then take the marking off C1.white in box slipway",
			"a neutral that stays marked as a hot is no cure", 1},
	} {
		x := readExample(t, "testdata/cures/"+c.file+".yaml")
		found, err := check.Run(t.Context(), x.job, x.suite, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(found) != c.findings {
			t.Errorf("%s: %d findings, want %d", c.file, len(found), c.findings)
		}
		for i := range found {
			f := &found[i]
			if len(f.Fixes) == 0 || f.Fixes[0].Does != c.cure {
				t.Errorf("%s, %s: %v\nwant %q first: %s", c.file, f.Code, fixes(f), c.cure, c.why)
			}
			holdFixes(t, &x, f, found)
		}
		p, err := check.Propose(t.Context(), x.job, x.suite, found, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Steps) != 1 || p.Steps[0].Fix.Does != c.cure || len(p.Left) > 0 {
			t.Errorf("%s: the proposal has %d steps and leaves %d findings", c.file, len(p.Steps), len(p.Left))
		}
	}
}

// TestCuresDoNoHarm holds what no cure of some findings may be, whatever else it does.
func TestCuresDoNoHarm(t *testing.T) {
	for _, c := range []struct {
		file      string
		code      check.Code
		want, not string // parts of the cures; none is wanted where want is empty
		why       string
	}{
		{"aluminum-on-device/switch-not-marked", "aluminum-on-device", "", "", "a twist of aluminum and copper burns: it is done by hand, with what is listed for both"},
		{"aluminum-on-device/receptacle-not-marked", "aluminum-on-device", "", "", "the same"},
		{"carries-too-much/two-of-three", "carries-too-much", "", "", "to put a lamp on another switch is not what is wanted"},
		{"too-little-load/one-or-the-other", "too-little-load", "", "", "nor is a dimmer that is none"},
		{"breaker-too-large/14-on-20", "breaker-too-large", "", "", "the breaker is changed by hand"},
		{"loose-end/bare-beside-another", "loose-end", "splice", "cap C3.bare", "a ground is joined with another, and not capped"},
		{"loose-end/bare-out-of-the-splice", "loose-end", "cap C3.bare", "splice", "there is no other"},
	} {
		x := readExample(t, codesDir+"/"+c.file+".yaml")
		found, err := check.Run(t.Context(), x.job, x.suite, nil)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, f := range found {
			if f.Code != c.code {
				continue
			}
			n++
			if (c.want == "") != f.ByHand || (c.want == "") != (len(f.Fixes) == 0) {
				t.Errorf("%s: by hand %v, %v; want %q: %s", c.file, f.ByHand, fixes(&f), c.want, c.why)
			}
			for _, fix := range f.Fixes {
				if !strings.Contains(fix.Does, c.want) || strings.Contains(fix.Does, c.not) {
					t.Errorf("%s: %q: %s", c.file, fix.Does, c.why)
				}
			}
		}
		if n == 0 {
			t.Errorf("%s: no %s", c.file, c.code)
		}
	}
}

// holdMoves holds that no fix joins a conductor with one thing and then with another: the
// first joint would be in vain, and may be a short.
func holdMoves(t *testing.T, fix *check.Fix) {
	t.Helper()
	moved := map[string]bool{}
	note := func(box string, j wiring.Joint) {
		k := fmt.Sprint(box, j)
		if moved[k] {
			t.Errorf("%q moves %v twice", fix.Does, j)
		}
		moved[k] = true
	}
	for _, e := range fix.Edits {
		switch e := e.(type) {
		case wiring.MoveLanding:
			note(e.End.Box, wiring.Joint{Wire: e.End.Wire})
		case wiring.JoinSplice:
			for _, j := range e.Join[1:] {
				note(e.Box, j)
			}
		}
	}
}

// TestNoCureCutsOff holds that no cure takes the supply from a receptacle.
func TestNoCureCutsOff(t *testing.T) {
	for _, name := range []string{"beside-the-light", "lamp-plugged-in"} {
		x := readExample(t, codesDir+"/dimmer-on-receptacle/"+name+".yaml")
		found, err := check.Run(t.Context(), x.job, x.suite, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(found) != 1 || len(found[0].Fixes) > 0 {
			t.Errorf("%s: %d findings, %v; every step that was tried would leave the outlet dead", name, len(found), fixes(&found[0]))
		}
	}
}

// TestCuresMarkWhatBecomesALine asks for safety alone, which has no rule on colours: a white
// that takes over what a bare carried is marked for it all the same.
func TestCuresMarkWhatBecomesALine(t *testing.T) {
	x := readExample(t, "testdata/cures/bare-as-the-leg.yaml")
	region := x.file.Region
	found, err := check.Run(t.Context(), x.job, check.Safety(region), nil)
	if err != nil {
		t.Fatal(err)
	}
	cures := 0
	for _, f := range found {
		for _, fix := range f.Fixes {
			cures++
			after := x.job
			if after.Wiring, err = x.job.Wiring.Apply(fix.Edits...); err != nil {
				t.Fatal(err)
			}
			for _, g := range run(t, after, check.Everything(region)) {
				if g.Code == "line-unmarked" {
					t.Errorf("%s: %q leaves it so that %s", f.Code, fix.Does, g.Message)
				}
			}
		}
	}
	if cures < 2 {
		t.Errorf("%d cures, want some of each finding", cures)
	}
}
