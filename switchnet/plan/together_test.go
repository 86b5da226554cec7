package plan_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Where more conductors lie together than the breaker allows for their size, a plan says
// so. 12 AWG at 90 C carries 30 A, 21 A among 7 to 9 that carry current and 15 A among 10;
// 14 AWG 25 A, 17.5 A and 12.5 A, for which a breaker of 15 A is the next size up.
func TestTogether(t *testing.T) {
	// Switches in one box and their lights in another: one leg each, and a neutral.
	legs := func(n, feet int, breaker quantity.Current, raceway bool) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "w").box(wiring.CeilingBox, "l").run("p", "w", 9).run("w", "l", feet)
		s.Feeds[0].Breaker, s.Boxes[1].Gangs = breaker, n
		for i := range n {
			name := fmt.Sprint("l", i)
			s.light(name, "l").control(name, []string{name}, "w")
		}
		s.Runs[1].Raceway = raceway
		return s
	}
	// Two places and their travelers: of each pair one counts.
	pairs := func(n int, spare bool) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b").box(wiring.CeilingBox, "l").run("p", "a", 9).run("a", "b", 20).run("b", "l", 2)
		s.Feeds[0].Breaker, s.Boxes[1].Gangs, s.Boxes[2].Gangs, s.Runs[1].Raceway = 20*quantity.Ampere, n, n, true
		for i := range n {
			name := fmt.Sprint("l", i)
			s.light(name, "l").control(name, []string{name}, "a", "b")
		}
		if spare {
			s.Needs = []intent.Need{{Box: "b", Kind: intent.SpareConductor, For: "a bell"}}
		}
		return s
	}
	two := legs(4, 20, 20*quantity.Ampere, true)
	two.Feeds = append(two.Feeds, wiring.Feed{Name: "more", Box: "p", Breaker: 20 * quantity.Ampere})
	two.Boxes[1].Gangs = 8
	for i := range 4 {
		name := fmt.Sprint("m", i)
		two.light(name, "l").control(name, []string{name}, "w")
	}
	for i := range two.Controls {
		two.Controls[i].Feed = []string{"lights", "more"}[i/4]
	}
	uk := legs(9, 20, 6*quantity.Ampere, false)
	uk.Supply = switchnet.SinglePhase230()
	for _, row := range []struct {
		why    string
		region string
		in     *sketch
		want   []string
	}{
		{"9 in a raceway", "us-2023", legs(8, 20, 20*quantity.Ampere, true), nil},
		{"10 in a raceway", "us-2023", legs(9, 20, 20*quantity.Ampere, true), []string{
			"the raceway from w to l holds 10 conductors that count for heat, of the travelers of a pair one: among so many 12 AWG is not for a breaker of 20 A, by NEC T310.15(C)(1) (2023); lead some of them another way"}},
		{"10 in a raceway no longer than is left out of account", "us-2023", legs(9, 2, 20*quantity.Ampere, true), nil},
		{"10 of 14 AWG, for which the breaker is the next size up", "us-2023", legs(9, 20, 15*quantity.Ampere, true), nil},
		{"what two circuits have in a raceway counts together", "us-2023", two, []string{
			"the raceway from w to l holds 10 conductors that count for heat, of the travelers of a pair one: among so many 12 AWG is not for a breaker of 20 A, by NEC T310.15(C)(1) (2023); lead some of them another way"}},
		{"8 pairs and a neutral are 17 conductors and count as 9", "us-2023", pairs(8, false), nil},
		{"a spare is the tenth", "us-2023", pairs(8, true), []string{
			"the raceway from a to b holds 10 conductors that count for heat, of the travelers of a pair one: among so many 12 AWG is not for a breaker of 20 A, by NEC T310.15(C)(1) (2023); lead some of them another way"}},
		{"cables on one way can be kept apart", "us-2023", legs(8, 20, 20*quantity.Ampere, false), []string{
			"the 3 cables from w to l have together 11 conductors that count for heat, of the travelers of a pair one: among so many 12 AWG is not for a breaker of 20 A, by NEC T310.15(C)(1) (2023); keep these cables apart along the run, but for 2 ft at most, or lead some of them another way"}},
		{"rules without figures say nothing", "uk-2018", uk, nil},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, region(t, row.region), &plan.Options{Plain: true})
		if err != nil || !p.Status.OK() {
			t.Fatal(row.why, err, p)
		}
		var got []string
		for _, n := range p.Notes {
			if strings.Contains(n, "count for heat") {
				got = append(got, n)
			}
		}
		for _, c := range p.Cables {
			for _, k := range c.Conductors {
				if strings.HasPrefix(c.Type, "loose") && strings.HasPrefix(k.Colour, "white") && k.Does != "neutral" {
					t.Errorf("%s: a loose %s conductor is a %s", row.why, k.Colour, k.Does)
				}
			}
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %q, want %q\n%s", row.why, got, row.want, shown(p))
		}
	}
}
