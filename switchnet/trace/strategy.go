package trace

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"example.com/switchleg/conductor/quantity"
)

// DefaultTests is how many tests a strategy may have in all.
const DefaultTests = 2000

// StrategyOptions limit a strategy. The zero value, or nil, means the defaults.
type StrategyOptions struct {
	// Tests is how many tests it may have in all; 0 means DefaultTests. The branches
	// that are then left out are the least likely, and are counted.
	Tests int
}

// A Strategy is what to do next, whatever comes out: all tests from where a session is
// to where nothing more can be told, as a tree.
type Strategy struct {
	Root *Branch
	// Tests is how many tests the tree has, MostTests how many the longest way through
	// it, and MostEffort what the way with the most effort takes.
	Tests, MostTests int
	MostEffort       time.Duration
	// MeanTests and MeanEffort are expected, by what is known at the root. Of ways that
	// are left out they count what is there of them, as MostTests and MostEffort do.
	MeanTests  float64
	MeanEffort time.Duration
	// LeftOut is how many branches were left out because there would have been too many
	// tests, and Share how likely it is to come to one.
	LeftOut int
	Share   quantity.Ratio
	// Cut reports that the search for some test met Options.Work.
	Cut bool

	c *Case
}

// A Branch is a point of a strategy: a test and where each answer leads, or an end.
type Branch struct {
	// Status is Searching if there is a Test; otherwise it is the status of the end.
	// A branch that was left out is Searching and has no answers.
	Status  Status
	Test    Test
	Refused []Refusal
	Ways    []Way // in the order of Session.Answers
	// Fits are the classes that remain at an end, the likeliest first.
	Fits []Fit
	// Share is how likely it is to come here.
	Share quantity.Ratio

	share  float64
	depth  int
	effort time.Duration // spent to come here
	order  int
	from   *Branch
	by     int // which of its ways
}

// A Way is an answer and where it leads.
type Way struct {
	Answer Answer
	Then   *Branch
}

// Strategy returns the whole strategy from where the session is: at each point the test
// that Next proposes, for each of its answers what then follows. Whoever answers
// truthfully and with full confidence comes to an end at which what is wrong is among
// the classes that remain, within MostTests and MostEffort as long as nothing was left
// out. The session itself stays where it is.
//
// Branches are worked out the likeliest first, so that the ones left out are the least
// likely. It takes the time of Next for each test. A context that ends is an error.
func (s *Session) Strategy(ctx context.Context, opt *StrategyOptions) (*Strategy, error) {
	limit := DefaultTests
	if opt != nil && opt.Tests != 0 {
		limit = opt.Tests
	}
	if limit < 0 {
		return nil, Errors{{"StrategyOptions.Tests", "is below zero"}}
	}
	out := &Strategy{Root: &Branch{share: 1}, c: s.c}
	open := []*Branch{out.Root}
	made := 1
	for len(open) > 0 {
		// The likeliest is worked out next, of equals the one that came up first.
		best := 0
		for i, b := range open {
			if cmp.Or(cmp.Compare(open[best].share, b.share), cmp.Compare(b.order, open[best].order)) < 0 {
				best = i
			}
		}
		b := open[best]
		open = slices.Delete(open, best, best+1)
		at, err := s.along(b)
		if err != nil {
			return nil, err
		}
		v, err := at.Verdict()
		if err != nil {
			return nil, err
		}
		b.Status, b.Share = v.Status, ratio(b.share)
		if v.Status == Searching && out.Tests == limit {
			out.LeftOut++
			out.Share += b.Share
			b.Fits = v.Fits
			continue
		}
		a, err := at.Next(ctx)
		if err != nil {
			return nil, err
		}
		b.Status, b.Refused = a.Status, a.Refused
		out.Cut = out.Cut || a.Cut
		if a.Status != Searching {
			b.Fits = v.Fits
			out.MostTests = max(out.MostTests, b.depth)
			out.MostEffort = max(out.MostEffort, b.effort)
			continue
		}
		b.Test = a.Test
		out.Tests++
		out.MeanTests += b.share
		out.MeanEffort += time.Duration(b.share * float64(a.Test.Effort))
		answers, err := at.Answers(a.Test)
		if err != nil {
			return nil, err
		}
		for _, x := range answers {
			next := &Branch{share: b.share * x.share, depth: b.depth + 1, effort: b.effort + a.Test.Effort, order: made, from: b, by: len(b.Ways)}
			made++
			b.Ways = append(b.Ways, Way{x, next})
			open = append(open, next)
		}
	}
	return out, nil
}

// along returns the session as it is at a branch.
func (s *Session) along(b *Branch) (*Session, error) {
	var way []*Branch
	for ; b.from != nil; b = b.from {
		way = append(way, b)
	}
	at := s.Clone()
	at.facts = s.facts // one goroutine
	for _, b := range slices.Backward(way) {
		if err := at.Answer(b.from.Test, b.from.Ways[b.by].Answer.Of, quantity.Whole); err != nil {
			return nil, fmt.Errorf("trace: a strategy proposes what a session refuses: %w", err)
		}
	}
	return at, nil
}

// After returns where an observation leads that was made as the test of a branch says,
// and false if it is none of its answers: then it contradicts what was known. A light
// that is half lit or flickers counts as dim.
func (p *Strategy) After(b *Branch, o Observation) (*Branch, bool) {
	nominal := p.c.w.Net().Source().System.LineToNeutral
	for _, w := range b.Ways {
		if sameOutcome(w.Answer.Of, o, nominal) {
			return w.Then, true
		}
	}
	return nil, false
}

func sameOutcome(want, got Observation, nominal quantity.Voltage) bool {
	switch want := want.(type) {
	case Saw:
		got, ok := got.(Saw)
		if !ok || got.Tripped != want.Tripped {
			return false
		}
		for _, l := range want.Lights {
			i := slices.IndexFunc(got.Lights, func(g Seen) bool { return g.Light == l.Light })
			if i < 0 {
				return false
			}
			glow := got.Lights[i].Glow
			if glow == Half || glow == Flicker {
				glow = Dim
			}
			if glow != l.Glow {
				return false
			}
		}
		return true
	case InUse:
		return got == want
	case Continuity:
		got, ok := got.(Continuity)
		return ok && got.Found == want.Found
	case Reference:
		got, ok := got.(Reference)
		return ok && got.Shown == want.Shown
	case Reading:
		got, ok := got.(Reading)
		return ok && got.Comes(nominal) == want.Comes(nominal)
	}
	return false
}
