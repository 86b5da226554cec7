package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// TestCapped holds that a wire under a cap is joined with nothing in its box, whether or
// not it was said where the others are: it is no conductor of a function that another
// one has there.
func TestCapped(t *testing.T) {
	spec := deadEnd(t)
	spec.Landings, spec.Splices = nil, nil
	s := newCase(t, spec, nil).Session()
	white := end("upper", "B1.white")
	before := s.Verdict(1).Classes
	if err := s.Observe(identify.InBox{Box: "upper", Capped: []wiring.Wire{white.Wire}}); err != nil {
		t.Fatal(err)
	}
	v := s.Verdict(100_000)
	if v.Classes == 0 || v.Classes >= before {
		t.Fatalf("%d classes, and %d before it was seen", v.Classes, before)
	}
	for _, f := range v.Fits {
		for _, u := range f.Ends {
			if u.End != white || len(u.Roles) != 1 || u.Roles[0].Role.Function == identify.Spare {
				continue
			}
			for _, o := range f.Ends {
				if o.End.Box == white.Box && o.End != white && len(o.Roles) == 1 && o.Roles[0].Role == u.Roles[0].Role && u.Roles[0].Role.Function != identify.Traveler && u.Roles[0].Role.Function != identify.Neutral {
					t.Fatalf("%v and %v are both %s, and one of them is capped", u.End, o.End, u.Roles[0].Role)
				}
			}
		}
	}
}
