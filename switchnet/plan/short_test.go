package plan_test

import (
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet/plan"
)

// A search that is cut short finds no less than there is and states a bound that holds:
// the least cost, which a whole search proves, lies between the two. What a whole search
// can plan is not called infeasible.
func TestCutShort(t *testing.T) {
	us := region(t, "us-2023")
	law := func(b bounds) func(*rapid.T) {
		return func(t *rapid.T) {
			in := request(t, b)
			drawStock(t, &in)
			whole, err := plan.New(context.Background(), in, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			if whole.Status != plan.Optimal && whole.Status != plan.Infeasible {
				t.Skip("the request drawn is too large for a whole search to prove its least cost, so there is nothing to hold the bound against")
			}
			short, err := plan.New(context.Background(), in, us, plan.Short())
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case whole.Status == plan.Infeasible:
				if short.Status.OK() {
					t.Fatalf("infeasible, and a short search plans it:\n%s", shown(short))
				}
			case short.Status == plan.Infeasible:
				t.Fatalf("feasible at %v, and a short search calls it infeasible\n%s", whole.Cost, shown(whole))
			case short.Bound > whole.Cost:
				t.Fatalf("the bound is %v, and there is a plan at %v\n%s", short.Bound, whole.Cost, shown(whole))
			case short.Status.OK() && short.Cost < whole.Cost:
				t.Fatalf("a short search finds %v, and the least is %v", short.Cost, whole.Cost)
			case short.Status == plan.Optimal && short.Cost != whole.Cost:
				t.Fatalf("optimal at %v, and the least is %v", short.Cost, whole.Cost)
			}
		}
	}
	t.Run("graph", rapid.MakeCheck(law(bounds{boxes: 7, feeds: 1, groups: 2, places: 5, needs: 2, rings: true})))
	t.Run("special runs", rapid.MakeCheck(law(bounds{boxes: 7, feeds: 2, groups: 2, places: 5, needs: 1, rings: true, special: true})))
}

// Where no search is exhaustive there is a plan all the same, and the gap is stated. On a
// grid every control has its places in a line somewhere, and never on the shortest tree.
func TestLargeGraphs(t *testing.T) {
	us := region(t, "us-2023")
	for _, row := range []struct{ wide, high, groups, places int }{{10, 6, 4, 5}, {10, 6, 1, 20}, {8, 8, 2, 8}} {
		p, err := plan.New(context.Background(), lattice(row.wide, row.high, row.groups, row.places), us, &plan.Options{Limit: 1024})
		if err != nil {
			t.Fatal(err)
		}
		// The bound knows of walks and of several cables, so that it is no small part.
		if p.Status != plan.BestFound || 2*p.Bound < p.Cost || p.Bound >= p.Cost {
			t.Errorf("%+v: %v at %v, bound %v", row, p.Status, p.Cost, p.Bound)
		}
	}
}

// A grid of twelve boxes is planned exactly, whatever is on it.
func TestTwelveBoxes(t *testing.T) {
	us := region(t, "us-2023")
	for _, row := range []struct{ groups, places int }{{1, 12}, {2, 6}, {3, 4}} {
		p, err := plan.New(context.Background(), lattice(4, 3, row.groups, row.places), us, nil)
		if err != nil {
			t.Fatal(err)
		}
		if p.Status != plan.Optimal {
			t.Errorf("%d groups of %d places: %v at %v, bound %v", row.groups, row.places, p.Status, p.Cost, p.Bound)
		}
	}
}

// counted is a context that is called off after it was asked some times.
type counted struct {
	context.Context
	left int
}

func (c *counted) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// A plan is given up wherever it is called off, and asks for that all the while: on a
// large graph at least once for each tree.
func TestCalledOff(t *testing.T) {
	us := region(t, "us-2023")
	in := lattice(8, 8, 2, 8)
	trees := 0
	whole := &counted{context.Background(), 1 << 30}
	if _, err := plan.New(whole, in, us, &plan.Options{Limit: 256, Progress: func(p plan.Progress) { trees = max(trees, p.Trees) }}); err != nil {
		t.Fatal(err)
	}
	asked := 1<<30 - whole.left
	if asked < trees {
		t.Errorf("asked %d times while %d trees were tried", asked, trees)
	}
	for n := 0; n < asked; n = 2*n + 1 {
		ctx := &counted{context.Background(), n}
		if _, err := plan.New(ctx, in, us, &plan.Options{Limit: 256}); !errors.Is(err, context.Canceled) {
			t.Errorf("called off after %d of %d: %v", n, asked, err)
		}
	}
}
