package plan_test

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
)

// A plain plan has the wiring, the cost and the lacks of the whole one, and no proposals.
func TestPlain(t *testing.T) {
	for _, r := range []struct {
		why    string
		change func(f *job.File)
		status plan.Status
	}{
		{"the boat shed", func(*job.File) {}, plan.Optimal},
		{"boxes that are too small", func(f *job.File) {
			for i := range f.Intent.Boxes {
				f.Intent.Boxes[i].Volume.Sections = []boxfill.Section{{Marked: 10 * quantity.CubicInch}}
			}
		}, plan.Optimal},
		{"cables that are too small", func(f *job.File) {
			two, err := conductor.ParseCableType("14/2")
			if err != nil {
				t.Fatal(err)
			}
			for i := range f.Intent.Runs {
				f.Intent.Runs[i].Cable = two
			}
		}, plan.Infeasible},
	} {
		f, err := job.Parse(demo.ShedName, demo.Shed(), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.change(f)
		whole, err := plan.New(context.Background(), f.Intent, f.Region, nil)
		if err != nil {
			t.Fatal(err)
		}
		plain, err := plan.New(context.Background(), f.Intent, f.Region, &plan.Options{Plain: true})
		if err != nil {
			t.Fatal(err)
		}
		if plain.Status != whole.Status || plain.Cost != whole.Cost || plain.Bound != whole.Bound || len(plain.Full) != len(whole.Full) {
			t.Errorf("%s: %v, cost %v, bound %v, %d full; the whole plan has %v, %v, %v, %d", r.why,
				plain.Status, plain.Cost, plain.Bound, len(plain.Full), whole.Status, whole.Cost, whole.Bound, len(whole.Full))
		}
		if whole.Status != r.status {
			t.Errorf("%s: the plan is %v, and the row means little", r.why, whole.Status)
		}
		if d := cmp.Diff(whole.Spec, plain.Spec, cmp.AllowUnexported(conductor.Size{})); d != "" {
			t.Errorf("%s: it is wired otherwise:\n%s", r.why, d)
		}
		if d := cmp.Diff(whole.Lacks, plain.Lacks); d != "" {
			t.Errorf("%s: it lacks something else:\n%s", r.why, d)
		}
		if len(plain.Changes) > 0 {
			t.Errorf("%s: a plain plan proposes %d changes", r.why, len(plain.Changes))
		}
		if !whole.Status.OK() {
			continue
		}
		again, err := plan.Revise(context.Background(), whole.Spec, f.Intent, f.Region, &plan.Options{Plain: true})
		if err != nil {
			t.Fatal(err)
		}
		for what, p := range map[string]*plan.Plan{"a plain plan": plain, "a plain revision": again.Plan, "what it is compared with": again.Anew} {
			if slices.ContainsFunc(p.Controls, func(c plan.Control) bool { return len(c.Next) > 0 }) || len(p.Changes) > 0 {
				t.Errorf("%s: %s compares its controls with others: %v, or proposes %v", r.why, what, p.Controls, p.Changes)
			}
		}
	}
}
