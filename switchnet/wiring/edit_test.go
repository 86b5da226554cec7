package wiring_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// ends writes where the ends of the loft are: splices, landings and caps in the
// order of the Spec.
func endsOf(s wiring.Spec, box string) string {
	var parts []string
	for _, sp := range s.Splices {
		if sp.Box == box {
			var names []string
			for _, j := range sp.Join {
				names = append(names, j.String())
			}
			parts = append(parts, strings.Join(names, "+"))
		}
	}
	for _, l := range s.Landings {
		if l.Box == box {
			parts = append(parts, l.Wire.String()+" on "+l.Device+"."+l.Terminal)
		}
	}
	for _, c := range s.Caps {
		if c.Box == box {
			parts = append(parts, c.Wire.String()+" capped")
		}
	}
	return strings.Join(parts, ", ")
}

const (
	loftSplices = "C2.white+C3.white, C2.bare+C3.bare+stair.ground"
	loftLanded  = "C2.black on stair.traveler 1, C2.red on stair.traveler 2, C3.black on stair.common"
	loft        = loftSplices + ", " + loftLanded
)

// loftEdits are edits of the loft of the pair, with what the ends there do after.
var loftEdits = []struct {
	why   string
	edits []wiring.Edit
	want  string
}{
	{"nothing to do", nil, loft},
	{"a landed wire to another screw, in its place in the list", []wiring.Edit{wiring.MoveLanding{End: end("loft", "C2.black"), Device: "stair", Terminal: "common"}},
		loftSplices + ", C2.black on stair.common, C2.red on stair.traveler 2, C3.black on stair.common"},
	{"a spliced wire to a screw", []wiring.Edit{wiring.MoveLanding{End: end("loft", "C2.white"), Device: "stair", Terminal: "common"}},
		"C3.white, C2.bare+C3.bare+stair.ground, " + loftLanded + ", C2.white on stair.common"},
	{"a capped wire to a screw", []wiring.Edit{wiring.CapEnd{End: end("loft", "C2.red")}, wiring.MoveLanding{End: end("loft", "C2.red"), Device: "stair", Terminal: "traveler 2"}},
		loftSplices + ", C2.black on stair.traveler 1, C3.black on stair.common, C2.red on stair.traveler 2"},
	{"a hanging wire to a screw", []wiring.Edit{wiring.Release{End: end("loft", "C3.black")}, wiring.MoveLanding{End: end("loft", "C3.black"), Device: "stair", Terminal: "common"}}, loft},
	{"two wires exchanged keep their places", []wiring.Edit{wiring.SwapLandings{Box: "loft", A: wire("C2.red"), B: wire("C3.black")}},
		loftSplices + ", C2.black on stair.traveler 1, C3.black on stair.traveler 2, C2.red on stair.common"},
	{"a landed wire released", []wiring.Edit{wiring.Release{End: end("loft", "C2.red")}},
		loftSplices + ", C2.black on stair.traveler 1, C3.black on stair.common"},
	{"a spliced wire released, and the last one takes the splice along", []wiring.Edit{wiring.Release{End: end("loft", "C2.white")}, wiring.Release{End: end("loft", "C3.white")}},
		"C2.bare+C3.bare+stair.ground, " + loftLanded},
	{"a capped wire released", []wiring.Edit{wiring.CapEnd{End: end("loft", "C2.red")}, wiring.Release{End: end("loft", "C2.red")}},
		loftSplices + ", C2.black on stair.traveler 1, C3.black on stair.common"},
	{"a landed wire capped", []wiring.Edit{wiring.CapEnd{End: end("loft", "C2.red")}},
		loftSplices + ", C2.black on stair.traveler 1, C3.black on stair.common, C2.red capped"},
	{"a spliced wire capped", []wiring.Edit{wiring.CapEnd{End: end("loft", "C3.white")}},
		"C2.white, C2.bare+C3.bare+stair.ground, " + loftLanded + ", C3.white capped"},

	{"landed wires spliced", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.red", "C3.black")}},
		loftSplices + ", C2.red+C3.black, C2.black on stair.traveler 1"},
	{"into the splice of the first, out of the splice of the second", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "C3.bare")}},
		"C2.white+C3.white+C3.bare, C2.bare+stair.ground, " + loftLanded},
	{"the first is in no splice: out of both others", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.red", "C2.white", "C2.bare")}},
		"C3.white, C3.bare+stair.ground, C2.red+C2.white+C2.bare, C2.black on stair.traveler 1, C3.black on stair.common"},
	{"two splices made one; the other ends with its last wire", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.bare", "C2.white", "C3.white")}},
		"C2.bare+C3.bare+stair.ground+C2.white+C3.white, " + loftLanded},
	{"out from under a cap", []wiring.Edit{wiring.CapEnd{End: end("loft", "C2.red")}, wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "C2.red")}},
		"C2.white+C3.white+C2.red, C2.bare+C3.bare+stair.ground, C2.black on stair.traveler 1, C3.black on stair.common"},
	{"what is there already, and named twice", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "C3.white", "C3.white", "C2.white")}}, loft},
	{"a terminal keeps what it has", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "stair.common", "stair.ground")}},
		"C2.white+C3.white+stair.common+stair.ground, C2.bare+C3.bare+stair.ground, " + loftLanded},
	{"a terminal in two splices takes others into the first by name", []wiring.Edit{
		wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "stair.ground")}, wiring.JoinSplice{Box: "loft", Join: joints("stair.ground", "C2.red")}},
		"C2.white+C3.white+stair.ground, C2.bare+C3.bare+stair.ground+C2.red, C2.black on stair.traveler 1, C3.black on stair.common"},
	{"a terminal that was split out goes where it is joined", []wiring.Edit{
		wiring.SplitSplice{Box: "loft", Out: joints("stair.ground")}, wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "stair.ground")}},
		"C2.white+C3.white+stair.ground, C2.bare+C3.bare, " + loftLanded},
	{"one splice of one wire", []wiring.Edit{wiring.JoinSplice{Box: "loft", Join: joints("C2.red")}},
		loftSplices + ", C2.red, C2.black on stair.traveler 1, C3.black on stair.common"},
	{"a splice apart", []wiring.Edit{wiring.SplitSplice{Box: "loft", Out: joints("C3.bare", "stair.ground")}},
		"C2.white+C3.white, C2.bare, C3.bare+stair.ground, " + loftLanded},
	{"of a terminal's two splices the one that holds all", []wiring.Edit{
		wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "stair.ground")}, wiring.SplitSplice{Box: "loft", Out: joints("stair.ground", "C2.white")}},
		"C3.white, C2.bare+C3.bare+stair.ground, stair.ground+C2.white, " + loftLanded},
	{"and the first by name if both do", []wiring.Edit{
		wiring.JoinSplice{Box: "loft", Join: joints("C2.white", "stair.ground")}, wiring.SplitSplice{Box: "loft", Out: joints("stair.ground")}},
		"C2.white+C3.white+stair.ground, C2.bare+C3.bare, stair.ground, " + loftLanded},
	{"a single-pole in the place of a three-way", []wiring.Edit{wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "stair"}, Kind: switchnet.SinglePole(),
		Rename: map[string]string{"common": "line", "traveler 1": "load", "traveler 2": "load"}}},
		loftSplices + ", C2.black on stair.load, C2.red on stair.load, C3.black on stair.line"},
	{"what becomes one screw is listed once", []wiring.Edit{
		wiring.JoinSplice{Box: "loft", Join: joints("C2.red", "stair.traveler 1", "stair.traveler 2")},
		wiring.JoinSplice{Box: "loft", Join: joints("stair.common", "stair.traveler 1")}, wiring.TieJoints{Box: "loft", A: joint("stair.traveler 1"), B: joint("stair.traveler 2")},
		wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "stair"}, Kind: switchnet.SinglePole(),
			Rename: map[string]string{"common": "line", "traveler 1": "load", "traveler 2": "load"}}},
		loftSplices + ", C2.red+stair.load, stair.line+stair.load, C2.black on stair.load, C3.black on stair.line"},
	{"jumpers that become one", []wiring.Edit{
		wiring.JoinSplice{Box: "loft", Join: joints("stair.common", "stair.traveler 1")},
		wiring.SplitSplice{Box: "loft", Out: joints("stair.ground")},
		wiring.JoinSplice{Box: "loft", Join: joints("stair.traveler 2")},
		wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "stair"}, Kind: switchnet.SinglePole(),
			Rename: map[string]string{"common": "load", "traveler 1": "load", "traveler 2": "load"}}},
		"C2.white+C3.white, C2.bare+C3.bare, stair.load, stair.ground, C2.black on stair.load, C2.red on stair.load, C3.black on stair.load"},
}

func TestEdits(t *testing.T) {
	w := build(t, pair(t))
	before := w.Spec()
	for _, test := range loftEdits {
		after, err := w.Apply(test.edits...)
		if err != nil {
			t.Errorf("%s: %v", test.why, err)
			continue
		}
		if got := endsOf(after.Spec(), "loft"); got != test.want {
			t.Errorf("%s:\n%s\nwant\n%s", test.why, got, test.want)
		}
		s := after.Spec()
		for _, box := range []string{"panel", "store", "ridge"} {
			if got, want := endsOf(s, box), endsOf(before, box); got != want {
				t.Errorf("%s: in the %s there is %s, and was %s", test.why, box, got, want)
			}
		}
		if d := cmp.Diff(before, w.Spec(), compareSizes); d != "" {
			t.Fatalf("%s: the wiring that was edited has changed: %s", test.why, d)
		}
	}
}

var compareSizes = cmp.Comparer(func(a, b conductor.Size) bool { return a == b })

// Edits that leave the ends where they are.
func TestOtherEdits(t *testing.T) {
	tests := []struct {
		why  string
		edit wiring.Edit
		want func(s *wiring.Spec)
	}{
		{"a cut", wiring.Cut{Wire: wire("C2.red")}, func(s *wiring.Spec) { s.Opens = []wiring.Wire{wire("C2.red")} }},
		{"a tie", wiring.TieJoints{Box: "loft", A: joint("C2.red"), B: joint("stair.common")},
			func(s *wiring.Spec) {
				s.Ties = []wiring.Tie{{Box: "loft", A: joint("C2.red"), B: joint("stair.common")}}
			}},
		{"a mark", wiring.Remark{End: end("loft", "C2.white"), As: conductor.Plain(conductor.Black)},
			func(s *wiring.Spec) {
				s.Marks = []wiring.Mark{{Box: "loft", Wire: wire("C2.white"), As: conductor.Plain(conductor.Black)}}
			}},
		{"another length", wiring.ChangeCable{Name: "C2", Type: cableType(t, "14/3"), Length: 31 * quantity.Foot},
			func(s *wiring.Spec) { s.Cables[1].Length = 31 * quantity.Foot }},
		{"another type with the same conductors", wiring.ChangeCable{Name: "C2", Type: cableType(t, "12/3")},
			func(s *wiring.Spec) { s.Cables[1].Type = cableType(t, "12/3") }},
		{"a dimmer", wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "stair"}, Kind: switchnet.ThreeWayDimmer()},
			func(s *wiring.Spec) { s.Devices[1].Kind = switchnet.ThreeWayDimmer() }},
	}
	for _, test := range tests {
		want := pair(t)
		test.want(&want)
		w, err := build(t, pair(t)).Apply(test.edit)
		if err != nil {
			t.Errorf("%s: %v", test.why, err)
			continue
		}
		if d := cmp.Diff(want, w.Spec(), compareSizes); d != "" {
			t.Errorf("%s: %s", test.why, d)
		}
	}
}

// A mark changes, and goes; the marks, tags and breaks of a conductor go with it.
func TestEditsOfWords(t *testing.T) {
	w := build(t, pair(t))
	black, red := conductor.Plain(conductor.Black), conductor.Plain(conductor.Red)
	at := end("loft", "C2.white")
	var err error
	for _, as := range []conductor.Colour{black, red} {
		if w, err = w.Apply(wiring.Remark{End: at, As: as}); err != nil {
			t.Fatal(err)
		}
	}
	if m := w.Spec().Marks; len(m) != 1 || m[0].As != red {
		t.Errorf("marked again: %v", m)
	}
	if w, err = w.Apply(wiring.Remark{End: at}); err != nil || len(w.Spec().Marks) != 0 {
		t.Errorf("the marking is off: %v, %v", w.Spec().Marks, err)
	}
	s := pair(t)
	s.Marks = []wiring.Mark{{Box: "loft", Wire: wire("C2.red"), As: black}, {Box: "loft", Wire: wire("C2.white"), As: black}}
	s.Tags = []wiring.Tag{{Box: "loft", Wire: wire("C2.red"), Text: "pair"}, {Box: "ridge", Wire: wire("C3.black"), Text: "leg"}}
	s.Opens = []wiring.Wire{wire("C2.red"), wire("C2.white")}
	w, err = build(t, s).Apply(wiring.Release{End: end("loft", "C2.red")}, wiring.Release{End: end("store", "C2.red")}, wiring.ChangeCable{Name: "C2", Type: cableType(t, "14/2")})
	if err != nil {
		t.Fatal(err)
	}
	got := w.Spec()
	if len(got.Marks) != 1 || len(got.Tags) != 1 || len(got.Opens) != 1 || got.Opens[0] != wire("C2.white") {
		t.Errorf("%v, %v, %v", got.Marks, got.Tags, got.Opens)
	}
	// A light that is plugged in, and a tie, follow the terminals of what replaces
	// the device.
	sk := bench(t)
	halfHot(sk)
	sk.plug("loft", "lamp", "counter", "hot 2", "neutral 1")
	sk.tie("loft", "counter.hot 1", "C2.black")
	sk.tie("loft", "counter.hot 2", "C2.black")
	odd := switchnet.Kind{Name: "odd", Terminals: []string{"hot", "neutral"}, Positions: []switchnet.Position{{Name: "fixed"}}}
	w, err = build(t, sk.Spec).Apply(wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "counter"}, Kind: odd,
		Rename: map[string]string{"hot 1": "hot", "hot 2": "hot", "neutral 1": "neutral", "ground": "ground"}})
	if err != nil {
		t.Fatal(err)
	}
	got = w.Spec()
	if got.Lights[0].Ends != [2]string{"hot", "neutral"} || len(got.Ties) != 1 || got.Ties[0].A.Terminal != "hot" || got.Landings[5].Terminal != "hot" {
		t.Errorf("%v, %v, %v", got.Lights[0], got.Ties, got.Landings[5])
	}
	odd.Terminals[0] = "changed"
	if w.Spec().Devices[1].Kind.Terminals[0] != "hot" {
		t.Error("the wiring shares the kind of the edit")
	}
}

func TestEditErrors(t *testing.T) {
	stair := switchnet.Ref{Place: "loft", Name: "stair"}
	tests := []struct {
		why  string
		edit wiring.Edit
		want string
	}{
		{"no edit", nil, "wiring: edit 2 of 2 is nil"},
		{"a wire with itself", wiring.SwapLandings{Box: "loft", A: wire("C2.red"), B: wire("C2.red")},
			"wiring: cannot exchange C2.red and C2.red in box loft: they are one wire; name two"},
		{"neither is landed", wiring.SwapLandings{Box: "loft", A: wire("C2.white"), B: wire("C3.white")},
			"wiring: cannot exchange C2.white and C3.white in box loft: C2.white is landed on no terminal of that box; land it first\nC3.white is landed on no terminal of that box; land it first"},
		{"one is landed in another box", wiring.SwapLandings{Box: "loft", A: wire("C2.red"), B: wire("C1.black")},
			"wiring: cannot exchange C2.red and C1.black in box loft: C1.black is landed on no terminal of that box; land it first"},
		{"what hangs already", wiring.Release{End: end("store", "C3.black")},
			"wiring: cannot take C3.black in box store off: it is landed, spliced or capped nowhere in that box; name a wire that is"},
		{"a splice of nothing", wiring.JoinSplice{Box: "loft"}, "wiring: cannot splice  together in box loft: it joins nothing; name what to join"},
		{"a split of nothing", wiring.SplitSplice{Box: "loft"}, "wiring: cannot take  out of the splice in box loft and splice it apart: it takes nothing out; name what to take out"},
		{"a split of what is landed", wiring.SplitSplice{Box: "loft", Out: joints("C2.white", "C2.red")},
			"wiring: cannot take C2.white and C2.red out of the splice in box loft and splice it apart: C2.red is in no splice of that box; name what is in one"},
		{"a split of two splices", wiring.SplitSplice{Box: "loft", Out: joints("C2.white", "C2.bare")},
			"wiring: cannot take C2.white and C2.bare out of the splice in box loft and splice it apart: no one splice holds them all; name joints of one splice"},
		{"a split that takes all", wiring.SplitSplice{Box: "loft", Out: joints("C2.white", "C3.white")},
			"wiring: cannot take C2.white and C3.white out of the splice in box loft and splice it apart: nothing would be left of the splice; leave a joint in it"},
		{"a split that names one twice", wiring.SplitSplice{Box: "loft", Out: joints("C2.bare", "C3.bare", "C2.bare")},
			"wiring: cannot take C2.bare, C3.bare and C2.bare out of the splice in box loft and splice it apart: C2.bare is named twice; name it once"},
		{"a cap on a wire that is not there", wiring.CapEnd{End: end("store", "C9.black")}, `wiring: caps[1].wire: there is no cable called "C9"; known: C1, C2, C3`},
		{"a mend of what is whole", wiring.Mend{Wire: wire("C2.red")}, "wiring: cannot make C2.red whole: it is not open; name a wire that is"},
		{"parting what does not touch", wiring.Untie{Box: "loft", A: joint("C2.red"), B: joint("C2.black")},
			"wiring: cannot part C2.red and C2.black in box loft: they do not touch; name two that do"},
		{"no such device", wiring.ReplaceDevice{Device: switchnet.Ref{Place: "attic", Name: "stair"}, Kind: switchnet.SinglePole()},
			"wiring: cannot replace stair at attic with a single-pole: there is no such device; name one by its box and its name"},
		{"a terminal the old device lacks", wiring.ReplaceDevice{Device: stair, Kind: switchnet.SinglePole(), Rename: map[string]string{"line": "line", "comon": "line"}},
			`wiring: cannot replace stair at loft with a single-pole: it has no terminal "comon" to rename; it has ["common" "traveler 1" "traveler 2"]`},
		{"a terminal nobody renamed", wiring.ReplaceDevice{Device: stair, Kind: switchnet.SinglePole(), Rename: map[string]string{"common": "line", "traveler 1": "load"}},
			`wiring: landings[7].terminal: "stair" in box "loft" has no terminal "traveler 2"; known: line, load, ground`},
		{"taking off what is not there", wiring.Remark{End: end("loft", "C2.white")},
			"wiring: cannot take the marking off C2.white in box loft: it is not marked; name an end that is"},
		{"a colour that is none does not take the marking off", wiring.Remark{End: end("loft", "C2.white"), As: conductor.Plain(200)},
			`wiring: marks[0].as: C2.white in box "loft" is re-marked as no colour`},
		{"no such cable", wiring.ChangeCable{Name: "C9", Type: cableType(t, "14/2")}, "wiring: cannot make cable C9 a 14/2: there is no such cable; name one of the job"},
		{"a conductor still in use", wiring.ChangeCable{Name: "C2", Type: cableType(t, "14/2")},
			"wiring: landings[5].wire: cable \"C2\" (14/2) has no conductor \"red\"; known: black, white, bare\nwiring: landings[7].wire: cable \"C2\" (14/2) has no conductor \"red\"; known: black, white, bare"},
		{"a negative length", wiring.ChangeCable{Name: "C2", Type: cableType(t, "14/3"), Length: -1 * quantity.Meter},
			`wiring: cables[1].length: cable "C2" is -1 m long; a length is not below zero and not above 10 km, and 0 if it is not known`},
		{"a landing on what is not there", wiring.MoveLanding{End: end("loft", "C2.white"), Device: "aisle", Terminal: "common"},
			`wiring: landings[9].device: box "loft" has no device, light or feed called "aisle"; known: stair`},
		{"again a cut", wiring.Cut{Wire: wire("C3.black")}, "wiring: cannot cut C3.black: it is open already; nothing is to be done"},
		{"again a tie, the other way round", wiring.TieJoints{Box: "loft", A: joint("stair.ground"), B: joint("C3.black")},
			"wiring: cannot let stair.ground and C3.black touch in box loft: they touch already; nothing is to be done"},
		{"again a cap", wiring.CapEnd{End: end("ridge", "C3.bare")}, "wiring: cannot cap C3.bare in box ridge: it is capped already; nothing is to be done"},
	}
	s := pair(t)
	s.Opens = []wiring.Wire{wire("C3.black")}
	s.Ties = []wiring.Tie{{Box: "loft", A: joint("C3.black"), B: joint("stair.ground")}}
	s.Caps = []wiring.Cap{{Box: "ridge", Wire: wire("C3.bare")}}
	s.Splices = s.Splices[:6]
	w := build(t, s)
	for _, test := range tests {
		got, err := w.Apply(wiring.TieJoints{Box: "ridge", A: joint("C3.black"), B: joint("ridge lamp.ground")}, test.edit)
		if got != nil || fmt.Sprint(err) != test.want {
			t.Errorf("%s:\n%v\nwant\n%s", test.why, err, test.want)
		}
		var ps wiring.Problems
		if unfit := strings.HasPrefix(test.want, "wiring: cannot") || strings.HasPrefix(test.want, "wiring: edit"); errors.As(err, &ps) == unfit {
			t.Errorf("%s: an edit that does not fit, and a wiring that contradicts itself: %T", test.why, err)
		}
	}
	if got := w.Spec(); len(got.Ties) != 1 || !slices.Equal(got.Opens, s.Opens) {
		t.Error("an edit that failed has changed the wiring")
	}
}

// Edits read as what a person would do.
func TestEditWords(t *testing.T) {
	tests := []struct {
		edit wiring.Edit
		want string
	}{
		{wiring.MoveLanding{End: end("loft", "C2.red"), Device: "stair", Terminal: "common"}, "land C2.red in box loft on common of stair"},
		{wiring.SwapLandings{Box: "loft", A: wire("C2.red"), B: wire("C2.black")}, "exchange C2.red and C2.black in box loft"},
		{wiring.Release{End: end("loft", "C2.red")}, "take C2.red in box loft off"},
		{wiring.CapEnd{End: end("loft", "C2.red")}, "cap C2.red in box loft"},
		{wiring.JoinSplice{Box: "loft", Join: joints("C2.red", "C3.red", "stair.common")}, "splice C2.red, C3.red and stair.common together in box loft"},
		{wiring.SplitSplice{Box: "loft", Out: joints("C2.red")}, "take C2.red out of the splice in box loft and splice it apart"},
		{wiring.Cut{Wire: wire("C2.red")}, "cut C2.red"},
		{wiring.Mend{Wire: wire("C2.red")}, "make C2.red whole"},
		{wiring.TieJoints{Box: "loft", A: joint("C2.red"), B: joint("stair.common")}, "let C2.red and stair.common touch in box loft"},
		{wiring.Untie{Box: "loft", A: joint("C2.red"), B: joint("stair.common")}, "part C2.red and stair.common in box loft"},
		{wiring.ReplaceDevice{Device: switchnet.Ref{Place: "loft", Name: "stair"}, Kind: switchnet.FourWay()}, "replace stair at loft with a four-way"},
		{wiring.Remark{End: end("loft", "C2.white"), As: conductor.Plain(conductor.Black)}, "re-mark C2.white in box loft as black"},
		{wiring.Remark{End: end("loft", "C2.white")}, "take the marking off C2.white in box loft"},
		{wiring.ChangeCable{Name: "C2", Type: cableType(t, "14/4")}, "make cable C2 a 14/4"},
	}
	for _, test := range tests {
		if got := test.edit.String(); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}
