package check_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// TestTwoCircuitsOneLight compares which lights two circuits light with a look at every
// state with the breaker of one feed closed, for examples of several circuits with faults
// put in: by fixed seeds, so that every run looks at the same.
func TestTwoCircuitsOneLight(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	looked, by := 0, 0
	for _, name := range examples(t) {
		x := readExample(t, name)
		spec := x.job.Wiring.Spec()
		if len(spec.Feeds) < 2 || len(spec.Devices) > 6 || len(spec.Lights) == 0 {
			continue
		}
		for range 6 {
			j := x.job
			for range rng.IntN(4) {
				if list := miswire.List(j.Wiring); len(list) > 0 {
					if w, err := list[rng.IntN(len(list))].Apply(j.Wiring); err == nil {
						j.Wiring = w
					}
				}
			}
			found := run(t, j, check.Safety(x.file.Region))
			tied := slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.HandleTie != "" })
			for _, l := range spec.Lights {
				looked++
				ref := switchnet.Ref{Place: l.Box, Name: l.Name}
				alone := litAlone(t, j.Wiring, ref)
				says := slices.ContainsFunc(found, func(f check.Finding) bool { return f.Code == "two-circuits-one-light" && f.About == ref })
				joined := slices.ContainsFunc(found, func(f check.Finding) bool { return f.Code == "circuits-joined" })
				if len(alone) > 1 {
					by++
				}
				if says && len(alone) < 2 || len(alone) > 1 && !tied && !says && !joined {
					t.Errorf("%s: %v is lit by each of %s alone; found %v, circuits joined %v", name, ref, strings.Join(alone, ", "), says, joined)
				}
			}
		}
	}
	if looked < 300 || by < 20 {
		t.Errorf("looked at %d lights, of which %d are lit by two circuits", looked, by)
	}
}

// litAlone returns the feeds that light a light in some state while the breakers of all
// others are off.
func litAlone(t *testing.T, w *wiring.Wiring, light switchnet.Ref) []string {
	t.Helper()
	var out []string
	solver := w.Net().NewSolver()
	feeds := w.Spec().Feeds
	for i, f := range feeds {
		hold := w.Net().Rest()
		for k, other := range feeds {
			if k != i {
				var err error
				if hold, err = hold.With(switchnet.Ref{Place: other.Box, Name: other.Name}, "off"); err != nil {
					t.Fatal(err)
				}
			}
		}
		states, _, err := w.Net().States(&switchnet.StatesOptions{Hold: hold})
		if err != nil {
			t.Fatal(err)
		}
		for s := range states {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := v.Supply(light); got.Status == switchnet.Lit {
				out = append(out, f.Name)
				break
			}
		}
	}
	return out
}
