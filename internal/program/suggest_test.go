package program_test

import (
	"testing"

	"example.com/switchleg/internal/program"
)

func TestSuggest(t *testing.T) {
	known := []string{"lock", "energize", "next"}
	for _, r := range []struct{ word, want, why string }{
		{"enrgize", "energize", "a letter missing"},
		{"LOCK", "lock", "capitals are no mistake worth another answer"},
		{"nxet", "next", "neighbours exchanged"},
		{"breaker", "", "nothing near"},
	} {
		if got := program.Suggest(r.word, known); got != r.want {
			t.Errorf("Suggest(%q) = %q, want %q: %s", r.word, got, r.want, r.why)
		}
	}
}
