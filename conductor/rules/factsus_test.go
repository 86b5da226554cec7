package rules_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// metals are the materials that a word of the facts stands for.
func metals(t *testing.T, word string) []conductor.Material {
	t.Helper()
	switch word {
	case "copper", "copper_uncoated":
		return []conductor.Material{conductor.Copper}
	case "aluminum":
		return []conductor.Material{conductor.Aluminum}
	case "copper_clad_aluminum":
		return []conductor.Material{conductor.CopperCladAluminum}
	case "aluminum_or_cca":
		return []conductor.Material{conductor.Aluminum, conductor.CopperCladAluminum}
	case "any":
		return []conductor.Material{conductor.Copper, conductor.Aluminum}
	}
	t.Fatalf("unknown material %q", word)
	return nil
}

func size(t *testing.T, awg string) conductor.Size {
	t.Helper()
	s, err := conductor.ParseSize(awg + " AWG")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func celsius(t *testing.T, text string) quantity.Temperature {
	t.Helper()
	c, err := quantity.ParseTemperature(text + " C")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func amperes(t *testing.T, text string) quantity.Current {
	t.Helper()
	c, err := quantity.ParseCurrent(text + " A")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// only returns the one row that matches.
func only[T any](t *testing.T, f fact, r *rules.Region, rows []T, match func(T) bool) (row T) {
	t.Helper()
	n := 0
	for _, x := range rows {
		if match(x) {
			row = x
			n++
		}
	}
	if n != 1 {
		t.Errorf("%s: %d rows for %v", r.ID, n, f.row)
	}
	return row
}

func ampacity(t *testing.T, f fact) {
	superseded := f.get("edition_to") == "2008"
	if superseded {
		f.regions = []*rules.Region{load(t, "us-2017")}
	}
	for _, r := range f.regions {
		for _, metal := range metals(t, f.get("material")) {
			row := only(t, f, r, r.Conductor.Ampacities, func(a conductor.Ampacity) bool {
				return a.Material == metal && a.Size == size(t, f.get("awg")) && a.Rating == celsius(t, f.get("temp_c"))
			})
			if superseded {
				if row.Current.Amperes() == f.value(t) {
					t.Errorf("%s has the superseded %v", r.ID, f.row)
				}
				continue
			}
			f.want(t, r, row.Current.Amperes(), row.Source)
		}
	}
}

func ambient(t *testing.T, f fact) {
	for _, r := range f.regions {
		row := only(t, f, r, r.Conductor.Ambient, func(a conductor.AmbientRow) bool {
			return a.UpTo == celsius(t, f.get("ambient_to_c")) && a.Rating == celsius(t, f.get("conductor_temp_c"))
		})
		f.want(t, r, row.Factor.Float64(), row.Source)
		if fahrenheit, _ := quantity.ParseTemperature(f.get("ambient_to_f") + " F"); fahrenheit != row.UpTo {
			t.Errorf("%s: %s F is not the end of the row of %s C", r.ID, f.get("ambient_to_f"), f.get("ambient_to_c"))
		}
		if r.Conductor.AmbientBase != 30*quantity.Celsius {
			t.Errorf("%s: base ambient %s", r.ID, r.Conductor.AmbientBase)
		}
	}
}

func bundling(t *testing.T, f fact) {
	for _, r := range f.regions {
		row := only(t, f, r, r.Conductor.Bundling, func(b conductor.BundlingRow) bool { return strconv.Itoa(b.From) == f.get("ccc_from") })
		f.want(t, r, row.Factor.Float64(), row.Source)
		if upTo, _ := strconv.Atoi("0" + f.get("ccc_to")); upTo != row.UpTo {
			t.Errorf("%s: %v ends at %d", r.ID, f.row, row.UpTo)
		}
	}
}

func impedance(t *testing.T, f fact) {
	raceways := map[string][]conductor.Raceway{"pvc": {conductor.PVC}, "aluminum": {conductor.AluminumRaceway}, "steel": {conductor.SteelRaceway},
		"pvc_or_aluminum": {conductor.PVC, conductor.AluminumRaceway}}[f.get("conduit")]
	for _, r := range f.regions {
		for _, metal := range metals(t, f.get("material")) {
			if metal == conductor.Aluminum && f.get("awg") == "14" {
				continue // the table lists no 14 AWG aluminum
			}
			for _, raceway := range raceways {
				row := only(t, f, r, r.Conductor.Impedances, func(i conductor.Impedance) bool {
					return i.Material == metal && i.Raceway == raceway && i.Size == size(t, f.get("awg"))
				})
				figure := map[string]quantity.ResistancePerLength{"XL": row.Reactance, "R_ac": row.Resistance, "Z_eff_pf_0.85": row.Effective85}[f.get("quantity")]
				f.want(t, r, perThousandFeet(figure), row.Source)
			}
		}
	}
}

func perThousandFeet(r quantity.ResistancePerLength) float64 {
	return float64(r) / float64(quantity.OhmPerThousandFeet)
}

func properties(t *testing.T, f fact) {
	for _, r := range f.regions {
		s := size(t, f.get("awg"))
		if f.get("unit") == "cmil" {
			row := only(t, f, r, r.Conductor.Sizes, func(x conductor.SizeRow) bool { return x.Size == s })
			f.want(t, r, float64(row.Area), row.Source)
			continue
		}
		stranding, err := conductor.ParseStranding(f.get("strand"))
		if err != nil {
			t.Fatal(err)
		}
		row := only(t, f, r, r.Conductor.Resistances, func(x conductor.Resistance) bool {
			return x.Material == metals(t, f.get("material"))[0] && x.Size == s && x.Stranding == stranding
		})
		if row.At != 75*quantity.Celsius {
			t.Errorf("%s: %v stands at %s", r.ID, f.row, row.At)
		}
		if f.get("unit") == "ohm_per_kft_dc_75c" {
			f.want(t, r, perThousandFeet(row.Resistance), row.Source)
			continue
		}
		// a conversion printed with four decimals, made with a rounded factor
		if got := float64(row.Resistance) / float64(quantity.OhmPerKilometer); math.Abs(got-f.value(t)) > 0.5e-4+1e-7*got {
			t.Errorf("%s: %v ohm/km, want %v", r.ID, got, f.row)
		}
	}
}

func continuous(t *testing.T, f fact) {
	for _, r := range f.regions {
		c := r.Conductor.Continuous
		switch f.get("key") {
		case "continuous_load_min_duration":
			f.want(t, r, c.MinDuration.Hours(), c.Source)
		case "conductor_factor_continuous":
			f.want(t, r, c.Conductor.Float64(), c.Source)
		case "ocpd_factor_continuous":
			f.want(t, r, c.Overcurrent.Float64(), c.OvercurrentSource)
		case "conductor_factor_noncontinuous", "conductor_check_before_adjustment_and_correction":
			// how sizing uses the factor, not a figure of the table
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

func grounding(t *testing.T, f fact) {
	for _, r := range f.regions {
		for _, metal := range metals(t, f.get("material")) {
			row := only(t, f, r, r.Conductor.Grounding, func(g conductor.GroundingRow) bool {
				return g.Material == metal && g.UpTo == amperes(t, f.get("ocpd_not_exceeding_a"))
			})
			if row.Size != size(t, f.get("value")) {
				t.Errorf("%s: %s, want %v", r.ID, row.Size, f.row)
			}
			f.sourced(t, r, row.Source)
		}
	}
}

func groundingIncrease(t *testing.T, f fact) {
	for _, r := range f.regions {
		g := r.Conductor.GroundingIncrease
		switch f.get("rule_key") + f.get("key") {
		case "increase_in_proportion_to_circular_mil_ratio":
			f.wantBool(t, r, g.Basis == conductor.ByArea, g.Source)
		case "trigger_any_increase_over_min_size_with_sufficient_ampacity", "baseline_is_size_before_adjustment_and_correction":
			f.wantBool(t, r, g.Baseline == conductor.BeforeCorrection, g.Source)
		case "increase_made_only_for_310_15_B_or_C_is_exempt":
			f.wantBool(t, r, g.Baseline == conductor.AfterCorrection, g.Source)
		case "egc_never_required_larger_than_circuit_conductors":
			f.wantBool(t, r, g.NeverAboveCircuit, g.Source)
		case "qualified_person_alternative_250_4_A_5":
			// an engineered alternative that sizing does not offer
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

func nonmetallic(t *testing.T, f fact) {
	for _, r := range f.regions {
		n, exempt := r.Conductor.Nonmetallic, r.Conductor.BundlingExempt
		switch f.get("key") {
		case "final_ampacity_limit_column":
			f.want(t, r, n.Limit.DegreesCelsius(), n.Source)
		case "derating_start_column":
			f.want(t, r, n.Start.DegreesCelsius(), n.Source)
		case "bundled_if_more_than_n_cables_same_sealed_or_foamed_wood_opening", "bundled_if_more_than_n_cables_in_thermal_insulation_without_spacing":
			f.want(t, r, float64(n.TogetherAbove), n.Source)
		case "min_current_carrying_conductors_per_cable_for_rule":
			f.want(t, r, float64(n.MinCarrying), n.Source)
		case "bundling_length_exempt_up_to":
			f.want(t, r, exempt.Length.Feet()*12, exempt.Source)
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

func nextSizeUp(t *testing.T, f fact) {
	for _, r := range f.regions {
		n, least := r.Conductor.NextSizeUp, r.Conductor.MinimumRating
		switch f.get("key") {
		case "max_ocpd_for_next_size_up":
			f.want(t, r, n.UpTo.Amperes(), n.Source)
		case "not_allowed_if_multi_receptacle_cord_and_plug_circuit":
			f.wantBool(t, r, n.NotForReceptacles, n.Source)
		case "only_if_ampacity_is_not_a_standard_size", "small_conductor_cap_still_applies_14_12_10":
			// how sizing uses the rule; overcurrentOracle and smallConductor check the figures
		case "branch_circuit_min_rating_before_2023":
			if r.Edition != "2023" {
				f.want(t, r, least.Rating.Amperes(), least.Source)
			}
		case "branch_circuit_min_rating_2023":
			if r.Edition == "2023" {
				f.want(t, r, least.Rating.Amperes(), least.Source)
			}
		default:
			t.Errorf("no check for %v", f.row)
		}
		if least.Suggested != 15*quantity.Ampere {
			t.Errorf("%s suggests %s", r.ID, least.Suggested)
		}
	}
}

func standardSize(t *testing.T, f fact) {
	kind := conductor.BreakerOrFuse
	if f.get("unit") == "A_fuse_only" {
		kind = conductor.FuseOnly
	}
	for _, r := range f.regions {
		row := only(t, f, r, r.Conductor.Overcurrent, func(o conductor.OvercurrentSize) bool {
			return o.Rating == amperes(t, f.get("rating")) && o.Kind == kind
		})
		f.want(t, r, row.Rating.Amperes(), row.Source)
	}
}

// overcurrentOracle works the largest device for an ampacity out of the
// standard ratings in the plainest way.
func overcurrentOracle(t *testing.T, f fact) {
	for _, r := range f.regions {
		var ratings []quantity.Current
		for _, o := range r.Conductor.Overcurrent {
			if o.Kind == conductor.BreakerOrFuse {
				ratings = append(ratings, o.Rating)
			}
		}
		slices.Sort(ratings)
		at, _ := slices.BinarySearch(ratings, amperes(t, f.get("ampacity_a")))
		exact := ratings[at] == amperes(t, f.get("ampacity_a"))
		if !exact && f.get("multi_receptacle") == "1" && r.Conductor.NextSizeUp.NotForReceptacles {
			at--
		}
		f.want(t, r, ratings[at].Amperes(), r.Conductor.NextSizeUp.Source)
	}
}

func smallConductor(t *testing.T, f fact) {
	for _, r := range f.regions {
		for _, metal := range metals(t, f.get("material")) {
			row := only(t, f, r, r.Conductor.SmallConductors, func(s conductor.SmallConductor) bool {
				return s.Material == metal && s.Size == size(t, f.get("awg"))
			})
			if f.get("unit") == "A_max_continuous" {
				f.want(t, r, row.MaxContinuous.Amperes(), row.Source)
			} else {
				f.want(t, r, row.MaxRating.Amperes(), row.Source)
			}
		}
	}
}

func termination(t *testing.T, f fact) {
	key := f.get("rule_key")
	if key == "torque_rule_exists" {
		rule, _ := load(t, "us-2017").Wiring.Rule(rules.TorqueTool)
		if rule.During.Holds(2014) {
			t.Error("the torque rule is older than the facts say")
		}
		return
	}
	for _, r := range f.regions {
		rule := r.Conductor.Terminations
		switch key {
		case "default_termination_column_100a_or_less_or_14_to_1_awg":
			f.want(t, r, rule.Default.DegreesCelsius(), rule.Source)
			if rule.ThresholdSize != conductor.AWG(1) {
				t.Errorf("%s: threshold %s", r.ID, rule.ThresholdSize)
			}
		case "column_if_all_terminations_listed_75":
			// a fact of the terminations, which the question states
		case "termination_column_over_100a":
			f.want(t, r, rule.Above.DegreesCelsius(), rule.Source)
		case "threshold":
			f.want(t, r, rule.ThresholdRating.Amperes(), rule.Source)
		case "torque_calibrated_tool_required":
			wantRule(t, f, r, rules.TorqueTool, rules.Required)
		case "torque_approved_means_required":
			wantRule(t, f, r, rules.TorqueApproved, rules.Required)
		case "push_in_terminal_max_awg_copper_solid_15a_receptacle":
			rule := wantRule(t, f, r, rules.PushInLargest, rules.Permitted)
			f.want(t, r, float64(rule.Count), rule.Source)
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

// wantRule returns a rule that must be there, say what it should and hold in
// the edition.
func wantRule(t *testing.T, f fact, r *rules.Region, name rules.Name, says rules.Says) rules.Rule {
	t.Helper()
	rule, ok := r.Wiring.Rule(name)
	if !ok || rule.Says != says {
		t.Errorf("%s: %q says %q, want %q (%v)", r.ID, name, rule.Says, says, f.row)
		return rule
	}
	if year, err := strconv.Atoi(r.Edition); err != nil || !rule.During.Holds(year) {
		t.Errorf("%s: %q does not hold in its own edition", r.ID, name)
	}
	f.sourced(t, r, rule.Source)
	return rule
}

func dropLimit(t *testing.T, f fact) {
	limits := map[string]string{"branch_circuit_recommended_max": "branch circuit", "feeder_recommended_max": "feeder",
		"feeder_plus_branch_recommended_max": "feeder and branch circuit"}
	for _, r := range f.regions {
		if material, ok := strings.CutPrefix(f.get("key"), "k_"); ok {
			metal := metals(t, strings.TrimSuffix(material, "_75c"))[0]
			row := only(t, f, r, r.Conductor.Constants, func(c conductor.DropConstant) bool { return c.Material == metal })
			f.want(t, r, perThousandFeet(row.K)/1000, row.Source)
			continue
		}
		row := only(t, f, r, r.Conductor.DropLimits, func(l conductor.DropLimit) bool { return l.Use == limits[f.get("key")] })
		f.want(t, r, row.Limit.Float64()*100, row.Source)
		if row.Force != conductor.Advice {
			t.Errorf("%s: %q binds", r.ID, row.Use)
		}
	}
}
