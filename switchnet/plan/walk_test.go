package plan_test

import (
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// shortestWalk is the length of the shortest walk through some boxes, over every order of
// them, each section by the shortest way.
func shortestWalk(in intent.Intent, places []string) rules.Amount {
	const far = rules.Amount(1) << 50
	dist := map[[2]string]rules.Amount{}
	get := func(a, b string) rules.Amount {
		if d, ok := dist[[2]string{a, b}]; ok || a == b {
			return d
		}
		return far
	}
	for _, r := range in.Runs {
		d := min(rules.Amount(r.Length), get(r.From, r.To))
		dist[[2]string{r.From, r.To}], dist[[2]string{r.To, r.From}] = d, d
	}
	for _, k := range in.Boxes {
		for _, i := range in.Boxes {
			for _, j := range in.Boxes {
				if d := get(i.Name, k.Name) + get(k.Name, j.Name); d < get(i.Name, j.Name) {
					dist[[2]string{i.Name, j.Name}] = d
				}
			}
		}
	}
	best := far
	for _, p := range permutations(len(places)) {
		var sum rules.Amount
		for i := 1; i < len(p); i++ {
			sum += get(places[p[i-1]], places[p[i]])
		}
		best = min(best, sum)
	}
	return best
}

// The bound below all walks holds, is the shortest walk itself through three places, and
// no less than nine tenths of it where a spanning tree is much less.
func TestWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := request(t, bounds{boxes: 9, feeds: 1, groups: 1, places: 6, rings: true})
		for _, c := range in.Controls {
			got, least := plan.Walk(in, c.Places...), shortestWalk(in, c.Places)
			if got > least || got < least && len(c.Places) <= 3 {
				t.Fatalf("the shortest walk through %v is %v long, and the bound is %v", c.Places, least, got)
			}
		}
	})
	// Arms of one length from a hub: the walk goes out and back on all but the first and
	// the last, the tree once on each.
	s := newSketch("hub").box(wiring.Panel, "hub").box(wiring.DeviceBox, "a", "b", "c", "d", "e", "f")
	places := []string{"a", "b", "c", "d", "e", "f"}
	for _, p := range places {
		s.run("hub", p, 10)
	}
	got, least, tree := plan.Walk(s.Intent, places...), shortestWalk(s.Intent, places), rules.Amount(6*s.Runs[0].Length)
	if got > least || 10*got < 9*least || tree >= got {
		t.Errorf("on a star the walk is %v long and the tree %v, and the bound is %v", least, tree, got)
	}
}
