package plan_test

import (
	"context"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"pgregory.net/rapid"
)

// drawStock draws cables with weights, or none.
func drawStock(t *rapid.T, in *intent.Intent) []string {
	names := [][]string{{"14/2", "14/3", "14/4"}, {"14/2", "14/3"}, {"14/2"}}[rapid.IntRange(0, 2).Draw(t, "stock")]
	weighted := rapid.Bool().Draw(t, "weighted")
	in.Stock = nil
	for _, n := range names {
		c, err := conductor.ParseCableType(n)
		if err != nil {
			t.Fatal(err)
		}
		s := intent.Stock{Cable: c}
		if weighted {
			s.Weight = quantity.Ratio(rapid.IntRange(1, 20).Draw(t, "weight")) * quantity.Whole
		}
		in.Stock = append(in.Stock, s)
	}
	return names
}

// The plan costs what an exhaustive search finds, and is infeasible when it finds
// nothing.
func TestPlansAreOptimal(t *testing.T) {
	us := region(t, "us-2023")
	check := func(b bounds, exempt bool) func(t *rapid.T) {
		return func(t *rapid.T) {
			in := request(t, b)
			if len(in.Runs) > 10 {
				in.Runs = in.Runs[:10]
			}
			for _, box := range in.Boxes {
				if exempt && rapid.Bool().Draw(t, "exempt") {
					in.Exemptions = append(in.Exemptions, intent.Exemption{Box: box.Name, By: "accessible box"})
				}
			}
			names := drawStock(t, &in)
			want, feasible := newOracle(in, us, names...).best()
			p, err := plan.New(context.Background(), in, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			if feasible != (p.Status != plan.Infeasible) {
				t.Fatalf("feasible is %v, and the plan is %v", feasible, p.Status)
			}
			if feasible && (p.Cost != want || p.Status != plan.Optimal) {
				t.Fatalf("the plan is %v at %v with bound %v, and the least is %v\n%s", p.Status, p.Cost, p.Bound, want, shown(p))
			}
		}
	}
	t.Run("one group on a tree", rapid.MakeCheck(check(bounds{boxes: 7, feeds: 1, groups: 1, places: 5}, true)))
	t.Run("one group on a graph", rapid.MakeCheck(check(bounds{boxes: 7, feeds: 1, groups: 1, places: 5, rings: true}, true)))
	t.Run("one group and a need", rapid.MakeCheck(check(bounds{boxes: 6, feeds: 1, groups: 1, places: 4, needs: 2, rings: true}, true)))
	t.Run("two groups on a tree", rapid.MakeCheck(check(bounds{boxes: 5, feeds: 1, groups: 2, places: 4}, true)))
	t.Run("raceways and given cables on a tree", rapid.MakeCheck(check(bounds{boxes: 5, feeds: 1, groups: 2, places: 3, needs: 1, special: true}, false)))
	t.Run("raceways and given cables on a graph", rapid.MakeCheck(check(bounds{boxes: 5, feeds: 1, groups: 2, places: 3, needs: 1, rings: true, special: true}, false)))
	t.Run("two groups on a graph", rapid.MakeCheck(check(bounds{boxes: 5, feeds: 1, groups: 2, places: 3, needs: 1, rings: true}, true)))
}
