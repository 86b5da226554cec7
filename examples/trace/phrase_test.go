package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace/lines"
)

// What ends a name: the word sure, but not where it is one in quotes.
func TestNamesEnd(t *testing.T) {
	for _, row := range []struct {
		line, name string
		left       int // words after it
	}{
		{`loft`, "loft", 0},
		{`stair foot`, "stair foot", 0},
		{`stair foot sure 70%`, "stair foot", 2},
		{`"sure"`, "sure", 0},
		{`sure`, "sure", 0},
		{`"stair" "sure"`, "stair sure", 0},
		{`stair "sure" sure 70%`, "stair sure", 2},
	} {
		words, err := lines.Split(row.line)
		if err != nil {
			t.Fatal(err)
		}
		r := &phrase{words: words}
		if got := r.name("a box"); got != row.name || len(words)-r.i != row.left || r.err != nil {
			t.Errorf("%s: %q and %d words more, %v", row.line, got, len(words)-r.i, r.err)
		}
	}
	words, err := lines.Split(`loft C1.black+"sure".black C1.white=capped sure 70%`)
	if err != nil {
		t.Fatal(err)
	}
	r := &phrase{d: loftOpen(t), words: words}
	if o, ok := r.found(false).(identify.InBox); !ok || r.err != nil || o.Box != "loft" || len(o.Spliced) != 1 || len(o.Capped) != 1 || len(words)-r.i != 2 {
		t.Errorf("%v with %d words more, %v", o, len(words)-r.i, r.err)
	}
}

// loftOpen is the talk about an open box with a cable of a name that is a word.
func loftOpen(t *testing.T) *sorter {
	t.Helper()
	file := filepath.Join(t.TempDir(), "loft.yaml")
	if err := os.WriteFile(file, []byte(`format: 1
title: Loft
rules: us-2023
feeds:
  - {name: loft, box: panel, breaker: 15 A}
boxes:
  - {name: panel, kind: panel}
  - {name: loft, kind: device}
  - {name: ridge, kind: ceiling}
lights:
  - {name: loft light, box: ridge}
cables:
  - {name: C1, type: 14/2, from: panel, to: loft}
  - {name: sure, type: 14/2, from: loft, to: unknown}
devices:
  - {name: loft, box: loft, kind: single-pole}
`), 0o644); err != nil {
		t.Fatal(err)
	}
	c := &call{file: file, sort: true}
	j, w, err := c.wired(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	d := &sorter{job: j, out: io.Discard}
	if err := d.weigh(t.Context(), c, w); err != nil {
		t.Fatal(err)
	}
	return d
}
