package main

import (
	"strings"
	"testing"
)

// Lines that are too long go on under the first word, or further in.
func TestHang(t *testing.T) {
	text := strings.TrimSpace(strings.Repeat("spare ", 30))
	for _, r := range []struct {
		in   int
		lead string
	}{{2, "  "}, {6, "  "}, {14, "          "}} {
		var b strings.Builder
		hang(&b, r.lead, r.in, text)
		all := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
		if len(all) < 2 {
			t.Fatalf("%d: one line: %q", r.in, all)
		}
		words := 0
		for i, line := range all {
			lead := r.lead
			if i > 0 {
				lead = strings.Repeat(" ", r.in)
			}
			if !strings.HasPrefix(line, lead+"spare") || len(line) > wide {
				t.Errorf("%d: line %d is %q", r.in, i, line)
			}
			words += len(strings.Fields(line))
		}
		if words != 30 {
			t.Errorf("%d: %d words", r.in, words)
		}
	}
}
