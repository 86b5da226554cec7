package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
)

// TestPoints holds that a meter can be put on every point and on nothing else, and that
// their order does not hang on that of the wiring.
func TestPoints(t *testing.T) {
	spec := deadEnd(t)
	for i := range spec.Boxes {
		spec.Boxes[i].Metal = spec.Boxes[i].Name == "upper"
	}
	points := newCase(t, spec, nil).Points()
	for _, p := range []switchnet.Terminal{
		{Place: "lower", Device: "A1", Name: "white"}, {Place: "lower", Device: "A1", Name: "bare"},
		{Place: "upper", Device: "box", Name: "ground"}, identify.Outside(),
	} {
		if !slices.Contains(points, p) {
			t.Errorf("%s is no point, of %s", p, points)
		}
	}
	if p := (switchnet.Terminal{Place: "lower", Device: "box", Name: "ground"}); slices.Contains(points, p) {
		t.Errorf("%s is the screw of a box of plastic", p)
	}
	slices.Reverse(spec.Cables)
	slices.Reverse(spec.Boxes)
	c := newCase(t, spec, nil)
	if got := c.Points(); !slices.Equal(got, points) {
		t.Errorf("with everything declared the other way round: %s, and not %s", got, points)
	}
	s := c.Session()
	if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
		t.Fatal(err)
	}
	for _, p := range points[:len(points)-1] {
		r := identify.Reading{Red: p, Black: identify.Outside(), Meter: steady.HighImpedance, Shows: 50 * quantity.Volt}
		if err := s.Observe(r); err != nil {
			t.Errorf("a reading on %s: %v", p, err)
		}
	}
}
