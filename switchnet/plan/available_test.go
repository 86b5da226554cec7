package plan_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// told lists what there is in a box: "h lights C1.black" for a hot, n for a neutral.
func told(a plan.Available) []string {
	var out []string
	for _, l := range []struct {
		kind string
		list []plan.Supply
	}{{"h", a.Hots}, {"n", a.Neutrals}} {
		for _, s := range l.list {
			text := l.kind + " " + s.Feed.Name
			for _, w := range s.Wires {
				text += " " + w.String()
			}
			out = append(out, text)
		}
	}
	return out
}

// twoPairs are two controls between the same two boxes, whose cables balance one by one,
// with a need of power at the far box.
func twoPairs(needs ...intent.Need) *sketch {
	s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b").box(wiring.CeilingBox, "c").
		run("p", "a", 9).run("a", "b", 9).run("b", "c", 9).light("l", "c").light("m", "c").
		control("g", []string{"l"}, "a", "b").control("h", []string{"m"}, "a", "b")
	s.Needs = needs
	return s
}

// twoFeeds are two circuits in one box.
func twoFeeds() *sketch {
	s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "d", "far").box(wiring.CeilingBox, "l", "m").
		run("p", "d", 9).run("d", "far", 9).run("far", "l", 9).run("d", "m", 9).light("l", "l").light("m", "m").
		control("g", []string{"l"}, "d", "far").control("h", []string{"m"}, "d")
	s.Feeds = append(s.Feeds, wiring.Feed{Name: "more", Box: "p", Breaker: 15 * quantity.Ampere})
	s.Controls[0].Feed, s.Controls[1].Feed = "lights", "more"
	return s
}

// joinedAcross are two places with lights and power at both, whose commons are joined.
func joinedAcross() *sketch {
	s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b").box(wiring.CeilingBox, "l", "m").
		run("p", "a", 9).run("a", "l", 9).run("a", "b", 80).run("b", "m", 9).light("l", "l").light("m", "m").
		control("g", []string{"l", "m"}, "a", "b")
	s.Controls[0].Schemes = []intent.Scheme{intent.JoinedCommons}
	s.Needs = []intent.Need{{Box: "b", Kind: intent.UnswitchedPower, For: "an outlet"}}
	return s
}

func TestAvailable(t *testing.T) {
	us := region(t, "us-2023")
	for _, row := range []struct {
		why, box string
		in       *sketch
		has      []string
		says     []string // each within one sentence, in order
		not      string
	}{
		{"where the circuit is one still nothing is told apart", "a", twoPairs(),
			[]string{"h lights C1.black", "n lights C1.white C2.white C3.white"},
			[]string{"constant power of lights can be taken here"}, "no other"},
		{"beyond, each control has a neutral of its own", "b", twoPairs(),
			[]string{"n lights C2.white C4.white", "n lights C3.white C4.white/red"},
			[]string{"no unswitched hot", "in the place of g there is a neutral and only switched conductors: an electronic control must be one of a pair that is made for it, and takes the neutral on C2.white and C4.white and no other",
				"takes the neutral on C3.white and C4.white/red and no other"}, "can be taken"},
		{"and power is taken with the neutral that comes with its hot", "b", twoPairs(intent.Need{Box: "b", Kind: intent.UnswitchedPower, For: "an outlet"}),
			nil, []string{"constant power of lights can be taken here from C2.black with the neutral on C2.white"}, "not balance"},
		{"of two circuits in a box each has a neutral of its own, which is named", "d", twoFeeds(),
			[]string{"h lights C1.black", "h more C4.black", "n lights C1.white C2.white", "n more C4.white C5.white"},
			[]string{"constant power of lights can be taken here from C1.black with the neutral on C1.white and C2.white and no other",
				"constant power of more can be taken here from C4.black with the neutral on C4.white and C5.white and no other",
				"an electronic control may stand in the place of g: the hot of lights is on it and the neutral is here, on C1.white and C2.white and no other"}, ""},
		{"joined commons have the hot on a throw, from which no control is fed", "b", joinedAcross(),
			nil, []string{"an electronic control may stand in the place of g if it takes the hot of lights from its splice, and is made to work from there"}, "is on it"},
		{"at the feed itself there is a hot and a neutral", "p", twoPairs(),
			[]string{"h lights C1.black", "n lights C1.white"}, []string{"constant power of lights can be taken here"}, "no other"},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		w, err := wiring.New(p.Spec)
		if err != nil {
			t.Fatal(err)
		}
		a := plan.AvailableIn(w, row.box)
		for i, b := range plan.AvailableEverywhere(w) {
			if b.Box != row.in.Boxes[i].Name || b.Box == row.box && !slices.Equal(b.Says, a.Says) {
				t.Errorf("%s: box %d is %s: %q, by itself %q", row.why, i, b.Box, b.Says, a.Says)
			}
		}
		if got := told(a); row.has != nil && !slices.Equal(got, row.has) {
			t.Errorf("%s: %q, want %q\n%s", row.why, got, row.has, shown(p))
		}
		rest := strings.Join(a.Says, "\n")
		for _, want := range row.says {
			_, after, ok := strings.Cut(rest, want)
			if !ok {
				t.Errorf("%s: no %q in %q\n%s", row.why, want, a.Says, shown(p))
			}
			rest = after
		}
		if row.not != "" && strings.Contains(strings.Join(a.Says, "\n"), row.not) {
			t.Errorf("%s: %q in %q", row.why, row.not, a.Says)
		}
	}
}

// A hot and a neutral of one feed that come in different cables make no supply, and are
// told as what they are.
func TestAvailableInFoundWiring(t *testing.T) {
	s := wiring.Spec{Supply: newSketch("p").Supply,
		Feeds: []wiring.Feed{{Name: "lights", Box: "p", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{{Name: "p", Kind: wiring.Panel}, {Name: "a", Kind: wiring.DeviceBox}, {Name: "b", Kind: wiring.JunctionBox}},
		Cables: []wiring.Cable{
			{Name: "C1", Type: parsed("14/2"), From: "p", To: "a"},
			{Name: "C2", Type: parsed("14/2"), From: "p", To: "b"},
			{Name: "C3", Type: parsed("14/2"), From: "b", To: "a"},
		},
		Splices: []wiring.Splice{{Box: "b", Join: []wiring.Joint{wiring.WireJoint("C2", "white"), wiring.WireJoint("C3", "white")}}},
		Landings: []wiring.Landing{
			{Box: "p", Device: "lights", Terminal: "hot", Wire: wiring.Wire{Cable: "C1", Conductor: "black"}},
			{Box: "p", Device: "lights", Terminal: "neutral", Wire: wiring.Wire{Cable: "C2", Conductor: "white"}},
		}}
	look := func() plan.Available {
		w, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		return plan.AvailableIn(w, "a")
	}
	a := look()
	if got, want := told(a), []string{"h lights C1.black", "n lights C3.white"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := fmt.Sprint(a.Says); !strings.Contains(got, "hot and neutral of lights are here, and come in different cables") {
		t.Errorf("%q", got)
	}
	// With the neutral of the first cable on the bar too there is a pair, and it is named.
	s.Landings = append(s.Landings, wiring.Landing{Box: "p", Device: "lights", Terminal: "neutral", Wire: wiring.Wire{Cable: "C1", Conductor: "white"}})
	a = look()
	if got := fmt.Sprint(a.Says); !strings.Contains(got, "constant power of lights can be taken here from C1.black with the neutral on C1.white and no other") {
		t.Errorf("%q", got)
	}
	// A broken conductor leads nowhere.
	s.Opens = []wiring.Wire{{Cable: "C3", Conductor: "white"}}
	if got, want := told(look()), []string{"h lights C1.black", "n lights C1.white"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := plan.AvailableIn(mustWire(t, s), "nowhere"); len(told(got)) > 0 || len(got.Switches) > 0 {
		t.Errorf("a box that is not there has %v", got)
	}
}

func mustWire(t *testing.T, s wiring.Spec) *wiring.Wiring {
	t.Helper()
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return w
}
