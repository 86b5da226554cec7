package check

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// A Job is what is checked.
type Job struct {
	Wiring *wiring.Wiring
	// Intent is what is wanted; only its controls, exemptions and stairs are used.
	// With no controls, every switch that matters to a light is taken to be meant to
	// toggle it.
	Intent intent.Intent
}

// Options say how to check. The zero value, or nil, means the defaults.
type Options struct {
	// Doubt, if it is set, is called for what the rules cannot tell of the job, in the
	// order of findings.
	Doubt func(Doubt)
	// NoFixes leaves the search for fixes out.
	NoFixes bool
	// Looks is how many fixes are tried in all; 0 means 20,000. Each takes the edits
	// to be made and the finding's own rule to be asked.
	Looks int
	// Tries is how many of these, those that the finding's own rule lets pass, are
	// tried by the whole suite; 0 means 2,000.
	Tries int
	// Pairs is how many pairs of steps are looked at for all findings that no single
	// step cures; 0 means 2,000, and less than 0 none.
	Pairs int
	// MaxFixes is how many fixes a finding gets; 0 means 3.
	MaxFixes int
}

const (
	defaultLooks = 20_000
	defaultTries = 2000
	defaultPairs = 2000
	defaultFixes = 3
)

// Run asks a job every rule of a suite and returns what they find: in the order of the
// rules, and for one rule in the order of the places (see [Place.Compare]). Nothing
// depends on the order in which the job was written down but Place.At. An error means
// that a question has no answer: a net too knotted for package allstates, or a context
// that ends, or that a stair of the intent names a box or light that the wiring does not
// have. What a wiring and an intent do not state of the building, such as the kind of
// room a box is in, is not asked about. It takes time linear in the job for what it finds nothing wrong with, but
// for cables that run in rings, each of which takes that time of its own; each fix that
// is tried takes as long as the check.
func Run(ctx context.Context, job Job, suite Suite, opt *Options) ([]Finding, error) {
	if job.Wiring.Check() != nil {
		return nil, errors.New("check: the job has no wiring")
	}
	if err := checkStairs(&job); err != nil {
		return nil, err
	}
	var o Options
	if opt != nil {
		o = *opt
	}
	p, err := ask(ctx, job, &suite, false)
	if err != nil {
		return nil, err
	}
	if o.Doubt != nil {
		for _, d := range p.doubts {
			o.Doubt(d)
		}
	}
	if !o.NoFixes && len(p.findings) > 0 {
		if err := p.fix(&suite, o); err != nil {
			return nil, err
		}
	}
	return p.findings, nil
}

// ask runs the rules, without fixes. Raw, no rule keeps silent for another.
func ask(ctx context.Context, job Job, suite *Suite, raw bool) (*Pass, error) {
	p := newPass(ctx, job, suite)
	for i := range suite.Rules {
		if err := p.ask(&suite.Rules[i]); err != nil {
			return nil, err
		}
	}
	if !raw {
		p.yield()
	}
	return p, nil
}

func newPass(ctx context.Context, job Job, suite *Suite) *Pass {
	p := &Pass{ctx: ctx, job: job, suite: suite, spec: job.Wiring.Spec()}
	p.entries = arrange(&p.spec)
	return p
}

// ask runs one rule.
func (p *Pass) ask(r *Rule) error {
	if err := p.ctx.Err(); err != nil {
		return err
	}
	p.rule = r
	n, m := len(p.findings), len(p.doubts)
	if err := r.Find(p); err != nil {
		return fmt.Errorf("check: %s: %w", r.Code, err)
	}
	slices.SortStableFunc(p.findings[n:], func(a, b Finding) int {
		return cmp.Or(a.Place.Compare(b.Place), cmp.Compare(a.Message, b.Message))
	})
	slices.SortStableFunc(p.doubts[m:], func(a, b Doubt) int {
		return cmp.Or(a.Place.Compare(b.Place), cmp.Compare(a.Message, b.Message))
	})
	return nil
}

// yield drops findings that another says more closely, of the same light or device, and
// those of which something else is the reason.
func (p *Pass) yield() {
	type told struct {
		code  Code
		about switchnet.Ref
	}
	if len(p.findings) == 0 {
		return
	}
	have := map[told]bool{}
	for i := range p.findings {
		have[told{p.findings[i].Code, p.findings[i].About}] = true
	}
	yields := map[Code][]Code{}
	for _, r := range p.suite.Rules {
		yields[r.Code] = r.Yields
	}
	p.findings = slices.DeleteFunc(p.findings, func(f Finding) bool {
		return f.silent || slices.ContainsFunc(yields[f.Code], func(c Code) bool { return have[told{c, f.About}] })
	})
}
