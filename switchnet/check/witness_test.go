package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
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

// TestTabComesOut holds the cure of a half of a receptacle that its switch should put out
// and does not: the tab between the halves.
func TestTabComesOut(t *testing.T) {
	x := readExample(t, codesDir+"/always-lit/tab-left-in.yaml")
	found, err := check.Run(t.Context(), x.job, x.suite, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(found) != 1 || len(found[0].Fixes) == 0 || found[0].Fixes[0].Does != "replace outlet at lounge with a split receptacle" {
		t.Errorf("found %v, and no split receptacle is the first fix", found)
	}
}
