package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

// practice offers the practice wiring of a question, a move a line, and logs every move.
func (c *call) practice(ctx context.Context) error {
	set, class, err := c.read(ctx)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(class, func(s course.Student) bool { return s.String() == c.student || s.Name == c.student && s.ID == "" })
	var m program.Mistakes
	if i < 0 {
		m.Add("student", "there is no %q in the class list; a student with an id is written NAME (ID)", c.student)
	}
	if n := len(set.File.Tasks); c.question < 1 || c.question > n {
		m.Add("question", "there are questions 1 to %d", n)
	}
	if err := m.Err(); err != nil {
		return err
	}
	paper := &set.Papers[i]
	title := paper.Variant.Exercises[c.question-1].Sheet().Title
	p := paper.Practice(c.question)
	if p == nil {
		return fmt.Errorf("question %d, %s, has no practice wiring; it is answered on paper", c.question, title)
	}
	name := c.log(paper, c.question)
	log, err := c.again(p, name)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%s, question %d: %s\n%s\n\n", c.student, c.question, title, lab.Supervised)
	if err := cautions.Write(c.out, 80); err != nil {
		return err
	}
	if n := len(p.Log()); n > 0 {
		fmt.Fprintf(c.out, "\nYou have made %d moves before; they count.\n", n)
	}
	fmt.Fprintln(c.out, "\nA move a line; \"help\" lists them, \"quit\" leaves.")
	typed := program.NewLines(c.in, 4096)
	defer typed.Close()
	for n := 1; ; n++ {
		line, err := typed.Next(ctx)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		line = strings.TrimSpace(line)
		switch line {
		case "":
			continue
		case "quit":
			return c.left(p)
		case "help":
			for _, v := range p.Allowed() {
				fmt.Fprintf(c.out, "  %s\n", v.Use())
			}
			fmt.Fprintf(c.out, "  points BOX: what there is in a box to put a lead on\n")
			var switches []string
			for _, s := range p.Switches() {
				switches = append(switches, named(lab.Move{Verb: lab.Flip, Switch: s}))
			}
			fmt.Fprintf(c.out, "boxes: %s\nswitches: %s\n", strings.Join(p.Boxes(), ", "), strings.Join(switches, ", "))
			continue
		}
		if box, ok := strings.CutPrefix(line, "points "); ok {
			c.points(p, strings.Trim(box, " \""))
			continue
		}
		o, err := p.Do(line)
		if err != nil {
			fmt.Fprintf(c.out, "line %d: %s\n", n, strings.TrimPrefix(strings.TrimPrefix(err.Error(), "course: "), "lab: "))
			continue
		}
		fmt.Fprintf(c.out, "%s\n", o.Says)
		for _, danger := range o.Dangers {
			fmt.Fprintf(c.out, "DANGER: %s\n", danger.Why)
		}
		log += o.Move.String() + "\n"
		if err := os.MkdirAll(c.file("practice"), 0o755); err != nil {
			return err
		}
		if err := atomicfile.Write(name, []byte(log)); err != nil {
			return err
		}
	}
	return c.left(p)
}

// named returns what a move names, as it is typed.
func named(m lab.Move) string {
	_, names, _ := strings.Cut(m.String(), " ")
	return names
}

// points lists where a probe can be put in a box, as moves name it.
func (c *call) points(p *course.Practice, box string) {
	found := false
	for _, t := range p.Points() {
		if t.Place == box {
			found = true
			fmt.Fprintf(c.out, "  %s\n", named(lab.Move{Verb: lab.ProvePoint, Points: [2]switchnet.Terminal{t}}))
		}
	}
	if !found {
		fmt.Fprintf(c.out, "there is no box %q, or nothing in it; the boxes are %s\n", box, strings.Join(p.Boxes(), ", "))
	}
}

// again makes the moves of a log that is there already.
func (c *call) again(p *course.Practice, name string) (string, error) {
	text, err := limited(name, maxLog)
	if errors.Is(err, os.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if line == "" {
			continue
		}
		if _, err := p.Do(line); err != nil {
			return "", fmt.Errorf("%s:%d:1: %w", name, i+1, err)
		}
	}
	return string(text), nil
}

// left says what was done.
func (c *call) left(p *course.Practice) error {
	_, err := fmt.Fprintf(c.out, "Moves: %d, dangerous ones: %d, working time: about %d min. Every move is logged.\n%s\n", len(p.Log()), len(p.Dangers()), int(p.Effort().Minutes()+0.5), lab.Supervised)
	return err
}
