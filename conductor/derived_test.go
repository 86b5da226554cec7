package conductor

import (
	"fmt"
	"math"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

// The figures stand in the tables and in the tests alike, so these identities,
// which no figure states, test both.

// Resistance times area is the metal's alone, to the table's rounding.
func TestResistanceFallsAsAreaGrows(t *testing.T) {
	table := usTable(t, "2023")
	type kind struct {
		m Material
		s Stranding
	}
	want := map[kind]float64{{Copper, Solid}: 12.6, {Copper, Stranded}: 12.88, {Aluminum, Solid}: 20.8, {Aluminum, Stranded}: 21.2}
	checked := 0
	for _, r := range table.Resistances {
		mils, _ := r.Size.CircularMils()
		k := r.Resistance.OhmsPerMeter() * 0.3048 * float64(mils) // ohm circular mils per foot
		if off := math.Abs(k-want[kind{r.Material, r.Stranding}]) / k; off > 0.006 {
			t.Errorf("%s %s %s: %.2f ohm cmil/ft, want near %.2f", r.Size, r.Stranding, r.Material, k, want[kind{r.Material, r.Stranding}])
		}
		checked++
	}
	if checked < 34 {
		t.Errorf("only %d rows", checked)
	}
}

// A factor is the square root of the share of the temperature rise that is left.
func TestAmbientFactorsFollowTheSquareRoot(t *testing.T) {
	for _, r := range usTable(t, "2023").Ambient {
		law := math.Sqrt((r.Rating - r.UpTo).DegreesCelsius() / (r.Rating - 30*quantity.Celsius).DegreesCelsius())
		if off := math.Abs(law - r.Factor.Float64()); off > 0.0051 {
			t.Errorf("up to %s, rated %s: %s, law %.4f", r.UpTo, r.Rating, r.Factor.Factor(), law)
		}
	}
}

// The rows in Fahrenheit are the rows in Celsius.
func TestAmbientScalesAgree(t *testing.T) {
	for _, row := range facts(t, "us_ambient_correction_30c") {
		top := must(quantity.ParseTemperature(row["ambient_to_f"] + " F"))
		if top != degC(row["ambient_to_c"]) {
			t.Errorf("%s F is not %s C", row["ambient_to_f"], row["ambient_to_c"])
		}
		if row["ambient_from_f"] == "" {
			continue
		}
		s := sizerOf(t, usTable(t, "2023"))
		c := Circuit{Volts: 120 * quantity.Volt, Material: Copper, Construction: Loose, Insulation: degC(row["conductor_temp_c"]),
			Ambient: must(quantity.ParseTemperature(row["ambient_from_f"] + " F"))}
		y := must(s.Capability(c, AWG(8)))
		want, _ := quantity.Scale(y.Table, factorOf(row["value"]))
		if y.Corrected != want {
			t.Errorf("%s F, rated %s: %s, want %s", row["ambient_from_f"], row["conductor_temp_c"], y.Corrected, want)
		}
	}
}

// The printed effective impedance is R cos + X sin at 0.85, to two figures.
func TestEffectiveImpedanceFollows(t *testing.T) {
	const sine = 0.5268
	for _, r := range usTable(t, "2023").Impedances {
		z := 0.85*r.Resistance.OhmsPerMeter() + sine*r.Reactance.OhmsPerMeter()
		printed := r.Effective85.OhmsPerMeter()
		// Both R and Z are rounded to two figures, each up to half a unit in the
		// second: 5 % at worst for a leading 1.
		if off := math.Abs(z-printed) / printed; off > 0.055 {
			t.Errorf("%s %s in %s: %.4f, printed %.4f ohm/kft", r.Size, r.Material, r.Raceway, 304.8*z, 304.8*printed)
		}
	}
}

// The trade's constants are the resistances of the table times the areas.
func TestTradeConstantsFollow(t *testing.T) {
	table := usTable(t, "2023")
	for _, k := range table.Constants {
		for _, r := range table.Resistances {
			if r.Material != k.Material || r.Stranding != Stranded {
				continue
			}
			mils, _ := r.Size.CircularMils()
			if off := math.Abs(float64(r.Resistance)*float64(mils)/float64(k.K) - 1); off > 0.01 {
				t.Errorf("%s %s: off the constant by %.1f %%", r.Size, r.Material, 100*off)
			}
		}
	}
}

// The kilometer column is the thousand-foot column, converted.
func TestResistanceColumnsAgree(t *testing.T) {
	kft := map[string]quantity.ResistancePerLength{}
	for _, row := range facts(t, "us_conductor_properties_t8") {
		key := row["awg"] + row["material"] + row["strand"]
		switch row["unit"] {
		case "ohm_per_kft_dc_75c":
			kft[key] = perKft(row["value"])
		case "ohm_per_km_dc_75c":
			printed := must(quantity.ParseResistancePerLength(row["value"] + " ohm/km"))
			// Converted by 3.28084, which is 3e-7 off, and rounded to four places.
			if off := kft[key] - printed; off > quantity.OhmPerKilometer/10000 || -off > quantity.OhmPerKilometer/10000 {
				t.Errorf("%s: %s, printed %s", key, kft[key].In(quantity.OhmPerKilometer), printed)
			}
		}
	}
}

// The derived table of devices by ampacity.
func TestDevicesByAmpacity(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	for _, row := range facts(t, "us_ocpd_oracle") {
		got := must(s.LargestDevice(amps(row["ampacity_a"]), row["multi_receptacle"] == "1"))
		if got != amps(row["value"]) {
			t.Errorf("%s A, receptacles %s: %s, want %s A", row["ampacity_a"], row["multi_receptacle"], got, row["value"])
		}
	}
}

// Rows that are rules rather than figures, each reproduced by a question.
func TestRuleRows(t *testing.T) {
	us := sizerOf(t, usTable(t, "2023"))
	for _, row := range facts(t, "us_egc_min_size") {
		for _, m := range metals(row["material"]) {
			c := Circuit{Load: Load{Other: quantity.Ampere}, Volts: 240 * quantity.Volt, Material: m, Construction: Loose,
				Insulation: 90 * quantity.Celsius, Terminations: 75 * quantity.Celsius, Breaker: amps(row["ocpd_not_exceeding_a"])}
			if c.Breaker > 200*quantity.Ampere {
				continue // beyond the largest ampacity of the figures; the rows below serve
			}
			z, err := us.Size(c)
			if err != nil || z.Status != Fits || z.Grounding != sizeOf(row["value"]) {
				t.Errorf("%s behind %s A: %s, %s, %v; want %s", m, row["ocpd_not_exceeding_a"], z.Grounding, z.Status, err, row["value"])
			}
		}
	}
	for _, row := range facts(t, "us_small_conductor_ocpd") {
		if row["unit"] != "A_max_ocpd" || row["awg"] == "18" || row["awg"] == "16" || row["material"] == "copper_clad_aluminum" {
			continue // no ampacity of the figures for those
		}
		for _, m := range metals(row["material"]) {
			c := Circuit{Volts: 120 * quantity.Volt, Material: m, Construction: Loose, Insulation: 90 * quantity.Celsius, Terminations: 75 * quantity.Celsius}
			if y := must(us.Capability(c, sizeOf(row["awg"]))); y.MaxBreaker != amps(row["value"]) {
				t.Errorf("%s AWG %s: behind %s, want %s A", row["awg"], m, y.MaxBreaker, row["value"])
			}
		}
	}
	for _, row := range facts(t, "uk_flat_twin_earth_cpc") {
		cable := must(ParseCableType(row["csa_mm2"] + " mm2 twin and earth"))
		if want := must(ParseSize(row["value"] + " mm2")); cable.GroundingSize() != want {
			t.Errorf("%s: %s, want %s", cable.Name, cable.GroundingSize(), want)
		}
	}
	uk := sizerOf(t, ukTable(t))
	for _, row := range facts(t, "uk_flat_twin_earth_voltage_drop") {
		c := Circuit{Load: Load{Other: quantity.Ampere}, Volts: 230 * quantity.Volt, Run: quantity.Meter, Method: "C", Breaker: 6 * quantity.Ampere}.
			OfCable(must(ParseCableType(row["csa_mm2"] + " mm2 twin and earth")))
		if v := must(uk.Judge(c, mm2(row["csa_mm2"]))); v.Drop.In(quantity.Millivolt) != row["value"]+" mV" {
			t.Errorf("%s mm2: %s, want %s mV", row["csa_mm2"], v.Drop, row["value"])
		}
	}
	for _, row := range facts(t, "uk_flat_twin_earth_capacity") {
		name, _, _ := cutMethod(row["method"])
		c := Circuit{Volts: 230 * quantity.Volt, Method: name}.OfCable(must(ParseCableType(row["csa_mm2"] + " mm2 twin and earth")))
		if y := must(uk.Capability(c, mm2(row["csa_mm2"]))); y.Ampacity != amps(row["value"]) {
			t.Errorf("%s mm2 by %s: %s, want %s A", row["csa_mm2"], row["method"], y.Ampacity, row["value"])
		}
	}
}

func mm2(area string) Size { return must(ParseSize(area + " mm2")) }

func cutMethod(text string) (name, words string, ok bool) {
	for i, r := range text {
		if r == '_' {
			return text[:i], text[i+1:], true
		}
	}
	return text, "", false
}

// The terminations rule: 60 C to 100 A, 75 C beyond, and 75 C where listed.
func TestTerminationColumns(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	base := Circuit{Volts: 240 * quantity.Volt, Material: Copper, Construction: Loose, Insulation: 90 * quantity.Celsius}
	tests := []struct {
		size    Size
		breaker quantity.Current
		listed  quantity.Temperature
		want    quantity.Current
		why     string
	}{
		{AWG(8), 40, 0, 40, "not listed, small circuit"},
		{AWG(8), 0, 0, 40, "not listed, small conductor, no device named"},
		{AWG(0), 0, 0, 150, "larger than 1 AWG, no device named"},
		{AWG(1), 110, 0, 130, "above 100 A the column is 75 C even for 1 AWG"},
		{AWG(1), 100, 0, 110, "at 100 A it is 60 C"},
		{AWG(8), 40, 75, 50, "all listed for 75 C"},
		{AWG(8), 40, 90, 50, "a 90 C listing is not used"},
		{AWG(0), 150, 60, 125, "listed lower than the rule gives"},
	}
	for _, tt := range tests {
		c := base
		c.Breaker, c.Terminations = tt.breaker*quantity.Ampere, tt.listed*quantity.Celsius
		if y := must(s.Capability(c, tt.size)); y.Terminations != tt.want*quantity.Ampere {
			t.Errorf("%s behind %s, listed %s: %s, want %d A (%s)", tt.size, c.Breaker, c.Terminations, y.Terminations, tt.want, tt.why)
		}
	}
}

func TestDropMethods(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	base := Circuit{Load: Load{Other: 10 * quantity.Ampere}, Volts: 120 * quantity.Volt, Run: 100 * quantity.Foot,
		Material: Copper, Construction: Loose, Insulation: 90 * quantity.Celsius, Breaker: 20 * quantity.Ampere}
	tests := []struct {
		change func(*Circuit)
		want   string
		why    string
	}{
		{func(c *Circuit) {}, "3.96 V", "1.98 ohm/kft stranded, the worse of the two"},
		{func(c *Circuit) { c.Stranding = Solid }, "3.86 V", "1.93 ohm/kft solid"},
		{func(c *Circuit) { c.DropMethod = ByImpedance }, "4 V", "2.0 ohm/kft at unity power factor"},
		{func(c *Circuit) { c.DropMethod, c.PowerFactor = ByImpedance, 85*quantity.Percent }, "3.4 V", "the table's own 1.7 ohm/kft at 0.85"},
		{func(c *Circuit) {
			c.DropMethod, c.PowerFactor, c.Raceway = ByImpedance, 80*quantity.Percent, SteelRaceway
		}, "3.2816 V", "2.0 x 0.8 + 0.068 x 0.6 ohm/kft"},
		{func(c *Circuit) { c.DropMethod = ByConstant }, "3.950995 V", "2 x 12.9 x 10 x 100 / 6530"},
		{func(c *Circuit) { c.Phases = 3 }, "3.429461 V", "the root of three in place of two"},
		{func(c *Circuit) { c.Run, c.Path = 0, 150*quantity.Foot }, "2.97 V", "150 ft of conductor in all"},
	}
	for _, tt := range tests {
		c := base
		tt.change(&c)
		if v := must(s.Judge(c, AWG(12))); v.Drop.Format(quantity.Volt, 6) != tt.want {
			t.Errorf("got %s, want %s (%s)", v.Drop, tt.want, tt.why)
		}
	}
}

// Figures of the grounding conductor's increase, worked by hand.
func TestInProportion(t *testing.T) {
	s := sizerOf(t, usTable(t, "2023"))
	tests := []struct {
		ground, from, to, want Size
		why                    string
	}{
		{AWG(14), AWG(14), AWG(14), AWG(14), "no increase"},
		{AWG(12), AWG(12), AWG(10), AWG(10), "6530 x 10380/6530: exactly full fits"},
		{AWG(10), AWG(8), AWG(6), AWG(8), "10380 x 26240/16510 = 16497 of 16510"},
		{AWG(10), AWG(10), AWG(8), AWG(8), "never above the circuit's own"},
	}
	for _, tt := range tests {
		if got, err := s.InProportion(tt.ground, tt.from, tt.to); err != nil || got != tt.want {
			t.Errorf("%s as %s to %s: %s, %v; want %s (%s)", tt.ground, tt.from, tt.to, got, err, tt.want, tt.why)
		}
	}
	if _, err := s.InProportion(AWG(10), AWG(6), AWG(8)); err == nil {
		t.Error("a circuit that shrinks has a proportion")
	}
	if _, err := s.InProportion(AWG(10), AWG(8), Metric(1)); err == nil {
		t.Error("an unlisted size has a proportion")
	}
}

// By ampacity, as one region has it, the grounding conductor is looked up by
// what the conductors installed may carry.
func TestGroundingByAmpacity(t *testing.T) {
	table := usTable(t, "2023")
	table.GroundingIncrease = GroundingIncrease{Basis: ByAmpacity, Source: Source{"10-616(3)(b)", "2018", HighConfidence}}
	s := sizerOf(t, table)
	c := lighting("14/2")
	c.AtLeast = AWG(6)
	z := must(s.Size(c))
	if z.Size != AWG(6) || z.Grounding != AWG(10) {
		t.Errorf("%s with %s, want 6 AWG with 10 AWG: 55 A is looked up under 60 A", z.Size, z.Grounding)
	}
}

func TestLoads(t *testing.T) {
	tests := []struct {
		power  quantity.ApparentPower
		volts  quantity.Voltage
		phases int
		want   string
		why    string
	}{
		{18 * quantity.VoltAmpere, 120 * quantity.Volt, 1, "0.15 A", "a lamp"},
		{100 * quantity.VoltAmpere, 230 * quantity.Volt, 1, "0.434783 A", "rounded up to the microampere"},
		{18 * quantity.KilovoltAmpere, 208 * quantity.Volt, 3, "49.963005 A", "over the root of three"},
	}
	for _, tt := range tests {
		if got := must(CurrentOf(tt.power, tt.volts, tt.phases)).String(); got != tt.want {
			t.Errorf("%s at %s: %s, want %s (%s)", tt.power, tt.volts, got, tt.want, tt.why)
		}
	}
	if got := must(ApparentOf(9*quantity.Watt, 90*quantity.Percent)); got != 10*quantity.VoltAmpere {
		t.Errorf("9 W at 0.9: %s", got)
	}
	for _, err := range []error{
		second(CurrentOf(-1, quantity.Volt, 1)), second(CurrentOf(1, 0, 1)), second(CurrentOf(1, quantity.Volt, 2)),
		second(ApparentOf(-1, quantity.Whole)), second(ApparentOf(1, 0)), second(ApparentOf(1, 2*quantity.Whole)),
		second(DropByResistance(-1, 1, 1)), second(DropByConstant(1, 0, 1, 1)), second(DropByRate(1, -1, 1)),
		second(ShareOf(-1, 1)), second(ShareOf(1, 0)),
	} {
		if err == nil || fmt.Sprint(err) == "" {
			t.Error("a nonsense quantity was taken")
		}
	}
}

func second[T any](_ T, err error) error { return err }
