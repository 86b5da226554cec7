package check_test

import (
	"strings"
	"testing"
)

// TestWitnessNamesWhatMoves holds that the two states that show a switch without effect
// say how that switch stands, though it matters to nothing.
func TestWitnessNamesWhatMoves(t *testing.T) {
	x := readExample(t, codesDir+"/does-not-toggle/second-light-on-a-traveler.yaml")
	found := run(t, x.job, x.suite)
	if len(found) != 1 || len(found[0].Witness) != 2 {
		t.Fatalf("found %v", found)
	}
	for i, want := range []string{"landing up", "landing down"} {
		if says := found[0].Witness[i].Says; !strings.HasSuffix(says, want) || !strings.HasPrefix(says, "hall ") {
			t.Errorf("state %d is %q, which does not say how the switch stands that moves", i, says)
		}
	}
}
