package wiring_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// truth writes what some loads do in every state, one word a state in the order of
// counting: for each load 1 lit, 0 unlit, d dim, x faulted; and ! after it if anything
// is shorted.
func truth(tb testing.TB, net *switchnet.Net, loads ...switchnet.Ref) string {
	tb.Helper()
	states, _, err := net.States(nil)
	if err != nil {
		tb.Fatal(err)
	}
	var words []string
	solver := net.NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			tb.Fatal(err)
		}
		word := ""
		for _, l := range loads {
			sup, ok := v.Supply(l)
			if !ok {
				tb.Fatalf("there is no %v", l)
			}
			word += map[switchnet.LoadStatus]string{switchnet.Unlit: "0", switchnet.Lit: "1", switchnet.Dim: "d", switchnet.Faulted: "x"}[sup.Status]
		}
		if v.Shorted() {
			word += "!"
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

// chain wires a lamp switched from the given number of places, two or more, in a
// row, fed at the first and with the lamp beyond the last.
func chain(tb tester, places int) wiring.Spec {
	s := newSketch(tb)
	s.feed("panel", "shed lights")
	s.light("ridge", "lamp")
	place := func(i int) string { return fmt.Sprintf("door %d", i) }
	s.cable("C0", "14/2", "panel", place(0), 10)
	s.land("panel", "shed lights.hot", "C0.black")
	s.land("panel", "shed lights.neutral", "C0.white")
	for i := range places {
		p, in, out := place(i), fmt.Sprintf("C%d", i), fmt.Sprintf("C%d", i+1)
		s.box(p, wiring.DeviceBox)
		next, kind := place(i+1), "14/3"
		if i == places-1 {
			next, kind = "ridge", "14/2"
		}
		s.cable(out, kind, p, next, 10)
		s.splice(p, in+".white", out+".white")
		switch i {
		case 0:
			s.device(p, "aisle", switchnet.ThreeWay())
			s.land(p, "aisle.common", in+".black")
			s.land(p, "aisle.traveler 1", out+".black")
			s.land(p, "aisle.traveler 2", out+".red")
		case places - 1:
			s.device(p, "aisle", switchnet.ThreeWay())
			s.land(p, "aisle.traveler 1", in+".black")
			s.land(p, "aisle.traveler 2", in+".red")
			s.land(p, "aisle.common", out+".black")
		default:
			s.device(p, "aisle", switchnet.FourWay())
			s.land(p, "aisle.pair 1 first", in+".black")
			s.land(p, "aisle.pair 1 second", in+".red")
			s.land(p, "aisle.pair 2 first", out+".black")
			s.land(p, "aisle.pair 2 second", out+".red")
		}
	}
	s.box("ridge", wiring.CeilingBox)
	s.splice("ridge", fmt.Sprintf("C%d.black", places), "lamp.hot")
	s.splice("ridge", fmt.Sprintf("C%d.white", places), "lamp.neutral")
	return s.Spec
}

// A chain of cables does what the same switches do when they are joined by hand.
func TestChainAsBuiltByHand(t *testing.T) {
	lamp := switchnet.Ref{Place: "ridge", Name: "lamp"}
	for places := 2; places <= 5; places++ {
		var b switchnet.Builder
		src := switchnet.Source{Ref: switchnet.Ref{Name: "service"}, System: switchnet.SplitPhase()}
		b.Source(src)
		b.Load(switchnet.Load{Ref: lamp})
		at := func(i int, name string) switchnet.Terminal {
			return switchnet.Terminal{Place: fmt.Sprintf("door %d", i), Device: "aisle", Name: name}
		}
		out := [2]string{"traveler 1", "traveler 2"}
		for i := range places {
			in := [2]string{"pair 1 first", "pair 1 second"}
			kind := switchnet.FourWay()
			if i == 0 || i == places-1 {
				in, kind = [2]string{"traveler 1", "traveler 2"}, switchnet.ThreeWay()
			}
			b.Device(fmt.Sprintf("door %d", i), "aisle", kind)
			if i > 0 {
				b.Conductor(fmt.Sprint(i, " first"), at(i-1, out[0]), at(i, in[0]))
				b.Conductor(fmt.Sprint(i, " second"), at(i-1, out[1]), at(i, in[1]))
				out = [2]string{"pair 2 first", "pair 2 second"}
			}
		}
		b.Conductor("hot", src.Rail(switchnet.LineA), at(0, "common"))
		b.Conductor("leg", at(places-1, "common"), lamp.Terminal("hot"))
		b.Conductor("neutral", src.Rail(switchnet.Neutral), lamp.Terminal("neutral"))
		net, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		want := truth(t, net, lamp)
		got := truth(t, build(t, chain(t, places)).Net(), lamp)
		if got != want || strings.Count(want, "1") != 1<<places/2 {
			t.Errorf("%d places: %s, by hand %s", places, got, want)
		}
	}
}

// benchTruths are what the lamps of the bench do, worked out by hand: states count
// the devices in the order of their boxes (loft before store), up before down.
var benchTruths = []struct {
	why   string
	spec  func(s *sketch)
	lamps []switchnet.Ref
	want  string
}{
	{"joined commons: hot and leg on the throws of both", joinedCommons, lamps("store lamp"), "0 1 1 0"},
	{"feed and lamp both at the store, the loft a dead end", func(s *sketch) {
		threeWays(s)
		s.Landings = s.Landings[:3]
		s.light("store", "lamp")
		s.splice("store", "C1.black", "C2.white") // re-marked hot
		s.land("loft", "stair.common", "C2.white")
		s.land("loft", "stair.traveler 1", "C2.red")
		s.land("loft", "stair.traveler 2", "C2.black")
		s.land("store", "stair.traveler 1", "C2.red")
		s.land("store", "stair.traveler 2", "C2.black")
		s.splice("store", "stair.common", "lamp.hot")
		s.splice("store", "C1.white", "lamp.neutral")
	}, lamps("store lamp"), "1 0 0 1"},
	{"the feed at the lamp, a loop down to the switch", func(s *sketch) {
		s.light("store", "lamp")
		s.device("loft", "aisle", switchnet.SinglePole())
		s.splice("store", "C1.black", "C2.white") // re-marked hot
		s.land("loft", "aisle.line", "C2.white")
		s.land("loft", "aisle.load", "C2.black")
		s.splice("store", "C2.black", "lamp.hot")
		s.splice("store", "C1.white", "lamp.neutral")
	}, lamps("store lamp"), "0 1"},
	{"half a receptacle is switched, half is not", func(s *sketch) {
		halfHot(s)
		s.splice("store", "C1.black", "aisle.line", "C2.black")
		s.Landings = slices.Delete(s.Landings, 3, 4) // aisle.line
		s.land("loft", "counter.hot 1", "C2.black")
		s.plug("loft", "lamp 1", "counter", "hot 1", "neutral 1")
		s.plug("loft", "lamp 2", "counter", "hot 2", "neutral 2")
	}, lamps("loft lamp 1", "loft lamp 2"), "10 11"},
	{"the same with its tab left in: the switch does nothing", func(s *sketch) {
		halfHot(s)
		s.Devices[1].Kind = switchnet.Receptacle()
		s.splice("store", "C1.black", "aisle.line", "C2.black")
		s.Landings = slices.Delete(s.Landings, 3, 4)
		s.land("loft", "counter.hot 1", "C2.black")
		s.plug("loft", "lamp 1", "counter", "hot 1", "neutral 1")
		s.plug("loft", "lamp 2", "counter", "hot 2", "neutral 2")
	}, lamps("loft lamp 1", "loft lamp 2"), "11 11"},
	{"two lamps in line", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.light("store", "lamp 1")
		s.light("loft", "lamp 2")
		s.land("store", "aisle.line", "C1.black")
		s.splice("store", "aisle.load", "lamp 1.hot")
		s.splice("store", "lamp 1.neutral", "C2.black")
		s.splice("loft", "C2.black", "lamp 2.hot")
		s.splice("loft", "C2.white", "lamp 2.neutral")
		s.splice("store", "C1.white", "C2.white")
	}, lamps("store lamp 1", "loft lamp 2"), "00 dd"},
	{"240 V between the poles of a feed", func(s *sketch) {
		s.Feeds[0].Poles = 2
		s.Landings[0].Terminal = "hot 1"
		s.land("panel", "shed lights.hot 2", "C1.red")
		s.light("store", "heater")
		s.splice("store", "C1.black", "heater.hot")
		s.splice("store", "C1.red", "heater.neutral")
	}, lamps("store heater"), "1"},
	{"neutral on ground shorts nothing", func(s *sketch) { lit(s); s.tie("loft", "C2.white", "C2.bare"); s.splice("store", "C1.bare", "C2.bare") },
		lamps("loft lamp"), "1"},
	{"hot on the ground of a metal box", func(s *sketch) {
		lit(s)
		s.Boxes[2].Metal = true
		s.splice("store", "C1.bare", "C2.bare")
		s.land("loft", "box.ground", "C2.bare")
		s.tie("loft", "C2.black", "box.ground")
	}, lamps("loft lamp"), "0!"}, // the metal is at ground, and the closed breaker is the short
	{"a wire whose other end nobody has found carries nothing on", func(s *sketch) {
		lit(s)
		s.Cables[1].To = ""
		s.Splices = s.Splices[:2]
	}, lamps("loft lamp"), "0"},
}

func lamps(names ...string) []switchnet.Ref {
	var refs []switchnet.Ref
	for _, n := range names {
		place, name, _ := strings.Cut(n, " ")
		refs = append(refs, switchnet.Ref{Place: place, Name: name})
	}
	return refs
}

func TestTruth(t *testing.T) {
	for _, test := range benchTruths {
		s := bench(t)
		test.spec(s)
		if got := truth(t, build(t, s.Spec).Net(), test.lamps...); got != test.want {
			t.Errorf("%s: %s, want %s", test.why, got, test.want)
		}
	}
}

// What a mistake makes of the pair. How many of the four states are lit, and in how
// many something is shorted, is counted by hand.
func TestSignatures(t *testing.T) {
	loft := func(a, b string) wiring.Edit {
		return wiring.SwapLandings{Box: "loft", A: wire(a), B: wire(b)}
	}
	store := func(a, b string) wiring.Edit {
		return wiring.SwapLandings{Box: "store", A: wire(a), B: wire(b)}
	}
	tie := func(box, a, b string) wiring.Edit { return wiring.TieJoints{Box: box, A: joint(a), B: joint(b)} }
	tests := []struct {
		why        string
		edits      []wiring.Edit
		lit, short int
	}{
		{"right", nil, 2, 0},
		{"travelers exchanged: harmless", []wiring.Edit{loft("C2.black", "C2.red")}, 2, 0},
		{"leg and traveler exchanged at the far end", []wiring.Edit{loft("C2.red", "C3.black")}, 1, 0},
		{"hot and traveler exchanged at the near end", []wiring.Edit{store("C2.red", "C1.black")}, 1, 0},
		{"an open traveler", []wiring.Edit{wiring.Cut{Wire: wire("C2.red")}}, 1, 0},
		{"the same, off its screw", []wiring.Edit{wiring.Release{End: end("loft", "C2.red")}}, 1, 0},
		{"the same, under a cap", []wiring.Edit{wiring.CapEnd{End: end("store", "C2.red")}}, 1, 0},
		{"mended", []wiring.Edit{wiring.Cut{Wire: wire("C2.red")}, wiring.Mend{Wire: wire("C2.red")}}, 2, 0},
		{"travelers together", []wiring.Edit{tie("loft", "C2.red", "C2.black")}, 4, 0},
		{"hot on a traveler", []wiring.Edit{tie("store", "C1.black", "C2.red")}, 3, 0},
		{"leg on a traveler", []wiring.Edit{tie("loft", "C3.black", "C2.red")}, 3, 0},
		{"neutral on a traveler", []wiring.Edit{tie("loft", "C3.white", "C2.red")}, 1, 2},
		{"a single-pole at the near end", []wiring.Edit{wiring.ReplaceDevice{Device: switchnet.Ref{Place: "store", Name: "stair"}, Kind: switchnet.SinglePole(),
			Rename: map[string]string{"common": "line", "traveler 1": "load", "traveler 2": "ground"}}}, 1, 0},
		{"an open neutral", []wiring.Edit{wiring.SplitSplice{Box: "loft", Out: joints("C2.white")}}, 0, 0},
		{"and the neutral spliced again", []wiring.Edit{wiring.SplitSplice{Box: "loft", Out: joints("C2.white")}, wiring.JoinSplice{Box: "loft", Join: joints("C3.white", "C2.white")}}, 2, 0},
		{"a mark and another cable change nothing", []wiring.Edit{wiring.Remark{End: end("loft", "C2.white"), As: conductor.Plain(conductor.Black)},
			wiring.ChangeCable{Name: "C2", Type: cableType(t, "12/3")}}, 2, 0},
	}
	w := build(t, pair(t))
	for _, test := range tests {
		after, err := w.Apply(test.edits...)
		if err != nil {
			t.Errorf("%s: %v", test.why, err)
			continue
		}
		got := truth(t, after.Net(), switchnet.Ref{Place: "ridge", Name: "ridge lamp"})
		if lit, short := strings.Count(got, "1"), strings.Count(got, "!"); lit != test.lit || short != test.short {
			t.Errorf("%s: lit in %d and shorted in %d of %s, want %d and %d", test.why, lit, short, got, test.lit, test.short)
		}
	}
}

// The net names what there is, and an open wire is not in it.
func TestNetNames(t *testing.T) {
	s := pair(t)
	s.Boxes[1].Metal = true
	s.Cables = append(s.Cables, wiring.Cable{Name: "C9", Type: cableType(t, "14/2"), From: "loft"})
	s.Opens = []wiring.Wire{wire("C2.red")}
	net := build(t, s).Net()
	for _, term := range []switchnet.Terminal{
		wire("C2.red").In("loft"), wire("C9.white").In("loft"), wire("C9.white").In(wiring.UnknownPlace("C9")),
		{Place: "store", Device: "box", Name: "ground"}, {Place: "store", Device: "stair", Name: "ground"},
		{Place: "ridge", Device: "ridge lamp", Name: "ground"}, {Place: "panel", Device: "shed lights", Name: "neutral"},
		{Device: "service", Name: "line B"},
	} {
		if !net.Has(term) {
			t.Errorf("the net has no %v", term)
		}
	}
	for _, term := range []switchnet.Terminal{wire("C2.red").In("panel"), {Place: "loft", Device: "box", Name: "ground"}} {
		if net.Has(term) {
			t.Errorf("the net has %v", term)
		}
	}
	names := map[string]bool{}
	for c := range net.Conductors() {
		names[c.Name] = true
	}
	if !names["C2.black"] || names["C2.red"] || !names["C9.white"] {
		t.Errorf("wires of the net: %v", names)
	}
}

// The hots of a feed are called as the net has them.
func TestHots(t *testing.T) {
	lines := []switchnet.Rail{switchnet.LineA, switchnet.LineB}
	for _, row := range []struct {
		why  string
		feed wiring.Feed
		want []string
	}{
		{"one pole, unsaid", wiring.Feed{}, []string{"hot"}},
		{"one pole on a line", wiring.Feed{Lines: lines[1:]}, []string{"hot"}},
		{"two poles", wiring.Feed{Poles: 2}, []string{"hot 1", "hot 2"}},
		{"two lines", wiring.Feed{Lines: lines}, []string{"hot 1", "hot 2"}},
		{"three poles", wiring.Feed{Poles: 3}, []string{"hot 1", "hot 2", "hot 3"}},
	} {
		if got := row.feed.Hots(); !slices.Equal(got, row.want) {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
		f := row.feed
		f.Name, f.Box, f.Breaker = "lights", "panel", 15*quantity.Ampere
		w, err := wiring.New(wiring.Spec{Supply: switchnet.Wye120(), Feeds: []wiring.Feed{f}, Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}}})
		if err != nil {
			t.Fatalf("%s: %v", row.why, err)
		}
		var in []string
		for x := range w.Net().Terminals() {
			if x.Device == "lights" && strings.HasPrefix(x.Name, "hot") {
				in = append(in, x.Name)
			}
		}
		if !slices.Equal(in, row.want) {
			t.Errorf("%s: the net has %q, want %q", row.why, in, row.want)
		}
	}
}
