package boxfill_test

import (
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// ruleQuestions are the questions of worked_rule_questions.csv about box fill.
var ruleQuestions = map[string]asked{
	"canopy_max_small_fixture_wires_omitted": usRules["canopy_exception_max_fixture_wires_omitted"],
	"canopy_fixture_wire_size_limit_14_awg_itself_omitted": func(t *testing.T, table *boxfill.Table) string {
		c := boxfill.Contents{Canopy: true, Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.FixtureWire}}}
		return map[bool]string{true: "1", false: "0"}[allowances(c)(t, table) == "0"]
	},
	"all_egc_count_as_one_whatever_number": func(t *testing.T, table *boxfill.Table) string {
		same := allowances(grounds(12, boxfill.BareGround))(t, table) == allowances(grounds(1, boxfill.BareGround))(t, table)
		return map[bool]string{true: "1", false: "0"}[same]
	},
	"internal_clamps_allowances_total": usRules["internal_cable_clamps_any_number"],
	"stud_plus_hickey_allowances": with14(func(c *boxfill.Contents) {
		c.Fittings = []boxfill.Fittings{{Kind: "stud", Count: 1}, {Kind: "hickey", Count: 1}}
	}),
	"loop_without_cut_12_in_counts": usRules["conductor_passing_through_unbroken_loop_or_coil_long"],
	"terminal_block_allowances":     usRules["terminal_block_assembly"],
	"caps_5_deduct_conductors":      allowances(boxfill.Contents{Connectors: []boxfill.Connectors{{Largest: awg(14), Count: 5}}}),
}

func TestWorkedRuleQuestions(t *testing.T) {
	for _, row := range readFacts(t, "worked_rule_questions.csv") {
		question := ruleQuestions[row["question_key"]]
		if question == nil {
			t.Errorf("%s: no question for %s", row["id"], row["question_key"])
			continue
		}
		if got := question(t, region(t, row["region"])); got != row["right"] {
			t.Errorf("%s in %s: %s is %s, want %s: %s", row["id"], row["region"], row["question_key"], got, row["right"], row["why"])
		}
	}
}

// TestPractice: boxes as people meet them, each by the rules of its place.
func TestPractice(t *testing.T) {
	wires := func(n14, n12 int) []boxfill.Conductors {
		return []boxfill.Conductors{{Size: awg(14), Count: n14, Role: boxfill.Spliced}, {Size: awg(12), Count: n12, Role: boxfill.Spliced}}
	}
	ground := func(n int, size conductor.Size) []boxfill.Grounds {
		return []boxfill.Grounds{{Size: size, Count: n, Kind: boxfill.BareGround}}
	}
	devices := func(numbers ...int) (list []boxfill.Device) {
		for _, n := range numbers {
			list = append(list, boxfill.Device{Largest: awg(n)})
		}
		return list
	}
	clamp := boxfill.Clamps{Internal: 2}
	ganged := boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 2-3/4", Count: 3}}}
	mixed := boxfill.Contents{Box: ganged, Conductors: wires(6, 6), Grounds: ground(6, awg(12)), Devices: devices(14, 12, 12)}
	clamped := mixed
	clamped.Clamps = clamp
	four := boxfill.Contents{Box: boxfill.MarkedBox(50 * in3), Conductors: wires(15, 0), Grounds: ground(6, awg(14)), Devices: devices(14, 14, 14, 14),
		Connectors: []boxfill.Connectors{{Largest: awg(14), Count: 4}}}
	fourClamped := four
	fourClamped.Clamps = clamp
	single := func(volume int, n14, n12, grounds int, clamps boxfill.Clamps) boxfill.Contents {
		size := 14
		if n12 > 0 {
			size = 12
		}
		return boxfill.Contents{Box: boxfill.MarkedBox(in3 * quantity.Volume(volume)), Conductors: wires(n14, n12), Grounds: ground(grounds, awg(size)),
			Devices: devices(size), Clamps: clamps}
	}
	rows := []struct {
		why, region string
		contents    boxfill.Contents
		need        string
		status      boxfill.Status
	}{
		{"four switches in 50 in3, before the grounds of 2020", "us-2017", four, "48 in3", boxfill.Fits},
		{"the same with the grounds of 2020", "us-2020", four, "49 in3", boxfill.Fits},
		{"the same with a clamp fails", "us-2020", fourClamped, "51 in3", boxfill.DoesNotFit},
		{"the same in Canada, wire connectors counted and bonds not", "ca", four, "615 mL", boxfill.Fits},
		{"three cables and a receptacle are exactly full", "us-2023", single(18, 6, 0, 3, boxfill.Clamps{}), "18 in3", boxfill.ExactlyFull},
		{"one conductor more, as a three-wire cable brings", "us-2023", single(18, 7, 0, 3, boxfill.Clamps{}), "20 in3", boxfill.DoesNotFit},
		{"or an internal clamp", "us-2023", single(18, 6, 0, 3, clamp), "20 in3", boxfill.DoesNotFit},
		{"two cables and a switch overfill the common 15 in3 box by its clamp", "us-2023", single(15, 4, 0, 2, clamp), "16 in3", boxfill.DoesNotFit},
		{"without the clamp it fits", "us-2023", single(15, 4, 0, 2, boxfill.Clamps{}), "14 in3", boxfill.Fits},
		{"12 AWG at a three-way", "us-2023", single(18, 0, 5, 2, boxfill.Clamps{}), "18 in3", boxfill.ExactlyFull},
		{"12 AWG at a three-way, clamped", "us-2023", single(18, 0, 5, 2, clamp), "20.25 in3", boxfill.DoesNotFit},
		{"a four-way between two three-wire cables", "us-2023", single(18, 6, 0, 2, boxfill.Clamps{}), "18 in3", boxfill.ExactlyFull},
		{"three ganged metal boxes an inch over", "us-2017", clamped, "43 in3", boxfill.DoesNotFit},
		{"their clamps outside", "us-2017", mixed, "40.75 in3", boxfill.Fits},
		{"over by more with the grounds of 2020", "us-2020", clamped, "44.125 in3", boxfill.DoesNotFit},
		{"and still cured by clamps outside, by an eighth of an inch", "us-2020", mixed, "41.875 in3", boxfill.Fits},
	}
	for _, row := range rows {
		result := mustFill(t, region(t, row.region), row.contents)
		if result.Required != vol(row.need) || result.Status != row.status {
			t.Errorf("%s: %v needed, %v; want %s, %v\n%s", row.why, result.Required, result.Status, row.need, row.status, result.Explain())
		}
	}
}
