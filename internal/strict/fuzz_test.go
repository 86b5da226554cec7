package strict_test

import (
	"bytes"
	"errors"
	"testing"

	"example.com/switchleg/internal/strict"
)

// FuzzParse wants of every text: no panic, problems in order, and of every
// sound one a layout that is a fixed point and reads back the same.
func FuzzParse(f *testing.F) {
	for _, c := range wrongTexts {
		f.Add([]byte(c.src))
	}
	for _, c := range formatTexts {
		f.Add([]byte(c.src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		opt := strict.Options{MaxBytes: 1 << 16}
		doc, err := strict.Parse("f.yaml", src, opt)
		if err != nil {
			checkErrors(t, err)
			return
		}
		readAll(doc.Root())
		if err := doc.Err(); err != nil {
			checkErrors(t, err)
			return
		}
		checkFormat(t, doc, opt)
	})
}

func checkErrors(t *testing.T, err error) {
	t.Helper()
	var es *strict.Errors
	if !errors.As(err, &es) || len(es.List) == 0 {
		t.Fatalf("error is not a list of problems: %v", err)
	}
	for i, p := range es.List {
		if p.Line < 1 || p.Column < 1 || p.Found == "" {
			t.Errorf("problem without a place or words: %+v", p)
		}
		if i > 0 && p.Pos.Before(es.List[i-1].Pos) {
			t.Errorf("problems out of order: %v before %v", es.List[i-1].Pos, p.Pos)
		}
	}
}

// readAll reads every node in each way, which must report and not panic.
func readAll(n *strict.Node) {
	for _, e := range n.Map("a group").Entries() {
		e.Key.Text("a key")
		readAny(e.Value)
	}
}

func readAny(n *strict.Node) {
	switch n.Kind() {
	case strict.KindMap:
		readAll(n)
	case strict.KindList:
		for _, item := range n.List("a list") {
			readAny(item)
		}
	default:
		if !n.Empty() {
			n.Text("a value")
		}
	}
}

func checkFormat(t *testing.T, doc *strict.Doc, opt strict.Options) []byte {
	t.Helper()
	out, err := doc.Format()
	if err != nil {
		var fe *strict.FormatError
		var es *strict.Errors
		if errors.As(err, &fe) && errors.As(err, &es) && es.List[0].Expected == "at most 65536" {
			return nil
		}
		t.Fatalf("a sound document was not formatted: %v", err)
	}
	back, err := strict.Parse("f.yaml", out, opt)
	if err != nil {
		t.Fatalf("the layout does not read: %v\n%s", err, out)
	}
	again, err := back.Format()
	if err != nil {
		t.Fatalf("the layout is not formatted: %v\n%s", err, out)
	}
	if !bytes.Equal(out, again) {
		t.Fatalf("not a fixed point:\n%s\n--- became ---\n%s", out, again)
	}
	return out
}
