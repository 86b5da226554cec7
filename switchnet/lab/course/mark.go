package course

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/lab"
)

// Handed is what a student handed in: the form, and a log of practice wiring for some of the
// questions, by their number from 1.
type Handed struct {
	Name string // of the file of the form, for messages
	Form []byte // nil: none was handed in
	Logs map[int][]byte
	// Trouble says why a file that is there cannot be read; empty if all could.
	Trouble string
}

// Nothing is the problem of who handed in nothing.
const Nothing = "no answers were handed in"

// maxLog is how large a practice log may be, in bytes.
const maxLog = 2 << 20

// A Mark is what a question got.
type Mark struct {
	// Question counts from 1.
	Question   int
	Task       string
	Points, Of int
	Lost       []lab.Loss
}

// Mark marks the answers to a paper, one a question; one that is missing counts as empty.
// Points are scaled to the marks of the question and rounded to the nearest, halves up, but
// for full marks, which only a full answer gets.
func (p *Paper) Mark(answers []lab.Answer) []Mark {
	var out []Mark
	for i, x := range p.Variant.Exercises {
		a := lab.Answer{}
		if i < len(answers) && answers[i] != nil {
			a = answers[i]
		}
		r := x.Mark(a)
		m := Mark{i + 1, p.file.Tasks[i].Task.Name(), 0, p.file.Tasks[i].Marks, r.Lost}
		if r.Of > 0 {
			m.Points = (2*r.Points*m.Of + r.Of) / (2 * r.Of)
		}
		if r.Points < r.Of {
			m.Points = min(m.Points, m.Of-1)
		}
		out = append(out, m)
	}
	return out
}

// Rows marks what a student handed in and returns the rows of the mark book. Each dangerous
// move in a practice log costs what the exercise file says, down to no marks for the
// question. Nothing that is handed in stops it: what cannot be read is a row that says so.
func (p *Paper) Rows(in Handed) []Row {
	who := p.Student.String()
	digest := p.digestOf(in)
	fail := func(problem string) []Row {
		return []Row{{Student: who, Digest: digest, Moves: -1, Dangers: -1, Problem: problem}}
	}
	if in.Trouble != "" {
		return fail(in.Trouble)
	}
	if in.Form == nil {
		return fail(Nothing)
	}
	answers, err := p.ParseAnswers(in.Name, in.Form)
	if err != nil {
		return fail(strings.TrimSpace(err.Error()))
	}
	var out []Row
	for i, m := range p.Mark(answers) {
		r := Row{Student: who, Digest: digest, Question: m.Question, Task: m.Task, Points: m.Points, Of: m.Of, Moves: -1, Dangers: -1}
		for _, l := range m.Lost {
			r.Lost = append(r.Lost, oneLine(l.Field+": "+l.Why))
		}
		if log, ok := in.Logs[i+1]; ok {
			if practice := p.Practice(i + 1); practice != nil {
				var dangers []string
				r.Moves, dangers, err = practice.replay(log)
				r.Dangers = len(dangers)
				r.Points = max(0, r.Points-p.file.Danger*len(dangers))
				for _, d := range dangers {
					r.Lost = append(r.Lost, oneLine("danger in practice: "+d))
				}
				if err != nil {
					r.Problem = "practice log: " + err.Error()
				}
			}
		}
		out = append(out, r)
	}
	return out
}

// digestOf is that of all on which the marks depend: what was handed in, and what the
// exercise file says of marks and practice.
func (p *Paper) digestOf(in Handed) string {
	sum := Digest(in.Form, []byte(in.Trouble), []byte(p.Sheet), fmt.Append(nil, p.file.Danger, p.file.Tools))
	for i, a := range p.file.Tasks {
		sum = Digest([]byte(sum), fmt.Append(nil, a.Marks), in.Logs[i+1])
	}
	return sum
}

// Marked reports whether a book has what a student handed in, marked.
func (p *Paper) Marked(b *Book, in Handed) bool { return b.Has(p.Student.String(), p.digestOf(in)) }

// Practice is practice wiring with the moves that the exercise file allows.
type Practice struct {
	*lab.Practice
	tools []lab.Verb // nil: all
}

// Practice returns practice wiring for a question, by its number from 1, as the student
// first meets it; nil if it has none, or if the paper has no such question.
func (p *Paper) Practice(question int) *Practice {
	if question < 1 || question > len(p.Variant.Exercises) {
		return nil
	}
	x := p.Variant.Exercises[question-1].Practice()
	if x == nil {
		return nil
	}
	return &Practice{x, p.file.Tools}
}

// Allowed returns the verbs that may be used, in their order.
func (p *Practice) Allowed() []lab.Verb {
	return slices.DeleteFunc(p.Practice.Allowed(), func(v lab.Verb) bool { return p.tools != nil && !slices.Contains(p.tools, v) })
}

// Do makes the move of a line. One that the exercise file does not allow is an error, and
// so is all that is one of [lab.Practice.Do].
func (p *Practice) Do(line string) (lab.Outcome, error) {
	m, err := lab.ParseMove(line)
	if err != nil {
		return lab.Outcome{}, err
	}
	if p.tools != nil && !slices.Contains(p.tools, m.Verb) {
		return lab.Outcome{}, fmt.Errorf("course: %v is no move that this exercise allows", m.Verb)
	}
	return p.Practice.Do(m)
}

// replay makes the moves of a log. What the log says of outcomes is not believed.
func (p *Practice) replay(log []byte) (moves int, dangers []string, err error) {
	if len(log) > maxLog {
		return 0, nil, fmt.Errorf("it is larger than %d bytes", maxLog)
	}
	for i, line := range strings.Split(string(log), "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		if _, err := p.Do(line); err != nil {
			return moves, texts(p.Dangers()), fmt.Errorf("line %d: %w", i+1, err)
		}
		moves++
	}
	return moves, texts(p.Dangers()), nil
}

func texts(ds []lab.Danger) []string {
	var out []string
	for _, d := range ds {
		out = append(out, d.Why)
	}
	return out
}
