package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// words are what may be typed beside the lines of package lines.
func words() []string {
	return append(lines.Verbs(), "stand", "next", "fits", "two", "one", "cure", "log", "undo", "save", "help", "quit")
}

const help = `An answer is its number, such as "2", or as it is listed, "dark"; "2 sure 70%" if you are
not certain; after a live reading also what the meter showed, such as "118V".

What you saw or did on your own:
  see LIGHT=GLOW ...         dark, lit, dim, half, flicker or bright; "see trip" if the breaker opens
  flip SWITCH nothing        moving this handle changed no light; or: changes
  use holds                  with all switches used in all positions it never tripped; or: use trips
  ohms POINT POINT open      dead and locked out; open, load (a resistance), joined
  volts RED BLACK 118V low   live, a tester that loads the circuit; high, any other voltmeter;
                             or: proximity
  reference POINT shows      a known live source over the point shows its volts; or: nothing
  lock out, prove dead BOX, lift neutrals, cap neutrals, land neutrals, leads off, energize,
  brittle BOX
Add: with SWITCH=POSITION ... if handles stood otherwise, with any for all settings; sure 70%;
to ohms lifted, if all neutrals are off the bar of the panel.
Put earlier in front of what was seen before you began.

  stand SWITCH=POSITION ... in BOX     how the handles stand and where you are
  next      the test that tells most       fits [N]   what still fits
  cure      what puts it right             two        go on with two faults at once; or: one
  undo      take back the last             save FILE  keep it all
  log       what was said                  help       this
  quit      leave

A switch or light is BOX:NAME, a point BOX:DEVICE.TERMINAL or BOX:CABLE.COLOUR; in double
quotes if there is a space in it.
`

// obey does what a line says.
func (d *desk) obey(ctx context.Context, line string) error {
	word, rest := firstWord(line), ""
	if _, after, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
		rest = strings.TrimSpace(after)
	}
	if small := strings.ToLower(word); small != word && slices.Contains(words(), small) {
		line = strings.Replace(line, word, small, 1)
		word = small
	}
	bare := func(do func() error) error {
		if rest != "" {
			return fmt.Errorf("%q takes nothing after it", word)
		}
		return do()
	}
	switch word {
	case "next":
		return bare(func() error { return d.propose(ctx) })
	case "fits":
		return d.fits(ctx, rest)
	case "two", "one":
		return bare(func() error {
			d.pairing = word == "two"
			d.changed()
			return d.after(ctx)
		})
	case "cure":
		return bare(func() error { return d.cure(ctx) })
	case "log":
		return bare(d.log)
	case "help":
		return bare(func() error { fmt.Fprint(d.out, help); return nil })
	case "quit":
		return bare(func() error { d.done = true; return nil })
	case "save":
		if rest == "" {
			return errors.New("save where? write: save FILE")
		}
		if err := d.keep(rest); err != nil {
			return err
		}
		fmt.Fprintf(d.out, "Kept in %s; go on from there with -resume.\n", rest)
		return nil
	case "undo":
		return bare(func() error {
			if err := d.undo(); err != nil {
				return err
			}
			return d.after(ctx)
		})
	}
	before := len(d.s.Log())
	answered, err := d.reply(line)
	if err != nil {
		return err
	}
	if !answered {
		if !slices.Contains(words(), word) {
			return d.strange(word)
		}
		taken, err := d.enter(line)
		var broken *trace.Broken
		if errors.As(err, &broken) && broken.Rule == trace.LeadsOff {
			return fmt.Errorf(`%w; once they are, write: leads off`, plain(err))
		}
		if err != nil {
			return plain(err)
		}
		d.steps = append(d.steps, []string{taken})
	}
	for _, e := range d.s.Log()[before:] {
		if e.Report == nil || e.Earlier {
			continue
		}
		if o, ok := e.Report.Of.(trace.Saw); ok && o.Tripped {
			fmt.Fprintln(d.out)
			wrap(d.out, "", breakerOpened)
		}
	}
	return d.after(ctx)
}

// strange returns what is said of a line that begins with a word that is none.
func (d *desk) strange(word string) error {
	var known []string
	for _, a := range d.answers[:min(len(d.answers), manyAnswers)] {
		known = append(known, firstSaid(d.outcome(a.Of)))
	}
	near := program.Suggest(word, append(known, words()...))
	if near == "" {
		return fmt.Errorf(`%q is no word with which a line begins; "help" lists them, "next" shows the test again and how it may have come out`, word)
	}
	return fmt.Errorf(`%q is no word with which a line begins; did you mean %s? "help" shows how things are said`, word, near)
}

// reply takes the answer to the test that was proposed, if the line is one: a number,
// or what the meter showed.
func (d *desk) reply(line string) (bool, error) {
	r, ok, err := readReply(line)
	if err != nil {
		return ok, err
	}
	if !ok {
		if r, ok, err = d.spoken(line); !ok || err != nil {
			return ok, err
		}
	}
	if d.advice == nil || d.advice.Status != trace.Searching {
		return true, errNothingProposed
	}
	var o trace.Observation
	if r.number == 0 {
		if o, err = d.shown(r.volts); err != nil {
			return true, err
		}
	} else {
		if r.number > len(d.answers) {
			return true, fmt.Errorf("there are answers 1 to %d", len(d.answers))
		}
		o = d.answers[r.number-1].Of
	}
	return true, d.answer(o, r.sure)
}

// spoken reads an answer that is said as it is listed, or by its first words: "dark" for
// "dark: lamp", "yes" for "yes, it opened".
func (d *desk) spoken(line string) (reply, bool, error) {
	said, sure, doubt := strings.Cut(" "+strings.TrimSpace(line)+" ", " sure ")
	said = strings.TrimSpace(said)
	at := 0
	for i, a := range d.answers[:min(len(d.answers), manyAnswers)] {
		whole := d.outcome(a.Of)
		if !strings.EqualFold(said, whole) && !strings.EqualFold(said, firstSaid(whole)) {
			continue
		}
		if at > 0 {
			return reply{}, true, fmt.Errorf("%q may be answer %d or %d; write its number", said, at, i+1)
		}
		at = i + 1
	}
	if at == 0 {
		return reply{}, false, nil
	}
	number := strconv.Itoa(at)
	if doubt {
		number += " sure " + sure
	}
	return readReply(number)
}

// firstSaid returns what an answer begins with.
func firstSaid(whole string) string {
	if i := strings.IndexAny(whole, ":,;"); i >= 0 {
		return whole[:i]
	}
	return whole
}

// shown returns the reading of the proposed test with what the meter showed.
func (d *desk) shown(v quantity.Voltage) (trace.Observation, error) {
	for _, a := range d.answers {
		if r, ok := a.Of.(trace.Reading); ok {
			r.Shows = v
			return r, nil
		}
	}
	return nil, errNoReading
}

// answer takes the answer to the proposed test, with all that had to be done for it.
func (d *desk) answer(o trace.Observation, sure quantity.Ratio) error {
	before := len(d.s.Log())
	test := d.advice.Test
	if err := d.s.Answer(test, o, sure); err != nil {
		return plain(err)
	}
	d.changed()
	var step []string
	for _, e := range d.s.Log()[before:] {
		line, err := lines.Write(e)
		if err != nil {
			return err
		}
		step = append(step, line)
	}
	if test.Box != "" {
		step = append(step, lines.WriteStand(nil, test.Box))
	}
	d.steps = append(d.steps, step)
	return nil
}

// after says what is left after a step, and proposes the next test.
func (d *desk) after(ctx context.Context) error {
	if d.save != "" {
		if err := d.keep(d.save); err != nil {
			return err
		}
	}
	if err := d.left(ctx); err != nil {
		return err
	}
	return d.propose(ctx)
}
