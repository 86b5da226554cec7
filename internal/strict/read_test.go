package strict_test

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"

	"example.com/switchleg/internal/strict"
)

func TestReaders(t *testing.T) {
	const src = "title: Boat shed\nkind: devce\nboxes: [a, [b], ]\nempty:\nquoted: ''\nhead: {x: 1}\n"
	for _, c := range []struct {
		why  string
		read func(m *strict.Map)
		want string
	}{
		{"a text", func(m *strict.Map) { m.Get("title").Text("a title") }, ""},
		{"a missing key is silent", func(m *strict.Map) {
			m.Get("roof").Text("a roof")
			m.Get("roof").List("roofs")
			m.Get("roof").Map("a roof").Done()
		}, ""},
		{"a needed key", func(m *strict.Map) { m.Need("roof", "a roof such as slate") }, `f.yaml:1:1: a job has no "roof"; expected a roof such as slate; add roof: …`},
		{"a map for a text", func(m *strict.Map) { m.Get("head").Text("a head") }, "f.yaml:6:7: found keys and values; expected a head"},
		{"a list for a map", func(m *strict.Map) { m.Get("boxes").Map("a box") }, "f.yaml:3:8: found a list; expected a box, written as 'key: value' lines"},
		{"a text for a list", func(m *strict.Map) { m.Get("title").List("a list of titles") },
			"f.yaml:1:8: found a single value; expected a list of titles; begin each of them with '- ' on a line of its own"},
		{"a list for a text, inside a list", func(m *strict.Map) {
			for _, n := range m.Get("boxes").List("a list of boxes") {
				n.Text("a box")
			}
		}, "f.yaml:3:12: found a list; expected a box"},
		{"a value left out is at its key", func(m *strict.Map) { m.Get("empty").Text("something") }, "f.yaml:4:1: nothing is written here; expected something"},
		{"a map left out", func(m *strict.Map) { m.Get("empty").Map("a box") }, "f.yaml:4:1: nothing is written here; expected a box, written as 'key: value' lines"},
		{"an empty list may be left out", func(m *strict.Map) { m.Get("empty").List("a list of boxes") }, ""},
		{"empty text in quotes is text", func(m *strict.Map) { m.Get("quoted").Text("something") }, ""},
		{"a word of a list", func(m *strict.Map) { m.Get("kind").OneOf("a kind of box", "ceiling", "device") },
			`f.yaml:2:7: "devce" is not a kind of box; expected ceiling or device; did you mean "device"?`},
		{"a place inside the text", func(m *strict.Map) { m.Get("title").Report(strict.Report{Found: "lower case", At: 5}) }, "f.yaml:1:13: lower case"},
		{"two places", func(m *strict.Map) {
			m.Get("kind").Report(strict.Report{Found: "at odds", Other: m.Get("title"), Note: "with this"})
		}, "f.yaml:2:7: at odds\nf.yaml:1:8: with this"},
	} {
		doc := parse(t, src)
		c.read(doc.Root().Map("a job"))
		if got := messages(doc.Err()); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.why, got, c.want)
		}
	}
}

func TestBadNodesAreSilent(t *testing.T) {
	doc := parse(t, "a: &x b\nb: *x\nc: d\n  e\n")
	m := doc.Root().Map("a file")
	for _, key := range []string{"a", "b", "c"} {
		if text, ok := m.Get(key).Text("a word"); ok || text != "" || m.Get(key).Sound() {
			t.Errorf("%s reads %q", key, text)
		}
		m.Get(key).List("a list")
		m.Get(key).Map("a map")
	}
	es := doc.Err().(*strict.Errors)
	if len(es.List) != 3 {
		t.Errorf("%v", es)
	}
}

func TestNilNode(t *testing.T) {
	var n *strict.Node
	n.Report(strict.Report{Found: "nothing"})
	if n.Kind() != 0 || n.Pos() != (strict.Pos{}) || n.Raw() != "" || n.Quoted() || n.Empty() || n.Entries() != nil || n.Doc() != nil ||
		n.Map("x").Get("y") != nil || n.Map("x").Entries() != nil || n.Map("x").Node() != nil || n.Map("x").Key("y") != nil {
		t.Error("a missing node is something")
	}
}

func TestErrorsAreData(t *testing.T) {
	doc := parse(t, "a: 1\na: 2\n")
	err := doc.Err()
	var p strict.Problem
	if !errors.As(err, &p) || p.File != "f.yaml" || p.Line != 2 || p.Other == nil || p.Other.Line != 1 || p.Excerpt != "a: 2" {
		t.Errorf("%+v", p)
	}
	text, jsonErr := json.Marshal(err)
	const want = `{"file":"f.yaml","problems":[{"file":"f.yaml","line":2,"column":1,"found":"\"a\" is set twice","expected":"each key once","fix":"keep one of the two","excerpt":"a: 2","other":{"file":"f.yaml","line":1,"column":1,"note":"first set here","excerpt":"a: 1"}}]}`
	if jsonErr != nil || string(text) != want {
		t.Errorf("%v\n%s\nwant\n%s", jsonErr, text, want)
	}
	if !reflect.DeepEqual(doc.Err(), err) {
		t.Error("asked again, the errors are others")
	}
}

// TestFormatRefuses: a file with doubled keys and the like is not laid out.
func TestFormatRefuses(t *testing.T) {
	doc := parse(t, "a: 1\na: 2\n")
	if out, err := doc.Format(); err == nil || out != nil || !strings.Contains(err.Error(), "set twice") {
		t.Errorf("%q, %v", out, err)
	}
	// what readers reported does not matter
	doc = parse(t, "a:   1\n")
	doc.Root().Map("a file").Done()
	if out, err := doc.Format(); err != nil || string(out) != "a: 1\n" {
		t.Errorf("%q, %v", out, err)
	}
	// a layout that would be too large to read is not returned
	doc, err := strict.Parse("f.yaml", []byte("a:\n- b\n- c\n"), strict.Options{MaxBytes: 12})
	if err != nil {
		t.Fatal(err)
	}
	out, err := doc.Format()
	var fe *strict.FormatError
	if !errors.As(err, &fe) || out != nil || !strings.Contains(err.Error(), "at most 12") {
		t.Errorf("%q, %v", out, err)
	}
}

func TestMerge(t *testing.T) {
	base, over := parse(t, "a: {x: 1, y: 2}\nb: [1, 2]\nc: 3\nd: 4\n"), parse(t, "a: {y: 5, z: 6}\nb: [7]\nd: gone\ne: 8\n")
	m := strict.Merge(base.Root(), over.Root(), "gone").Map("both")
	var got []string
	for _, e := range m.Entries() {
		got = append(got, e.Key.Raw())
	}
	a := m.Get("a").Map("a")
	for key, want := range map[string]string{"x": "1", "y": "5", "z": "6"} {
		if text, _ := a.Get(key).Text("a number"); text != want {
			t.Errorf("a.%s is %q", key, text)
		}
	}
	if len(m.Get("b").List("a list")) != 1 || strings.Join(got, " ") != "a b c e" {
		t.Errorf("%q", got)
	}
	if a.Get("x").Doc() != base || a.Get("y").Doc() != over {
		t.Error("nodes do not know where they stand")
	}
	if base.Root().Map("base").Get("d") == nil || base.Err() != nil || over.Err() != nil {
		t.Error("merging changed its input")
	}
	strict.Merge(base.Root(), parse(t, "x: gone\n").Root(), "gone")
	over = parse(t, "dd: gone\nc: 'gone'\n")
	text, _ := strict.Merge(base.Root(), over.Root(), "gone").Map("both").Get("c").Text("a word")
	if text != "gone" {
		t.Errorf("a quoted word is %q", text)
	}
	const want = `f.yaml:1:1: there is no "dd" to take out; expected a, b, c or d`
	if messages(over.Err()) != want {
		t.Errorf("%v", over.Err())
	}
	if w := base.Root().Without("a", "c").Entries(); len(w) != 2 || len(base.Root().Entries()) != 4 {
		t.Errorf("%d entries left of %d", len(w), len(base.Root().Entries()))
	}
}

// TestOtherFile: the second place may be in another file.
func TestOtherFile(t *testing.T) {
	a, err := strict.Parse("a.yaml", []byte("x: 1\n"), strict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := strict.Parse("b.yaml", []byte("# b\ny: 2\n"), strict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a.Root().Map("a").Get("x").Report(strict.Report{Found: "at odds", Other: b.Root().Map("b").Get("y"), Note: "with this"})
	const want = "a.yaml:1:4: at odds\n     1 | x: 1\n       |    ^\nb.yaml:2:4: with this\n     2 | y: 2\n       |    ^"
	if got := a.Err().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
