package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// desk is the talk about one job: a session, the test that was proposed last, and the
// lines that were taken.
type desk struct {
	*bench
	s        *trace.Session
	out      io.Writer
	errs     io.Writer
	save     string
	terminal bool

	// steps are the lines that each answer came to, so that undo takes back what was
	// said at once.
	steps   [][]string
	advice  *trace.Advice // nil if it has to be asked for
	answers []trace.Answer
	done    bool

	pairing bool       // two faults at once are looked for, whether one would do or not
	two     *trace.Two // nil if they have to be looked for
	near    bool       // the single faults that nearly fit were said
	said    string     // what was said last of what fits
}

// changed forgets what was asked of the session as it was.
func (d *desk) changed() { d.advice, d.answers, d.two = nil, nil, nil }

// mark is the first line of a file of lines: what it is about. The wiring is told by a
// digest, for lines about another would be taken for something else.
func (b *bench) mark() string {
	sum := sha256.Sum256(b.job.Text)
	return fmt.Sprintf("# trace 1 job %s", hex.EncodeToString(sum[:8]))
}

// maxFile is how large a file of lines may be, in bytes.
const maxFile = 4 << 20

// open starts the session: where the person is, and what is in the file to go on from.
func (d *desk) open(_ context.Context, c *call) error {
	if c.from != "" {
		box, err := d.v.Box(c.from)
		if err != nil {
			var m program.Mistakes
			m.Add("from", "%v", err)
			return m.Err()
		}
		if err := d.s.Stand(nil, box); err != nil {
			return err
		}
		d.steps = append(d.steps, []string{lines.WriteStand(nil, box)})
	}
	if c.resume == "" {
		return nil
	}
	text, err := os.ReadFile(c.resume)
	if err != nil {
		return fmt.Errorf("cannot read what was done before: %w", err)
	}
	if len(text) > maxFile {
		return fmt.Errorf("%s: is larger than %d bytes", c.resume, maxFile)
	}
	return d.take(c.resume, string(text))
}

// take takes the lines of a file, a step for each block of lines without an empty one
// between them. What cannot be read is listed whole; what a rule refuses ends it.
func (d *desk) take(name, text string) error {
	all := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
	if first := strings.TrimSpace(all[0]); strings.HasPrefix(first, "# trace ") && first != d.mark() {
		return fmt.Errorf("%s:1:1: these lines are about another job file, or about this one as it was before it was changed; take out the first line to read them all the same", name)
	}
	var wrong []error
	for i, line := range all {
		if blank(line) {
			continue
		}
		if err := d.readable(line); err != nil {
			wrong = append(wrong, placed(name, i+1, err))
		}
	}
	if len(wrong) > 0 {
		return errors.Join(wrong...)
	}
	var step []string
	for i, line := range append(all, "") {
		switch {
		case strings.TrimSpace(line) == "":
			if len(step) > 0 {
				d.steps = append(d.steps, step)
			}
			step = nil
		case !blank(line):
			taken, err := d.enter(line)
			if err != nil {
				return placed(name, i+1, plain(err))
			}
			step = append(step, taken)
		}
	}
	return nil
}

// blank reports whether a line says nothing.
func blank(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || line[0] == '#'
}

// placed puts an error at a line of a file.
func placed(name string, line int, err error) error {
	column := 1
	var at *lines.Error
	if errors.As(err, &at) {
		column, err = at.Column, errors.New(at.Detail)
	}
	return fmt.Errorf("%s:%d:%d: %w", name, line, column, err)
}

// stands reports whether a line says where handles stand.
func stands(line string) bool { return firstWord(line) == "stand" }

func firstWord(line string) string {
	word, _, _ := strings.Cut(strings.TrimSpace(line), " ")
	return word
}

// readable reads a line and takes no note of it.
func (d *desk) readable(line string) error {
	if stands(line) {
		_, _, err := d.v.ReadStand(line)
		return err
	}
	_, err := d.v.Read(line, d.s.Handles())
	return err
}

// enter takes a line into the session and returns it as it is kept.
func (d *desk) enter(line string) (string, error) {
	if stands(line) {
		at, box, err := d.v.ReadStand(line)
		if err == nil {
			err = d.s.Stand(at, box)
		}
		if err != nil {
			return "", err
		}
		d.changed()
		return lines.WriteStand(at, box), nil
	}
	e, err := d.v.Read(line, d.s.Handles())
	if err != nil {
		return "", err
	}
	if err := d.s.Enter(e); err != nil {
		return "", err
	}
	d.changed()
	return lines.Write(e)
}

// undo takes back the last step by going through the others again.
func (d *desk) undo() error {
	if len(d.steps) == 0 {
		return errors.New("there is nothing to take back")
	}
	steps := d.steps[:len(d.steps)-1]
	d.s, d.steps, d.near = d.c.Session(), nil, false
	d.changed()
	for _, step := range steps {
		for _, line := range step {
			if _, err := d.enter(line); err != nil {
				return err
			}
		}
		d.steps = append(d.steps, step)
	}
	return nil
}

// keep writes the lines into a file.
func (d *desk) keep(name string) error {
	var b strings.Builder
	b.WriteString(d.mark() + "\n")
	for _, step := range d.steps {
		b.WriteByte('\n')
		for _, line := range step {
			b.WriteString(line + "\n")
		}
	}
	return atomicfile.Write(name, []byte(b.String()))
}

// talk reads lines until there are no more, or the person leaves, and returns the exit
// status.
func (d *desk) talk(ctx context.Context, in io.Reader) (int, error) {
	if err := d.greet(ctx); err != nil {
		return 0, err
	}
	typed := program.NewLines(in, lines.MaxLine)
	defer typed.Close()
	wrong := false
	for n := 1; !d.done; n++ {
		if d.terminal {
			fmt.Fprint(d.out, "> ")
		}
		line, err := typed.Next(ctx)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return 0, err
		}
		if n == 1 {
			line = strings.TrimPrefix(line, "\ufeff")
		}
		if blank(line) {
			if strings.HasPrefix(line, "# trace ") && strings.TrimSpace(line) != d.mark() {
				return 0, fmt.Errorf("input:%d:1: these lines are about another job file, or about this one as it was before it was changed; take out that line to read them all the same", n)
			}
			continue
		}
		if !d.terminal {
			fmt.Fprintf(d.out, "> %s\n", strings.TrimSpace(line))
		}
		switch err := d.obey(ctx, line); {
		case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			return 0, err
		case err != nil:
			// What a person mistypes is typed again; what a pipe brings is wrong.
			if d.terminal {
				fmt.Fprintln(d.errs, err)
			} else {
				wrong = true
				fmt.Fprintln(d.errs, placed("input", n, err))
			}
		}
	}
	if d.terminal && !d.done {
		fmt.Fprintln(d.out)
	}
	if err := d.remind(); err != nil {
		return 0, err
	}
	if wrong {
		return program.Wrong, caution(d.out)
	}
	v, err := d.s.Verdict()
	if err != nil {
		return 0, err
	}
	switch v.Status {
	case trace.Found, trace.NothingWrong:
		return program.Answered, caution(d.out)
	case trace.Contradiction, trace.Ended:
		return program.Fails, caution(d.out)
	}
	return program.NoAnswer, caution(d.out)
}
