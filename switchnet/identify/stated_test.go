package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// TestStated: nobody is sent to look into a box of which the job says all there is to see,
// though a switch that acts no longer might hold anything; into one of which it leaves a
// conductor out they are.
func TestStated(t *testing.T) {
	for _, all := range []bool{true, false} {
		s := cottage(t, "lower", "upper")
		enter(t, s, "L1", "14/2", "lower", "panel")
		enter(t, s, "A1", "14/3", "lower", "upper")
		enter(t, s, "U2", "14/2", "upper", "ceiling")
		splice(s, "lower", "L1.white", "A1.white")
		land(s, "lower", "stair", "common", "L1.black")
		land(s, "lower", "stair", "traveler 1", "A1.black")
		if all {
			s.Caps = append(s.Caps, wiring.Cap{Box: "lower", Wire: wire("A1.red")})
		}
		x := newCase(t, s, nil).Session()
		tests, err := identify.Candidates(t.Context(), x)
		if err != nil {
			t.Fatal(err)
		}
		looks := map[string]bool{}
		for _, y := range tests {
			if y.Kind == identify.LookInBox {
				looks[y.Box] = true
			}
		}
		if looks["lower"] == all || !looks["upper"] {
			t.Errorf("all of it stated: %v; to be looked into: %v", all, looks)
		}
	}
}
