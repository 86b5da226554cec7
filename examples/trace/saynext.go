package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/switchleg/switchnet/trace"
)

// propose says which test tells most, and how it may come out.
func (d *desk) propose(ctx context.Context) error {
	if err := d.advise(ctx); err != nil {
		return err
	}
	a := d.advice
	for _, r := range trace.SayRefused(a.Refused) {
		fmt.Fprintln(d.out)
		wrap(d.out, "Not now: ", r)
	}
	switch a.Status {
	case trace.Searching:
	case trace.NoTest:
		fmt.Fprintln(d.out)
		wrap(d.out, "", "No test that is allowed and safe tells these apart. "+openAndLook)
		if a.Cut {
			fmt.Fprintln(d.out, "(There may be one; the search for it was cut short.)")
		}
		return nil
	default:
		return nil
	}
	fmt.Fprintf(d.out, "\nNext, about %s:\n", duration(a.Test.Effort))
	for _, step := range a.Test.Steps() {
		wrap(d.out, "  - ", step)
	}
	fmt.Fprintln(d.out, "It came out so:")
	for i, o := range d.answers[:min(len(d.answers), manyAnswers)] {
		wrap(d.out, fmt.Sprintf("  %d  %5s  ", i+1, percent(o.Likely)), d.outcome(o.Of))
	}
	if n := len(d.answers) - manyAnswers; n > 0 {
		fmt.Fprintf(d.out, "  or one of %d that are less likely: write what you saw, \"see LIGHT=GLOW ...\"\n", n)
	}
	if a.Cut {
		fmt.Fprintln(d.out, "  (There may be a better test; the search for it was cut short.)")
	}
	return nil
}

// over returns the session over what is left: of one fault, or of pairs of them, then with
// the search for these.
func (d *desk) over(ctx context.Context) (*trace.Session, *trace.Two, error) {
	pairs, err := d.pairs(ctx)
	if err != nil || pairs == nil {
		return d.s, nil, err
	}
	return pairs.Session, pairs, nil
}

// advise asks which test tells most, unless it was asked since something changed.
func (d *desk) advise(ctx context.Context) error {
	if d.advice != nil {
		return nil
	}
	s, _, err := d.over(ctx)
	if err != nil {
		return err
	}
	a, err := s.Next(ctx)
	if err != nil {
		return err
	}
	var answers []trace.Answer
	if a.Status == trace.Searching {
		if answers, err = s.Answers(a.Test); err != nil {
			return err
		}
		slices.SortStableFunc(answers, func(a, b trace.Answer) int { return cmp.Compare(b.Likely, a.Likely) })
	}
	d.advice, d.answers = &a, answers
	return nil
}

// manyAnswers is how many answers are listed. The others, all of them looks at lights,
// are typed.
const manyAnswers = 9

// duration writes a time as a person says it.
func duration(t time.Duration) string {
	if t < time.Minute {
		return fmt.Sprintf("%d s", int(t.Round(time.Second).Seconds()))
	}
	return fmt.Sprintf("%d min", int(t.Round(time.Minute).Minutes()))
}

// outcome says how a test came out.
func (d *desk) outcome(o trace.Observation) string {
	switch o := o.(type) {
	case trace.Saw:
		if o.Tripped {
			return "the breaker opens"
		}
		if len(o.Lights) == 0 {
			return "nothing can be seen from here"
		}
		return glows(o.Lights)
	case trace.InUse:
		if o.Tripped {
			return "yes, it opened"
		}
		return "no, never"
	case trace.Continuity:
		return o.Found.String()
	case trace.Reference:
		if o.Shown {
			return "the known live source shows its volts"
		}
		return "the known live source shows nothing: this is no reference"
	case trace.Reading:
		return fmt.Sprintf("%v: about %s", o.Comes(d.c.Wiring().Net().Source().System.LineToNeutral), o.Shows)
	}
	return o.String()
}

// glows says what lights do, those that do the same together.
func glows(seen []trace.Seen) string {
	var parts []string
	for g := trace.Dark; g <= trace.Bright; g++ {
		var names []string
		for _, s := range seen {
			if s.Glow == g {
				names = append(names, s.Light.Name)
			}
		}
		switch {
		case len(names) == 0:
		case len(names) == len(seen) && len(seen) > 1:
			return "all " + g.String()
		default:
			parts = append(parts, g.String()+": "+strings.Join(names, ", "))
		}
	}
	return strings.Join(parts, "; ")
}
