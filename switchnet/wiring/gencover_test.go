package wiring_test

import (
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// TestGenerator holds the laws to wirings in which things happen: of those that are
// drawn enough light a light, need a switch for it, short, and have every function.
func TestGenerator(t *testing.T) {
	const n = 600
	functions := map[wiring.FunctionKind]int{}
	count := map[string]int{}
	for seed := range uint64(n) {
		w := build(t, draw(t, seeded(seed)))
		for _, f := range w.Functions() {
			functions[f.Kind]++
		}
		for _, c := range w.Circuits() {
			for _, r := range c.Routes {
				if r.Complete {
					count["complete routes"]++
				} else if r.Returns {
					count["routes of unknown length"]++
				} else {
					count["routes without a way back"]++
				}
			}
		}
		states, _, err := w.Net().States(nil)
		if err != nil {
			t.Fatal(err)
		}
		solver, now, last := w.Net().NewSolver(), "", ""
		seen := map[string]bool{}
		for s := range states {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			now = ""
			for _, sup := range v.Supplies() {
				now += sup.Status.String()
				if sup.Status == switchnet.Lit {
					seen["lights a light"] = true
				}
			}
			if last != "" && now != last {
				seen["has a switch that matters"] = true
			}
			if last = now; v.Shorted() {
				seen["shorts"] = true
			}
		}
		for k := range seen {
			count[k]++
		}
	}
	for k := wiring.Hot; k <= wiring.Unknown; k++ {
		if functions[k] < 5 {
			t.Errorf("only %d conductors are %v", functions[k], k)
		}
	}
	for what, least := range map[string]int{"complete routes": 50, "routes of unknown length": 20, "routes without a way back": 50,
		"lights a light": 60, "has a switch that matters": 30, "shorts": 60} {
		if count[what] < least {
			t.Errorf("of %d wirings only %d: %s", n, count[what], what)
		}
	}
	t.Logf("%v, %v", count, functions)
}
