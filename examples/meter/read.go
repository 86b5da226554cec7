package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// spell writes a terminal as it is written on the command line.
func spell(t switchnet.Terminal) string {
	s := t.Device + "." + t.Name
	if t.Place != "" {
		s = t.Place + ":" + s
	}
	return s
}

func spellRef(r switchnet.Ref) string { return r.Place + ":" + r.Name }

// terminal finds the terminal of that spelling.
func (b *bench) terminal(text string) (switchnet.Terminal, error) {
	box, _, _ := strings.Cut(text, ":")
	var same []string
	for t := range b.w.Net().Terminals() {
		if spell(t) == text {
			return t, nil
		}
		if t.Place == box {
			same = append(same, spell(t))
		}
	}
	if len(same) == 0 {
		var boxes []string
		for t := range b.w.Net().Terminals() {
			if t.Place != "" && !slices.Contains(boxes, t.Place) {
				boxes = append(boxes, t.Place)
			}
		}
		return switchnet.Terminal{}, fmt.Errorf("meter: there is no terminal %q; write BOX:DEVICE.TERMINAL or BOX:CABLE.COLOUR, with a box of: %s", text, strings.Join(boxes, ", "))
	}
	return switchnet.Terminal{}, fmt.Errorf("meter: there is no terminal %q; in that box there are: %s", text, strings.Join(same, ", "))
}

// device finds the device of that spelling.
func (b *bench) device(text string) (switchnet.Ref, error) {
	var all []string
	for d := range b.w.Net().Devices() {
		if spellRef(d.Ref) == text {
			return d.Ref, nil
		}
		if len(d.Kind.Positions) > 1 {
			all = append(all, spellRef(d.Ref))
		}
	}
	return switchnet.Ref{}, fmt.Errorf("meter: there is no device %q; there are: %s", text, strings.Join(all, ", "))
}

// demoProbes are on the idle traveler between the stair foot and the loft, and on
// the ground beside it.
var demoProbes = [2]string{"loft:C6.black", "loft:C6.bare"}

// readInto writes what the instrument says.
func (c *call) readInto(out io.Writer, b *bench) error {
	sol, err := b.p.Solve(b.state)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "State: %s.\n", sol.State())
	for _, n := range sol.Notes() {
		fmt.Fprintf(out, "Note: %s.\n", n)
	}
	for f := range sol.Feeds() {
		if f.Over {
			fmt.Fprintf(out, "Note: %s carries %s on a breaker of %s; all figures hold only until it opens.\n", f.Feed, f.Current.Magnitude().Format(quantity.Ampere, 0), f.Rating)
		}
	}
	if c.with == "clamp" {
		return c.clampInto(out, sol)
	}
	if len(c.probes) == 0 {
		c.probes = demoProbes[:]
	}
	var at steady.Probes
	var errs []error
	find := func(text string, to *switchnet.Terminal) {
		t, err := b.terminal(text)
		*to = t
		errs = append(errs, err)
	}
	find(c.probes[0], &at.Red)
	if len(c.probes) > 1 {
		find(c.probes[1], &at.Black)
	}
	if c.known != "" {
		find(c.known, &at.Known)
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	where := spell(at.Red)
	if len(c.probes) > 1 {
		where += " to " + spell(at.Black)
	}
	if c.with == "ohms" {
		return ohmsInto(out, sol, at, where)
	}
	m := steady.Meter{Kind: map[string]steady.MeterKind{"high": steady.HighImpedance, "low": steady.LowImpedance, "proximity": steady.Proximity}[c.with], OpenLead: c.open}
	r, err := sol.Read(m, at)
	if err != nil {
		return err
	}
	says := "shows " + r.Shows.Format(quantity.Volt, 1)
	if m.Kind == steady.Proximity {
		says = map[bool]string{true: "alarms", false: "is silent"}[r.Alarm]
	}
	fmt.Fprintf(out, "The %s instrument at %s %s.\n\n", m.Kind, where, says)
	fmt.Fprintf(out, "What is there:  %s, and %s with %s across it\n", r.Unloaded.Format(quantity.Volt, 1), r.Loaded.Format(quantity.Volt, 1), steady.TypicalLowImpedance)
	fmt.Fprintf(out, "Verdict:        %s\n", r.Verdict)
	fmt.Fprintf(out, "Live to earth:  %s\n", map[bool]string{true: "yes, at one of the probes or both", false: "neither probe, by this drawing"}[r.Live])
	fmt.Fprintf(out, "Meter:          %s\n", r.Proof)
	if r.Why != "" {
		fmt.Fprintf(out, "Mind:           %s\n", r.Why)
	}
	if r.Verdict == steady.Ghost {
		fmt.Fprintf(out, "Assumed:        %s between conductors and to ground; the size of a ghost hangs on it\n", steady.TypicalCoupling)
	}
	return nil
}

func ohmsInto(out io.Writer, sol *steady.Solution, at steady.Probes, where string) error {
	r, err := sol.Ohms(at)
	if err != nil {
		return err
	}
	switch {
	case r.Live:
		fmt.Fprintf(out, "The circuit at %s is live: an ohmmeter has no business there.\n", where)
	case r.Open:
		fmt.Fprintf(out, "The ohmmeter at %s reads open.\n", where)
	default:
		beeps := "no tone"
		if r.Beeps {
			beeps = "tone"
		}
		fmt.Fprintf(out, "The ohmmeter at %s reads %s; continuity: %s.\n", where, r.Resistance.Format(quantity.Ohm, 2), beeps)
	}
	for _, l := range r.Through {
		fmt.Fprintf(out, "Some of it is read through %s.\n", l)
	}
	if r.Disturbed {
		fmt.Fprintln(out, "A phantom voltage stands there, which a real ohmmeter may take for anything.")
	}
	return nil
}

func (c *call) clampInto(out io.Writer, sol *steady.Solution) error {
	if c.open {
		fmt.Fprintln(out, "A clamp that is dead shows 0 A, whatever flows.")
		return nil
	}
	if len(c.probes) == 1 && !strings.Contains(c.probes[0], ".") {
		a, err := sol.ClampCable(c.probes[0])
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "The clamp round the whole cable %s shows %s.\n", c.probes[0], a.Format(quantity.Ampere, 3))
		return nil
	}
	var wires []wiring.Wire
	for _, p := range c.probes {
		i := max(strings.LastIndex(p, "."), 0)
		wires = append(wires, wiring.Wire{Cable: p[:i], Conductor: strings.TrimPrefix(p[i:], ".")})
	}
	a, err := sol.Clamp(wires...)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "The clamp round %s shows %s.\n", strings.Join(c.probes, " and "), a.Format(quantity.Ampere, 3))
	return nil
}
