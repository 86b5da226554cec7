package strict

import (
	"math"
	"strings"
	"testing"
)

// A problem may come from elsewhere, such as JSON: its caret is never before the
// excerpt, nor beyond its end.
func TestCaretStaysAtTheExcerpt(t *testing.T) {
	for _, caret := range []int{math.MinInt, -1, 0, 3, 4, math.MaxInt} {
		text := Problem{File: "shed.yaml", Pos: Pos{1, 1}, Found: "slip", Excerpt: "slip", Caret: caret}.Error()
		lines := strings.Split(text, "\n")
		if last := lines[len(lines)-1]; len(lines) != 3 || len(last) > len("       | slip^") {
			t.Errorf("caret %d:\n%s", caret, text)
		}
	}
}

// A limit below zero is none that a person can have meant, and reads as the default.
func TestLimitsBelowZero(t *testing.T) {
	below := Options{MaxBytes: -1, MaxDepth: -1, MaxEntries: -1, MaxProblems: math.MinInt}
	if _, err := Parse("shed.yaml", []byte("title: Boat shed\n"), below); err != nil {
		t.Error(err)
	}
	_, want := Parse("shed.yaml", []byte("a: [\n"), Options{})
	_, got := Parse("shed.yaml", []byte("a: [\n"), below)
	if want == nil || got == nil || got.Error() != want.Error() {
		t.Errorf("with limits below zero %v, with the defaults %v", got, want)
	}
}
