package check_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
)

// loop is a switch at the end of a loop without a neutral.
const loop = `format: 1
rules: us-2023
YEARfeeds: [{name: lights, box: panel, breaker: 15 A, protection: [arc-fault]}]
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 22.5 in3ROOM}
  - {name: slipway, kind: ceiling, volume: 34 in3}
lights: [{name: floodlight, box: slipway, load: 50 W}]
EXEMPTcables:
  - {name: C1, type: 14/2, from: panel, to: slipway}
  - {name: C2, type: 14/2, from: slipway, to: slip-door}
devices: [{name: slipway, box: slip-door, kind: single-pole}]
splices:
  - {box: slipway, join: [C1.bare, C2.bare, floodlight.ground]}
  - {box: slip-door, join: [C2.bare, slipway.ground]}
  - {box: slipway, join: [C1.black, C2.white]}
  - {box: slipway, join: [C1.white, floodlight.neutral]}
  - {box: slipway, join: [C2.black, floodlight.hot]}
landings:
  - {box: panel, device: lights, terminal: hot, wire: C1.black}
  - {box: panel, device: lights, terminal: neutral, wire: C1.white}
  - {box: panel, device: lights, terminal: ground, wire: C1.bare}
  - {box: slip-door, device: slipway, terminal: line, wire: C2.white}
  - {box: slip-door, device: slipway, terminal: load, wire: C2.black}
marks:
  - {box: slipway, wire: C2.white, as: red}
  - {box: slip-door, wire: C2.white, as: red}
`

// TestNeutralByTheYearOfItsCable holds that a switch is as old as the oldest cable on it.
func TestNeutralByTheYearOfItsCable(t *testing.T) {
	for year, want := range map[int]check.Standing{2010: check.UnlawfulOnlyIfNew, 2011: check.UnlawfulWhenInstalled} {
		text := strings.NewReplacer("YEAR", "installed: 1960\n", "ROOM", "", "EXEMPT", "",
			"from: slipway, to: slip-door", fmt.Sprintf("from: slipway, to: slip-door, installed: %d", year)).Replace(loop)
		f, j := read(t, "loop.yaml", []byte(text))
		n := 0
		for _, x := range run(t, j, check.Edition(f.Region)) {
			if x.Code == "no-neutral-at-switch" {
				if n++; x.Standing != want {
					t.Errorf("with a loop of %d in a house of 1960: %v, want %v", year, x.Standing, want)
				}
			}
		}
		if n != 1 {
			t.Errorf("with a loop of %d: %d findings", year, n)
		}
	}
}

// TestNeutralByItsDay holds how a switch without a neutral is to be taken by the year in
// which it was put in, its room and what is claimed for it: by the edition of its day, with
// the exemptions that this had.
func TestNeutralByItsDay(t *testing.T) {
	const found, only, old = "unlawful", "unlawful only if new", "unlawful when installed"
	for _, r := range []struct {
		region, room, claims string
		year                 int
		want                 string // the standing, or "doubt", or nothing
		why                  string
	}{
		{"us-2023", "", "", 0, found, "new, and nobody says in which room"},
		{"us-2023", "", "", 2010, only, "the year before the rule"},
		{"us-2023", "", "", 2011, old, "its first year"},
		{"us-2023", "", "", 2025, old, "later than the edition"},
		{"us-2023", "", "open cavity", 0, found, "an exemption of 2011 alone"},
		{"us-2023", "", "open cavity", 2011, only, "the edition of its day had it"},
		{"us-2023", "", "open cavity", 2013, only, "and was in force until the next"},
		{"us-2023", "", "open cavity", 2014, old, "which had it no more"},
		{"us-2023", "", "whole area seen", 2013, old, "not had yet"},
		{"us-2023", "", "whole area seen", 2014, only, "had in 2014"},
		{"us-2023", "", "whole area seen", 2016, only, "and until 2017"},
		{"us-2023", "", "whole area seen", 2017, old, "when one switch had to have it"},
		{"us-2023", "", "accessible box", 0, "", "had now"},
		{"us-2023", "", "accessible box", 2012, "", "what would be lawful if new is not found fault with"},
		{"us-2023", "hallway", "", 2012, old, "at first it held anywhere"},
		{"us-2023", "bedroom", "", 2010, only, "the year before the rule"},
		{"us-2023", "occupiable space", "", 2018, only, "a kind of room that came in 2020"},
		{"us-2023", "occupiable space", "", 2020, old, "its first year"},
		{"us-2023", "outdoors", "", 0, "", "no room at all"},
		{"us-2023", "crawl space", "", 0, "", "nobody lives there"},
		{"us-2023", "garage", "", 0, "doubt", "no place of the rule names it"},
		{"us-2023", "garage", "", 2010, "", "nor was anything demanded yet"},
		{"us-2023", "garage", "", 2012, "doubt", "it was then, and now nobody can say"},
		{"us-2023", "garage", "", 2018, "doubt", "the same by the edition of its day"},
		{"us-2023", "closet", "accessible box", 0, "", "an exemption settles it"},
		{"us-2017", "laundry", "", 0, "doubt", "the same in another edition"},
		{"us-2017", "kitchen", "", 0, found, "a room to cook in is habitable"},
	} {
		year, room, claims := "", "", ""
		if r.year > 0 {
			year = fmt.Sprintf("installed: %d\n", r.year)
		}
		if r.room != "" {
			room = ", room: " + r.room
		}
		if r.claims != "" {
			claims = "exemptions: [{box: slip-door, by: " + r.claims + "}]\n"
		}
		change := strings.NewReplacer("us-2023", r.region, "YEAR", year, "ROOM", room, "EXEMPT", claims)
		f, j := read(t, "loop.yaml", []byte(change.Replace(loop)))
		region, err := rules.Load(f.Rules)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		found, err := check.Run(t.Context(), j, check.Edition(region), &check.Options{NoFixes: true, Doubt: func(d check.Doubt) {
			if d.Code == "no-neutral-at-switch" && d.Place.Box == "slip-door" {
				got = "doubt"
			}
		}})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range found {
			if x.Code == "no-neutral-at-switch" {
				got += x.Standing.String()
			}
		}
		if got != r.want {
			t.Errorf("%s, room %q, installed %d, claims %q: %q, want %q: %s", r.region, r.room, r.year, r.claims, got, r.want, r.why)
		}
	}
}
