package strict_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/internal/strict"
)

// messages returns the lines of an error that are no excerpts.
func messages(err error) string {
	if err == nil {
		return ""
	}
	var list []string
	for line := range strings.SplitSeq(err.Error(), "\n") {
		if len(line) > 7 && line[7] == '|' {
			continue
		}
		list = append(list, line)
	}
	return strings.Join(list, "\n")
}

func parse(t testing.TB, src string) *strict.Doc {
	t.Helper()
	doc, err := strict.Parse("f.yaml", []byte(src), strict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestWrongTexts(t *testing.T) {
	for _, c := range wrongTexts {
		doc, err := strict.Parse("f.yaml", []byte(c.src), strict.Options{})
		if err == nil {
			m := doc.Root().Map("a job")
			m.Get("boxes")
			m.Get("format")
			m.Done()
			err = doc.Err()
		} else if doc != nil {
			t.Errorf("%s: a document with an error", c.why)
		}
		if got := messages(err); got != c.want {
			t.Errorf("%s: %q\ngot\n%s\nwant\n%s", c.why, c.src, got, c.want)
		}
	}
}

func TestFormatTexts(t *testing.T) {
	for _, c := range formatTexts {
		doc := parse(t, c.src)
		out := checkFormat(t, doc, strict.Options{})
		if string(out) != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.why, out, c.want)
		}
	}
}

// TestExcerpts pins the look of a message: excerpt, caret, second place, and a
// long line cut around the place.
func TestExcerpts(t *testing.T) {
	_, err := strict.Parse("shed.yaml", []byte("title: ä\nboxes: [one,\n\ttwo\n"), strict.Options{})
	const want = `shed.yaml:3:5: the list that begins with [ does not go on here; expected a comma or ]; close it with ]
     3 |  two
       |     ^
shed.yaml:2:8: the list begins here
     2 | boxes: [one,
       |        ^`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	_, err = strict.Parse("long.yaml", []byte("a: ["+strings.Repeat("b, ", 1000)+"\x01, c]\n"), strict.Options{})
	if err == nil {
		t.Fatal("no error")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 3 || len([]rune(lines[1])) > 120 {
		t.Fatalf("a long line is shown whole: %q", lines)
	}
	at := strings.IndexRune(lines[2], '^')
	if r := []rune(lines[1])[at]; r != '\ufffd' {
		t.Errorf("the caret points at %q: %q", r, lines)
	}
}

func TestTooMuch(t *testing.T) {
	for _, c := range []struct {
		why, src string
		opt      strict.Options
		want     string
	}{
		{"size", "a: 12345\n", strict.Options{MaxBytes: 5}, "f.yaml:1:1: the file has 9 bytes; expected at most 5; split it, or raise the limit in the program that reads it"},
		{"default size", "a: " + strings.Repeat("x", strict.DefaultMaxBytes), strict.Options{},
			"f.yaml:1:1: the file has 2097155 bytes; expected at most 2097152; split it, or raise the limit in the program that reads it"},
		{"brackets", "a: [b, [c, d]]\n", strict.Options{MaxEntries: 3},
			"f.yaml:1:4: more than 3 entries between these brackets (commas, colons and brackets counted); expected a shorter collection; write one 'key: value' or '- value' to a line, without the brackets, or raise the limit in the program that reads it"},
		{"levels", "a:\n  b:\n    c: 1\n", strict.Options{MaxDepth: 2},
			"f.yaml:3:5: nested more than 2 levels deep; expected a flatter file; look for a bracket that was never closed or a line indented too far"},
		{"levels of brackets in lines", "a:\n  - [[b]]\n", strict.Options{MaxDepth: 3},
			"f.yaml:2:6: nested more than 3 levels deep; expected a flatter file; look for a bracket that was never closed or a line indented too far"},
		{"default levels", "a: " + strings.Repeat("[", 100), strict.Options{},
			"f.yaml:1:67: nested more than 64 levels deep; expected a flatter file; look for a bracket that was never closed or a line indented too far"},
	} {
		_, err := strict.Parse("f.yaml", []byte(c.src), c.opt)
		if got := messages(err); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.why, got, c.want)
		}
	}
	for _, c := range []struct {
		why, src string
		opt      strict.Options
	}{
		{"exactly the size", "a: 12345\n", strict.Options{MaxBytes: 9}},
		{"exactly the brackets", "a: [b, [c, d]]\n", strict.Options{MaxEntries: 4}},
		{"exactly the levels", "a: [[b]]\n", strict.Options{MaxDepth: 3}},
		{"brackets that begin no collection", "a: b [ c, [ d, [\nb: |\n  [ [ [ [ [ [\n# [ [ [ [ [\nc: '[ [ [ [ ['\nd: \"[ \\\" [ [ [ [\"\n", strict.Options{MaxEntries: 1}},
		{"sixty-four levels", "a: " + strings.Repeat("[", 63) + strings.Repeat("]", 63), strict.Options{}},
	} {
		if _, err := strict.Parse("f.yaml", []byte(c.src), c.opt); err != nil {
			t.Errorf("%s: %v", c.why, err)
		}
	}
}

func TestCap(t *testing.T) {
	var b strings.Builder
	for i := range 500 {
		fmt.Fprintf(&b, "key-%d: 1\n", i)
	}
	doc, err := strict.Parse("f.yaml", []byte(b.String()), strict.Options{MaxProblems: 7})
	if err != nil {
		t.Fatal(err)
	}
	// from the end of the file to its beginning, to try the cap in the worse order
	entries := doc.Root().Entries()
	for i := len(entries) - 1; i >= 0; i-- {
		entries[i].Key.Report(strict.Report{Found: "found it"})
	}
	es, ok := doc.Err().(*strict.Errors)
	if !ok || len(es.List) != 7 || es.More != 493 {
		t.Fatalf("%d listed, %d more", len(es.List), es.More)
	}
	for i, p := range es.List {
		if p.Line != i+1 {
			t.Errorf("problem %d is of line %d", i, p.Line)
		}
	}
	if !strings.HasSuffix(es.Error(), "f.yaml: and 493 more") {
		t.Error("the rest is not counted in the text")
	}
}

func TestAccepted(t *testing.T) {
	for _, c := range []struct{ why, src string }{
		{"a byte-order mark", "\ufeffa: 1\nb: 2\n"},
		{"carriage returns", "a: 1\r\nb: 2\r\n"},
		{"no newline at the end", "a: 1\nb: 2"},
		{"the mark of the document", "# x\n---\na: 1\nb: 2\n"},
		{"the mark of its end", "a: 1\nb: 2\n...\n# x\n"},
		{"JSON", "{\"a\": 1, \"b\": 2}"},
		{"brackets over lines", "{a: 1,\n\n b: 2,\n}\n"},
	} {
		m := parse(t, c.src).Root().Map("a file")
		a, okA := m.Get("a").Text("a number")
		b, okB := m.Get("b").Text("a number")
		if !okA || !okB || a != "1" || b != "2" {
			t.Errorf("%s: %q, %q", c.why, a, b)
		}
	}
	doc := parse(t, "\ufeffa: 1\r\nb: 2\r\n")
	if p := doc.Root().Entries()[1].Key.Pos(); p != (strict.Pos{Line: 2, Column: 1}) {
		t.Errorf("b stands at %v", p)
	}
}
