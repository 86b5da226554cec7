package lab

import (
	"errors"
	"fmt"
	"iter"
	"strings"

	"example.com/switchleg/internal/cautions"
)

// Supervised stands on everything that a student gets.
const Supervised = "Practice on paper or on a screen does not replace supervised practice on real wiring."

// A Sheet is all that a student sees of an exercise.
type Sheet struct {
	// Task is the name of the task that it is of.
	Task  string
	Title string
	// Blocks are what is said and shown, in order. One is a Notice.
	Blocks []Block
	// Job is a job file that the student may feed to other programs, or nil.
	Job []byte
	// Fields are what is to be answered, in order.
	Fields []Field
}

// NewSheet returns a sheet of blocks, and the notice that every sheet carries after
// them.
func NewSheet(task, title string, job []byte, fields []Field, blocks ...Block) Sheet {
	all := append([]Block{}, blocks...)
	return Sheet{Task: task, Title: title, Job: job, Fields: fields, Blocks: append(all, StandardNotice())}
}

// A Block is a part of a sheet. The set is closed: Text, List, Table, Picture and
// Notice.
type Block interface{ block() }

// A Text is a paragraph.
type Text string

// A List is entries under one another, each a sentence or a few words.
type List []string

// A Table has a heading for every column, and rows as long as the heading.
type Table struct {
	// Says what the table is, in a few words.
	Says string
	Head []string
	Rows [][]string
}

// A Picture is one SVG element that needs nothing from outside.
type Picture struct {
	Title string
	// Alt says in sentences all that the picture shows.
	Alt string
	SVG []byte
}

// A Notice is what must be read before anything else is done, a sentence an entry.
type Notice []string

func (Text) block()    {}
func (List) block()    {}
func (Table) block()   {}
func (Picture) block() {}
func (Notice) block()  {}

// StandardNotice returns Supervised and the cautions for work on wiring.
func StandardNotice() Notice { return append(Notice{Supervised}, cautions.Work()...) }

// A Field is one thing to be answered.
type Field struct {
	// ID is its name in answer files: small letters, digits and single dashes.
	ID string
	// Ask is the question.
	Ask string
	// Choices are the answers there are to choose from; nil means that it is free. An
	// answer is one of them, but for case and blanks.
	Choices []string
	// Points is how many marks it is worth, one at least.
	Points int
}

// Choice returns the choice that an answer means: the same but for case and for blanks;
// false if it means none.
func (f Field) Choice(answer string) (string, bool) {
	want := plain(answer)
	for _, c := range f.Choices {
		if plain(c) == want {
			return c, true
		}
	}
	return "", false
}

// plain returns a text with blanks and case evened out. It does not look at more of a
// text than any choice has.
func plain(s string) string {
	if len(s) > maxAnswer {
		return "\x00"
	}
	return strings.ToLower(strings.Join(strings.Fields(s), " "))
}

// maxAnswer is how many bytes of an answer are looked at; a longer one is wrong.
const maxAnswer = 4096

// Strings yields every text of a sheet, and where it stands. It is what a search for
// something that must not be there looks through.
func (s Sheet) Strings() iter.Seq2[string, string] {
	return func(yield func(where, text string) bool) {
		ok := yield("task", s.Task) && yield("title", s.Title)
		say := func(where string, text ...string) {
			for _, t := range text {
				ok = ok && yield(where, t)
			}
		}
		for i, b := range s.Blocks {
			at := fmt.Sprintf("block %d", i+1)
			switch b := b.(type) {
			case Text:
				say(at, string(b))
			case List:
				say(at, b...)
			case Notice:
				say(at, b...)
			case Table:
				say(at, b.Says)
				say(at, b.Head...)
				for _, r := range b.Rows {
					say(at, r...)
				}
			case Picture:
				say(at, b.Title, b.Alt, string(b.SVG))
			}
		}
		say("job", string(s.Job))
		for _, f := range s.Fields {
			say("field "+f.ID, f.ID, f.Ask)
			say("field "+f.ID, f.Choices...)
		}
	}
}

// Check returns everything that is wrong with a sheet: no title, task or field, IDs that are
// malformed or doubled, fields without question or points, tables with rows of another
// length than their heading, pictures without words, and a notice that is missing or
// says less than it must.
func (s Sheet) Check() error {
	var errs []error
	add := func(format string, a ...any) { errs = append(errs, fmt.Errorf("lab: sheet: "+format, a...)) }
	if strings.TrimSpace(s.Title) == "" || strings.TrimSpace(s.Task) == "" {
		add("it has no title, or does not name its task")
	}
	noticed := false
	for i, b := range s.Blocks {
		switch b := b.(type) {
		case nil:
			add("block %d is nil", i+1)
		case Table:
			for k, r := range b.Rows {
				if len(r) != len(b.Head) {
					add("block %d: row %d has %d columns and the heading %d", i+1, k+1, len(r), len(b.Head))
				}
			}
		case Picture:
			if b.Title == "" || b.Alt == "" || len(b.SVG) == 0 {
				add("block %d: the picture has no title, no words or nothing in it", i+1)
			}
		case Notice:
			text := strings.Join(b, "\n")
			whole := true
			for _, c := range StandardNotice() {
				whole = whole && strings.Contains(text, c)
			}
			noticed = noticed || whole
		}
	}
	if !noticed {
		add("no notice says all of the standard notice: use NewSheet")
	}
	if len(s.Fields) == 0 {
		add("there is nothing to answer")
	}
	seen := map[string]bool{}
	for _, f := range s.Fields {
		if !goodID(f.ID) {
			add("%q is no field ID: use small letters, digits and single dashes", f.ID)
		}
		if seen[f.ID] {
			add("field %q is there twice", f.ID)
		}
		seen[f.ID] = true
		if strings.TrimSpace(f.Ask) == "" {
			add("field %q asks nothing", f.ID)
		}
		if f.Points < 1 {
			add("field %q is worth %d marks", f.ID, f.Points)
		}
		choices := map[string]bool{}
		for _, c := range f.Choices {
			if p := plain(c); p == "" || choices[p] {
				add("field %q: the choice %q is empty or there twice", f.ID, c)
			} else {
				choices[p] = true
			}
		}
	}
	return errors.Join(errs...)
}

func goodID(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	for i, r := range id {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
		case r == '-' && i > 0 && i < len(id)-1 && id[i-1] != '-':
		default:
			return false
		}
	}
	return true
}
