package wiring_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

var cableMistakes = []mistake{
	{"a cable without a name", addCable(wiring.Cable{From: "loft", To: "ridge"}), "cables[3].name: has no name; give it one"},
	{"the grounding screw for a cable", addCable(wiring.Cable{Name: "box", From: "loft", To: "ridge"}),
		`cables[3].name: nothing in a box can be called "box", which stands for its grounding screw`},
	{"two cables of one name", addCable(wiring.Cable{Name: "C3", From: "loft", To: "ridge"}),
		`cables[3].name: a cable called "C3" exists already (see cables[2].name)`},
	{"a cable called as a device that it reaches", addCable(wiring.Cable{Name: "stair", From: "panel", To: "loft"}),
		`cables[3].name: cable "stair" enters box "loft", which has something else of that name; rename one (see devices[1].name)`},
	{"what kind of cable is not said", func(s *wiring.Spec) {
		s.Cables = append(s.Cables, wiring.Cable{Name: "C4", Type: conductor.CableType{Name: "odd", Construction: conductor.NonmetallicSheath, Material: conductor.Copper,
			Size: conductor.AWG(14), Rating: 90 * quantity.Celsius}, From: "loft", To: "ridge"})
	}, `cables[3].type: cable "C4": cable type "odd": no conductors`},
	{"two conductors that nobody could tell apart", func(s *wiring.Spec) {
		t := s.Cables[0].Type
		t.Cores = append(t.Cores[:1:1], t.Cores[0])
		s.Cables = append(s.Cables, wiring.Cable{Name: "C4", Type: t, From: "loft", To: "ridge"})
	}, `cables[3].type: cable "C4": cable type "14/2": conductors 1 and 2 are both black; tell them apart by a stripe`},
	{"more conductors than colours", func(s *wiring.Spec) {
		t := s.Cables[0].Type
		t.Cores = make([]conductor.Core, 1_000_000)
		s.Cables = append(s.Cables, wiring.Cable{Name: "C4", Type: t, From: "loft", To: "ridge"})
	}, `cables[3].type: cable "C4": cable type "14/2": 1000000 conductors; the limit is 200`},
	{"negative length", func(s *wiring.Spec) { s.Cables[0].Length = -1 * quantity.Meter },
		`cables[0].length: cable "C1" is -1 m long; a length is not below zero and not above 10 km, and 0 if it is not known`},
	{"a cable into the next county", func(s *wiring.Spec) { s.Cables[0].Length = 11 * quantity.Kilometer },
		`cables[0].length: cable "C1" is 11 km long; a length is not below zero and not above 10 km, and 0 if it is not known`},
	{"a year before there was light", func(s *wiring.Spec) { s.Cables[0].Installed = 1779 },
		"cables[0].installed: 1779 is no year of installation; write 1880 or later, or nothing if it is not known"},
	{"the known end is the second", func(s *wiring.Spec) { addCable(wiring.Cable{Name: "C4", To: "ridge"})(s) },
		`cables[3].from: cable "C4" begins nowhere; a cable of which one end is known has it as from`},
	{"from a box that is not there", addCable(wiring.Cable{Name: "C4", From: "attic", To: "ridge"}),
		`cables[3].from: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"to a box that is not there", addCable(wiring.Cable{Name: "C4", From: "ridge", To: "attic"}),
		`cables[3].to: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"out of a box and into it again", addCable(wiring.Cable{Name: "C4", From: "ridge", To: "ridge"}),
		`cables[3].to: cable "C4" runs from box "ridge" to itself`},
}

// addCable adds a cable of the pair's first type.
func addCable(c wiring.Cable) func(s *wiring.Spec) {
	return func(s *wiring.Spec) {
		c := c
		c.Type = s.Cables[0].Type
		s.Cables = append(s.Cables, c)
	}
}

var endMistakes = []mistake{
	{"a splice in no box", addSplice("attic", "C3.black"), `splices[7].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"a splice of nothing", addSplice("ridge"), `splices[7].join: a splice in box "ridge" joins nothing`},
	{"one wire twice in a splice", func(s *wiring.Spec) { s.Splices[4].Join = append(s.Splices[4].Join, joint("C3.black")) },
		"splices[4].join 2: C3.black is in this splice twice"},
	{"a joint that is nothing", func(s *wiring.Spec) { s.Splices[4].Join[0] = wiring.Joint{} },
		"splices[4].join 0: is empty; it is a wire, or a terminal of something in the box"},
	{"a joint that is two things", func(s *wiring.Spec) { s.Splices[4].Join[0].Device = "ridge lamp" },
		"splices[4].join 0: is both the wire C3.black and the terminal ridge lamp.; it is one of them"},
	{"a wire with a terminal", func(s *wiring.Spec) { s.Splices[4].Join[0].Terminal = "hot" },
		"splices[4].join 0: is both the wire C3.black and the terminal .hot; it is one of them"},
	{"a terminal of nothing", func(s *wiring.Spec) { s.Splices[4].Join[1].Device = "" },
		`splices[4].join 1: box "ridge" has no device, light or feed called ""; known: ridge lamp`},
	{"a cable that is not there", func(s *wiring.Spec) { s.Splices[4].Join[0] = joint("C9.black") },
		`splices[4].join 0: there is no cable called "C9"; known: C1, C2, C3`},
	{"a conductor that the cable lacks", func(s *wiring.Spec) { s.Splices[4].Join[0] = joint("C3.red") },
		`splices[4].join 0: cable "C3" (14/2) has no conductor "red"; known: black, white, bare`},
	{"another word for a colour is not its name", addSplice("store", "C2.violet"),
		`splices[7].join 0: cable "C2" (14/3) has no conductor "violet"; known: black, white, red, bare`},
	{"a cable that does not come here", addSplice("ridge", "C2.red"),
		`splices[7].join 0: cable "C2" does not enter box "ridge"; it runs from "store" to "loft" (see cables[1].from)`},
	{"a wire spliced and landed", addSplice("loft", "C2.red", "stair.common"),
		`landings[7].wire: C2.red in box "loft" is in another place already; one end goes to one place (see splices[7].join 0)`},
	{"a wire in two splices", addSplice("ridge", "C3.black"),
		`splices[7].join 0: C3.black in box "ridge" is in another place already; one end goes to one place (see splices[4].join 0)`},
	{"one jumper twice", func(s *wiring.Spec) {
		addSplice("loft", "stair.common", "stair.traveler 1")(s)
		addSplice("loft", "stair.traveler 1", "stair.common")(s)
	}, "splices[8].join: the terminals of this splice are joined in another already (see splices[7].join)"},

	{"a landing in no box", func(s *wiring.Spec) { s.Landings[0].Box = "panle" }, `landings[0].box: there is no box called "panle"; known: loft, panel, ridge, store`},
	{"a landing on what is not there", func(s *wiring.Spec) { s.Landings[3].Device = "aisle" },
		`landings[3].device: box "store" has no device, light or feed called "aisle"; known: stair`},
	{"a landing on a screw that is not there", func(s *wiring.Spec) { s.Landings[3].Terminal = "line" },
		`landings[3].terminal: "stair" in box "store" has no terminal "line"; known: common, traveler 1, traveler 2, ground`},
	{"a landing on a lamp that is plugged in", func(s *wiring.Spec) {
		plugged("stair", "common", "traveler 1")(s)
		s.Landings[7].Device = "lamp"
	}, `landings[7].device: "lamp" in box "loft" has no terminals of its own; use those of the device it is on (see lights[1].name)`},
	{"the grounding screw of a plastic box", func(s *wiring.Spec) { s.Landings[7].Device, s.Landings[7].Terminal = "box", "ground" },
		`landings[7].device: box "loft" is not metal, so it has no grounding screw (see boxes[2].metal)`},
	{"the wrong screw of a metal box", func(s *wiring.Spec) {
		s.Boxes[2].Metal = true
		s.Landings[7].Device, s.Landings[7].Terminal = "box", "hot"
	}, `landings[7].terminal: "box" in box "loft" has no terminal "hot"; known: ground`},
	{"a landing of what is not there", func(s *wiring.Spec) { s.Landings[3].Wire = wire("C1.red") },
		`landings[3].wire: cable "C1" (14/2) has no conductor "red"; known: black, white, bare`},
	{"one end on two screws", func(s *wiring.Spec) { s.Landings[5].Wire = wire("C2.black") },
		`landings[5].wire: C2.black in box "store" is in another place already; one end goes to one place (see landings[4].wire)`},
	{"a cap in no box", addCap("attic", "C2.red"), `caps[0].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"a cap on nothing", addCap("loft", "C9.red"), `caps[0].wire: there is no cable called "C9"; known: C1, C2, C3`},
	{"a cap on a landed wire", addCap("loft", "C2.red"),
		`caps[0].wire: C2.red in box "loft" is in another place already; one end goes to one place (see landings[7].wire)`},
	{"a cap where the cable does not come", addCap("panel", "C2.red"),
		`caps[0].wire: cable "C2" does not enter box "panel"; it runs from "store" to "loft" (see cables[1].from)`},
	{"a cap at the end that nobody has found", func(s *wiring.Spec) {
		addCable(wiring.Cable{Name: "C4", From: "loft"})(s)
		addCap("panel", "C4.black")(s)
	}, `caps[0].wire: cable "C4" does not enter box "panel"; it runs from "loft" to a box that is not known (see cables[3].from)`},
}

func addSplice(box string, join ...string) func(s *wiring.Spec) {
	return func(s *wiring.Spec) { s.Splices = append(s.Splices, wiring.Splice{Box: box, Join: joints(join...)}) }
}

func addCap(box, w string) func(s *wiring.Spec) {
	return func(s *wiring.Spec) { s.Caps = append(s.Caps, wiring.Cap{Box: box, Wire: wire(w)}) }
}

var wordMistakes = []mistake{
	{"a mark in no box", mark("attic", "C2.white", conductor.Black), `marks[0].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"a mark on nothing", mark("loft", "C9.white", conductor.Black), `marks[0].wire: there is no cable called "C9"; known: C1, C2, C3`},
	{"two marks on one end", func(s *wiring.Spec) {
		mark("loft", "C2.white", conductor.Black)(s)
		mark("loft", "C2.white", conductor.Red)(s)
	}, `marks[1].wire: C2.white in box "loft" is re-marked already (see marks[0].wire)`},
	{"a mark of no colour", mark("loft", "C2.white", 0), `marks[0].as: C2.white in box "loft" is re-marked as no colour`},
	{"a tag in no box", tag("attic", "C2.red", "pair"), `tags[0].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"a tag on nothing", tag("loft", "C9.red", "pair"), `tags[0].wire: there is no cable called "C9"; known: C1, C2, C3`},
	{"two tags on one end", func(s *wiring.Spec) {
		tag("loft", "C2.red", "pair")(s)
		tag("loft", "C2.red", "leg")(s)
	}, `tags[1].wire: C2.red in box "loft" has a tag already (see tags[0].wire)`},
	{"an empty tag", tag("loft", "C2.red", " "), `tags[0].says: the tag of C2.red in box "loft" says nothing`},
	{"a tag of two lines", tag("loft", "C2.red", "pair\nto store"), `tags[0].says: the tag of C2.red in box "loft" has a control character; write it in one line`},
	{"a tag that turns the order of its letters around", tag("loft", "C2.red", "pair\u202eto store"), `tags[0].says: the tag of C2.red in box "loft" has a control character; write it in one line`},
	{"a break of nothing", func(s *wiring.Spec) { s.Opens = []wiring.Wire{wire("C9.red")} }, `opens[0]: there is no cable called "C9"; known: C1, C2, C3`},
	{"two breaks in one wire", func(s *wiring.Spec) { s.Opens = []wiring.Wire{wire("C2.red"), wire("C2.red")} },
		"opens[1]: C2.red is listed as open twice (see opens[0])"},
	{"a tie in no box", addTie("attic", "C2.red", "C2.black"), `ties[0].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"a tie of nothing", addTie("loft", "C9.red", "C2.black"), `ties[0].join 0: there is no cable called "C9"; known: C1, C2, C3`},
	{"a tie to nothing", addTie("loft", "C2.black", "stair.pole"),
		`ties[0].join 1: "stair" in box "loft" has no terminal "pole"; known: common, traveler 1, traveler 2, ground`},
	{"a tie to itself", addTie("loft", "C2.black", "C2.black"), "ties[0].join 1: C2.black is tied to itself"},
	{"one tie twice, the other way round", func(s *wiring.Spec) {
		addTie("loft", "C2.black", "stair.common")(s)
		addTie("loft", "stair.common", "C2.black")(s)
	}, "ties[1]: the tie of C2.black and stair.common is listed twice (see ties[0])"},
}

func mark(box, w string, hue conductor.Hue) func(s *wiring.Spec) {
	return func(s *wiring.Spec) {
		s.Marks = append(s.Marks, wiring.Mark{Box: box, Wire: wire(w), As: conductor.Plain(hue)})
	}
}

func tag(box, w, text string) func(s *wiring.Spec) {
	return func(s *wiring.Spec) { s.Tags = append(s.Tags, wiring.Tag{Box: box, Wire: wire(w), Text: text}) }
}

func addTie(box, a, b string) func(s *wiring.Spec) {
	return func(s *wiring.Spec) {
		s.Ties = append(s.Ties, wiring.Tie{Box: box, A: joint(a), B: joint(b)})
	}
}

func TestCableProblems(t *testing.T) { testMistakes(t, cableMistakes) }
func TestEndProblems(t *testing.T)   { testMistakes(t, endMistakes) }
func TestWordProblems(t *testing.T)  { testMistakes(t, wordMistakes) }

// What follows from a mistake is not said again for everything that hangs on it.
func TestFollowing(t *testing.T) {
	tests := []struct {
		why  string
		spec func(s *wiring.Spec)
		want string
	}{
		{"the terminals of a device whose kind is wrong cannot be judged", func(s *wiring.Spec) {
			s.Devices[0].Kind = switchnet.Kind{Name: "odd", Terminals: []string{"line", "load"}}
		}, `devices[0].kind: kind "odd" has 0 positions; give it 1 to 255`},
		{"nor the conductors of a cable whose type is", func(s *wiring.Spec) { s.Cables[1].Type.Cores = nil },
			`cables[1].type: cable "C2": cable type "14/3": no conductors`},
		{"a wrong kind is said to be wrong at its first device", func(s *wiring.Spec) {
			odd := switchnet.Kind{Name: "odd", Terminals: []string{"line", "load"}}
			s.Devices[0].Kind, s.Devices[1].Kind = odd, odd
		}, `devices[0].kind: kind "odd" has 0 positions; give it 1 to 255`},
	}
	for _, test := range tests {
		s := pair(t)
		test.spec(&s)
		_, err := wiring.New(s)
		if got := fmt.Sprint(err); got != "wiring: "+test.want {
			t.Errorf("%s: it says\n%v\nand should say\n%s", test.why, got, test.want)
		}
	}
}

// Names that look alike when they are put together are still two names.
func TestNamesThatRunTogether(t *testing.T) {
	s := newSketch(t)
	for _, box := range []string{"b", "x.black in b", "b.red", "store"} {
		s.box(box, wiring.DeviceBox)
	}
	odd := switchnet.Kind{Name: "odd", Terminals: []string{"u", "t and b.u", "b.c", "c", `"`, "u and c.v"}, Positions: []switchnet.Position{{Name: "fixed"}}}
	for _, d := range []string{"a", "a.b", "b", "c", "a of b"} {
		s.device("store", d, odd)
	}
	s.feed("p at q", "f")
	s.feed("q", "f at p")
	cable := func(name, from, to string) { s.cable(name, "14/3", from, to, 1) }
	cable("C1", "x.black in b", "b")
	cable("C1.red in x", "b", "b.red")
	cable("landing of C1.red in b", "store", "b.red")
	cable("C9", "b.red", "store")
	land := func(box, device, terminal, cable, colour string) {
		s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wiring.Wire{Cable: cable, Conductor: colour}})
	}
	s.device("b", "one", odd)
	s.device("x.black in b", "one", odd)
	land("x.black in b", "one", "u", "C1", "red")
	land("b", "one", "u", "C1", "red")
	land("b", "one", "u", "C1.red in x", "black")
	d := func(device, terminal string) wiring.Joint { return wiring.Joint{Device: device, Terminal: terminal} }
	s.Ties = []wiring.Tie{
		{Box: "store", A: d("a", "t and b.u"), B: d("c", "c")},
		{Box: "store", A: d("a", "u"), B: d("b", "u and c.v")},
		{Box: "store", A: d("a", "b.c"), B: d("b", "u")},
		{Box: "store", A: d("a.b", "c"), B: d("b", "u")},
		{Box: "store", A: d("a.b", "c"), B: d("a", "b.c")},
	}
	s.Splices = []wiring.Splice{
		{Box: "store", Join: []wiring.Joint{d("a", "b.c"), d("c", "u")}},
		{Box: "store", Join: []wiring.Joint{d("a.b", "c"), d("c", "u")}},
		{Box: "store", Join: []wiring.Joint{wiring.WireJoint("C9", "red"), d("a", "u")}},
		{Box: "store", Join: []wiring.Joint{wiring.WireJoint("C9", "black"), d("a", "u")}},
		{Box: "store", Join: []wiring.Joint{d("a", "u"), d("c", "u")}},
	}
	w := build(t, s.Spec)
	seen := map[string]bool{}
	for c := range w.Net().Conductors() {
		seen[c.Name] = true
	}
	for sp := range w.Net().Splices() {
		seen[sp.Ref.String()] = true
	}
	if want := 4*4 + 6 + 3 + 5 + 5; len(seen) != want {
		t.Errorf("%d names of conductors and splices, want %d", len(seen), want)
	}
}
