package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Every change that is offered makes the request feasible, at the cost that is stated with
// it, and changes come the cheapest first, those of unknown cost after all others.
func TestChangesAreTrue(t *testing.T) {
	us := region(t, "us-2023")
	seen, kinds := 0, map[plan.ChangeKind]int{}
	small := bounds{boxes: 6, feeds: 1, groups: 2, places: 4, needs: 1, rings: true, special: true}
	gen := rapid.Custom(func(t *rapid.T) *plan.Plan {
		p, err := plan.New(context.Background(), request(t, small), us, nil)
		if err != nil {
			t.Fatal(err)
		}
		return p
	})
	// The same requests each time, so that there are changes to look at.
	for seed := range 200 {
		p := gen.Example(seed)
		for i, c := range p.Changes {
			seen++
			q, err := plan.New(context.Background(), c.Intent, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			kinds[c.Kind]++
			if !q.Status.OK() || q.Cost != c.Cost-c.Beside || c.Beside != 0 && (c.Kind != plan.OtherFeed || c.Unknown) {
				t.Errorf("seed %d: %s, for %v: planned it is %v at %v", seed, c.Says, c.Cost, q.Status, q.Cost)
			}
			if i == 0 {
				continue
			}
			if p.Changes[i-1].Unknown && !c.Unknown {
				t.Errorf("seed %d: %s comes after one whose cost is not known whole", seed, c.Says)
			}
			if c.Unknown == p.Changes[i-1].Unknown && c.Cost < p.Changes[i-1].Cost {
				t.Errorf("seed %d: %s for %v comes after %v", seed, c.Says, c.Cost, p.Changes[i-1].Cost)
			}
		}
	}
	for _, k := range []plan.ChangeKind{plan.OtherFeed, plan.OpenRun, plan.OtherRaceway, plan.OtherCable} {
		if kinds[k] == 0 {
			t.Errorf("of %d changes none is a %v", seen, k)
		}
	}
	if seen < 20 {
		t.Errorf("of 200 requests only %d changes came up", seen)
	}
}

// What it costs to move a feed is the plan from there and the cable that brings it, along
// the runs that are open to it; where none are, that is said.
func TestMovedFeed(t *testing.T) {
	us := region(t, "us-2023")
	// A cable of two lies between the feed, where the light is, and the two switches.
	shed := func() *sketch {
		s := newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "a", "b").box(wiring.JunctionBox, "j").
			run("c", "a", 10).cable("14/2").run("a", "b", 7).light("l", "c").control("g", []string{"l"}, "a", "b")
		s.Runs[0].Existing = true
		return s
	}
	way := func(ifNeeded bool) *sketch {
		s := shed().run("c", "j", 20).run("j", "b", 5)
		s.Runs[2].IfNeeded = ifNeeded
		return s
	}
	for _, row := range []struct {
		why  string
		in   *sketch
		want []string // of the changes those that open a run or move the feed, with what they cost
	}{
		{"no run is open to a cable of its own", shed(), []string{
			// From b the leg comes back from a: 14/3 for the pair. From a the hot goes to b
			// too: 14/4.
			"bring feed lights in at b, whose own cable to there is not counted: 28 and more",
			"bring feed lights in at a, whose own cable to there is not counted: 35 and more"}},
		{"a run that is there if needed is open, and does without moving the feed", way(true), []string{
			"bring feed lights in at b by a cable of its own, 14/2, 25 ft along the runs from c, of which some are there only if needed: 103",
			"bring feed lights in at j by a cable of its own, 14/2, 20 ft along the runs from c, of which some are there only if needed: 103",
			"bring feed lights in at a by a cable of its own, 14/2, 32 ft along the runs from c, of which some are there only if needed: 131",
			// 14/3 as far as b, so that the leg comes back beside its hot, and 14/4.
			"open the run from c to j, 20 ft: 135"}},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range p.Changes {
			if c.Kind != plan.OtherFeed && c.Kind != plan.OpenRun {
				continue
			}
			text := c.Says + ": " + c.Cost.String()
			if c.Unknown {
				text += " and more"
			}
			got = append(got, text)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %v\n%s\nwant\n%s", row.why, p.Status, strings.Join(got, "\n"), strings.Join(row.want, "\n"))
		}
	}
	// With the run open from the start the plan is the same as with it opened.
	if p, err := plan.New(context.Background(), way(false).Intent, us, nil); err != nil || p.Status != plan.Optimal || p.Cost.String() != "135" {
		t.Errorf("with the run open it is %v, %v", p, err)
	}
	// The run is not used where it is not needed, however short.
	s := newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "a").run("c", "a", 10).run("c", "a", 1).light("l", "c").control("g", []string{"l"}, "a")
	s.Runs[1].IfNeeded = true
	p, err := plan.New(context.Background(), s.Intent, us, nil)
	if err != nil || len(p.Cables) != 1 || p.Cables[0].Run != 0 {
		t.Errorf("planned along %v, %v", p.Cables, err)
	}
}

// What cannot be done because no plan parts a circuit over cables that do not balance is
// told with what the rules say of that, and no plan is told so.
func TestPartingIsNamed(t *testing.T) {
	for _, row := range []struct{ region, says string }{
		{"us-2023", "; NEC 300.3(B)(3) (2023) [low confidence] lets it be done where cables, boxes and whatever they pass through are not of magnetic metal"},
		{"ca", "; CEC section 12"},
		{"uk-2018", ""},
	} {
		// Two cables of two, where one of three is needed.
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b").run("p", "a", 9).
			run("a", "b", 9).cable("14/2").run("a", "b", 8).cable("14/2").light("l", "b").control("g", []string{"l"}, "a", "b")
		in := s.Intent
		switch row.region {
		case "ca":
			in.Stock = stock(t, "14/2", "14/3")
		case "uk-2018":
			in.Supply, in.Feeds[0].Breaker = switchnet.SinglePhase230(), 6*quantity.Ampere
			in.Stock = stock(t, "1.5 mm2 twin and earth")
			in.Runs[1].Cable, in.Runs[2].Cable = parsed("1.5 mm2 twin and earth"), parsed("1.5 mm2 twin and earth")
		}
		for _, enough := range []bool{false, true} {
			if enough {
				in.Runs, in.Stock = slices.Clone(in.Runs), nil
				in.Runs[1].Cable = conductor.CableType{}
				if row.region == "ca" {
					in.Stock = stock(t, "14/2", "14/3", "14/4")
				}
			}
			p, err := plan.New(context.Background(), in, region(t, row.region), nil)
			if err != nil {
				t.Fatal(err)
			}
			told := slices.ContainsFunc(p.Notes, func(n string) bool {
				return strings.HasPrefix(n, "no plan parts what goes out and what comes back over two cables, which then do not balance"+row.says)
			})
			if p.Status.OK() != enough || told == enough {
				t.Errorf("%s: %v, notes %q", row.region, p.Status, p.Notes)
			}
		}
	}
}
