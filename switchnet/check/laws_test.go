package check_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
)

// TestTwoFaults makes two faults at once. Whatever is found, each fix that is proposed is
// made and checked again as those of the examples are.
func TestTwoFaults(t *testing.T) {
	t.Parallel()
	fixes := 0
	for seed := range uint64(24) {
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
		found, err := check.Run(t.Context(), j, x.suite, &check.Options{Tries: 200})
		if err != nil {
			t.Fatal(err)
		}
		for i := range found {
			holdFixes(t, &x, &found[i], found)
			fixes += len(found[i].Fixes)
		}
	}
	if fixes < 24 {
		t.Errorf("%d fixes were proposed, which is too few to mean much", fixes)
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
		found, err := check.Run(t.Context(), wrong, suite, &check.Options{MaxFixes: 1, Tries: 400})
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
