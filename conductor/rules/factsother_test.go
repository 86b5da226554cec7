package rules_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

func canadianRule(t *testing.T, f fact) {
	for _, r := range f.regions {
		switch key := f.get("rule_key"); key {
		case "neutral_at_each_luminaire_control_location":
			n := r.Wiring.Neutral
			f.wantBool(t, r, n.Rule.Says == rules.Required, n.Rule.Source)
			if len(n.Places) != 1 || n.Places[0].Name != rules.Anywhere || n.Rule.During.Since != 2015 {
				t.Errorf("%s: %+v", r.ID, n)
			}
		case "stairway_3way_switch_head_and_foot_min_risers":
			rule := wantRule(t, f, r, rules.StairSwitchEachLevel, rules.Required)
			f.want(t, r, float64(rule.Count), rule.Source)
		case "single_switch_allowed_unfinished_basement_stairs":
			wantRule(t, f, r, rules.StairSingleUnfinished, rules.Permitted)
		case "free_conductor_min":
			rule := wantRule(t, f, r, rules.FreeConductor, rules.Required)
			f.want(t, r, rule.Length.Meters()*1000, rule.Source)
		case "nmsc_touching_longer_than_derates":
			rule := wantRule(t, f, r, rules.TouchingDerates, rules.Required)
			f.want(t, r, rule.Length.Meters()*1000, rule.Source)
		case "ampacity_tables_2_and_4_equal_nec_310_16":
			sameAmpacities(t, r, load(t, "us-2023"))
		case "max_ocpd_14_awg_copper", "max_ocpd_12_awg_copper", "max_ocpd_10_awg_copper":
			awg := strings.Split(key, "_")[2]
			row := only(t, f, r, r.Conductor.SmallConductors, func(s conductor.SmallConductor) bool {
				return s.Material == conductor.Copper && s.Size == size(t, awg)
			})
			f.want(t, r, row.MaxRating.Amperes(), row.Source)
		case "bonding_increase_uses_ampacity_column_not_cmil_ratio":
			g := r.Conductor.GroundingIncrease
			f.wantBool(t, r, g.Basis == conductor.ByAmpacity, g.Source)
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

// sameAmpacities compares the ampacities of ca with those of the other region.
func sameAmpacities(t *testing.T, ca, us *rules.Region) {
	t.Helper()
	for _, a := range ca.Conductor.Ampacities {
		i := slices.IndexFunc(us.Conductor.Ampacities, func(b conductor.Ampacity) bool {
			return a.Material == b.Material && a.Size == b.Size && a.Rating == b.Rating
		})
		if i < 0 || us.Conductor.Ampacities[i].Current != a.Current {
			t.Errorf("%s %s at %s: %s", a.Size, a.Material, a.Rating.InCelsius(), a.Current)
		}
	}
	if len(ca.Conductor.Ampacities) != 75 { // 13 sizes of copper, 12 of aluminum, three columns
		t.Errorf("ca has %d ampacities", len(ca.Conductor.Ampacities))
	}
}

func colour(t *testing.T, f fact) {
	function := map[string]rules.Function{"line_single_phase": rules.Line, "neutral": rules.Neutral, "protective_conductor": rules.Protective,
		"three_phase_L1": rules.Phase1, "three_phase_L2": rules.Phase2, "three_phase_L3": rules.Phase3,
		"three_core_and_earth_core1": rules.Core1, "three_core_and_earth_core2": rules.Core2, "three_core_and_earth_core3": rules.Core3}[f.get("conductor")]
	for _, r := range f.regions {
		p, ok := scheme(t, r, f.get("scheme")).Palette(function)
		var names []string
		for _, c := range p.Colours {
			names = append(names, strings.ReplaceAll(c.String(), "/", "_"))
		}
		if got, want := strings.Join(names, "_or_"), strings.ReplaceAll(f.get("value"), "grey", "gray"); !ok || got != want {
			t.Errorf("%s: %s is %s, want %s", r.ID, function, got, want)
		}
		f.sourced(t, r, p.Source)
	}
}

func scheme(t *testing.T, r *rules.Region, name string) *rules.ColourScheme {
	t.Helper()
	i := slices.IndexFunc(r.Wiring.Schemes, func(s rules.ColourScheme) bool { return s.Name == name })
	if i < 0 {
		t.Fatalf("%s has no colour scheme %q", r.ID, name)
	}
	return &r.Wiring.Schemes[i]
}

func colourDate(t *testing.T, f fact) {
	for _, r := range f.regions {
		old, now := scheme(t, r, "old"), scheme(t, r, "harmonised")
		first := func(s *rules.ColourScheme, fn rules.Function) conductor.Colour {
			p, _ := s.Palette(fn)
			return p.Colours[0]
		}
		switch f.get("key") {
		case "new_colours_allowed_from":
			if got := strings.ReplaceAll(now.From.String(), "-", ""); got != f.get("value") {
				t.Errorf("%s: harmonised from %s", r.ID, got)
			}
		case "old_colours_not_for_new_work_from":
			// the scheme holds the last day it was allowed, which is the day before
			day, err := rules.ParseDate("2006-04-01")
			if err != nil || f.get("value") != "20060401" || old.Until.String() != "2006-03-31" || !old.Until.Before(day) {
				t.Errorf("%s: old until %s", r.ID, old.Until)
			}
		case "mixing_both_in_one_installation_needs_notice":
			wantRule(t, f, r, rules.MixedSchemesNotice, rules.Required)
		case "black_meaning_swaps_neutral_to_line":
			if first(old, rules.Neutral) != conductor.Plain(conductor.Black) || first(now, rules.Phase2) != conductor.Plain(conductor.Black) {
				t.Errorf("%s: black does not swap", r.ID)
			}
		case "blue_meaning_swaps_line_to_neutral":
			if first(old, rules.Phase3) != conductor.Plain(conductor.Blue) || first(now, rules.Neutral) != conductor.Plain(conductor.Blue) {
				t.Errorf("%s: blue does not swap", r.ID)
			}
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

func metric(t *testing.T, f fact) conductor.Size {
	t.Helper()
	s, err := conductor.ParseSize(f.get("csa_mm2") + " mm2")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func flatCapacity(t *testing.T, f fact) {
	method, _, _ := strings.Cut(f.get("method"), "_")
	for _, r := range f.regions {
		row := only(t, f, r, r.Conductor.Ampacities, func(a conductor.Ampacity) bool { return a.Size == metric(t, f) && a.Method == method })
		f.want(t, r, row.Current.Amperes(), row.Source)
		if row.Rating != 70*quantity.Celsius || r.Conductor.AmbientBase != 30*quantity.Celsius {
			t.Errorf("%s: %s at %s", r.ID, row.Rating.InCelsius(), r.Conductor.AmbientBase.InCelsius())
		}
	}
}

func flatProtective(t *testing.T, f fact) {
	for _, r := range f.regions {
		for _, s := range r.Stock.Cables {
			if s.Type.Size == metric(t, f) {
				area := s.Type.GroundingSize().Area().SquareMillimeters()
				if area != f.value(t) {
					t.Errorf("%s has a protective conductor of %v mm2: %v", s.Type.Name, area, f.row)
				}
			}
		}
	}
}

func flatDrop(t *testing.T, f fact) {
	for _, r := range f.regions {
		row := only(t, f, r, r.Conductor.DropRates, func(d conductor.DropRate) bool { return d.Size == metric(t, f) })
		f.want(t, r, float64(row.Rate)/float64(quantity.MillivoltPerAmpereMeter), row.Source)
	}
}

func flatDropLimit(t *testing.T, f fact) {
	for _, r := range f.regions {
		use := "other uses"
		if strings.HasPrefix(f.get("key"), "lighting") {
			use = "lighting"
		}
		row := only(t, f, r, r.Conductor.DropLimits, func(l conductor.DropLimit) bool { return l.Use == use })
		if f.get("unit") == "V" { // of the usual system of supply
			volts, _ := quantity.Scale(r.Wiring.Systems[0].Volts, row.Limit)
			f.want(t, r, volts.Volts(), row.Source)
			continue
		}
		f.want(t, r, row.Limit.Float64()*100, row.Source)
	}
}

func switchTerms(t *testing.T, f fact) {
	for _, r := range f.regions {
		terms := r.Wiring.Terms
		if terms.SinglePole.Word != "one-way" || terms.ThreeWay.Word != "two-way" || terms.FourWay.Word != "intermediate" || terms.Traveler != "strapper" {
			t.Errorf("%s: %+v", r.ID, terms)
		}
		got, ok := map[string]int{"one_way_terminals": terms.SinglePole.Terminals, "two_way_terminals": terms.ThreeWay.Terminals,
			"intermediate_terminals": terms.FourWay.Terminals, "two_way_switches_in_chain": terms.Ends,
			"intermediates_for_n_positions_minus": terms.Ends, "strappers_between_two_positions": terms.Travelers}[f.get("key")]
		if !ok {
			continue // how a chain behaves, which the graph decides
		}
		f.want(t, r, float64(got), terms.Source)
	}
}

// TestConflicts wants the value that was kept where public sources disagree.
// A conflict that no region decides is set aside with the reason.
func TestConflicts(t *testing.T) {
	// decided by a row that TestFacts checks, or below
	decided := []string{
		"ampacity_edition copper 14 AWG 60C",
		"ampacity_edition copper 12 AWG 60C",
		"ampacity_edition copper 3 AWG 90C",
		"ampacity_edition copper 1 AWG 90C",
		"ampacity_edition aluminum 12 AWG 60C",
		"ampacity_edition aluminum 8 AWG 60C",
		"ampacity_edition aluminum 6 AWG 90C",
		"ambient 75C conductor 10C or less",
		"t9 copper 3/0 PVC effective Z",
		"box_table 8 AWG in 4x1-1/4 octagon",
		"t8 2 AWG circular mils",
		"egc_fill more than four EGC in 2020+",
		"egc_fill quarter of what",
		"device_fill yoke allowance basis",
		"ocpd_sizes 10 A as a standard breaker in 2023",
		"neutral_rule bathroom under 2014 404.2(C)",
		"stairs item number of the six-riser rule",
		"sheath_metal_box 1/4 in sheath inside metal boxes",
		"reidentify white as return from switch",
		"egc_upsize trigger",
		"torque tool",
		"ca_caps five caps",
		"ca_bonds bonding conductors in box fill",
		"ca_12awg_volume 12 AWG",
		"ca_table_name per-conductor volume table",
		"uk_capacity 1.0 mm2 clipped direct",
		"uk_vd_place where the 3/5 percent sits",
		"uk_colour_date harmonised colours year",
		"uk_capacity 2.5 mm2 in conduit in wall",
		"nm_clamp 8 in rule applies to every plastic box",
		"nm_12in 12 in measured along the cable",
	}
	aside := map[string]string{"uk_vd_16th limit": "the edition before the 17th, which no region is for"}
	for _, row := range readFacts(t, "conflicts.csv") {
		conflict := row["topic"] + " " + row["key"]
		if _, ok := aside[conflict]; !ok && !slices.Contains(decided, conflict) {
			t.Errorf("nobody looked at the conflict %v", row)
		}
	}
	uk := load(t, "uk-2018")
	for _, a := range uk.Conductor.Ampacities {
		if a.Method == "A" && a.Size.String() == "2.5 mm2" && (a.Current != 20*quantity.Ampere || a.Source.Confidence != conductor.LowConfidence) {
			t.Errorf("2.5 mm2 in conduit: %s, %s", a.Current, a.Source)
		}
	}
	us := load(t, "us-2023")
	if text := us.Box.Grounds.Beyond.String(); text != "0.25" { // of an allowance, not of a cubic inch
		t.Errorf("each grounding conductor beyond four takes %s of an allowance", text)
	}
	if s := load(t, "ca").Box.Allowances[0].Volume.MetricSource.Section; s != "CEC T22" {
		t.Errorf("the Canadian volumes cite %s", s)
	}
}

// TestRuleQuestions answers the questions that the rule files decide, in the
// edition asked about or, where the rule has not changed since, the nearest.
func TestRuleQuestions(t *testing.T) {
	nearest := map[string]string{"US 2020": "us-2020", "US 2026": "us-2023", "US 2011": "us-2017", "US 2023": "us-2023", "US 2014": "us-2017",
		"US 2017": "us-2017", "US 0": "us-2023", "CA 2009": "ca", "UK 2018": "uk-2018"}
	answered := 0
	for _, row := range readFacts(t, "worked_rule_questions.csv") {
		r := load(t, nearest[row["region"]+" "+row["edition"]])
		got := 0
		switch row["question_key"] {
		case "canopy_max_small_fixture_wires_omitted":
			got = r.Box.FixtureWires.AtMost
		case "canopy_fixture_wire_size_limit_14_awg_itself_omitted":
			if r.Box.FixtureWires.SmallerThan.Compare(conductor.AWG(14)) > 0 {
				got = 1
			}
		case "all_egc_count_as_one_whatever_number":
			if r.Box.Grounds.First == 0 {
				got = 1
			}
		case "internal_clamps_allowances_total":
			got = int(r.Box.Clamps.Weight / 1_000_000_000)
		case "stud_plus_hickey_allowances":
			for _, f := range r.Box.Fittings {
				got += int(f.Rule.Weight / 1_000_000_000)
			}
		case "loop_without_cut_12_in_counts":
			got = int(r.Box.Conductors.Looped.Weight / 1_000_000_000)
		case "terminal_block_allowances":
			got = int(r.Box.TerminalBlocks.Weight / 1_000_000_000)
		case "numbered_places_where_neutral_not_needed":
			for _, e := range r.Wiring.Neutral.Exemptions {
				if e.During.Holds(2020) && e.Exemption != rules.WholeAreaSeenOnce {
					got++
				}
			}
		case "risers_triggering_switch_at_each_level":
			rule, _ := r.Wiring.Rule(rules.StairSwitchEachLevel)
			got = rule.Count
		case "four_way_switches_for_five_locations":
			got = 5 - r.Wiring.Terms.Ends
		case "intermediates_for_four_positions":
			got = 4 - r.Wiring.Terms.Ends
		case "caps_5_deduct_conductors":
			got = 5 / 2 * int(r.Box.Connectors.Weight/1_000_000_000)
		case "2_awg_circular_mils":
			for _, s := range r.Conductor.Sizes {
				if s.Size == conductor.AWG(2) {
					got = int(s.Area)
				}
			}
		default:
			continue // a question about how a chain behaves, which the graph decides
		}
		answered++
		if float64(got) != number(t, row["right"]) {
			t.Errorf("%s: %d, want %s", row["id"], got, row["right"])
		}
	}
	if answered < 13 {
		t.Errorf("only %d questions answered", answered)
	}
}
