package check_test

import (
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestStandings holds how the findings of wirings that differ in age or make are to be
// taken.
func TestStandings(t *testing.T) {
	for _, c := range []struct {
		name, why string
		code      check.Code
		want      check.Standing
	}{
		{"stair-without-a-neutral", "new work", "no-neutral-at-switch", check.Unlawful},
		{"stair-without-a-neutral-since-1990", "the rule came 21 years later", "no-neutral-at-switch", check.UnlawfulOnlyIfNew},
		{"travelers-in-a-cable-of-their-own", "no metal is about it: the code may permit it", "unbalanced-cable", check.Defect},
		{"travelers-alone-into-metal", "metal boxes: they heat", "unbalanced-cable", check.Hazardous},
		{"wrong-since-built", "the lamp does not obey, and nobody is hurt", "does-not-toggle", check.Defect},
		{"hot-and-neutral-on-the-throws", "it works, and the shell is live", "polarity-flips", check.Hazardous},
		{"borrowed-neutral", "it works, and a neutral is live that is thought dead", "borrowed-neutral", check.Hazardous},
	} {
		x := readExample(t, "testdata/cases/"+c.name+".yaml")
		n := 0
		for _, f := range run(t, x.job, x.suite) {
			if f.Code == c.code {
				n++
				if f.Standing != c.want {
					t.Errorf("%s: %s is %v, want %v: %s", c.name, f.Code, f.Standing, c.want, c.why)
				}
			}
		}
		if n == 0 {
			t.Errorf("%s: no %s", c.name, c.code)
		}
	}
}
