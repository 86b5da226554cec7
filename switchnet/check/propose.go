package check

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/wiring"
)

// A Proposal is what a job would be if fixes were made one after the other: for a person
// to carry out and verify, and never a record of what is there.
type Proposal struct {
	// Steps are in the order in which they are to be made.
	Steps []Step
	// Wiring is the wiring after the steps.
	Wiring *wiring.Wiring
	// Left is what the suite finds then. None of it has a fix.
	Left []Finding
}

// A Step is a fix and what it is made for.
type Step struct {
	Fix Fix
	For Finding
}

// Propose makes the fixes that [Run] found for a job: for each finding the first that
// still cures it and does no other harm, what is hazardous first, then by standing, then in
// the order of the findings. The job is checked again after each; when all are made it is
// run again, with the same options, until nothing that is found has a fix. It takes a
// check of the job for each fix, and a run for each time around.
func Propose(ctx context.Context, job Job, suite Suite, found []Finding, opt *Options) (*Proposal, error) {
	if err := job.Wiring.Check(); err != nil {
		return nil, fmt.Errorf("check: %w", err)
	}
	out := &Proposal{Wiring: job.Wiring, Left: found}
	guard := suite.guard()
	now, err := look(ctx, job, &guard)
	if err != nil {
		return nil, err
	}
	for {
		todo := slices.Clone(out.Left)
		slices.SortStableFunc(todo, func(a, b Finding) int { return cmp.Compare(a.Standing, b.Standing) })
		steps := len(out.Steps)
		for i := range todo {
			k := todo[i].key()
			for _, x := range todo[i].Fixes {
				if now.said[k] == 0 {
					break // a fix of another finding cured it
				}
				w, err := out.Wiring.Apply(x.Edits...)
				if err != nil {
					continue // what it would change has been changed
				}
				job.Wiring = w
				after, err := look(ctx, job, &guard)
				if ctx.Err() != nil {
					return nil, ctx.Err()
				}
				if err == nil && now.better(after, k) {
					out.Steps = append(out.Steps, Step{x, todo[i]})
					out.Wiring, now = w, after
					break
				}
			}
		}
		if len(out.Steps) == steps {
			return out, nil
		}
		job.Wiring = out.Wiring
		if out.Left, err = Run(ctx, job, suite, opt); err != nil {
			return nil, err
		}
	}
}

// look returns what is found in a job.
func look(ctx context.Context, job Job, suite *Suite) (*outcome, error) {
	p, err := ask(ctx, job, suite, true)
	if err != nil {
		return nil, err
	}
	return p.outcome(), nil
}

// better reports whether something is found less often after, and nothing more often or
// farther out of the way, and no receptacle has lost its supply.
func (o *outcome) better(after *outcome, k key) bool {
	return after.said[k] < o.said[k] && after.all[k] < o.all[k] && !worse(after.said, o.said) && !worse(after.all, o.all) && !grown(after.amounts, o.amounts) && !cutOff(after.supplied, o.supplied)
}
