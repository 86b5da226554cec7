package nettest

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
)

// The meter is what would find a solver that does not do what a kind says. Since
// the solver does, it is given a kind and a wrong account of it.
func TestMeterFindsWhatIsNotAsSaid(t *testing.T) {
	k := switchnet.ThreeWay()
	tests := []struct {
		why  string
		says func(position, a, b string) bool
		want int // faults
	}{
		{"the truth", func(p, a, b string) bool {
			i, _ := k.Position(p)
			return joins(k.Positions[i], a, b)
		}, 0},
		{"common to traveler 1 in both positions: wrong when down, dead and live from either end", func(p, a, b string) bool {
			return a == b || a != "traveler 2" && b != "traveler 2" || p == "down" && a != "traveler 1" && b != "traveler 1"
		}, 3},
		{"nothing ever joined: wrong in both positions", func(_, a, b string) bool { return a == b }, 6},
	}
	for _, test := range tests {
		var r Report
		r.meter(k, "", test.says)
		if len(r.Faults) != test.want {
			t.Errorf("%s: %d faults, want %d:\n%s", test.why, len(r.Faults), test.want, strings.Join(r.Faults, "\n"))
		}
	}
	bad := k.Clone()
	bad.Terminals[0] = ""
	var r Report
	if r.meter(bad, "", tests[0].says); len(r.Faults) != 1 || !strings.Contains(r.Faults[0], "cannot be put in a net") {
		t.Errorf("a kind that does not build gives %q", r.Faults)
	}
}
