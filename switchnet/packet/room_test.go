package packet

import (
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
)

// What is left in a box marked in cubic inches, by rules that count in milliliters, is never
// said to be more than it is.
func TestRoomOf(t *testing.T) {
	for _, tt := range []struct {
		reason              string
		required, available quantity.Volume
		want                [2]string
	}{
		{"one unit", 18 * quantity.CubicInch, 22*quantity.CubicInch + quantity.CubicInch/2, [2]string{"22.5 in3", "4.5 in3"}},
		{"one unit, metric", 369 * quantity.Milliliter, 450 * quantity.Milliliter, [2]string{"450 mL", "81 mL"}},
		{"34 in3 are 557.160176 mL", 369 * quantity.Milliliter, 34 * quantity.CubicInch, [2]string{"34 in3 (557.1 mL)", "188.1 mL"}},
		{"too little is rounded to more lacking", 600 * quantity.Milliliter, 34 * quantity.CubicInch, [2]string{"34 in3 (557.1 mL)", "-42.9 mL"}},
	} {
		r := &boxfill.Result{Required: tt.required, Available: tt.available, Spare: tt.available - tt.required}
		if a, s := roomOf(r); a != tt.want[0] || s != tt.want[1] {
			t.Errorf("%s: %q and %q, want %q", tt.reason, a, s, tt.want)
		}
	}
}
