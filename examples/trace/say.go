package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

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
		if err := d.left(); err != nil {
			return err
		}
	}
	return d.propose(ctx)
}

// left says what fits what was reported.
func (d *desk) left() error {
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	d.verdict(v, few, false)
	d.hint()
	if v.Status == trace.Found {
		return d.cure()
	}
	return nil
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
		fmt.Fprintln(d.out, "  (A lit light that flickers may have a loose joint, which heats, or a bad lamp or dimmer:\n  locked out, and each box proven dead with a tester proven before and after, see to each\n  joint from the light back to the panel.)")
	}
	if dim || flicker {
		fmt.Fprintln(d.out, "  (A light with a driver may glow or flicker on what a cable couples to a leg that is off:\n  see whether a lamp with a filament in its place is dark. Change lamps with the circuit off.)")
	}
}

// verdict says what is left, as many groups as it is told and, if asked, what is in each.
func (d *desk) verdict(v trace.Verdict, most int, asked bool) {
	fmt.Fprintln(d.out)
	switch v.Status {
	case trace.Found:
		fmt.Fprintln(d.out, "One group of causes is left, alike in every test that is allowed:")
		for _, c := range likeliest(v.Fits[0].Class.Causes) {
			fmt.Fprintf(d.out, "  %s\n", c)
		}
		return
	case trace.NothingWrong:
		fmt.Fprintln(d.out, "Nothing is left but that nothing is wrong.")
		if n := len(v.Fits[0].Class.Causes); n > 1 {
			fmt.Fprintf(d.out, "%s would not show in any of these tests:\n", count(n-1, "fault"))
			for _, c := range v.Fits[0].Class.Causes[1:] {
				fmt.Fprintf(d.out, "  %s\n", c)
			}
		}
		return
	case trace.Contradiction:
		fmt.Fprintln(d.out, "No single fault gives all of this: something was reported wrongly, or there are two faults.")
		fmt.Fprintln(d.out, `"two" looks for two faults; the nearest single ones, each with what does not fit it:`)
	case trace.Ended:
		fmt.Fprintln(d.out, "Ended: brittle insulation. Move nothing more; have the wiring judged and replaced.")
		return
	default:
		fmt.Fprintf(d.out, "%s of causes fit, the likeliest first:\n", count(len(v.Fits), "group"))
	}
	log := d.s.Log()
	// What behaves alike is named where there is little, and where it is asked for.
	named := len(v.Fits) <= fewGroups || asked && v.Status != trace.Contradiction
	for i := range v.Fits[:min(len(v.Fits), most)] {
		f := &v.Fits[i]
		all := likeliest(f.Class.Causes)
		if !named {
			fmt.Fprintf(d.out, "  %5s  %s%s\n", percent(f.Likely), all[0], alike(len(all)))
		} else {
			fmt.Fprintf(d.out, "  %5s  %s\n", percent(f.Likely), all[0])
			for _, x := range all[1:min(len(all), fewAlike)] {
				fmt.Fprintf(d.out, "         or %s\n", x)
			}
			if n := len(all) - fewAlike; n > 0 {
				fmt.Fprintf(d.out, "         or %d more that behave alike\n", n)
			}
		}
		for _, n := range f.Against {
			if e := log[n]; e.Report != nil {
				fmt.Fprintf(d.out, "         does not fit: %s\n", e.Report)
			}
		}
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
		return ", or one that behaves alike"
	}
	return fmt.Sprintf(", or one of %d that behave alike", n-1)
}

// fewGroups is how many groups may be left for what is in them to be named without being
// asked for, and fewAlike how much of a group is named.
const (
	fewGroups = 20
	fewAlike  = 4
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

// openAndLook is said where only eyes tell causes apart.
const openAndLook = "Lock out and tag every circuit that\nenters the boxes that they name, open each, prove it dead with a tester proven on a known\nlive source before and after, and look."

// cure says what puts right what fits: the likeliest class, each of its causes, for they
// are told apart by looking alone.
func (d *desk) cure() error {
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	if len(v.Fits) == 0 || v.Status == trace.NothingWrong {
		fmt.Fprintln(d.out, "There is nothing to put right that is known of.")
		return nil
	}
	if len(v.Fits) > 1 {
		fmt.Fprintln(d.out, "\nThis would cure the likeliest of what fits; more than one thing still does, so go on testing first.")
	}
	k := &v.Fits[0].Class
	for i, x := range likeliest(k.Causes)[:min(len(k.Causes), few)] {
		if x.Nothing() {
			continue
		}
		cure, err := d.c.Cure(x)
		if err != nil {
			return err
		}
		if i == 0 {
			fmt.Fprintf(d.out, "\nThe cure, if %s:\n", x)
		} else {
			fmt.Fprintf(d.out, "Or, if %s:\n", x)
		}
		for _, step := range cure.Steps() {
			fmt.Fprintf(d.out, "  - %s\n", step)
		}
	}
	if n := len(k.Causes) - few; n > 0 {
		fmt.Fprintf(d.out, "  (and %d that behave alike. %s)\n", n, openAndLook)
	}
	return nil
}

// two says which two faults at once fit all that was reported.
func (d *desk) two(ctx context.Context) error {
	slow := time.AfterFunc(time.Second, func() { fmt.Fprintln(d.errs, "trying pairs of faults ...") })
	defer slow.Stop()
	found, err := d.s.Doubles(ctx, nil)
	if err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%s of faults fit, of %d that were tried; there are %d:\n", count(len(found.Fits), "pair"), found.Tried, found.Of)
	for _, f := range found.Fits[:min(len(found.Fits), 2*few)] {
		fmt.Fprintf(d.out, "  %5s  %v\n", percent(f.Likely), f)
	}
	if len(found.Fits) == 0 {
		return nil
	}
	cure, err := d.c.CureDouble(found.Fits[0])
	if err != nil {
		return err
	}
	fmt.Fprintln(d.out, "\nThis would cure the first of them; it is a guess until it is tested:")
	for _, step := range cure.Steps() {
		fmt.Fprintf(d.out, "  - %s\n", step)
	}
	return nil
}

// fits lists what fits, as many as the text says.
func (d *desk) fits(text string) error {
	most := 20
	if text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return fmt.Errorf("%q is no number of groups; write: fits 20", text)
		}
		most = n
	}
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	d.verdict(v, most, true)
	return nil
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

// propose says which test tells most, and how it may come out.
func (d *desk) propose(ctx context.Context) error {
	if d.advice == nil {
		a, err := d.s.Next(ctx)
		if err != nil {
			return err
		}
		d.advice, d.answers = &a, nil
		if a.Status == trace.Searching {
			if d.answers, err = d.s.Answers(a.Test); err != nil {
				return err
			}
			slices.SortStableFunc(d.answers, func(a, b trace.Answer) int { return cmp.Compare(b.Likely, a.Likely) })
		}
	}
	a := d.advice
	for _, r := range trace.SayRefused(a.Refused) {
		fmt.Fprintf(d.out, "\nNot now: %s\n", r)
	}
	switch a.Status {
	case trace.Searching:
	case trace.NoTest:
		fmt.Fprintf(d.out, "\nNo test that is allowed and safe tells these apart. %s\n", openAndLook)
		if a.Cut {
			fmt.Fprintln(d.out, "(There may be one; the search for it was cut short.)")
		}
		return nil
	default:
		return nil
	}
	fmt.Fprintf(d.out, "\nNext, about %s:\n", duration(a.Test.Effort))
	for _, step := range a.Test.Steps() {
		fmt.Fprintf(d.out, "  - %s\n", step)
	}
	fmt.Fprintln(d.out, "It came out so:")
	for i, o := range d.answers[:min(len(d.answers), manyAnswers)] {
		fmt.Fprintf(d.out, "  %d  %5s  %s\n", i+1, percent(o.Likely), d.outcome(o.Of))
	}
	if n := len(d.answers) - manyAnswers; n > 0 {
		fmt.Fprintf(d.out, "  or one of %d that are less likely: write what you saw, \"see LIGHT=GLOW ...\"\n", n)
	}
	if a.Cut {
		fmt.Fprintln(d.out, "  (There may be a better test; the search for it was cut short.)")
	}
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
