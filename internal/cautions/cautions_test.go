package cautions

import (
	"strings"
	"testing"
)

// TestSaysIt holds the words to what every packet and program has to say.
func TestSaysIt(t *testing.T) {
	var b strings.Builder
	if err := Write(&b, 72); err != nil {
		t.Fatal(err)
	}
	text := strings.ToLower(strings.Join(strings.Fields(b.String()), " "))
	rows := []struct{ phrase, why string }{
		{"de-energize", "work is done dead"},
		{"lock out and tag", "nobody switches it on meanwhile"},
		{"prove the tester on a known live source", "a dead tester reads dead everywhere"},
		{"then prove the tester again", "it may have died in between"},
		{"code as adopted where the job is", "local adoption rules"},
		{"inspector", "the last word is a person's"},
		{"licensed electrician", "who may do it"},
		{"nothing here was measured", "a drawing is not a building"},
	}
	for _, r := range rows {
		if !strings.Contains(text, r.phrase) {
			t.Errorf("the cautions do not say %q: %s", r.phrase, r.why)
		}
	}
	for line := range strings.Lines(b.String()) {
		if len(strings.TrimRight(line, "\n")) > 72 {
			t.Errorf("line over 72 columns: %q", line)
		}
	}
}

// TestBrief holds the short form to what even a picture alone must say.
func TestBrief(t *testing.T) {
	text := strings.ToLower(Brief())
	for _, phrase := range []string{"de-energize", "lock out and tag", "prove it dead", "proven before and after", "code as locally adopted", "inspector", "licensed", "not as measured"} {
		if !strings.Contains(text, phrase) {
			t.Errorf("the brief cautions do not say %q", phrase)
		}
	}
}
