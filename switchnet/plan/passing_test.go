package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// What only passes through a box is told, and what could be pulled in its place.
func TestPassing(t *testing.T) {
	us := region(t, "us-2023")
	// Two pairs from one end to the other, and power in the box between: the cable of one
	// pair has the hot to there as well and ends, that of the other is cut for nothing.
	way := func() *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b", "c", "d").box(wiring.CeilingBox, "l").
			run("p", "a", 9).run("a", "b", 9).run("b", "c", 9).run("c", "d", 9).run("d", "l", 9).
			light("l", "l").light("m", "l").control("g", []string{"l"}, "a", "d").control("h", []string{"m"}, "a", "d")
		s.Needs = []intent.Need{{Box: "c", Kind: intent.UnswitchedPower, For: "an outlet"}}
		return s
	}
	old := way()
	for i := range old.Runs {
		old.Runs[i].Raceway = true
	}
	only := newSketch("p").box(wiring.Panel, "p").box(wiring.JunctionBox, "j").box(wiring.DeviceBox, "d").run("p", "j", 9).run("j", "d", 9)
	only.Needs = []intent.Need{{Box: "d", Kind: intent.UnswitchedPower, For: "an outlet"}}
	// What is wanted of a circuit in the box between and in the box at the end.
	through := func(kinds ...intent.NeedKind) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "c", "d").run("p", "c", 9).run("c", "d", 9)
		s.Needs = []intent.Need{{Box: "d", Kind: intent.UnswitchedPower, For: "an outlet"}}
		for _, k := range kinds {
			s.Needs = append(s.Needs, intent.Need{Box: "c", Kind: k, For: "a fan"})
		}
		return s
	}
	long := newSketch("b0").box(wiring.Panel, "b0").box(wiring.JunctionBox, "b1", "b2", "b3", "b4", "b5").box(wiring.DeviceBox, "d").
		run("b0", "b1", 9).run("b1", "b2", 9).run("b2", "b3", 9).run("b3", "b4", 9).run("b4", "b5", 9).run("b5", "d", 9)
	long.Needs = only.Needs
	for _, row := range []struct {
		why  string
		in   *sketch
		want []string
	}{
		{"every box on the way is named, for somebody goes by it", long, []string{
			"C1, C2, C3, C4, C5 and C6 only pass through b1, b2, b3, b4 and b5: where the way lets a cable go by them, one 14/2 can be pulled uncut from b0 to d"}},
		{"power wanted in the box between is taken from the cable", through(intent.UnswitchedPower), nil},
		{"a neutral wanted there is that of the cable", through(intent.NeutralOnly), nil},
		{"a conductor kept there ends there", through(intent.SpareConductor), nil},
		{"through the box with the outlet and the one before", way(), []string{
			"C2 and C4 only pass through b: where the way lets a cable go by them, one 14/4 can be pulled uncut from a to c",
			"C3, C5 and C7 only pass through b and c: where the way lets a cable go by them, one 14/3 can be pulled uncut from a to d"}},
		{"loose conductors go nowhere else", old, nil},
		{"a box with nothing in it but what passes through", only, []string{"C1 and C2 only pass through j: where the way lets a cable go by them, one 14/2 can be pulled uncut from p to d"}},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range p.Notes {
			if strings.Contains(n, "only pass through") {
				got = append(got, n)
			}
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, %q, want %q\n%s", row.why, p.Status, got, row.want, shown(p))
		}
	}
}
