package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// stairOfTwo is a stair with one cable below, its white on the common, and three above,
// as somebody found it.
func stairOfTwo(t testing.TB) *wiring.Spec {
	s := cottage(t, "lower", "upper")
	enter(t, s, "A1", "14/3", "lower", "")
	enter(t, s, "B1", "14/3", "upper", "")
	enter(t, s, "B2", "14/2", "upper", "")
	enter(t, s, "B3", "14/2", "upper", "")
	land(s, "lower", "stair", "common", "A1.white")
	land(s, "lower", "stair", "traveler 1", "A1.black")
	land(s, "lower", "stair", "traveler 2", "A1.red")
	land(s, "upper", "stair", "common", "B2.black")
	land(s, "upper", "stair", "traveler 1", "B1.black")
	land(s, "upper", "stair", "traveler 2", "B1.red")
	splice(s, "upper", "B1.white", "B3.black")
	splice(s, "upper", "B2.white", "B3.white")
	return s
}

// has returns whether a role is in a box.
func has(t testing.TB, s *identify.Session, box string, fn identify.Function, of string) identify.Surety {
	t.Helper()
	in, err := s.In(box)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range in.Has {
		if p.Role == (identify.Role{Function: fn, Of: of}) {
			return p.Is
		}
	}
	t.Fatalf("box %s says nothing of %v", box, fn)
	return 0
}

// TestWhiteOnCommon: the sheaths and what is landed leave the dead end with a white hot,
// and the same with feed and light exchanged; no neutral is likely below.
func TestWhiteOnCommon(t *testing.T) {
	c := newCase(t, stairOfTwo(t), &identify.Options{Schemes: []identify.Scheme{identify.Chain}, Unusual: -1})
	s := c.Session()
	v := s.Verdict(0)
	if v.Possibilities != 2 {
		t.Fatalf("%d possibilities remain, want the feed in B3 and the light on B2, or the other way", v.Possibilities)
	}
	if got := v.Fits[0].Ends[0].Roles[0].Role; v.Fits[0].Ends[0].End != end("lower", "A1.black") || got.Function != identify.Traveler {
		t.Errorf("%v", v.Fits[0].Ends[0])
	}
	if got := v.Fits[0].Ends[1].Roles[0].Role; got != (identify.Role{Function: identify.ConstantHot, Of: "stair"}) {
		t.Errorf("the white is likeliest a %v, want a constant hot: a switch leg is never on a white", got)
	}
	if got := has(t, s, "lower", identify.Neutral, "stair"); got != identify.Never {
		t.Errorf("a neutral is %v in the dead end", got)
	}
	for _, fn := range []identify.Function{identify.ConstantHot, identify.Neutral, identify.SwitchLeg, identify.Traveler} {
		if got := has(t, s, "upper", fn, "stair"); got != identify.Surely {
			t.Errorf("a %v is %v in the upper box", fn, got)
		}
	}
}
