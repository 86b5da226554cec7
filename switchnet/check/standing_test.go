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
		{"cases/stair-without-a-neutral", "new work", "no-neutral-at-switch", check.Unlawful},
		{"cases/stair-without-a-neutral-since-1990", "the rule came 21 years later", "no-neutral-at-switch", check.UnlawfulOnlyIfNew},
		{"cases/travelers-in-a-cable-of-their-own", "no metal is about it: the code may permit it", "unbalanced-cable", check.Defect},
		{"cases/travelers-alone-into-metal", "metal boxes: they heat", "unbalanced-cable", check.Hazardous},
		{"cases/wrong-since-built", "the lamp does not obey, and nobody is hurt", "does-not-toggle", check.Defect},
		{"cases/hot-and-neutral-on-the-throws", "it works, and the shell is live", "polarity-flips", check.Hazardous},
		{"cases/borrowed-neutral", "it works, and a neutral is live that is thought dead", "borrowed-neutral", check.Hazardous},
		{"codes/in-series/between-two-lines", "the night light gets nearly 240 V", "in-series", check.Hazardous},
		{"codes/in-series/two-lights-in-line", "dim, and nobody is hurt", "in-series", check.Defect},
		{"codes/two-circuits-one-light/a-three-way-chooses", "live with either breaker off", "two-circuits-one-light", check.Hazardous},
	} {
		x := readExample(t, "testdata/"+c.name+".yaml")
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
