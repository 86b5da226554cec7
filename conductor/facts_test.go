package conductor

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/switchleg/conductor/quantity"
)

// facts reads one table of figures as rows of named cells.
func facts(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("rules", "testdata", "facts", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(records) < 2 {
		t.Fatalf("%s has no rows", name)
	}
	rows := make([]map[string]string, 0, len(records))
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, cell := range record {
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// must unwraps a value a test cannot do without.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func amps(number string) quantity.Current { return must(quantity.ParseCurrent(number + " A")) }
func degC(number string) quantity.Temperature {
	return must(quantity.ParseTemperature(number + " C"))
}
func factorOf(number string) quantity.Ratio { return must(quantity.ParseFactor(number)) }
func perKft(number string) quantity.ResistancePerLength {
	return must(quantity.ParseResistancePerLength(number + " ohm/kft"))
}

// sizeOf reads a size as the figures write it: a gauge, or a number of kcmil.
func sizeOf(text string) Size {
	if s := parseGauge(text); s.Valid() {
		return s
	}
	return must(ParseSize(text + " kcmil"))
}

func sourceOf(row map[string]string, edition string) Source {
	return Source{row["rule"], edition, must(ParseConfidence(row["confidence"]))}
}

// inForce reports whether a row holds in the edition.
func inForce(row map[string]string, edition string) bool {
	from, to := row["edition_from"], row["edition_to"]
	return from <= edition && (to == "" || edition <= to)
}

// metals returns the materials a row of figures is for.
func metals(text string) []Material {
	switch text {
	case "copper", "copper_uncoated":
		return []Material{Copper}
	case "aluminum":
		return []Material{Aluminum}
	case "copper_clad_aluminum":
		return []Material{CopperCladAluminum}
	case "aluminum_or_cca":
		return []Material{Aluminum, CopperCladAluminum}
	}
	panic("material " + text)
}

// usTable fills a table by hand from the figures, for one edition. It is
// deliberately another path than the rule files.
func usTable(t testing.TB, edition string) Table {
	t.Helper()
	table := Table{Region: "us-" + edition, AmbientBase: 30 * quantity.Celsius, DropMethod: ByResistance, DropUse: "branch circuit"}
	high := Source{Edition: edition, Confidence: HighConfidence}
	at := func(section string) Source { s := high; s.Section = section; return s }

	for _, row := range facts(t, "us_conductor_properties_t8") {
		size := sizeOf(row["awg"])
		switch row["unit"] {
		case "cmil":
			table.Sizes = append(table.Sizes, SizeRow{size, must(quantity.ParseCircularMils(row["value"] + " cmil")), sourceOf(row, edition)})
		case "ohm_per_kft_dc_75c":
			table.Resistances = append(table.Resistances, Resistance{metals(row["material"])[0], size, must(ParseStranding(row["strand"])),
				perKft(row["value"]), 75 * quantity.Celsius, sourceOf(row, edition)})
		}
	}
	for _, n := range []int{250, 350, 500} {
		table.Sizes = append(table.Sizes, SizeRow{Kcmil(n), quantity.CircularMils(n) * quantity.KCircularMil, at("Ch 9 T8")})
	}
	table.LeastSize = LeastSize{AWG(14), at("T310.3(A)")}
	for _, row := range facts(t, "us_ampacity") {
		if !inForce(row, edition) {
			continue
		}
		for _, m := range metals(row["material"]) {
			table.Ampacities = append(table.Ampacities, Ampacity{m, sizeOf(row["awg"]), degC(row["temp_c"]), "", amps(row["value"]), sourceOf(row, edition)})
		}
	}
	for _, row := range facts(t, "us_ambient_correction_30c") {
		table.Ambient = append(table.Ambient, AmbientRow{degC(row["ambient_to_c"]), degC(row["conductor_temp_c"]), factorOf(row["value"]), sourceOf(row, edition)})
	}
	for _, row := range facts(t, "us_bundling_adjustment") {
		table.Bundling = append(table.Bundling, BundlingRow{atoi(row["ccc_from"]), atoi(row["ccc_to"]), factorOf(row["value"]), sourceOf(row, edition)})
	}
	table.BundlingExempt = LengthRule{24 * quantity.Inch, at("310.15(C)(1)")}
	table.Terminations = TerminationRule{60 * quantity.Celsius, 100 * quantity.Ampere, AWG(1), 75 * quantity.Celsius, at("110.14(C)(1)")}
	table.Nonmetallic = NonmetallicRule{60 * quantity.Celsius, 90 * quantity.Celsius, 2, 2, at("334.80")}
	table.Continuous = ContinuousRule{125 * quantity.Percent, 125 * quantity.Percent, 3 * time.Hour, at("210.19(A)(1)"), at("210.20(A)")}
	table.AtAmpacity = at("240.4")
	for _, row := range facts(t, "us_ocpd_standard_sizes") {
		if !inForce(row, edition) || row["rating"] == "601" {
			continue
		}
		kind := BreakerOrFuse
		if row["unit"] == "A_fuse_only" {
			kind = FuseOnly
		}
		table.Overcurrent = append(table.Overcurrent, OvercurrentSize{amps(row["value"]), kind, sourceOf(row, edition)})
	}
	table.MinimumRating = MinimumRating{15 * quantity.Ampere, 15 * quantity.Ampere, 15 * quantity.Ampere, at("210.18")}
	if edition >= "2023" {
		table.MinimumRating.Rating = 10 * quantity.Ampere
	}
	table.NextSizeUp = NextSizeUpRule{800 * quantity.Ampere, true, at("240.4(B)")}
	caps := map[SmallConductor]*SmallConductor{}
	for _, row := range facts(t, "us_small_conductor_ocpd") {
		if !inForce(row, edition) {
			continue
		}
		for _, m := range metals(row["material"]) {
			key := SmallConductor{Material: m, Size: sizeOf(row["awg"])}
			if caps[key] == nil {
				caps[key] = &SmallConductor{Material: m, Size: key.Size, Source: sourceOf(row, edition)}
			}
			switch row["unit"] {
			case "A_max_ocpd":
				caps[key].MaxRating = amps(row["value"])
			case "A_max_continuous":
				caps[key].MaxContinuous = amps(row["value"])
			}
		}
	}
	for _, row := range caps {
		table.SmallConductors = append(table.SmallConductors, *row)
	}
	for _, row := range facts(t, "us_egc_min_size") {
		for _, m := range metals(row["material"]) {
			table.Grounding = append(table.Grounding, GroundingRow{amps(row["ocpd_not_exceeding_a"]), m, sizeOf(row["value"]), sourceOf(row, edition)})
		}
	}
	table.GroundingIncrease = GroundingIncrease{ByArea, AfterCorrection, true, at("250.122(B)")}
	if edition == "2017" {
		table.GroundingIncrease.Baseline = BeforeCorrection
	}
	table.Impedances = usImpedances(t, edition)
	for _, row := range facts(t, "us_voltage_drop_limits") {
		s := sourceOf(row, edition)
		switch row["key"] {
		case "branch_circuit_recommended_max":
			table.DropLimits = append(table.DropLimits, DropLimit{Use: "branch circuit", Limit: percent(row["value"]), Force: Advice, Source: s})
		case "feeder_recommended_max":
			table.DropLimits = append(table.DropLimits, DropLimit{Use: "feeder", Limit: percent(row["value"]), Force: Advice, Source: s})
		case "feeder_plus_branch_recommended_max":
			table.DropLimits = append(table.DropLimits, DropLimit{Use: "feeder and branch circuit", Limit: percent(row["value"]), Force: Advice, Source: s})
		case "k_copper_75c":
			table.Constants = append(table.Constants, DropConstant{Copper, ohmPerFoot(row["value"]), s})
		case "k_aluminum_75c":
			table.Constants = append(table.Constants, DropConstant{Aluminum, ohmPerFoot(row["value"]), s})
		}
	}
	table.Elsewhere = []Elsewhere{{RuleFaultLoop, []string{"uk-2018"}}}
	return table
}

func usImpedances(t testing.TB, edition string) []Impedance {
	type place struct {
		size    Size
		m       Material
		raceway Raceway
	}
	rows := map[place]*Impedance{}
	reactance := map[string]quantity.ResistancePerLength{}
	var order []place
	for _, row := range facts(t, "us_ac_impedance_t9") {
		if row["quantity"] == "XL" {
			reactance[row["awg"]+row["conduit"]] = perKft(row["value"])
			continue
		}
		key := place{sizeOf(row["awg"]), metals(row["material"])[0], must(ParseRaceway(row["conduit"]))}
		if rows[key] == nil {
			x := reactance[row["awg"]+"pvc_or_aluminum"]
			if key.raceway == SteelRaceway {
				x = reactance[row["awg"]+"steel"]
			}
			rows[key] = &Impedance{Material: key.m, Size: key.size, Raceway: key.raceway, Reactance: x, Source: sourceOf(row, edition)}
			order = append(order, key)
		}
		switch row["quantity"] {
		case "R_ac":
			rows[key].Resistance = perKft(row["value"])
		case "Z_eff_pf_0.85":
			rows[key].Effective85 = perKft(row["value"])
		}
	}
	var all []Impedance
	for _, key := range order {
		all = append(all, *rows[key])
	}
	return all
}

// ukTable fills the metric table by hand from the figures.
func ukTable(t testing.TB) Table {
	t.Helper()
	const edition = "2018"
	at := func(section string, c Confidence) Source { return Source{section, edition, c} }
	table := Table{Region: "uk-2018", AmbientBase: 30 * quantity.Celsius, DropMethod: ByRate, DropUse: "lighting"}
	seen := map[string]bool{}
	for _, row := range facts(t, "uk_flat_twin_earth_capacity") {
		size := must(ParseSize(row["csa_mm2"] + " mm2"))
		if !seen[row["csa_mm2"]] {
			seen[row["csa_mm2"]] = true
			table.Sizes = append(table.Sizes, SizeRow{Size: size, Source: sourceOf(row, edition)})
		}
		name, words, _ := strings.Cut(row["method"], "_")
		if !seen[name] {
			seen[name] = true
			table.Methods = append(table.Methods, Method{name, strings.ReplaceAll(words, "_", " "), sourceOf(row, edition)})
		}
		table.Ampacities = append(table.Ampacities, Ampacity{Copper, size, 70 * quantity.Celsius, name, amps(row["value"]), sourceOf(row, edition)})
	}
	for _, row := range facts(t, "uk_flat_twin_earth_voltage_drop") {
		table.DropRates = append(table.DropRates, DropRate{must(ParseSize(row["csa_mm2"] + " mm2")),
			must(quantity.ParseVoltDropRate(row["value"] + " mV/A/m")), sourceOf(row, edition)})
	}
	table.DropLimits = []DropLimit{
		{Use: "lighting", Limit: 3 * quantity.Percent, Force: Binding, Source: at("525", HighConfidence)},
		{Use: "other", Limit: 5 * quantity.Percent, Force: Binding, Source: at("525", HighConfidence)},
		{Use: "private lighting", Limit: 6 * quantity.Percent, Force: Binding, LongRun: 100 * quantity.Meter,
			PerMeter: 5 * quantity.Percent / 1000, MostAdded: quantity.Percent / 2, Source: at("App 4", LowConfidence)},
	}
	table.Continuous = ContinuousRule{quantity.Whole, quantity.Whole, time.Hour, at("433.1.1", HighConfidence), at("433.1.1", HighConfidence)}
	table.AtAmpacity = at("433.1.1", HighConfidence)
	for _, rating := range []quantity.Current{6, 10, 16, 20, 32, 40} {
		table.Overcurrent = append(table.Overcurrent, OvercurrentSize{rating * quantity.Ampere, BreakerOrFuse, at("433.1.1", MediumConfidence)})
	}
	// Resistance of solid copper at 20 C, from the construction standard.
	for size, ohms := range map[string]string{"1.0": "18.1", "1.5": "12.1", "2.5": "7.41", "4.0": "4.61"} {
		table.Resistances = append(table.Resistances, Resistance{Copper, must(ParseSize(size + " mm2")), Solid,
			must(quantity.ParseResistancePerLength(ohms + " ohm/km")), 20 * quantity.Celsius, at("BS EN 60228", MediumConfidence)})
	}
	table.FaultLoop = FaultLoopRule{
		Curves: []TripCurve{
			{"B", 5 * quantity.Whole, at("T41.3", MediumConfidence)},
			{"C", 10 * quantity.Whole, at("T41.3", MediumConfidence)}},
		VoltageFactor: 95 * quantity.Percent, Rise: 120 * quantity.Percent, Source: at("411.4.4", MediumConfidence)}
	return table
}

func percent(number string) quantity.Ratio { return must(quantity.ParseRatio(number + " %")) }

func ohmPerFoot(number string) quantity.ResistancePerLength {
	return 1000 * must(quantity.ParseResistancePerLength(number+" ohm/kft"))
}

func atoi(text string) int {
	n := 0
	for _, d := range text {
		n = 10*n + int(d-'0')
	}
	return n
}

func sizerOf(t testing.TB, table Table) *Sizer {
	t.Helper()
	s, err := NewSizer(table)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
