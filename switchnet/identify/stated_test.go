package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
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

// TestLookKeepsToTheJob: where a box is to be looked into of which the job says something,
// every outcome that is listed has it, in wirings too in which the switch acts no longer.
func TestLookKeepsToTheJob(t *testing.T) {
	s := cottage(t, "lower", "upper")
	enter(t, s, "L1", "14/2", "lower", "panel")
	enter(t, s, "A1", "14/3", "lower", "upper")
	enter(t, s, "U2", "14/2", "upper", "ceiling")
	land(s, "lower", "stair", "common", "L1.black")
	land(s, "lower", "stair", "traveler 2", "A1.black")
	x := newCase(t, s, nil).Session()
	answers, err := x.Answers(identify.Test{Kind: identify.LookInBox, Box: "lower"})
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, a := range answers {
		o := a.Of.(identify.InBox)
		for _, want := range []identify.Screw{{Device: "stair", Terminal: "common", Wire: wire("L1.black")}, {Device: "stair", Terminal: "traveler 2", Wire: wire("A1.black")}} {
			if !slices.Contains(o.Screws, want) {
				t.Errorf("%v has not %v", o, want)
			}
			if slices.Contains(o.Capped, want.Wire) {
				t.Errorf("%v has %v under a cap", o, want.Wire)
			}
		}
		if seen[o.String()] {
			t.Errorf("%v is listed twice", o)
		}
		seen[o.String()] = true
		if err := x.Recall(o, 0); err != nil || x.Verdict(1).Status == trace.Contradiction {
			t.Errorf("%v is not taken: %v", o, err)
		}
		x.Undo()
	}
	if len(answers) < 2 {
		t.Errorf("%d outcomes", len(answers))
	}
}
