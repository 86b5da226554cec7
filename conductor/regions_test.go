package conductor_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// A lighting circuit in each edition that comes with the rules.
func TestLightingCircuitByRegion(t *testing.T) {
	us := conductor.Circuit{Load: conductor.Load{Continuous: 7 * quantity.Ampere}, Volts: 120 * quantity.Volt, Run: 100 * quantity.Foot, LeastRating: true}.
		OfCable(must(conductor.ParseCableType("14/2")))
	uk := conductor.Circuit{Load: conductor.Load{Continuous: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Run: 32 * quantity.Meter, Method: "101"}.
		OfCable(must(conductor.ParseCableType("1.5 mm2 twin and earth")))
	tests := []struct {
		region  string
		c       conductor.Circuit
		size    conductor.Size
		breaker quantity.Current
		ground  conductor.Size
		why     string
	}{
		{"us-2023", us, conductor.AWG(12), 10 * quantity.Ampere, conductor.AWG(12), "10 A is a rating from 2023 on; 3.66 % in 14 AWG"},
		{"us-2020", us, conductor.AWG(12), 15 * quantity.Ampere, conductor.AWG(12), "no 10 A; the ground grows with the drop"},
		{"us-2017", us, conductor.AWG(12), 15 * quantity.Ampere, conductor.AWG(12), "the same"},
		{"uk-2018", uk, conductor.Metric(1_500_000), 6 * quantity.Ampere, conductor.Size{}, "7.04 V in 1 mm2 is beyond 6.9; the cable brings its earth"},
	}
	for _, tt := range tests {
		z, err := sizerOf(t, tt.region).Size(tt.c)
		if err != nil || z.Status != conductor.Fits || z.Size != tt.size || z.Breaker != tt.breaker || z.Grounding != tt.ground ||
			!slices.Equal(z.Binding, []conductor.Rule{conductor.RuleVoltageDrop}) {
			t.Errorf("%s: %s, %s behind %s with %s, binding %v, %v (%s)", tt.region, z.Status, z.Size, z.Breaker, z.Grounding, z.Binding, err, tt.why)
		}
		for _, step := range z.Steps {
			if step.Source.Section == "" || step.Source.Edition == "" {
				t.Errorf("%s: no section for %q", tt.region, step)
			}
		}
	}
}

// The figures of the metric region that are only recalled are said to be.
func TestLowFiguresAreSaid(t *testing.T) {
	c := conductor.Circuit{Load: conductor.Load{Continuous: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Run: 20 * quantity.Meter, Method: "C",
		Loop: conductor.Loop{External: 350 * quantity.Milliohm, Curve: "B"}, Location: "dwelling"}.OfCable(must(conductor.ParseCableType("1.5 mm2 twin and earth")))
	z := must(sizerOf(t, "uk-2018").Size(c))
	text := strings.Join(z.Cautions(), "\n")
	for _, want := range []string{"standard rating uses a figure of low confidence", "fault loop uses a figure of low confidence", "protection by location uses a figure of low confidence (BS 7671 411.3.4, 2018)"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in:\n%s", want, text)
		}
	}
	if got := must(sizerOf(t, "us-2023").Size(conductor.Circuit{Load: conductor.Load{Other: quantity.Ampere}, Volts: 120 * quantity.Volt}.
		OfCable(must(conductor.ParseCableType("14/2"))))).Cautions(); len(got) != 0 {
		t.Errorf("cautions without cause: %v", got)
	}
}

// What a region lacks is refused by name, with the regions that have it.
func TestRegionsRefuseByName(t *testing.T) {
	c := conductor.Circuit{Load: conductor.Load{Other: 5 * quantity.Ampere}, Volts: 120 * quantity.Volt}.OfCable(must(conductor.ParseCableType("14/2")))
	ca := sizerOf(t, "ca")
	_, err := ca.Size(c)
	var missing *conductor.MissingRuleError
	if !errors.As(err, &missing) || missing.Rule != conductor.RuleStandardRating || !slices.Contains(missing.Elsewhere, "us-2023") {
		t.Errorf("ca: %v", err)
	}
	y, err := ca.Capability(c, conductor.AWG(14))
	if err != nil || y.Ampacity != 15*quantity.Ampere {
		t.Errorf("ca knows its ampacities: %v, %v", y.Ampacity, err)
	}
	if !slices.ContainsFunc(y.Steps, func(step conductor.Step) bool { return strings.Contains(step.String(), "no rule on terminations") }) {
		t.Errorf("the column is not explained: %v", y.Steps)
	}
	c.Bundle.Carrying = 9
	if _, err := ca.Capability(c, conductor.AWG(14)); err == nil || !strings.Contains(err.Error(), "only recalled") {
		t.Errorf("ca bundling: %v", err)
	}
	loop := c
	loop.Bundle, loop.Run, loop.Loop.Curve = conductor.Bundle{}, quantity.Foot, "B"
	if _, err := sizerOf(t, "us-2023").Size(loop); err == nil || !strings.Contains(err.Error(), "valid in uk-2018, not in us-2023") {
		t.Errorf("us fault loop: %v", err)
	}
}

// The limits of Table 41.3: 0.95 of the supply over five times the rating.
func TestFaultLoopLimits(t *testing.T) {
	s := sizerOf(t, "uk-2018")
	for rating, want := range map[quantity.Current]string{6: "7.283 ohm", 10: "4.37 ohm", 16: "2.731 ohm", 20: "2.185 ohm", 32: "1.366 ohm"} {
		c := conductor.Circuit{Load: conductor.Load{Other: quantity.Ampere}, Volts: 230 * quantity.Volt, Run: quantity.Meter, Method: "C", Breaker: rating * quantity.Ampere,
			Loop: conductor.Loop{Curve: "B"}}.OfCable(must(conductor.ParseCableType("1.5 mm2 twin and earth")))
		_, limit, status, err := s.LeastForLoop(c)
		if err != nil || status != conductor.Fits || limit.Format(quantity.Ohm, 3) != want {
			t.Errorf("%d A: %s, %s, %v; want %s", rating, limit, status, err, want)
		}
	}
}

// An amendment raises the least size; an empty one changes nothing.
func TestAmendments(t *testing.T) {
	c := conductor.Circuit{Load: conductor.Load{Continuous: 7 * quantity.Ampere}, Volts: 120 * quantity.Volt, Run: 20 * quantity.Foot}.
		OfCable(must(conductor.ParseCableType("14/2")))
	load := func(text string) conductor.Sizing {
		r, err := rules.Load("us-2023", rules.Overlay{Name: "amendment.yaml", Text: []byte(text)})
		if err != nil {
			t.Fatal(err)
		}
		return must(must(conductor.NewSizer(r.Conductor)).Size(c))
	}
	plain := must(sizerOf(t, "us-2023").Size(c))
	if empty := load("format: 1\nname: Harbor\n"); empty.Size != plain.Size || empty.Breaker != plain.Breaker || len(empty.Steps) != len(plain.Steps) {
		t.Errorf("an empty amendment changes %+v to %+v", plain, empty)
	}
	z := load("format: 1\nname: Harbor\nconductors:\n  least size: {size: 12 AWG}\n")
	if z.Size != conductor.AWG(12) || !slices.Equal(z.Binding, []conductor.Rule{conductor.RuleLeastSize}) {
		t.Errorf("no 14 AWG here: %s, binding %v", z.Size, z.Binding)
	}
	// The load would let 14 AWG be behind 15 A, so the grounding conductor of 14 AWG
	// grows with the circuit's: 4110 x 6530 / 4110 = 6530 cmil.
	if z.Breaker != 15*quantity.Ampere || z.Grounding != conductor.AWG(12) {
		t.Errorf("the amendment makes the conductors larger: grounding conductor %s behind %s, want 12 AWG behind 15 A", z.Grounding, z.Breaker)
	}
}
