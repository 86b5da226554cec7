package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

// mark marks what was handed in, a student after the other. The mark book is written after
// each, so that an interruption loses nothing; who is in it with the same answers is passed
// over.
func (c *call) mark(ctx context.Context) (int, error) {
	set, class, err := c.read(ctx)
	if err != nil {
		return 0, err
	}
	name := c.file("marks.csv")
	book := &course.Book{}
	if text, err := os.ReadFile(name); err == nil {
		if book, err = course.ParseBook(name, text); err != nil {
			return 0, err
		}
	} else if !errors.Is(err, os.ErrNotExist) {
		return 0, err
	}
	status := program.Answered
	for i := range set.Papers {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		p := &set.Papers[i]
		in := c.handed(p)
		if !p.Marked(book, in) {
			book.Put(class, p.Rows(in)...)
			text, err := book.CSV()
			if err == nil {
				err = atomicfile.Write(name, text)
			}
			if err != nil {
				return 0, err
			}
		}
		points, of := 0, 0
		for _, r := range book.Rows {
			if r.Student != p.Student.String() {
				continue
			}
			points, of = points+r.Points, of+r.Of
			if r.Problem != "" && r.Problem != course.Nothing {
				status = program.Fails
				fmt.Fprintf(c.errs, "%s: %s\n", p.Student, r.Problem)
			}
		}
		switch {
		case of > 0:
			fmt.Fprintf(c.out, "%s: %d of %d\n", p.Student, points, of)
		case in.Form == nil:
			fmt.Fprintf(c.out, "%s: nothing handed in\n", p.Student)
		default:
			fmt.Fprintf(c.out, "%s: not marked\n", p.Student)
		}
	}
	fmt.Fprintf(c.out, "The marks, with the reasons, are in %s.\n%s\n", name, lab.Supervised)
	return status, nil
}

// handed reads what a student handed in; of a file that is too large no more than is needed
// to say so.
func (c *call) handed(p *course.Paper) course.Handed {
	in := course.Handed{Name: c.file("answers", p.Stem()+".yaml"), Logs: map[int][]byte{}}
	read := func(name string, most int64) []byte {
		text, err := limited(name, most)
		if err != nil && !errors.Is(err, os.ErrNotExist) && in.Trouble == "" {
			in.Trouble = fmt.Sprintf("%s: it cannot be read: %v", name, err)
		}
		return text
	}
	in.Form = read(in.Name, course.MaxAnswers+1)
	for q := range p.Variant.Exercises {
		if log := read(c.log(p, q+1), maxLog); log != nil {
			in.Logs[q+1] = log
		}
	}
	return in
}

func (c *call) log(p *course.Paper, question int) string {
	return c.file("practice", fmt.Sprintf("%s-q%d.log", p.Stem(), question))
}

// maxLog is how much of a practice log is read; package course takes less.
const maxLog = 4 << 20

// limited reads a file, or its beginning.
func limited(name string, most int64) ([]byte, error) {
	// A pipe or the like would hold up the class, and a link may lead to the key.
	info, err := os.Lstat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no plain file")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most))
	if err == nil && text == nil {
		text = []byte{}
	}
	return text, err
}
