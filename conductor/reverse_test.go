package conductor

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

func TestReverseQuestions(t *testing.T) {
	us, uk := sizerOf(t, usTable(t, "2023")), sizerOf(t, ukTable(t))
	lights := lighting("14/2")
	lights.Run = 50 * quantity.Foot
	flat := Circuit{Load: Load{Other: 5 * quantity.Ampere}, Volts: 230 * quantity.Volt, Run: 40 * quantity.Meter, Method: "102", Breaker: 6 * quantity.Ampere,
		Loop: Loop{Curve: "B"}}.OfCable(must(ParseCableType("2.5 mm2 twin and earth")))

	least, status, err := us.LeastForDrop(lights)
	if least != AWG(14) || status != Fits || err != nil {
		t.Errorf("9 A over 50 ft: %s, %s, %v; 2.36 %% in 14 AWG", least, status, err)
	}
	far := lights
	far.Run = 20_000 * quantity.Foot
	if least, status, err = us.LeastForDrop(far); least.Valid() || status != DropNotMet || err != nil {
		t.Errorf("9 A over 20,000 ft: %s, %s, %v", least, status, err)
	}
	size, limit, status, err := uk.LeastForLoop(flat)
	if size != Metric(1_000_000) || limit.Format(quantity.Ohm, 3) != "7.283 ohm" || status != Fits || err != nil {
		t.Errorf("loop: %s, %s, %s, %v", size, limit, status, err)
	}
	flat.Loop.External = 7283 * quantity.Milliohm
	if size, _, status, err = uk.LeastForLoop(flat); size.Valid() || status != LoopNotMet || err != nil {
		t.Errorf("loop full before the cable: %s, %s, %v", size, status, err)
	}
	// A figure of low confidence is told by every kind of answer.
	flat.Loop = Loop{}
	for name, cautions := range map[string][]string{
		"capability":   must(uk.Capability(flat, Metric(2_500_000))).Cautions(),
		"largest load": must(uk.LargestLoad(flat, Metric(2_500_000), false)).Cautions(),
		"verdict":      must(uk.Judge(flat, Metric(2_500_000))).Cautions(),
	} {
		if len(cautions) == 0 || !strings.Contains(cautions[0], "low confidence") {
			t.Errorf("%s: %v", name, cautions)
		}
	}
	flat.DropUse = "private lighting"
	if cautions := must(uk.LongestRun(flat, Metric(1_500_000))).Cautions(); len(cautions) != 1 {
		t.Errorf("longest run by a low limit: %v", cautions)
	}
	if got := us.Region(); got != "us-2023" {
		t.Errorf("region %q", got)
	}
}

// Questions that have no answer say what is missing.
func TestReverseRefusals(t *testing.T) {
	us := sizerOf(t, usTable(t, "2023"))
	noLimit := usTable(t, "2023")
	noLimit.DropUse, noLimit.DropLimits = "", nil
	free := sizerOf(t, noLimit)
	c := lighting("14/2")
	long := c
	long.Run = quantity.Foot
	for name, tt := range map[string]struct {
		err  error
		want string
	}{
		"drop without length":        {third(us.LeastForDrop(c)), "no length"},
		"drop without limit":         {third(free.LeastForDrop(long)), "give one"},
		"run without limit":          {second(free.LongestRun(c, AWG(14))), "give one"},
		"run of a size unlisted":     {second(us.LongestRun(c, Metric(1))), "has no"},
		"run without load":           {second(us.LongestRun(Circuit{}, AWG(14))), "load"},
		"loop without curve":         {fourth(us.LeastForLoop(long)), "name the trip curve"},
		"loop without load":          {fourth(us.LeastForLoop(Circuit{})), "load"},
		"drop without load":          {third(us.LeastForDrop(Circuit{})), "load"},
		"largest of nothing":         {second(us.LargestLoad(Circuit{}, AWG(14), false)), "volts"},
		"capability of nothing":      {second(us.Capability(Circuit{}, AWG(14))), "volts"},
		"judge without figure":       {second(us.Judge(withDrop(c, ByRate), AWG(14))), "per ampere and meter"},
		"largest without a rating":   {second(sizerOf(t, Table{Region: "bare"}).LargestLoad(c, AWG(14), false)), "has no"},
		"proportion of another kind": {second(us.InProportion(AWG(14), AWG(14), Metric(2))), "one system"},
	} {
		if tt.err == nil || !strings.Contains(tt.err.Error(), tt.want) {
			t.Errorf("%s: %v; want %q", name, tt.err, tt.want)
		}
	}
	if _, err := us.LargestLoad(c, Kcmil(999), true); !errors.Is(err, ErrNoSuchSize) {
		t.Errorf("an unlisted size: %v", err)
	}
}

func withDrop(c Circuit, m DropMethod) Circuit {
	c.Run, c.DropMethod, c.Breaker = quantity.Foot, m, 15*quantity.Ampere
	return c
}

func third[A, B any](_ A, _ B, err error) error          { return err }
func fourth[A, B, C any](_ A, _ B, _ C, err error) error { return err }

// TestProtectionOn holds on which circuits a demand is, and how that is said.
func TestProtectionOn(t *testing.T) {
	p := Protection{Outlets: ReceptacleOutlets, Breaker: 20 * quantity.Ampere, Volts: 125 * quantity.Volt, Since: 2014, Note: "with exceptions"}
	for _, r := range []struct {
		breaker quantity.Current
		volts   quantity.Voltage
		want    bool
		why     string
	}{
		{20 * quantity.Ampere, 120 * quantity.Volt, true, "the most that it is on"},
		{30 * quantity.Ampere, 120 * quantity.Volt, false, "a larger breaker"},
		{15 * quantity.Ampere, 240 * quantity.Volt, false, "a higher voltage"},
		{0, 0, true, "what is not known may be within"},
	} {
		if got := p.On(r.breaker, r.volts); got != r.want {
			t.Errorf("%v at %v: %v; %s", r.breaker, r.volts, got, r.why)
		}
	}
	if got, want := p.Covers(), "receptacles, on breakers of 20 A at most, at 125 V at most, since 2014: with exceptions"; got != want {
		t.Errorf("it covers %q, want %q", got, want)
	}
	p = Protection{Note: "all"}
	if !p.On(100*quantity.Ampere, 400*quantity.Volt) || p.Covers() != "all" || (&Protection{}).Covers() != "" {
		t.Error("a demand without limits is on every circuit")
	}
	table := usTable(t, "2023")
	table.Protections = []Protection{{Location: "laundry", Kind: ArcFault, Demand: Required, Breaker: 20 * quantity.Ampere, Source: Source{"210.12", "2023", LowConfidence}}}
	for breaker, want := range map[quantity.Current]int{20 * quantity.Ampere: 1, 30 * quantity.Ampere: 0} {
		c := lighting("10/2")
		c.Location, c.Breaker = "laundry", breaker
		v, err := sizerOf(t, table).Judge(c, AWG(10))
		if err != nil || len(v.Protections) != want {
			t.Errorf("behind %v: %v, %v; want %d", breaker, v.Protections, err, want)
		}
	}
	bad := usTable(t, "2023")
	bad.Protections = []Protection{{Location: "attic", Kind: ArcFault, Demand: Required, Outlets: LightingOutlets + 1, Source: Source{"210.12", "2023", LowConfidence}}}
	if _, err := NewSizer(bad); err == nil {
		t.Error("an outlet of no kind is taken")
	}
}

func TestProtections(t *testing.T) {
	table := usTable(t, "2023")
	src := Source{"210.12", "2023", MediumConfidence}
	table.Protections = []Protection{
		{Location: "bedroom", Kind: ArcFault, Demand: Required, Source: src},
		{Location: "garage", Kind: ArcFault, Demand: NotRequired, Source: src},
		{Location: "garage", Kind: GroundFault, Demand: Required, Source: Source{"210.8", "2023", LowConfidence}},
		{Kind: ResidualCurrent, Demand: NotRequired, Source: src},
	}
	s := sizerOf(t, table)
	demands := func(place string) []Demand {
		var all []Demand
		for _, p := range s.Protections(place) {
			all = append(all, p.Demand)
		}
		return all
	}
	if got := demands("bedroom"); !slices.Equal(got, []Demand{Required, Unverified, NotRequired}) {
		t.Errorf("bedroom: %v", got)
	}
	if got := demands("garage"); !slices.Equal(got, []Demand{NotRequired, Required, NotRequired}) {
		t.Errorf("garage: %v", got)
	}
	if got := demands("moon"); !slices.Equal(got, []Demand{Unverified, Unverified, NotRequired}) {
		t.Errorf("moon: %v", got)
	}
	if got := s.Locations(); !slices.Equal(got, []string{"bedroom", "garage"}) {
		t.Errorf("locations: %v", got)
	}
	c := lighting("14/2")
	c.Location = "garage"
	if got := strings.Join(must(s.Size(c)).Cautions(), "\n"); !strings.Contains(got, "low confidence (210.8, 2023)") {
		t.Errorf("cautions: %s", got)
	}
}

// A size that may carry nothing says why.
func TestLargestLoadOfNothing(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	tests := []struct {
		name    string
		change  func(*Circuit)
		status  Status
		binding []Rule
		why     string
	}{
		{"breaker too large", func(c *Circuit) { c.Breaker = 20 * quantity.Ampere }, NoSize, []Rule{RuleAtAmpacity, RuleSmallConductor}, "14 AWG is not behind 20 A"},
		{"breaker too small", func(c *Circuit) { c.Breaker = 6 * quantity.Ampere }, RatingTooSmall, []Rule{RuleMinimumRating}, "a fuse of 6 A is below 10 A"},
		{"no breaker allowed", func(c *Circuit) { c.Bundle.Carrying = 45; c.Ambient = 50 * quantity.Celsius; c.Receptacles = true }, NoRating, []Rule{RuleStandardRating}, "25 x 0.82 x 0.35 = 7.175 A allows a fuse of 6 A"},
		{"least breaker too small", func(c *Circuit) { c.Bundle.Carrying = 31; c.Insulation = 90 * quantity.Celsius; c.Receptacles = true }, RatingTooSmall, []Rule{RuleMinimumRating}, "25 x 0.4 = 10 A, and receptacles want 15 A"},
		{"too hot", func(c *Circuit) { c.Ambient = 90 * quantity.Celsius }, TooHot, []Rule{RuleAmbient}, "no factor that high"},
	}
	for _, tt := range tests {
		c := lighting("14/2")
		tt.change(&c)
		most, err := s.LargestLoad(c, AWG(14), true)
		if err != nil || most.Status != tt.status || most.Load != 0 || !slices.Equal(most.Binding, tt.binding) || len(most.Steps) == 0 {
			t.Errorf("%s: %s, binding %v, %v (%s)", tt.name, most.Status, most.Binding, err, tt.why)
		}
	}
	c := lighting("14/2")
	c.Breaker = 13 * quantity.Ampere
	if _, err := s.LargestLoad(c, AWG(14), true); err == nil || !strings.Contains(err.Error(), `"13 A" is unknown`) {
		t.Errorf("an unlisted breaker: %v", err)
	}
}
