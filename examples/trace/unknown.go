package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// sorter is the talk about open boxes in which nobody knows which conductor is which.
type sorter struct {
	title    string
	job      *program.Job
	boxes    boxSetup
	c        *identify.Case
	s        *identify.Session
	names    names
	out      io.Writer
	save     string
	terminal bool
	noLive   bool
	strange  []string // boxes in which what is landed goes with nothing

	steps  [][]string // the lines that each step came to
	isKept bool       // they are in a file
	shown  string     // the groups that were shown last, without how likely they are
	// proposed is the test that was shown last.
	proposed string
	advice   *identify.Advice
	answers  []identify.Answer
	done     bool
}

const unknownHelp = `An answer is its number, such as "2", or "2 sure 70%" if you are not certain; or yes or
no; open, load or joined; and after a live reading what the meter showed, such as "118V".

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
  in [BOX]  what is surely, possibly, never in a box
  stand BOX where you are                  log        what was said
  undo      take back the last             save FILE  keep it all
  help      this                           quit       leave
`

// allButCertain is how likely a group is of which all is told though others fit.
const allButCertain = 99 * quantity.Whole / 100

// unknown talks about open boxes.
func (c *call) unknown(ctx context.Context, out io.Writer) (int, error) {
	j, w, err := c.wired(ctx)
	if err != nil {
		return 0, err
	}
	d := &sorter{title: j.Title, job: j, out: out, save: c.save, terminal: c.terminal, noLive: c.noLive}
	var was *kept
	if c.resume != "" {
		if was, err = readKept(c.resume, d.mark()); err != nil {
			return 0, err
		}
	}
	if d.boxes, err = c.boxSetup(w, was); err != nil {
		return 0, err
	}
	if err := d.weigh(ctx, c, w); err != nil {
		return 0, err
	}
	if c.asJSON {
		d.out = io.Discard
	}
	if was != nil {
		if err := d.resume(was); err != nil {
			return 0, err
		}
	}
	if c.from != "" {
		if !slices.Contains(d.names.boxes, c.from) {
			var m program.Mistakes
			m.Add("from", "the job has no box %q; there are %s", c.from, listed(d.names.boxes))
			return 0, m.Err()
		}
		if err := d.standIn(c.from); err != nil {
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

// weigh makes the case, without what boxes say that goes with nothing.
func (d *sorter) weigh(ctx context.Context, c *call, w *wiring.Wiring) error {
	opt := identify.Options{NoLive: c.noLive, Controls: controlsOf(d.job), Open: d.boxes.open,
		Disturbed: d.boxes.disturbed, Parted: d.boxes.parted, Released: d.boxes.released}
	k, err := identify.New(ctx, w, &opt)
	var none *identify.NoScheme
	if errors.As(err, &none) && len(none.Boxes) > 0 {
		d.strange = none.Boxes
		// What is landed there is wrong, or new: it is no evidence of what is what.
		opt.Disturbed = append(slices.Clone(opt.Disturbed), none.Boxes...)
		k, err = identify.New(ctx, w, &opt)
	}
	if err != nil {
		return noCase(d.job.Name, err)
	}
	d.c, d.s = k, k.Session()
	d.names = namesOf(k)
	return nil
}

// noCase says in the words of the program why nothing can be made of a job.
func noCase(name string, err error) error {
	var none *identify.NoScheme
	var bad trace.Errors
	switch {
	case errors.As(err, &none):
		return fmt.Errorf("%s: no way to wire this that is reckoned with gives what the job says of the open boxes: a cable may be missing, the feed may come into another box, a control may have another place, or somebody worked in a box since the lights last obeyed; name that with -disturbed BOX", name)
	case errors.As(err, &bad):
		var m program.Mistakes
		var of []error
		for _, e := range bad {
			if flag, ok := strings.CutPrefix(e.Where, "Options."); ok && slices.Contains([]string{"Open", "Disturbed", "Parted", "Released"}, flag) {
				hint := ""
				if flag != "Open" {
					hint = "; give -open with all that stand open"
				}
				m.Add(strings.ToLower(flag), "%s%s", e.Detail, hint)
				continue
			}
			of = append(of, fmt.Errorf("%s: %s", name, e.Detail))
		}
		if err := m.Err(); err != nil {
			return err
		}
		return errors.Join(of...)
	}
	text := strings.TrimPrefix(err.Error(), "identify: ")
	if strings.Contains(text, "Options.") {
		text += " (-open BOX takes one box alone, and -open BOX,BOX two)"
	}
	return fmt.Errorf("%s: %s", name, text)
}

// isDisturbed reports whether somebody worked in a box.
func (d *sorter) isDisturbed(box string) bool {
	return slices.Contains(d.boxes.disturbed, box) || slices.Contains(d.strange, box)
}

// controlsOf returns the controls of a job whose intent has any.
func controlsOf(j *program.Job) []identify.Control {
	var out []identify.Control
	for _, c := range j.Intent.Controls {
		out = append(out, identify.Control{Name: c.Name, Lights: c.Lights, Places: c.Places, Feed: c.Feed})
	}
	return out
}

// talk reads lines until there are no more, or the person leaves, and reports whether one
// that came through a pipe was wrong.
func (d *sorter) talk(ctx context.Context, in io.Reader, errs io.Writer) (wrong bool, err error) {
	if err := d.begin(ctx); err != nil {
		return false, err
	}
	typed := program.NewLines(in, maxLine)
	defer typed.Close()
	for n := 1; !d.done; n++ {
		if d.terminal {
			fmt.Fprint(d.out, "> ")
		}
		line, err := typed.Next(ctx)
		switch {
		case errors.Is(err, io.EOF):
			d.done = true
			continue
		case ctx.Err() != nil:
			return false, err
		case err != nil:
			return false, placed("input", n, fmt.Errorf("%w; a line has at most %d bytes", err, maxLine))
		case blank(line):
			continue
		}
		line = strings.TrimSpace(line)
		if !d.terminal {
			fmt.Fprintf(d.out, "> %s\n", printable(line))
		}
		switch err := d.obey(ctx, line); {
		case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			return false, err
		case err != nil && d.terminal:
			fmt.Fprintln(errs, err)
		case err != nil:
			wrong = true
			fmt.Fprintln(errs, placed("input", n, err))
		}
	}
	d.remind()
	if len(d.steps) > 0 && !d.isKept {
		fmt.Fprintln(d.out, "\nWhat was said is not kept; the line \"save FILE\" keeps it, and -save FILE from the start.")
	}
	return wrong, caution(d.out)
}

// brief is how many groups are shown after each step.
const brief = 3

// maxLine is how long a line may be, in bytes.
const maxLine = 64 << 10

// printable returns a line as it can be shown: quoted, if a terminal would take something
// of it for an order.
func printable(line string) string {
	if !utf8.ValidString(line) || strings.ContainsFunc(line, func(r rune) bool { return r != '\t' && !unicode.IsPrint(r) }) {
		return strconv.Quote(line)
	}
	return line
}

// begin says what the talk is about, what fits before it, and what to do first.
func (d *sorter) begin(ctx context.Context) error {
	fmt.Fprintf(d.out, "%s: which conductor is which?\n\n", d.title)
	if err := cautions.Write(d.out, 80); err != nil {
		return err
	}
	fmt.Fprintln(d.out)
	wrap(d.out, "", d.opened())
	if len(d.strange) > 0 {
		fmt.Fprintln(d.out)
		wrap(d.out, "", fmt.Sprintf("What the job says is landed and spliced in box %s goes with no scheme that obeys: it is miswired, or somebody worked there. It is left out of account, as after -disturbed. If it is another box in which somebody worked, leave and name that one. What is wrong there is a question for trace without -unknown, against the job as it is meant to be. Left out: %s.",
			strings.Join(d.strange, " and box "), strings.Join(d.setAside(d.strange), "; ")))
	}
	possible, _ := d.c.Size()
	fmt.Fprintf(d.out, "\n%s to wire this %s the cables, switches and lights, with %s at once at most.\n\"in\" says what is surely, possibly and never in each open box; \"help\" lists the words.\n", count(possible, "way"), fits(possible), count(d.c.Unusual(), "unusual thing"))
	d.verdict(brief)
	return d.propose(ctx, true)
}

// opened says which boxes are open, and how they are taken.
func (d *sorter) opened() string {
	var closed []string
	panel := map[string]bool{}
	for _, f := range d.c.Wiring().Spec().Feeds {
		panel[f.Box] = true
	}
	for _, b := range d.c.Wiring().Spec().Boxes {
		if !slices.Contains(d.c.Open(), b.Name) && !panel[b.Name] && b.Kind != wiring.Panel {
			closed = append(closed, b.Name)
		}
	}
	slices.Sort(closed)
	text := "Open: " + strings.Join(d.c.Open(), ", ") + "."
	if len(closed) > 0 {
		text += " Closed: " + strings.Join(closed, ", ") + "."
	}
	if len(d.boxes.disturbed) > 0 {
		return text + " Somebody worked since the lights last obeyed in " + strings.Join(d.boxes.disturbed, " and ") + ", so that what is joined there is no evidence; all other boxes are taken as they were when the lights obeyed."
	}
	return text + " All are taken as they were when the lights last obeyed; a box in which somebody worked since is named with -disturbed BOX."
}
