package rules_test

import (
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

// TestRulesClaimNoMoreThanIsChecked wants every rule of wiring of the United States that
// claims high or medium confidence to stand in a fact of such confidence, which TestFacts
// holds it against: what is only recalled says so.
func TestRulesClaimNoMoreThanIsChecked(t *testing.T) {
	checked := map[rules.Name]bool{}
	for _, file := range []string{"us_switch_location_rules.csv", "us_stair_lighting_rules.csv", "us_installation_distances.csv", "us_terminations.csv"} {
		for _, row := range readFacts(t, file) {
			if row["confidence"] == "low" {
				continue
			}
			key := row["rule_key"]
			switch key {
			case "torque_calibrated_tool_required":
				checked[rules.TorqueTool] = true
			case "torque_approved_means_required":
				checked[rules.TorqueApproved] = true
			case "push_in_terminal_max_awg_copper_solid_15a_receptacle":
				checked[rules.PushInLargest] = true
			}
			for _, table := range []map[string]expected{switchRules, stairRules} {
				if e, ok := table[key]; ok {
					checked[e.name] = true
				}
			}
			if e, ok := lengthRules[key]; ok {
				checked[e.name] = true
			}
		}
	}
	for _, id := range []string{"us-2017", "us-2020", "us-2023"} {
		w := &load(t, id).Wiring
		for _, r := range w.Rules {
			if r.Source.Confidence != conductor.LowConfidence && !checked[r.Name] {
				t.Errorf("%s: %q claims %v confidence, and no fact was checked for it", id, r.Name, r.Source.Confidence)
			}
		}
		for _, s := range w.Schemes {
			for _, p := range s.Palettes {
				if p.Source.Confidence != conductor.LowConfidence {
					t.Errorf("%s: the colours of a %v claim %v confidence, and no fact was checked for them", id, p.Function, p.Source.Confidence)
				}
			}
		}
	}
}
