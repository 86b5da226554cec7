package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/trace"
)

// few is how many classes are listed unless more are asked for.
const few = 5

// greet says what is looked for, with the cautions, and proposes the first test.
func (d *desk) greet(ctx context.Context) error {
	classes := d.c.Classes()
	causes := 0
	for i := range classes {
		causes += len(classes[i].Causes)
	}
	fmt.Fprintf(d.out, "%s: what is miswired?\n\n", d.title)
	if err := cautions.Write(d.out, 80); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%d causes are weighed, one fault at a time; tests can tell %d groups of them apart.\n", causes, len(classes))
	fmt.Fprintln(d.out, `The drawing is taken for what is meant. Handles stand as drawn until you say otherwise;
say first what you have seen already. "help" lists the words.`)
	if len(d.steps) > 0 {
		if err := d.left(ctx); err != nil {
			return err
		}
	}
	return d.propose(ctx)
}

// left says what fits what was reported, if it is not what it was.
func (d *desk) left(ctx context.Context) error {
	out := d.out
	var text bytes.Buffer
	d.out = &text
	err := d.sayLeft(ctx)
	d.out = out
	if err != nil {
		return err
	}
	if said := text.String(); said != d.said {
		d.said = said
		_, err = io.WriteString(d.out, said)
		return err
	}
	fmt.Fprintln(d.out, "\nWhat fits is as it was.")
	return nil
}

func (d *desk) sayLeft(ctx context.Context) error {
	if err := d.sayFits(ctx, few, false); err != nil {
		return err
	}
	d.hint()
	if _, v, err := d.standing(ctx); err != nil || v.Status != trace.Found {
		return err
	}
	return d.cure(ctx)
}

// sayFits says what fits, of one fault and of two if these are gone on with, as many groups
// as it is told and, if asked, what is in each.
func (d *desk) sayFits(ctx context.Context, most int, asked bool) error {
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	pairs, err := d.pairs(ctx)
	if err != nil {
		return err
	}
	if pairs == nil {
		d.near = false
		d.verdict(v, most, asked)
		return nil
	}
	if v.Status == trace.Ended || v.Status == trace.Contradiction && (asked || !d.near) {
		d.near = true
		d.verdict(v, most, asked)
	}
	return d.sayPairs(pairs, most, asked)
}

// hint says of a report what no wiring that is whole gives.
func (d *desk) hint() {
	dim, flicker := false, false
	for _, e := range d.s.Log() {
		if e.Report == nil {
			continue
		}
		if o, ok := e.Report.Of.(trace.Saw); ok {
			for _, l := range o.Lights {
				dim = dim || l.Glow == trace.Dim
				flicker = flicker || l.Glow == trace.Flicker
			}
		}
	}
	if flicker {
		wrap(d.out, "  ", "(A lit light that flickers may have a loose joint, which heats, or a bad lamp or dimmer: locked out, and each box proven dead with a tester proven before and after, see to each joint from the light back to the panel.)")
	}
	if dim || flicker {
		wrap(d.out, "  ", "(A light with a driver may glow or flicker on what a cable couples to a leg that is off: see whether a lamp with a filament in its place is dark. Change lamps with the circuit off.)")
	}
}

// verdict says what is left, as many groups as it is told and, if asked, what is in each.
func (d *desk) verdict(v trace.Verdict, most int, asked bool) {
	fmt.Fprintln(d.out)
	switch v.Status {
	case trace.Found:
		fmt.Fprintln(d.out, "One group of causes is left, alike in every test that is allowed:")
		d.alone(&v.Fits[0])
		return
	case trace.NothingWrong:
		fmt.Fprintln(d.out, "Nothing is left but that nothing is wrong.")
		if n := len(v.Fits[0].Class.Causes); n > 1 {
			fmt.Fprintf(d.out, "%s would not show in any of these tests:\n", count(n-1, "fault"))
			for _, c := range v.Fits[0].Class.Causes[1:min(n, 1+fewHidden)] {
				wrap(d.out, "  - ", c.String())
			}
			if more := n - 1 - fewHidden; more > 0 {
				fmt.Fprintf(d.out, "  and %d more\n", more)
			}
		}
		d.against(&v.Fits[0], "  ")
		return
	case trace.Contradiction:
		fmt.Fprintln(d.out, "No single fault gives all of this: something was reported wrongly, or there are two faults.")
		fmt.Fprintln(d.out, "The nearest single ones, each with what does not fit it:")
		most = min(most, fewNear)
	case trace.Ended:
		fmt.Fprintln(d.out, endedBrittle)
		return
	default:
		if len(v.Fits[0].Against) > 0 {
			fmt.Fprintln(d.out, "Nothing fits all of it. If what was doubted was wrong,")
		}
		fmt.Fprintf(d.out, "%s of causes fit, the likeliest first:\n", count(len(v.Fits), "group"))
	}
	d.list(v, most, asked)
}

// alone says what is in a group that is left alone, and what it does not fit.
func (d *desk) alone(f *trace.Fit) {
	for _, c := range likeliest(f.Class.Causes) {
		wrap(d.out, "  - ", c.String())
	}
	d.against(f, "  ")
}

// against lists what a group does not fit.
func (d *desk) against(f *trace.Fit, indent string) {
	log := d.s.Log()
	for _, n := range f.Against {
		if e := log[n]; e.Report != nil {
			wrap(d.out, indent+"does not fit: ", e.Report.String())
		}
	}
}

// list lists groups, as many as it is told and, if asked, what is in each.
func (d *desk) list(v trace.Verdict, most int, asked bool) {
	// What behaves alike is named where there is little, and where it is asked for.
	d.groups(v, most, len(v.Fits) <= fewGroups || asked && v.Status != trace.Contradiction)
}

// groups lists groups, as many as it is told, and names what behaves alike or not.
func (d *desk) groups(v trace.Verdict, most int, named bool) {
	for i := range v.Fits[:min(len(v.Fits), most)] {
		f := &v.Fits[i]
		all := likeliest(f.Class.Causes)
		if !named {
			wrap(d.out, fmt.Sprintf("  %5s  ", percent(f.Likely)), all[0].String()+alike(len(all)))
		} else {
			wrap(d.out, fmt.Sprintf("  %5s  ", percent(f.Likely)), all[0].String())
			for _, x := range all[1:min(len(all), fewAlike)] {
				wrap(d.out, "         or ", x.String())
			}
			if n := len(all) - fewAlike; n > 0 {
				fmt.Fprintf(d.out, "         or one of %d more alike\n", n)
			}
		}
		d.against(f, "         ")
	}
	if n := len(v.Fits) - most; n > 0 {
		fmt.Fprintf(d.out, "  and %d more; \"fits %d\" lists all\n", n, len(v.Fits))
	}
}

func alike(n int) string {
	switch n {
	case 1:
		return ""
	case 2:
		return ", or one alike"
	}
	return fmt.Sprintf(", or one of %d alike", n-1)
}

// endedBrittle is said where brittle insulation was found.
const endedBrittle = "Ended: brittle insulation. Move nothing more. Lock out and tag every circuit of these boxes,\nleave it so, and have the wiring judged and replaced."

// fewGroups is how many groups may be left for what is in them to be named without being
// asked for, and fewAlike how much of a group is named.
const (
	fewGroups = 20
	fewAlike  = 4
	fewNear   = 3  // groups that nearly fit
	fewHidden = 20 // faults that no test shows
)

// likeliest returns causes the likeliest first, and of equals as they come.
func likeliest(all []trace.Cause) []trace.Cause {
	out := slices.Clone(all)
	slices.SortStableFunc(out, func(a, b trace.Cause) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// percent writes a share with two figures at most.
func percent(r quantity.Ratio) string {
	switch share := r.Float64(); {
	case share > 0 && share < 0.001:
		return "<0.1%"
	case share < 0.1:
		return fmt.Sprintf("%.1f%%", 100*share)
	case share > 0.995 && share < 1:
		return ">99%"
	default:
		return fmt.Sprintf("%.0f%%", 100*share)
	}
}

// fits lists what fits, as many as the text says.
func (d *desk) fits(ctx context.Context, text string) error {
	most := 20
	if text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return fmt.Errorf("%q is no number of groups; write: fits 20", text)
		}
		most = n
	}
	return d.sayFits(ctx, most, true)
}

func (d *desk) log() error {
	if len(d.steps) == 0 {
		fmt.Fprintln(d.out, "Nothing was said yet.")
	}
	for _, step := range d.steps {
		fmt.Fprintf(d.out, "  %s\n", strings.Join(step, "\n    "))
	}
	return nil
}
