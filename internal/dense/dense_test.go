package dense

import "testing"

func TestRails(t *testing.T) {
	rows := []struct {
		rails    Rails
		conflict bool
		why      string
	}{
		{0, false, "nothing joined"},
		{LineA, false, "one line"},
		{Neutral | Ground, false, "neutral and ground are one potential"},
		{LineA | Neutral, true, "a line on the neutral"},
		{LineA | Ground, true, "a line on the ground"},
		{LineA | LineB, true, "two lines"},
		{LineC | Neutral | Ground, true, "a line on both"},
	}
	for _, r := range rows {
		if got := r.rails.Conflict(); got != r.conflict {
			t.Errorf("%05b: Conflict() = %v, want %v: %s", r.rails, got, r.conflict, r.why)
		}
	}
}
