package main

import (
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
	r := &phrase{words: words}
	if o, ok := r.found().(identify.InBox); !ok || o.Box != "loft" || len(words)-r.i != 2 {
		t.Errorf("%v with %d words more", o, len(words)-r.i)
	}
}
