package rules_test

import (
	"testing"

	"example.com/switchleg/conductor/rules"
)

func TestSpeaker(t *testing.T) {
	for _, r := range []struct{ why, region, text, want string }{
		{"every word of the trade", "uk-2018", "stair three-way, four-way, single-pole, a traveler, travelers, switch leg",
			"stair two-way, intermediate, one-way, a strapper, strappers, switched line"},
		{"the words at home", "us-2023", "three-way, four-way, single-pole, traveler, switch leg", "three-way, four-way, single-pole, traveler, switch leg"},
	} {
		region, err := rules.Load(r.region)
		if err != nil {
			t.Fatal(err)
		}
		if got := region.Wiring.Terms.Speaker()(r.text); got != r.want {
			t.Errorf("%s: %q, want %q", r.why, got, r.want)
		}
	}
	if got := new(rules.Terms).Speaker()("three-way and travelers"); got != "three-way and travelers" {
		t.Errorf("a region without words: %q", got)
	}
}
