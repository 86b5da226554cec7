package check_test

import (
	"fmt"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
)

// TestWalks flips chains with every single fault along walks in which every flip must
// change the light: what people asked is with which flips a chain is shown to be right or
// wrong without a box being opened. Whatever of the fault is found as a short or under function is
// seen on the walk from every start, but for the stated number, and a flip that changes
// nothing, or trips, is never seen without such a finding. That says nothing of what no
// flip shows.
func TestWalks(t *testing.T) {
	t.Parallel()
	for _, r := range []struct {
		places int
		flips  string // by place in the order of the control: a, b, c
		missed int    // faults that the walk does not show
		why    string
	}{
		{2, "aba", 0, "each once, and the first again with the other up"},
		{2, "ab", 40, "each once: one traveler may never have been asked for"},
		{3, "abcbabc", 0, "each pair of ends from both sides of the four-way"},
		{3, "abcabc", 4, "in the same order twice: one dead contact of the four-way is never asked for"},
		{4, "acbdacb", 0, "no longer than that of three"},
	} {
		f, j := chain(t, r.places)
		suite := check.Everything(f.Region)
		functional := map[check.Code]bool{}
		for _, rule := range suite.Rules {
			functional[rule.Code] = rule.Topic == check.Function
		}
		control := j.Intent.Controls[0]
		handles, _ := control.Switches(j.Wiring)
		if len(handles) != r.places {
			t.Fatalf("the chain has %d handles, want %d", len(handles), r.places)
		}
		var missed []string
		for _, x := range miswire.List(j.Wiring) {
			w, err := x.Apply(j.Wiring)
			if err != nil {
				t.Fatal(err)
			}
			wrong := j
			wrong.Wiring = w
			found := slices.ContainsFunc(run(t, wrong, suite), func(v check.Finding) bool { return functional[v.Code] || v.Code == "short" })
			always, never := shown(t, w.Net(), handles, r.flips)
			switch {
			case found && !always:
				missed = append(missed, fmt.Sprintf("%v: %s", x.Kind, x.Says))
			case !found && !never:
				t.Errorf("%d places: %v: %s: the walk %s shows something, and nothing is found under function", r.places, x.Kind, x.Says, r.flips)
			}
		}
		if len(missed) != r.missed {
			t.Errorf("%d places: the walk %s does not show %d faults, want %d (%s): %q", r.places, r.flips, len(missed), r.missed, r.why, missed)
		}
	}
}

// shown reports whether from every start a walk has a flip that does not change the lamp
// of a chain, or a state that trips the breaker, and whether from none.
func shown(t *testing.T, net *switchnet.Net, handles []switchnet.Ref, flips string) (always, never bool) {
	t.Helper()
	solver := net.NewSolver()
	var lamp switchnet.Ref
	for l := range net.Loads() {
		lamp = l.Ref
	}
	look := func(s switchnet.State) (lit, trips bool) {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		supply, _ := v.Supply(lamp)
		return supply.Status == switchnet.Lit, v.Shorted()
	}
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	always, never = true, true
	for s := range states {
		lit, seen := look(s)
		for _, c := range flips {
			ref := handles[c-'a']
			d, _ := net.Device(ref)
			at, _ := s.Position(ref)
			i := slices.IndexFunc(d.Kind.Positions, func(p switchnet.Position) bool { return p.Name == at })
			if s, err = s.With(ref, d.Kind.Positions[(i+1)%len(d.Kind.Positions)].Name); err != nil {
				t.Fatal(err)
			}
			now, trips := look(s)
			seen = seen || trips || now == lit
			lit = now
		}
		always, never = always && seen, never && !seen
	}
	return always, never
}
