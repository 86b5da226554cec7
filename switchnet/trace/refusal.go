package trace

import (
	"context"
	"fmt"
	"strings"

	"example.com/switchleg/switchnet/miswire"
)

// A Refusal is a test that would be made if it were not for a rule.
type Refusal struct {
	Rule Rule
	// What is refused, in words.
	What string
	// Because is the class that would make it a bolted fault. It has no causes under any
	// other rule, and where that may be something which was never weighed.
	Because Class
}

// String returns what is refused and why. The text is for reading and not stable.
func (r Refusal) String() string {
	if r.Rule == BoltedFault && len(r.Because.Causes) > 0 {
		return fmt.Sprintf("%s: refused: it would be a bolted fault if %s", r.What, r.Because.Causes[0])
	}
	return r.What + ": refused: " + r.Rule.String()
}

// SayRefused returns refusals in words, one line for all that the same class stands in
// the way of, in the order of the first of each. The lines are for reading and not stable.
func SayRefused(all []Refusal) []string {
	var out []string
	for len(all) > 0 {
		first := all[0]
		because := reason(first)
		what := []string{first.What}
		rest := all[:0:0]
		for _, r := range all[1:] {
			if r.Rule == first.Rule && reason(r) == because {
				what = append(what, r.What)
			} else {
				rest = append(rest, r)
			}
		}
		text := first.String()
		if len(what) > 1 {
			text = strings.Join(what, ", ") + strings.TrimPrefix(text, first.What)
		}
		out = append(out, text)
		all = rest
	}
	return out
}

// reason tells classes that stand in the way from each other; empty if none does.
func reason(r Refusal) string {
	if len(r.Because.Causes) == 0 {
		return ""
	}
	return r.Because.String()
}

// barred returns, for a session that has no test left, the best test that each rule keeps
// from being made and that would tell more, in the order of the rules.
func (s *Session) barred(ctx context.Context) ([]Refusal, error) {
	r := s.remaining().alike()
	var out []Refusal
	try := func(rule Rule, change func(*Session, *chooser)) error {
		free := s.Clone()
		free.facts = s.facts
		n := &chooser{s: free, r: r, ctx: ctx, risk: map[int]*Class{}, work: s.c.opt.Work}
		change(free, n)
		if err := n.choose(false); err != nil || n.best.Kind == 0 {
			return err
		}
		t := n.best
		t.At = s.c.f.sp.setting(t.setting)
		x := Refusal{Rule: rule, What: t.String()}
		if rule == BoltedFault {
			careful := &chooser{s: s, r: r, risk: map[int]*Class{}}
			c := careful.passes(group{setting: t.setting, flips: t.Flips})
			if c == nil {
				c = careful.risky(t.setting)
			}
			if c == nil {
				return nil // it is not danger that keeps it from being made
			}
			x.Because = *c
		}
		out = append(out, x)
		return nil
	}
	if s.tripped {
		if err := try(OneTrip, func(free *Session, n *chooser) { free.tripped, n.reckless = false, true }); err != nil {
			return nil, err
		}
	} else if err := try(BoltedFault, func(_ *Session, n *chooser) { n.reckless = true }); err != nil {
		return nil, err
	}
	more, err := s.leftOut(ctx)
	return append(out, more...), err
}

// leftOut returns the best test of a sort that Options leave out and that would tell more of
// the causes that remain, those that no allowed test tells apart included; none if there is
// none, or no sort is left out. It is that of a session which leaves nothing out and has
// those causes and the same reports.
func (s *Session) leftOut(ctx context.Context) ([]Refusal, error) {
	if !s.c.opt.NoDead && !s.c.opt.NoLive {
		return nil, nil
	}
	v, err := s.Verdict()
	if err != nil {
		return nil, err
	}
	opt := s.c.opt
	opt.NoDead, opt.NoLive, opt.Faults = false, false, []miswire.Fault{}
	for _, f := range v.Fits {
		for _, x := range f.Class.Causes {
			if !x.Nothing() {
				opt.Faults = append(opt.Faults, x.Fault)
			}
		}
	}
	c, err := newCase(ctx, s.c.w, &opt, s.c.opt.Faults)
	if err != nil {
		return nil, err
	}
	free := c.Session()
	for _, e := range s.log {
		if err := free.Enter(e); err != nil {
			return nil, err
		}
	}
	free.at, free.where = s.at, s.where
	a, err := free.next(ctx, false)
	if err != nil || a.Status != Searching {
		return nil, err
	}
	if k := a.Test.Kind; !(s.c.opt.NoDead && k == DeadTest || s.c.opt.NoLive && (k == LiveReading || k == TryReference)) {
		return nil, nil // a search that was cut short might have found it
	}
	return []Refusal{{Rule: LeftOut, What: a.Test.String()}}, nil
}
