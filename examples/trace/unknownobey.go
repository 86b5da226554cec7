package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// unknownWords are the words with which a line may begin.
func unknownWords() []string {
	return []string{"same", "other", "goes", "misses", "obeys", "found", "ohms", "volts", "reference", "see",
		"lock", "prove", "take", "part", "leads", "energize", "brittle", "earlier",
		"next", "fits", "in", "stand", "log", "undo", "save", "help", "quit"}
}

// obey does what a line says.
func (d *sorter) obey(ctx context.Context, line string) error {
	if strings.HasPrefix(line, "{") {
		return d.note(ctx, line)
	}
	words, err := lines.Split(line)
	if err != nil || len(words) == 0 {
		return err
	}
	r := &phrase{d: d, words: words, i: 1}
	switch words[0].Text {
	case "next", "log", "help", "quit", "undo":
		if err := r.end(); err != nil {
			return err
		}
	}
	switch words[0].Text {
	case "next":
		return d.propose(ctx, true)
	case "fits":
		n := 5
		d.shown = ""
		if r.peek() != "" {
			if n, err = strconv.Atoi(r.next("")); err != nil || n < 1 {
				r.fail("%q is no number of groups; write: fits 20", words[1].Text)
			}
		}
		if err := r.end(); err != nil {
			return err
		}
		d.verdict(n)
		return nil
	case "in":
		if r.peek() == "" {
			for _, box := range d.c.Open() {
				if err := d.inBox(box); err != nil {
					return err
				}
			}
			return nil
		}
		box := r.openBox()
		if err := r.end(); err != nil {
			return err
		}
		return d.inBox(box)
	case "stand":
		box := r.box()
		if err := r.end(); err != nil {
			return err
		}
		if err := d.standIn(box); err != nil {
			return err
		}
		fmt.Fprintf(d.out, "You stand in %s.\n", box)
		return errors.Join(d.autosave(), d.propose(ctx, false))
	case "log":
		d.log()
		return nil
	case "help":
		fmt.Fprint(d.out, unknownHelp)
		return nil
	case "quit":
		d.done = true
		return nil
	case "save":
		name := r.next("a file")
		if err := r.end(); err != nil {
			return err
		}
		if err := d.keep(name); err != nil {
			return err
		}
		fmt.Fprintf(d.out, "Kept in %s.\n", name)
		return nil
	case "undo":
		last, err := d.undo()
		if err != nil {
			return err
		}
		fmt.Fprintln(d.out, "Taken back:")
		for _, line := range last {
			fmt.Fprintf(d.out, "  %s\n", line)
		}
		d.shown, d.proposed = "", ""
		return d.after(ctx)
	}
	return d.note(ctx, line)
}

// note takes a line that says what was done or seen, and says what it comes to.
func (d *sorter) note(ctx context.Context, line string) error {
	before := len(d.s.Log())
	if err := d.take(line); err != nil {
		return err
	}
	added := d.s.Log()[before:]
	said := make([]string, len(added))
	for i, e := range added {
		var err error
		if said[i], err = d.said(e); err != nil {
			return err
		}
	}
	d.step(said)
	d.notices(added)
	d.left()
	return d.after(ctx)
}

// log prints what was said, a step after the other.
func (d *sorter) log() {
	if len(d.steps) == 0 {
		fmt.Fprintln(d.out, "Nothing was said yet.")
	}
	for _, step := range d.steps {
		for _, line := range step {
			fmt.Fprintf(d.out, "  %s\n", line)
		}
	}
}

// breakerOpened is said when a breaker was seen to open.
const breakerOpened = "A breaker opened. Leave it off, lock it out and tag it; it is not closed again to learn more. What is left are tests with everything locked out and proven dead."

// notices says what has to be minded of what was noted.
func (d *sorter) notices(entries []identify.Entry) {
	for _, e := range entries {
		switch o := e.Of.(type) {
		case identify.Reading:
			if o.Comes(d.c.Nominal()) == identify.Between {
				fmt.Fprintln(d.out, "\nThat is evidence of nothing, neither of live nor of dead: treat it as live. It has to be read again\nwith a tester that loads the circuit, which is live work for a qualified person; or tested dead.")
			}
		case identify.Tripped:
			fmt.Fprintln(d.out)
			wrap(d.out, "", breakerOpened)
		}
	}
}

// left says that what was noted last counts for nothing, or not for all, if that is so.
func (d *sorter) left() {
	log := d.s.Log()
	for _, x := range d.s.Dropped() {
		if x.Entry != len(log)-1 {
			continue
		}
		how := "It counts only so far as it cannot have led there."
		if x.Wholly {
			how = "It counts for nothing."
		}
		fmt.Fprintf(d.out, "\nSomebody worked in box %s, and what is joined there now nobody knows. %s\nTake it apart, only %s,\ntag and cap every end, and measure again.\n", strings.Join(x.Boxes, " and in box "), how, safely)
	}
}

// after says what is left after a step, and proposes the next test. That it could not be
// kept is said after that.
func (d *sorter) after(ctx context.Context) error {
	failed := d.autosave()
	d.verdict(brief)
	return errors.Join(d.propose(ctx, false), failed)
}

// autosave keeps what was said where that was asked for.
func (d *sorter) autosave() error {
	if d.save == "" {
		return nil
	}
	return d.keep(d.save)
}

// propose says which test tells most, and how it may come out; or why there is none. What
// was shown last is shown again if that is asked for.
func (d *sorter) propose(ctx context.Context, again bool) error {
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
		}
	}
	switch d.advice.Status {
	case trace.Searching:
	case trace.NoTest:
		fmt.Fprintln(d.out, "\nNo test that is allowed and safe tells these apart.")
		if d.noLive {
			fmt.Fprintln(d.out, "Readings with the circuit live were left out, as -no-live says.")
		}
		if v := d.s.Verdict(1); len(v.Fits) > 0 && v.Fits[0].Likely >= allButCertain {
			return nil // the verdict said what its conductors are
		}
		return d.asFar()
	case trace.Found:
		fmt.Fprintln(d.out, "\nNo test is left that would tell more.")
		if v := d.s.Verdict(1); slices.ContainsFunc(v.Fits[0].Ends, func(u identify.Use) bool { return len(u.Roles) > 1 }) {
			wrap(d.out, "", "Where several functions are named no test from the open boxes tells which it was. Between two open boxes that are apart a conductor may take any of them that the code allows, the same at both ends. Where it goes to a closed box lock out and tag every circuit that enters that, open it, prove it dead with a tester proven before and after, and look.")
		}
		return nil
	case trace.Contradiction:
		fmt.Fprintln(d.out)
		wrap(d.out, "", "Nothing is proposed. Take back with undo what is least sure and say it again with \"sure 70%\" after it; or leave, and name with -disturbed a box in which somebody worked since the lights last obeyed.")
		return nil
	default:
		return nil
	}
	text := d.proposal()
	if text == d.proposed && !again {
		fmt.Fprintln(d.out, "\nThe same test is proposed as before; \"next\" shows it again.")
		return nil
	}
	d.proposed = text
	fmt.Fprint(d.out, text)
	return nil
}

// proposal returns the test that was chosen and its answers as they are shown.
func (d *sorter) proposal() string {
	var out strings.Builder
	lead := "Next"
	if v := d.s.Verdict(1); len(v.Fits) > 0 && v.Fits[0].Likely >= allButCertain && v.Status == trace.Searching {
		lead = "The first is all but certain. To rule out the unlikely as well"
	}
	fmt.Fprintf(&out, "\n%s, about %s:\n", lead, duration(d.advice.Test.Effort))
	for _, step := range d.advice.Test.Steps() {
		wrap(&out, "  - ", step)
	}
	fmt.Fprintln(&out, "How did it come out?")
	for i, a := range d.answers {
		outcome := strings.TrimPrefix(a.Outcome(), "in box "+d.advice.Test.Box+": ")
		wrap(&out, fmt.Sprintf("%3d  %5s  ", i+1, percent(a.Likely)), outcome)
	}
	if d.advice.Test.Kind == identify.LookInBox {
		fmt.Fprintf(&out, "     or, if it is none of these: found %s WIRE+WIRE WIRE=DEVICE.TERMINAL WIRE=capped\n", quoted(d.advice.Test.Box))
	}
	return out.String()
}

// asFar says of every conductor what it may be, where no test tells more.
func (d *sorter) asFar() error {
	fmt.Fprintln(d.out, "So far as it can be told:")
	for _, box := range d.c.Open() {
		in, err := d.s.In(box)
		if err != nil {
			return err
		}
		for _, u := range in.Ends {
			hang(d.out, "  ", 6, u.String())
		}
	}
	return nil
}
