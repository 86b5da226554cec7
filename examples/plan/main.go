// Plan decides how a job is to be wired: from what its file says is wanted it makes a
// wiring at least cost, and says of every cable and conductor why it is there, or, if
// the runs cannot carry what is wanted, what they lack and what would help.
//
//	go run ./examples/plan                            the boat shed that is built in
//	go run ./examples/plan -job FILE                  a job of your own
//	go run ./examples/plan -job FILE -o PLANNED       write the file anew with the wiring in it
//	go run ./examples/plan -job FILE -was PLANNED     plan a changed job again
//	go run ./examples/plan -job FILE -timeout 30s     give up after a time
//
//	-amend F    lay the amendments of a rule file over the region
//	-labor      add the region's figures for pulling cable to its prices
//	-limit N    how many combinations of orders, and of trees of runs, are tried for a
//	            circuit before the best found is taken
//	-json       one JSON object, experimental until a release: title, region (id,
//	            title, amended, cautions), status, cost, bound, unit, cables (name,
//	            type, from, to, length, cost, why, conductors: colour, does, marked,
//	            why), material (type, length), boxes (name, kind, gangs, devices:
//	            control, kind; hots and neutrals: feed, wires; legs, spares, says),
//	            controls (name, scheme, order: box, kind; next: scheme, order, more,
//	            lacks), full (box, required, available, fits, uncut, otherwise), lacks
//	            (from, to, feed, short, unusable, why, conductors), changes (kind, says,
//	            cost, beside, unknown), with -was again (after, boxes: box, was, is;
//	            saving), notes and before_work, the cautions for work on wiring. Costs
//	            are decimal numbers as text.
//
// With -o nothing is lost: the comments, the runs and what is wanted stay in the file,
// so that it can be changed and planned anew. Lists of a wiring that it held before
// are replaced.
//
// With -was the job was planned before and something has changed since: a cable was
// pulled otherwise (give its run the cable, and existing: yes), a light came or went,
// the feed moved. What has room is kept, and the boxes whose sheets change are named,
// with what stood there and what stands there now. PLANNED is a file with the wiring of
// the earlier plan, and may be the same as FILE.
//
// Exit status: 0 it is planned; 1 a file is wrong, and what is wrong where is said; 2
// the program was called the wrong way; 3 it cannot be wired on these runs, or a box
// is too small for it; 4 there is no answer, because it was stopped, took longer than
// -timeout, or found nothing within -limit.
package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/plan"
)

func main() { program.Main(run) }

const usage = `Usage: plan [-job FILE] [-was PLANNED] [-o PLANNED] [-json]

Plans how a job is to be wired, at least cost, and says why. Without -job it plans
the boat shed that is built in.

`

// flagged are the flags as they were written.
type flagged struct {
	job, amend, was, out string
	labor, json          bool
	limit                int
	timeout              time.Duration
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	p := program.New("plan", usage, errs)
	var f flagged
	p.Flags.StringVar(&f.job, "job", "", "read the job from `FILE`")
	p.Flags.StringVar(&f.amend, "amend", "", "lay the rule file `FILE` over the region")
	p.Flags.StringVar(&f.was, "was", "", "keep what can be kept of the earlier plan in `FILE`")
	p.Flags.StringVar(&f.out, "o", "", "write the job with its wiring to `FILE`")
	p.Flags.BoolVar(&f.labor, "labor", false, "add the region's figures for pulling cable to its prices")
	p.Flags.IntVar(&f.limit, "limit", 0, "try at most `N` combinations for a circuit; 0 is the default")
	p.Flags.DurationVar(&f.timeout, "timeout", 0, "give up after a time `T` such as 30s; 0 is never")
	p.Flags.BoolVar(&f.json, "json", false, "print JSON")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	if err := f.misuse(p); err != nil {
		return p.Fail(err)
	}
	if f.timeout > 0 {
		var stop context.CancelFunc
		ctx, stop = context.WithTimeout(ctx, f.timeout)
		defer stop()
	}
	status, err := f.answer(ctx, out, errs)
	if err != nil {
		return p.Fail(err)
	}
	return status
}

// misuse says what is wrong with the call, if anything is.
func (f *flagged) misuse(p *program.Program) error {
	var m program.Mistakes
	p.NoOperands(&m)
	if f.limit < 0 {
		m.Add("limit", "%d is below zero", f.limit)
	}
	if f.timeout < 0 {
		m.Add("timeout", "%v is below zero", f.timeout)
	}
	return m.Err()
}

// answer plans the job, prints and writes the plan, and returns the exit status.
func (f *flagged) answer(ctx context.Context, out, errs io.Writer) (status int, err error) {
	job, err := program.ReadRequest(f.job, f.amend, true)
	if err != nil {
		return 0, err
	}
	p, revision, err := f.plan(ctx, job, errs)
	if err != nil {
		return 0, err
	}
	r, err := newReport(job, p)
	if err != nil {
		return 0, err
	}
	switch {
	case revision != nil:
		r.again(f.was, revision)
	case job.HasWiring():
		r.Notes = append(r.Notes, "The file has a wiring already. This is a plan of what is wanted, as if nothing but existing runs were there yet; -was keeps what it can of an earlier plan.")
	}
	if f.out != "" && p.Status.OK() {
		text, err := job.WithWiring(p.Spec)
		if err != nil {
			return 0, err
		}
		if err := atomicfile.Write(f.out, text); err != nil {
			return 0, err
		}
	}
	if f.json {
		err = program.WriteJSON(out, r)
	} else if err = r.write(out); err == nil && f.out != "" {
		said := "The job with this wiring is in " + f.out + "."
		if !p.Status.OK() {
			said = "Nothing is written to " + f.out + ", for there is no wiring."
		}
		_, err = fmt.Fprintf(out, "\n%s\n", said)
	}
	if small := p.TooSmall(); err == nil && len(small) > 0 {
		_, err = fmt.Fprintln(errs, job.Explain(small))
	}
	return statusOf(p), err
}

// plan plans the job, anew or after an earlier plan.
func (f *flagged) plan(ctx context.Context, job *program.Job, errs io.Writer) (*plan.Plan, *plan.Revision, error) {
	opt := plan.Options{Labor: f.labor, Limit: f.limit}
	if f.was == "" {
		p, err := job.Plan(ctx, opt, errs)
		return p, nil, err
	}
	old, _, err := program.WiredJob(f.was, f.amend)
	if err != nil {
		return nil, nil, err
	}
	r, err := job.Revise(ctx, old, opt, errs)
	if err != nil {
		return nil, nil, err
	}
	return r.Plan, r, nil
}

// statusOf returns the exit status for a plan.
func statusOf(p *plan.Plan) int {
	switch {
	case p.Status == plan.NoneFound:
		return program.NoAnswer
	case p.Status == plan.Infeasible || len(p.Full) > 0:
		return program.Fails
	}
	return program.Answered
}
