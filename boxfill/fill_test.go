package boxfill_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// switchBox is two 14/2 cables and a switch in a box with internal clamps.
func switchBox(box boxfill.Box) boxfill.Contents {
	return boxfill.Contents{
		Box:        box,
		Conductors: []boxfill.Conductors{{Size: awg(14), Count: 2, Role: boxfill.Spliced}, {Size: awg(14), Count: 2, Role: boxfill.Landed}},
		Grounds:    []boxfill.Grounds{{Size: awg(14), Count: 2, Kind: boxfill.BareGround}},
		Clamps:     boxfill.Clamps{Internal: 2},
		Devices:    []boxfill.Device{{Largest: awg(14)}},
	}
}

func TestCounting(t *testing.T) {
	con := func(n int, role boxfill.Role, loop quantity.Length) boxfill.Contents {
		return boxfill.Contents{Conductors: []boxfill.Conductors{{Size: awg(12), Count: n, Role: role, Loop: loop}}}
	}
	rows := []struct {
		why      string
		table    *boxfill.Table
		contents boxfill.Contents
		want     string
	}{
		{"each spliced conductor counts", us(), con(3, boxfill.Spliced, 0), "6.75 in3"},
		{"each landed conductor counts", us(), con(3, boxfill.Landed, 0), "6.75 in3"},
		{"unbroken counts once, not for each end", us(), con(3, boxfill.PassingThrough, 0), "6.75 in3"},
		{"just short of the loop length", us(), con(3, boxfill.PassingThrough, 12*quantity.Inch-1), "6.75 in3"},
		{"a loop of exactly twice the free length counts twice", us(), con(3, boxfill.PassingThrough, 12*quantity.Inch), "13.5 in3"},
		{"a region without loops", canada(), con(3, boxfill.PassingThrough, 12*quantity.Inch), "86.1 mL"},
		{"no part leaves the box", us(), con(3, boxfill.Pigtail, 0), "0 in3"},
		{"a large pigtail still sets what a clamp takes", us(), boxfill.Contents{Clamps: boxfill.Clamps{Internal: 1},
			Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.Spliced}, {Size: awg(10), Count: 1, Role: boxfill.Pigtail}}}, "4.5 in3"},
		{"a clamp in an empty box takes nothing", us(), boxfill.Contents{Clamps: boxfill.Clamps{Internal: 1}}, "0 in3"},
		{"clamps outside take nothing", us(), boxfill.Contents{Clamps: boxfill.Clamps{External: 3},
			Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.Spliced}}}, "2 in3"},
		{"two studs are one kind", us(), boxfill.Contents{Fittings: []boxfill.Fittings{{"stud", 1}, {"stud", 1}},
			Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.Spliced}}}, "4 in3"},
		{"in Canada each fitting counts", canada(), boxfill.Contents{Fittings: []boxfill.Fittings{{"stud", 1}, {"stud", 1}},
			Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.Spliced}}}, "73.8 mL"},
		{"a bare bond does not set what a Canadian fitting takes", canada(), boxfill.Contents{Fittings: []boxfill.Fittings{{"stud", 1}},
			Grounds:    []boxfill.Grounds{{awg(6), 1, boxfill.BareGround}},
			Conductors: []boxfill.Conductors{{Size: awg(14), Count: 1, Role: boxfill.Spliced}}}, "49.2 mL"},
		{"a wide device by its gangs", us(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(10), Gangs: 2, Width: 3 * quantity.Inch}}}, "10 in3"},
		{"width does not matter in Canada", canada(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Gangs: 2, Depth: 2 * quantity.Centimeter}}}, "49.2 mL"},
		{"exactly as deep as the limit", canada(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Depth: quantity.Inch}}}, "49.2 mL"},
		{"a deep device by its depth", canada(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Depth: 4 * quantity.Centimeter}}}, "128 mL"},
		{"a deep device never below its allowances", canada(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(6), Depth: 4 * quantity.Centimeter}}}, "147.4 mL"},
		{"a terminal block", us(), boxfill.Contents{Blocks: []boxfill.TerminalBlock{{awg(12)}}}, "2.25 in3"},
		{"a terminal block before 2023", us2020(), boxfill.Contents{Blocks: []boxfill.TerminalBlock{{awg(12)}}}, "0 in3"},
		{"wire connectors are free", us(), boxfill.Contents{Connectors: []boxfill.Connectors{{awg(12), 4}}}, "0 in3"},
		{"five caps over two entries are two pairs", canada(), boxfill.Contents{Connectors: []boxfill.Connectors{{awg(14), 2}, {awg(12), 3}}}, "57.4 mL"},
		{"a second, isolated set up to 2017", us2017(), boxfill.Contents{Grounds: []boxfill.Grounds{
			{awg(12), 2, boxfill.BareGround}, {awg(14), 2, boxfill.IsolatedGround}}}, "4.25 in3"},
		{"isolated grounds among the others from 2020", us2020(), boxfill.Contents{Grounds: []boxfill.Grounds{
			{awg(12), 4, boxfill.BareGround}, {awg(14), 1, boxfill.IsolatedGround}}}, "2.8125 in3"},
		{"insulated bonds count in Canada, bare ones do not", canada(), boxfill.Contents{Grounds: []boxfill.Grounds{
			{awg(14), 4, boxfill.BareGround}, {awg(14), 1, boxfill.InsulatedGround}}}, "24.6 mL"},
		{"the luminaire's ground under a canopy", us(), boxfill.Contents{Canopy: true, Grounds: []boxfill.Grounds{{awg(18), 1, boxfill.CanopyGround}}}, "0 in3"},
		{"without a canopy it counts", us(), boxfill.Contents{Grounds: []boxfill.Grounds{{awg(18), 1, boxfill.CanopyGround}}}, "1.5 in3"},
		{"fixture wires without a canopy", us(), boxfill.Contents{Conductors: []boxfill.Conductors{{awg(18), 2, boxfill.FixtureWire, 0}}}, "3 in3"},
		{"fixture wires in Canada need no canopy, of a size its table does not have", canada(),
			boxfill.Contents{Conductors: []boxfill.Conductors{{awg(18), 9, boxfill.FixtureWire, 0}}}, "0 mL"},
	}
	for _, row := range rows {
		result, err := boxfill.Fill(row.table, row.contents)
		if err != nil {
			t.Errorf("%s: %v", row.why, err)
			continue
		}
		if result.Required != vol(row.want) {
			t.Errorf("%s: required %v, want %s\n%s", row.why, result.Required, row.want, result.Explain())
		}
	}
}

func TestRoom(t *testing.T) {
	marked := func(text string) []boxfill.Section { return []boxfill.Section{{Marked: vol(text)}} }
	rows := []struct {
		why    string
		table  *boxfill.Table
		box    boxfill.Box
		want   quantity.Volume // available; zero where it is not known
		status boxfill.Status
	}{
		{"exactly full fits", us(), boxfill.MarkedBox(16 * in3), vol("16 in3"), boxfill.ExactlyFull},
		{"one picoliter short does not", us(), boxfill.MarkedBox(16*in3 - 1), 16*in3 - 1, boxfill.DoesNotFit},
		{"a type of the table", us(), boxfill.BoxOfType("device 3 x 2 x 3.5"), vol("18 in3"), boxfill.Fits},
		{"the marking overrides the type", us(), boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 3.5", Marked: 15 * in3}}}, vol("15 in3"), boxfill.DoesNotFit},
		{"nothing known of the box", us(), boxfill.Box{}, 0, boxfill.VolumeUnknown},
		{"an unmarked box of no type", us(), boxfill.Box{Sections: []boxfill.Section{{}}}, 0, boxfill.VolumeUnknown},
		{"an unmarked section spoils the sum", us(), boxfill.Box{Sections: []boxfill.Section{{Marked: 90 * in3}, {}}}, 0, boxfill.VolumeUnknown},
		{"sectional boxes add up", us(), boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 2.5", Count: 3}}}, vol("37.5 in3"), boxfill.Fits},
		{"a box measured by the gang", us(), boxfill.Box{Sections: []boxfill.Section{{Type: "masonry 3.75 x 2 x 2.5", Count: 2}}, Gangs: 2}, vol("28 in3"), boxfill.Fits},
		{"an extension ring made from a box of the table", us(), boxfill.Box{Sections: marked("10 in3"),
			Additions: []boxfill.Addition{{Kind: boxfill.ExtensionRing, Type: "square 4 x 1.5"}}}, vol("31 in3"), boxfill.Fits},
		{"a marked plaster ring", us(), boxfill.Box{Sections: marked("10 in3"),
			Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: 6 * in3}}}, vol("16 in3"), boxfill.ExactlyFull},
		{"an unmarked ring adds nothing", us(), boxfill.Box{Sections: marked("10 in3"),
			Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing}}}, vol("10 in3"), boxfill.DoesNotFit},
		{"half of what a metal barrier leaves", us(), boxfill.Box{Sections: marked("32.5 in3"),
			Barriers: []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}, Share: boxfill.Share{Parts: 1, Whole: 2}}, vol("16 in3"), boxfill.ExactlyFull},
		{"a nonmetallic barrier takes more", us(), boxfill.Box{Sections: marked("32.5 in3"),
			Barriers: []boxfill.Barrier{{Kind: boxfill.NonmetallicBarrier}}, Share: boxfill.Share{Parts: 1, Whole: 2}}, vol("15.75 in3"), boxfill.DoesNotFit},
		{"a marked barrier takes what it is marked with", us(), boxfill.Box{Sections: marked("32.5 in3"),
			Barriers: []boxfill.Barrier{{Kind: boxfill.MetalBarrier, Marked: in3 / 4}}, Share: boxfill.Share{Parts: 2, Whole: 2}}, vol("32.25 in3"), boxfill.Fits},
		{"a refused figure is no number", canada(), boxfill.BoxOfType("device 3 x 2 x 3"), 0, boxfill.Refused},
		{"the marking cures a refused figure", canada(), boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 3", Marked: 240 * mL}}}, vol("240 mL"), boxfill.Fits},
		{"a refused rule is no number either", canada(), boxfill.Box{Sections: marked("900 mL"),
			Barriers: []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}, Share: boxfill.Share{Parts: 1, Whole: 2}}, 0, boxfill.Refused},
	}
	for _, row := range rows {
		contents := switchBox(row.box)
		result, err := boxfill.Fill(row.table, contents)
		if err != nil {
			t.Errorf("%s: %v", row.why, err)
			continue
		}
		if result.Status != row.status {
			t.Errorf("%s: %v, want %v\n%s", row.why, result.Status, row.status, result.Explain())
		}
		if result.Available != row.want {
			t.Errorf("%s: available %v, want %v", row.why, result.Available, row.want)
		}
		if result.Required == 0 {
			t.Errorf("%s: the required volume is missing", row.why)
		}
		if (result.Status == boxfill.Refused) != (len(result.Refusals) > 0) {
			t.Errorf("%s: %v with refusals %v", row.why, result.Status, result.Refusals)
		}
	}
}

// TestRefusedCount: a rule that is refused leaves no required volume.
func TestRefusedCount(t *testing.T) {
	table := us()
	table.Refusals = []boxfill.Refusal{{Item: boxfill.ItemDevice, Why: "not verified", Source: high("NEC 314.16(B)(4)")}}
	result := mustFill(t, table, switchBox(boxfill.MarkedBox(90*in3)))
	if result.Status != boxfill.Refused || result.Required != 0 || result.Spare != 0 {
		t.Errorf("%v, required %v, spare %v; want refused and no volume", result.Status, result.Required, result.Spare)
	}
	if len(result.Refusals) != 1 || result.Refusals[0].Item != boxfill.ItemDevice {
		t.Errorf("refusals %v, want the device by name", result.Refusals)
	}
}

func TestCautions(t *testing.T) {
	low := us()
	low.Allowances[2].Volume.InchSource.Confidence = conductor.LowConfidence
	small := func(n int) boxfill.Contents {
		return boxfill.Contents{Canopy: true, Conductors: []boxfill.Conductors{{awg(18), n, boxfill.FixtureWire, 0}}}
	}
	device := func(depth quantity.Length) boxfill.Contents {
		return boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Depth: depth}}}
	}
	rows := []struct {
		why      string
		table    *boxfill.Table
		contents boxfill.Contents
		want     []boxfill.CautionCode
	}{
		{"nothing to be careful of", us(), switchBox(boxfill.MarkedBox(18 * in3)), nil},
		{"a low volume per conductor, said once", low, switchBox(boxfill.MarkedBox(18 * in3)), []boxfill.CautionCode{boxfill.LowConfidence}},
		{"a low box volume", us(), switchBox(boxfill.BoxOfType("masonry 3.75 x 2 x 2.5")), []boxfill.CautionCode{boxfill.LowConfidence}},
		{"a marking in its place", us(), switchBox(boxfill.Box{Sections: []boxfill.Section{{Type: "masonry 3.75 x 2 x 2.5", Marked: 14 * in3}}}), nil},
		{"a low rule for isolated grounds", us(), boxfill.Contents{Grounds: []boxfill.Grounds{{awg(14), 1, boxfill.IsolatedGround}}}, []boxfill.CautionCode{boxfill.LowConfidence}},
		{"a ring without a volume", us(), switchBox(boxfill.Box{Sections: []boxfill.Section{{Marked: in3}},
			Additions: []boxfill.Addition{{Kind: boxfill.DomedCover}}}), []boxfill.CautionCode{boxfill.UnmarkedAddition}},
		{"four small fixture wires", us(), small(4), nil},
		{"five small fixture wires", us(), small(5), []boxfill.CautionCode{boxfill.TooManyFixtureWires}},
		{"an unknown depth where depth counts", canada(), device(0), []boxfill.CautionCode{boxfill.DepthNotGiven}},
		{"a depth by which nothing changes", canada(), device(quantity.Centimeter), nil},
		{"a deep device", canada(), device(4 * quantity.Centimeter), []boxfill.CautionCode{boxfill.DeepInPlace}},
	}
	for _, row := range rows {
		result := mustFill(t, row.table, row.contents)
		var got []boxfill.CautionCode
		for _, c := range result.Cautions {
			got = append(got, c.Code)
		}
		if len(got) != len(row.want) || len(got) > 0 && got[0] != row.want[0] {
			t.Errorf("%s: cautions %v, want %v", row.why, result.Cautions, row.want)
		}
	}
}

// TestTooManyFixtureWires: of two readings the larger is charged.
func TestTooManyFixtureWires(t *testing.T) {
	c := boxfill.Contents{Canopy: true, Conductors: []boxfill.Conductors{{awg(18), 5, boxfill.FixtureWire, 0}}}
	if got := mustFill(t, us(), c).Required; got != vol("7.5 in3") {
		t.Errorf("five wires need %v, want 7.5 in3", got)
	}
}

// TestColumns: where the columns disagree the one that the table names rules,
// and the result tells the other.
func TestColumns(t *testing.T) {
	c := boxfill.Contents{Box: boxfill.BoxOfType("device 3 x 2 x 3.5"),
		Conductors: []boxfill.Conductors{{awg(14), 9, boxfill.Spliced, 0}}}
	table := us()
	result := mustFill(t, table, c)
	if result.Status != boxfill.ExactlyFull || result.Other.Status != boxfill.DoesNotFit {
		t.Errorf("inch column: %v, metric %v; want exactly full and does not fit", result.Status, result.Other.Status)
	}
	table.Column = boxfill.MetricColumn
	result = mustFill(t, table, c)
	if result.Status != boxfill.DoesNotFit || result.Other.Status != boxfill.ExactlyFull {
		t.Errorf("metric column: %v, inch %v; want the reverse", result.Status, result.Other.Status)
	}
	c.Box.Barriers = []boxfill.Barrier{{Kind: boxfill.MetalBarrier}} // has no metric figure
	c.Box.Share = boxfill.Share{Parts: 1, Whole: 1}
	table.Column = boxfill.InchColumn
	if result = mustFill(t, table, c); result.Other != (boxfill.OtherColumn{}) {
		t.Errorf("the metric column lacks a figure and still says %v", result.Other)
	}
}

func TestProblems(t *testing.T) {
	con := func(size conductor.Size, n int, role boxfill.Role) boxfill.Contents {
		return boxfill.Contents{Conductors: []boxfill.Conductors{{size, n, role, 0}}}
	}
	in := func(box boxfill.Box) boxfill.Contents { return switchBox(box) }
	marked := []boxfill.Section{{Marked: 30 * in3}}
	barrier := []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}
	rows := []struct {
		why      string
		table    *boxfill.Table
		contents boxfill.Contents
		kind     error
		path     string
		says     string
	}{
		{"no rules at all", nil, boxfill.Contents{}, boxfill.ErrNoRule, "Table", "no box-fill rules"},
		{"a table without a column", &boxfill.Table{}, boxfill.Contents{}, boxfill.ErrTable, "Table.Column", "inch or the metric"},
		{"a negative count", us(), con(awg(14), -1, boxfill.Spliced), boxfill.ErrNegative, "Conductors[0].Count", "-1"},
		{"an absurd count", us(), con(awg(14), 10_001, boxfill.Spliced), boxfill.ErrLimit, "Conductors[0].Count", "10000"},
		{"too many entries", us(), boxfill.Contents{Conductors: make([]boxfill.Conductors, 1001)}, boxfill.ErrLimit, "Conductors", "1000"},
		{"no size", us(), con(conductor.Size{}, 1, boxfill.Spliced), boxfill.ErrUnset, "Conductors[0].Size", "14 AWG"},
		{"no role", us(), con(awg(14), 1, 0), boxfill.ErrUnset, "Conductors[0].Role", "spliced, landed"},
		{"a size above the volume method", us(), con(awg(4), 1, boxfill.Pigtail), boxfill.ErrSize, "Conductors[0].Size", "NEC 314.28"},
		{"a size that is not in the table", canada(), con(awg(18), 1, boxfill.Spliced), boxfill.ErrSize, "Conductors[0].Size", "14 AWG, 12 AWG"},
		{"a size of another country", us(), con(conductor.Metric(25*quantity.SquareMillimeter/10), 1, boxfill.Spliced), boxfill.ErrSize, "Conductors[0].Size", "2.5 mm2"},
		{"a loop in a splice", us(), boxfill.Contents{Conductors: []boxfill.Conductors{{awg(14), 1, boxfill.Spliced, 1}}}, boxfill.ErrMismatch, "Conductors[0].Loop", "passing through"},
		{"a negative loop", us(), boxfill.Contents{Conductors: []boxfill.Conductors{{awg(14), 1, boxfill.PassingThrough, -1}}}, boxfill.ErrNegative, "Conductors[0].Loop", "zero or more"},
		{"no kind of ground", us(), boxfill.Contents{Grounds: []boxfill.Grounds{{awg(14), 1, 0}}}, boxfill.ErrUnset, "Grounds[0].Kind", "bare"},
		{"isolated grounds where there is no rule", canada(), boxfill.Contents{Grounds: []boxfill.Grounds{{awg(14), 1, boxfill.IsolatedGround}}}, boxfill.ErrNoRule, "Grounds[0].Kind", "no rule for the isolated grounding conductor in ca"},
		{"a terminal block where there is no rule", canada(), boxfill.Contents{Blocks: []boxfill.TerminalBlock{{awg(14)}}}, boxfill.ErrNoRule, "Blocks[0].Largest", "valid in us-2023, not in ca"},
		{"negative clamps", us(), boxfill.Contents{Clamps: boxfill.Clamps{Internal: -2}}, boxfill.ErrNegative, "Clamps.Internal", "-2"},
		{"a fitting nobody knows", us(), boxfill.Contents{Fittings: []boxfill.Fittings{{"studd", 1}}}, boxfill.ErrName, "Fittings[0].Kind", `"hickey", "stud"`},
		{"a device on which nothing lands", us(), boxfill.Contents{Devices: []boxfill.Device{{}}}, boxfill.ErrUnset, "Devices[0].Largest", "no conductor size"},
		{"a wide device in one gang", us(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Width: 3 * quantity.Inch}}}, boxfill.ErrGangs, "Devices[0].Gangs", "3 in"},
		{"a narrow device in two gangs", us(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Width: quantity.Inch, Gangs: 2}}}, boxfill.ErrGangs, "Devices[0].Gangs", "one gang"},
		{"negative gangs", us(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Gangs: -1}}}, boxfill.ErrNegative, "Devices[0].Gangs", "-1"},
		{"a device too deep to be one", canada(), boxfill.Contents{Devices: []boxfill.Device{{Largest: awg(14), Depth: 11 * quantity.Meter}}}, boxfill.ErrLimit, "Devices[0].Depth", "11 m"},
		{"two devices in one gang", us(), boxfill.Contents{Box: boxfill.BoxOfType("device 3 x 2 x 3.5"), Devices: []boxfill.Device{{Largest: awg(14)}, {Largest: awg(14)}}}, boxfill.ErrGangs, "Box.Gangs", "need 2 gangs, and the box has 1"},
		{"gangs that the sections do not have", us(), in(boxfill.Box{Sections: []boxfill.Section{{Type: "device 3 x 2 x 3.5"}}, Gangs: 2}), boxfill.ErrGangs, "Box.Gangs", "the sections have 1"},
		{"a box nobody knows", us(), in(boxfill.BoxOfType("device 3 x 2 x 3")), boxfill.ErrName, "Box.Sections[0].Type", `"device 3 x 2 x 2"`},
		{"a negative marking", us(), in(boxfill.MarkedBox(-in3)), boxfill.ErrNegative, "Box.Sections[0].Marked", "-1 in3"},
		{"a marking of a room", us(), in(boxfill.MarkedBox(101 * quantity.Liter)), boxfill.ErrLimit, "Box.Sections[0].Marked", "100 L"},
		{"no kind of ring", us(), in(boxfill.Box{Sections: marked, Additions: []boxfill.Addition{{}}}), boxfill.ErrUnset, "Box.Additions[0].Kind", "extension ring"},
		{"a plaster ring made from a box", us(), in(boxfill.Box{Sections: marked, Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Type: "square 4 x 1.5"}}}), boxfill.ErrNoRule, "Box.Additions[0].Type", "marked on it"},
		{"a ring where there is no rule", canada(), in(boxfill.Box{Sections: marked, Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: in3}}}), boxfill.ErrNoRule, "Box.Additions[0].Kind", "in ca"},
		{"no kind of barrier", us(), in(boxfill.Box{Sections: marked, Barriers: []boxfill.Barrier{{}}, Share: boxfill.Share{Parts: 1, Whole: 2}}), boxfill.ErrUnset, "Box.Barriers[0].Kind", "metal"},
		{"a barrier without a share", us(), in(boxfill.Box{Sections: marked, Barriers: barrier}), boxfill.ErrShare, "Box.Share", "1 of 2"},
		{"a share without a barrier", us(), in(boxfill.Box{Sections: marked, Share: boxfill.Share{Parts: 1, Whole: 2}}), boxfill.ErrShare, "Box.Share", "no barrier"},
		{"more than the whole", us(), in(boxfill.Box{Sections: marked, Barriers: barrier, Share: boxfill.Share{Parts: 3, Whole: 2}}), boxfill.ErrShare, "Box.Share", "3 of 2"},
		{"nothing left by the barrier", us(), in(boxfill.Box{Sections: []boxfill.Section{{Marked: in3 / 4}}, Barriers: barrier, Share: boxfill.Share{Parts: 1, Whole: 2}}), boxfill.ErrMismatch, "Box.Barriers", "more than the box"},
	}
	for _, row := range rows {
		_, err := boxfill.Fill(row.table, row.contents)
		var problem *boxfill.Problem
		switch {
		case err == nil:
			t.Errorf("%s: no error", row.why)
		case !errors.Is(err, row.kind):
			t.Errorf("%s: %v is not %v", row.why, err, row.kind)
		case !errors.As(err, &problem) || problem.Path != row.path:
			t.Errorf("%s: at %s, want %s: %v", row.why, problem.Path, row.path, err)
		case !strings.Contains(err.Error(), row.says):
			t.Errorf("%s: %v does not say %q", row.why, err, row.says)
		}
	}
}

// TestAllProblemsAtOnce: nothing hides behind the first mistake.
func TestAllProblemsAtOnce(t *testing.T) {
	c := boxfill.Contents{
		Box:        boxfill.Box{Sections: []boxfill.Section{{Type: "hat"}}, Gangs: -1},
		Conductors: []boxfill.Conductors{{awg(14), -1, boxfill.Spliced, 0}, {awg(4), 1, boxfill.Spliced, 0}, {awg(14), 1, 9, 0}},
		Grounds:    []boxfill.Grounds{{awg(14), -1, boxfill.BareGround}},
		Devices:    []boxfill.Device{{}},
	}
	_, err := boxfill.Fill(us(), c)
	var problems boxfill.Problems
	if !errors.As(err, &problems) || len(problems) != 7 {
		t.Fatalf("want 7 problems, have:\n%v", err)
	}
	if lines := strings.Count(err.Error(), "\n") + 1; lines != 7 {
		t.Errorf("%d lines, want one for each problem", lines)
	}
}
