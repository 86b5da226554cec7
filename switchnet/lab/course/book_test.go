package course_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/switchnet/lab/course"
)

// A mark book is read back as it was, whatever names and reasons there are, and what a
// spreadsheet would run is not at the beginning of a cell.
func TestBookRoundTrip(t *testing.T) {
	text := rapid.StringMatching(`[=+\-@',"a-z ]{0,9}`)
	rapid.Check(t, func(t *rapid.T) {
		b := &course.Book{}
		for i := range rapid.IntRange(0, 5).Draw(t, "rows") {
			r := course.Row{Student: text.Draw(t, "student"), Digest: "d", Question: i, Moves: -1, Dangers: -1}
			if i == 0 {
				r.Problem = text.Draw(t, "problem")
			} else {
				r.Task, r.Points, r.Of = "plan it", rapid.IntRange(0, 9).Draw(t, "points"), 9
				for range rapid.IntRange(0, 2).Draw(t, "losses") {
					r.Lost = append(r.Lost, "x"+text.Draw(t, "lost"))
				}
				if rapid.Bool().Draw(t, "log") {
					r.Moves, r.Dangers = 4, 1
				}
			}
			b.Rows = append(b.Rows, r)
		}
		csv, err := b.CSV()
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(csv)) {
			if strings.ContainsAny(line[:1], "=+-@") {
				t.Fatalf("a line begins %q", line)
			}
		}
		back, err := course.ParseBook("marks.csv", csv)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(b, back); d != "" {
			t.Fatalf("(-was +read):\n%s", d)
		}
	})
	for _, src := range []string{"a,b\n", "student,question,task,marks,of,moves,dangers,lost,problem,answer\n", "\"", "student,question,task,marks,of,moves,dangers,lost,problem,answers\na,x,,,,,,,,\n"} {
		if _, err := course.ParseBook("marks.csv", []byte(src)); err == nil || !strings.Contains(err.Error(), "marks.csv") {
			t.Errorf("%q: %v", src, err)
		}
	}
}

// What a student wrote cannot become a formula, in whatever way the book is taken apart, and
// stays as it is when the book is read and written again.
func TestBookHoldsNoFormula(t *testing.T) {
	b := &course.Book{Rows: []course.Row{
		{Student: "Ann", Question: 1, Digest: "d", Moves: -1, Dangers: -1, Lost: []string{`walk: "a;=1+1" is no walk`, `walk: "; @x;-y" is none`}},
		{Student: "Bo", Digest: "d", Moves: -1, Dangers: -1, Problem: "=1; \"+2"},
	}}
	first, err := b.CSV()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(first)) {
		for _, cell := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(",;\t\n", r) }) {
			if cell = strings.TrimLeft(cell, ` "`); cell != "" && strings.ContainsAny(cell[:1], "=+-@") {
				t.Errorf("a cell begins %q in %q", cell, line)
			}
		}
	}
	back, err := course.ParseBook("marks.csv", first)
	if err != nil {
		t.Fatal(err)
	}
	if second, err := back.CSV(); err != nil || !bytes.Equal(first, second) {
		t.Errorf("%v\n%s\n%s", err, first, second)
	}
}

// Rows come in the order of the class, and what was lost is counted by reason.
func TestBook(t *testing.T) {
	b := &course.Book{}
	class := []course.Student{{Name: "Ann"}, {Name: "Bo"}, {Name: "Cy"}}
	b.Put(class, course.Row{Student: "Cy", Question: 1, Digest: "1", Lost: []string{"a"}})
	b.Put(class, course.Row{Student: "Ann", Question: 1, Digest: "1", Lost: []string{"b", "a"}})
	b.Put(class, course.Row{Student: "Gone", Question: 1, Digest: "1"})
	b.Put(class, course.Row{Student: "Cy", Question: 1, Digest: "2", Lost: []string{"a"}})
	b.Put(class)
	var who []string
	for _, r := range b.Rows {
		who = append(who, r.Student+r.Digest)
	}
	if d := cmp.Diff([]string{"Ann1", "Cy2", "Gone1"}, who); d != "" {
		t.Error(d)
	}
	if !b.Has("Cy", "2") || b.Has("Cy", "1") {
		t.Error("the digest does not tell what was marked")
	}
	if d := cmp.Diff([]course.Loss{{Question: 1, Says: "a", Students: []string{"Ann", "Cy"}, Times: 2}, {Question: 1, Says: "b", Students: []string{"Ann"}, Times: 1}}, b.Losses()); d != "" {
		t.Error(d)
	}
}
