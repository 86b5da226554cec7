package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
)

// mark is the first line of a file that is kept.
func (d *sorter) mark() string { return (&bench{job: d.job}).mark() + " unknown" }

// resume takes what was kept, a step for each block of lines without an empty one between
// them. What cannot be read is listed whole; what a rule refuses ends it.
func (d *sorter) resume(was *kept) error {
	var wrong []error
	for _, line := range was.said {
		if _, _, err := d.readable(line.text); err != nil {
			wrong = append(wrong, placed(was.name, line.n, err))
		}
	}
	if len(wrong) > 0 {
		return errors.Join(wrong...)
	}
	for _, line := range was.said {
		if err := d.enter(line.text); err != nil {
			return placed(was.name, line.n, err)
		}
		if line.begin {
			d.steps = append(d.steps, nil)
		}
		last := &d.steps[len(d.steps)-1]
		*last = append(*last, line.text)
	}
	d.isKept = true
	return nil
}

// readable reads a line that says what was done or seen, or where the person stands, and
// takes no note of it.
func (d *sorter) readable(line string) (e identify.Entry, stand string, err error) {
	if strings.HasPrefix(line, "{") {
		return e, "", badJSON(json.Unmarshal([]byte(line), &e))
	}
	words, err := lines.Split(line)
	if err != nil {
		return e, "", err
	}
	if len(words) > 0 && words[0].Text == "stand" {
		r := phrase{d: d, words: words, i: 1}
		box := r.box()
		return e, box, r.end()
	}
	e, err = d.read(words)
	return e, "", err
}

// enter takes such a line.
func (d *sorter) enter(line string) error {
	e, stand, err := d.readable(line)
	if err != nil {
		return err
	}
	if stand != "" {
		err = d.s.Stand(stand)
	} else {
		err = d.s.Enter(e)
	}
	if err != nil {
		return plain(err)
	}
	d.advice = nil
	return nil
}

// badJSON says where in a line that is JSON something is wrong, so far as is known.
func badJSON(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	column := 1
	switch {
	case err == nil:
		return nil
	case errors.As(err, &syntax):
		column = int(syntax.Offset)
	case errors.As(err, &kind):
		column = int(kind.Offset)
	}
	text := strings.TrimPrefix(strings.TrimPrefix(err.Error(), "identify: "), "json: ")
	if kind != nil {
		text = fmt.Sprintf("%s cannot be a %s", kind.Field, kind.Value)
	}
	return &lines.Error{Column: max(column, 1), Detail: text + `; an entry is written as -json prints it under "log"; "help" shows how it is said in words`}
}

// plain returns an error of the session without the names of packages and fields.
func plain(err error) error {
	var bad trace.Errors
	var broken *trace.Broken
	switch {
	case errors.As(err, &bad):
		parts := make([]string, len(bad))
		for i, e := range bad {
			parts[i] = e.Detail
			if strings.HasPrefix(e.Detail, "is ") {
				parts[i] = e.Where + " " + e.Detail
			}
		}
		return errors.New(strings.Join(parts, "; "))
	case errors.As(err, &broken):
		return errors.New(strings.TrimPrefix(err.Error(), "trace: "))
	}
	return err
}

// standIn notes where the person is.
func (d *sorter) standIn(box string) error {
	if err := plain(d.s.Stand(box)); err != nil {
		return err
	}
	d.step([]string{"stand " + quoted(box)})
	return nil
}

// step notes a step by its lines.
func (d *sorter) step(said []string) {
	d.steps = append(d.steps, said)
	d.advice, d.isKept = nil, false
}

// undo takes back the last step by going through the others again, and returns its lines.
func (d *sorter) undo() ([]string, error) {
	n := len(d.steps) - 1
	if n < 0 {
		return nil, errors.New("there is nothing to take back")
	}
	d.s = d.c.Session()
	for _, step := range d.steps[:n] {
		for _, line := range step {
			if err := d.enter(line); err != nil {
				return nil, err
			}
		}
	}
	last := d.steps[n]
	d.steps = d.steps[:n]
	d.advice, d.isKept = nil, false
	return last, nil
}

// keep writes how the boxes are taken and what was said into a file.
func (d *sorter) keep(name string) error {
	var b strings.Builder
	b.WriteString(d.mark() + "\n")
	for _, f := range d.boxes.fields() {
		if len(*f.boxes) > 0 {
			b.WriteString(f.word)
			for _, box := range *f.boxes {
				b.WriteString(" " + quoted(box))
			}
			b.WriteByte('\n')
		}
	}
	for _, step := range d.steps {
		b.WriteByte('\n')
		for _, line := range step {
			b.WriteString(line + "\n")
		}
	}
	if err := atomicfile.Write(name, []byte(b.String())); err != nil {
		return fmt.Errorf("what was said cannot be kept: %w", err)
	}
	d.isKept = true
	return nil
}
