package job_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/job"
)

const head = "format: 1\nrules: us-2023\n"

// Texts that mean harm, or come from the wrong program, get one clear error.
func TestHostile(t *testing.T) {
	kind := "kinds:\n  - name: k\n    terminals: [" + strings.Repeat("a, ", 100) + "b]\n    positions: [{name: x}]\n"
	for _, tt := range []struct {
		name, why, src string
		at, says       string
	}{
		{"empty", "nothing to read", "", "1:1", "the file is empty"},
		{"comment only", "nothing to read", "# a shed\n", "1:1", "the file is empty"},
		{"document mark only", "nothing to read", "---", "1:1", "the file is empty"},
		{"oversized", "the limit is checked before anything is parsed", head + "#" + strings.Repeat("x", 2<<20), "1:1", "bytes"},
		{"deep brackets", "64 levels", head + "title: " + strings.Repeat("[", 100_000), "3:", "more than 64 levels"},
		{"deep maps", "64 levels", head + "boxes: " + strings.Repeat("{a: ", 100) + "1" + strings.Repeat("}", 100), "3:", "more than 64 levels"},
		{"deep indentation", "64 levels", head + deep(100), "", "more than 64 levels"},
		{"not UTF-8", "bytes of another encoding", head + "title: Bo\xe4t\n", "3:", "UTF-8"},
		{"NUL", "a binary file", head + "title: a\x00b\n", "3:9", ""},
		{"UTF-16", "a byte-order mark of another encoding", "\xff\xfef\x00o\x00", "1:1", "UTF-8"},
		{"second document", "one document to a file", head + "---\n" + head, "3:1", "second document"},
		{"billion laughs", "no anchors and no aliases", head + "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n", "3:4", "anchor"},
		{"merge key", "no merge keys", head + "boxes:\n  - {<<: {kind: device}, name: a}\n", "4:6", "merge key"},
		{"tag", "no tags", head + "title: !!binary aGk=\n", "3:8", "tag"},
		{"directive", "no directives", "%YAML 1.2\n---\n" + head, "1:1", ""},
		{"list at the top", "a job is keys and values", "- format\n", "1:1", "a list"},
		{"escape of NUL", "a character that no name may hold", head + `title: "a\0b"` + "\n", "3:8", ""},
		{"a page of markup", "the wrong program", "<html><body>\n<p>moved</p>\n", "1:1", ""},
		{"kind with too many terminals", "64 of them are the limit", head + kind, "4:11", "terminals"},
		{"number that overflows", "no gangs beyond those of any box", head + "boxes:\n  - {name: a, kind: device, gangs: 99999999999999999999}\n", "4:36", "does not fit"},
		{"length that overflows", "more than can be held", head + "boxes:\n  - {name: a, kind: device, at: [99999999999999 km, 0 ft, 0 ft]}\n", "4:34", "larger than can be held"},
		{"very long name", "names have 200 bytes at most", head + "boxes:\n  - {name: " + strings.Repeat("a", 300) + ", kind: device}\n", "4:12", "limit is 200"},
		{"very long cable type", "types have 200 characters at most", head + "boxes: [{name: a, kind: panel}]\ncables: [{name: c, from: a, to: unknown, type: loose " + strings.Repeat("x ", 200) + "}]\n", "4:", "longer than 200"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f, err := job.Parse("shed.yaml", []byte(tt.src), options())
			var errs *job.Errors
			if f != nil || !errors.As(err, &errs) || len(errs.List) == 0 {
				t.Fatalf("%s: got %v, %v", tt.why, f, err)
			}
			for _, p := range errs.List {
				if strings.HasPrefix(fmt.Sprintf("%d:%d", p.Line, p.Column), tt.at) && strings.Contains(p.Found+p.Expected, tt.says) {
					return
				}
			}
			t.Errorf("%s: no problem at %s that says %q in:\n%v", tt.why, tt.at, tt.says, err)
		})
	}
}

func deep(levels int) string {
	var b strings.Builder
	for i := range levels {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// What other readers of YAML stumble over is read.
func TestLenient(t *testing.T) {
	for _, tt := range []struct{ name, why, src string }{
		{"byte-order mark", "some editors write it", "\ufeff" + head},
		{"carriage returns", "some editors write them", strings.ReplaceAll(head+"title: Boat shed\n", "\n", "\r\n")},
		{"no final newline", "some editors leave it out", head + "title: Boat shed"},
		{"document marks", "one document may be marked", "---\n" + head},
		{"JSON", "it is a part of YAML", `{"format": 1, "rules": "us-2023", "boxes": [{"name": "a", "kind": "device", "gangs": 2}]}`},
		{"empty lists", "a list may be left out or empty", head + "boxes:\ncables: []\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := job.Parse("shed.yaml", []byte(tt.src), options()); err != nil {
				t.Errorf("%s: %v", tt.why, err)
			}
			roundTrip(t, tt.name, []byte(tt.src))
		})
	}
}

// A scalar is the text that was written.
func TestScalarsStayWhatWasWritten(t *testing.T) {
	names := []string{"010", "1.10", "on", "no", "~", "null", "1e3", "0x1F", "2004-03-31", "12:30", "1_000", "+1", ".5", "Yes", "a: b", "a, b", "[a]", "#1", "- x", "*", "&a", "!t", "'", "\"", "é", "日本", "a.b", "-", "?", "%", "true"}
	var b strings.Builder
	b.WriteString(head + "boxes:\n")
	for _, n := range names {
		fmt.Fprintf(&b, "  - {name: '%s', kind: device}\n", strings.ReplaceAll(n, "'", "''"))
	}
	src := []byte(b.String())
	f := parse(t, "names.yaml", src)
	for i, n := range names {
		if got := f.Wiring.Boxes[i].Name; got != n {
			t.Errorf("the box %q is called %q", n, got)
		}
	}
	roundTrip(t, "names", src)

	// Without quotes too, where that is one value.
	plain := "boxes:\n  - {name: 010, kind: device}\n  - {name: 1.10, kind: device}\n  - {name: on, kind: device}\n  - {name: no, kind: device}\n  - {name: ~, kind: device}\n  - {name: 1e3, kind: device}\n"
	f = parse(t, "plain.yaml", []byte(head+plain))
	for i, want := range []string{"010", "1.10", "on", "no", "~", "1e3"} {
		if got := f.Wiring.Boxes[i].Name; got != want {
			t.Errorf("the box %s is called %q", want, got)
		}
	}
	roundTrip(t, "plain", []byte(head+plain))
}

// Limits are the caller's to set.
func TestLimits(t *testing.T) {
	src := []byte(head + "boxes: [{name: a, kind: device}, {name: a, kind: device}, {name: a, kind: device}]\n")
	for _, tt := range []struct {
		why, says string
		opt       job.Options
	}{
		{"bytes", "bytes", job.Options{MaxBytes: 50}},
		{"levels", "levels", job.Options{MaxDepth: 2}},
		{"entries", "entries", job.Options{MaxEntries: 3}},
		{"problems", "and 1 more", job.Options{MaxProblems: 1}},
	} {
		opt := tt.opt
		opt.Region = options().Region
		if _, err := job.Parse("shed.yaml", src, &opt); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v", tt.why, err)
		}
		if _, err := job.Format("shed.yaml", src, &opt); tt.why != "problems" && err == nil {
			t.Errorf("%s: Format does not know the limit", tt.why)
		}
	}
}
