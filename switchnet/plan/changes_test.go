package plan_test

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet/plan"
)

// Every change that is offered makes the request feasible, at the cost that is stated with
// it, and changes come the cheapest first.
func TestChangesAreTrue(t *testing.T) {
	us := region(t, "us-2023")
	seen := 0
	small := bounds{boxes: 6, feeds: 1, groups: 2, places: 4, needs: 1, rings: true, special: true}
	gen := rapid.Custom(func(t *rapid.T) *plan.Plan {
		p, err := plan.New(context.Background(), request(t, small), us, nil)
		if err != nil {
			t.Fatal(err)
		}
		return p
	})
	// The same requests each time, so that there are changes to look at.
	for seed := range 100 {
		p := gen.Example(seed)
		for i, c := range p.Changes {
			seen++
			q, err := plan.New(context.Background(), c.Intent, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !q.Status.OK() || q.Cost != c.Cost {
				t.Errorf("seed %d: %s, for %v: planned it is %v at %v", seed, c.Says, c.Cost, q.Status, q.Cost)
			}
			if i > 0 && p.Changes[i-1].Kind == plan.OtherFeed && c.Kind != plan.OtherFeed {
				t.Errorf("seed %d: %s comes after a moved feed", seed, c.Says)
			}
			if i > 0 && c.Kind == p.Changes[i-1].Kind && c.Cost < p.Changes[i-1].Cost {
				t.Errorf("seed %d: %s for %v comes after %v", seed, c.Says, c.Cost, p.Changes[i-1].Cost)
			}
		}
	}
	if seen < 20 {
		t.Errorf("of 100 requests only %d changes came up", seen)
	}
}
