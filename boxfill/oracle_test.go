package boxfill_test

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// TestLawAgreesWithSlowCount compares Fill with a count written a second time,
// in rational cubic inches, straight from the sections of the code.
func TestLawAgreesWithSlowCount(t *testing.T) {
	for _, edition := range []int{2017, 2020, 2023} {
		table := region(t, map[int]string{2017: "us-2017", 2020: "us-2020", 2023: "us-2023"}[edition])
		rapid.Check(t, func(t *rapid.T) {
			c := drawContents(t, table)
			got := rapidFill(t, table, c)
			want := slowCount(c, edition)
			inches := new(big.Rat).SetFrac64(int64(got.Required), int64(in3))
			if inches.Cmp(want) != 0 {
				t.Fatalf("required %v in3, want %v\n%s", inches.FloatString(6), want.FloatString(6), got.Explain())
			}
		})
	}
}

// slowCount is the volume in cubic inches that NEC 314.16(B) asks for.
func slowCount(c boxfill.Contents, edition int) *big.Rat {
	perConductor := func(s conductor.Size) *big.Rat {
		text := map[conductor.Size]string{awg(18): "1.5", awg(16): "1.75", awg(14): "2", awg(12): "2.25", awg(10): "2.5", awg(8): "3", awg(6): "5"}[s]
		if text == "" {
			text = "0"
		}
		v, _ := new(big.Rat).SetString(text)
		return v
	}
	total := new(big.Rat)
	add := func(quarters int, s conductor.Size) {
		total.Add(total, new(big.Rat).Mul(big.NewRat(int64(quarters), 4), perConductor(s)))
	}
	largest := func(a, b conductor.Size) conductor.Size {
		if a.Area() > b.Area() {
			return a
		}
		return b
	}
	var inBox conductor.Size
	small := 0
	for _, e := range c.Conductors {
		if e.Count > 0 {
			inBox = largest(inBox, e.Size)
		}
		if e.Role == boxfill.FixtureWire && e.Size.Area() < awg(14).Area() {
			small += e.Count
		}
	}
	for _, e := range c.Conductors {
		switch {
		case e.Role == boxfill.Pigtail:
		case e.Role == boxfill.PassingThrough && e.Loop >= 12*quantity.Inch:
			add(8*e.Count, e.Size)
		case e.Role == boxfill.FixtureWire && c.Canopy && small <= 4 && e.Size.Area() < awg(14).Area():
		default:
			add(4*e.Count, e.Size)
		}
	}
	var grounds, isolated int
	var ground, isolatedSize conductor.Size
	for _, e := range c.Grounds {
		if e.Count == 0 {
			continue
		}
		inBox = largest(inBox, e.Size)
		switch {
		case e.Kind == boxfill.CanopyGround && c.Canopy:
		case e.Kind == boxfill.IsolatedGround && edition < 2020:
			isolated += e.Count
			isolatedSize = largest(isolatedSize, e.Size)
		default:
			grounds += e.Count
			ground = largest(ground, e.Size)
		}
	}
	if grounds > 0 {
		add(4, ground)
	}
	if edition >= 2020 && grounds > 4 {
		add(grounds-4, ground)
	}
	if isolated > 0 {
		add(4, isolatedSize)
	}
	for _, d := range c.Devices {
		inBox = largest(inBox, d.Largest)
		add(8*max(d.Gangs, 1), d.Largest)
	}
	for _, b := range c.Blocks {
		inBox = largest(inBox, b.Largest)
		if edition >= 2023 {
			add(4, b.Largest)
		}
	}
	for _, e := range c.Connectors {
		if e.Count > 0 {
			inBox = largest(inBox, e.Largest)
		}
	}
	if c.Clamps.Internal > 0 {
		add(4, inBox)
	}
	for _, kind := range []string{"stud", "hickey"} {
		if slices.ContainsFunc(c.Fittings, func(f boxfill.Fittings) bool { return f.Kind == kind && f.Count > 0 }) {
			add(4, inBox)
		}
	}
	return total
}
