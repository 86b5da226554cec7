package main

import (
	"context"
	"fmt"
	"strings"

	"example.com/switchleg/switchnet/trace"
)

// openAndLook is said where only eyes tell causes apart.
const openAndLook = "Lock out and tag every circuit that enters the boxes that they name, open each, prove it dead with a tester proven on a known live source before and after, and look."

// cure says what puts right what fits: the likeliest class, each of its causes, for they
// are told apart by looking alone.
func (d *desk) cure(ctx context.Context) error {
	c, v, err := d.standing(ctx)
	if err != nil {
		return err
	}
	if len(v.Fits) == 0 || v.Status == trace.NothingWrong || v.Status == trace.Contradiction {
		fmt.Fprintln(d.out, "There is nothing to put right that is known of.")
		return nil
	}
	k := &v.Fits[0].Class
	if k.Sound {
		fmt.Fprintln(d.out)
		wrap(d.out, "", "The likeliest of what fits is that nothing is wrong that would show, which wants no cure; more than one thing still fits, so go on testing.")
		return nil
	}
	all := likeliest(k.Causes)
	if len(v.Fits) > 1 {
		fmt.Fprintln(d.out, "\nThis would cure the likeliest of what fits; more than one thing still does, so go on testing first.")
	}
	for i, x := range all[:min(len(all), few)] {
		cure, err := c.Cure(x)
		if err != nil {
			return err
		}
		if i == 0 {
			fmt.Fprintln(d.out)
			wrap(d.out, "", fmt.Sprintf("The cure, if %s:", x))
			for _, step := range cure.Steps() {
				if step == (trace.Action{Do: trace.Energize}).Step() && d.lifted() {
					wrap(d.out, "  - ", trace.Action{Do: trace.LandNeutrals}.Step())
				}
				wrap(d.out, "  - ", step)
			}
			continue
		}
		wrap(d.out, "", fmt.Sprintf("Or, if %s, with the same before it, %s opened and proven dead, and the same after it:", x, boxes(cure.Boxes)))
		for _, does := range cure.Does {
			wrap(d.out, "  - ", strings.ToUpper(does[:1])+does[1:]+".")
		}
	}
	if n := len(all) - few; n > 0 {
		wrap(d.out, "  ", fmt.Sprintf("(and %s. %s)", behaving(n), openAndLook))
	}
	if v.Status == trace.Found && d.two == nil {
		fmt.Fprintln(d.out, "\nTwo faults at once may look like one: if that is not what is there, \"two\" goes on.")
	}
	return nil
}

// behaving says how many causes beside those that were named are alike.
func behaving(n int) string {
	if n == 1 {
		return "1 more that behaves alike"
	}
	return fmt.Sprintf("%d more that behave alike", n)
}

// lifted reports whether the neutrals of the panel are off their bar.
func (d *desk) lifted() (is bool) {
	for _, e := range d.s.Log() {
		if e.Action != nil {
			is = e.Action.Do == trace.LiftNeutrals || is && e.Action.Do != trace.LandNeutrals
		}
	}
	return is
}

// leads reports whether a test lead may still be on a conductor.
func (d *desk) leads() (are bool) {
	for _, e := range d.s.Log() {
		switch {
		case e.Action != nil:
			are = are && e.Action.Do != trace.TakeLeads
		case e.Report != nil && !e.Earlier:
			_, ohms := e.Report.Of.(trace.Continuity)
			are = are || ohms
		}
	}
	return are
}

// remind prints what has still to be undone when somebody leaves.
func (d *desk) remind() error {
	leads, lifted := d.leads(), d.lifted()
	if !leads && !lifted {
		return nil
	}
	v, err := d.s.Verdict()
	if err != nil {
		return err
	}
	if v.Status == trace.Ended {
		fmt.Fprintln(d.out, "\nThe boxes stay as they are:")
		if leads {
			fmt.Fprintln(d.out, "  - A test lead may still be on a conductor.")
		}
		if lifted {
			fmt.Fprintln(d.out, "  - The neutrals are off their bar in the panel.")
		}
		fmt.Fprintln(d.out, "  - Tell all of this to whoever judges the wiring; nothing is energized before.")
		return nil
	}
	fmt.Fprintln(d.out, "\nStill to be undone, before anything is energized:")
	if leads {
		wrap(d.out, "  - ", trace.Action{Do: trace.TakeLeads}.Step())
	}
	if lifted {
		wrap(d.out, "  - ", "The neutrals are off their bar, and each end stays tagged and capped until, with every circuit locked out and tagged and the panel proven dead, it is landed again, tight to the marking of the bar.")
	}
	return nil
}

// boxes lists names.
func boxes(names []string) string {
	switch n := len(names); n {
	case 0:
		return "its box"
	case 1:
		return "box " + names[0]
	default:
		return "boxes " + strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}
