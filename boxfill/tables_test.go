package boxfill_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

const (
	in3 = quantity.CubicInch
	mL  = quantity.Milliliter
)

func awg(n int) conductor.Size { return conductor.AWG(n) }

func high(section string) conductor.Source {
	return conductor.Source{Section: section, Edition: "2023", Confidence: conductor.HighConfidence}
}

// inches is a nominal dimension, of sixteenths of an inch.
func inches(n float64) quantity.Length { return quantity.Length(n*16) * quantity.Inch / 16 }

// vol reads a volume; the texts are constants of the tests.
func vol(text string) quantity.Volume {
	v, err := quantity.ParseVolume(text)
	if err != nil {
		panic(err)
	}
	return v
}

// figure is a cell of both columns: in cubic inches and in milliliters.
func figure(inches, metric, section string) boxfill.Figure {
	f := boxfill.Figure{InchSource: high(section), MetricSource: high(section + " metric column")}
	f.MetricSource.Confidence = conductor.MediumConfidence
	if inches != "" {
		f.Inches = vol(inches + " in3")
	}
	if metric != "" {
		f.Metric = vol(metric + " mL")
	}
	return f
}

// us is a table filled by hand, as a program without rule files would, with the
// rules of 2023. Tests of other editions change a copy.
func us() *boxfill.Table {
	b1 := high("NEC 314.16(B)(1)")
	each := boxfill.Rule{Weight: boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: b1}
	nothing := boxfill.Rule{Per: boxfill.Each, Of: boxfill.OwnSize, Source: b1}
	fitting := boxfill.Rule{Weight: boxfill.One, Per: boxfill.EachKind, Of: boxfill.LargestInBox, Source: high("NEC 314.16(B)(3)")}
	t := &boxfill.Table{
		Region: "us-2023",
		Column: boxfill.InchColumn,
		Allowances: []boxfill.Allowance{
			{awg(18), figure("1.5", "24.6", "NEC T314.16(B)(1)")},
			{awg(16), figure("1.75", "28.7", "NEC T314.16(B)(1)")},
			{awg(14), figure("2", "32.8", "NEC T314.16(B)(1)")},
			{awg(12), figure("2.25", "36.9", "NEC T314.16(B)(1)")},
			{awg(10), figure("2.5", "41", "NEC T314.16(B)(1)")},
			{awg(8), figure("3", "49.2", "NEC T314.16(B)(1)")},
			{awg(6), figure("5", "81.9", "NEC T314.16(B)(1)")},
		},
		Largest: boxfill.Limit{Size: awg(6), Beyond: "NEC 314.28", Source: high("NEC 314.16(B)")},
		Conductors: boxfill.ConductorRules{
			Spliced: each, Landed: each, PassingThrough: each, Pigtail: nothing,
			Looped:      boxfill.Rule{Weight: 2 * boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: b1},
			LoopAtLeast: 12 * quantity.Inch,
			LoopSource:  high("NEC 300.14"),
		},
		FixtureWires: boxfill.FixtureWireRule{
			Counted: each, SmallerThan: awg(14), AtMost: 4, CanopyOnly: true, Grounds: true,
			OmitSource: high("NEC 314.16(B)(1) exception"),
		},
		Grounds: boxfill.GroundRules{
			First: 4, FirstWeight: boxfill.One, Source: high("NEC 314.16(B)(5)"),
			Beyond: boxfill.One / 4, BeyondSource: high("NEC 314.16(B)(5)"),
			Isolated: boxfill.Rule{Per: boxfill.WithOthers, Source: conductor.Source{
				Section: "NEC 314.16(B)(5)", Edition: "2023", Confidence: conductor.LowConfidence}},
		},
		Clamps:         boxfill.Rule{Weight: boxfill.One, Per: boxfill.OncePerBox, Of: boxfill.LargestInBox, Source: high("NEC 314.16(B)(2)")},
		ExternalClamps: boxfill.Rule{Per: boxfill.OncePerBox, Of: boxfill.LargestInBox, Source: high("NEC 314.16(B)(2)")},
		Fittings:       []boxfill.FittingRule{{"stud", fitting}, {"hickey", fitting}},
		Devices: boxfill.DeviceRules{
			Yoke:     boxfill.Rule{Weight: 2 * boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: high("NEC 314.16(B)(4)")},
			Wide:     boxfill.Rule{Weight: 2 * boxfill.One, Per: boxfill.EachGang, Of: boxfill.OwnSize, Source: high("NEC 314.16(B)(4)")},
			WideOver: 2 * quantity.Inch, WideSource: high("NEC 314.16(B)(4)"),
		},
		TerminalBlocks: boxfill.Rule{Weight: boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: high("NEC 314.16(B)(6)")},
		Connectors:     boxfill.Rule{Per: boxfill.Each, Of: boxfill.LargestInBox, Source: high("NEC 314.16(B)")},
		Marked:         boxfill.MarkedRule{Source: high("NEC 314.16(A)"), SumSource: high("NEC 314.16(A)")},
		Additions:      boxfill.AdditionRule{Source: high("NEC 314.16(A)"), ByType: true, ByTypeSource: high("NEC 314.16(A)")},
		Barriers: boxfill.BarrierRule{
			Metal:       boxfill.Figure{Inches: in3 / 2, InchSource: high("NEC 314.16(A)")},
			Nonmetallic: boxfill.Figure{Inches: in3, InchSource: high("NEC 314.16(A)")},
			Source:      high("NEC 314.16(A)"),
		},
	}
	for _, row := range []struct {
		shape                string
		width, second, depth float64 // nominal inches
		inches, metric       string
	}{
		{"octagon", 4, 0, 1.25, "12.5", "205"},
		{"octagon", 4, 0, 1.5, "15.5", "254"},
		{"octagon", 4, 0, 2.125, "21.5", "352"},
		{"square", 4, 4, 1.25, "18", "295"},
		{"square", 4, 4, 1.5, "21", "344"},
		{"square", 4, 4, 2.125, "30.3", "497"},
		{"square", 4.6875, 4.6875, 1.25, "25.5", "418"},
		{"square", 4.6875, 4.6875, 1.5, "29.5", "483"},
		{"square", 4.6875, 4.6875, 2.125, "42", "688"},
		{"device", 3, 2, 1.5, "7.5", "123"},
		{"device", 3, 2, 2, "10", "164"},
		{"device", 3, 2, 2.25, "10.5", "172"},
		{"device", 3, 2, 2.5, "12.5", "205"},
		{"device", 3, 2, 2.75, "14", "230"},
		{"device", 3, 2, 3.5, "18", "295"},
		{"device", 4, 2.125, 1.5, "10.3", "169"},
		{"device", 4, 2.125, 1.875, "13", "213"},
		{"device", 4, 2.125, 2.125, "14.5", "238"},
	} {
		box := boxfill.BoxType{
			Name:  fmt.Sprintf("%s %v x %v", row.shape, row.width, row.depth),
			Shape: row.shape, Width: inches(row.width), Second: inches(row.second), Depth: inches(row.depth),
			Volume: figure(row.inches, row.metric, "NEC T314.16(A)"),
		}
		if row.shape == "device" {
			box.Name = fmt.Sprintf("device %v x %v x %v", row.width, row.second, row.depth)
			box.Gangs = 1
		}
		t.Boxes = append(t.Boxes, box)
	}
	masonry := boxfill.BoxType{Name: "masonry 3.75 x 2 x 2.5", Shape: "masonry", Width: inches(3.75), Second: inches(2), Depth: inches(2.5), Gangs: 1, PerGang: true,
		Volume: figure("14", "230", "NEC T314.16(A)")}
	masonry.Volume.InchSource.Confidence = conductor.LowConfidence
	t.Boxes = append(t.Boxes, masonry)
	return t
}

// us2020 is the table of that edition.
func us2020() *boxfill.Table {
	t := us()
	t.Region = "us-2020"
	t.TerminalBlocks.Weight = 0
	return t
}

// us2017 is the table of the editions up to 2017.
func us2017() *boxfill.Table {
	t := us()
	t.Region = "us-2017"
	t.Grounds.First, t.Grounds.Beyond = 0, 0
	t.Grounds.Isolated = boxfill.Rule{Weight: boxfill.One, Per: boxfill.EachSet, Of: boxfill.OwnSize, Source: high("NEC 314.16(B)(5)")}
	t.TerminalBlocks.Weight = 0
	return t
}

// canada is a table in which the metric column rules.
func canada() *boxfill.Table {
	each := boxfill.Rule{Weight: boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: high("CEC 12-3034(1)")}
	nothing := boxfill.Rule{Per: boxfill.Each, Of: boxfill.OwnSize, Source: high("CEC 12-3034(1)(c)")}
	fitting := boxfill.Rule{Weight: boxfill.One, Per: boxfill.Each, Of: boxfill.LargestInsulated, Source: high("CEC 12-3034(2)(a)")}
	free := boxfill.Rule{Per: boxfill.Each, Of: boxfill.LargestInsulated, Source: high("CEC 12-3034(5)")}
	t := &boxfill.Table{
		Region: "ca",
		Column: boxfill.MetricColumn,
		Allowances: []boxfill.Allowance{
			{awg(14), figure("1.5", "24.6", "CEC T22")},
			{awg(12), figure("1.75", "28.7", "CEC T22")},
			{awg(10), figure("2.25", "36.9", "CEC T22")},
			{awg(8), figure("2.75", "45.1", "CEC T22")},
			{awg(6), figure("4.5", "73.7", "CEC T22")},
		},
		Conductors:   boxfill.ConductorRules{Spliced: each, Landed: each, PassingThrough: each, Pigtail: nothing},
		FixtureWires: boxfill.FixtureWireRule{Counted: each, SmallerThan: awg(14), OmitSource: high("CEC 12-3034(1)(d)")},
		Grounds:      boxfill.GroundRules{Source: high("CEC 12-3034"), Insulated: each},
		Clamps:       free, ExternalClamps: free,
		Fittings: []boxfill.FittingRule{{"stud", fitting}, {"hickey", fitting}},
		Devices: boxfill.DeviceRules{
			Yoke: boxfill.Rule{Weight: 2 * boxfill.One, Per: boxfill.Each, Of: boxfill.OwnSize, Source: high("CEC 12-3034(2)(c)")},
			Deep: boxfill.DeepRule{Over: 25_400_000, PerCentimeter: 32 * mL, Source: high("CEC 12-3034(3)"), OverSource: high("CEC 12-3034(3)")},
		},
		Connectors: boxfill.Rule{Weight: boxfill.One, Per: boxfill.EachPair, Of: boxfill.OwnSize, Source: high("CEC 12-3034(2)(b)")},
		Marked:     boxfill.MarkedRule{Source: high("CEC 12-3034"), SumSource: high("CEC 12-3034")},
		Boxes: []boxfill.BoxType{{Name: "device 3 x 2 x 3", Shape: "device", Gangs: 1, Volume: figure("15", "245", "CEC T23"),
			Refused: "the volume is only recalled; read it off the box"}},
		Refusals:  []boxfill.Refusal{{Item: boxfill.ItemBarrier, Why: "no verified figure for a barrier", Source: high("CEC 12-3034")}},
		Elsewhere: []boxfill.Elsewhere{{Item: boxfill.ItemTerminalBlock, Regions: []string{"us-2023"}}},
	}
	return t
}

func TestHandTablesAreValid(t *testing.T) {
	for _, table := range []*boxfill.Table{us(), us2020(), us2017(), canada()} {
		if err := table.Validate(); err != nil {
			t.Errorf("%s: %v", table.Region, err)
		}
	}
}
