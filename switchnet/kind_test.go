package switchnet_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/nettest"
)

func TestKinds(t *testing.T) {
	kinds := switchnet.Kinds()
	byName := func(a, b switchnet.Kind) int { return strings.Compare(a.Name, b.Name) }
	if !slices.IsSortedFunc(kinds, byName) {
		t.Error("Kinds is not in name order")
	}
	for i, k := range kinds {
		nettest.CheckKind(t, k)
		if i > 0 && kinds[i-1].Name == k.Name {
			t.Errorf("two kinds are called %q", k.Name)
		}
	}
	kinds[0].Terminals[0] = "changed"
	kinds[0].Positions[0].Joins[0][0] = "changed"
	if fresh := switchnet.Kinds()[0]; fresh.Terminals[0] == "changed" || fresh.Positions[0].Joins[0][0] == "changed" {
		t.Error("a change of a kind reaches the next caller")
	}
	for _, poles := range []int{-1, 0, 4} {
		if ps := switchnet.Breaker(poles).Validate(); len(ps) == 0 {
			t.Errorf("a breaker with %d poles is valid", poles)
		}
	}
}

// TestWhatKindsSay pins what the built-in kinds are for: a change of any of these
// changes every answer that rests on it.
func TestWhatKindsSay(t *testing.T) {
	tests := []struct {
		why  string
		kind switchnet.Kind
		rest string
		says string // each position: the groups
	}{
		{"one conductor opened; off at rest", switchnet.SinglePole(), "off", "off: ; on: line+load"},
		{"two conductors at once", switchnet.DoublePole(), "off", "off: ; on: line 1+load 1, line 2+load 2"},
		{"the common goes to one traveler or the other, never to both or none", switchnet.ThreeWay(), "up",
			"up: common+traveler 1; down: common+traveler 2"},
		{"straight or crossed", switchnet.FourWay(), "up",
			"up: pair 1 first+pair 2 first, pair 1 second+pair 2 second; down: pair 1 first+pair 2 second, pair 1 second+pair 2 first"},
		{"on at rest", switchnet.Breaker(1), "on", "on: line+load; off: "},
		{"both poles with one handle", switchnet.Breaker(2), "on", "on: line 1+load 1, line 2+load 2; off: "},
		{"all three", switchnet.Breaker(3), "on", "on: line 1+load 1, line 2+load 2, line 3+load 3; off: "},
		{"one handle moves at a time", switchnet.TwoSwitches(), "both off",
			"both off: ; 1 on: line 1+load 1; both on: line 1+load 1, line 2+load 2; 2 on: line 2+load 2"},
		{"tabs in: both halves of both sides", switchnet.Receptacle(), "fixed", "fixed: hot 1+hot 2, neutral 1+neutral 2"},
		{"the hot tab out", switchnet.SplitReceptacle(), "fixed", "fixed: neutral 1+neutral 2"},
		{"the electronics hang on the line and the neutral", switchnet.ElectronicSwitch(), "off",
			"off: ; on: line+load; electronics: line-neutral"},
		{"and on the common", switchnet.ElectronicThreeWay(), "up",
			"up: common+traveler 1; down: common+traveler 2; electronics: common-neutral"},
		{"the pilot burns with the load", switchnet.PilotSinglePole(), "off", "off: ; on: line+load; pilot: load-neutral"},
		{"the locator lies across the open contact", switchnet.LocatorSinglePole(), "off", "off: ; on: line+load; locator: line-load"},
		{"dims; the same contacts", switchnet.ThreeWayDimmer(), "up", "up: common+traveler 1; down: common+traveler 2"},
	}
	for _, test := range tests {
		if got := test.kind.Positions[0].Name; got != test.rest {
			t.Errorf("%s is at rest %q, want %q (%s)", test.kind.Name, got, test.rest, test.why)
		}
		if got := says(test.kind); got != test.says {
			t.Errorf("%s says\n%s\nwant\n%s\n(%s)", test.kind.Name, got, test.says, test.why)
		}
	}
	if len(tests) != len(switchnet.Kinds()) {
		t.Errorf("%d rows for %d kinds", len(tests), len(switchnet.Kinds()))
	}
	flags := func(k switchnet.Kind) [3]bool { return [3]bool{k.Breaker, k.Electronic, k.Dimmer} }
	for _, k := range switchnet.Kinds() {
		want := [3]bool{strings.Contains(k.Name, "breaker"), strings.Contains(k.Name, "electronic") || strings.Contains(k.Name, "dimmer"), strings.Contains(k.Name, "dimmer")}
		if flags(k) != want {
			t.Errorf("%s: breaker, electronic, dimmer are %v, want %v", k.Name, flags(k), want)
		}
	}
}

// says writes a kind down in one line.
func says(k switchnet.Kind) string {
	var parts []string
	for _, p := range k.Positions {
		var groups []string
		for _, g := range p.Joins {
			groups = append(groups, strings.Join(g, "+"))
		}
		parts = append(parts, p.Name+": "+strings.Join(groups, ", "))
	}
	for _, l := range k.Internal {
		parts = append(parts, l.Name+": "+l.From+"-"+l.To)
	}
	return strings.Join(parts, "; ")
}

func TestKindValidate(t *testing.T) {
	base := func(change func(*switchnet.Kind)) switchnet.Kind {
		k := switchnet.PilotSinglePole()
		k.Name = "test"
		change(&k)
		return k
	}
	many := func(n int) (out []string) {
		for i := range n {
			out = append(out, strings.Repeat("t", i+1))
		}
		return out
	}
	tests := []struct {
		why  string
		kind switchnet.Kind
		want []string
	}{
		{"the unchanged kind is right", base(func(*switchnet.Kind) {}), nil},
		{"the zero kind says all that it lacks", switchnet.Kind{}, []string{
			`kind "" has no name; a kind needs one to be told from others`,
			`kind "" has 0 positions; give it 1 to 255`, `kind "" has 0 terminals; give it 1 to 64`}},
		{"one terminal more than the limit", base(func(k *switchnet.Kind) {
			k.Terminals = append(k.Terminals, many(switchnet.MaxTerminals)[:switchnet.MaxTerminals-2]...)
		}), []string{`kind "test" has 65 terminals; give it 1 to 64`}},
		{"one position more than the limit", base(func(k *switchnet.Kind) {
			for _, name := range many(switchnet.MaxPositions - 1) {
				k.Positions = append(k.Positions, switchnet.Position{Name: name})
			}
		}), []string{`kind "test" has 256 positions; give it 1 to 255`}},
		{"a terminal without a name", base(func(k *switchnet.Kind) { k.Terminals = append(k.Terminals, "") }),
			[]string{`kind "test" has no name for terminal 4`}},
		{"two terminals of one name", base(func(k *switchnet.Kind) { k.Terminals = append(k.Terminals, "line") }),
			[]string{`kind "test" has two terminals called "line"`}},
		{"a position without a name", base(func(k *switchnet.Kind) { k.Positions[0].Name = "" }),
			[]string{`kind "test" has no name for position 1`}},
		{"two positions of one name", base(func(k *switchnet.Kind) { k.Positions[0].Name = "on" }),
			[]string{`kind "test" has two positions called "on"`}},
		{"a misspelt terminal; say which there are", base(func(k *switchnet.Kind) { k.Positions[1].Joins[0][1] = "laod" }),
			[]string{`kind "test" joins "laod" in position "on"; its terminals are line, load, neutral`}},
		{"a terminal in two groups", base(func(k *switchnet.Kind) {
			k.Positions[1].Joins = append(k.Positions[1].Joins, []string{"load", "neutral"})
		}), []string{`kind "test" names terminal "load" twice in position "on"; put all that it joins in one group`}},
		{"an internal load without a name", base(func(k *switchnet.Kind) { k.Internal[0].Name = "" }),
			[]string{`kind "test" has an internal load without a name`}},
		{"two internal loads of one name", base(func(k *switchnet.Kind) { k.Internal = append(k.Internal, k.Internal[0]) }),
			[]string{`kind "test" has two internal loads called "pilot"`}},
		{"an internal load from a terminal to itself", base(func(k *switchnet.Kind) { k.Internal[0].To = "load" }),
			[]string{`kind "test" has internal load "pilot" with both ends on "load"`}},
		{"an internal load on a terminal that is not there", base(func(k *switchnet.Kind) { k.Internal[0].To = "white" }),
			[]string{`kind "test" has internal load "pilot" on "white"; its terminals are line, load, neutral`}},
	}
	for _, test := range tests {
		var got []string
		for _, p := range test.kind.Validate() {
			got = append(got, p.Error())
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s:\n%s\nwant\n%s", test.why, strings.Join(got, "\n"), strings.Join(test.want, "\n"))
		}
	}
}

func TestKindEqualAndClone(t *testing.T) {
	changes := []struct {
		what   string
		change func(*switchnet.Kind)
	}{
		{"name", func(k *switchnet.Kind) { k.Name = "other" }},
		{"terminal", func(k *switchnet.Kind) { k.Terminals[0] = "other" }},
		{"terminals", func(k *switchnet.Kind) { k.Terminals = k.Terminals[:2] }},
		{"position name", func(k *switchnet.Kind) { k.Positions[0].Name = "other" }},
		{"positions", func(k *switchnet.Kind) { k.Positions = k.Positions[:1] }},
		{"joins", func(k *switchnet.Kind) { k.Positions[1].Joins[0][0] = "other" }},
		{"groups", func(k *switchnet.Kind) { k.Positions[1].Joins = nil }},
		{"internal load", func(k *switchnet.Kind) { k.Internal[0].To = "other" }},
		{"breaker", func(k *switchnet.Kind) { k.Breaker = true }},
		{"electronic", func(k *switchnet.Kind) { k.Electronic = true }},
		{"dimmer", func(k *switchnet.Kind) { k.Dimmer = true }},
	}
	for _, c := range changes {
		k, clone := switchnet.PilotSinglePole(), switchnet.PilotSinglePole().Clone()
		if !k.Equal(clone) {
			t.Fatalf("%+v is not equal to its clone", k)
		}
		c.change(&clone)
		if k.Equal(clone) || clone.Equal(k) {
			t.Errorf("kinds that differ in %s are equal", c.what)
		}
		again := k.Clone()
		c.change(&again)
		if !k.Equal(switchnet.PilotSinglePole()) {
			t.Errorf("a change of a clone's %s reaches the kind", c.what)
		}
	}
	if i, ok := switchnet.ThreeWay().Position("down"); i != 1 || !ok {
		t.Errorf("position down is %d, %v", i, ok)
	}
	if _, ok := switchnet.ThreeWay().Position("sideways"); ok {
		t.Error("a three-way has a position sideways")
	}
}

// What one position joins and what all of them do.
func TestJoined(t *testing.T) {
	way := switchnet.ThreeWay()
	for _, c := range []struct {
		why           string
		kind          switchnet.Kind
		a, b          string
		first, always bool
	}{
		{"the throw on which it rests", way, "common", "traveler 1", true, false},
		{"the other throw", way, "common", "traveler 2", false, false},
		{"the two throws", way, "traveler 1", "traveler 2", false, false},
		{"the tab of a receptacle", switchnet.Receptacle(), "hot 2", "hot 1", true, true},
		{"what lies in different groups", switchnet.Receptacle(), "hot 1", "neutral 1", false, false},
		{"no such terminal", way, "common", "line", false, false},
	} {
		if got := c.kind.Positions[0].Joined(c.a, c.b); got != c.first {
			t.Errorf("%s: the first position joins %s and %s: %v", c.why, c.a, c.b, got)
		}
		if got := c.kind.AlwaysJoins(c.a, c.b); got != c.always {
			t.Errorf("%s: every position joins %s and %s: %v", c.why, c.a, c.b, got)
		}
	}
	if (switchnet.Kind{}).AlwaysJoins("a", "b") {
		t.Error("a kind without positions joins something")
	}
}

func TestWithTransit(t *testing.T) {
	tests := []struct {
		why     string
		kind    switchnet.Kind
		transit switchnet.Transit
		name    string
		says    string
	}{
		{"an ordinary switch opens on the way", switchnet.ThreeWay(), switchnet.BreakBeforeMake, "three-way, break before make",
			"up: common+traveler 1; between up and down: ; down: common+traveler 2"},
		{"a contact that closes first ties both travelers to the common", switchnet.ThreeWay(), switchnet.MakeBeforeBreak, "three-way, make before break",
			"up: common+traveler 1; between up and down: common+traveler 2+traveler 1; down: common+traveler 2"},
		{"all four of a four-way: two groups that meet are one", switchnet.FourWay(), switchnet.MakeBeforeBreak, "four-way, make before break",
			"up: pair 1 first+pair 2 first, pair 1 second+pair 2 second; " +
				"between up and down: pair 1 second+pair 2 first+pair 1 first+pair 2 second; " +
				"down: pair 1 first+pair 2 second, pair 1 second+pair 2 first"},
		{"each two neighbours have a way between", switchnet.TwoSwitches(), switchnet.BreakBeforeMake, "two switches on one yoke, break before make",
			"both off: ; between both off and 1 on: ; 1 on: line 1+load 1; between 1 on and both on: ; " +
				"both on: line 1+load 1, line 2+load 2; between both on and 2 on: ; 2 on: line 2+load 2"},
		{"a breaker is on or off, and is not held half way", switchnet.Breaker(1), switchnet.BreakBeforeMake, "breaker", "on: line+load; off: "},
		{"what does not move has none", switchnet.Receptacle(), switchnet.MakeBeforeBreak, "receptacle", "fixed: hot 1+hot 2, neutral 1+neutral 2"},
	}
	for _, test := range tests {
		got := test.kind.WithTransit(test.transit)
		if got.Name != test.name || normalSays(got) != normalize(test.says) {
			t.Errorf("%s: %s says\n%s\nwant %s\n%s", test.why, got.Name, says(got), test.name, test.says)
		}
	}
	for _, unset := range []switchnet.Transit{0, 3} {
		if ps := switchnet.ThreeWay().WithTransit(unset).Validate(); len(ps) == 0 {
			t.Errorf("%v is a transit", unset)
		}
	}
}

// normalSays is says with each group in name order.
func normalSays(k switchnet.Kind) string { return normalize(says(k)) }

func normalize(s string) string {
	positions := strings.Split(s, "; ")
	for i, p := range positions {
		name, joins, _ := strings.Cut(p, ": ")
		groups := strings.Split(joins, ", ")
		for j, g := range groups {
			names := strings.Split(g, "+")
			slices.Sort(names)
			groups[j] = strings.Join(names, "+")
		}
		slices.Sort(groups)
		positions[i] = name + ": " + strings.Join(groups, ", ")
	}
	return strings.Join(positions, "; ")
}

// In transit a chain that is right at rest may do what it never does at rest: with
// contacts that close first, both travelers are live for a moment, and the lamp is
// lit from every position of the others.
func TestChainInTransit(t *testing.T) {
	for _, test := range []struct {
		transit switchnet.Transit
		want    int // of the two positions of B, lit with A half way
	}{{switchnet.BreakBeforeMake, 0}, {switchnet.MakeBeforeBreak, 2}} {
		b := chain(t, 2).Builder()
		first := ref("p000000", "aisle")
		b.RemoveDevice(first.Place, first.Name)
		b.Device(first.Place, first.Name, switchnet.ThreeWay().WithTransit(test.transit))
		net, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		s, err := net.Rest().With(first, "between up and down")
		if err != nil {
			t.Fatal(err)
		}
		lit := 0
		for range 2 {
			if sup, _ := solve(t, s).Supply(lamp); sup.Status == switchnet.Lit {
				lit++
			}
			if s, err = s.Flip(ref("p000001", "aisle")); err != nil {
				t.Fatal(err)
			}
		}
		if lit != test.want {
			t.Errorf("%v: lit in %d positions of the far switch, want %d", test.transit, lit, test.want)
		}
	}
}
