package trace

import (
	"cmp"
	"context"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/miswire"
)

// DefaultPairs is how many pairs that fit a search for two faults weighs against each other.
const DefaultPairs = 300

// A Two is the search for two faults at once, as far as the reports of a session have come.
type Two struct {
	// Session has pairs of faults for causes: those that fit what was reported, the likeliest
	// before anything was known; and with them what reports that are doubted leave of single
	// faults. What was done and reported in it is what was in the session that was asked. Its
	// Verdict, Next, Answers and Strategy are about these, and its Case tells their cures.
	Session *Session
	// Tried is how many pairs were tried, of how many there are.
	Tried, Of int
	// Pairs is how many of them fit and are among the causes.
	Pairs int
	// All reports that every pair that fits is among them. If not, the one that it is may be
	// among those that were not tried, each of which was less likely before anything was known
	// than any that was.
	All bool
}

// twoSearch is what a session keeps of a search for two faults, so that the next goes on
// from there.
type twoSearch struct {
	pairing *pairing
	fits    []fitting // in the order in which they came up
	log     []Entry   // by which they fit
}

// Two returns the search for two faults at once: what to go on with where no single fault
// gives what was reported, or where one that does is hard to believe. Any two single faults
// of the case are a pair, whichever class they are of, the one made after the other in the
// order of the classes and their causes, or the other way round if it is possible only so.
// A pair is as likely before anything is known as the one is times the other; pairs are
// tried in that order, and of equals in the order of the classes and their causes, until
// Enough fit or Tries are tried in all: whoever answers the test that was proposed and asks
// again goes on behind the pairs that were tried before. Enough is DefaultPairs and Tries
// DefaultTries if they are 0.
//
// Answers are given to the session itself, and Two is asked again:
//
//	two, err := s.Two(ctx, nil)
//	a, err := two.Session.Next(ctx)
//	err = s.Answer(a.Test, observation, 0)
//
// The rules of a session hold. Nothing is proposed beside that would be a bolted fault if one
// of the single faults were so that the fewest reports speak against; nor, while not All pairs
// that fit are among the causes and the breaker is not known to hold in any setting, anything
// on the live circuit in a setting in which it was not seen to hold.
//
// It takes some tenths of a millisecond for each pair that is tried, on each core, and the
// time of New for those that fit. A context that ends is an error.
func (s *Session) Two(ctx context.Context, opt *DoubleOptions) (*Two, error) {
	var o DoubleOptions
	if opt != nil {
		o = *opt
	}
	if o.Tries < 0 || o.Enough < 0 {
		return nil, Errors{{"DoubleOptions", "a limit is below zero"}}
	}
	o.Tries, o.Enough = cmp.Or(o.Tries, DefaultTries), cmp.Or(o.Enough, DefaultPairs)
	if err := s.pair(ctx, o); err != nil {
		return nil, err
	}
	p := s.two.pairing
	fits := s.two.fits[:min(len(s.two.fits), o.Enough)]
	out := &Two{Tried: p.tried, Of: p.of, Pairs: len(fits), All: p.tried == p.of && len(fits) == len(s.two.fits)}
	c := &Case{w: s.c.w, opt: s.c.opt}
	if err := c.weighs(ctx, s.hypotheses(fits), s.c.opt.Faults); err != nil {
		return nil, err
	}
	out.Session = c.Session()
	for _, e := range s.log {
		if err := out.Session.Enter(e); err != nil {
			return nil, err
		}
	}
	out.Session.at, out.Session.where = s.at, s.where
	return out, s.fear(out)
}

// pair goes on with the search for pairs, or begins it where what was reported is not what
// was, and more.
func (s *Session) pair(ctx context.Context, o DoubleOptions) error {
	same := func(a, b Entry) bool { return a.Action == b.Action && a.Report == b.Report && a.Earlier == b.Earlier }
	if t := s.two; t == nil || len(t.log) > len(s.log) || !slices.EqualFunc(t.log, s.log[:len(t.log)], same) {
		var items []item
		for i := range s.c.classes {
			for _, x := range s.c.classes[i].Causes {
				if !x.Nothing() {
					items = append(items, item{x, x.Fault.Edits, x.share})
				}
			}
		}
		s.two = &twoSearch{pairing: newPairing(items)}
	}
	var errs Errors
	reports := s.reports(&errs)
	t := *s.two
	if len(t.log) < len(s.log) && len(t.fits) > 0 {
		again := make([]head, len(t.fits))
		for i, f := range t.fits {
			again[i] = head{share: f.share, a: f.a, b: f.b}
		}
		fits, err := t.pairing.weigh(s.c, reports, again)
		if err != nil {
			return err
		}
		t.fits = slices.DeleteFunc(fits, func(f fitting) bool { return f.fits == 0 })
	}
	t.log = slices.Clone(s.log)
	if len(t.fits) < o.Enough {
		err := t.pairing.search(ctx, s.c, reports, o.Tries, func(f fitting) bool {
			t.fits = append(t.fits, f)
			return len(t.fits) < o.Enough
		})
		if err != nil {
			s.two = nil
			return err
		}
	}
	s.two = &t
	return nil
}

// hypotheses returns pairs that fit, what is left of single faults, and that nothing is wrong.
func (s *Session) hypotheses(fits []fitting) *hypotheses {
	h := &hypotheses{}
	alive := func(i int) bool { return slices.Contains(s.alive, i) }
	sound := 0.0
	var singles []Cause
	for i := range s.c.classes {
		if !alive(i) {
			continue
		}
		for _, x := range s.c.classes[i].Causes {
			if x.Nothing() {
				sound = x.share
			} else {
				singles = append(singles, x)
			}
		}
	}
	if sound == 0 && len(singles)+len(fits) == 0 {
		sound = 1 // something must be there to be contradicted
	}
	h.add(Cause{}, nil, sound)
	for _, x := range singles {
		h.add(Cause{Fault: x.Fault}, x.Fault.Edits, x.share)
	}
	for _, f := range fits {
		a, b := s.two.pairing.items[f.a], s.two.pairing.items[f.b]
		if b.share > a.share {
			a, b = b, a
		}
		h.add(Cause{Fault: miswire.Fault{Kind: a.cause.Fault.Kind, Box: a.cause.Fault.Box, Edits: f.edits,
			Says: a.cause.String() + ", and " + b.cause.String()}}, f.edits, f.share)
	}
	return h
}

// fear makes a search for two faults reckon with what is not among its causes.
func (s *Session) fear(two *Two) error {
	near, err := s.nearest()
	if err != nil {
		return err
	}
	holds := two.All || slices.ContainsFunc(s.log, func(e Entry) bool {
		if e.Report == nil || e.Report.Confidence != 0 && e.Report.Confidence != quantity.Whole {
			return false
		}
		o, ok := e.Report.Of.(InUse)
		return ok && !o.Tripped
	})
	looked := s.looked()
	c := s.c
	two.Session.dread = func(x int) *Class {
		for i := range near {
			k := &c.classes[near[i].index]
			for _, sense := range near[i].senses {
				if c.sights[k.looks[x^sense]].trip {
					return &k.Class
				}
			}
		}
		if seen := looked[x]; !holds && (len(seen) == 0 || slices.ContainsFunc(seen, func(o Saw) bool { return o.Tripped })) {
			return &Class{}
		}
		return nil
	}
	return nil
}
