package wiring_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// circuitText writes a circuit in a line, and a line for each route: the wires out,
// the wires back, and what they add up to.
func circuitText(c wiring.Circuit) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %v %v %d %v by %s, %s %s", c.Feed.Name, c.Breaker, c.Volts, c.Poles, c.Power, strings.Join(c.Cables, " "), c.Smallest, c.Material)
	legs := func(list []wiring.Leg) string {
		var words []string
		for _, l := range list {
			words = append(words, l.Wire.String())
		}
		return strings.Join(words, " ")
	}
	for i, r := range c.Routes {
		if r.Light != c.Lights[i] {
			return "routes and lights differ"
		}
		back := legs(r.Back)
		if !r.Returns {
			back = "no way"
		}
		fmt.Fprintf(&b, "\n%s: %s / %s, %v", r.Light.Name, legs(r.Out), back, r.Length())
		if !r.Complete {
			b.WriteString(" or more")
		}
	}
	if len(c.Routes) != len(c.Lights) {
		return "routes and lights differ"
	}
	return b.String()
}

const (
	plainPair = "shed lights: 15 A 120 V 1 18 W by C1 C2 C3, 14 AWG copper\nridge lamp: C1.black C2.black C3.black / C3.white C2.white C1.white, 120 ft"
	nothing   = "shed lights: 15 A 120 V 1 0 W by C1, 14 AWG copper"
)

// benchCircuits are the circuits of the bench once something is done there. Every
// length is added up by hand: C1 is 20 ft, C2 30 ft.
var benchCircuits = []struct {
	why  string
	spec func(s *sketch)
	want []string
}{
	{"nothing but a cable that is hot", func(s *sketch) {}, []string{nothing}},
	{"nothing at all", func(s *sketch) { s.Landings = nil }, []string{"shed lights: 15 A 120 V 1 0 W by , no size unset"}},
	{"stated volts stand", func(s *sketch) { s.Feeds[0].Volts = 115 * quantity.Volt },
		[]string{"shed lights: 15 A 115 V 1 0 W by C1, 14 AWG copper"}},
	{"a light in the panel has no wires", func(s *sketch) {
		s.light("panel", "lamp")
		s.splice("panel", "lamp.hot", "shed lights.hot")
		s.splice("panel", "lamp.neutral", "shed lights.neutral")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1, 14 AWG copper\nlamp:  / , 0 ft"}},
	{"half a receptacle: 20 + 30 out, 30 + 20 back", func(s *sketch) { halfHot(s); s.plug("loft", "lamp", "counter", "hot 2", "neutral 2") },
		[]string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.red / C2.white C1.white, 100 ft"}},
	{"joined commons: 20 to the store, over to the loft and over again, 20 back", joinedCommons,
		[]string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black C2.red / C1.white, 100 ft"}},
	{"a switched neutral", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.light("loft", "lamp")
		s.splice("store", "C1.black", "C2.black")
		s.land("store", "aisle.line", "C1.white")
		s.land("store", "aisle.load", "C2.white")
		s.splice("loft", "C2.black", "lamp.hot")
		s.splice("loft", "C2.white", "lamp.neutral")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},
	{"hot and neutral on the shell the wrong way round", func(s *sketch) {
		s.light("store", "lamp")
		s.splice("store", "C1.black", "lamp.neutral")
		s.splice("store", "C1.white", "lamp.hot")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1, 14 AWG copper\nlamp: C1.black / C1.white, 40 ft"}},
	{"the shorter of two ways round a loop of cables: 20 + 9, and back 9 + 20", func(s *sketch) {
		lit(s)
		s.cable("C3", "14/3", "store", "loft", 9)
		s.Splices[0].Join = append(s.Splices[0].Join, joint("C3.black"))
		s.Splices[1].Join = append(s.Splices[1].Join, joint("C3.white"))
		s.Splices[2].Join = append(s.Splices[2].Join, joint("C3.black"))
		s.Splices[3].Join = append(s.Splices[3].Join, joint("C3.white"))
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2 C3, 14 AWG copper\nlamp: C1.black C3.black / C3.white C1.white, 58 ft"}},
	{"of two ways of one length that with fewer wires", func(s *sketch) {
		lit(s)
		s.box("yard", wiring.JunctionBox)
		s.cable("C3", "14/2", "store", "yard", 10)
		s.cable("C4", "14/2", "yard", "loft", 20)
		s.splice("yard", "C3.black", "C4.black")
		s.Splices[0].Join = append(s.Splices[0].Join, joint("C3.black"))
		s.Splices[2].Join = append(s.Splices[2].Join, joint("C4.black"))
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2 C3 C4, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},
	{"a way back without a wire, to a light whose way out has no known length", func(s *sketch) {
		s.Cables[0].Length = 0
		s.light("panel", "lamp")
		s.splice("store", "C1.black", "C1.red")
		s.splice("panel", "C1.red", "lamp.hot")
		s.splice("panel", "lamp.neutral", "shed lights.neutral")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1, 14 AWG copper\nlamp: C1.black C1.red / , 0 ft or more"}},
	{"of two wires side by side that of the earlier name", func(s *sketch) {
		lit(s)
		s.Splices[0].Join = append(s.Splices[0].Join, joint("C2.red"))
		s.Splices[2].Join = append(s.Splices[2].Join, joint("C2.red"))
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},
	{"a length that is not known", func(s *sketch) { lit(s); s.Cables[1].Length = 0 },
		[]string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 40 ft or more"}},
	{"a neutral that was never joined", func(s *sketch) { lit(s); s.Splices[1].Join = joints("C1.white") },
		[]string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / no way, 50 ft or more"}},
	{"a cut wire carries nothing on", func(s *sketch) { lit(s); s.Opens = []wiring.Wire{wire("C2.black")} },
		[]string{"shed lights: 15 A 120 V 1 0 W by C1 C2, 14 AWG copper"}},
	{"and is hot as far as the cut, whichever end the cable begins at", func(s *sketch) {
		lit(s)
		s.Opens = []wiring.Wire{wire("C2.black")}
		s.Cables[1].From, s.Cables[1].To = "loft", "store"
	}, []string{"shed lights: 15 A 120 V 1 0 W by C1 C2, 14 AWG copper"}},
	{"the smallest wire on the way out", func(s *sketch) { lit(s); s.Cables[0].Type = cableType(s.tb, "12/3") },
		[]string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},
	{"the smallest wire on the way back, where no hot comes", func(s *sketch) {
		lit(s)
		s.Cables[0].Type, s.Cables[1].Type = cableType(s.tb, "12/3"), cableType(s.tb, "12/3")
		s.cable("C3", "14/2", "store", "loft", 9)
		s.Splices[1].Join[1], s.Splices[3].Join[0] = joint("C3.white"), joint("C3.white")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2 C3, 14 AWG copper\nlamp: C1.black C2.black / C3.white C1.white, 79 ft"}},
	{"of one size the metal that carries less", func(s *sketch) {
		lit(s)
		s.Cables[0].Type, s.Cables[1].Type = cableType(s.tb, "12/3"), cableType(s.tb, "12/3 aluminum")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 12 AWG aluminum\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},

	{"a light on two circuits of one line is in both", func(s *sketch) {
		lit(s)
		secondFeed(s, switchnet.LineA)
		s.Splices[0].Join = append(s.Splices[0].Join, joint("C9.black"))
		s.Splices[1].Join = append(s.Splices[1].Join, joint("C9.white"))
	}, []string{
		"shed lights: 15 A 120 V 1 18 W by C1 C2 C9, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft",
		"yard: 15 A 120 V 1 18 W by C1 C2 C9, 14 AWG copper\nlamp: C9.black C2.black / C2.white C9.white, 70 ft"}},
	{"a borrowed neutral is no way back", func(s *sketch) {
		lit(s)
		secondFeed(s, switchnet.LineA)
		s.Splices[1].Join = joints("C9.white", "C2.white")
	}, []string{
		"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / no way, 50 ft or more",
		"yard: 15 A 120 V 1 0 W by C9, 14 AWG copper"}},
	{"a switch that takes one circuit or the other turns no current from one into the other", func(s *sketch) {
		secondFeed(s, switchnet.LineB)
		s.device("store", "transfer", switchnet.ThreeWay())
		s.light("loft", "lamp")
		s.land("store", "transfer.traveler 1", "C1.black")
		s.land("store", "transfer.traveler 2", "C9.black")
		s.land("store", "transfer.common", "C2.black")
		s.splice("store", "C1.white", "C2.white", "C9.white")
		s.splice("loft", "C2.black", "lamp.hot")
		s.splice("loft", "C2.white", "lamp.neutral")
	}, []string{
		"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft",
		"yard: 15 A 120 V 1 18 W by C2 C9, 14 AWG copper\nlamp: C9.black C2.black / C2.white C9.white, 70 ft"}},
	{"both poles of a switch one after the other", bothPoles, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.black / C2.white C1.white, 100 ft"}},
	{"two contacts of a four-way that one position closes, by way of the loft", loopedFourWay, []string{"shed lights: 15 A 120 V 1 18 W by C1 C2, 14 AWG copper\nlamp: C1.black C2.red C2.black / C1.white, 100 ft"}},
	{"two switches on one yoke, one after the other, need both on", func(s *sketch) {
		s.device("store", "aisle", switchnet.TwoSwitches())
		s.light("store", "lamp")
		s.land("store", "aisle.line 1", "C1.black")
		s.splice("store", "aisle.load 1", "aisle.line 2")
		s.splice("store", "aisle.load 2", "lamp.hot")
		s.splice("store", "C1.white", "lamp.neutral")
	}, []string{"shed lights: 15 A 120 V 1 18 W by C1, 14 AWG copper\nlamp: C1.black / C1.white, 40 ft"}},
	{"line to line: out on one pole, back on the other", func(s *sketch) {
		s.Feeds[0].Poles = 2
		s.Landings[0].Terminal = "hot 1"
		s.land("panel", "shed lights.hot 2", "C1.red")
		s.light("store", "heater")
		s.splice("store", "C1.black", "heater.hot")
		s.splice("store", "C1.red", "heater.neutral")
	}, []string{"shed lights: 15 A 240 V 2 18 W by C1, 14 AWG copper\nheater: C1.black / C1.red, 40 ft"}},
	{"a shared neutral: one light on each pole", func(s *sketch) {
		s.Feeds[0].Poles = 2
		s.Landings[0].Terminal = "hot 1"
		s.land("panel", "shed lights.hot 2", "C1.red")
		s.light("store", "lamp 1")
		s.light("store", "lamp 2")
		s.splice("store", "C1.black", "lamp 1.hot")
		s.splice("store", "C1.red", "lamp 2.hot")
		s.splice("store", "C1.white", "lamp 1.neutral", "lamp 2.neutral")
	}, []string{"shed lights: 15 A 240 V 2 36 W by C1, 14 AWG copper\nlamp 1: C1.black / C1.white, 40 ft\nlamp 2: C1.red / C1.white, 40 ft"}},
	{"three poles", func(s *sketch) {
		s.Supply = switchnet.Wye120()
		s.Feeds[0].Poles = 3
		s.Landings[0].Terminal = "hot 3"
	}, []string{"shed lights: 15 A 208 V 3 0 W by C1, 14 AWG copper"}},
	{"circuits in the order of names, whatever the order of the feeds", func(s *sketch) {
		s.feed("panel", "attic")
		s.feed("loft", "shed lights")
	}, []string{"shed lights: 15 A 120 V 1 0 W by , no size unset", "attic: 15 A 120 V 1 0 W by , no size unset", nothing}},
}

// lit lights a lamp in the loft without any switch.
func lit(s *sketch) {
	s.light("loft", "lamp")
	s.splice("store", "C1.black", "C2.black")
	s.splice("store", "C1.white", "C2.white")
	s.splice("loft", "C2.black", "lamp.hot")
	s.splice("loft", "C2.white", "lamp.neutral")
}

// inLine puts two lamps in line with each other behind a switch, one in each box.
func inLine(s *sketch) {
	s.device("store", "aisle", switchnet.SinglePole())
	s.light("store", "lamp 1")
	s.light("loft", "lamp 2")
	s.land("store", "aisle.line", "C1.black")
	s.splice("store", "aisle.load", "lamp 1.hot")
	s.splice("store", "lamp 1.neutral", "C2.red")
	s.splice("loft", "C2.red", "lamp 2.hot")
	s.splice("loft", "C2.white", "lamp 2.neutral")
	s.splice("store", "C1.white", "C2.white")
}

// bothPoles takes a hot through both poles of a switch.
func bothPoles(s *sketch) {
	s.device("store", "isolator", switchnet.DoublePole())
	s.light("loft", "lamp")
	s.land("store", "isolator.line 1", "C1.black")
	s.splice("store", "isolator.load 1", "isolator.line 2")
	s.land("store", "isolator.load 2", "C2.black")
	s.splice("store", "C1.white", "C2.white")
	s.splice("loft", "C2.black", "lamp.hot")
	s.splice("loft", "C2.white", "lamp.neutral")
}

// loopedFourWay joins one pair of a four-way in the loft, so that the lamp is always
// on, by one wire or the other.
func loopedFourWay(s *sketch) {
	s.device("store", "aisle", switchnet.FourWay())
	s.light("store", "lamp")
	s.land("store", "aisle.pair 1 first", "C1.black")
	s.land("store", "aisle.pair 2 first", "C2.black")
	s.splice("loft", "C2.black", "C2.red")
	s.land("store", "aisle.pair 2 second", "C2.red")
	s.splice("store", "aisle.pair 1 second", "lamp.hot")
	s.splice("store", "C1.white", "lamp.neutral")
}

func TestCircuits(t *testing.T) {
	if c := build(t, pair(t)).Circuits(); len(c) != 1 || circuitText(c[0]) != plainPair {
		t.Errorf("the pair: %s", circuitText(c[0]))
	}
	for _, test := range benchCircuits {
		s := bench(t)
		test.spec(s)
		var got []string
		for _, c := range build(t, s.Spec).Circuits() {
			got = append(got, circuitText(c))
		}
		if strings.Join(got, "\n") != strings.Join(test.want, "\n") {
			t.Errorf("%s:\n%s\nwant\n%s", test.why, strings.Join(got, "\n"), strings.Join(test.want, "\n"))
		}
	}
}

func TestLongest(t *testing.T) {
	leg := func(feet int) []wiring.Leg {
		return []wiring.Leg{{Wire: wire("C1.black"), Size: conductor.AWG(14), Material: conductor.Copper, Length: quantity.Length(feet) * quantity.Foot}}
	}
	route := func(name string, out, back int, complete bool) wiring.Route {
		return wiring.Route{Light: switchnet.Ref{Place: "store", Name: name}, Out: leg(out), Back: leg(back), Complete: complete}
	}
	tests := []struct {
		why    string
		routes []wiring.Route
		want   string
	}{
		{"none", nil, ""},
		{"out and back count", []wiring.Route{route("a", 9, 1, true), route("b", 5, 6, true)}, "b"},
		{"the first of equals", []wiring.Route{route("a", 5, 5, true), route("b", 4, 6, true)}, "a"},
		{"what is not known does not count", []wiring.Route{route("a", 1, 1, true), route("b", 90, 0, false)}, "a"},
		{"nothing is known", []wiring.Route{route("b", 90, 0, false)}, ""},
		{"no wire at all is a length too", []wiring.Route{{Light: switchnet.Ref{Name: "a"}, Complete: true}}, "a"},
	}
	for _, test := range tests {
		r, ok := wiring.Circuit{Routes: test.routes}.Longest()
		if r.Light.Name != test.want || ok != (test.want != "") {
			t.Errorf("%s: %v, %v, want %q", test.why, r.Light, ok, test.want)
		}
	}
}
