package rules_test

import (
	"testing"

	"example.com/switchleg/conductor/rules"
)

// TestNeutralIn holds where an edition wants a neutral at a switch, where not, and where
// the region does not say.
func TestNeutralIn(t *testing.T) {
	for _, r := range []struct {
		region, room string
		year         int
		holds, known bool
		why          string
	}{
		{"us-2023", "bedroom", 2008, false, true, "no rule yet"},
		{"us-2023", "crawl space", 2011, true, true, "at first it held anywhere"},
		{"us-2023", "garage", 2014, true, true, "and still, but for rooms that nobody dwells in, which is an exemption"},
		{"us-2023", "bedroom", 2017, true, true, "a bedroom is a habitable room"},
		{"us-2023", "bathroom", 2017, true, true, "named"},
		{"us-2023", "occupiable space", 2017, false, true, "named in 2020 only"},
		{"us-2023", "occupiable space", 2020, true, true, "named"},
		{"us-2023", "garage", 2017, false, false, "no place names it"},
		{"us-2023", "closet", 2023, false, false, "nor this"},
		{"us-2023", "outdoors", 2023, false, true, "no room at all"},
		{"us-2023", "crawl space", 2017, false, true, "nobody lives there"},
		{"us-2017", "bedroom", 2017, true, true, "taken over by the older edition"},
		{"ca", "garage", 2024, true, true, "at every place that controls a luminaire"},
	} {
		region, err := rules.Load(r.region)
		if err != nil {
			t.Fatal(err)
		}
		holds, known := region.Wiring.Neutral.In(r.room, r.year)
		if holds != r.holds || known != r.known {
			t.Errorf("%s, %s in %d: %v, known %v; want %v, %v: %s", r.region, r.room, r.year, holds, known, r.holds, r.known, r.why)
		}
	}
}

// TestNeutralEdition holds by which edition a neutral at a switch is judged in a year.
func TestNeutralEdition(t *testing.T) {
	region, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	for year, want := range map[int]int{1990: 1990, 2010: 2010, 2011: 2011, 2012: 2011, 2013: 2011, 2014: 2014, 2016: 2014, 2017: 2017, 2019: 2017, 2020: 2020, 2022: 2020, 2026: 2020} {
		if got := region.Wiring.Neutral.Edition(year); got != want {
			t.Errorf("in %d by the edition of %d, want %d", year, got, want)
		}
	}
}
