package trace

import (
	"cmp"
	"context"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// What a search for two faults at once is limited to.
const (
	DefaultTries  = 20_000
	DefaultEnough = 12
)

// DoubleOptions limit a search for two faults at once. The zero value, or nil, means the
// defaults.
type DoubleOptions struct {
	// Tries is how many pairs are tried; 0 means DefaultTries.
	Tries int
	// Enough is how many pairs that fit end the search; 0 means DefaultEnough, and
	// DefaultPairs to Session.Two.
	Enough int
}

// A Double is two things wrong at once, each the first cause of its class, the likelier
// first.
type Double struct {
	Causes [2]Cause
	// Likely is how likely it is, of the pairs that were found to fit.
	Likely quantity.Ratio

	share float64
}

// String returns the words. The text is for reading and not stable.
func (d Double) String() string {
	return d.Causes[0].String() + ", and " + d.Causes[1].String()
}

// Doubles are the pairs of faults that a search found.
type Doubles struct {
	// Fits are those that no undoubted report speaks against, the likeliest first, and of
	// equals the one that came up first.
	Fits []Double
	// Tried is how many pairs were tried, and Of how many there are. Where they differ
	// there may be more that fit, each less likely before anything was known than any
	// that was tried.
	Tried, Of int
}

// Doubles returns pairs of single faults that fit all reports of the session: what to
// look for when no single fault does. Two faults are as likely as both are, one times the
// other, before anything is known; pairs are tried in that order, and of equals in the
// order of the classes, until enough fit or the tries are spent. A pair that cannot be
// made, such as a cut in a wire that the other fault has cut, is tried and does not fit.
//
// It takes the time to build a circuit for every pair, some tenths of a millisecond for a
// hall with three places, and what the reports need of it. A context that ends is an error.
func (s *Session) Doubles(ctx context.Context, opt *DoubleOptions) (Doubles, error) {
	var o DoubleOptions
	if opt != nil {
		o = *opt
	}
	var errs Errors
	if o.Tries < 0 || o.Enough < 0 {
		errs.add("DoubleOptions", "a limit is below zero")
		return Doubles{}, errs
	}
	o.Tries, o.Enough = cmp.Or(o.Tries, DefaultTries), cmp.Or(o.Enough, DefaultEnough)
	reports := s.reports(&errs)
	var items []item
	for i := range s.c.classes {
		if k := &s.c.classes[i]; !k.Sound {
			items = append(items, item{k.Causes[0], k.edits, k.share})
		}
	}
	p := newPairing(items)
	out := Doubles{Of: p.of}
	total := 0.0
	err := p.search(ctx, s.c, reports, o.Tries, func(f fitting) bool {
		a, b := items[f.a], items[f.b]
		if b.share > a.share {
			a, b = b, a
		}
		out.Fits = append(out.Fits, Double{Causes: [2]Cause{a.cause, b.cause}, share: f.share * f.fits})
		total += f.share * f.fits
		return len(out.Fits) < o.Enough
	})
	if err != nil {
		return Doubles{}, err
	}
	out.Tried = p.tried
	slices.SortStableFunc(out.Fits, func(a, b Double) int { return cmp.Compare(b.share, a.share) })
	for i := range out.Fits {
		out.Fits[i].Likely = ratio(out.Fits[i].share / total)
	}
	return out, nil
}

// reports returns the reports of a session.
func (s *Session) reports(errs *Errors) []weighed {
	var out []weighed
	for _, e := range s.log {
		if e.Report == nil {
			continue
		}
		r := weighed{e.Report.Of.compile(s.c, errs), float64(e.Report.Confidence) / float64(quantity.Whole)}
		if e.Report.Confidence == 0 {
			r.sure = 1
		}
		out = append(out, r)
	}
	return out
}

// weighed is a report and how far it is to be trusted.
type weighed struct {
	evidence
	sure float64
}

// weighDouble returns what reports leave of a circuit over all senses of the handles, 0 if
// each is ruled out by one of them.
func (c *Case) weighDouble(m *model, reports []weighed) (float64, error) {
	r := c.f.reader(m)
	var err error
	sights := map[int]sight{}
	at := func(y int) sight {
		x, ok := sights[y]
		if !ok && err == nil {
			var f facts
			if f, err = r.read(y, false); err == nil {
				x = sight{string(f.look), f.trip}
				sights[y] = x
			}
		}
		return x
	}
	whole := map[int]*facts{}
	fact := func(y int) *facts {
		x := whole[y]
		if x == nil {
			var f facts
			if f, err = r.read(y, true); err != nil {
				return nil
			}
			x = &f
			whole[y] = x
		}
		return x
	}
	senses := 1 << c.f.sp.bits
	sum := 0.0
	for sense := range senses {
		weight := 1.0
		for _, e := range reports {
			fits := 1.0
			if e.class != nil {
				trips := false
				for y := range c.f.sp.size {
					trips = trips || at(y).trip
				}
				fits = e.class(&class{Class: Class{Trips: trips}})
			}
			for _, x := range e.settings {
				switch {
				case fits == 0:
				case e.glance != nil:
					fits *= e.glance(at, x^sense)
				default:
					f := fact(x ^ sense)
					if err != nil {
						return 0, err
					}
					fits *= e.read(f)
				}
			}
			if err != nil {
				return 0, err
			}
			weight *= e.sure*fits + (1-e.sure)*wrongly
			if weight == 0 {
				break
			}
		}
		sum += weight / float64(senses)
	}
	return sum, nil
}
