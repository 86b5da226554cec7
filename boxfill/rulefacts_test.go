package boxfill_test

import (
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
)

// asked is a question that puts one rule to the test: what of the table or of a
// result must equal the value of the fact.
type asked func(t *testing.T, table *boxfill.Table) string

// allowances asks how many allowances some contents take.
func allowances(c boxfill.Contents) asked {
	return func(t *testing.T, table *boxfill.Table) string { return mustFill(t, table, c).Allowances.String() }
}

// extra asks how many more allowances contents take than without the extra.
func extra(c, without boxfill.Contents) asked {
	return func(t *testing.T, table *boxfill.Table) string {
		return (mustFill(t, table, c).Allowances - mustFill(t, table, without).Allowances).String()
	}
}

// available asks for the volume of a box.
func available(box boxfill.Box) asked {
	return func(t *testing.T, table *boxfill.Table) string {
		return strings.TrimSuffix(mustFill(t, table, boxfill.Contents{Box: box}).Available.In(in3), " in3")
	}
}

func one(role boxfill.Role, loop quantity.Length) boxfill.Contents {
	return boxfill.Contents{Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: role, Loop: loop}}}
}

func grounds(n int, kind boxfill.GroundKind) boxfill.Contents {
	return boxfill.Contents{Grounds: []boxfill.Grounds{{Size: awg(14), Count: n, Kind: kind}}}
}

// with14 adds what f changes to a box with one 14 AWG conductor, so that what
// takes the largest in the box has something to take.
func with14(f func(*boxfill.Contents)) asked {
	c := one(boxfill.Spliced, 0)
	f(&c)
	return extra(c, one(boxfill.Spliced, 0))
}

// usRules are the questions to the rows of us_box_fill_rules.csv and
// us_box_volume_other.csv.
var usRules = map[string]asked{
	"conductor_from_outside_spliced_or_terminated": func(t *testing.T, table *boxfill.Table) string {
		a, b := allowances(one(boxfill.Spliced, 0))(t, table), allowances(one(boxfill.Landed, 0))(t, table)
		if a != b {
			return a + " and " + b
		}
		return a
	},
	"conductor_passing_through_unbroken_short":             allowances(one(boxfill.PassingThrough, 0)),
	"conductor_passing_through_unbroken_loop_or_coil_long": allowances(one(boxfill.PassingThrough, 12*quantity.Inch)),
	"loop_threshold_multiple_of_300_14_length": func(t *testing.T, table *boxfill.Table) string {
		return strconv.Itoa(int(table.Conductors.LoopAtLeast / (6 * quantity.Inch)))
	},
	"loop_threshold_length": func(t *testing.T, table *boxfill.Table) string {
		return strings.TrimSuffix(table.Conductors.LoopAtLeast.In(quantity.Inch), " in")
	},
	"conductor_no_part_leaves_box_pigtail_jumper": allowances(one(boxfill.Pigtail, 0)),
	"wire_connectors_locknuts_bushings": with14(func(c *boxfill.Contents) {
		c.Connectors = []boxfill.Connectors{{Largest: awg(14), Count: 5}}
	}),
	"canopy_exception_max_fixture_wires_omitted": func(t *testing.T, table *boxfill.Table) string {
		n := 0
		for allowances(boxfill.Contents{Canopy: true, Conductors: []boxfill.Conductors{{Size: awg(18), Count: n + 1, Role: boxfill.FixtureWire}}})(t, table) == "0" {
			n++
		}
		return strconv.Itoa(n)
	},
	"canopy_exception_fixture_wire_must_be_smaller_than": func(t *testing.T, table *boxfill.Table) string {
		for _, n := range []int{18, 16, 14, 12, 10} {
			if allowances(boxfill.Contents{Canopy: true, Conductors: []boxfill.Conductors{{Size: awg(n), Count: 1, Role: boxfill.FixtureWire}}})(t, table) != "0" {
				return strconv.Itoa(n)
			}
		}
		return "none"
	},
	"canopy_exception_egc_also_omitted": func(t *testing.T, table *boxfill.Table) string {
		c := grounds(1, boxfill.CanopyGround)
		c.Canopy = true
		if allowances(c)(t, table) == "0" {
			return "1"
		}
		return "0"
	},
	"internal_cable_clamps_any_number": with14(func(c *boxfill.Contents) { c.Clamps.Internal = 4 }),
	"connector_with_clamp_outside_box": with14(func(c *boxfill.Contents) { c.Clamps.External = 4 }),
	"support_fitting_stud_each_kind":   with14(func(c *boxfill.Contents) { c.Fittings = []boxfill.Fittings{{Kind: "stud", Count: 2}} }),
	"support_fitting_hickey_each_kind": with14(func(c *boxfill.Contents) { c.Fittings = []boxfill.Fittings{{Kind: "hickey", Count: 2}} }),
	"device_yoke_single_gang":          allowances(boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14)}}}),
	"device_wider_than_2_in_per_gang":  extra(boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Gangs: 3}}}, boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Gangs: 2}}}),
	"device_width_threshold": func(t *testing.T, table *boxfill.Table) string {
		return strings.TrimSuffix(table.Devices.WideOver.In(quantity.Inch), " in")
	},
	"terminal_block_assembly": allowances(boxfill.Contents{Blocks: []boxfill.TerminalBlock{{Largest: awg(14)}}}),
	"egc_first_group_size": func(t *testing.T, table *boxfill.Table) string {
		n := 1
		for n < 100 && allowances(grounds(n+1, boxfill.BareGround))(t, table) == "1" {
			n++
		}
		if n == 100 {
			return "-1" // as the facts write all of them
		}
		return strconv.Itoa(n)
	},
	"egc_first_group_allowance":   allowances(grounds(3, boxfill.BareGround)),
	"egc_each_beyond_first_group": extra(grounds(9, boxfill.BareGround), grounds(8, boxfill.BareGround)),
	"isolated_egc_second_set_250_146_D": func(t *testing.T, table *boxfill.Table) string {
		c := grounds(2, boxfill.BareGround)
		c.Grounds = append(c.Grounds, boxfill.Grounds{Size: awg(14), Count: 2, Kind: boxfill.IsolatedGround})
		return extra(c, grounds(2, boxfill.BareGround))(t, table)
	},
	"barrier_metal_unmarked":        barrierTakes(boxfill.MetalBarrier),
	"barrier_nonmetallic_unmarked":  barrierTakes(boxfill.NonmetallicBarrier),
	"marked_volume_overrides_table": available(boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 3-1/2", Marked: in3}}}),
	"plaster_ring_extension_domed_cover_counted_if_marked": available(boxfill.Box{Sections: []boxfill.Section{{Marked: in3 / 4}},
		Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: in3 / 4}, {Kind: boxfill.ExtensionRing, Marked: in3 / 4}, {Kind: boxfill.DomedCover, Marked: in3 / 4}, {Kind: boxfill.PlasterRing}}}),
	"ganged_boxes_volume_is_sum": available(boxfill.Box{Sections: []boxfill.Section{{Marked: in3 / 4, Count: 2}, {Marked: in3 / 2}}}),
	"largest_awg_covered_by_allowance_table": func(t *testing.T, table *boxfill.Table) string {
		for _, n := range []int{2, 4, 6, 8} {
			if _, err := boxfill.Fill(table, boxfill.Contents{Conductors: []boxfill.Conductors{{Size: awg(n), Count: 1, Role: boxfill.Spliced}}}); err == nil {
				return strconv.Itoa(n)
			}
		}
		return "none"
	},
}

// barrierTakes asks what an unmarked barrier takes away.
func barrierTakes(kind boxfill.BarrierKind) asked {
	return func(t *testing.T, table *boxfill.Table) string {
		box := boxfill.Box{Sections: []boxfill.Section{{Marked: 10 * in3}},
			Barriers: []boxfill.Barrier{{Kind: kind}}, Share: boxfill.Share{Parts: 1, Whole: 1}}
		left := mustFill(t, table, boxfill.Contents{Box: box}).Available
		return strings.TrimSuffix((10*in3 - left).In(in3), " in3")
	}
}

// caRules are the questions to the rows of ca_box_fill_rules.csv.
var caRules = map[string]asked{
	"insulated_conductor_running_through":        allowances(one(boxfill.PassingThrough, 0)),
	"insulated_conductor_entering_and_connected": allowances(one(boxfill.Landed, 0)),
	"conductor_no_part_leaves_box":               allowances(one(boxfill.Pigtail, 0)),
	"fixture_wire_18_16_of_luminaire_on_box":     allowances(boxfill.Contents{Conductors: []boxfill.Conductors{{Size: awg(16), Count: 9, Role: boxfill.FixtureWire}}}),
	"bare_bonding_conductor":                     allowances(grounds(5, boxfill.BareGround)),
	"fixture_stud_or_hickey":                     with14(func(c *boxfill.Contents) { c.Fittings = []boxfill.Fittings{{Kind: "hickey", Count: 1}} }),
	"connector_with_insulating_cap_per_pair":     allowances(boxfill.Contents{Connectors: []boxfill.Connectors{{Largest: awg(14), Count: 2}}}),
	"connector_with_insulating_cap_single_left_over": extra(boxfill.Contents{Connectors: []boxfill.Connectors{{Largest: awg(14), Count: 5}}},
		boxfill.Contents{Connectors: []boxfill.Connectors{{Largest: awg(14), Count: 4}}}),
	"flush_device_on_single_strap": allowances(boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Gangs: 2}}}),
	"deep_device_threshold_strap_to_back": func(t *testing.T, table *boxfill.Table) string {
		return strings.TrimSuffix(table.Devices.Deep.Over.In(quantity.Centimeter), " cm")
	},
	"deep_device_deduction_per_cm_depth": func(t *testing.T, table *boxfill.Table) string {
		deep := mustFill(t, table, boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Depth: 5 * quantity.Centimeter}}})
		return strings.TrimSuffix((deep.Required / 5).In(mL), " mL")
	},
	"internal_clamps_locknuts_bushings_connectors": with14(func(c *boxfill.Contents) { c.Clamps = boxfill.Clamps{Internal: 3, External: 2} }),
}

// TestRuleFacts asks every sure row of the counting rules, in every edition it
// holds for.
func TestRuleFacts(t *testing.T) {
	count := 0
	ask := func(questions map[string]asked, key, value, name string) {
		t.Helper()
		question, ok := questions[key]
		if !ok {
			t.Errorf("no question for the rule %s", key)
			return
		}
		count++
		got := question(t, region(t, name))
		want, err := strconv.ParseFloat(value, 64)
		if number, err2 := strconv.ParseFloat(got, 64); err != nil || err2 != nil || number != want {
			t.Errorf("%s: %s is %s, want %s", name, key, got, value)
		}
	}
	for _, row := range readFacts(t, "us_box_fill_rules.csv") {
		for _, edition := range usEditions {
			if sure(row) && row["edition_from"] <= edition && edition <= row["edition_to"] {
				ask(usRules, row["rule_key"], row["value"], "us-"+edition)
			}
		}
	}
	for _, row := range readFacts(t, "us_box_volume_other.csv") {
		for _, edition := range usEditions {
			ask(usRules, row["key"], row["value"], "us-"+edition)
		}
	}
	for _, row := range readFacts(t, "ca_box_fill_rules.csv") {
		ask(caRules, row["rule_key"], row["value"], "ca")
	}
	if count != 94 {
		t.Errorf("asked %d questions, want 94", count)
	}
}
