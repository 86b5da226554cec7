package main

import (
	"context"
	"fmt"

	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace"
)

// pairs returns the search for two faults at once, if that is what is gone on with: it was
// asked for, or no single fault gives what was reported.
func (d *desk) pairs(ctx context.Context) (*trace.Two, error) {
	if d.two != nil {
		return d.two, nil
	}
	if !d.pairing {
		v, err := d.s.Verdict()
		if err != nil || v.Status != trace.Contradiction {
			return nil, err
		}
	}
	defer program.Patience(d.errs, "trying pairs of faults")()
	two, err := d.s.Two(ctx, nil)
	if err != nil {
		return nil, err
	}
	d.two = two
	return two, nil
}

// standing returns what is gone on with, one fault or two, and how far it has come.
func (d *desk) standing(ctx context.Context) (*trace.Case, trace.Verdict, error) {
	s, _, err := d.over(ctx)
	if err != nil {
		return nil, trace.Verdict{}, err
	}
	v, err := s.Verdict()
	return s.Case(), v, err
}

// sayPairs says which two faults at once fit, as many groups as it is told.
func (d *desk) sayPairs(two *trace.Two, most int, asked bool) error {
	v, err := two.Session.Verdict()
	if err != nil {
		return err
	}
	fmt.Fprintln(d.out)
	if v.Status == trace.Ended {
		return nil // it was said
	}
	wrap(d.out, "", fmt.Sprintf("Two faults at once: %s, of %d that were tried; there are %d.", fitting(two.Pairs), two.Tried, two.Of))
	switch {
	case v.Status == trace.Contradiction && two.Tried == two.Of:
		wrap(d.out, "", "So something was reported wrongly, or more is wrong than two things: make the doubtful tests again.")
		return nil
	case v.Status == trace.Contradiction:
		wrap(d.out, "", "So something was reported wrongly, or it is a pair that was not tried, or more is wrong than two things: make the doubtful tests again.")
		return nil
	case !two.All:
		wrap(d.out, "", "It may be one that was not tried, less likely than any of these before anything was known.")
	}
	if v.Status == trace.Found {
		fmt.Fprintln(d.out, "One group is left, alike in every test that is allowed:")
		d.alone(&v.Fits[0])
		return nil
	}
	if len(v.Fits) == 1 {
		fmt.Fprintln(d.out, "1 group of causes fits:")
	} else {
		fmt.Fprintf(d.out, "%s of causes fit, the likeliest first:\n", count(len(v.Fits), "group"))
	}
	d.groups(v, most, asked || len(v.Fits) <= fewPairs)
	return nil
}

// fewPairs is how many groups of pairs may be left for what is in them to be named without
// being asked for.
const fewPairs = 2

func fitting(n int) string {
	if n == 1 {
		return "1 pair fits"
	}
	return fmt.Sprintf("%d pairs fit", n)
}
