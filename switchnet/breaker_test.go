package switchnet_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// twoBreakerBox builds a box at the slip door that two breakers feed: a chain on
// breaker 7 (line A) passes it, a floodlight on breaker 9 (line B) is switched in
// it, and the neutral of the floodlight is where the caller says.
func twoBreakerBox(t *testing.T, floodNeutral switchnet.Terminal) *switchnet.Net {
	t.Helper()
	b := chain(t, 2).Builder()
	src := switchnet.Source{Ref: ref("panel", "service"), System: switchnet.SplitPhase()}
	b.Device("panel", "breaker 9", switchnet.Breaker(1))
	b.Device(place(1), "flood", switchnet.SinglePole())
	b.Load(switchnet.Load{Ref: ref("slipway", "flood")})
	b.Conductor("bus 9", src.Rail(switchnet.LineB), term("panel", "breaker 9", "line"))
	b.Conductor("C7 black", term("panel", "breaker 9", "load"), term(place(1), "flood", "line"))
	b.Conductor("C8 black", term(place(1), "flood", "load"), term("slipway", "flood", "hot"))
	b.Conductor("C8 white", floodNeutral, term("slipway", "flood", "neutral"))
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return net
}

// hazardsIn lists the terminals of a place that are dangerous in a state, each with
// its condition.
func hazardsIn(v *switchnet.View, place string) (list []string) {
	for t, c := range v.Hazards() {
		if t.Place == place {
			list = append(list, t.String()+": "+c.String())
		}
	}
	return list
}

// TestWhatIsStillLive asks the question for which breakers are devices: what in a
// box is still live with this breaker off?
func TestWhatIsStillLive(t *testing.T) {
	good := service().Rail(switchnet.Neutral)
	box := place(1)
	tests := []struct {
		why      string
		neutral  switchnet.Terminal
		off      []string // breakers that are off
		on       []string // switches that are not at rest, by device at the box
		want     []string
		lampWant switchnet.LoadStatus
		flood    switchnet.LoadStatus
	}{
		{"both on, chain on, flood off", good, nil, nil,
			[]string{"aisle common at p000001: live on line A", "aisle traveler 1 at p000001: live on line A", "flood line at p000001: live on line B"},
			switchnet.Lit, switchnet.Unlit},
		{"with the chain's breaker off the box is not dead: the other circuit is still in it", good, []string{"breaker"}, nil,
			[]string{"flood line at p000001: live on line B"}, switchnet.Unlit, switchnet.Unlit},
		{"with the other breaker off it is the chain", good, []string{"breaker 9"}, []string{"flood"},
			[]string{"aisle common at p000001: live on line A", "aisle traveler 1 at p000001: live on line A"}, switchnet.Lit, switchnet.Unlit},
		{"with both off nothing is", good, []string{"breaker", "breaker 9"}, []string{"flood"}, nil, switchnet.Unlit, switchnet.Unlit},
		{"a flood whose neutral end was landed on the leg: with the chain's breaker off, its own circuit feeds the leg back through it",
			endB(2, "common"), []string{"breaker"}, []string{"flood"},
			[]string{"aisle common at p000001: live through a load from line B", "aisle traveler 1 at p000001: live through a load from line B",
				"flood line at p000001: live on line B", "flood load at p000001: live on line B"},
			switchnet.Dim, switchnet.Dim},
	}
	for _, test := range tests {
		net := twoBreakerBox(t, test.neutral)
		s := net.Rest()
		var err error
		for _, name := range test.off {
			if s, err = s.With(ref("panel", name), "off"); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range test.on {
			if s, err = s.With(ref(box, name), "on"); err != nil {
				t.Fatal(err)
			}
		}
		v := solve(t, s)
		if got := hazardsIn(v, box); !slices.Equal(got, test.want) {
			t.Errorf("%s: %q, want %q", test.why, got, test.want)
		}
		for load, want := range map[switchnet.Ref]switchnet.LoadStatus{lamp: test.lampWant, ref("slipway", "flood"): test.flood} {
			if sup, _ := v.Supply(load); sup.Status != want {
				t.Errorf("%s: %v is %v, want %v", test.why, load, sup.Status, want)
			}
		}
	}
}

// TestSharedNeutralOpen opens the neutral that two circuits on different lines
// share: their lamps then lie in series across both lines, whatever else is done.
func TestSharedNeutralOpen(t *testing.T) {
	var b switchnet.Builder
	src := service()
	b.Source(src)
	lamps := [2]switchnet.Load{{Ref: ref("stair-foot", "lamp")}, {Ref: ref("loft", "lamp")}}
	for i, l := range lamps {
		b.Load(l)
		b.Conductor("hot "+l.Place, src.Rail(switchnet.Rail(i+1)), l.Terminals()[0])
	}
	b.Conductor("shared", lamps[0].Terminals()[1], lamps[1].Terminals()[1])
	b.Conductor("neutral", lamps[0].Terminals()[1], src.Rail(switchnet.Neutral))
	closed, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	b.RemoveConductor("neutral")
	open, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lamps {
		if sup, _ := solve(t, closed.Rest()).Supply(l.Ref); sup.Status != switchnet.Lit || sup.Volts != src.System.LineToNeutral {
			t.Errorf("with the neutral %v gets %v", l.Ref, sup)
		}
		v := solve(t, open.Rest())
		sup, _ := v.Supply(l.Ref)
		if sup.Status != switchnet.Dim {
			t.Errorf("without the neutral %v is %v, want dim", l.Ref, sup.Status)
		}
		paths, err := v.Paths(l.Ref, nil)
		if err != nil || len(paths.List) != 1 || paths.List[0].From() != src.Rail(switchnet.LineA) || paths.List[0].To() != src.Rail(switchnet.LineB) {
			t.Errorf("without the neutral the paths of %v are %v, %v; want one from line A to line B", l.Ref, paths.List, err)
		}
	}
}

// TestAllBreakersOff checks on random nets in which every line is behind a breaker
// that nothing beyond them is dangerous with all of them off.
func TestAllBreakersOff(t *testing.T) {
	checked := 0
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{States: 64, Mutations: -1}).Draw(t, "net")
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		s := net.Rest()
		behind := map[switchnet.Terminal]bool{} // on the line side of a breaker, or a line
		for d := range net.Devices() {
			if !d.Kind.Breaker {
				s = turn(t, s, d, rapid.IntRange(0, len(d.Kind.Positions)-1).Draw(t, "position"))
				continue
			}
			if s, err = s.With(d.Ref, "off"); err != nil {
				t.Fatal(err)
			}
			for i := 0; i < len(d.Kind.Terminals); i += 2 {
				behind[d.Terminal(d.Kind.Terminals[i])] = true
			}
		}
		for r := range switchnet.Rails() {
			if r.Line() && spec.Source.System.Has(r) {
				behind[spec.Source.Rail(r)] = true
			}
		}
		for term := range net.Terminals() {
			for r := range switchnet.Rails() {
				if r.Line() && net.Joined(term, spec.Source.Rail(r)) && !behind[term] {
					return // a circuit without a breaker
				}
			}
		}
		checked++
		for term, c := range solve(t, s).Hazards() {
			if !behind[term] {
				t.Errorf("%v: with every breaker off %v is %v", s, term, c)
			}
		}
	})
	if checked == 0 {
		t.Error("no net had all its circuits behind breakers")
	}
}

func turn(t *rapid.T, s switchnet.State, d switchnet.Device, steps int) switchnet.State {
	for range steps {
		var err error
		if s, err = s.Flip(d.Ref); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// TestStarWithoutNeutral hangs three lamps on one joint, their other ends on line A,
// line B and the neutral: each lies on ways between two pairs of rails.
func TestStarWithoutNeutral(t *testing.T) {
	var b switchnet.Builder
	src := service()
	b.Source(src)
	b.Point(term("box", "cable", "white"))
	for i, r := range []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.Neutral} {
		l := switchnet.Load{Ref: ref("lamp", r.String())}
		b.Load(l)
		b.Conductor("far "+r.String(), src.Rail(r), l.Terminals()[i%2])
		b.Conductor("near "+r.String(), term("box", "cable", "white"), l.Terminals()[(i+1)%2])
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	v := solve(t, net.Rest())
	tests := []struct {
		load string
		want []string // from and to, in order: equally long, so by the line they start from
	}{
		{"line A", []string{"line A to line B", "line A to neutral"}},
		{"line B", []string{"line A to line B", "line B to neutral"}},
		{"neutral", []string{"line A to neutral", "line B to neutral"}},
	}
	for _, test := range tests {
		paths, err := v.Paths(ref("lamp", test.load), nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range paths.List {
			got = append(got, p.From().Name+" to "+p.To().Name)
		}
		if sup, _ := v.Supply(ref("lamp", test.load)); sup.Status != switchnet.Dim || !slices.Equal(got, test.want) {
			t.Errorf("the lamp on %s is %v, with paths %q, want dim and %q", test.load, sup.Status, got, test.want)
		}
		first, err := v.Paths(ref("lamp", test.load), &switchnet.PathOptions{Max: 1})
		if err != nil || len(first.List) != 1 || first.List[0].From().Name+" to "+first.List[0].To().Name != test.want[0] || !first.Truncated {
			t.Errorf("the first path of the lamp on %s is %v, %v, want %s and truncated", test.load, first, err, test.want[0])
		}
	}
}
