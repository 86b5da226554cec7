package switchnet

import "testing"

// A net at the limit would take some hundred gigabytes, so the check is tested
// with the counts alone.
func TestLimits(t *testing.T) {
	tests := []struct {
		why  string
		n    int
		want string
	}{
		{"the last size whose parts can still be numbered", MaxParts, ""},
		{"one more", MaxParts + 1, "net has 536870912 conductors; the limit is 536870911"},
	}
	for _, test := range tests {
		var a assembly
		a.limit("conductors", test.n)
		got := ""
		for _, p := range a.problems.sorted() {
			if p.Code != TooLarge {
				t.Errorf("%s: code %v", test.why, p.Code)
			}
			got += p.Error()
		}
		if got != test.want {
			t.Errorf("%s: %q, want %q", test.why, got, test.want)
		}
	}
	// A number that is packed with a step's kind must survive.
	n := int32(MaxParts)
	if p := n<<2 | int32(ByLoad-1); p>>2 != n || StepKind(p&3+1) != ByLoad {
		t.Errorf("part %d by a load packs to %d", n, p)
	}
}
