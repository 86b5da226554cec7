package course_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

// drawn returns a secret that is the same each time.
func drawn(tb testing.TB, seed byte) course.Secret {
	tb.Helper()
	s, err := course.NewSecret(bytes.NewReader(bytes.Repeat([]byte{seed}, 32)))
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

// class returns students.
func class(n int) []course.Student {
	var out []course.Student
	for i := range n {
		out = append(out, course.Student{Name: fmt.Sprintf("Student %d", i+1)})
	}
	return out
}

// made makes the papers of an exercise file for as many students as there are variants.
func made(tb testing.TB, src string, secret course.Secret) *course.Set {
	tb.Helper()
	f, err := course.Parse("exercise.yaml", []byte(src), nil)
	if err != nil {
		tb.Fatal(err)
	}
	base, err := f.Base(context.Background(), nil)
	if err != nil {
		tb.Fatal(err)
	}
	set, err := course.Make(context.Background(), f, base, secret, class(f.Variants), nil)
	if err != nil {
		tb.Fatal(err)
	}
	return set
}

// head is an exercise file up to its tasks.
const head = "format: 1\ntitle: T\nregion: us-2023\nbase: {places: 2, lights: 1}\nvariants: 1\ntasks:\n"

// all asks a question of every task.
func all(variants int) string {
	src := strings.Replace(head, "variants: 1", fmt.Sprintf("variants: %d", variants), 1)
	for _, n := range lab.Names() {
		src += "  - {task: " + n + ", marks: 10}\n"
	}
	return src
}

// No two neighbours share a variant while there are enough: with two those beside each other,
// with five those in front and across too; variants are used evenly in one row.
func TestSeats(t *testing.T) {
	for _, row := range []struct{ variants, row, students int }{{2, 0, 24}, {5, 6, 24}, {6, 6, 31}, {3, 4, 13}, {1, 0, 3}} {
		src := strings.Replace(head, "variants: 1", fmt.Sprintf("variants: %d", row.variants), 1) + "  - {task: predict size, marks: 1}\n"
		if row.row > 0 {
			src = fmt.Sprintf("%srow: %d\n", src, row.row)
		}
		f, err := course.Parse("x", []byte(src), nil)
		if err != nil {
			t.Fatal(err)
		}
		base, err := f.Base(context.Background(), nil)
		if err != nil {
			t.Fatal(err)
		}
		for seed := range byte(6) {
			set, err := course.Make(context.Background(), f, base, drawn(t, seed+1), class(row.students), nil)
			if err != nil {
				t.Fatal(err)
			}
			uses := map[int]int{}
			for i := range set.Papers {
				uses[set.Papers[i].Variant.Number]++
				n := row.row
				for _, d := range []int{1, n, n - 1, n + 1} {
					if row.variants < 2 || d <= 0 || d > i || d > 1 && row.variants < 5 {
						continue
					}
					if n > 0 && (d == 1 || d == n+1) && i%n == 0 || d == n-1 && n > 0 && i%n == n-1 {
						continue // not beside each other
					}
					if set.Papers[i-d].Variant == set.Papers[i].Variant {
						t.Errorf("%+v: students %d and %d share variant %d", row, i-d+1, i+1, set.Papers[i].Variant.Number)
					}
				}
			}
			least, most := row.students, 0
			for v := range row.variants {
				least, most = min(least, uses[v+1]), max(most, uses[v+1])
			}
			if row.row == 0 && most-least > 1 {
				t.Errorf("%+v: the variants are used %v times", row, uses)
			}
		}
	}
}

// The key filled into a form gets full marks on every task; an empty form less, and no error.
func TestKeyGetsFullMarks(t *testing.T) {
	set := made(t, all(2), drawn(t, 1))
	for v := range set.Papers {
		p := &set.Papers[v]
		answers, err := p.ParseAnswers("key.yaml", p.KeyForm())
		if err != nil {
			t.Fatalf("paper %d: %v", v, err)
		}
		for i, m := range p.Mark(answers) {
			if m.Points != m.Of || m.Of != 10 || len(m.Lost) > 0 {
				t.Errorf("paper %d, question %d, %s: the key gets %d of %d: %v", v, i+1, m.Task, m.Points, m.Of, m.Lost)
			}
		}
		if answers, err = p.ParseAnswers("empty.yaml", p.Form()); err != nil {
			t.Fatalf("paper %d: %v", v, err)
		}
		for i, m := range p.Mark(answers) {
			if m.Points == m.Of {
				t.Errorf("paper %d, question %d, %s: nothing gets full marks", v, i+1, m.Task)
			}
		}
	}
}

// What students get holds nothing of the secret and no answer that is not one of the choices
// there; the key has every answer.
func TestNothingLeaks(t *testing.T) {
	secret := drawn(t, 0xc7)
	set := made(t, all(3), secret)
	found := 0
	for v := range set.Papers {
		p := &set.Papers[v]
		html, err := p.SheetHTML()
		if err != nil {
			t.Fatal(err)
		}
		given := [][]byte{html, p.SheetText(), p.Form()}
		for _, x := range p.Variant.Exercises {
			given = append(given, x.Sheet().Job)
		}
		key := p.KeyText()
		for i, x := range p.Variant.Exercises {
			for _, f := range x.Sheet().Fields {
				a := x.Key()[f.ID]
				if !bytes.Contains(key, []byte("ANSWER: "+strings.Split(a, "\n")[0])) {
					t.Errorf("paper %d: the key lacks the answer to question %d, %s", v, i+1, f.ID)
				}
				found++
				if f.Choices != nil || len(a) < 12 {
					continue
				}
				for k, text := range given {
					if bytes.Contains(text, []byte(a)) {
						t.Errorf("paper %d: file %d has the answer to question %d, %s: %q", v, k, i+1, f.ID, a)
					}
				}
			}
		}
		for k, text := range given {
			for _, word := range []string{strings.TrimSpace(string(secret.Text())), string(secret.Text()[:16]), "ANSWER", "Key,"} {
				if bytes.Contains(text, []byte(word)) {
					t.Errorf("paper %d: file %d says %q", v, k, word)
				}
			}
			if k < 2 && !bytes.Contains(text, []byte("does not replace supervised")) {
				t.Errorf("paper %d: file %d has no caution", v, k)
			}
		}
	}
	if found == 0 {
		t.Error("no answer was looked at")
	}
}

// Names of students and titles are escaped on the page.
func TestNamesAreEscaped(t *testing.T) {
	f, err := course.Parse("x", []byte(strings.Replace(head, "title: T", "title: <b>T</b>", 1)+"  - {task: predict size, marks: 1}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	base, err := f.Base(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	set, err := course.Make(context.Background(), f, base, drawn(t, 1), []course.Student{{Name: `<script>alert("x")</script>`}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	html, err := set.Papers[0].SheetHTML()
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(html, []byte("<script")) || bytes.Contains(html, []byte("<b>T</b>")) || !bytes.Contains(html, []byte("&lt;script&gt;")) {
		t.Error("a name is taken for markup")
	}
	if stem := set.Papers[0].Stem(); strings.ContainsAny(stem, "<>/\\\"() ") {
		t.Errorf("the files are called %q", stem)
	}
}

// What is handed in is marked, or a row says why not.
func TestRows(t *testing.T) {
	set := made(t, strings.Replace(head, "variants: 1", "variants: 2\ndanger: 3\ntools: [look, flip, lock-out, energize, continuity]", 1)+"  - {task: predict size, marks: 7}\n  - {task: find the fault, marks: 10}\n", drawn(t, 3))
	p := &set.Papers[0]
	key := p.KeyForm()
	log := func(text string) map[int][]byte { return map[int][]byte{2: []byte(text)} }
	for name, row := range map[string]struct {
		in   course.Handed
		rows int
		says string
	}{
		"right":            {course.Handed{Form: key}, 2, ""},
		"nothing":          {course.Handed{}, 1, course.Nothing},
		"another's":        {course.Handed{Form: set.Papers[1].KeyForm()}, 1, "number of another sheet"},
		"malformed":        {course.Handed{Form: []byte("q1: [")}, 1, ":1:"},
		"doubled":          {course.Handed{Form: append(append([]byte{}, key...), "q1: {}\n"...)}, 1, "q1"},
		"unknown key":      {course.Handed{Form: append(append([]byte{}, key...), "q7: {}\n"...)}, 1, "q7"},
		"huge":             {course.Handed{Form: bytes.Repeat([]byte("a"), course.MaxAnswers+1)}, 1, "at most"},
		"not text":         {course.Handed{Form: []byte{0xff, 0}}, 1, "UTF-8"},
		"log":              {course.Handed{Form: key, Logs: log("# begin\nlook\n")}, 2, ""},
		"wrong log":        {course.Handed{Form: key, Logs: log("look\nflip nowhere/at-all\n")}, 2, "practice log: line 2"},
		"move not allowed": {course.Handed{Form: key, Logs: log("undo\n")}, 2, "no move that this exercise allows"},
		"huge log":         {course.Handed{Form: key, Logs: log(strings.Repeat("#", 3<<20))}, 2, "larger than"},
	} {
		rows := p.Rows(row.in)
		text := ""
		for _, r := range rows {
			text += r.Problem
			if r.Student != p.Student.String() || r.Digest == "" {
				t.Errorf("%s: %+v", name, r)
			}
		}
		if len(rows) != row.rows || row.says == "" && text != "" || !strings.Contains(text, row.says) {
			t.Errorf("%s: %+v; want %d rows and %q", name, rows, row.rows, row.says)
		}
		if row.says == "" && (rows[0].Points != 7 || rows[0].Of != 7) {
			t.Errorf("%s: %+v; want 7 of 7 marks", name, rows[0])
		}
	}
	if r := p.Rows(course.Handed{Form: key, Logs: log("look\n")})[1]; r.Moves != 1 || r.Dangers != 0 || r.Points != 10 {
		t.Errorf("of one look: %+v", r)
	}
	// An ohmmeter on a live circuit costs marks, and the row says why.
	points := p.Practice(2).Points()
	move := lab.Move{Verb: lab.Continuity, Points: [2]switchnet.Terminal{points[0], points[1]}}.String()
	if r := p.Rows(course.Handed{Form: key, Logs: log(move + "\n")})[1]; r.Dangers == 0 || r.Points != 10-3*r.Dangers || !strings.Contains(strings.Join(r.Lost, " "), "danger in practice") {
		t.Errorf("of %s: %+v", move, r)
	}
	book := &course.Book{}
	in := course.Handed{Form: key, Logs: log("look\n")}
	book.Put(class(2), p.Rows(in)...)
	if !p.Marked(book, in) || p.Marked(book, course.Handed{Form: key}) {
		t.Error("what is marked is told by something else than what was handed in")
	}
}

// What was confused is counted over the fields and papers, without what came of the one
// answer.
func TestLossesOfWiring(t *testing.T) {
	set := made(t, strings.Replace(head, "variants: 1", "variants: 4", 1)+"  - {task: wire it, marks: 10}\n", drawn(t, 1))
	b := &course.Book{}
	raw := 0
	for i := range set.Papers {
		p := &set.Papers[i]
		form := "sheet: " + p.Sheet + "\nq1:\n"
		for _, f := range p.Variant.Exercises[0].Sheet().Fields {
			form += "  " + f.ID + ": a\n"
		}
		rows := p.Rows(course.Handed{Name: "x.yaml", Form: []byte(form)})
		for _, r := range rows {
			raw += strings.Count(strings.Join(r.Lost, "\n"), " As you have it: ")
		}
		b.Put(nil, rows...)
	}
	if raw < 2 {
		t.Fatalf("%d answers say what comes of them", raw)
	}
	most := 0
	for _, l := range b.Losses() {
		most = max(most, len(l.Students))
		if strings.Contains(l.Says, "As you have it: ") || strings.HasPrefix(l.Says, "joint-") {
			t.Errorf("it is of one answer: %s", l.Says)
		}
	}
	if most < 2 {
		t.Error("no two students confused the same")
	}
}

// FuzzAnswers holds that no form does worse than a row that says what is wrong with it.
func FuzzAnswers(f *testing.F) {
	p := &made(f, all(1), drawn(f, 1)).Papers[0]
	f.Add(p.Form())
	f.Add(p.KeyForm())
	f.Add([]byte("sheet: " + p.Sheet + "\nq1: {}\n"))
	f.Fuzz(func(t *testing.T, form []byte) {
		rows := p.Rows(course.Handed{Name: "ann.yaml", Form: form})
		if len(rows) != 1 && len(rows) != len(p.Variant.Exercises) {
			t.Fatalf("%d rows", len(rows))
		}
	})
}

// A class of three, and what the right answers get.
func Example() {
	f, err := course.Parse("exercise.yaml", []byte(`format: 1
title: Sizes
region: us-2023
base: {places: 2}
variants: 3
tasks: [{task: predict size, marks: 10}]
`), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	students, err := course.ParseClass("class.csv", []byte("name\nAnn\nBo\nCy\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	secret, err := course.NewSecret(strings.NewReader("from crypto/rand in a real program"))
	if err != nil {
		fmt.Println(err)
		return
	}
	base, err := f.Base(context.Background(), os.ReadFile)
	if err != nil {
		fmt.Println(err)
		return
	}
	set, err := course.Make(context.Background(), f, base, secret, students, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	book := &course.Book{}
	for i := range set.Papers {
		p := &set.Papers[i]
		book.Put(students, p.Rows(course.Handed{Name: p.Stem() + ".yaml", Form: p.KeyForm()})...)
	}
	for _, r := range book.Rows {
		fmt.Printf("%s: %s, %d of %d\n", r.Student, r.Task, r.Points, r.Of)
	}
	// Output:
	// Ann: predict size, 10 of 10
	// Bo: predict size, 10 of 10
	// Cy: predict size, 10 of 10
}
