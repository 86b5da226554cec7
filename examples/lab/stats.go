package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

// stats says how hard the papers are, and, once there are marks, what the class confused.
func (c *call) stats(ctx context.Context) error {
	set, _, err := c.read(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%s: %d papers\n\nLevel of difficulty of each question, as measured over the papers:\n", set.File.Title, len(set.Variants))
	for q, ask := range set.File.Tasks {
		var levels []int
		var least, most lab.Difficulty
		for _, p := range set.Variants {
			k := p.Exercises[q].Difficulty()
			if len(levels) == 0 || k.Level() < slices.Min(levels) {
				least = k
			}
			if len(levels) == 0 || k.Level() > slices.Max(levels) {
				most = k
			}
			levels = append(levels, k.Level())
		}
		slices.Sort(levels)
		fmt.Fprintf(c.out, "  %d %-16s from %d to %d, median %d\n      easiest: %v\n      hardest: %v\n", q+1, ask.Task.Name(), levels[0], levels[len(levels)-1], levels[len(levels)/2], least, most)
	}
	text, err := os.ReadFile(c.file("marks.csv"))
	if errors.Is(err, os.ErrNotExist) {
		fmt.Fprintf(c.out, "\nNothing is marked yet.\n%s\n", lab.Supervised)
		return nil
	}
	if err != nil {
		return err
	}
	book, err := course.ParseBook(c.file("marks.csv"), text)
	if err != nil {
		return err
	}
	fmt.Fprintln(c.out, "\nMarks of each question:")
	for q := range set.File.Tasks {
		var got []int
		of := 0
		for _, r := range book.Rows {
			if r.Question == q+1 {
				got = append(got, r.Points)
				of = r.Of
			}
		}
		if len(got) == 0 {
			continue
		}
		slices.Sort(got)
		fmt.Fprintf(c.out, "  %d of %d: %d answers, from %d to %d, median %d\n", q+1, of, len(got), got[0], got[len(got)-1], got[len(got)/2])
	}
	fmt.Fprintln(c.out, "\nFor what marks were lost, and by whom:")
	const most = 40
	losses := book.Losses()
	for _, l := range losses[:min(len(losses), most)] {
		fmt.Fprintf(c.out, "  question %d: %s\n      %s: %s\n", l.Question, l.Says, times(l.Times), strings.Join(l.Students, ", "))
	}
	if n := len(losses) - most; n > 0 {
		fmt.Fprintf(c.out, "  and %d reasons more, in marks.csv\n", n)
	}
	fmt.Fprintln(c.out, lab.Supervised)
	return nil
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
