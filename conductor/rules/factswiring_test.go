package rules_test

import (
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// expected says which rule a key of the facts is, and what 1 and 0 mean for it.
type expected struct {
	name      rules.Name
	one, zero rules.Says
}

var stairRules = map[string]expected{
	"risers_between_floors_that_trigger_switch_at_each_level":            {name: rules.StairSwitchEachLevel, one: rules.Required},
	"switch_at_each_floor_level":                                         {name: rules.StairSwitchEachLevel, one: rules.Required},
	"switch_at_landing_with_entryway":                                    {name: rules.StairSwitchLanding, one: rules.Required},
	"single_switch_enough_up_to_risers":                                  {name: rules.StairSingleSwitch, one: rules.Permitted},
	"lighting_outlet_in_stairway_regardless_of_risers":                   {name: rules.StairLight, one: rules.Required},
	"three_way_wording_in_rule":                                          {name: rules.StairThreeWayByName, zero: rules.NotRequired},
	"dimmer_must_reach_full_brightness_at_each_location":                 {name: rules.StairDimmerFull, one: rules.Required},
	"listed_wall_mounted_control_device_accepted_instead_of_wall_switch": {name: rules.StairWallControl, one: rules.Permitted},
	"battery_only_control_needs_fail_on":                                 {name: rules.StairBatteryFailsOn, one: rules.Required},
	"remote_central_automatic_control_exempt":                            {name: rules.StairAutomatic, one: rules.Permitted},
}

// says checks that the regions of a row have its rule, and that the others of
// the three have none that holds in their edition.
func (f fact) says(t *testing.T, e expected) {
	t.Helper()
	says := e.one
	if f.get("value") == "0" {
		says = e.zero
	}
	for _, r := range f.regions {
		rule := wantRule(t, f, r, e.name, says)
		if f.get("unit") != "bool" && rule.Count > 0 {
			f.want(t, r, float64(rule.Count), rule.Source)
		}
		if from := f.get("edition_from"); rule.During.Since != 0 && from > "2008" && strconv.Itoa(rule.During.Since) != from {
			t.Errorf("%s: %q since %d, the facts say %s", r.ID, e.name, rule.During.Since, from)
		}
	}
	if f.get("edition_to") != "2026" {
		return
	}
	for _, id := range []string{"us-2017", "us-2020", "us-2023"} {
		if year := strings.TrimPrefix(id, "us-"); year < f.get("edition_from") {
			if _, ok := load(t, id).Wiring.Rule(e.name); ok {
				t.Errorf("%s has %q, which begins in %s", id, e.name, f.get("edition_from"))
			}
		}
	}
}

func stairRule(t *testing.T, f fact) {
	switch key := f.get("rule_key"); key {
	case "item_number_is_letter_c": // an edition no region is for
	case "item_number_is_3":
		for _, r := range f.regions {
			if rule, _ := r.Wiring.Rule(rules.StairSwitchEachLevel); !strings.HasSuffix(rule.Source.Section, "210.70(A)(2)(3)") {
				t.Errorf("%s cites %s", r.ID, rule.Source)
			}
		}
	default:
		e, ok := stairRules[key]
		if !ok {
			t.Fatalf("no check for %v", f.row)
		}
		f.says(t, e)
	}
}

var switchRules = map[string]expected{
	"switching_only_in_ungrounded_conductor_3way_4way":              {name: rules.SwitchUngroundedOnly, one: rules.Required},
	"metal_enclosure_wiring_both_polarities_together":               {name: rules.PolaritiesTogetherInMetal, one: rules.Required},
	"switch_loop_grounded_conductor_not_required_by_404_2_A":        {name: rules.NeutralInSwitchLoop, one: rules.NotRequired},
	"switch_must_not_open_grounded_conductor":                       {name: rules.NeutralNotSwitched, one: rules.Forbidden},
	"ex_all_conductors_opened_together_or_grounded_last":            {name: rules.SwitchOpensAllTogether, one: rules.Permitted},
	"neutral_must_be_connected_if_device_needs_standby_current":     {name: rules.StandbyThroughNeutral, one: rules.Required},
	"retrofit_exception_max_electronic_switches_per_branch":         {name: rules.StandbyReplacementsPerBranch, one: rules.Permitted},
	"retrofit_exception_max_electronic_switches_per_feeder":         {name: rules.StandbyReplacementsPerFeeder, one: rules.Permitted},
	"white_in_cable_allowed_as_ungrounded_if_reidentified":          {name: rules.RemarkedWhiteAsLine, one: rules.Permitted},
	"white_switch_loop_only_as_supply_not_return":                   {name: rules.RemarkedWhiteAsReturn, one: rules.Forbidden},
	"reidentification_required_at_every_visible_accessible_point":   {name: rules.RemarkEverywhere, one: rules.Required},
	"reidentification_of_white_allowed_in_raceway_6awg_or_smaller":  {name: rules.RemarkedWhiteInRaceway, zero: rules.Forbidden},
	"all_conductors_of_circuit_together":                            {name: rules.CircuitTogether, one: rules.Required},
	"screw_shell_connected_to_grounded_conductor":                   {name: rules.ShellOnNeutral, one: rules.Required},
	"snap_switch_connected_to_egc_and_bonds_metal_faceplate":        {name: rules.SwitchBonded, one: rules.Required},
	"ex_replacement_no_egc_nonmetallic_faceplate_or_gfci":           {name: rules.ReplacementWithoutGround, one: rules.Permitted},
	"egc_connected_together_in_box_when_circuit_conductors_spliced": {name: rules.GroundsJoined, one: rules.Required},
	"device_removal_must_not_interrupt_egc":                         {name: rules.GroundsUnbroken, one: rules.Required},
	"metal_box_bond_screw_used_for_nothing_else":                    {name: rules.BondScrewAlone, one: rules.Required},
	"neutral_serves_one_circuit":                                    {name: rules.NeutralOfOneCircuit, one: rules.Required},
	"circuits_on_one_yoke_disconnected_together":                    {name: rules.YokeDisconnect, one: rules.Required},
	"conductors_in_parallel_below_1_0_awg":                          {name: rules.ParallelConductors, zero: rules.Forbidden},
	"snap_switch_on_aluminum_is_marked":                             {name: rules.SwitchMarkedForAluminum, one: rules.Required},
	"receptacle_on_aluminum_is_marked":                              {name: rules.ReceptacleMarkedForAluminum, one: rules.Required},
	"switch_used_within_its_rating":                                 {name: rules.SwitchWithinRating, one: rules.Required},
	"terminal_polarity_kept":                                        {name: rules.TerminalPolarity, one: rules.Required},
	"one_conductor_under_a_terminal_unless_marked":                  {name: rules.OneUnderATerminal, one: rules.Required},
	"free_ends_of_conductors_covered":                               {name: rules.FreeEndsCovered, one: rules.Required},
	"neutral_grounds_metal_past_the_service":                        {name: rules.NeutralNotGround, zero: rules.Forbidden},
	"green_or_bare_as_circuit_conductor":                            {name: rules.GroundNotConductor, zero: rules.Forbidden},
}

var exemptionFacts = map[string]rules.Exemption{
	"scope_exempt_if_not_habitable_room_or_bathroom":                  rules.NotDwelledIn,
	"ex_raceway_large_enough":                                         rules.RacewayRoom,
	"ex_cavity_open_top_or_bottom_or_one_side_unfinished":             rules.OpenCavity,
	"ex_box_accessible_for_added_cable_without_removing_finish":       rules.AccessibleBox,
	"ex_snap_switch_integral_enclosure_300_15_E":                      rules.IntegralEnclosure,
	"ex_automatic_control_of_area":                                    rules.AutomaticControl,
	"ex_switch_controls_receptacle":                                   rules.ControlsReceptacle,
	"multi_location_whole_floor_visible_is_full_exemption":            rules.WholeAreaSeen,
	"multi_location_whole_floor_visible_neutral_at_one_location_only": rules.WholeAreaSeenOnce,
}

// editions are those that the history of the neutral at switches tells apart.
var editions = []int{1999, 2008, 2011, 2014, 2017, 2020, 2023}

// during runs a check for every edition that a row holds for, by the history
// that the newest region carries.
func (f fact) during(t *testing.T, check func(year int, holds bool)) {
	t.Helper()
	from, to := int(number(t, f.get("edition_from"))), int(number(t, f.get("edition_to")))
	for _, year := range editions {
		check(year, from <= year && year <= to)
	}
}

func switchRule(t *testing.T, f fact) {
	key := f.get("rule_key")
	if e, ok := switchRules[key]; ok {
		f.says(t, e)
		return
	}
	newest := load(t, "us-2023")
	neutral := newest.Wiring.Neutral
	if exemption, ok := exemptionFacts[key]; ok {
		row := only(t, f, newest, neutral.Exemptions, func(e rules.ExemptionBy) bool { return e.Exemption == exemption })
		f.during(t, func(year int, holds bool) {
			if row.During.Holds(year) != holds {
				t.Errorf("exemption %q in %d: %v", exemption, year, !holds)
			}
		})
		f.sourced(t, newest, row.Source)
		return
	}
	places := func(year int) (names []string) {
		for _, p := range neutral.Places {
			if p.During.Holds(year) {
				names = append(names, p.Name)
			}
		}
		return names
	}
	switch key {
	case "neutral_required_at_lighting_switch":
		f.during(t, func(year int, holds bool) {
			if holds && neutral.Rule.During.Holds(year) != (f.get("value") == "1") {
				t.Errorf("neutral at switches in %d", year)
			}
		})
	case "scope_any_lighting_switch":
		if got := places(2011); len(got) != 1 || got[0] != rules.Anywhere {
			t.Errorf("places in 2011: %q", got)
		}
	case "scope_bathroom_hallway_stairway_room_suitable_for_habitation":
		if got := strings.Join(places(2017), ", "); got != "bathroom, hallway, stairway, habitable room" {
			t.Errorf("places in 2017: %s", got)
		}
	case "scope_bathroom_hallway_stairway_habitable_or_occupiable":
		for _, year := range []int{2020, 2023} {
			if got := strings.Join(places(year), ", "); got != "bathroom, hallway, stairway, habitable room, occupiable space" {
				t.Errorf("places in %d: %s", year, got)
			}
		}
	case "numbered_exemptions_count":
		f.during(t, func(year int, holds bool) {
			n := 0
			for _, e := range neutral.Exemptions {
				if e.During.Holds(year) && e.Exemption != rules.WholeAreaSeenOnce { // which has no number
					n++
				}
			}
			if holds && float64(n) != f.value(t) {
				t.Errorf("%d exemptions in %d, want %s", n, year, f.get("value"))
			}
		})
	case "connection_rule_effective_year":
		for _, r := range f.regions {
			rule := wantRule(t, f, r, rules.StandbyThroughNeutral, rules.Required)
			f.want(t, r, float64(rule.Effect), rule.Source)
		}
	case "reidentification_colours_excluded_white_gray_green":
		for _, r := range f.regions {
			hues := 0
			for _, c := range r.Wiring.NeverLine.Colours {
				if c.Stripe == 0 && c.String() != "bare" {
					hues++
				}
			}
			f.want(t, r, float64(hues), r.Wiring.NeverLine.Source)
		}
	case "number_of_4way_switches_for_n_locations_minus":
		for _, r := range f.regions {
			f.want(t, r, float64(r.Wiring.Terms.Ends), r.Wiring.Terms.Source)
		}
	default:
		t.Errorf("no check for %v", f.row)
	}
}

// lengthRules are the rules of a length or count, and what they say.
var lengthRules = map[string]struct {
	name rules.Name
	says rules.Says
}{
	"free_conductor_min":                                      {rules.FreeConductor, rules.Required},
	"free_conductor_min_mm":                                   {rules.FreeConductor, rules.Required},
	"min_beyond_opening_if_opening_less_than_8_in":            {rules.BeyondOpening, rules.Required},
	"opening_threshold":                                       {rules.SmallOpening, rules.Required},
	"free_conductor_may_be_spliced":                           {rules.FreeConductorSpliced, rules.Permitted},
	"unspliced_passing_conductors_exempt":                     {rules.UnbrokenNeedsNoFree, rules.NotRequired},
	"nm_secure_within_of_box":                                 {rules.SecuredFromBox, rules.Required},
	"nm_secure_interval":                                      {rules.SecuredEvery, rules.Required},
	"nm_secure_within_if_not_clamped_single_gang_nonmetallic": {rules.SecuredFromUnclampedBox, rules.Required},
	"single_gang_box_max_for_that_exception_width":            {rules.UnclampedBoxWidth, rules.Required},
	"single_gang_box_max_for_that_exception_height":           {rules.UnclampedBoxHeight, rules.Required},
	"multiple_cables_per_knockout_allowed_in_that_exception":  {rules.UnclampedSeveralCables, rules.Permitted},
	"sheath_into_nonmetallic_box_min":                         {rules.SheathInNonmetallicBox, rules.Required},
	"sheath_into_nonmetallic_box_min_mm":                      {rules.SheathInNonmetallicBox, rules.Required},
	"sheath_into_metal_box_min":                               {rules.SheathInMetalBox, rules.Required},
	"sheath_beyond_any_enclosure_entry_min":                   {rules.SheathPastEntry, rules.Required},
	"bend_radius_min_x_cable_diameter":                        {rules.BendRadius, rules.Required},
	"nm_8_in_measured_along_sheath":                           {rules.SecuredAlongSheath, rules.Required},
	"setback_noncombustible_max":                              {rules.SetbackNoncombustible, rules.Permitted},
	"mc_secure_within_of_box":                                 {rules.MetalCladFromBox, rules.Required},
	"mc_secure_interval":                                      {rules.MetalCladEvery, rules.Required},
	"bored_hole_to_edge_min":                                  {rules.BoredFromEdge, rules.Required},
	"notch_needs_plate":                                       {rules.NotchShielded, rules.Required},
	"setback_combustible_max":                                 {rules.SetbackCombustible, rules.Forbidden},
}

func distance(t *testing.T, f fact) {
	key := f.get("rule_key")
	switch key {
	case "sheath_into_metal_box_min_rule_exists":
		if rule, _ := load(t, "us-2017").Wiring.Rule(rules.SheathInMetalBox); rule.During.Holds(2014) {
			t.Error("the rule for sheath in metal boxes is older than the facts say")
		}
		return
	case "nm_12_in_measured_along_sheath":
		for _, r := range f.regions {
			if _, ok := r.Wiring.Rule(rules.SecuredFromBoxAlongSheath); ok {
				t.Errorf("%s measures the 12 in along the sheath", r.ID)
			}
		}
		return
	}
	e, ok := lengthRules[key]
	if !ok {
		t.Fatalf("no check for %v", f.row)
	}
	for _, r := range f.regions {
		rule := wantRule(t, f, r, e.name, e.says)
		switch unit := f.get("unit"); unit {
		case "in", "in_along_sheath":
			f.want(t, r, inches(rule.Length), rule.Source)
		case "mm":
			f.want(t, r, float64(rule.Metric)/float64(quantity.Millimeter), rule.Source)
		case "x":
			f.want(t, r, float64(rule.Count), rule.Source)
		case "bool":
		default:
			t.Errorf("no check for the unit of %v", f.row)
		}
	}
}
