package rules_test

import (
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

// TestParallelConductors holds the least size of parallel conductors, and where it
// stands, which moved from edition to edition.
func TestParallelConductors(t *testing.T) {
	for _, c := range []struct{ region, section, why string }{
		{"us-2017", "NEC 310.10(H)", "since 2011"},
		{"us-2020", "NEC 310.10(G)", "a letter went"},
		{"us-2023", "NEC 310.10(G)", "as before"},
		{"ca", "CEC 12-108", "the same size by another rule"},
	} {
		rule, ok := load(t, c.region).Wiring.Rule(rules.ParallelConductors)
		if !ok || rule.Says != rules.Forbidden || rule.Size != conductor.AWG(0) || rule.Source.Section != c.section {
			t.Errorf("%s: %+v; want it forbidden below 1/0 AWG by %s: %s", c.region, rule, c.section, c.why)
		}
	}
}
