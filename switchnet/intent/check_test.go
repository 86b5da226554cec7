package intent_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// shed is a part of the boat shed: two aisle lights from two doors, and a floodlight.
func shed() intent.Intent {
	box := func(name string, kind wiring.BoxKind) wiring.Box { return wiring.Box{Name: name, Kind: kind} }
	return intent.Intent{
		Supply: switchnet.SplitPhase(),
		Feeds:  []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{box("panel", wiring.Panel), box("slip-door", wiring.DeviceBox), box("yard-door", wiring.DeviceBox),
			box("aisle-1", wiring.CeilingBox), box("aisle-2", wiring.CeilingBox), box("slipway", wiring.CeilingBox)},
		Lights: []wiring.Light{{Name: "aisle light 1", Box: "aisle-1"}, {Name: "aisle light 2", Box: "aisle-2"}, {Name: "floodlight", Box: "slipway"}},
		Runs: []intent.Run{
			{From: "panel", To: "slip-door", Length: 22 * quantity.Foot}, {From: "slip-door", To: "yard-door", Length: 31 * quantity.Foot},
			{From: "yard-door", To: "aisle-2", Length: 12 * quantity.Foot}, {From: "aisle-2", To: "aisle-1", Length: 12 * quantity.Foot},
			{From: "slip-door", To: "slipway", Length: 9 * quantity.Foot}},
		Controls: []intent.Control{
			{Name: "aisle", Lights: []string{"aisle light 1", "aisle light 2"}, Places: []string{"slip-door", "yard-door"}},
			{Name: "floodlight switch", Lights: []string{"floodlight"}, Places: []string{"slip-door"}}},
		Needs:  []intent.Need{{Box: "yard-door", Kind: intent.NeutralOnly}, {Box: "slipway", Kind: intent.UnswitchedPower, Feed: "shed lights", For: "a winch"}},
		Stairs: []intent.Stair{{Name: "loft stair", Risers: 14, Levels: []string{"slip-door", "yard-door"}, Lights: []string{"aisle light 2"}}},
	}
}

func cable(kind string) conductor.CableType {
	t, err := conductor.ParseCableType(kind)
	if err != nil {
		panic(err)
	}
	return t
}

const boxes = "known: aisle-1, aisle-2, panel, slip-door, slipway, yard-door"

// mistakes are contradictions put into the shed, with what is said of each.
var mistakes = []struct {
	why  string
	in   func(in *intent.Intent)
	want string
}{
	{"what package wiring refuses", func(in *intent.Intent) { in.Supply = switchnet.System{} },
		"supply: no supply system is stated; it is split phase, wye or single phase"},
	{"a feed without a rating", func(in *intent.Intent) { in.Feeds[0].Breaker = 0 },
		`feeds[0].breaker: feed "shed lights" has no breaker rating; write what stands on the breaker`},
	{"a feed of the same name elsewhere", func(in *intent.Intent) {
		in.Feeds = append(in.Feeds, wiring.Feed{Name: "shed lights", Box: "slip-door", Breaker: 1})
	}, `feeds[1].name: a feed called "shed lights" is in another box already; needs name feeds without their box (see feeds[0].name)`},
	{"a light of the same name elsewhere", func(in *intent.Intent) {
		in.Lights = append(in.Lights, wiring.Light{Name: "floodlight", Box: "aisle-1"})
	}, `lights[3].name: a light called "floodlight" is in another box already; controls name lights without their box (see lights[2].name)`},
	{"a light of the same name here is said once", func(in *intent.Intent) {
		in.Lights = append(in.Lights, wiring.Light{Name: "floodlight", Box: "slipway"})
	}, `lights[3].name: "floodlight" is in box "slipway" already; names are unique within a box (see lights[2].name)`},
	{"a lamp to be plugged into what is not there yet", func(in *intent.Intent) {
		in.Lights = append(in.Lights, wiring.Light{Name: "lamp", Box: "slip-door", On: "counter", Ends: [2]string{"hot 1", "neutral 1"}})
	}, `lights[3].on: box "slip-door" has no device called "counter" to plug light "lamp" into`},

	{"from nowhere", func(in *intent.Intent) { in.Runs[0].From = "" }, `runs[0].from: there is no box called ""; ` + boxes},
	{"to a box that is not there", func(in *intent.Intent) { in.Runs[4].To = "slip-way" }, `runs[4].to: there is no box called "slip-way"; ` + boxes},
	{"round a box", func(in *intent.Intent) { in.Runs[0].To = "panel" }, `runs[0].to: a run goes from box "panel" to itself`},
	{"no length", func(in *intent.Intent) { in.Runs[0].Length = 0 },
		`runs[0].length: the run from "panel" to "slip-door" is 0 ft long; a run is longer than nothing and no longer than 10 km`},
	{"into the next county", func(in *intent.Intent) { in.Runs[0].Length = 11 * quantity.Kilometer },
		`runs[0].length: the run from "panel" to "slip-door" is 11 km long; a run is longer than nothing and no longer than 10 km`},
	{"a hole through the edge is a notch", func(in *intent.Intent) { in.Runs[0].Bored = []quantity.Length{quantity.Inch, 0} },
		`runs[0].bored: the run from "panel" to "slip-door" has a hole that is no way from an edge, or farther than framing is deep; a hole has more than nothing to its edge and at most 1 m, or is a notch`},
	{"fewer notches than none", func(in *intent.Intent) { in.Runs[0].Notches = -1 },
		`runs[0].notches: the run from "panel" to "slip-door" has 0 holes and -1 notches; it has 0 to 1000 of each`},
	{"a run twice, the other way round", func(in *intent.Intent) {
		in.Runs = append(in.Runs, intent.Run{From: "slip-door", To: "panel", Length: 22 * quantity.Foot})
	}, `runs[5]: the run between "slip-door" and "panel" is listed twice (see runs[0])`},
	{"a raceway for one cable", func(in *intent.Intent) { in.Runs[0].Cable, in.Runs[0].Raceway = cable("14/2"), true },
		`runs[0].raceway: the run from "panel" to "slip-door" is a raceway and for a given cable; it is one of them`},
	{"a cable of no size", func(in *intent.Intent) { in.Runs[0].Cable = cable("14/2"); in.Runs[0].Cable.Size = conductor.Size{} },
		`runs[0].cable: cable type "14/2": no conductor size`},
	{"a cable without its name is one all the same", func(in *intent.Intent) { in.Runs[0].Cable = cable("14/2"); in.Runs[0].Cable.Name = "" },
		`runs[0].cable: cable type without a name`},
	{"a cable of nothing but conductors", func(in *intent.Intent) {
		in.Runs[0].Cable = conductor.CableType{Construction: conductor.Loose, Material: conductor.Copper, Size: conductor.AWG(14), Rating: 90 * quantity.Celsius,
			Cores: make([]conductor.Core, 100_000), Name: "odd"}
	}, `runs[0].cable: cable type "odd": 100000 conductors; the limit is 200`},

	{"a control without a name", func(in *intent.Intent) { in.Controls[1].Name = "" }, "controls[1].name: has no name; give it one"},
	{"a control whose switches could not be named", func(in *intent.Intent) { in.Controls[1].Name = "flood\n" },
		`controls[1].name: the name "flood\n" has a blank at an end or a control character; take it out`},
	{"a control called as the grounding screw", func(in *intent.Intent) { in.Controls[1].Name = "box" },
		`controls[1].name: a control cannot be called "box", which stands for the grounding screw of a box`},
	{"two controls of one name", func(in *intent.Intent) { in.Controls[1].Name = "aisle" },
		`controls[1].name: a control called "aisle" exists already (see controls[0].name)`},
	{"no light", func(in *intent.Intent) { in.Controls[1].Lights = nil }, `controls[1].lights: control "floodlight switch" switches no light`},
	{"no place", func(in *intent.Intent) { in.Controls[1].Places = nil }, `controls[1].places: control "floodlight switch" is worked from nowhere`},
	{"a light that is not there", func(in *intent.Intent) { in.Controls[1].Lights[0] = "floodlihgt" },
		`controls[1].lights 0: there is no light called "floodlihgt"; known: aisle light 1, aisle light 2, floodlight`},
	{"one light twice", func(in *intent.Intent) { in.Controls[0].Lights[1] = "aisle light 1" },
		`controls[0].lights 1: control "aisle" lists light "aisle light 1" twice`},
	{"a light that another control has", func(in *intent.Intent) { in.Controls[1].Lights = append(in.Controls[1].Lights, "aisle light 2") },
		`controls[1].lights 1: light "aisle light 2" is in control "aisle" already; a light has one control (see controls[0].lights)`},
	{"a place that is not there", func(in *intent.Intent) { in.Controls[0].Places[1] = "yard" }, `controls[0].places 1: there is no box called "yard"; ` + boxes},
	{"one place twice", func(in *intent.Intent) { in.Controls[0].Places[1] = "slip-door" },
		`controls[0].places 1: control "aisle" lists place "slip-door" twice`},
	{"a switch that would be called as a light beside it", func(in *intent.Intent) {
		in.Controls[1].Name, in.Controls[1].Places = "floodlight", []string{"slipway"}
	}, `controls[1].places 0: box "slipway" has something called "floodlight" already, and the switch of the control bears that name; rename one (see lights[2].name)`},
	{"or as a feed", func(in *intent.Intent) { in.Controls[1].Name, in.Controls[1].Places = "shed lights", []string{"panel"} },
		`controls[1].places 0: box "panel" has something called "shed lights" already, and the switch of the control bears that name; rename one (see feeds[0].name)`},

	{"a need of no box", func(in *intent.Intent) { in.Needs[0].Box = "attic" }, `needs[0].box: there is no box called "attic"; ` + boxes},
	{"a need of nothing", func(in *intent.Intent) { in.Needs[0].Kind = 0 },
		`needs[0].kind: it is not said what box "yard-door" needs; it is power, neutral or spare`},
	{"beyond the last kind of need", func(in *intent.Intent) { in.Needs[0].Kind = intent.SpareConductor + 1 },
		`needs[0].kind: it is not said what box "yard-door" needs; it is power, neutral or spare`},
	{"a stair without a name", func(in *intent.Intent) { in.Stairs[0].Name = "" }, "stairs[0].name: the stair has no name"},
	{"two stairs of one name", func(in *intent.Intent) { in.Stairs = append(in.Stairs, in.Stairs[0]) },
		`stairs[1].name: a stair called "loft stair" is there already (see stairs[0].name)`},
	{"no risers", func(in *intent.Intent) { in.Stairs[0].Risers = 0 }, `stairs[0].risers: stair "loft stair" has 0 risers; count them`},
	{"a stair to nowhere", func(in *intent.Intent) { in.Stairs[0].Levels = []string{"slip-door"} },
		`stairs[0].levels: stair "loft stair" has 1 levels; name a box at each of the levels that it joins`},
	{"a level that is not there", func(in *intent.Intent) { in.Stairs[0].Levels = []string{"slip-door", "attic"} }, `stairs[0].levels 1: there is no box called "attic"; ` + boxes},
	{"one level twice", func(in *intent.Intent) { in.Stairs[0].Levels = []string{"slip-door", "slip-door"} },
		`stairs[0].levels 1: stair "loft stair" lists box "slip-door" twice`},
	{"a light of no stair", func(in *intent.Intent) { in.Stairs[0].Lights[0] = "moon" },
		`stairs[0].lights 0: there is no light called "moon"; known: aisle light 1, aisle light 2, floodlight`},
	{"from a feed that is not there", func(in *intent.Intent) { in.Needs[1].Feed = "shed light" },
		`needs[1].feed: there is no feed called "shed light"; known: shed lights`},
}

func TestProblems(t *testing.T) {
	for _, m := range mistakes {
		in := shed()
		m.in(&in)
		err := in.Check()
		var ps wiring.Problems
		if !errors.As(err, &ps) || len(ps) != 1 || ps[0].Error() != m.want {
			t.Errorf("%s: it says\n%v\nand should say\n%s", m.why, err, m.want)
		}
	}
}

// What is in order, though it may look odd.
func TestNoProblems(t *testing.T) {
	tests := []struct {
		why string
		in  func(in *intent.Intent)
	}{
		{"the shed", func(in *intent.Intent) {}},
		{"nothing but a supply", func(in *intent.Intent) { *in = intent.Intent{Supply: in.Supply} }},
		{"a light that no control switches", func(in *intent.Intent) { in.Controls = in.Controls[:1] }},
		{"a box that no run reaches", func(in *intent.Intent) { in.Runs = in.Runs[:2] }},
		{"two runs side by side of two lengths", func(in *intent.Intent) {
			in.Runs = append(in.Runs, intent.Run{From: "slip-door", To: "panel", Length: 23 * quantity.Foot})
		}},
		{"a raceway beside a cable", func(in *intent.Intent) {
			in.Runs = append(in.Runs, intent.Run{From: "slip-door", To: "panel", Length: 22 * quantity.Foot, Raceway: true})
		}},
		{"a cable that is in the wall", func(in *intent.Intent) { in.Runs[0].Cable = cable("14/3") }},
		{"two spares in one box", func(in *intent.Intent) {
			spare := intent.Need{Box: "slip-door", Kind: intent.SpareConductor}
			in.Needs = append(in.Needs, spare, spare)
		}},
		{"a control that is called as a light elsewhere", func(in *intent.Intent) { in.Controls[1].Name = "floodlight" }},
	}
	for _, test := range tests {
		in := shed()
		test.in(&in)
		if err := in.Check(); err != nil {
			t.Errorf("%s: %v", test.why, err)
		}
	}
}

// All of them at once, in the order of lists and entries; the zero intent lacks a
// supply and nothing else.
func TestProblemsAtOnce(t *testing.T) {
	in := shed()
	in.Needs[0].Kind = 0
	in.Controls[1].Places[0] = "attic"
	in.Controls[0].Lights = nil
	in.Runs[2].Length = -1
	in.Runs[0].From = "attic"
	in.Lights[1].Power = -1
	in.Boxes[1].Kind = 0
	in.Feeds[0].Box = "attic"
	in.Supply.Lines = 0
	var ps wiring.Problems
	errors.As(in.Check(), &ps)
	var got []string
	for _, p := range ps {
		got = append(got, p.At.String())
	}
	want := []string{"supply", "feeds[0].box", "boxes[1].kind", "lights[1].load", "runs[0].from", "runs[2].length", "controls[0].lights", "controls[1].places 0", "needs[0].kind"}
	if !slices.Equal(got, want) {
		t.Errorf("%v\nwant %v", got, want)
	}
	if err := (intent.Intent{}).Check(); fmt.Sprint(err) != "wiring: supply: no supply system is stated; it is split phase, wye or single phase" {
		t.Error(err)
	}
}

// Entries of nothing but zeros have a problem each, and an intent in which everything
// is wrong is refused in time linear in its size.
func TestEverythingWrong(t *testing.T) {
	in := intent.Intent{Supply: switchnet.SplitPhase(), Feeds: make([]wiring.Feed, 2), Boxes: make([]wiring.Box, 2), Lights: make([]wiring.Light, 2),
		Runs: make([]intent.Run, 2), Controls: make([]intent.Control, 2), Needs: make([]intent.Need, 2)}
	var ps wiring.Problems
	errors.As(in.Check(), &ps)
	said := map[wiring.Ref]bool{}
	for _, p := range ps {
		said[wiring.Ref{List: p.At.List, Index: p.At.Index}] = true
	}
	if len(said) != 12 {
		t.Errorf("%d of 12 entries have a problem: %v", len(said), ps)
	}
	const n = 10_000
	in = shed()
	all := intent.Control{Name: "all"}
	for i := range n {
		name := fmt.Sprint("no ", i)
		in.Boxes = append(in.Boxes, wiring.Box{Name: fmt.Sprint("box ", i), Kind: wiring.JunctionBox})
		in.Runs = append(in.Runs, intent.Run{From: "panel", To: name, Length: 1})
		in.Controls = append(in.Controls, intent.Control{Name: "aisle", Lights: []string{"floodlight", name}, Places: []string{name}})
		in.Needs = append(in.Needs, intent.Need{Box: name, Feed: name})
		all.Lights = append(all.Lights, "aisle light 1", name)
		all.Places = append(all.Places, "panel", name)
	}
	in.Controls = append(in.Controls, all)
	errors.As(in.Check(), &ps)
	if len(ps) < 11*n {
		t.Errorf("%d problems of %d mistakes", len(ps), 11*n)
	}
	for _, p := range ps {
		if len(p.Candidates) > wiring.MaxCandidates || len(p.Error()) > 1000 {
			t.Fatalf("%d candidates: %v", len(p.Candidates), p)
		}
	}
}

// Check leaves the intent as it was.
func TestCheckChangesNothing(t *testing.T) {
	for _, m := range mistakes {
		in, same := shed(), shed()
		m.in(&in)
		m.in(&same)
		_ = in.Check()
		if got, want := fmt.Sprintf("%+v", in), fmt.Sprintf("%+v", same); got != want {
			t.Errorf("%s: %s, and was %s", m.why, got, want)
		}
	}
}

func TestNeedWords(t *testing.T) {
	var got []string
	for _, k := range intent.Needs() {
		text, err := k.MarshalText()
		if err != nil || string(text) != k.String() {
			t.Errorf("%v is written %q, %v", k, text, err)
		}
		var back intent.NeedKind
		if err := back.UnmarshalText(text); err != nil || back != k {
			t.Errorf("%q is read as %v, %v", text, back, err)
		}
		got = append(got, k.String())
	}
	if strings.Join(got, " ") != "power neutral spare" {
		t.Errorf("%q", got)
	}
	for _, k := range []intent.NeedKind{0, 4, 255} {
		if text, err := k.MarshalText(); err == nil || k.String() != "unset" {
			t.Errorf("%d is %q and written %q", k, k, text)
		}
	}
	for _, s := range intent.Schemes() {
		text, err := s.MarshalText()
		var back intent.Scheme
		if again := back.UnmarshalText(text); err != nil || again != nil || back != s {
			t.Errorf("%v is written %q, %v and read as %v, %v", s, text, err, back, again)
		}
	}
	k, s := intent.SpareConductor, intent.Chain
	if k.UnmarshalText([]byte("unset")) == nil || s.UnmarshalText(nil) == nil || k != intent.SpareConductor || s != intent.Chain {
		t.Errorf("what is no word is read as %v, %v", k, s)
	}
}
