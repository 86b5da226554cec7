package course_test

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

var secret = course.Secret{1, 2, 3}

// made makes the papers of an exercise file.
func made(tb testing.TB, src string) *course.Set {
	tb.Helper()
	c, err := course.Parse("exercise.yaml", []byte(src), nil)
	if err != nil {
		tb.Fatal(err)
	}
	set, err := c.Make(context.Background(), nil, secret)
	if err != nil {
		tb.Fatal(err)
	}
	return set
}

// all asks a question of every task.
func all(variants int) string {
	src := fmt.Sprintf("exercise: 1\ntitle: All\nbase: {region: us-2023, places: 2, lights: 1}\nvariants: %d\ntasks:\n", variants)
	for _, n := range lab.Names() {
		src += "  - {task: " + n + "}\n"
	}
	return src
}

// The file to begin with is read, and makes papers.
func TestStarter(t *testing.T) {
	set := made(t, string(course.Starter()))
	if len(set.Papers) != 6 || len(set.Papers[0].Exercises) != 2 || set.Papers[0].Full() != 30 {
		t.Errorf("%d papers of %d questions and %d marks", len(set.Papers), len(set.Papers[0].Exercises), set.Papers[0].Full())
	}
}

// Everything that is wrong with a file is said at once, with its place.
func TestParseRefuses(t *testing.T) {
	const good = "exercise: 1\ntitle: T\nbase: {region: us-2023}\ntasks: [{task: plan it}]\n"
	if _, err := course.Parse("x", []byte(good), nil); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		from, to string
		says     []string
	}{
		{"exercise: 1", "exercise: 2", []string{"x:1:11"}},
		{"title: T\n", "", []string{"title"}},
		{"us-2023", "us-1066", []string{"x:3:16", "us-1066"}},
		{"{region: us-2023}", "{region: us-2023, places: 4 to 2, lights: many}", []string{`"4 to 2" is no range`, `"many" is no range`}},
		{"{region: us-2023}", "{region: us-2023, places: 0 to 99}", []string{"at most"}},
		{"{region: us-2023}", "{}", []string{"region"}},
		{"plan it", "guess it", []string{"x:4:15", "guess it", "find the fault"}},
		{"[{task: plan it}]", "[]", []string{"0 questions"}},
		{"{task: plan it}", "{task: plan it, level: hard, marks: 0, extra: 1}", []string{"level", "marks", "extra"}},
		{"tasks:", "variants: 0\nseeds: 1\ntasks:", []string{"variants", "seeds"}},
	} {
		_, err := course.Parse("x", []byte(strings.Replace(good, row.from, row.to, 1)), nil)
		for _, s := range row.says {
			if err == nil || !strings.Contains(err.Error(), s) {
				t.Errorf("%q for %q: %v; want %q", row.to, row.from, err, s)
			}
		}
	}
}

// What a class list may be.
func TestParseClass(t *testing.T) {
	got, err := course.ParseClass("c", []byte("\ufeffName,Bench\nAnn,1\n\n\"Lee, Kim\",2\n  Zoë ,3\n=cmd(),4\n"))
	if d := cmp.Diff([]string{"Ann", "Lee, Kim", "Zoë", "=cmd()"}, got); err != nil || d != "" {
		t.Errorf("%v\n%s", err, d)
	}
	for src, want := range map[string]string{
		"":                           "there is no student",
		"name\n":                     "there is no student",
		"Ann\nBo\nann\n":             "c:3:1: \"ann\" stands in line 1 already",
		"A.B\nA-B\n":                 "already",
		"x\u0007y\n":                 "control character",
		strings.Repeat("n", 101):     "longer than 100",
		"\"Ann\n":                    "c: ",
		strings.Repeat("a\n", 1<<20): "at most",
	} {
		if _, err := course.ParseClass("c", []byte(src)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %v; want %q", src, err, want)
		}
	}
}

// No two neighbours share a paper if there are two; papers are used evenly; the same class
// is given the same again, and another secret gives another order.
func TestAssign(t *testing.T) {
	c, err := course.Parse("x", []byte("exercise: 1\ntitle: T\nbase: {region: us-2023, places: 2}\nvariants: 5\ntasks: [{task: predict size}]\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	differ := false
	for k := range 20 {
		set, err := c.Make(context.Background(), nil, course.Secret{byte(k)})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []int{0, 1, 4, 5, 24, 61} {
			got := set.Assign(n)
			uses := make([]int, 5)
			for i, v := range got {
				uses[v]++
				if i > 0 && got[i-1] == v {
					t.Errorf("secret %d: students %d and %d of %d share paper %d", k, i, i+1, n, v)
				}
			}
			if len(got) != n || slices.Max(uses)-slices.Min(uses) > 1 {
				t.Errorf("secret %d: %d students use the papers %v times", k, n, uses)
			}
			if again := set.Assign(n); !slices.Equal(got, again) {
				t.Errorf("the second time it is another order")
			}
		}
		differ = differ || !slices.Equal(set.Assign(5), []int{0, 1, 2, 3, 4})
	}
	if !differ {
		t.Error("the secret decides nothing")
	}
}

// The same file and secret make the same papers; another secret or seed makes others.
func TestPapersAreDerived(t *testing.T) {
	src := all(2)
	page := func(src string, s course.Secret) string {
		c, err := course.Parse("x", []byte(src), nil)
		if err != nil {
			t.Fatal(err)
		}
		set, err := c.Make(context.Background(), nil, s)
		if err != nil {
			t.Fatal(err)
		}
		var out []byte
		for _, p := range set.Papers {
			html, err := p.SheetHTML("Ann")
			if err != nil {
				t.Fatal(err)
			}
			out = append(append(out, html...), p.SheetText("Ann")...)
		}
		return string(out)
	}
	first := page(src, secret)
	if first != page(src, secret) {
		t.Error("not the same twice")
	}
	if first == page(src, course.Secret{9}) || first == page("seed: other\n"+src, secret) {
		t.Error("another secret or seed makes the same papers")
	}
}

// The key filled into a form gets full marks on every task; an empty form none, and no error.
func TestKeyGetsFullMarks(t *testing.T) {
	set := made(t, all(2))
	for v, p := range set.Papers {
		who, answers, err := p.ParseAnswers("key.yaml", p.KeyForm("Ann"))
		if err != nil || who != "Ann" {
			t.Fatalf("paper %d: %q, %v", v, who, err)
		}
		for i, m := range p.Mark(answers) {
			if m.Points != m.Of || len(m.Lost) > 0 {
				t.Errorf("paper %d, question %d, %s: the key gets %d of %d: %v", v, i+1, m.Task, m.Points, m.Of, m.Lost)
			}
		}
		who, answers, err = p.ParseAnswers("empty.yaml", p.Form("Bo: #1"))
		if err != nil || who != "Bo: #1" {
			t.Fatalf("paper %d: %q, %v", v, who, err)
		}
		for i, m := range p.Mark(answers) {
			if m.Points == m.Of {
				t.Errorf("paper %d, question %d, %s: nothing gets full marks", v, i+1, m.Task)
			}
		}
	}
}

// What students get holds nothing of the secret and the seed, and no answer that is not one
// of the choices there; the key does.
func TestNothingLeaks(t *testing.T) {
	src := "seed: unguessable words\n" + all(3)
	set := made(t, src)
	found := 0
	for v, p := range set.Papers {
		html, err := p.SheetHTML("Ann")
		if err != nil {
			t.Fatal(err)
		}
		given := [][]byte{html, p.SheetText("Ann"), p.Form("Ann")}
		for _, x := range p.Exercises {
			given = append(given, x.Sheet().Job)
		}
		key := p.KeyText("Ann")
		for i, x := range p.Exercises {
			for _, f := range x.Sheet().Fields {
				a := x.Key()[f.ID]
				if bytes.Contains(key, []byte("ANSWER: "+strings.Split(a, "\n")[0])) {
					found++
				} else {
					t.Errorf("paper %d: the key lacks the answer to question %d, %s", v, i+1, f.ID)
				}
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
			for _, word := range []string{secret.String(), secret.String()[:16], "unguessable", "ANSWER", "Key,"} {
				if bytes.Contains(text, []byte(word)) {
					t.Errorf("paper %d: file %d says %q", v, k, word)
				}
			}
			if k < 2 && !bytes.Contains(text, []byte("does not replace supervised practice")) {
				t.Errorf("paper %d: file %d has no caution", v, k)
			}
		}
	}
	if found == 0 {
		t.Error("no answer was looked at")
	}
}

// Names of students are escaped on the page.
func TestNamesAreEscaped(t *testing.T) {
	p := made(t, "exercise: 1\ntitle: <b>T</b>\nbase: {region: us-2023, places: 2}\ntasks: [{task: predict size}]\n").Papers[0]
	html, err := p.SheetHTML(`<script>alert("x")</script>`)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(html, []byte("<script")) || bytes.Contains(html, []byte("<b>T</b>")) || !bytes.Contains(html, []byte("&lt;script&gt;")) {
		t.Error("a name is taken for markup")
	}
}

// What is handed in is marked, or a row says why not.
func TestRows(t *testing.T) {
	p := made(t, "exercise: 1\ntitle: T\nbase: {region: us-2023, places: 2}\ntasks: [{task: predict size, marks: 7}, {task: find the fault}]\n").Papers[0]
	key := p.KeyForm("Ann")
	for name, row := range map[string]struct {
		in   course.Handed
		rows int
		says string
	}{
		"right":       {course.Handed{Form: key}, 2, ""},
		"nothing":     {course.Handed{}, 1, "no answers were handed in"},
		"another's":   {course.Handed{Form: p.KeyForm("Bo")}, 1, `form of "Bo"`},
		"malformed":   {course.Handed{Form: []byte("q1: [")}, 1, ":1:"},
		"doubled":     {course.Handed{Form: append(append([]byte{}, key...), "q1: {}\n"...)}, 1, "q1"},
		"unknown key": {course.Handed{Form: append(append([]byte{}, key...), "q7: {}\n"...)}, 1, "q7"},
		"huge":        {course.Handed{Form: bytes.Repeat([]byte("a"), course.MaxAnswers+1)}, 1, "at most"},
		"not text":    {course.Handed{Form: []byte{0xff, 0}}, 1, "UTF-8"},
		"log":         {course.Handed{Form: key, Logs: map[int][]byte{2: []byte("# begin\nlook\n")}}, 2, ""},
		"wrong log":   {course.Handed{Form: key, Logs: map[int][]byte{2: []byte("look\nflip nowhere/at-all\n")}}, 2, "practice log: line 2"},
	} {
		rows := p.Rows("Ann", row.in)
		text := ""
		for _, r := range rows {
			text += r.Problem
			if r.Student != "Ann" || r.Digest == "" {
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
	if r := p.Rows("Ann", course.Handed{Form: key, Logs: map[int][]byte{2: []byte("look\n")}})[1]; r.Moves != 1 || r.Dangers != 0 {
		t.Errorf("of one look: %+v", r)
	}
}

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

// Rows come in the order of the class, and what was lost is counted by reason.
func TestBook(t *testing.T) {
	b := &course.Book{}
	class := []string{"Ann", "Bo", "Cy"}
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
	if d := cmp.Diff([]course.Loss{{Question: 1, Says: "a", Students: []string{"Ann", "Cy"}}, {Question: 1, Says: "b", Students: []string{"Ann"}}}, b.Losses()); d != "" {
		t.Error(d)
	}
}

// A secret is read as it is written.
func TestSecret(t *testing.T) {
	s, err := course.NewSecret(bytes.NewReader(bytes.Repeat([]byte{7}, 32)))
	if err != nil {
		t.Fatal(err)
	}
	if back, err := course.ParseSecret(s.String() + "\n"); err != nil || back != s {
		t.Errorf("%v, %v", back, err)
	}
	for _, bad := range []string{"", "xyz", s.String() + "00"} {
		if _, err := course.ParseSecret(bad); err == nil {
			t.Errorf("%q is taken for a secret", bad)
		}
	}
	if _, err := course.NewSecret(bytes.NewReader(nil)); err == nil {
		t.Error("a secret from nothing")
	}
}

// FuzzAnswers holds that no form does worse than a row that says what is wrong with it.
func FuzzAnswers(f *testing.F) {
	p := made(f, all(1)).Papers[0]
	f.Add(p.Form("Ann"))
	f.Add(p.KeyForm("Ann"))
	f.Add([]byte("student: Ann\nq1: {}\n"))
	f.Fuzz(func(t *testing.T, form []byte) {
		rows := p.Rows("Ann", course.Handed{Name: "ann.yaml", Form: form})
		if len(rows) != 1 && len(rows) != len(p.Exercises) {
			t.Fatalf("%d rows", len(rows))
		}
	})
}

// A class of three: who has which paper, and what an answer gets.
func Example() {
	c, err := course.Parse("exercise.yaml", []byte("exercise: 1\ntitle: Sizes\nbase: {region: us-2023, places: 2}\nvariants: 3\ntasks: [{task: predict size, marks: 10}]\n"), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	set, err := c.Make(context.Background(), nil, course.Secret{4})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, v := range set.Assign(3) {
		p := set.Papers[v]
		_, answers, err := p.ParseAnswers("form.yaml", p.KeyForm("Ann"))
		if err != nil {
			fmt.Println(err)
			return
		}
		m := p.Mark(answers)[0]
		fmt.Printf("student %d: %s, %d of %d\n", i+1, m.Task, m.Points, m.Of)
	}
	// Output:
	// student 1: predict size, 10 of 10
	// student 2: predict size, 10 of 10
	// student 3: predict size, 10 of 10
}
