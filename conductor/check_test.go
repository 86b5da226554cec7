package conductor

import (
	"strings"
	"testing"
	"time"

	"example.com/switchleg/conductor/quantity"
)

func TestCheckFindsEveryFlaw(t *testing.T) {
	src := Source{"test", "2023", HighConfidence}
	tests := []struct {
		name  string
		spoil func(*Table)
		want  string
		why   string
	}{
		{"no region", func(t *Table) { t.Region = "" }, "no region name", "messages name it"},
		{"no section", func(t *Table) { t.Sizes[0].Source.Section = "" }, "size 14 AWG: no section", "nothing to follow"},
		{"no confidence", func(t *Table) { t.Sizes[0].Source.Confidence = 0 }, "confidence unset", "how sure is it?"},
		{"zero size", func(t *Table) { t.Sizes[0].Size = Size{} }, "not a size", "empty row"},
		{"size twice", func(t *Table) { t.Sizes = append(t.Sizes, t.Sizes[0]) }, "stands twice", "doubled row"},
		{"no area", func(t *Table) { t.Sizes[0].Area = 0 }, "a gauge or kcmil size has one", "proportion needs it"},
		{"areas exchanged", func(t *Table) { t.Sizes[0].Area, t.Sizes[1].Area = t.Sizes[1].Area, t.Sizes[0].Area }, "is not above that of", "exchanged digits"},
		{"least size not listed", func(t *Table) { t.LeastSize.Size = Metric(1) }, "not among the table's sizes", "no such size here"},
		{"least size without source", func(t *Table) { t.LeastSize.Source = Source{} }, "figures but no source", "half a rule"},
		{"unknown method", func(t *Table) { t.Ampacities[0].Method = "X" }, `method "X"`, "nobody explains it"},
		{"method without words", func(t *Table) { t.Methods = []Method{{Name: "C", Source: src}} }, "needs a name and words", "nobody understands it"},
		{"ampacity falls", func(t *Table) { ampacityOf(t, AWG(8)).Current = 20 * quantity.Ampere }, "is below that of a smaller size", "a digit lost"},
		{"ampacity zero", func(t *Table) { t.Ampacities[0].Current = 0 }, "must be above zero", "empty cell"},
		{"ampacity of nothing", func(t *Table) { t.Ampacities[0].Material = 0 }, "material unset", "empty cell"},
		{"ampacity of unlisted size", func(t *Table) { t.Ampacities[0].Size = Kcmil(777) }, "777 kcmil is not among", "no such row"},
		{"factor grows with heat", func(t *Table) { t.Ambient[len(t.Ambient)-1].Factor = 2 * quantity.Whole }, "above that of a colder ambient", "exchanged rows"},
		{"factor zero", func(t *Table) { t.Ambient[0].Factor = 0 }, "must be above zero", "empty cell"},
		{"ambient above rating", func(t *Table) { t.Ambient[0].UpTo = 90 * quantity.Celsius }, "cannot be allowed", "no margin left"},
		{"no base", func(t *Table) { t.AmbientBase = 0 }, "without the ambient base", "corrected from what?"},
		{"bundling starts late", func(t *Table) { t.Bundling[0].From = 2 }, "first row must start at 1", "one conductor has no row"},
		{"bundling gap", func(t *Table) { t.Bundling[1].From = 5 }, "does not follow the row", "four conductors have no row"},
		{"bundling grows", func(t *Table) { t.Bundling[1].Factor = quantity.Percent }, "above that of fewer", "exchanged rows"},
		{"bundling over one", func(t *Table) { t.Bundling[0].Factor = 2 * quantity.Whole }, "not above 1", "an adjustment reduces"},
		{"bundling ends", func(t *Table) { t.Bundling[len(t.Bundling)-1].UpTo = 50 }, "without end", "51 conductors have no row"},
		{"bundling backwards", func(t *Table) { t.Bundling[1].UpTo = 1 }, "ends at 1", "exchanged bounds"},
		{"exempt nothing", func(t *Table) { t.BundlingExempt.Length = 0 }, "bundling exemption: length", "empty rule"},
		{"terminations fall", func(t *Table) { t.Terminations.Above = 0 }, "terminations: columns", "large circuits have no column"},
		{"terminations without rating", func(t *Table) { t.Terminations.ThresholdRating = 0 }, "no threshold rating", "from where?"},
		{"terminations without size", func(t *Table) { t.Terminations.ThresholdSize = Size{} }, "no threshold size", "from where?"},
		{"cable limit above start", func(t *Table) { t.Nonmetallic.Limit = 100 * quantity.Celsius }, "nonmetallic cable: columns", "exchanged columns"},
		{"cable counts", func(t *Table) { t.Nonmetallic.TogetherAbove = 0 }, "counts of cables", "empty cell"},
		{"continuous below one", func(t *Table) { t.Continuous.Conductor = quantity.Percent }, "factors below 1", "1.25, not 125"},
		{"continuous without hours", func(t *Table) { t.Continuous.MinDuration = 0 * time.Hour }, "no duration", "when is it continuous?"},
		{"continuous half cited", func(t *Table) { t.Continuous.OvercurrentSource = Source{} }, "continuous load, overcurrent: no section", "two sections"},
		{"rating twice", func(t *Table) { t.Overcurrent = append(t.Overcurrent, t.Overcurrent[3]) }, "stands twice", "doubled row"},
		{"rating zero", func(t *Table) { t.Overcurrent[0].Rating = 0 }, "standard rating 0 A", "empty cell"},
		{"rating of no kind", func(t *Table) { t.Overcurrent[0].Kind = 0 }, "device kind unset", "breaker or fuse?"},
		{"minimum above suggested", func(t *Table) { t.MinimumRating.Suggested = 1 }, "minimum rating", "exchanged"},
		{"minimum falls with receptacles", func(t *Table) { t.MinimumRating.WithReceptacles = quantity.Ampere }, "with receptacles 1 A", "exchanged"},
		{"next size up to nothing", func(t *Table) { t.NextSizeUp.UpTo = 0 }, "no largest rating", "empty cell"},
		{"cap falls", func(t *Table) {
			for i := range t.SmallConductors {
				if t.SmallConductors[i].Size == AWG(10) {
					t.SmallConductors[i].MaxRating = quantity.Ampere
				}
			}
		}, "limit is below that of a smaller size", "exchanged rows"},
		{"cap of nothing", func(t *Table) { t.SmallConductors[0].MaxRating = 0 }, "small conductor", "empty cell"},
		{"grounding falls", func(t *Table) { t.Grounding[len(t.Grounding)-1].Size = AWG(14) }, "smaller than behind a smaller device", "exchanged rows"},
		{"increase of no basis", func(t *Table) { t.GroundingIncrease.Basis = 0 }, "basis unset", "by what?"},
		{"increase without baseline", func(t *Table) { t.GroundingIncrease.Baseline = 0 }, "baseline unset", "from what?"},
		{"increase by ampacity with baseline", func(t *Table) { t.GroundingIncrease.Basis = ByAmpacity }, "by ampacity none", "nothing to count from"},
		{"resistance rises", func(t *Table) {
			for i := range t.Resistances {
				if t.Resistances[i].Size == AWG(2) {
					t.Resistances[i].Resistance = 9 * quantity.OhmPerThousandFeet
				}
			}
		}, "is above that of a smaller size", "a point lost"},
		{"resistance zero", func(t *Table) { t.Resistances[0].Resistance = 0 }, "resistance of", "empty cell"},
		{"stranding unset", func(t *Table) { t.Resistances[0].Stranding = 0 }, "stranding unset", "empty cell"},
		{"impedance zero", func(t *Table) { t.Impedances[0].Reactance = 0 }, "figures must be above zero", "empty cell"},
		{"raceway unset", func(t *Table) { t.Impedances[0].Raceway = 0 }, "raceway unset", "empty cell"},
		{"constant zero", func(t *Table) { t.Constants[0].K = 0 }, "drop constant", "empty cell"},
		{"drop use unknown", func(t *Table) { t.DropUse = "pump" }, `drop use "pump" has no drop limit`, "spelled otherwise"},
		{"drop limit in percent", func(t *Table) { t.DropLimits[0].Limit = 3 * quantity.Whole }, "limit 300 %", "3 for 3 %"},
		{"drop limit of no force", func(t *Table) { t.DropLimits[0].Force = 0 }, "force unset", "advice or rule?"},
		{"long run by halves", func(t *Table) { t.DropLimits[0].LongRun = quantity.Meter }, "needs all three", "half a rule"},
		{"drop method unknown", func(t *Table) { t.DropMethod = 99 }, "voltage drop method", "no such method"},
		{"drop rate zero", func(t *Table) { t.DropRates = []DropRate{{AWG(14), 0, src}} }, "drop rate of 14 AWG", "empty cell"},
		{"loop without factor", func(t *Table) { t.FaultLoop = FaultLoopRule{Source: src} }, "fault loop: voltage factor", "empty rule"},
		{"loop without curves", func(t *Table) {
			t.FaultLoop = FaultLoopRule{Source: src, VoltageFactor: quantity.Whole, Rise: quantity.Whole}
		}, "no trip curves", "which breaker?"},
		{"loop curve of nothing", func(t *Table) {
			t.FaultLoop = FaultLoopRule{Source: src, VoltageFactor: quantity.Whole, Rise: quantity.Whole, Curves: []TripCurve{{Source: src}}}
		}, "trip curve", "empty row"},
		{"protection of no kind", func(t *Table) { t.Protections = []Protection{{Location: "attic", Demand: Required, Source: src}} }, "kind unset", "which?"},
		{"protection of no demand", func(t *Table) { t.Protections = []Protection{{Location: "attic", Kind: ArcFault, Source: src}} }, "demand unset", "required or not?"},
		{"refusal without reason", func(t *Table) { t.Refusals = []Refusal{{Rule: RuleAmbient}} }, "needs a rule and a reason", "why?"},
		{"elsewhere nowhere", func(t *Table) { t.Elsewhere = []Elsewhere{{Rule: RuleAmbient}} }, "needs a rule and regions", "where?"},
	}
	for _, tt := range tests {
		table := usTable(t, "2023")
		sortForSpoiling(&table)
		tt.spoil(&table)
		if _, err := NewSizer(table); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v; want %q (%s)", tt.name, err, tt.want, tt.why)
		}
	}
}

// sortForSpoiling puts 14 AWG first among the sizes, whatever the figures' order.
func sortForSpoiling(t *Table) {
	for i, row := range t.Sizes {
		if row.Size == AWG(14) {
			t.Sizes[0], t.Sizes[i] = t.Sizes[i], t.Sizes[0]
		}
	}
}

func ampacityOf(t *Table, size Size) *Ampacity {
	for i := range t.Ampacities {
		if t.Ampacities[i].Size == size {
			return &t.Ampacities[i]
		}
	}
	return nil
}

func TestCheckReportsAllAtOnce(t *testing.T) {
	table := usTable(t, "2023")
	table.Region = ""
	table.Continuous.Conductor = 0
	table.DropUse = "pump"
	err := table.Check()
	for _, want := range []string{"no region name", "factors below 1", "drop use"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in %v", want, err)
		}
	}
}

// A table may be empty: then every question is refused, and none panics.
func TestEmptyTableRefuses(t *testing.T) {
	s := sizerOf(t, Table{Region: "nowhere"})
	c := lighting("14/2")
	if _, err := s.Size(c); err == nil || !strings.Contains(err.Error(), "nowhere has no standard overcurrent ratings") {
		t.Error(err)
	}
	if _, err := s.LargestDevice(quantity.Ampere, false); err == nil {
		t.Error("an empty table has a device")
	}
	if _, err := s.InProportion(AWG(14), AWG(14), AWG(12)); err == nil {
		t.Error("an empty table has a proportion")
	}
	c.Run = quantity.Foot
	if _, _, err := s.LeastForDrop(c); err == nil {
		t.Error("an empty table has a drop")
	}
	if got := s.Protections("attic"); len(got) != 3 || got[0].Demand != Unverified {
		t.Errorf("an empty table protects: %v", got)
	}
}
