package check_test

import (
	"testing"

	"example.com/switchleg/switchnet/check"
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
