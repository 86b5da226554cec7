package conductor

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
)

// lighting is a plain lighting circuit in cable.
func lighting(cable string) Circuit {
	return Circuit{Load: Load{Continuous: 9 * quantity.Ampere}, Volts: 120 * quantity.Volt}.OfCable(must(ParseCableType(cable)))
}

func TestSize(t *testing.T) {
	loose := func(load Load, ins quantity.Temperature) Circuit {
		return Circuit{Load: load, Volts: 240 * quantity.Volt, Material: Copper, Construction: Loose, Insulation: ins * quantity.Celsius}
	}
	type answer struct {
		status  Status
		size    Size
		breaker quantity.Current
		ground  Size
		binding []Rule
	}
	tests := []struct {
		name    string
		edition string
		c       Circuit
		change  func(*Circuit)
		want    answer
		why     string
	}{
		{"lights", "2023", lighting("14/2"), nil,
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), []Rule{}}, "9 A x 1.25 = 11.25 A: 15 A is proposed though 12 would do; nothing is smaller than 14 AWG"},
		{"ten amperes asked for", "2023", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 7 * quantity.Ampere; c.LeastRating = true },
			answer{Fits, AWG(14), 10 * quantity.Ampere, AWG(14), nil}, "the 2023 edition lists 10 A, and only on request is it proposed"},
		{"no ten amperes with receptacles", "2023", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 7 * quantity.Ampere; c.LeastRating, c.Receptacles = true, true },
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), nil}, "10 A circuits have no receptacle outlets"},
		{"given ten amperes with receptacles", "2023", lighting("14/2"), func(c *Circuit) {
			c.Load.Continuous = 7 * quantity.Ampere
			c.Breaker, c.Receptacles = 10*quantity.Ampere, true
		},
			answer{RatingTooSmall, Size{}, 10 * quantity.Ampere, Size{}, []Rule{RuleMinimumRating}}, "nor are they judged lawful"},
		{"no ten amperes before 2023", "2020", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 7 * quantity.Ampere; c.LeastRating = true },
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), nil}, "10 A was a fuse size only"},
		{"continuous twelve", "2023", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 12 * quantity.Ampere },
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), nil}, "12 A x 1.25 is 15 A to the microampere: exactly full fits"},
		{"a microampere beyond", "2023", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 12*quantity.Ampere + 1 },
			answer{Fits, AWG(12), 20 * quantity.Ampere, AWG(12), []Rule{RuleAmpacity, RuleAtAmpacity, RuleSmallConductor}}, "the 14 AWG is not enough three times over"},
		{"drop advice enlarges", "2023", lighting("14/2"), func(c *Circuit) { c.Run = 80 * quantity.Foot },
			answer{Fits, AWG(12), 15 * quantity.Ampere, AWG(12), []Rule{RuleVoltageDrop}}, "3.77 % in 14 AWG, 2.38 % in 12; the ground grows in proportion"},
		{"law only", "2023", lighting("14/2"), func(c *Circuit) { c.Run = 80 * quantity.Foot; c.LawOnly = true },
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), nil}, "the drop limit is advice in this region"},
		{"nonmetallic cable held to 60 C", "2023", lighting("12/2"), func(c *Circuit) {
			c.Load = Load{Other: 38 * quantity.Ampere}
			c.Terminations = 75 * quantity.Celsius
		}, answer{Fits, AWG(8), 40 * quantity.Ampere, AWG(10), nil}, "8 AWG carries 50 A at 75 C, but cable is held to its 40 A at 60 C; 10 AWG to 30 A"},
		{"loose at 75 C", "2023", loose(Load{Other: 50 * quantity.Ampere}, 90), func(c *Circuit) { c.Terminations = 75 * quantity.Celsius },
			answer{Fits, AWG(8), 50 * quantity.Ampere, AWG(10), nil}, "the same in a raceway"},
		{"over a hundred amperes", "2023", loose(Load{Other: 110 * quantity.Ampere}, 90), nil,
			answer{Fits, AWG(2), 110 * quantity.Ampere, AWG(6), nil}, "above 100 A the 75 C column serves: 115 A"},
		{"up to a hundred", "2023", loose(Load{Other: 100 * quantity.Ampere}, 90), nil,
			answer{Fits, AWG(1), 100 * quantity.Ampere, AWG(8), nil}, "at 100 A the 60 C column: 2 AWG carries 95 A, too little"},
		{"next size up", "2023", loose(Load{Other: 52 * quantity.Ampere}, 60), nil,
			answer{Fits, AWG(6), 60 * quantity.Ampere, AWG(10), nil}, "55 A is no standard rating; 60 A is next"},
		{"no next size up for receptacles", "2023", loose(Load{Other: 52 * quantity.Ampere}, 60), func(c *Circuit) { c.Receptacles = true },
			answer{Fits, AWG(4), 60 * quantity.Ampere, AWG(10), []Rule{RuleAtAmpacity}}, "several receptacles: 55 A allows 50"},
		{"hot attic", "2023", loose(Load{Other: 20 * quantity.Ampere}, 90), func(c *Circuit) { c.Ambient = quantity.Fahrenheit(130); c.Bundle.Carrying = 9 },
			answer{Fits, AWG(10), 20 * quantity.Ampere, AWG(12), []Rule{RuleCorrectedAmpacity}}, "12 AWG: 30 x 0.76 x 0.7 = 15.96 A, though a 20 A device is next"},
		{"heat forces growth, ground before 2020", "2017", loose(Load{Other: 20 * quantity.Ampere}, 90), func(c *Circuit) { c.Ambient = quantity.Fahrenheit(130); c.Bundle.Carrying = 9 },
			answer{Fits, AWG(10), 20 * quantity.Ampere, AWG(10), nil}, "the 2017 edition counts the increase from before correction"},
		{"short bundle", "2023", loose(Load{Other: 20 * quantity.Ampere}, 90), func(c *Circuit) { c.Bundle = Bundle{Carrying: 9, Length: 24 * quantity.Inch} },
			answer{Fits, AWG(12), 20 * quantity.Ampere, AWG(12), nil}, "24 in is exempt, to the inch"},
		{"bundle a nanometer longer", "2023", loose(Load{Other: 16 * quantity.Ampere}, 60), func(c *Circuit) { c.Bundle = Bundle{Carrying: 9, Length: 24*quantity.Inch + 1} },
			answer{Fits, AWG(10), 20 * quantity.Ampere, AWG(12), nil}, "20 x 0.7 = 14 A"},
		{"sealed together", "2023", lighting("12/2"), func(c *Circuit) {
			c.Load = Load{Other: 16 * quantity.Ampere}
			c.Bundle = Bundle{Carrying: 10, Length: 2 * quantity.Inch, Sealed: 5}
		}, answer{Fits, AWG(10), 20 * quantity.Ampere, AWG(12), nil}, "five cables through a foamed hole: 30 x 0.5 = 15 A in 12 AWG, whatever the length"},
		{"two sealed cables", "2023", lighting("12/2"), func(c *Circuit) {
			c.Load = Load{Other: 16 * quantity.Ampere}
			c.Bundle = Bundle{Carrying: 4, Length: 2 * quantity.Inch, Sealed: 2}
		}, answer{Fits, AWG(12), 20 * quantity.Ampere, AWG(12), nil}, "two are not more than two"},
		{"aluminum", "2023", loose(Load{Other: 15 * quantity.Ampere}, 75), func(c *Circuit) { c.Material = Aluminum },
			answer{Fits, AWG(12), 15 * quantity.Ampere, AWG(12), nil}, "aluminum starts at 12 AWG"},
		{"given breaker", "2023", lighting("14/2"), func(c *Circuit) { c.Breaker = 20 * quantity.Ampere },
			answer{Fits, AWG(12), 20 * quantity.Ampere, AWG(12), []Rule{RuleAtAmpacity, RuleSmallConductor}}, "a 20 A breaker wants 12 AWG"},
		{"given breaker too small", "2023", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = 13 * quantity.Ampere; c.Breaker = 15 * quantity.Ampere },
			answer{RatingTooSmall, Size{}, 15 * quantity.Ampere, Size{}, []Rule{RuleStandardRating}}, "16.25 A wanted"},
		{"given breaker below the least", "2020", lighting("14/2"), func(c *Circuit) { c.Load.Continuous = quantity.Ampere; c.Breaker = 10 * quantity.Ampere },
			answer{RatingTooSmall, Size{}, 10 * quantity.Ampere, Size{}, []Rule{RuleMinimumRating}}, "10 A is a fuse, and too small for a branch circuit"},
		{"too much for any rating", "2023", loose(Load{Other: 401 * quantity.Ampere}, 90), nil,
			answer{NoRating, Size{}, 0, Size{}, []Rule{RuleStandardRating}}, "the table ends at 400 A"},
		{"too much for any size", "2023", loose(Load{Other: 300 * quantity.Ampere}, 90), nil,
			answer{NoSize, Size{}, 300 * quantity.Ampere, Size{}, []Rule{RuleAmpacity, RuleCorrectedAmpacity, RuleNextSizeUp}}, "4/0 is the largest of the ampacities"},
		{"too hot", "2023", loose(Load{Other: 5 * quantity.Ampere}, 60), func(c *Circuit) { c.Ambient = 56 * quantity.Celsius },
			answer{TooHot, Size{}, 15 * quantity.Ampere, Size{}, []Rule{RuleAmbient}}, "60 C insulation ends at 55 C"},
		{"too far", "2023", loose(Load{Other: 100 * quantity.Ampere}, 90), func(c *Circuit) { c.Volts, c.Run = 120*quantity.Volt, 2000*quantity.Foot },
			answer{DropNotMet, Size{}, 100 * quantity.Ampere, Size{}, []Rule{RuleVoltageDrop}}, "even 4/0 drops more than 3 %"},
		{"at least", "2023", lighting("14/2"), func(c *Circuit) { c.AtLeast = AWG(12) },
			answer{Fits, AWG(12), 15 * quantity.Ampere, AWG(12), []Rule{RuleAsked}}, "a wish grows the ground too"},
		{"stock", "2023", lighting("14/2"), func(c *Circuit) { c.Stock = []Size{AWG(10), AWG(8)} },
			answer{Fits, AWG(10), 15 * quantity.Ampere, AWG(10), []Rule{RuleAsked}}, "what is on the truck"},
		{"stock too small", "2023", lighting("14/2"), func(c *Circuit) {
			c.Load.Continuous = 16 * quantity.Ampere
			c.Stock = []Size{AWG(14)}
		}, answer{NoSize, Size{}, 20 * quantity.Ampere, Size{}, []Rule{RuleAsked}}, "nothing on the truck serves"},
		{"out and back", "2023", lighting("14/2"), func(c *Circuit) { c.Path = 100 * quantity.Foot },
			answer{Fits, AWG(14), 15 * quantity.Ampere, AWG(14), nil}, "100 ft of conductor is 50 ft of run: 2.36 %"},
	}
	for _, tt := range tests {
		c := tt.c
		if tt.change != nil {
			tt.change(&c)
		}
		z, err := sizerOf(t, usTable(t, tt.edition)).Size(c)
		got := answer{z.Status, z.Size, z.Breaker, z.Grounding, z.Binding}
		if tt.want.binding == nil { // of no interest in this row
			got.binding = nil
		}
		if err != nil || fmt.Sprint(got) != fmt.Sprint(tt.want) {
			t.Errorf("%s: got %v, %v\nwant %v (%s)\n%v", tt.name, got, err, tt.want, tt.why, z.Steps)
		}
	}
}

func TestSizeMetric(t *testing.T) {
	c := Circuit{Load: Load{Continuous: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Run: 30 * quantity.Meter, Method: "C"}.
		OfCable(must(ParseCableType("1.5 mm2 twin and earth")))
	s := sizerOf(t, ukTable(t))
	tests := []struct {
		name    string
		change  func(*Circuit)
		size    Size
		breaker quantity.Current
		binding []Rule
		status  Status
		why     string
	}{
		{"clipped", func(c *Circuit) {}, Metric(1_000_000), 6 * quantity.Ampere, nil, Fits, "5 x 30 x 44 mV = 6.6 V of 6.9 V"},
		{"a little longer", func(c *Circuit) { c.Run = 32 * quantity.Meter }, Metric(1_500_000), 6 * quantity.Ampere, []Rule{RuleVoltageDrop}, Fits, "7.04 V: here the limit is a rule"},
		{"law only changes nothing", func(c *Circuit) { c.Run = 32 * quantity.Meter; c.LawOnly = true }, Metric(1_500_000), 6 * quantity.Ampere, []Rule{RuleVoltageDrop}, Fits, "the limit is a rule"},
		{"other use", func(c *Circuit) { c.Run = 32 * quantity.Meter; c.DropUse = "other" }, Metric(1_000_000), 6 * quantity.Ampere, nil, Fits, "5 % is 11.5 V"},
		{"in insulation", func(c *Circuit) {
			c.Method = "103"
			c.Load.Continuous = 9 * quantity.Ampere
			c.Run = 10 * quantity.Meter
		}, Metric(1_500_000), 10 * quantity.Ampere, []Rule{RuleAmpacity, RuleCorrectedAmpacity, RuleAtAmpacity}, Fits, "1 mm2 carries 8 A there, and no next size up exists"},
		{"fault loop", func(c *Circuit) {
			c.Loop = Loop{External: 7 * quantity.Ohm, Curve: "B", Earth: Metric(1_000_000)}
		}, Size{}, 6 * quantity.Ampere, []Rule{RuleFaultLoop}, LoopNotMet, "a 7 ohm supply leaves 0.28 ohm for the cable"},
		{"fault loop met", func(c *Circuit) {
			c.Loop = Loop{External: 350 * quantity.Milliohm, Curve: "B", Earth: Metric(1_000_000)}
		}, Metric(1_000_000), 6 * quantity.Ampere, nil, Fits, "0.35 + 1.2 x 30 x 36.2 mohm = 1.65 ohm of 7.28 ohm"},
	}
	for _, tt := range tests {
		c := c
		tt.change(&c)
		z, err := s.Size(c)
		if err != nil || z.Status != tt.status || z.Size != tt.size || z.Breaker != tt.breaker || tt.binding != nil && !slices.Equal(z.Binding, tt.binding) {
			t.Errorf("%s: %s, %s behind %s, binding %v, %v (%s)\n%v", tt.name, z.Status, z.Size, z.Breaker, z.Binding, err, tt.why, z.Steps)
		}
	}
	if lows := must(s.Size(withMethod(c, "102", 2_500_000))).Cautions(); len(lows) != 2 {
		t.Errorf("a low figure used twice is not said twice: %v", lows)
	}
}

func withMethod(c Circuit, method string, area quantity.Area) Circuit {
	c.Method, c.AtLeast = method, Metric(area)
	return c
}

// What an inspector reads: every step with its section.
func TestExplain(t *testing.T) {
	c := lighting("14/2")
	c.Run, c.Ambient, c.Location = 80*quantity.Foot, quantity.Fahrenheit(104), "bedroom"
	c.Bundle = Bundle{Carrying: 8, Sealed: 4, Length: 3 * quantity.Inch}
	attic := must(sizerOf(t, usTable(t, "2023")).Size(c))
	metric := Circuit{Load: Load{Continuous: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Run: 40 * quantity.Meter, Method: "102",
		Loop: Loop{External: 350 * quantity.Milliohm, Curve: "B"}}.OfCable(must(ParseCableType("2.5 mm2 twin and earth")))
	metric.Loop.Earth, metric.AtLeast = Metric(1_500_000), Metric(2_500_000)
	wall := must(sizerOf(t, ukTable(t)).Size(metric))
	far := c
	far.Run, far.Breaker = 4000*quantity.Foot, 15*quantity.Ampere
	tooFar := must(sizerOf(t, usTable(t, "2023")).Size(far))

	var b strings.Builder
	for _, z := range []Sizing{attic, wall, tooFar} {
		fmt.Fprintf(&b, "%s: %s behind %s, grounding %s, drop %s (%s), at the load %s\nleast %s, ampacity %s, breaker up to %s, binding %v\n",
			z.Status, z.Size, z.Breaker, z.Grounding, z.Drop, z.DropShare.FormatPercent(2), z.AtLoad, z.Least, z.Ampacity, z.MaxBreaker, z.Binding)
		for _, step := range z.Steps {
			fmt.Fprintf(&b, "  %s: %s\n", step.Source, step)
		}
		for _, caution := range z.Cautions() {
			fmt.Fprintf(&b, "  ! %s\n", caution)
		}
	}
	golden.Compare(t, "testdata/explain.golden", []byte(b.String()))
}

func TestJudge(t *testing.T) {
	us := sizerOf(t, usTable(t, "2023"))
	found := func(cable string, breaker, load quantity.Current, run quantity.Length) Circuit {
		c := lighting(cable)
		c.Breaker, c.Run, c.Load = breaker*quantity.Ampere, run*quantity.Foot, Load{Other: load * quantity.Ampere}
		return c
	}
	tests := []struct {
		name   string
		c      Circuit
		change func(*Circuit)
		size   Size
		faults []Rule
		advice []Rule
		why    string
	}{
		{"lawful", found("14/2", 15, 8, 40), nil, AWG(14), nil, nil, "an ordinary circuit"},
		{"twenty on fourteen", found("14/2", 20, 8, 40), nil, AWG(14), []Rule{RuleAtAmpacity, RuleSmallConductor}, nil, "the classic"},
		{"overloaded", found("14/2", 15, 16, 10), nil, AWG(14), []Rule{RuleStandardRating, RuleAmpacity, RuleNonmetallic}, nil, "16 A on 15"},
		{"far", found("14/2", 15, 10, 120), nil, AWG(14), nil, []Rule{RuleVoltageDrop}, "6.28 % is lawful, and not advised"},
		{"switch loop", found("14/2", 15, 10, 0), func(c *Circuit) { c.Path = 240 * quantity.Foot }, AWG(14), nil, []Rule{RuleVoltageDrop}, "the same conductor, out and back by another way"},
		{"small ground", found("12/2", 20, 10, 20), func(c *Circuit) { c.Grounding = AWG(14) }, AWG(12), []Rule{RuleGrounding}, nil, "14 AWG behind 20 A"},
		{"ground not grown", found("12/2", 15, 10, 20), func(c *Circuit) { c.Grounding = AWG(14) }, AWG(12), []Rule{RuleGrounding}, nil, "12 AWG where 14 would do wants its ground in proportion"},
		{"ground grown", found("12/2", 15, 10, 20), func(c *Circuit) { c.Grounding = AWG(12) }, AWG(12), nil, nil, "as sold"},
		{"too hot", found("14/2 60 C", 15, 5, 20), func(c *Circuit) { c.Ambient = 60 * quantity.Celsius }, AWG(14), []Rule{RuleAmbient}, nil, "old cable over a furnace"},
	}
	for _, tt := range tests {
		c := tt.c
		if tt.change != nil {
			tt.change(&c)
		}
		v, err := us.Judge(c, tt.size)
		if err != nil || !slices.Equal(v.Faults, tt.faults) || !slices.Equal(v.Advice, tt.advice) || (v.Status == Unlawful) != (len(tt.faults) > 0) {
			t.Errorf("%s: %s, faults %v, advice %v, %v (%s)\n%v", tt.name, v.Status, v.Faults, v.Advice, err, tt.why, v.Steps)
		}
	}
}

func TestMalformedCircuits(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	_, err := s.Size(Circuit{
		Load: Load{Continuous: -quantity.Ampere}, Phases: 2, Run: -quantity.Foot, Path: quantity.Foot, Stranding: 9, Raceway: 9, Terminations: -1,
		Ambient: -300 * quantity.Celsius, Bundle: Bundle{Carrying: -1}, Breaker: -1, DropMethod: 9, PowerFactor: 2 * quantity.Whole, DropLimit: quantity.Whole, Loop: Loop{External: -1},
	})
	for _, want := range []string{"load:", "volts:", "phases: 2", "length: run -1 ft", "length: both", "material: unset", "construction: unset", "insulation:",
		"stranding:", "raceway:", "terminations:", "ambient: -300 C; nothing is colder than -273.15 C", "bundle: -1", "breaker:", "voltage drop method:", "power factor: 2", "drop limit: 100 %",
		"fault loop: external", "trip curve"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in:\n%v", want, err)
		}
	}
}

func TestMoreCablesThanConductors(t *testing.T) {
	c := lighting("14/2")
	c.Bundle = Bundle{Sealed: 3, Carrying: 2}
	if _, err := sizerOf(t, usTable(t, "2023")).Size(c); err == nil || !strings.Contains(err.Error(), "bundle: 3 cables sealed together but 2 current-carrying") {
		t.Error(err)
	}
}

// What is done to a table once the sizer is made changes no answer and no refusal.
func TestSizerKeepsItsTable(t *testing.T) {
	table := usTable(t, "2023")
	table.Refusals = append(table.Refusals, Refusal{Rule: RuleBundling, Why: "only recalled"})
	if len(table.Elsewhere) == 0 {
		t.Fatal("the table names no other region")
	}
	s := sizerOf(t, table)
	ask := func() string {
		c := lighting("14/2")
		c.Run = 80 * quantity.Foot
		z, err := s.Size(c)
		text := fmt.Sprint(z, err)
		c.Loop = Loop{Curve: "B", Earth: AWG(14)}
		_, err = s.Size(c)
		return fmt.Sprint(text, err, s.missing(RuleBundling, "factor"))
	}
	before := ask()
	for i := range table.Elsewhere {
		table.Elsewhere[i].Regions[0] = "nowhere"
	}
	table.Elsewhere[0] = Elsewhere{}
	table.Refusals[len(table.Refusals)-1].Why = "changed"
	for i := range table.Ampacities {
		table.Ampacities[i].Current = 1
	}
	for i := range table.Overcurrent {
		table.Overcurrent[i].Rating = 1
	}
	for i := range table.SmallConductors {
		table.SmallConductors[i].MaxRating = 1
	}
	for i := range table.Resistances {
		table.Resistances[i].Resistance = 1
	}
	for i := range table.Grounding {
		table.Grounding[i].Size = AWG(2)
	}
	if after := ask(); after != before {
		t.Errorf("before: %s\nafter: %s", before, after)
	}
}

func TestRefusals(t *testing.T) {
	us, uk := sizerOf(t, usTable(t, "2023")), sizerOf(t, ukTable(t))
	flat := Circuit{Load: Load{Other: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Method: "C"}.OfCable(must(ParseCableType("1 mm2 twin and earth")))
	tests := []struct {
		name   string
		s      *Sizer
		c      Circuit
		change func(*Circuit)
		rule   Rule // 0 for a name that is unknown
		text   string
		why    string
	}{
		{"fault loop in a region without", us, lighting("14/2"), func(c *Circuit) {
			c.Run, c.Loop = quantity.Foot, Loop{Curve: "B", Earth: AWG(14)}
		}, RuleFaultLoop, "valid in uk-2018, not in us-2023", "the region that has it is named"},
		{"method in a region without", us, lighting("14/2"), func(c *Circuit) { c.Method = "C" }, RuleAmpacity, `reference method "C"`, "another country's question"},
		{"no method in a region with", uk, flat, func(c *Circuit) { c.Method = "" }, 0, "how the cable lies: none is given", "the region needs one"},
		{"unknown method", uk, flat, func(c *Circuit) { c.Method = "Z" }, 0, `"100" "101"`, "the methods are listed"},
		{"unlisted breaker", us, lighting("14/2"), func(c *Circuit) { c.Breaker = 13 * quantity.Ampere }, 0, `"13 A" is unknown; name one that us-2023 knows: ["1 A"`, "no such rating, which is no lack of the region"},
		{"ambient where there are no factors", uk, flat, func(c *Circuit) { c.Ambient = 40 * quantity.Celsius }, RuleAmbient, "ambient correction", "the figures are not in this table"},
		{"bundling where there are no factors", uk, flat, func(c *Circuit) { c.Bundle.Carrying = 6 }, RuleBundling, "6 current-carrying", "the figures are not in this table"},
		{"insulation below every column", us, lighting("14/2 40 C"), nil, RuleAmpacity, "rated 40 C", "no column is that cool"},
		{"drop by rate without rates", us, lighting("14/2"), func(c *Circuit) { c.Run, c.DropMethod = quantity.Foot, ByRate }, RuleVoltageDrop, "per ampere and meter", "another country's method"},
		{"drop by constant of a metal without", us, lighting("12/2 copper-clad aluminum"), func(c *Circuit) { c.Run, c.DropMethod = quantity.Foot, ByConstant }, RuleVoltageDrop, "drop constant", "no K for this metal"},
		{"unknown use", us, lighting("14/2"), func(c *Circuit) { c.Run, c.DropUse = quantity.Foot, "pump" }, 0, `"branch circuit" "feeder"`, "the uses are listed"},
		{"unknown curve", uk, flat, func(c *Circuit) { c.Run, c.Loop.Curve = quantity.Meter, "K" }, 0, `uk-2018 knows: ["B" "C"]`, "the curves are listed"},
	}
	for _, tt := range tests {
		c := tt.c
		if tt.change != nil {
			tt.change(&c)
		}
		_, err := tt.s.Size(c)
		var missing *MissingRuleError
		var unknown *UnknownNameError
		if tt.rule == 0 {
			if !errors.As(err, &unknown) || len(unknown.Known) == 0 || !strings.Contains(err.Error(), tt.text) {
				t.Errorf("%s: %v; want an unknown name with %q (%s)", tt.name, err, tt.text, tt.why)
			}
			continue
		}
		if !errors.As(err, &missing) || missing.Rule != tt.rule || !strings.Contains(err.Error(), tt.text) {
			t.Errorf("%s: %v; want %v with %q (%s)", tt.name, err, tt.rule, tt.text, tt.why)
		}
	}
	for _, size := range []Size{{}, AWG(0) /* aluminum only elsewhere */, Metric(1_500_000), Kcmil(600)} {
		if _, err := us.Capability(lighting("14/2"), size); size != AWG(0) && !errors.Is(err, ErrNoSuchSize) {
			t.Errorf("capability of %s: %v", size, err)
		}
	}
	if _, err := us.Judge(lighting("14/2"), AWG(14)); err == nil || !strings.Contains(err.Error(), "needs the rating") {
		t.Errorf("judging without a breaker: %v", err)
	}
	why := usTable(t, "2023")
	why.Bundling, why.BundlingExempt = nil, LengthRule{}
	why.Refusals = []Refusal{{RuleBundling, "the figures could not be verified", Source{}}}
	c := lighting("14/2")
	c.Bundle.Carrying = 9
	if _, err := sizerOf(t, why).Size(c); err == nil || !strings.Contains(err.Error(), "(the figures could not be verified)") {
		t.Errorf("a refusal does not say why: %v", err)
	}
}
