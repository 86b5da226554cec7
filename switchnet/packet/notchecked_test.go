package packet_test

import (
	"bytes"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// A sheet that is printed by itself says so if nobody knows whether it is right: one that
// says nothing is taken for one that was checked.
func TestSheetNotChecked(t *testing.T) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	in := packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region, Proving: true}
	for _, problem := range []string{"", "too many states to look at"} {
		d, err := packet.Build(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		d.Proving.FindingsProblem = problem
		page, err := packet.NewPage(t.Context(), d, in, &packet.PageOptions{Boxes: []string{"loft"}})
		if err != nil {
			t.Fatal(err)
		}
		var html, text bytes.Buffer
		if _, err := page.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		if err := packet.WriteText(&text, d); err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			what, said string
			times      int
		}{{"page", html.String(), 1}, {"text", text.String(), len(d.Boxes)}} {
			want := 0
			if problem != "" {
				want = x.times
			}
			if got := strings.Count(x.said, "NOT CHECKED"); got != want {
				t.Errorf("%s, problem %q: told %d times, want %d", x.what, problem, got, want)
			}
			if want > 0 && !strings.Contains(x.said, problem) {
				t.Errorf("%s: it does not say %q", x.what, problem)
			}
		}
	}
}
