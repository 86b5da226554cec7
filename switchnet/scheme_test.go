package switchnet_test

import (
	"fmt"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
)

// twoLamps returns a chain of two places with a second lamp, called "second" at
// "stern", whose ends are landed where the caller says. The first lamp's hot end is
// on the leg unless the caller takes conductor "leg" away.
func twoLamps(t *testing.T, hot, neutral switchnet.Terminal) *switchnet.Builder {
	t.Helper()
	b := chain(t, 2).Builder()
	second := switchnet.Load{Ref: ref("stern", "second")}
	b.Load(second)
	b.Conductor("second hot", hot, second.Terminals()[0])
	b.Conductor("second neutral", neutral, second.Terminals()[1])
	return b
}

// TestSecondLamp counts what a second lamp does that was hung in the wrong place.
func TestSecondLamp(t *testing.T) {
	second := ref("stern", "second")
	neutral := lamp.Terminal("neutral")
	tests := []struct {
		why           string
		build         func() *switchnet.Builder
		first, second signature
	}{
		{"across: both burn together", func() *switchnet.Builder { return twoLamps(t, hotLeg, neutral) },
			signature{lit: 2}, signature{lit: 2}},
		{"in line: half each where they should burn", func() *switchnet.Builder {
			b := twoLamps(t, endB(2, "common"), hotLeg)
			b.RemoveConductor("leg")
			return b
		}, signature{dim: 2}, signature{dim: 2}},
		{"fed from a traveler: it follows A alone", func() *switchnet.Builder { return twoLamps(t, throwA1, neutral) },
			// With A down and B up the two lamps hang on each other and
			// the neutral, and on no line.
			signature{lit: 2}, signature{lit: 2, masters: "A"}},
		{"its neutral from a traveler: both half bright in one state, otherwise the second is off",
			func() *switchnet.Builder { return twoLamps(t, hotLeg, throwA1) },
			signature{lit: 2, dim: 1}, signature{dim: 1}},
	}
	for _, test := range tests {
		net, err := test.build().Build()
		if err != nil {
			t.Fatalf("%s: %v", test.why, err)
		}
		for load, want := range map[switchnet.Ref]signature{lamp: test.first, second: test.second} {
			got := signatureOf(t, net, load)
			if want.masters == "" {
				got.masters = ""
			}
			if got != want {
				t.Errorf("%s: %v: %v, want %v", test.why, load, got, want)
			}
		}
	}
}

// twoThreeWays returns a builder with two three-ways A and B, a lamp, and what
// joins them: pairs of terminals written "hot", "neutral", "lamp hot", "lamp
// neutral", "A common", "B 1" and so on.
func twoThreeWays(t *testing.T, pairs ...[2]string) *switchnet.Net {
	t.Helper()
	var b switchnet.Builder
	src := service()
	b.Source(src)
	b.Device("slip-door", "A", switchnet.ThreeWay())
	b.Device("yard-door", "B", switchnet.ThreeWay())
	b.Load(switchnet.Load{Ref: lamp})
	at := map[string]switchnet.Terminal{
		"hot": src.Rail(switchnet.LineA), "neutral": src.Rail(switchnet.Neutral), "ground": src.Rail(switchnet.Ground),
		"lamp hot": hotLeg, "lamp neutral": lamp.Terminal("neutral"),
	}
	for name, owner := range map[string]switchnet.Ref{"A": ref("slip-door", "A"), "B": ref("yard-door", "B")} {
		at[name+" common"], at[name+" 1"], at[name+" 2"] = owner.Terminal("common"), owner.Terminal("traveler 1"), owner.Terminal("traveler 2")
	}
	for i, p := range pairs {
		for _, end := range p {
			if at[end] == (switchnet.Terminal{}) {
				t.Fatalf("no terminal is called %q", end)
			}
		}
		b.Conductor(fmt.Sprint("c", i), at[p[0]], at[p[1]])
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return net
}

// TestSchemes counts the schemes in which hot, leg or neutral are on the throws, and
// what becomes of them when a landing is wrong.
func TestSchemes(t *testing.T) {
	joined := [][2]string{{"hot", "A 1"}, {"hot", "B 1"}, {"lamp hot", "A 2"}, {"lamp hot", "B 2"}, {"A common", "B common"}, {"lamp neutral", "neutral"}}
	throws := [][2]string{{"hot", "A 1"}, {"neutral", "A 2"}, {"hot", "B 1"}, {"neutral", "B 2"}, {"A common", "lamp hot"}, {"B common", "lamp neutral"}}
	with := func(scheme [][2]string, change func(list [][2]string) [][2]string) [][2]string {
		return change(slices.Clone(scheme))
	}
	without := func(i int) func([][2]string) [][2]string {
		return func(list [][2]string) [][2]string { return slices.Delete(list, i, i+1) }
	}
	tests := []struct {
		why        string
		pairs      [][2]string
		lit, trips int
	}{
		{"joined commons: hot and leg on the throws of both, right", joined, 2, 0},
		{"joined commons exchanged with a throw at one end: the table is the opposite of a plain chain's", with(joined, func(l [][2]string) [][2]string {
			l[0], l[4] = [2]string{"hot", "A common"}, [2]string{"A 1", "B common"}
			return l
		}), 3, 0},
		{"joined commons, hot open at the far end", with(joined, without(1)), 1, 0},
		{"joined commons, leg open at the far end", with(joined, without(3)), 1, 0},
		{"joined commons, common open", with(joined, without(4)), 0, 0},
		{"hot and neutral on the throws: looks right, and is banned", throws, 2, 0},
		{"hot and neutral on the throws, a replacement with the hot on its common", with(throws, func(l [][2]string) [][2]string {
			l[0], l[4] = [2]string{"hot", "A common"}, [2]string{"A 1", "lamp hot"}
			return l
		}), 1, 2},
		{"hot and neutral on the throws, a replacement with the neutral on its common", with(throws, func(l [][2]string) [][2]string {
			l[1], l[4] = [2]string{"neutral", "A common"}, [2]string{"A 2", "lamp hot"}
			return l
		}), 1, 2},
	}
	for _, test := range tests {
		net := twoThreeWays(t, test.pairs...)
		if got := signatureOf(t, net, lamp); got.lit != test.lit || got.trips != test.trips || got.dim != 0 {
			t.Errorf("%s: %v, want lit %d, trips %d", test.why, got, test.lit, test.trips)
		}
	}
}

// TestSchemesThatLookRight is about wirings that pass every test by flipping and
// are dangerous: what a person changing the lamp touches.
func TestSchemesThatLookRight(t *testing.T) {
	// The chain in the neutral: the lamp's hot end never leaves the hot.
	switched := twoThreeWays(t, [2]string{"hot", "lamp hot"}, [2]string{"lamp neutral", "A common"},
		[2]string{"A 1", "B 1"}, [2]string{"A 2", "B 2"}, [2]string{"B common", "neutral"})
	throws := twoThreeWays(t, [2]string{"hot", "A 1"}, [2]string{"neutral", "A 2"}, [2]string{"hot", "B 1"}, [2]string{"neutral", "B 2"},
		[2]string{"A common", "lamp hot"}, [2]string{"B common", "lamp neutral"})
	plainChain := twoThreeWays(t, [2]string{"hot", "A common"}, [2]string{"A 1", "B 1"}, [2]string{"A 2", "B 2"},
		[2]string{"B common", "lamp hot"}, [2]string{"neutral", "lamp neutral"})
	const (
		live    = switchnet.Live
		neutral = switchnet.OnNeutral
		through = switchnet.LiveThroughLoad
		dead    = switchnet.Isolated
	)
	tests := []struct {
		why string
		net *switchnet.Net
		// What the lamp's two ends are in the states up-up, up-down, down-up,
		// down-down, and whether it burns.
		want [4]string
	}{
		{"a plain chain: off, the lamp's ends are dead and neutral", plainChain, [4]string{
			fmt.Sprint(live, neutral, " lit"), fmt.Sprint(dead, neutral, " unlit"), fmt.Sprint(dead, neutral, " unlit"), fmt.Sprint(live, neutral, " lit")}},
		{"switched neutral: off, both ends are live, one through the lamp", switched, [4]string{
			fmt.Sprint(live, neutral, " lit"), fmt.Sprint(live, through, " unlit"), fmt.Sprint(live, through, " unlit"), fmt.Sprint(live, neutral, " lit")}},
		{"hot and neutral on the throws: off, both live in one state and both neutral in the other; on, either end is the hot one", throws, [4]string{
			fmt.Sprint(live, live, " unlit"), fmt.Sprint(live, neutral, " lit"), fmt.Sprint(neutral, live, " lit"), fmt.Sprint(neutral, neutral, " unlit")}},
	}
	for _, test := range tests {
		states, _, err := test.net.States(nil)
		if err != nil {
			t.Fatal(err)
		}
		i := 0
		for s := range states {
			sup, _ := solve(t, s).Supply(lamp)
			got := fmt.Sprint(sup.Ends[0].Kind(), sup.Ends[1].Kind(), " ", sup.Status)
			if got != test.want[i] {
				t.Errorf("%s: %v: %s, want %s", test.why, s, got, test.want[i])
			}
			i++
		}
	}
}

// TestReadings compares what a loaded meter reads on the travelers, in the box of B,
// and on the leg with the table by which faults of one lamp table are told apart.
func TestReadings(t *testing.T) {
	open := func(name string) *switchnet.Builder {
		b := chain(t, 2).Builder()
		b.RemoveConductor(name)
		return b
	}
	dead := func(place string) *switchnet.Builder {
		k := switchnet.ThreeWay()
		k.Name, k.Positions[1].Joins = "three-way, dead throw", nil
		return exchangeDevice(chain(t, 2).Builder(), place, k)
	}
	tests := []struct {
		why   string
		build *switchnet.Builder
		// In how many of the 4 states none, one or both travelers are live,
		// and in how many the leg is.
		none, one, both, leg int
	}{
		{"right: exactly one driven, always", chain(t, 2).Builder(), 0, 4, 0, 2},
		{"exchanged at A: in one position of A none is driven", reland(chain(t, 2), [2]switchnet.Terminal{commonA, throwA1}), 2, 2, 0, 1},
		{"traveler open: one position of A leaves both of B's dead", open(place(1) + " first"), 2, 2, 0, 1},
		{"dead throw at A: the second traveler is never driven", dead(place(0)), 2, 2, 0, 1},
		{"dead throw at B: right at both ends, and the leg dead with a hot traveler selected", dead(place(1)), 0, 4, 0, 1},
		{"exchanged at B: in one position of B both are", reland(chain(t, 2), [2]switchnet.Terminal{endB(2, "common"), endB(2, "traveler 1")}), 0, 2, 2, 1},
		{"exchanged at both ends: none in some states and both in others", reland(chain(t, 2), [2]switchnet.Terminal{commonA, throwA1},
			[2]switchnet.Terminal{endB(2, "common"), endB(2, "traveler 1")}), 2, 1, 1, 1},
	}
	for _, test := range tests {
		net, err := test.build.Build()
		if err != nil {
			t.Fatal(err)
		}
		states, _, err := net.States(nil)
		if err != nil {
			t.Fatal(err)
		}
		var count [3]int
		onLeg := 0
		// Where each traveler lands in the box of B; an open one has only a
		// screw there.
		travelers := [2]switchnet.Terminal{endB(2, "traveler 1"), endB(2, "traveler 2")}
		for c := range net.Conductors() {
			switch c.Name {
			case place(1) + " first":
				travelers[0] = c.To
			case place(1) + " second":
				travelers[1] = c.To
			}
		}
		for s := range states {
			v := solve(t, s)
			live := func(at switchnet.Terminal) int {
				if c, _ := v.Condition(at); c.Kind() == switchnet.Live {
					return 1
				}
				return 0
			}
			count[live(travelers[0])+live(travelers[1])]++
			onLeg += live(hotLeg)
		}
		if count != [3]int{test.none, test.one, test.both} || onLeg != test.leg {
			t.Errorf("%s: none, one, both live in %v states and the leg in %d, want %v and %d",
				test.why, count, onLeg, [3]int{test.none, test.one, test.both}, test.leg)
		}
	}
}
