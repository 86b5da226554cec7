package identify_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
)

// TestBreakersOfReading: before every reading it is said which breakers are on and which
// are off, for the reading before may have left them otherwise.
func TestBreakersOfReading(t *testing.T) {
	point := switchnet.Terminal{Place: "lower", Device: "A1", Name: "black"}
	for _, row := range []struct {
		off  []string
		says []string
	}{
		{nil, []string{"every circuit of these boxes is on", "take off its lock and switch it on"}},
		{[]string{"north"}, []string{"north is off and every other circuit of these boxes on", "off, locked and tagged"}},
	} {
		x := identify.Test{Kind: identify.LiveReading, Box: "lower", Between: [2]switchnet.Terminal{point, identify.Outside()}, Off: row.off}
		steps := x.Steps()
		first := steps[0]
		for _, want := range row.says {
			if !strings.Contains(first, want) {
				t.Errorf("off %q: %q does not say %q", row.off, first, want)
			}
		}
		if !strings.Contains(steps[1], "live work, for a qualified person only") {
			t.Errorf("off %q: %q comes before the reading", row.off, steps[1])
		}
	}
}
