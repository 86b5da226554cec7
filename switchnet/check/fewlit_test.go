package check

import (
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// TestFewLit compares which lights are lit alone with a look at every state.
func TestFewLit(t *testing.T) {
	const n = 6
	p, refs := oneOrTheOther(t, n)
	net, err := p.Quiet()
	if err != nil {
		t.Fatal(err)
	}
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver := net.NewSolver()
	turn := switchnet.Ref{Place: "loft", Name: "turn"}
	type lights [n]bool
	lits := func(s switchnet.State) (on lights) {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range refs {
			got, _ := v.Supply(r)
			on[i] = got.Status == switchnet.Lit
		}
		return on
	}
	up := map[lights]bool{} // what is lit in the states in which turn is up
	for s := range states {
		if at, _ := s.Position(turn); at == "up" {
			up[lits(s)] = true
		}
	}
	given := allstates.Positioned(turn, "up")
	rapid.Check(t, func(t *rapid.T) {
		takes := rapid.SliceOfN(rapid.Int64Range(1, 5), n, n).Draw(t, "takes")
		limit := rapid.Int64Range(1, 16).Draw(t, "limit")
		sum := func(on lights) (sum int64) {
			for i, is := range on {
				if is {
					sum += takes[i]
				}
			}
			return sum
		}
		few := false
		for on := range up {
			few = few || on != lights{} && sum(on) < limit
		}
		lit, state, err := p.fewLit(refs, takes, limit, given)
		if err != nil {
			t.Fatal(err)
		}
		if (len(lit) > 0) != few || (state != nil) != few {
			t.Fatalf("found %v; that some state lights less than %d is %v", lit, limit, few)
		}
		if !few {
			return
		}
		var on lights
		for _, i := range lit {
			on[i] = true
		}
		if at, _ := state.Position(turn); at != "up" || lits(*state) != on || sum(on) >= limit {
			t.Errorf("%v are said to be lit in %v, and take less than %d", lit, *state, limit)
		}
	})
}

// TestFewLitGivesUp holds that what is too much to find out is not told.
func TestFewLitGivesUp(t *testing.T) {
	for n, want := range map[int]int{mostApart: 1, mostApart + 1: 0} {
		p, refs := oneOrTheOther(t, n)
		takes := make([]int64, n)
		for i := range takes {
			takes[i] = 4
		}
		up := allstates.Positioned(switchnet.Ref{Place: "loft", Name: "turn"}, "up")
		lit, state, err := p.fewLit(refs, takes, 5, up)
		if err != nil || len(lit) != want || (state != nil) != (want > 0) {
			t.Errorf("of %d, %d are lit alone (%v), want %d", n, len(lit), err, want)
		}
	}
}
