package check_test

import (
	"encoding/json"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
)

// TestTwoCircuitsOneYokeByRegion holds that two circuits on one yoke are found where the
// region forbids it, or where none is named, and in doubt elsewhere.
func TestTwoCircuitsOneYokeByRegion(t *testing.T) {
	x := readExample(t, codesDir+"/two-circuits-one-yoke/two-devices-on-a-strap.yaml")
	for _, r := range []struct {
		region        string
		found, doubts int
	}{{"us-2017", 1, 0}, {"us-2023", 1, 0}, {"ca", 0, 1}, {"", 1, 0}} {
		var region *rules.Region
		if r.region != "" {
			var err error
			if region, err = rules.Load(r.region); err != nil {
				t.Fatal(err)
			}
		}
		doubts, n := 0, 0
		found, err := check.Run(t.Context(), x.job, check.Safety(region), &check.Options{NoFixes: true, Doubt: func(d check.Doubt) {
			if d.Code == "two-circuits-one-yoke" {
				doubts++
			}
		}})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			if f.Code == "two-circuits-one-yoke" {
				n++
			}
		}
		if n != r.found || doubts != r.doubts {
			t.Errorf("by the rules of %q: %d found and %d in doubt, want %d and %d", r.region, n, doubts, r.found, r.doubts)
		}
	}
}

// TestWitnessNamesBreakers holds that a state with a breaker off says so, in words and in
// JSON.
func TestWitnessNamesBreakers(t *testing.T) {
	x := readExample(t, codesDir+"/two-circuits-one-light/a-three-way-chooses.yaml")
	for _, f := range run(t, x.job, x.suite) {
		if len(f.Witness) != 2 || f.Witness[0].Says != "yard lights off, slip-door up" || f.Witness[1].Says != "shed lights off, slip-door down" {
			t.Errorf("%s: %v", f.Code, witnesses(&f))
		}
		text, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{
			`[{"box":"panel","device":"yard lights","position":"off"},{"box":"slip-door","device":"slipway","position":"up"}]`,
			`[{"box":"panel","device":"shed lights","position":"off"},{"box":"slip-door","device":"slipway","position":"down"}]`,
		} {
			if !strings.Contains(string(text), want) {
				t.Errorf("%s lacks %s", text, want)
			}
		}
	}
}
