package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Two circuits cannot share one cable that is given.
func TestOneCableForTwoCircuits(t *testing.T) {
	s := newSketch("p").box(wiring.Panel, "p").box(device, "a").box(ceiling, "c").run("p", "a", 5).cable("14/4").run("a", "c", 5).light("l", "c").light("m", "c").
		control("g", []string{"l"}, "a").control("h", []string{"m"}, "a")
	s.Feeds = append(s.Feeds, wiring.Feed{Name: "more", Box: "p", Breaker: 15 * quantity.Ampere})
	s.Controls[0].Feed, s.Controls[1].Feed = "lights", "more"
	p, err := plan.New(context.Background(), s.Intent, region(t, "us-2023"), nil)
	if err != nil || p.Status != plan.Infeasible || !strings.Contains(p.Lacks[0].Why, "another circuit") {
		t.Fatal(p, err)
	}
}

// The first circuit would take the cable that lies there, and can do without it; the
// second cannot.
func TestTheCableGoesToWhoNeedsIt(t *testing.T) {
	s := newSketch("p").box(wiring.Panel, "p").box(device, "a", "b").run("p", "a", 5).cable("14/2").run("p", "b", 3).run("b", "a", 3).cable("14/3").
		light("l", "a").light("m", "a").control("g", []string{"l"}, "a").control("h", []string{"m"}, "a")
	s.Runs[0].Existing = true
	s.Feeds = append(s.Feeds, wiring.Feed{Name: "more", Box: "p", Breaker: 15 * quantity.Ampere})
	s.Controls[0].Feed, s.Controls[1].Feed = "lights", "more"
	p, err := plan.New(context.Background(), s.Intent, region(t, "us-2023"), nil)
	if err != nil || p.Status != plan.Optimal {
		t.Fatal(p, err)
	}
	if what := unsound(s.Intent, region(t, "us-2023"), p); len(what) > 0 {
		t.Error(what)
	}
}

// Circuits that contend for given cables are planned as well as if every way to deal
// these out had been tried.
func TestDealsAreOptimal(t *testing.T) {
	us := region(t, "us-2023")
	rapid.Check(t, func(t *rapid.T) {
		in := request(t, bounds{boxes: 5, feeds: 2, groups: 3, places: 3, rings: true})
		for i := range in.Runs {
			if rapid.IntRange(0, 2).Draw(t, "given") == 0 {
				in.Runs[i].Cable, in.Runs[i].Existing = parsed(rapid.SampledFrom([]string{"14/2", "14/3", "14/4"}).Draw(t, "cable")), rapid.Bool().Draw(t, "existing")
			}
		}
		p, err := plan.New(context.Background(), in, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		want, feasible := dealt(t, in, us)
		if p.Status.OK() != feasible || feasible && (p.Status != plan.Optimal || p.Cost != want) || !feasible && p.Status != plan.Infeasible {
			t.Fatalf("the plan is %v at %v; feasible is %v and the least is %v", p.Status, p.Cost, feasible, want)
		}
	})
}

// dealt plans every circuit of a request by itself, for every way to give each given
// cable to one of them, and returns the least sum.
func dealt(t *rapid.T, in intent.Intent, r *rules.Region) (rules.Amount, bool) {
	var given []int
	for i := range in.Runs {
		if in.Runs[i].Cable.Name != "" {
			given = append(given, i)
		}
	}
	costs := map[[2]int]*rules.Amount{} // by feed and set of cables that it has; nil: none
	alone := func(feed, has int) *rules.Amount {
		key := [2]int{feed, has}
		if c, ok := costs[key]; ok {
			return c
		}
		one := in
		one.Feeds = in.Feeds[feed : feed+1]
		one.Controls, one.Runs = nil, nil
		for _, c := range in.Controls {
			if c.Feed == in.Feeds[feed].Name {
				one.Controls = append(one.Controls, c)
			}
		}
		for i, r := range in.Runs {
			if k := slices.Index(given, i); k < 0 || has>>k&1 != 0 {
				one.Runs = append(one.Runs, r)
			}
		}
		// With a run too few, something may be out of reach.
		p, err := plan.New(context.Background(), one, r, nil)
		if err != nil || !p.Status.OK() {
			costs[key] = nil
			return nil
		}
		if p.Status != plan.Optimal {
			t.Fatal("a circuit by itself is not planned exactly")
		}
		costs[key] = &p.Cost
		return &p.Cost
	}
	var best rules.Amount
	found := false
	all := 1<<len(given) - 1
	for has := 0; has <= all; has++ {
		a := alone(0, has)
		if a == nil {
			continue
		}
		sum := *a
		if len(in.Feeds) > 1 {
			b := alone(1, all&^has)
			if b == nil {
				continue
			}
			sum += *b
		}
		if !found || sum < best {
			best, found = sum, true
		}
	}
	return best, found
}
