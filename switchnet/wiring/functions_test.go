package wiring_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// bench is a store with a feed and whatever is put in it: C1 comes from the panel,
// landed on the feed there, and C2 goes on to the loft.
func bench(tb tester) *sketch {
	s := newSketch(tb)
	s.feed("panel", "shed lights")
	s.box("store", wiring.DeviceBox)
	s.box("loft", wiring.DeviceBox)
	s.cable("C1", "14/3", "panel", "store", 20)
	s.cable("C2", "14/3", "store", "loft", 30)
	s.land("panel", "shed lights.hot", "C1.black")
	s.land("panel", "shed lights.neutral", "C1.white")
	s.land("panel", "shed lights.ground", "C1.bare")
	return s
}

// benchFunctions say what a wire of the bench does once something is done there.
var benchFunctions = []struct {
	why  string
	spec func(s *sketch)
	wire string
	kind wiring.FunctionKind
	want string
}{
	{"nothing at all at either end", func(s *sketch) {}, "C2.red", wiring.Spare, "spare"},
	{"capped at both ends", func(s *sketch) { s.cap("store", "C2.red"); s.cap("loft", "C2.red") }, "C2.red", wiring.Spare, "spare"},
	{"two spares spliced are a longer spare", func(s *sketch) { s.splice("store", "C1.red", "C2.red") }, "C2.red", wiring.Spare, "spare"},
	{"the far end of a hot that leads nowhere", func(s *sketch) {}, "C1.black", wiring.Hot, "hot of shed lights"},
	{"a splice carries the hot on", func(s *sketch) { s.splice("store", "C1.black", "C2.red") }, "C2.red", wiring.Hot, "hot of shed lights"},
	{"a light that is always on", func(s *sketch) {
		s.light("loft", "lamp")
		s.splice("store", "C1.black", "C2.black")
		s.splice("loft", "C2.black", "lamp.hot")
	}, "C2.black", wiring.Hot, "hot of shed lights"},
	{"the hot on the shell of a lamp is a hot", func(s *sketch) {
		s.light("loft", "lamp")
		s.splice("store", "C1.black", "C2.black")
		s.splice("loft", "C2.black", "lamp.neutral")
	}, "C2.black", wiring.Hot, "hot of shed lights"},
	{"the neutral", func(s *sketch) { s.splice("store", "C1.white", "C2.white") }, "C2.white", wiring.NeutralConductor, "neutral of shed lights"},
	{"the neutral that an electronic switch needs", func(s *sketch) {
		s.device("loft", "aisle", switchnet.ElectronicSwitch())
		s.splice("store", "C1.white", "C2.white")
		s.land("loft", "aisle.neutral", "C2.white")
	}, "C2.white", wiring.NeutralConductor, "neutral of shed lights"},
	{"the same neutral forgotten in the store", func(s *sketch) {
		s.device("loft", "aisle", switchnet.ElectronicSwitch())
		s.land("loft", "aisle.neutral", "C2.white")
	}, "C2.white", wiring.Loose, "loose, on aisle at loft only"},
	{"two neutrals of electronics together are no pair of travelers", func(s *sketch) {
		s.device("loft", "aisle", switchnet.ElectronicSwitch())
		s.device("store", "aisle", switchnet.ElectronicSwitch())
		s.land("loft", "aisle.neutral", "C2.white")
		s.land("store", "aisle.neutral", "C2.white")
	}, "C2.white", wiring.Loose, "loose, on aisle at loft and aisle at store only"},
	{"a neutral that touches ground is a neutral", func(s *sketch) { s.tie("store", "C1.white", "C1.bare") },
		"C1.bare", wiring.NeutralConductor, "neutral of shed lights"},
	{"a ground", func(s *sketch) { s.splice("store", "C1.bare", "C2.bare") }, "C2.bare", wiring.GroundConductor, "ground"},
	{"a ground that no feed grounds", func(s *sketch) {
		s.device("loft", "aisle", switchnet.SinglePole())
		s.land("loft", "aisle.ground", "C2.bare")
	}, "C2.bare", wiring.Loose, "loose, on a grounding screw only"},
	{"a metal box that no feed grounds", func(s *sketch) {
		s.Boxes[2].Metal = true
		s.land("loft", "box.ground", "C2.bare")
	}, "C2.bare", wiring.Loose, "loose, on a grounding screw only"},
	{"a lamp's case that no feed grounds", func(s *sketch) {
		s.light("loft", "lamp")
		s.splice("loft", "C2.bare", "lamp.ground")
	}, "C2.bare", wiring.Loose, "loose, on a grounding screw only"},

	{"a switch leg", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.light("loft", "lamp")
		s.land("store", "aisle.load", "C2.red")
		s.splice("loft", "C2.red", "lamp.hot")
	}, "C2.red", wiring.SwitchLeg, "switch leg of lamp"},
	{"a leg without its switch leads nowhere", func(s *sketch) {
		s.light("loft", "lamp")
		s.splice("loft", "C2.red", "lamp.hot")
	}, "C2.red", wiring.Loose, "loose, on lamp at loft only"},
	{"a lamp with both leads on one wire", func(s *sketch) {
		s.light("loft", "lamp")
		s.splice("loft", "C2.red", "lamp.hot", "lamp.neutral")
	}, "C2.red", wiring.Loose, "loose, on lamp at loft only"},
	{"a switched neutral", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.light("loft", "lamp")
		s.land("store", "aisle.load", "C2.white")
		s.splice("loft", "C2.white", "lamp.neutral")
	}, "C2.white", wiring.SwitchedReturn, "switched return of lamp"},
	{"lamps in series, far apart", func(s *sketch) {
		s.light("loft", "lamp 2")
		s.light("store", "lamp 1")
		s.splice("loft", "C2.red", "lamp 2.hot")
		s.splice("store", "C2.red", "lamp 1.neutral")
	}, "C2.red", wiring.Series, "in series between lamp 2 at loft and lamp 1 at store"},
	{"two lamps of one name are told apart", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.light("loft", "lamp")
		s.light("store", "lamp")
		s.splice("store", "C2.red", "aisle.load", "lamp.hot")
		s.splice("loft", "C2.red", "lamp.hot")
	}, "C2.red", wiring.SwitchLeg, "switch leg of lamp at loft, lamp at store"},

	{"a traveler", func(s *sketch) { threeWays(s); s.land("store", "stair.traveler 1", "C2.red") },
		"C2.red", wiring.Traveler, "stair traveler between loft and store"},
	{"a bare wire as traveler", func(s *sketch) {
		threeWays(s)
		s.land("store", "stair.traveler 1", "C2.bare")
		s.land("loft", "stair.traveler 2", "C2.bare")
	}, "C2.bare", wiring.Traveler, "stair traveler between loft and store"},
	{"between switches of two names", func(s *sketch) {
		threeWays(s)
		s.device("store", "aisle", switchnet.ThreeWay())
		s.land("store", "aisle.traveler 1", "C2.red")
	}, "C2.red", wiring.Traveler, "traveler between stair at loft and aisle at store"},
	{"a traveler that nobody landed at the other end", threeWays, "C2.red", wiring.Loose, "loose, on stair at loft only"},
	{"both throws of one switch on one wire", func(s *sketch) {
		s.device("loft", "stair", switchnet.ThreeWay())
		s.splice("loft", "C2.red", "stair.traveler 1", "stair.traveler 2")
	}, "C2.red", wiring.Loose, "loose, on stair at loft only"},
	{"a traveler tied to the hot is hot", func(s *sketch) {
		threeWays(s)
		s.land("store", "stair.traveler 1", "C2.red")
		s.tie("store", "C1.black", "C2.red")
	}, "C2.red", wiring.Hot, "hot of shed lights"},

	{"the hot of a receptacle that feeds on through its tab", func(s *sketch) {
		s.device("store", "counter", switchnet.Receptacle())
		s.land("store", "counter.hot 1", "C1.black")
		s.land("store", "counter.hot 2", "C2.black")
	}, "C2.black", wiring.Hot, "hot of shed lights"},
	{"the tab broken out: nothing feeds on", func(s *sketch) {
		s.device("store", "counter", switchnet.SplitReceptacle())
		s.land("store", "counter.hot 1", "C1.black")
		s.land("store", "counter.hot 2", "C2.black")
	}, "C2.black", wiring.Loose, "loose, on counter at store only"},
	{"the neutral through the tab", func(s *sketch) {
		s.device("store", "counter", switchnet.SplitReceptacle())
		s.land("store", "counter.neutral 1", "C1.white")
		s.land("store", "counter.neutral 2", "C2.white")
	}, "C2.white", wiring.NeutralConductor, "neutral of shed lights"},
	{"a switch and a receptacle make a leg and no traveler", halfHot, "C2.red", wiring.SwitchLeg, "switch leg of counter"},
	{"with a lamp plugged in", func(s *sketch) { halfHot(s); s.plug("loft", "lamp", "counter", "hot 2", "neutral 1") },
		"C2.red", wiring.SwitchLeg, "switch leg of lamp, counter"},
	{"a switch in the return of a receptacle", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.device("loft", "counter", switchnet.Receptacle())
		s.land("store", "aisle.load", "C2.white")
		s.land("loft", "counter.neutral 1", "C2.white")
	}, "C2.white", wiring.SwitchedReturn, "switched return of counter"},

	{"two circuits' neutrals spliced together", func(s *sketch) { secondFeed(s, switchnet.LineB); s.splice("store", "C1.white", "C9.white", "C2.white") },
		"C2.white", wiring.NeutralConductor, "neutral of shed lights, yard"},
	{"two circuits' hots spliced together, of one line", func(s *sketch) { secondFeed(s, switchnet.LineA); s.splice("store", "C1.black", "C9.black") },
		"C1.black", wiring.Hot, "hot of shed lights, yard"},
	{"and of two lines", func(s *sketch) { secondFeed(s, switchnet.LineB); s.splice("store", "C1.black", "C9.black") },
		"C1.black", wiring.Crossed, "joins rails that must be apart"},
	{"hot on neutral", func(s *sketch) { s.tie("store", "C1.black", "C1.white") }, "C1.white", wiring.Crossed, "joins rails that must be apart"},
	{"hot on ground", func(s *sketch) { s.tie("store", "C1.black", "C1.bare") }, "C1.bare", wiring.Crossed, "joins rails that must be apart"},

	{"an end that nobody has found", func(s *sketch) { s.Cables[1].To = "" }, "C2.red", wiring.Unknown, "to a box that is not known"},
	{"from a switch to where?", func(s *sketch) {
		s.Cables[1].To = ""
		s.device("store", "aisle", switchnet.SinglePole())
		s.land("store", "aisle.load", "C2.red")
	}, "C2.red", wiring.Unknown, "from aisle at store to a box that is not known"},
	{"hot to where? It is hot.", func(s *sketch) { s.Cables[1].To = ""; s.splice("store", "C1.black", "C2.red") },
		"C2.red", wiring.Hot, "hot of shed lights"},
	{"a wire that is spliced to one whose end nobody has found", func(s *sketch) {
		s.Cables[1].To = ""
		s.splice("store", "C1.red", "C2.red")
	}, "C1.red", wiring.Unknown, "to a box that is not known"},

	{"the joined commons of two three-ways", joinedCommons, "C2.black", wiring.Traveler, "stair traveler between loft and store"},
	{"the leg on the throws of both", joinedCommons, "C2.red", wiring.SwitchLeg, "switch leg of lamp"},
	{"the hot on the throws of both", joinedCommons, "C2.white", wiring.Hot, "hot of shed lights"},
	{"a two-pole feed has two hots", func(s *sketch) {
		s.feed("panel", "heater", switchnet.LineA, switchnet.LineB)
		s.cable("C9", "14/2", "panel", "loft", 5)
		s.land("panel", "heater.hot 2", "C9.white")
		s.light("loft", "heat")
		s.splice("loft", "C9.white", "heat.neutral")
	}, "C9.white", wiring.Hot, "hot of heater"},
}

func threeWays(s *sketch) {
	s.device("store", "stair", switchnet.ThreeWay())
	s.device("loft", "stair", switchnet.ThreeWay())
	s.land("loft", "stair.traveler 1", "C2.red")
}

// halfHot switches half a receptacle in the loft from the store.
func halfHot(s *sketch) {
	s.device("store", "aisle", switchnet.SinglePole())
	s.device("loft", "counter", switchnet.SplitReceptacle())
	s.land("store", "aisle.line", "C1.black")
	s.land("store", "aisle.load", "C2.red")
	s.land("loft", "counter.hot 2", "C2.red")
	s.splice("store", "C1.white", "C2.white")
	s.land("loft", "counter.neutral 1", "C2.white")
}

// secondFeed brings the circuit yard from the panel to the store in C9.
func secondFeed(s *sketch, line switchnet.Rail) {
	s.feed("panel", "yard", line)
	s.cable("C9", "14/2", "panel", "store", 5)
	s.land("panel", "yard.hot", "C9.black")
	s.land("panel", "yard.neutral", "C9.white")
}

// joinedCommons is the scheme of two places with hot and leg on the throws of both
// switches: C2 carries hot in white, leg in red and the joined commons in black. The
// lamp is in the store, its neutral from C1.
func joinedCommons(s *sketch) {
	s.device("store", "stair", switchnet.ThreeWay())
	s.device("loft", "stair", switchnet.ThreeWay())
	s.light("store", "lamp")
	s.splice("store", "C1.black", "C2.white", "stair.traveler 1")
	s.splice("store", "lamp.hot", "C2.red", "stair.traveler 2")
	s.splice("store", "C1.white", "lamp.neutral")
	s.land("store", "stair.common", "C2.black")
	s.land("loft", "stair.common", "C2.black")
	s.land("loft", "stair.traveler 1", "C2.white")
	s.land("loft", "stair.traveler 2", "C2.red")
}

func TestFunctions(t *testing.T) {
	for _, test := range benchFunctions {
		s := bench(t)
		test.spec(s)
		w := build(t, s.Spec)
		f, ok := w.Function(wire(test.wire))
		if !ok || f.Kind != test.kind || f.String() != test.want {
			t.Errorf("%s: %s is %v, %q, want %v, %q", test.why, test.wire, f.Kind, f, test.kind, test.want)
		}
		for got, g := range w.Functions() {
			if again, ok := w.Function(got); !ok || again.String() != g.String() {
				t.Errorf("%s: %s is %q and %q", test.why, got, g, again)
			}
		}
	}
}

// The lists of a function say all that it is joined to.
func TestFunctionLists(t *testing.T) {
	s := bench(t)
	secondFeed(s, switchnet.LineA)
	halfHot(s)
	s.light("loft", "lamp")
	s.splice("loft", "C2.black", "lamp.hot")
	s.splice("store", "C2.black", "C9.black", "aisle.ground")
	w := build(t, s.Spec)
	f, _ := w.Function(wire("C2.red"))
	ref := func(place, name string) switchnet.Ref { return switchnet.Ref{Place: place, Name: name} }
	counter, aisle := ref("loft", "counter"), ref("store", "aisle")
	if !slices.Equal(f.Devices, []switchnet.Ref{counter, aisle}) || !slices.Equal(f.Serves, []switchnet.Ref{counter}) || f.Feeds != nil || f.Lights != nil {
		t.Errorf("%+v", f)
	}
	f, _ = w.Function(wire("C2.black"))
	if !slices.Equal(f.Feeds, []switchnet.Ref{ref("panel", "yard")}) || !slices.Equal(f.Lights, []switchnet.Ref{ref("loft", "lamp")}) || f.Devices != nil {
		t.Errorf("a grounding screw does not count: %+v", f)
	}
}

// An open wire is two halves.
func TestOpenWires(t *testing.T) {
	tests := []struct {
		why      string
		spec     func(s *sketch)
		from, to wiring.FunctionKind
		want     wiring.FunctionKind
	}{
		{"the half that is hot is what matters", func(s *sketch) { s.splice("store", "C1.black", "C2.red") }, wiring.Hot, wiring.Spare, wiring.Hot},
		{"whichever half it is", func(s *sketch) {
			s.cable("C3", "14/2", "panel", "loft", 9)
			s.land("panel", "shed lights.hot", "C3.black")
			s.splice("loft", "C3.black", "C2.red")
		}, wiring.Spare, wiring.Hot, wiring.Hot},
		{"a traveler cut is two loose ends", func(s *sketch) { threeWays(s); s.land("store", "stair.traveler 1", "C2.red") },
			wiring.Loose, wiring.Loose, wiring.Loose},
		{"a leg cut leaves a lamp with an end to be careful of", func(s *sketch) {
			s.device("store", "aisle", switchnet.SinglePole())
			s.light("loft", "lamp")
			s.land("store", "aisle.load", "C2.red")
			s.splice("loft", "C2.red", "lamp.hot")
		}, wiring.Loose, wiring.Loose, wiring.Loose},
		{"one half leads to a box that is not known", func(s *sketch) { s.Cables[1].To = "" }, wiring.Spare, wiring.Unknown, wiring.Unknown},
		{"cut, and yet joined round the break", func(s *sketch) {
			s.cable("C3", "14/2", "store", "loft", 9)
			s.splice("store", "C1.black", "C2.red", "C3.black")
			s.splice("loft", "C2.red", "C3.black")
		}, wiring.Hot, wiring.Hot, wiring.Hot},
	}
	for _, test := range tests {
		s := bench(t)
		test.spec(s)
		s.Opens = []wiring.Wire{wire("C2.red")}
		w := build(t, s.Spec)
		far := s.Cables[1].To
		if far == "" {
			far = wiring.UnknownPlace("C2")
		}
		from, ok1 := w.FunctionAt(end("store", "C2.red"))
		to, ok2 := w.FunctionAt(end(far, "C2.red"))
		whole, _ := w.Function(wire("C2.red"))
		if !ok1 || !ok2 || from.Kind != test.from || to.Kind != test.to || whole.Kind != test.want {
			t.Errorf("%s: halves %v and %v make %v, want %v and %v make %v", test.why, from.Kind, to.Kind, whole.Kind, test.from, test.to, test.want)
		}
	}
}

// What is no wire has no function, no use and no end. Another word for a colour
// names nothing.
func TestNoSuchWire(t *testing.T) {
	s := bench(t)
	s.cable("C3", "1.5 mm2 three-core and earth", "store", "loft", 3) // brown, black, gray
	w := build(t, s.Spec)
	for _, text := range []string{"C9.red", "C2.blue", "C2.", ".red", "", "C3.grey", "C2.Red"} {
		if f, ok := w.Function(wire(text)); ok {
			t.Errorf("%q does %v", text, f)
		}
		if f, ok := w.FunctionAt(end("store", text)); ok {
			t.Errorf("%q does %v in the store", text, f)
		}
		if u, ok := w.Use(end("store", text)); ok {
			t.Errorf("%q is %v in the store", text, u)
		}
	}
	if _, ok := w.Function(wire("C3.gray")); !ok {
		t.Error("C3.gray has no function")
	}
	for _, box := range []string{"panel", "", "attic", wiring.UnknownPlace("C2")} {
		if f, ok := w.FunctionAt(end(box, "C2.red")); ok {
			t.Errorf("C2.red does %v in %q", f, box)
		}
		if u, ok := w.Use(end(box, "C2.red")); ok {
			t.Errorf("C2.red is %v in %q", u, box)
		}
	}
}

// Iteration may stop anywhere.
func TestFunctionsStop(t *testing.T) {
	w := build(t, bench(t).Spec)
	n := 0
	for range w.Functions() {
		if n++; n == 3 {
			break
		}
	}
	if n != 3 {
		t.Errorf("%d wires", n)
	}
}

// A region's words take the place of the kind's and leave names alone.
func TestFunctionIn(t *testing.T) {
	words := strings.NewReplacer("traveler", "strapper", "hot", "line", "ground", "earth").Replace
	for _, tt := range []struct {
		reason string
		f      wiring.Function
		want   string
	}{
		{"a word of its own", wiring.Function{Kind: wiring.GroundConductor}, "earth"},
		{"a feed that is called as a kind is", wiring.Function{Kind: wiring.Hot, Feeds: []switchnet.Ref{{Place: "panel", Name: "hothouse"}}}, "line of hothouse"},
		{"boxes and controls too", wiring.Function{Kind: wiring.Traveler, Devices: []switchnet.Ref{{Place: "underground", Name: "traveler"}, {Place: "loft", Name: "traveler"}}},
			"traveler strapper between underground and loft"},
	} {
		if got := tt.f.In(words); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.reason, got, tt.want)
		}
	}
}
