package rules_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

func inches(l quantity.Length) float64      { return float64(l) / float64(quantity.Inch) }
func cubicInches(v quantity.Volume) float64 { return float64(v) / float64(quantity.CubicInch) }
func milliliters(v quantity.Volume) float64 { return float64(v) / float64(quantity.Milliliter) }

// inColumn compares the figure in the column that the row is for.
func (f fact) inColumn(t *testing.T, r *rules.Region, figure boxfill.Figure) {
	t.Helper()
	if f.get("unit") == "in3" {
		f.want(t, r, cubicInches(figure.Inches), figure.InchSource)
		return
	}
	f.want(t, r, milliliters(figure.Metric), figure.MetricSource)
}

func allowance(t *testing.T, f fact) {
	for _, r := range f.regions {
		row := only(t, f, r, r.Box.Allowances, func(a boxfill.Allowance) bool { return a.Size == size(t, f.get("awg")) })
		f.inColumn(t, r, row.Volume)
	}
}

// boxByFact finds the box type that a row names, by shape and dimensions, and
// by cover for those that have no other.
func boxByFact(t *testing.T, r *rules.Region, row map[string]string) boxfill.BoxType {
	t.Helper()
	shape, rest, _ := strings.Cut(row["shape"], "_")
	if shape == "round" {
		shape = "octagon"
	}
	cover, _, _ := strings.Cut(rest, "_")
	dimension := func(column string) float64 { return number(t, row[column]) }
	var found []boxfill.BoxType
	for _, b := range r.Box.Boxes {
		sized := inches(b.Width) == dimension("width_in") && inches(b.Second) == dimension("second_in") && inches(b.Depth) == dimension("depth_in")
		if b.Shape == shape && sized && (b.Width > 0 || strings.Contains(b.Name, cover)) {
			found = append(found, b)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%s: %d box types for %v", r.ID, len(found), row)
	}
	return found[0]
}

func boxVolume(t *testing.T, f fact) {
	for _, r := range f.regions {
		b := boxByFact(t, r, f.row)
		f.inColumn(t, r, b.Volume)
		if b.PerGang != strings.Contains(f.get("box"), "per_gang") {
			t.Errorf("%s: %s measured by the gang: %v", r.ID, b.Name, b.PerGang)
		}
	}
}

// boxCount: the count column is the floor of volume by allowance, to the last
// picoliter.
func boxCount(t *testing.T, f fact) {
	var row map[string]string
	for _, x := range readFacts(t, "us_box_volumes_metal.csv") {
		if x["box"] == f.get("box") {
			row = x
		}
	}
	for _, r := range f.regions {
		b := boxByFact(t, r, row)
		a := only(t, f, r, r.Box.Allowances, func(a boxfill.Allowance) bool { return a.Size == size(t, f.get("awg")) })
		f.want(t, r, float64(b.Volume.Inches/a.Volume.Inches), b.Volume.InchSource)
	}
}

func boxOther(t *testing.T, f fact) {
	for _, r := range f.regions {
		b := &r.Box
		switch f.get("key") {
		case "barrier_metal_unmarked":
			f.inColumn(t, r, b.Barriers.Metal)
		case "barrier_nonmetallic_unmarked":
			f.inColumn(t, r, b.Barriers.Nonmetallic)
		case "marked_volume_overrides_table":
			f.wantBool(t, r, !b.Marked.Source.Absent(), b.Marked.Source)
		case "plaster_ring_extension_domed_cover_counted_if_marked":
			f.wantBool(t, r, !b.Additions.Source.Absent(), b.Additions.Source)
		case "ganged_boxes_volume_is_sum":
			f.wantBool(t, r, !b.Marked.SumSource.Absent(), b.Marked.SumSource)
		case "largest_awg_covered_by_allowance_table":
			f.sourced(t, r, b.Largest.Source)
			if b.Largest.Size != size(t, f.get("value")) || b.Largest.Beyond != "NEC 314.28" {
				t.Errorf("%s: %+v", r.ID, b.Largest)
			}
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

// counted compares the weight of a rule that is taken in the way the row says.
func (f fact) counted(t *testing.T, r *rules.Region, rule boxfill.Rule, per boxfill.Per, of boxfill.Basis) {
	t.Helper()
	f.want(t, r, quantity.Ratio(rule.Weight).Float64(), rule.Source)
	if rule.Per != per || rule.Of != of {
		t.Errorf("%s: taken for %v of %v: %v", r.ID, rule.Per, rule.Of, f.row)
	}
}

func boxFillRule(t *testing.T, f fact) {
	for _, r := range f.regions {
		b := &r.Box
		c, fixture, g := b.Conductors, b.FixtureWires, b.Grounds
		switch key := f.get("rule_key"); key {
		case "conductor_from_outside_spliced_or_terminated":
			f.counted(t, r, c.Spliced, boxfill.Each, boxfill.OwnSize)
			f.counted(t, r, c.Landed, boxfill.Each, boxfill.OwnSize)
		case "conductor_passing_through_unbroken_short":
			f.counted(t, r, c.PassingThrough, boxfill.Each, boxfill.OwnSize)
		case "conductor_passing_through_unbroken_loop_or_coil_long":
			f.counted(t, r, c.Looped, boxfill.Each, boxfill.OwnSize)
		case "loop_threshold_multiple_of_300_14_length":
			free, _ := r.Wiring.Rule(rules.FreeConductor)
			f.want(t, r, inches(c.LoopAtLeast)/inches(free.Length), c.LoopSource)
		case "loop_threshold_length":
			f.want(t, r, inches(c.LoopAtLeast), c.LoopSource)
		case "conductor_no_part_leaves_box_pigtail_jumper":
			f.counted(t, r, c.Pigtail, boxfill.Each, boxfill.OwnSize)
		case "wire_connectors_locknuts_bushings":
			f.counted(t, r, b.Connectors, boxfill.Each, boxfill.LargestInBox)
		case "canopy_exception_max_fixture_wires_omitted":
			f.want(t, r, float64(fixture.AtMost), fixture.OmitSource)
			if !fixture.CanopyOnly {
				t.Errorf("%s omits fixture wires without a canopy", r.ID)
			}
		case "canopy_exception_fixture_wire_must_be_smaller_than":
			if f.sourced(t, r, fixture.OmitSource); fixture.SmallerThan != size(t, f.get("value")) {
				t.Errorf("%s: smaller than %s", r.ID, fixture.SmallerThan)
			}
		case "canopy_exception_egc_also_omitted":
			f.wantBool(t, r, fixture.Grounds, fixture.OmitSource)
		case "internal_cable_clamps_any_number":
			f.counted(t, r, b.Clamps, boxfill.OncePerBox, boxfill.LargestInBox)
		case "connector_with_clamp_outside_box":
			f.counted(t, r, b.ExternalClamps, boxfill.OncePerBox, boxfill.LargestInBox)
		case "support_fitting_stud_each_kind", "support_fitting_hickey_each_kind":
			kind := strings.Split(key, "_")[2]
			row := only(t, f, r, b.Fittings, func(x boxfill.FittingRule) bool { return x.Kind == kind })
			f.counted(t, r, row.Rule, boxfill.EachKind, boxfill.LargestInBox)
		case "device_yoke_single_gang":
			f.counted(t, r, b.Devices.Yoke, boxfill.Each, boxfill.OwnSize)
		case "device_wider_than_2_in_per_gang":
			f.counted(t, r, b.Devices.Wide, boxfill.EachGang, boxfill.OwnSize)
		case "device_width_threshold":
			f.want(t, r, inches(b.Devices.WideOver), b.Devices.WideSource)
		case "terminal_block_assembly":
			f.counted(t, r, b.TerminalBlocks, boxfill.Each, boxfill.OwnSize)
		case "egc_first_group_size":
			first := g.First
			if first == 0 {
				first = -1 // all of them
			}
			f.want(t, r, float64(first), g.Source)
		case "egc_first_group_allowance":
			f.want(t, r, quantity.Ratio(g.FirstWeight).Float64(), g.Source)
		case "egc_each_beyond_first_group":
			source := g.BeyondSource
			if g.First == 0 {
				source = g.Source
			}
			f.want(t, r, quantity.Ratio(g.Beyond).Float64(), source)
		case "isolated_egc_second_set_250_146_D":
			f.counted(t, r, g.Isolated, boxfill.EachSet, boxfill.OwnSize)
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

// groundOracle counts grounding conductors by the rule in the plainest way.
func groundOracle(t *testing.T, f fact) {
	n, err := strconv.Atoi(f.get("n_egc"))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range f.regions {
		g, weight := r.Box.Grounds, boxfill.Weight(0)
		for i := range n {
			switch {
			case i == 0:
				weight += g.FirstWeight
			case g.First > 0 && i >= g.First:
				weight += g.Beyond
			}
		}
		f.want(t, r, quantity.Ratio(weight).Float64(), g.Source)
	}
}

func canadianAllowance(t *testing.T, f fact) { allowance(t, f) }

func canadianBoxRule(t *testing.T, f fact) {
	for _, r := range f.regions {
		b := &r.Box
		switch f.get("rule_key") {
		case "insulated_conductor_running_through":
			f.counted(t, r, b.Conductors.PassingThrough, boxfill.Each, boxfill.OwnSize)
		case "insulated_conductor_entering_and_connected":
			f.counted(t, r, b.Conductors.Spliced, boxfill.Each, boxfill.OwnSize)
			f.counted(t, r, b.Conductors.Landed, boxfill.Each, boxfill.OwnSize)
			f.counted(t, r, b.Grounds.Insulated, boxfill.Each, boxfill.OwnSize)
		case "conductor_no_part_leaves_box":
			f.counted(t, r, b.Conductors.Pigtail, boxfill.Each, boxfill.OwnSize)
		case "fixture_wire_18_16_of_luminaire_on_box":
			f.sourced(t, r, b.FixtureWires.OmitSource)
			if o := b.FixtureWires; o.SmallerThan != conductor.AWG(14) || o.AtMost != 0 || o.CanopyOnly {
				t.Errorf("%s: %+v", r.ID, o)
			}
		case "bare_bonding_conductor":
			f.want(t, r, quantity.Ratio(b.Grounds.FirstWeight).Float64(), b.Grounds.Source)
			if b.Grounds.First != 0 || b.Grounds.Beyond != 0 {
				t.Errorf("%s counts further bare bonds", r.ID)
			}
		case "fixture_stud_or_hickey":
			for _, fitting := range b.Fittings {
				f.counted(t, r, fitting.Rule, boxfill.Each, boxfill.LargestInBox)
			}
			if len(b.Fittings) != 2 {
				t.Errorf("%s: %d fittings", r.ID, len(b.Fittings))
			}
		case "connector_with_insulating_cap_per_pair":
			f.counted(t, r, b.Connectors, boxfill.EachPair, boxfill.OwnSize)
		case "connector_with_insulating_cap_single_left_over":
			// what 'each pair' means: connectorOracle
		case "flush_device_on_single_strap":
			f.counted(t, r, b.Devices.Yoke, boxfill.Each, boxfill.OwnSize)
		case "deep_device_threshold_strap_to_back":
			f.want(t, r, b.Devices.Deep.Over.Meters()*100, b.Devices.Deep.OverSource)
		case "deep_device_deduction_per_cm_depth":
			f.want(t, r, milliliters(b.Devices.Deep.PerCentimeter), b.Devices.Deep.Source)
		case "internal_clamps_locknuts_bushings_connectors":
			f.counted(t, r, b.Clamps, boxfill.Each, boxfill.LargestInsulated)
			f.counted(t, r, b.ExternalClamps, boxfill.Each, boxfill.LargestInsulated)
		default:
			t.Errorf("no check for %v", f.row)
		}
	}
}

func connectorOracle(t *testing.T, f fact) {
	n, err := strconv.Atoi(f.get("n_caps"))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range f.regions {
		rule := r.Box.Connectors
		f.want(t, r, quantity.Ratio(rule.Weight).Float64()*float64(n/2), rule.Source)
	}
}

// TestColumnsDisagree counts the box and size pairs whose conductor count
// depends on the column, so that a typing error in either column shows.
func TestColumnsDisagree(t *testing.T) {
	box := load(t, "us-2023").Box
	pairs, disagree := 0, 0
	for _, b := range box.Boxes {
		for _, a := range box.Allowances {
			pairs++
			if b.Volume.Inches/a.Volume.Inches != b.Volume.Metric/a.Volume.Metric {
				disagree++
			}
		}
	}
	if pairs != 168 || disagree != 31 {
		t.Errorf("the columns disagree on %d of %d pairs, want 31 of 168", disagree, pairs)
	}
	if box.Column != boxfill.InchColumn {
		t.Error("the inch column does not rule")
	}
}

// TestStockIsOfTheTable wants every stock box of a region to be of a type that
// the region gives a volume for.
func TestStockIsOfTheTable(t *testing.T) {
	for _, info := range rules.Regions() {
		r := load(t, info.ID)
		for _, s := range r.Stock.Boxes {
			i := slices.IndexFunc(r.Box.Boxes, func(b boxfill.BoxType) bool { return b.Name == s.Box.Section.Type })
			if i < 0 || r.Box.Boxes[i].Refused != "" {
				t.Errorf("%s: stock box %s", r.ID, s.Box.Name)
			}
		}
		if len(r.Stock.Cables) == 0 {
			t.Errorf("%s has no cable in stock", r.ID)
		}
	}
}

// TestRefusalsHold wants what a region's file names as refused to be refused: a
// figure all the same would contradict the file.
func TestRefusalsHold(t *testing.T) {
	marked := boxfill.MarkedBox(50 * quantity.CubicInch)
	ring, split := marked, marked
	ring.Additions = []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: quantity.CubicInch}}
	split.Barriers, split.Share = []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}, boxfill.Share{Parts: 1, Whole: 2}
	ask := map[boxfill.Item]boxfill.Contents{boxfill.ItemAddition: {Box: ring}, boxfill.ItemBarrier: {Box: split}}
	n := 0
	for _, info := range rules.Regions() {
		r := load(t, info.ID)
		for _, refused := range r.Box.Refusals {
			n++
			contents, ok := ask[refused.Item]
			if !ok {
				t.Fatalf("%s refuses %s, and this test has no question that needs it", r.ID, refused.Item)
			}
			if got, err := boxfill.Fill(&r.Box, contents); err != nil || got.Status != boxfill.Refused {
				t.Errorf("%s refuses %s, and says %s, %v", r.ID, refused.Item, got.Status, err)
			}
		}
	}
	if n == 0 {
		t.Error("nothing is refused anywhere")
	}
}

// TestCanadaCountsStraps: a device on one strap counts two, whatever gangs it takes.
func TestCanadaCountsStraps(t *testing.T) {
	ca := load(t, "ca")
	for gangs := 0; gangs <= 3; gangs++ {
		got, err := boxfill.Fill(&ca.Box, boxfill.Contents{Devices: []boxfill.Device{{Largest: conductor.AWG(14), Gangs: gangs, Depth: quantity.Centimeter}}})
		if err != nil || milliliters(got.Required) != 49.2 {
			t.Errorf("%d gangs: %s, %v; want 2 x 24.6 mL", gangs, got.Required, err)
		}
	}
}
