package check_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// peril is what somebody sees who visits every state of a wiring and asks no rule.
type peril struct {
	short    bool
	dark     []string // lights that are dark in some state with both ends live
	shell    []string // lights that burn in some state with their neutral end live
	metal    bool     // a bare wire or a ground terminal is live in some state
	never    []string // lights that do nothing in any state
	obedient string   // what each light does in each state
}

func perils(t *testing.T, w *wiring.Wiring) (out peril) {
	t.Helper()
	net := w.Net()
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	live := func(c switchnet.Condition) bool {
		return c.Kind() == switchnet.Live || c.Kind() == switchnet.LiveThroughLoad
	}
	add := func(list *[]string, name string) {
		if !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	lit := map[string]bool{}
	solver := net.NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		if v.Shorted() {
			out.short = true
			continue
		}
		for l := range net.Loads() {
			x, _ := v.Supply(l.Ref)
			out.obedient += fmt.Sprintf("%v ", x.Status)
			switch x.Status {
			case switchnet.Unlit:
				if live(x.Ends[0]) && live(x.Ends[1]) {
					add(&out.dark, l.Ref.Name)
				}
				continue
			case switchnet.Lit:
				if live(x.Ends[1]) {
					add(&out.shell, l.Ref.Name)
				}
			}
			lit[l.Ref.Name] = true
		}
		for end := range net.Terminals() {
			if end.Name == "ground" || end.Name == "bare" {
				c, _ := v.Condition(end)
				out.metal = out.metal || live(c)
			}
		}
	}
	for l := range net.Loads() {
		if !lit[l.Ref.Name] {
			add(&out.never, l.Ref.Name)
		}
	}
	return out
}

// TestNoPerilIsSilent makes several faults at once, some that were once passed over and
// others drawn from a seed, and holds what is found against what somebody sees who visits
// every state: a short is found, a light that never burns is found or a short is, whatever
// can shock is called hazardous, and whatever obeys otherwise than the sound job is not
// without a finding.
func TestNoPerilIsSilent(t *testing.T) {
	t.Parallel()
	for _, r := range []struct {
		name   string
		draws  int
		faults [][]string
	}{
		{"trace/testdata/cases/stair-pair", 300, [][]string{
			{"C1.white and C2.red are exchanged in box hall", "stair.common and stair.traveler 1 are exchanged in box hall"},
			{"C3.white is open", "C2.white and C2.red are exchanged in box landing"}}},
		{"trace/testdata/cases/stair-three-places", 200, [][]string{
			{"stair is a three-way, traveler 1 for pair 1 first, nothing for pair 1 second, traveler 2 for pair 2 first, common for pair 2 second in box passage", "C3.black and C3.white are exchanged in box landing"}}},
		{"trace/testdata/cases/half-hot", 200, nil},
		{"check/testdata/cases/front-door-fed-through", 60, [][]string{
			{"porch.common and porch.traveler 1 are exchanged in box front-door", "C2.white and C2.red are exchanged in box store-door"}}},
		{"check/testdata/cases/commons-joined", 200, nil},
	} {
		name := "../" + r.name + ".yaml"
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, sound := read(t, name, src)
		suite, list := check.Everything(f.Region), miswire.List(sound.Wiring)
		rng := rand.New(rand.NewPCG(1, 2))
		for range r.draws {
			var says []string
			for range 2 + rng.IntN(2) {
				says = append(says, list[rng.IntN(len(list))].Says)
			}
			r.faults = append(r.faults, says)
		}
		right := perils(t, sound.Wiring)
		for _, says := range r.faults {
			j := sound
			for _, s := range says {
				i := slices.IndexFunc(list, func(x miswire.Fault) bool { return x.Says == s })
				if i < 0 {
					t.Fatalf("%s: no fault %q", r.name, s)
				}
				w, err := list[i].Apply(j.Wiring)
				if err != nil {
					continue // the one undoes what the other is about
				}
				j.Wiring = w
			}
			seen, found := perils(t, j.Wiring), run(t, j, suite)
			has := func(code check.Code, about string) bool {
				return slices.ContainsFunc(found, func(v check.Finding) bool {
					return v.Code == code && (about == "" || v.About.Name == about)
				})
			}
			hazardous := slices.ContainsFunc(found, func(v check.Finding) bool { return v.Standing == check.Hazardous })
			what := fmt.Sprintf("%s: %s", r.name, strings.Join(says, "; "))
			if seen.short != has("short", "") {
				t.Errorf("%s: a short %v, and found %v", what, seen.short, has("short", ""))
			}
			for _, l := range seen.never {
				if !has("never-lit", l) && !seen.short {
					t.Errorf("%s: %s never burns, and nobody says so", what, l)
				}
			}
			if (len(seen.dark)+len(seen.shell) > 0 || seen.metal) && !hazardous {
				t.Errorf("%s: dark and live %v, shell live %v, metal live %v, and nothing found is hazardous: %v", what, seen.dark, seen.shell, seen.metal, found)
			}
			if !seen.short && seen.obedient != right.obedient && len(found) == 0 {
				t.Errorf("%s: the lights do otherwise than in the sound job, and nothing is found", what)
			}
		}
	}
}
