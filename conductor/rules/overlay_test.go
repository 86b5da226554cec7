package rules_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/strict"
)

const heading = "format: 1\nname: Harbor Township 2024\nsection: ordinance 12-4\n"

func overlay(body string) rules.Overlay {
	return rules.Overlay{Name: "town.yaml", Text: []byte(heading + body)}
}

func mustLoad(t testing.TB, id string, overlays ...rules.Overlay) *rules.Region {
	t.Helper()
	r, err := rules.Load(id, overlays...)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestOverlayAmends(t *testing.T) {
	for _, c := range []struct {
		name, body string
		check      func(r *rules.Region) bool
		why        string
	}{
		{"least size", "conductors:\n  least size: {size: 12 AWG}\n",
			func(r *rules.Region) bool {
				l := r.Conductor.LeastSize
				return l.Size == conductor.AWG(12) && l.Source.Section == "ordinance 12-4" && l.Source.Edition == ""
			}, "no 14 AWG here; a rule the region lacks may be added, and cites the overlay"},
		{"drop limit", "conductors:\n  drop limits: {branch circuit: {limit: 2 %, force: rule}}\n",
			func(r *rules.Region) bool {
				for _, l := range r.Conductor.DropLimits {
					if l.Use == "branch circuit" {
						return l.Limit == 2*quantity.Percent && l.Force == conductor.Binding && l.Source.Section == "ordinance 12-4"
					}
				}
				return false
			}, "an amended row cites the overlay"},
		{"one figure", "conductors:\n  small conductors: {copper: {ratings: {12 AWG: 15 A}}}\n",
			func(r *rules.Region) bool {
				amended, others := 0, 0
				for _, s := range r.Conductor.SmallConductors {
					if s.Material == conductor.Copper && s.Size == conductor.AWG(12) && s.MaxRating == 15*quantity.Ampere && s.Source.Section == "ordinance 12-4" {
						amended++
					}
					if s.Size == conductor.AWG(10) && s.Source.Section == "NEC 240.4(D)" {
						others++
					}
				}
				return amended == 1 && others == 3
			}, "the other figures of the group keep their section"},
		{"own section", "conductors:\n  next size up: {up to: 100 A, section: ordinance 7, confidence: medium}\n",
			func(r *rules.Region) bool {
				n := r.Conductor.NextSizeUp
				return n.UpTo == 100*quantity.Ampere && n.Source == conductor.Source{Section: "ordinance 7", Confidence: conductor.MediumConfidence}
			}, "an overlay may state the section of a rule, which is then of no edition of the code"},
		{"own edition", "conductors:\n  next size up: {up to: 100 A, section: ordinance 7, edition: 2024-05, confidence: medium}\n",
			func(r *rules.Region) bool { return r.Conductor.NextSizeUp.Source.Edition == "2024-05" }, "and its edition"},
		{"own box", "stock:\n  boxes:\n    deep one: {marked: 20.3 in3, gangs: 1, clamps: none, price: 3.15, labor: 8}\n",
			func(r *rules.Region) bool {
				for _, b := range r.Stock.Boxes {
					if b.Box.Name == "deep one" {
						return b.Price.String() == "3.15" && b.Labor.String() == "8" && b.Box.Section.Marked == quantity.CubicInch*203/10
					}
				}
				return false
			}, "own stock needs no section"},
		{"prices", "stock:\n  cables:\n    14/2: {price: 31 per 50 ft}\n    14/3: {price: 0.93 per ft, labor: 1.1 per m}\n",
			func(r *rules.Region) bool {
				for _, c := range r.Stock.Cables {
					if c.Type.Name == "14/2" {
						a, ok := c.Price.For(25 * quantity.Foot)
						return ok && a.String() == "15.5" && !c.Labor.Known()
					}
				}
				return false
			}, "price and labor weights"},
		{"supplies", "stock:\n  supplies:\n    wire tag: {labor: 0.5}\n    device three-way: {price: 3.1, labor: 12}\n",
			func(r *rules.Region) bool {
				s := r.Stock.Supplies
				return len(s) == 2 && s[0].Name == "device three-way" && s[0].Price.String() == "3.1" && s[1].Price == 0 && s[1].Labor.String() == "0.5"
			}, "what is counted by the piece has prices too, and stands in name order"},
		{"left out", "stock:\n  cables: {12/4: left out}\nwiring:\n  rules: {bend radius: left out}\n",
			func(r *rules.Region) bool {
				for _, c := range r.Stock.Cables {
					if c.Type.Name == "12/4" {
						return false
					}
				}
				_, ok := r.Wiring.Rule(rules.BendRadius)
				return !ok
			}, "a named entry can be taken out"},
		{"protection", "conductors: {protection: {ground-fault in garages: {demand: required, outlets: lights, breakers up to: 30 A, volts up to: 250 V, since: 2021}}}\n",
			func(r *rules.Region) bool {
				i := slices.IndexFunc(r.Conductor.Protections, func(p conductor.Protection) bool {
					return p.Location == "garage" && p.Kind == conductor.GroundFault && p.Source.Section == "ordinance 12-4"
				})
				if i < 0 {
					return false
				}
				p := r.Conductor.Protections[i]
				return p.Demand == conductor.Required && p.Outlets == conductor.LightingOutlets && p.Breaker == 30*quantity.Ampere && p.Volts == 250*quantity.Volt && p.Since == 2021
			}, "a demand may be put on other outlets and circuits"},
		{"cautions", "cautions: [Call the harbor office first.]\n",
			func(r *rules.Region) bool {
				return len(r.Cautions) == 4 && r.Cautions[3] == "Call the harbor office first."
			}, "cautions are added, never replaced"},
	} {
		r, err := rules.Load("us-2023", overlay(c.body))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if !c.check(r) {
			t.Errorf("%s: %s", c.name, c.why)
		} else if len(r.Amendments) != 1 || r.Amendments[0] != "Harbor Township 2024" {
			t.Errorf("%s: amendments %q", c.name, r.Amendments)
		}
	}
}

// TestOverlayOrder: a later overlay prevails.
func TestOverlayOrder(t *testing.T) {
	a, b := overlay("conductors: {least size: {size: 12 AWG}}\n"), overlay("conductors: {least size: {size: 10 AWG}}\n")
	if got := mustLoad(t, "us-2017", a, b).Conductor.LeastSize.Size; got != conductor.AWG(10) {
		t.Errorf("least size %s", got)
	}
	if got := mustLoad(t, "us-2017", b, a).Conductor.LeastSize.Size; got != conductor.AWG(12) {
		t.Errorf("least size %s", got)
	}
}

// wrongOverlays gives the first line of every message, in order.
var wrongOverlays = []struct {
	why, text string
	want      []string
}{
	{"an overlay says whose it is", "format: 1\n",
		[]string{`town.yaml:1:1: an overlay has no "name"; expected the name of the amendments, such as Harbor Township 2024; add name: …`}},
	{"the format is versioned from the first day", "format: 2\nname: x\n",
		[]string{`town.yaml:1:9: "2" is not a version of this format; expected 1`}},
	{"a region's heading is not an overlay's", heading + "id: us-2024\n",
		[]string{`town.yaml:4:1: "id" belongs to a region file; expected an overlay, which names itself with 'name'; take it out; to make a region of its own, copy a region file`}},
	{"an overlay may be meant for other regions", heading + "for: [ca, us-2020]\n",
		[]string{`town.yaml:4:6: these amendments are not for "us-2023"; expected ca or us-2020; load them with that region, or add this one`}},
	{"a misspelt section of the file", heading + "stok: {}\n",
		[]string{`town.yaml:4:1: "stok" is not a key of a region file; expected conductors, box fill, wiring, stock or refused; did you mean "stock"?`}},
	{"a misspelt group would be a lost amendment", heading + "conductors: {drop limits: {branch circut: {limit: 2 %, force: rule}}}\n",
		[]string{`town.yaml:4:28: the region has no "branch circut" to amend; expected branch circuit, feeder, feeder and branch circuit; did you mean "branch circuit"?`}},
	{"a misspelt field", heading + "conductors: {drop limits: {branch circuit: {limt: 2 %}}}\n",
		[]string{`town.yaml:4:45: "limt" is not a key of a limit of voltage drop; expected section, confidence, edition, limit, force, long run, each meter beyond or at most; did you mean "limit"?`}},
	{"what outlets a demand is on, and of which circuits", heading + "conductors: {protection: {ground-fault: {outlets: lamps, breakers up to: 20, volts up to: high, since: long}}}\n",
		[]string{`town.yaml:4:51: "lamps" is not a kind of outlet; write one of receptacles, lights; expected receptacles or lights`,
			`town.yaml:4:74: current "20": has no unit; write a number and a unit (A, mA, uA, kA), such as "15 A"; expected a current such as 15 A`,
			`town.yaml:4:91: voltage "high": does not start with a number; write a number and a unit (V, mV, uV, kV), such as "120 V"; expected a voltage such as 125 V`,
			`town.yaml:4:104: "long" is not the year of an edition, such as 2023; expected the year of an edition, such as 2017`}},
	{"nothing of that name to take out", heading + "stock: {cables: {14/6: left out}}\n",
		[]string{`town.yaml:4:18: there is no "14/6" to take out; expected 14/2, 14/3, 14/4, 14/2/2, 12/2, 12/3, 12/4 or 12/2/2; did you mean "14/2"?`}},
	{"a quantity needs its unit", heading + "conductors: {next size up: {up to: 800}}\n",
		[]string{`town.yaml:4:36: current "800": has no unit; write a number and a unit (A, mA, uA, kA), such as "15 A"; expected a current such as 15 A`}},
	{"a bare size says nothing", heading + "conductors: {least size: {size: 12}}\n",
		[]string{`town.yaml:4:33: conductor size "12": write "14 AWG", "1/0 AWG", "250 kcmil" or "1.5 mm2"; expected a conductor size such as 14 AWG or 1.5 mm2`}},
	{"two complaints in file order", heading + "wiring: {rules: {bend radius: {says: requird, since: 2020, until: 2010}}}\n",
		[]string{`town.yaml:4:38: "requird" is not what a rule says; expected required, permitted, forbidden or not required; did you mean "required"?`,
			`town.yaml:4:67: it ends before it begins; expected a year from since on`, `town.yaml:4:54: begins here`}},
	{"a box without a volume", heading + "stock: {boxes: {own: {gangs: 1}}}\n",
		[]string{`town.yaml:4:22: the box has no volume; expected a type of the region's table, or marked: 20.3 in3`}},
	{"a cable under two names", heading + "stock: {cables: {14/2: {}, 14/2 nonmetallic: {}}}\n",
		[]string{`town.yaml:4:28: the cable 14/2 is there twice; expected each cable once; keep one of the two`, `town.yaml:4:18: first here`}},
	{"a cable that is not made", heading + "stock: {cables: {15/2: {}}}\n",
		[]string{`town.yaml:4:18: cable type "15/2": "15/2" is no cable: a gauge (14, 12, 10, 8, 6, 4 or 2) and 2, 3, 4 or 2/2 conductors; write for example 14/3, 12/2 metal-clad, 14/2 without ground, 1.5 mm2 twin and earth, or loose 14 AWG 90 C black white green; expected a cable such as 14/3 or 1.5 mm2 twin and earth`}},
	{"a price per length", heading + "stock: {cables: {14/2: {price: 3}}}\n",
		[]string{`town.yaml:4:32: rate "3": write an amount for a length, such as 0.62 per ft or 31 per 50 m; expected a rate such as 0.62 per ft`}},
	{"a piece has no length", heading + "stock: {supplies: {staple: {price: 3 per ft}}}\n",
		[]string{`town.yaml:4:36: amount "3 per ft": write a number from 0 to 9000000000 with at most six decimals, such as 0.62; expected a number such as 4.25`}},
	{"a figure that falls where it must rise", heading + "conductors: {ampacities: {copper at 60 C: {currents: {12 AWG: 1 A}}}}\n",
		[]string{`us-2023.yaml with town.yaml: conductor table "us-2023" is unsound:`, `ampacity of 12 AWG copper at 60 C: is below that of a smaller size`}},
	{"two volumes in one column", heading + "box fill: {allowances: {conductors: {volumes: {14 AWG: [2 in3, 3 in3]}}}}\n",
		[]string{`town.yaml:4:64: a second volume in the same column; expected a list of volumes, at most one in in3 and one in mL`}},
	{"not YAML", heading + "stock: {cables: [\n",
		[]string{`town.yaml:4:18: a value is missing; expected a value before the comma or bracket; remove the comma or add the value`}},
}

func TestWrongOverlays(t *testing.T) {
	for _, c := range wrongOverlays {
		r, err := rules.Load("us-2023", rules.Overlay{Name: "town.yaml", Text: []byte(c.text)})
		if err == nil || r != nil {
			t.Errorf("%s: no error, or a region with it", c.why)
			continue
		}
		if got := messages(err); strings.Join(got, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("%s: got\n%s\nwant\n%s", c.why, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}

// TestMisspeltOnce wants a misspelt key of each section told, and told once.
func TestMisspeltOnce(t *testing.T) {
	_, err := rules.Load("us-2023", overlay("conductors: {bundlng: {}}\nbox fill: {colum: inch}\nwiring: {color: {}}\nstock: {cable: {}}\n"))
	got := messages(err)
	want := []string{`"bundlng" is not a key`, `"colum" is not a key`, `"color" is not a key`, `"cable" is not a key`}
	if len(got) != len(want) {
		t.Fatalf("%d messages, want %d:\n%v", len(got), len(want), err)
	}
	for i := range want {
		if !strings.Contains(got[i], want[i]) {
			t.Errorf("%s: want %s", got[i], want[i])
		}
	}
}

// messages returns the lines of an error that are no excerpts.
func messages(err error) []string {
	var list []string
	for line := range strings.SplitSeq(err.Error(), "\n") {
		if len(line) > 7 && line[7] == '|' {
			continue
		}
		list = append(list, line)
	}
	return list
}

func TestUnknownRegion(t *testing.T) {
	_, err := rules.Load("us-2021")
	const want = `rules: no region "us-2021"; known are ca, uk-2018, us-2017, us-2020, us-2023; did you mean "us-2020"?`
	if err == nil || err.Error() != want {
		t.Errorf("%v", err)
	}
	if r, err := rules.Load(""); err == nil || r != nil {
		t.Error("an empty id is a region")
	}
}

// TestProblemsAreData wants the errors of every file to be found as such.
func TestProblemsAreData(t *testing.T) {
	_, err := rules.Load("us-2023", overlay("stok: 1\n"), overlay("conductors: 1\n"))
	var es *strict.Errors
	if !errors.As(err, &es) || len(es.List) != 1 || es.List[0].Line != 4 {
		t.Errorf("%v", err)
	}
	if !strings.Contains(err.Error(), "conductors: 1") {
		t.Errorf("the second overlay is not complained about: %v", err)
	}
}

const shore = `format: 1
id: shore-1
title: The shore
code: Shore rules
edition: 1
source: made up for a test
cautions: [No one lives by these rules.]
`

func TestLoadFS(t *testing.T) {
	fsys := fstest.MapFS{
		"shore-1.yaml":    {Data: []byte(shore + "extends: us-2020\n")},
		"shore-2.yaml":    {Data: []byte(strings.Replace(shore, "shore-1", "shore-2", 1) + "extends: us-2023\nwiring: {terms: {traveler: runner}}\n")},
		"shore-3.yaml":    {Data: []byte(shore)},
		"shore-4.yaml":    {Data: []byte(strings.Replace(shore, "shore-1", "shore-4", 1) + "extends: us-1066\n")},
		"shore-5.yaml":    {Data: []byte(strings.Replace(shore, "shore-1", "shore-5", 1) + "box fill: {column: metric}\n")},
		"notes/text.yaml": {Data: []byte("x")},
	}
	for _, c := range []struct{ id, want, why string }{
		{"shore-1", "shore-1.yaml:8:10: us-2020 itself extends us-2023; expected a region that states everything itself; extend us-2023 and state the differences from it",
			"one step only, so that a reader finds every number in at most two files"},
		{"shore-2", "", "a region of the user may extend one that is shipped"},
		{"shore-3", `rules: the file shore-3.yaml has the id "shore-1"; name the file by its id, or give it the id shore-3`, "the file is found by its id"},
		{"shore-4", "shore-4.yaml:8:10: there is no region \"us-1066\" to extend; expected ca, shore-1, shore-2, shore-3, shore-4, shore-5, uk-2018, us-2017, us-2020, us-2023",
			"the known ones are listed"},
		{"shore-5", "", "a region without a rule of its own is sound"},
	} {
		r, err := rules.LoadFS(fsys, c.id)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v (%s)", c.id, err, c.why)
		case c.want != "" && (err == nil || strings.Join(messages(err), "\n") != c.want):
			t.Errorf("%s: %v (%s)", c.id, err, c.why)
		case c.id == "shore-2":
			s := r.Wiring.Terms
			if s.Traveler != "runner" || s.ThreeWay.Word != "three-way" || s.Source.Edition != "1" || r.Conductor.Region != "shore-2" {
				t.Errorf("%+v", s)
			}
		}
	}
	var list []string
	for _, info := range rules.RegionsFS(fsys) {
		list = append(list, info.ID)
	}
	if got := strings.Join(list, " "); got != "shore-1 shore-2 shore-4 shore-5" {
		t.Errorf("regions %s", got)
	}
}

func TestRegions(t *testing.T) {
	want := []string{"ca", "uk-2018", "us-2017", "us-2020", "us-2023"}
	for i, info := range rules.Regions() {
		if info.ID != want[i] || info.Title == "" || info.Code == "" || info.Edition == "" || info.Source == "" {
			t.Errorf("%+v, want %s", info, want[i])
		}
		joined := strings.Join(info.Cautions, " ")
		if !strings.Contains(joined, "prevail") || !strings.Contains(joined, "no substitute") {
			t.Errorf("%s does not say that amendments prevail and that it is no substitute: %s", info.ID, joined)
		}
	}
	if len(rules.Regions()) != len(want) {
		t.Error("not the regions expected")
	}
}

// TestElsewhere wants the regions named by a file to have what it lacks.
func TestElsewhere(t *testing.T) {
	named := 0
	for _, info := range rules.Regions() {
		r := mustLoad(t, info.ID)
		for _, e := range r.Conductor.Elsewhere {
			for _, id := range e.Regions {
				named++
				if has(&mustLoad(t, id).Conductor, e.Rule) == has(&r.Conductor, e.Rule) {
					t.Errorf("%s names %s for %s", r.ID, id, e.Rule)
				}
			}
		}
		for _, e := range r.Box.Elsewhere {
			for _, id := range e.Regions {
				named++
				if countsItem(&mustLoad(t, id).Box, e.Item) == countsItem(&r.Box, e.Item) {
					t.Errorf("%s names %s for %s", r.ID, id, e.Item)
				}
			}
		}
	}
	if named == 0 {
		t.Error("nothing was looked at")
	}
}
