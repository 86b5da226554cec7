package conductor

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"pgregory.net/rapid"
)

// anyCircuit draws a circuit that the US tables can answer.
func anyCircuit(t *rapid.T) Circuit {
	// Sampled, because a range is drawn mostly from its low end.
	amperes := rapid.SampledFrom([]quantity.Current{0, 1, 5, 8, 12, 16, 20, 24, 30, 45, 60, 90, 150, 230})
	c := Circuit{
		Load: Load{
			Continuous: amperes.Draw(t, "continuous A")*quantity.Ampere + quantity.Current(rapid.Int64Range(0, 1000).Draw(t, "continuous mA"))*quantity.Milliampere,
			Other:      amperes.Draw(t, "other A")*quantity.Ampere + quantity.Current(rapid.Int64Range(1, 1000).Draw(t, "other mA"))*quantity.Milliampere,
		},
		Volts:        rapid.SampledFrom([]quantity.Voltage{120 * quantity.Volt, 240 * quantity.Volt, 277 * quantity.Volt}).Draw(t, "volts"),
		Material:     rapid.SampledFrom([]Material{Copper, Aluminum}).Draw(t, "material"),
		Construction: rapid.SampledFrom([]Construction{NonmetallicSheath, Loose}).Draw(t, "construction"),
		Insulation:   rapid.SampledFrom([]quantity.Temperature{60, 75, 90}).Draw(t, "insulation") * quantity.Celsius,
		Terminations: rapid.SampledFrom([]quantity.Temperature{0, 60, 75, 90}).Draw(t, "terminations") * quantity.Celsius,
		Ambient:      rapid.SampledFrom([]quantity.Temperature{0, 10, 26, 30, 31, 38, 45, 50, 55, 56, 60, 71}).Draw(t, "ambient") * quantity.Celsius,
		Receptacles:  rapid.Bool().Draw(t, "receptacles"),
		LeastRating:  rapid.Bool().Draw(t, "least rating"),
		LawOnly:      rapid.Bool().Draw(t, "law only"),
	}
	lengths := rapid.SampledFrom([]quantity.Length{0, 10 * quantity.Foot, 40 * quantity.Foot, 100 * quantity.Foot, 300 * quantity.Foot, 900 * quantity.Foot, 9000 * quantity.Foot})
	switch rapid.IntRange(0, 2).Draw(t, "length") {
	case 1:
		c.Run = lengths.Draw(t, "run") + quantity.Length(rapid.IntRange(1, 1000).Draw(t, "run mm"))*quantity.Millimeter
	case 2:
		c.Path = lengths.Draw(t, "path") + quantity.Length(rapid.IntRange(1, 1000).Draw(t, "path mm"))*quantity.Millimeter
	}
	c.Bundle.Carrying = rapid.IntRange(0, 45).Draw(t, "carrying")
	if c.Bundle.Carrying > 0 {
		c.Bundle.Length = quantity.Length(rapid.IntRange(0, 48).Draw(t, "bundle in")) * quantity.Inch
		c.Bundle.Sealed = rapid.IntRange(0, min(c.Bundle.Carrying, 5)).Draw(t, "sealed")
	}
	if rapid.Bool().Draw(t, "at least") {
		c.AtLeast = rapid.SampledFrom(gauges()).Draw(t, "at least size")
	}
	return c
}

// The sizer agrees with the slow oracle. That the oracle is asked about circuits of
// every status is counted over draws from fixed seeds, because what rapid.Check draws
// is another thing every time.
func TestLawOracleAgrees(t *testing.T) {
	reached := map[Status]int{}
	for _, edition := range []string{"2017", "2020", "2023"} {
		table := usTable(t, edition)
		s, o := sizerOf(t, table), oracle{table}
		rapid.Check(t, func(t *rapid.T) { compareSizing(t, s, o, anyCircuit(t)) })
		circuits := rapid.Custom(anyCircuit)
		for i := range 300 {
			reached[compareSizing(t, s, o, circuits.Example(i))]++
		}
	}
	for _, status := range []Status{Fits, NoRating, TooHot, NoSize, DropNotMet} {
		if reached[status] == 0 {
			t.Errorf("no circuit drawn had the status %q: %v", status, reached)
		}
	}
}

// compareSizing compares one circuit and returns its status.
func compareSizing(t rapid.TB, s *Sizer, o oracle, c Circuit) Status {
	t.Helper()
	z, err := s.Size(c)
	if err != nil {
		t.Fatal(err)
	}
	least, size, breaker := o.size(c)
	if _, rating := o.ampacity(c.Material, AWG(4), c.Insulation, ""); breaker != nil {
		if _, ok := o.factors(c, rating); !ok {
			if z.Status != TooHot {
				t.Fatalf("oracle finds it too hot, sizer says %v", z.Status)
			}
			return z.Status
		}
	}
	if (breaker == nil) != (z.Breaker == 0) || breaker != nil && breaker.Cmp(rat(z.Breaker)) != 0 {
		t.Fatalf("breaker %s, oracle %v", z.Breaker, breaker)
	}
	if z.Size != size || z.Least != least {
		t.Fatalf("sizer %s (least %s), oracle %s (least %s)\n%v", z.Size, z.Least, size, least, z.Steps)
	}
	if (z.Status == Fits) != size.Valid() {
		t.Fatalf("status %s with size %s", z.Status, z.Size)
	}
	if z.Status == Fits && (c.Run > 0 || c.Path > 0) {
		off := new(big.Rat).Sub(o.drop(c, size), rat(z.Drop))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("drop %s is off by %v microvolts", z.Drop, off)
		}
	}
	return z.Status
}

// A larger size never carries less, never may have a smaller breaker, and never
// drops more.
func TestLawLargerIsNeverWorse(t *testing.T) {
	for _, table := range []Table{usTable(t, "2023"), ukTable(t)} {
		s := sizerOf(t, table)
		rapid.Check(t, func(t *rapid.T) {
			c := anyCircuit(t)
			methods := []DropMethod{ByResistance, ByImpedance, ByConstant}
			if table.Region == "uk-2018" {
				methods = []DropMethod{ByRate}
				c.Material, c.Construction, c.Insulation = Copper, FlatTwinAndEarth, 70*quantity.Celsius
				c.Terminations, c.Ambient, c.Bundle = 0, 0, Bundle{}
				c.Method = rapid.SampledFrom(table.Methods).Draw(t, "method").Name
			}
			c.DropMethod = rapid.SampledFrom(methods).Draw(t, "drop method")
			// Below a power factor of a half reactance, which the table does not give
			// in the order of the sizes, begins to count.
			c.PowerFactor = quantity.Ratio(rapid.IntRange(50, 100).Draw(t, "power factor")) * quantity.Percent
			c.Raceway = rapid.SampledFrom([]Raceway{PVC, AluminumRaceway, SteelRaceway}).Draw(t, "raceway")
			if c.Run+c.Path == 0 {
				c.Run = quantity.Foot
			}
			var before Capability
			var dropBefore quantity.Voltage
			for _, size := range s.Sizes() {
				now, err := s.Capability(c, size)
				if err != nil || now.Status != Fits {
					continue
				}
				if now.Ampacity < before.Ampacity || now.MaxBreaker < before.MaxBreaker {
					t.Fatalf("%s carries %s behind %s, a smaller size %s behind %s", size, now.Ampacity, now.MaxBreaker, before.Ampacity, before.MaxBreaker)
				}
				before = now
				c.Breaker = s.t.Overcurrent[len(s.t.Overcurrent)-1].Rating
				v, err := s.Judge(c, size)
				c.Breaker = 0
				if err != nil {
					continue // no figure for drop
				}
				if dropBefore > 0 && v.Drop > dropBefore {
					t.Fatalf("%s drops %s, a smaller size %s", size, v.Drop, dropBefore)
				}
				dropBefore = v.Drop
			}
			if before.Ampacity == 0 && c.Ambient < 55*quantity.Celsius {
				t.Fatal("no size was tried")
			}
		})
	}
}

// What the sizer proposes, the judge finds lawful, and the next smaller size
// either breaks a rule or advice, or was not wanted.
func TestLawJudgeAgrees(t *testing.T) {
	table := usTable(t, "2023")
	s := sizerOf(t, table)
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t)
		z, err := s.Size(c)
		if err != nil || z.Status != Fits {
			return
		}
		found := c
		found.Breaker, found.Grounding = z.Breaker, z.Grounding
		v, err := s.Judge(found, z.Size)
		if err != nil || v.Status != Fits || v.Ampacity != z.Ampacity || v.Drop != z.Drop || v.MaxBreaker != z.MaxBreaker || v.Grounding != z.Grounding {
			t.Fatalf("sized %+v\njudged %+v, %v", z, v, err)
		}
		if len(v.Advice) > 0 && !c.LawOnly {
			t.Fatalf("the proposal leaves advice unheeded: %v", v.Advice)
		}
		sizes := s.Sizes()
		at := slices.Index(sizes, z.Size)
		if len(z.Binding) == 0 {
			return
		}
		v, err = s.Judge(found, sizes[at-1])
		if err != nil || v.Status == Fits && len(v.Advice) == 0 && !slices.Contains(z.Binding, RuleAsked) {
			t.Fatalf("%v binds, but %s is judged %+v, %v", z.Binding, sizes[at-1], v, err)
		}
	})
}

// More load, more length or more heat never makes a conductor smaller.
func TestLawHarderIsNeverSmaller(t *testing.T) {
	table := usTable(t, "2023")
	s := sizerOf(t, table)
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t)
		// A fixed device: a larger one for a larger load moves the terminations to
		// another column, which is the code's own step down.
		c.Breaker = 100 * quantity.Ampere
		harder := c
		harder.Load.Continuous += quantity.Current(rapid.Int64Range(0, 5_000_000).Draw(t, "more load"))
		if harder.Run > 0 {
			harder.Run += quantity.Length(rapid.Int64Range(0, int64(10*quantity.Meter)).Draw(t, "more run"))
		}
		if harder.Ambient > 0 {
			harder.Ambient += quantity.Temperature(rapid.Int64Range(0, 10*int64(quantity.Celsius)).Draw(t, "more heat"))
		}
		if harder.Bundle.Carrying > 0 {
			harder.Bundle.Carrying += rapid.IntRange(0, 10).Draw(t, "more conductors")
		}
		a, errA := s.Size(c)
		b, errB := s.Size(harder)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if b.Status == Fits && (a.Status != Fits || b.Size.Compare(a.Size) < 0) {
			t.Fatalf("%s: %s; harder: %s", a.Status, a.Size, b.Size)
		}
	})
}

// The longest run is within the limit, and a nanometer more is not.
func TestLawLongestRunIsTheLast(t *testing.T) {
	us := sizerOf(t, usTable(t, "2023"))
	uk := sizerOf(t, ukTable(t))
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t)
		c.Path, c.LawOnly = 0, false
		s, size := us, rapid.SampledFrom([]Size{AWG(14), AWG(12), AWG(10), AWG(2)}).Draw(t, "size")
		if rapid.Bool().Draw(t, "metric") {
			c.Material, c.Construction, c.Insulation, c.Ambient, c.Bundle = Copper, FlatTwinAndEarth, 70*quantity.Celsius, 0, Bundle{}
			s, size, c.Method = uk, Metric(1_500_000), "C"
			c.DropUse = rapid.SampledFrom([]string{"", "other", "private lighting"}).Draw(t, "use")
		}
		reach, err := s.LongestRun(c, size)
		if err != nil {
			t.Fatal(err)
		}
		exceeds := func(run quantity.Length) bool {
			c.Run = run
			p, err := s.planDrop(&c)
			if err != nil {
				t.Fatal(err)
			}
			f, err := s.figure(p, s.index(size))
			if err != nil {
				t.Fatal(err)
			}
			return p.exceeds(f)
		}
		if exceeds(reach.Run) || !exceeds(reach.Run+1) && reach.Run < mostLength {
			t.Fatalf("%d nm: exceeds %v, one more %v", reach.Run, exceeds(reach.Run), exceeds(reach.Run+1))
		}
	})
}

// The largest load is lawful, and a microampere more is not.
func TestLawLargestLoadIsTheLast(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t)
		c.LawOnly, c.AtLeast = false, Size{}
		size := rapid.SampledFrom([]Size{AWG(14), AWG(12), AWG(10), AWG(6), AWG(2)}).Draw(t, "size")
		if c.Material == Aluminum && size == AWG(14) {
			return // no such row
		}
		continuous := rapid.Bool().Draw(t, "all continuous")
		most, err := s.LargestLoad(c, size, continuous)
		if err != nil {
			t.Fatal(err)
		}
		if most.Status != Fits {
			if len(most.Binding) == 0 {
				t.Fatalf("%s without a reason", most.Status)
			}
			return
		}
		lawful := func(load quantity.Current) bool {
			c.Load, c.Breaker = Load{Other: load}, most.Breaker
			if continuous {
				c.Load = Load{Continuous: load}
			}
			v, err := s.Judge(c, size)
			if err != nil {
				t.Fatal(err)
			}
			return v.Status == Fits && len(v.Advice) == 0
		}
		if most.Load > 0 && !lawful(most.Load) || lawful(most.Load+1) {
			t.Fatalf("%s behind %s (%v): lawful %v, a microampere more %v", most.Load, most.Breaker, most.Binding, lawful(most.Load), lawful(most.Load+1))
		}
	})
}

// No order of rows reaches an answer.
func TestLawOrderOfRowsDoesNotMatter(t *testing.T) {
	table := usTable(t, "2020")
	shuffled := usTable(t, "2020")
	r := rand.New(rand.NewPCG(3, 4))
	shuffle(r, shuffled.Sizes)
	shuffle(r, shuffled.Ampacities)
	shuffle(r, shuffled.Ambient)
	shuffle(r, shuffled.Bundling)
	shuffle(r, shuffled.Overcurrent)
	shuffle(r, shuffled.SmallConductors)
	shuffle(r, shuffled.Grounding)
	shuffle(r, shuffled.Resistances)
	shuffle(r, shuffled.Impedances)
	shuffle(r, shuffled.DropLimits)
	shuffle(r, shuffled.Constants)
	a, b := sizerOf(t, table), sizerOf(t, shuffled)
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t)
		c.Location = "bedroom"
		x, errX := a.Size(c)
		y, errY := b.Size(c)
		if fmt.Sprint(errX) != fmt.Sprint(errY) || fmt.Sprintf("%+v", x) != fmt.Sprintf("%+v", y) {
			t.Fatalf("%+v, %v\n%+v, %v", x, errX, y, errY)
		}
	})
}

func shuffle[T any](r *rand.Rand, rows []T) {
	r.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
}

// Changing the table after NewSizer changes no answer.
func TestSizerKeepsItsOwnTable(t *testing.T) {
	table := usTable(t, "2023")
	s := sizerOf(t, table)
	c := Circuit{Load: Load{Other: 14 * quantity.Ampere}, Volts: 120 * quantity.Volt, Run: 30 * quantity.Foot,
		Material: Copper, Construction: NonmetallicSheath, Insulation: 90 * quantity.Celsius}
	before := fmt.Sprintf("%+v", must(s.Size(c)))
	for _, wreck := range []func(){
		func() { table.Ampacities[0].Current = 1 }, func() { table.Overcurrent[1].Rating = 1 },
		func() { clear(table.Sizes) }, func() { clear(table.Resistances) }, func() { clear(table.Grounding) },
		func() { clear(table.SmallConductors) }, func() { clear(table.DropLimits) },
	} {
		wreck()
	}
	if after := fmt.Sprintf("%+v", must(s.Size(c))); after != before {
		t.Errorf("before %s\nafter  %s", before, after)
	}
}
