package program

import (
	"context"
	"fmt"
	"io"
	"time"

	"example.com/switchleg/switchnet/plan"
)

// Plan plans what the job wants, with problems as [Job.Explain] puts them. How far it
// is is told on errs, every second from the first on.
func (j *Job) Plan(ctx context.Context, opt plan.Options, errs io.Writer) (*plan.Plan, error) {
	opt.Progress = progress(errs)
	p, err := plan.New(ctx, j.Intent, j.Region, &opt)
	if err != nil {
		return nil, j.Explain(err)
	}
	return p, nil
}

// Revise is Plan for a job that was planned before: old is the job with the wiring of
// the plan that was made then.
func (j *Job) Revise(ctx context.Context, old *Job, opt plan.Options, errs io.Writer) (*plan.Revision, error) {
	opt.Progress = progress(errs)
	r, err := plan.Revise(ctx, old.Wiring, j.Intent, j.Region, &opt)
	if err != nil {
		return nil, j.Explain(err)
	}
	return r, nil
}

func progress(errs io.Writer) func(plan.Progress) {
	told := time.Now()
	return func(p plan.Progress) {
		if time.Since(told) < time.Second {
			return
		}
		told = time.Now()
		fmt.Fprintf(errs, "planning circuit %d of %d", p.Circuit, p.Circuits)
		if p.Trees > 0 {
			fmt.Fprintf(errs, ", %d trees of runs tried", p.Trees)
		}
		fmt.Fprintln(errs)
	}
}
