package check_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
)

// TestTwoFaults makes two faults at once. Whatever is found, each fix that is proposed is
// made and checked again as those of the examples are, and so is what all of them make
// together. Draws are by fixed seeds.
func TestTwoFaults(t *testing.T) {
	t.Parallel()
	fixes, pairs := 0, 0
	for seed := range uint64(16) {
		r := rand.New(rand.NewPCG(seed, 2))
		f, j := chain(t, []int{2, 3}[r.IntN(2)])
		for range 2 {
			list := miswire.List(j.Wiring)
			w, err := list[r.IntN(len(list))].Apply(j.Wiring)
			if err != nil {
				t.Fatal(err)
			}
			j.Wiring = w
		}
		x := example{name: f.Name, file: f, job: j, suite: check.Everything(f.Region)}
		opt := &check.Options{Tries: 200, Pairs: 500}
		found, err := check.Run(t.Context(), j, x.suite, opt)
		if err != nil {
			t.Fatal(err)
		}
		for i := range found {
			holdFixes(t, &x, &found[i], found)
			fixes += len(found[i].Fixes)
			if len(found[i].Fixes) > 0 && strings.Count(found[i].Fixes[0].Does, ", then ") > 0 {
				pairs++
			}
		}
		holdProposal(t, &x, found, opt)
	}
	t.Logf("%d fixes, %d findings with pairs of steps", fixes, pairs)
	if fixes < 24 || pairs < 2 {
		t.Errorf("%d fixes were proposed, for %d findings pairs of steps, which is too few to mean much", fixes, pairs)
	}
}

// holdProposal makes a proposal: what it was made for is gone in the end, nothing has come,
// and the rest is what is left.
func holdProposal(t *testing.T, x *example, found []check.Finding, opt *check.Options) {
	t.Helper()
	p, err := check.Propose(t.Context(), x.job, x.suite, found, opt)
	if err != nil {
		t.Fatal(err)
	}
	had := map[string]int{}
	for i := range found {
		had[name(&found[i])]++
	}
	for _, s := range p.Steps {
		had[name(&s.For)]--
	}
	w := x.job.Wiring
	for _, s := range p.Steps {
		if w, err = w.Apply(s.Fix.Edits...); err != nil {
			t.Fatalf("%s: %v", s.Fix.Does, err)
		}
	}
	if !reflect.DeepEqual(w.Spec(), p.Wiring.Spec()) {
		t.Errorf("the steps %v do not make the wiring of the proposal", p.Steps)
	}
	after := x.job
	after.Wiring = w
	for _, g := range run(t, after, x.suite) {
		if had[name(&g)]--; had[name(&g)] < 0 {
			t.Errorf("the steps %v leave or bring %s", p.Steps, name(&g))
		}
	}
	for _, f := range p.Left {
		if len(f.Fixes) > 0 {
			t.Errorf("%s is left, and %q would cure it", name(&f), f.Fixes[0].Does)
		}
	}
	if n := len(run(t, after, x.suite)); n != len(p.Left) {
		t.Errorf("%d findings are left, the proposal says %d", n, len(p.Left))
	}
}

// TestFaultsAreUndone looks for a cure of every single fault of a chain of two places. At
// least four of five have one; of the rest, most are a device that wants to be replaced by
// one of its own kind, such as one with a dead contact.
func TestFaultsAreUndone(t *testing.T) {
	t.Parallel()
	f, j := chain(t, 2)
	suite := check.Safety(f.Region)
	faults, cured := 0, 0
	for _, x := range miswire.List(j.Wiring) {
		w, err := x.Apply(j.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		wrong := j
		wrong.Wiring = w
		found, err := check.Run(t.Context(), wrong, suite, &check.Options{MaxFixes: 1, Tries: 400, Pairs: -1})
		if err != nil {
			t.Fatal(err)
		}
		if len(found) == 0 {
			continue
		}
		faults++
		for _, v := range found {
			if len(v.Fixes) > 0 {
				cured++
				break
			}
		}
	}
	t.Logf("%d of %d faults have a fix", cured, faults)
	if cured*10 < faults*8 {
		t.Errorf("%d of %d faults have a fix", cured, faults)
	}
}

// TestRefused holds what is no question.
func TestRefused(t *testing.T) {
	f, j := chain(t, 2)
	if _, err := check.Run(t.Context(), check.Job{}, check.Safety(f.Region), nil); err == nil {
		t.Error("a job without a wiring is checked")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := check.Run(ctx, j, check.Safety(f.Region), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a context that has ended gives %v", err)
	}
}
