package rules_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// TestProtectionByLocation holds what rooms demand by region and edition. All of it is
// recalled, and must say so.
func TestProtectionByLocation(t *testing.T) {
	const volts120, volts240 = 120 * quantity.Volt, 240 * quantity.Volt
	for _, r := range []struct {
		region, room string
		kind         conductor.ProtectionKind
		outlets      conductor.OutletKind
		breaker      quantity.Current
		volts        quantity.Voltage
		section      string // empty: nothing is demanded for sure
		since        int
		why          string
	}{
		{"us-2023", "bedroom", conductor.ArcFault, 0, 15 * quantity.Ampere, volts120, "NEC 210.12(B)", 2002, "bedrooms came first"},
		{"us-2020", "bedroom", conductor.ArcFault, 0, 15 * quantity.Ampere, volts120, "NEC 210.12(A)", 2002, "another letter"},
		{"us-2017", "hallway", conductor.ArcFault, 0, 20 * quantity.Ampere, volts120, "NEC 210.12(A)", 2008, "most rooms"},
		{"us-2017", "kitchen", conductor.ArcFault, 0, 20 * quantity.Ampere, volts120, "NEC 210.12(A)", 2014, "kitchens came later"},
		{"us-2023", "kitchen", conductor.ArcFault, 0, 40 * quantity.Ampere, volts120, "", 0, "not of a larger circuit"},
		{"us-2023", "bedroom", conductor.ArcFault, 0, 20 * quantity.Ampere, volts240, "", 0, "nor of one of 240 V"},
		{"us-2023", "garage", conductor.ArcFault, 0, 15 * quantity.Ampere, volts120, "", 0, "no living room"},
		{"us-2017", "bathroom", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "NEC 210.8(A)", 1975, "receptacles"},
		{"us-2017", "bathroom", conductor.GroundFault, conductor.LightingOutlets, 20 * quantity.Ampere, volts120, "", 0, "and not lights"},
		{"us-2017", "garage", conductor.GroundFault, conductor.ReceptacleOutlets, 30 * quantity.Ampere, volts240, "", 0, "up to 20 A and 125 V"},
		{"us-2020", "garage", conductor.GroundFault, conductor.ReceptacleOutlets, 30 * quantity.Ampere, volts240, "NEC 210.8(A)", 1978, "since then up to 250 V"},
		{"us-2017", "basement", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "", 0, "a finished one is free"},
		{"us-2017", "unfinished basement", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "NEC 210.8(A)", 1990, "another is not"},
		{"us-2020", "basement", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "NEC 210.8(A)", 2020, "since then none is"},
		{"us-2020", "kitchen", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "", 0, "it depends on the countertop, which no job states"},
		{"us-2023", "kitchen", conductor.GroundFault, conductor.ReceptacleOutlets, 20 * quantity.Ampere, volts120, "NEC 210.8(A)", 2023, "since then it does not"},
		{"us-2017", "crawl space", conductor.GroundFault, conductor.LightingOutlets, 15 * quantity.Ampere, volts120, "NEC 210.8(E)", 2017, "lights of crawl spaces"},
		{"us-2020", "crawl space", conductor.GroundFault, conductor.LightingOutlets, 15 * quantity.Ampere, volts120, "NEC 210.8(C)", 2017, "another letter"},
		{"us-2023", "outdoors", conductor.GroundFault, conductor.LightingOutlets, 15 * quantity.Ampere, volts120, "", 0, "lights outdoors are excepted, with exceptions"},
		{"uk-2018", "dwelling", conductor.ResidualCurrent, conductor.LightingOutlets, 6 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 411.3.4", 2018, "luminaires"},
		{"uk-2018", "dwelling", conductor.ResidualCurrent, conductor.ReceptacleOutlets, 32 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 411.3.3", 2008, "socket-outlets"},
		{"uk-2018", "dwelling", conductor.ResidualCurrent, conductor.ReceptacleOutlets, 40 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 411.3.3", 2008, "the limit is that of the socket-outlet, not of its breaker"},
		{"uk-2018", "kitchen", conductor.ResidualCurrent, conductor.LightingOutlets, 6 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 411.3.4", 2018, "a room of a dwelling"},
		{"uk-2018", "outdoors", conductor.ResidualCurrent, conductor.ReceptacleOutlets, 32 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 411.3.3", 2008, "socket-outlets anywhere"},
		{"uk-2018", "bathroom", conductor.ResidualCurrent, 0, 6 * quantity.Ampere, 230 * quantity.Volt, "BS 7671 701.411.3.3", 2008, "all circuits of the location"},
		{"ca", "bedroom", conductor.ArcFault, 0, 15 * quantity.Ampere, volts120, "", 0, "no figures at hand"},
	} {
		region, err := rules.Load(r.region)
		if err != nil {
			t.Fatal(err)
		}
		sizer, err := conductor.NewSizer(region.Conductor)
		if err != nil {
			t.Fatal(err)
		}
		all := sizer.Protections(r.room)
		i := slices.IndexFunc(all, func(p conductor.Protection) bool {
			return p.Kind == r.kind && p.Demand == conductor.Required && p.Outlets == r.outlets && p.On(r.breaker, r.volts)
		})
		switch {
		case i < 0 && r.section != "":
			t.Errorf("%s, %s: %v protection of %v is not demanded: %s", r.region, r.room, r.kind, r.outlets, r.why)
		case i >= 0 && r.section == "":
			t.Errorf("%s, %s: %v protection of %v is demanded by %v: %s", r.region, r.room, r.kind, r.outlets, all[i].Source, r.why)
		case i >= 0 && (all[i].Source.Section != r.section || all[i].Since != r.since || all[i].Source.Edition != region.Edition || all[i].Source.Confidence != conductor.LowConfidence):
			t.Errorf("%s, %s: %v since %d; want %s since %d, of low confidence: %s", r.region, r.room, all[i].Source, all[i].Since, r.section, r.since, r.why)
		}
	}
}
