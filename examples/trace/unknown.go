package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// sorter is the talk about open boxes in which nobody knows which conductor is which.
type sorter struct {
	title    string
	job      *program.Job
	c        *identify.Case
	s        *identify.Session
	out      io.Writer
	save     string
	terminal bool
	points   map[string]switchnet.Terminal // as they are written
	strange  []string                      // boxes in which what is landed goes with nothing

	steps   []int // how long the log was before each step
	advice  *identify.Advice
	answers []identify.Answer
	done    bool
}

const unknownHelp = `An answer is its number, such as "2", or "2 sure 70%" if you are not certain; after
a live reading also what the meter showed, such as "118V".

What you saw or did on your own:
  same CABLE CABLE           two cables were seen to be one; or: other, they are not
  goes CABLE BOX             a cable was seen to go to a closed box; or: misses
  obeys CONTROL BOX yes      the lights changed whenever that handle was moved; or: no
  found BOX WIRE+WIRE ...    how an undisturbed box was wired: what was spliced;
                             WIRE=DEVICE.TERMINAL what was on a screw; WIRE=capped
  ohms POINT POINT open      dead and locked out; open, load (a resistance), joined
  volts RED BLACK 118V low   live, a tester that loads the circuit; high, any other voltmeter;
                             or: proximity; then off FEED for each feed that is off, within 3V
  reference POINT shows      a known live source over the point shows its volts; or: nothing
  see trip                   a breaker opened
  lock out, prove dead BOX, take off BOX, take apart BOX, part ends BOX, leads off, energize,
  brittle BOX
Add: tied POINT POINT to ohms or volts for what was twisted together meanwhile; sure 70%.
Put earlier in front of what was seen before you began.

A wire is CABLE.COLOUR; a point BOX:CABLE.COLOUR, BOX:box.ground of a metal box, or the word
reference for a long lead to a ground that is known. In double quotes if there is a space.

  next      the test that tells most       fits [N]   what still fits
  in BOX    what is surely, possibly, never in a box
  stand BOX where you are                  log        what was said
  undo      take back the last             save FILE  keep it all
  help      this                           quit       leave
`

// allButCertain is how likely a group is of which all is told though others fit.
const allButCertain = 99 * quantity.Whole / 100

// unknownWords are the words with which a line may begin.
func unknownWords() []string {
	return []string{"same", "other", "goes", "misses", "obeys", "found", "ohms", "volts", "reference", "see",
		"lock", "prove", "take", "part", "leads", "energize", "brittle", "earlier",
		"next", "fits", "in", "stand", "log", "undo", "save", "help", "quit"}
}

// unknown talks about open boxes.
func (c *call) unknown(ctx context.Context, out io.Writer) (int, error) {
	j, w, err := c.wired(ctx)
	if err != nil {
		return 0, err
	}
	opt := identify.Options{NoLive: c.noLive, Controls: controlsOf(j), Disturbed: c.disturbed, Parted: c.parted, Released: c.released}
	k, err := identify.New(ctx, w, &opt)
	var none *identify.NoScheme
	var strange []string
	if errors.As(err, &none) && len(none.Boxes) > 0 {
		strange = none.Boxes
		// What is landed there is wrong, or new: it is no evidence of what is what.
		opt.Disturbed = append(slices.Clone(opt.Disturbed), none.Boxes...)
		k, err = identify.New(ctx, w, &opt)
	}
	if err != nil {
		return 0, fmt.Errorf("%s: %w", j.Name, err)
	}
	d := &sorter{title: j.Title, job: j, c: k, s: k.Session(), out: out, save: c.save, terminal: c.terminal, points: map[string]switchnet.Terminal{}, strange: strange}
	for _, t := range k.Points() {
		d.points[lines.Point(t)] = t
	}
	if c.asJSON {
		d.out = io.Discard
	}
	if c.resume != "" {
		if err := d.resume(c.resume); err != nil {
			return 0, err
		}
	}
	if c.from != "" {
		if err := d.s.Stand(c.from); err != nil {
			return 0, err
		}
	}
	wrong, err := d.talk(ctx, c.input, c.errs)
	if err != nil {
		return 0, err
	}
	if c.asJSON {
		if err := d.state(ctx, out); err != nil {
			return 0, err
		}
	}
	switch status := d.s.Verdict(1).Status; {
	case wrong:
		return program.Wrong, nil
	case status == trace.Found:
		return program.Answered, nil
	case status == trace.Contradiction || status == trace.Ended:
		return program.Fails, nil
	}
	return program.NoAnswer, nil
}

// controlsOf returns the controls of a job whose intent has any.
func controlsOf(j *program.Job) []identify.Control {
	var out []identify.Control
	for _, c := range j.Intent.Controls {
		out = append(out, identify.Control{Name: c.Name, Lights: c.Lights, Places: c.Places, Feed: c.Feed})
	}
	return out
}

// mark is the first line of a file that is kept.
func (d *sorter) mark() string { return (&bench{job: d.job}).mark() + " unknown" }

// resume takes what was kept, an entry a line.
func (d *sorter) resume(name string) error {
	text, err := os.ReadFile(name)
	if err != nil {
		return fmt.Errorf("cannot read what was done before: %w", err)
	}
	if len(text) > maxFile {
		return fmt.Errorf("%s: is larger than %d bytes", name, maxFile)
	}
	kept := strings.Split(string(text), "\n")
	if kept[0] != d.mark() {
		return fmt.Errorf("%s:1:1: this is not what was kept for this job file as it is now", name)
	}
	for i, line := range kept[1:] {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		before := len(d.s.Log())
		if err := d.take(line); err != nil {
			return placed(name, i+2, err)
		}
		d.steps = append(d.steps, before)
	}
	return nil
}

func (d *sorter) keep(name string) error {
	var b strings.Builder
	b.WriteString(d.mark() + "\n")
	for _, e := range d.s.Log() {
		line, err := d.said(e)
		if err != nil {
			return err
		}
		b.WriteString(line + "\n")
	}
	return atomicfile.Write(name, []byte(b.String()))
}

// talk reads lines until there are no more, or the person leaves, and reports whether one
// that came through a pipe was wrong.
func (d *sorter) talk(ctx context.Context, in io.Reader, errs io.Writer) (wrong bool, err error) {
	possible, classes := d.c.Size()
	fmt.Fprintf(d.out, "%s: which conductor is which?\n\n", d.title)
	if err := cautions.Write(d.out, 80); err != nil {
		return false, err
	}
	if len(d.strange) > 0 {
		fmt.Fprintf(d.out, "\nWhat the job says is landed and spliced in box %s goes with no scheme that obeys: it is miswired,\nor somebody worked there. It is left out of account, as after -disturbed; what is wrong there is\na question for trace without -unknown, against the job as it is meant to be.\n", strings.Join(d.strange, " and box "))
	}
	fmt.Fprintf(d.out, "\n%d ways to wire this fit the cables, switches and lights; tests can tell %d groups of them apart.\n", possible, classes)
	fmt.Fprintf(d.out, "Reckoned with are %d unusual things at once at most. \"help\" lists the words.\n", d.c.Unusual())
	if err := d.propose(ctx); err != nil {
		return false, err
	}
	typed := program.NewLines(in, 64<<10)
	defer typed.Close()
	for n := 1; !d.done; n++ {
		if d.terminal {
			fmt.Fprint(d.out, "> ")
		}
		line, err := typed.Next(ctx)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return false, err
		}
		if blank(line) {
			continue
		}
		if !d.terminal {
			fmt.Fprintf(d.out, "> %s\n", strings.TrimSpace(line))
		}
		switch err := d.obey(ctx, strings.TrimSpace(line)); {
		case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			return false, err
		case err != nil && d.terminal:
			fmt.Fprintln(errs, err)
		case err != nil:
			wrong = true
			fmt.Fprintln(errs, placed("input", n, err))
		}
	}
	return wrong, caution(d.out)
}

// obey does what a line says.
func (d *sorter) obey(ctx context.Context, line string) error {
	words := strings.Fields(line)
	arg := func(n int) string {
		if n < len(words) {
			return words[n]
		}
		return ""
	}
	count := func(n int) error {
		if len(words) != n {
			return fmt.Errorf("%q takes %d words after it", words[0], n-1)
		}
		return nil
	}
	switch words[0] {
	case "next":
		return d.propose(ctx)
	case "fits":
		n := 5
		if len(words) > 1 {
			var err error
			if n, err = strconv.Atoi(words[1]); err != nil || n < 1 {
				return fmt.Errorf("%q is no number of groups; write: fits 20", words[1])
			}
		}
		d.verdict(n)
		return nil
	case "in":
		return d.inBox(strings.TrimSpace(strings.TrimPrefix(line, "in")))
	case "stand":
		d.advice = nil
		return d.s.Stand(strings.TrimSpace(strings.TrimPrefix(line, "stand")))
	case "log":
		for _, e := range d.s.Log() {
			text, err := d.said(e)
			if err != nil {
				return err
			}
			fmt.Fprintf(d.out, "  %s\n", text)
		}
		return nil
	case "help":
		fmt.Fprint(d.out, unknownHelp)
		return nil
	case "quit":
		d.done = true
		return nil
	case "save":
		if err := count(2); err != nil {
			return err
		}
		return d.keep(arg(1))
	case "undo":
		if len(d.steps) == 0 {
			return errors.New("there is nothing to take back")
		}
		for len(d.s.Log()) > d.steps[len(d.steps)-1] {
			d.s.Undo()
		}
		d.steps = d.steps[:len(d.steps)-1]
		d.advice = nil
		return d.after(ctx)
	}
	before := len(d.s.Log())
	if err := d.take(line); err != nil {
		return err
	}
	d.steps = append(d.steps, before)
	d.advice = nil
	d.notices(d.s.Log()[before:])
	d.left()
	return d.after(ctx)
}

// notices says what has to be minded of what was noted.
func (d *sorter) notices(entries []identify.Entry) {
	for _, e := range entries {
		switch o := e.Of.(type) {
		case identify.Reading:
			if o.Comes(d.c.Nominal()) == identify.Between {
				fmt.Fprintln(d.out, "\nThat is evidence of nothing, neither of live nor of dead: treat it as live. It has to be read again\nwith a tester that loads the circuit, which is live work for a qualified person; or tested dead.")
			}
		case identify.Tripped:
			fmt.Fprintln(d.out, "\nA breaker opened. Leave it off, lock it out and tag it; it is not closed again to learn more. What is\nleft are tests with everything locked out and proven dead.")
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

// after says what is left after a step, and proposes the next test.
func (d *sorter) after(ctx context.Context) error {
	if d.save != "" {
		if err := d.keep(d.save); err != nil {
			return err
		}
	}
	d.verdict(3)
	return d.propose(ctx)
}

// propose says which test tells most, and how it may come out.
func (d *sorter) propose(ctx context.Context) error {
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
		return nil
	default:
		return nil
	}
	lead := "Next"
	if v := d.s.Verdict(1); len(v.Fits) > 0 && v.Fits[0].Likely >= allButCertain && v.Status == trace.Searching {
		lead = "The first is all but certain. To rule out the unlikely as well"
	}
	fmt.Fprintf(d.out, "\n%s, about %s:\n", lead, duration(d.advice.Test.Effort))
	for _, step := range d.advice.Test.Steps() {
		fmt.Fprintf(d.out, "  - %s\n", step)
	}
	fmt.Fprintln(d.out, "It came out so:")
	for i, a := range d.answers {
		fmt.Fprintf(d.out, "  %d  %5s  %s\n", i+1, percent(a.Likely), a.Outcome())
	}
	return nil
}
