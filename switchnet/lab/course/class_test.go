package course_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/switchnet/lab/course"
)

// TestClassLists reads lists as registers and spreadsheets write them.
func TestClassLists(t *testing.T) {
	ann, kim, zoe := course.Student{Name: "Ann"}, course.Student{Name: "Lee, Kim"}, course.Student{Name: "Zoë"}
	for _, row := range []struct {
		src  string
		want []course.Student
		why  string
	}{
		{"name\nAnn\n", []course.Student{ann}, "the least there is"},
		{"\ufeffName\r\nAnn\r\n\r\n\"Lee, Kim\"\r\n , \r\n Zoë \r\n", []course.Student{ann, kim, zoe}, "a byte-order mark, CRLF, blank lines, a comma in a name"},
		{"bench;NAME;phone\n1;Ann;5\n2;Zoë;\n", []course.Student{ann, zoe}, "semicolons, other columns"},
		{"name\tid\nAnn\t7\nAnn\t8\n", []course.Student{{Name: "Ann", ID: "7"}, {Name: "Ann", ID: "8"}}, "tabs; one name twice, told apart by id"},
		{"name,id\nAnn\n", []course.Student{ann}, "a short line"},
	} {
		got, err := course.ParseClass("c", []byte(row.src))
		if d := cmp.Diff(row.want, got); err != nil || d != "" {
			t.Errorf("%s: %v\n%s", row.why, err, d)
		}
	}
}

// TestClassRefuses wants a place and a cure for what cannot be used.
func TestClassRefuses(t *testing.T) {
	for _, row := range []struct {
		src  string
		says []string
		why  string
	}{
		{"", []string{"c:1:1", "no student"}, "empty"},
		{"name\n\n", []string{"no student"}, "nobody"},
		{"Ann\nBo\n", []string{"c:1:1", "no column is called name"}, "no heading, which may be a student"},
		{"name,Name\nAnn,Bo\n", []string{"c:1:6", "two columns"}, "which of the two?"},
		{"name\nAnn\nBo\nAnn\n=1+1\n@x\n\u200bCy\n", []string{"c:4:1", "line 2", "c:5:1", "formula", "c:6:1", "c:7:1", "U+200B"}, "all of it at once"},
		{"name,id\n,7\n", []string{"c:2:1", "no name"}, "an id alone"},
		{"name\nAnn; =1+1\n", []string{"c:2:1", "formula"}, "a formula where a semicolon ends a cell"},
		{"name,id\nAnn,=7\n", []string{"c:2:5", "formula"}, "a formula for an id"},
		{"name\n" + strings.Repeat("n", 101) + "\n", []string{"more than 100 letters"}, "a name as long as a page"},
		{"name\n\"Ann\nBo\n", []string{"c:", "quotation mark"}, "a quotation without an end"},
		{"name\nA\x00nn\n", []string{"c:2:1", "U+0000"}, "a zero byte"},
		{"name\nAnn\nZo\xeb\n", []string{"c:3:1", "UTF-8"}, "another encoding"},
		{"\xff\xfen\x00", []string{"UTF-16"}, "a spreadsheet's Unicode text"},
		{"name\n" + strings.Repeat("Ann\n", 1<<18), []string{"at most"}, "huge"},
	} {
		_, err := course.ParseClass("c", []byte(row.src))
		var all *course.Errors
		if !errors.As(err, &all) {
			t.Errorf("%s: %v", row.why, err)
			continue
		}
		for _, s := range row.says {
			if !strings.Contains(err.Error(), s) {
				t.Errorf("%s: it does not say %q:\n%v", row.why, s, err)
			}
		}
	}
	var many strings.Builder
	many.WriteString("name\n")
	for i := range course.MaxStudents + 1 {
		many.WriteString("n" + strings.Repeat("x", i%90) + string(rune('a'+i%26)) + string(rune('a'+i/26%26)) + string(rune('a'+i/676)) + "\n")
	}
	if _, err := course.ParseClass("c", []byte(many.String())); err == nil || !strings.Contains(err.Error(), "more than 1000 students") {
		t.Errorf("a class of %d: %v", course.MaxStudents+1, err)
	}
}

// FuzzClass wants that no list is worse than an error, and that no name is one that a
// page or a table could not take.
func FuzzClass(f *testing.F) {
	f.Add([]byte("name,id\nAnn,7\n\"Lee, Kim\",\n"))
	f.Add([]byte("\ufeffname;x\r\nAnn;\r\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		class, err := course.ParseClass("c", src)
		if (err == nil) != (len(class) > 0) {
			t.Fatalf("%d students, %v", len(class), err)
		}
		seen := map[course.Student]bool{}
		for _, s := range class {
			if seen[s] || s.Name == "" || strings.ContainsAny(s.Name, "\n\r\x00") || strings.ContainsAny(s.Name[:1], "=+-@") {
				t.Fatalf("%+v", s)
			}
			seen[s] = true
		}
	})
}
