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
	all := likeliest(k.Causes)
	if all[0].Nothing() && len(all) > 1 {
		all = append(all[1:], all[0])
	}
	if len(v.Fits) > 1 {
		fmt.Fprintln(d.out, "\nThis would cure the likeliest of what fits; more than one thing still does, so go on testing first.")
	}
	for i, x := range all[:min(len(all), few)] {
		if x.Nothing() {
			continue
		}
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
		wrap(d.out, "  ", fmt.Sprintf("(and %d that behave alike. %s)", n, openAndLook))
	}
	if v.Status == trace.Found && d.two == nil {
		fmt.Fprintln(d.out, "\nTwo faults at once may look like one: if that is not what is there, \"two\" goes on.")
	}
	return nil
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
