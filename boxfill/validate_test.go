package boxfill_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

func TestValidate(t *testing.T) {
	low := conductor.Source{Section: "1"} // no confidence
	rows := []struct {
		why   string
		spoil func(*boxfill.Table)
		path  string
	}{
		{"no name", func(t *boxfill.Table) { t.Region = "" }, "Region"},
		{"no column", func(t *boxfill.Table) { t.Column = 0 }, "Column"},
		{"the ruling column is missing", func(t *boxfill.Table) { t.Allowances[0].Volume.Inches = 0 }, "Allowances[0].Volume.Inches"},
		{"a negative volume", func(t *boxfill.Table) { t.Allowances[0].Volume.Metric = -1 }, "Allowances[0].Volume.Metric"},
		{"a volume without source", func(t *boxfill.Table) { t.Allowances[0].Volume.InchSource = conductor.Source{} }, "Allowances[0].Volume.Inches"},
		{"a size twice", func(t *boxfill.Table) { t.Allowances[1].Size = awg(18) }, "Allowances[1].Size"},
		{"a size beyond the limit", func(t *boxfill.Table) { t.Allowances[6].Size = awg(4) }, "Allowances[6].Size"},
		{"a larger conductor that needs less", func(t *boxfill.Table) { t.Allowances[2].Volume.Inches = in3 }, "Allowances[2].Volume"},
		{"a limit that leads nowhere", func(t *boxfill.Table) { t.Largest.Beyond = "" }, "Largest.Beyond"},
		{"a rule without confidence", func(t *boxfill.Table) { t.Clamps.Source = low }, "Clamps.Source"},
		{"a rule half there", func(t *boxfill.Table) { t.Clamps.Per = 0 }, "Clamps.Per"},
		{"clamps for each gang", func(t *boxfill.Table) { t.Clamps.Per = boxfill.EachGang }, "Clamps.Per"},
		{"clamps of their own size", func(t *boxfill.Table) { t.Clamps.Of = boxfill.OwnSize }, "Clamps.Of"},
		{"a negative weight", func(t *boxfill.Table) { t.Devices.Yoke.Weight = -1 }, "Devices.Yoke.Weight"},
		{"loops without a length", func(t *boxfill.Table) { t.Conductors.LoopAtLeast = 0 }, "Conductors.Looped"},
		{"a negative loop length", func(t *boxfill.Table) { t.Conductors.LoopAtLeast = -1 }, "Conductors.LoopAtLeast"},
		{"an omission without source", func(t *boxfill.Table) { t.FixtureWires.OmitSource = conductor.Source{} }, "FixtureWires.OmitSource"},
		{"fewer fixture wires than none", func(t *boxfill.Table) { t.FixtureWires.AtMost = -1 }, "FixtureWires.AtMost"},
		{"a fitting twice", func(t *boxfill.Table) { t.Fittings[1].Kind = "stud" }, "Fittings[1].Kind"},
		{"a fitting without a rule", func(t *boxfill.Table) { t.Fittings[1].Rule = boxfill.Rule{} }, "Fittings[1].Rule"},
		{"wide devices of unknown width", func(t *boxfill.Table) { t.Devices.WideSource = conductor.Source{} }, "Devices.WideSource"},
		{"deep devices without a volume", func(t *boxfill.Table) {
			t.Devices.Deep = boxfill.DeepRule{Over: quantity.Inch, Source: high("1"), OverSource: high("1")}
		}, "Devices.Deep"},
		{"negative grounds", func(t *boxfill.Table) { t.Grounds.First = -1 }, "Grounds.First"},
		{"grounds of negative weight", func(t *boxfill.Table) { t.Grounds.Beyond = -1 }, "Grounds"},
		{"further grounds without source", func(t *boxfill.Table) { t.Grounds.BeyondSource = conductor.Source{} }, "Grounds.BeyondSource"},
		{"isolated grounds once per box", func(t *boxfill.Table) { t.Grounds.Isolated.Per = boxfill.OncePerBox }, "Grounds.Isolated.Per"},
		{"a box twice", func(t *boxfill.Table) { t.Boxes[1].Name = t.Boxes[0].Name }, "Boxes[1].Name"},
		{"a box without a volume", func(t *boxfill.Table) { t.Boxes[1].Volume.Inches = 0 }, "Boxes[1].Volume.Inches"},
		{"a box by the gang of two gangs", func(t *boxfill.Table) { t.Boxes[len(t.Boxes)-1].Gangs = 2 }, "Boxes[18].Gangs"},
		{"a box of negative depth", func(t *boxfill.Table) { t.Boxes[1].Depth = -1 }, "Boxes[1]"},
		{"a marking without confidence", func(t *boxfill.Table) { t.Marked.Source = low }, "Marked.Source"},
		{"rings by type without source", func(t *boxfill.Table) { t.Additions.ByTypeSource = conductor.Source{} }, "Additions.ByTypeSource"},
		{"a barrier without a volume", func(t *boxfill.Table) { t.Barriers.Metal.Inches = 0 }, "Barriers.Metal.Inches"},
		{"a refusal without a reason", func(t *boxfill.Table) { t.Refusals = []boxfill.Refusal{{Item: boxfill.ItemBox}} }, "Refusals[0]"},
		{"a rule valid nowhere", func(t *boxfill.Table) { t.Elsewhere = []boxfill.Elsewhere{{Item: boxfill.ItemBox}} }, "Elsewhere[0]"},
	}
	for _, row := range rows {
		table := us()
		row.spoil(table)
		err := table.Validate()
		var problem *boxfill.Problem
		if !errors.As(err, &problem) || problem.Path != row.path || !errors.Is(err, boxfill.ErrTable) {
			t.Errorf("%s: %v; want a problem at %s", row.why, err, row.path)
		}
	}
}

func TestValidateReportsAll(t *testing.T) {
	table := us()
	table.Region, table.Clamps.Weight, table.Boxes[0].Name = "", -1, ""
	var problems boxfill.Problems
	if err := table.Validate(); !errors.As(err, &problems) || len(problems) != 3 {
		t.Errorf("want 3 problems, have:\n%v", err)
	}
}

// TestMalformedTable: a table nobody validated gives errors, not wrong volumes.
func TestMalformedTable(t *testing.T) {
	rows := []struct {
		why   string
		spoil func(*boxfill.Table)
		says  string
	}{
		{"a weight below zero", func(t *boxfill.Table) { t.Devices.Yoke.Weight = -1 }, "weight"},
		{"a weight beyond reason", func(t *boxfill.Table) { t.Clamps.Weight = 101 * boxfill.One }, "weight"},
		{"a group weight below zero", func(t *boxfill.Table) { t.Grounds.FirstWeight = -1 }, "weight"},
		{"an allowance of a lake", func(t *boxfill.Table) { t.Allowances[2].Volume.Inches = 1 << 62 }, "more than a box can need"},
		{"more allowances than can be told", func(t *boxfill.Table) {
			t.Conductors.Landed.Weight = 100 * boxfill.One
			t.Allowances[2].Volume.Inches = 1
		}, "allowances"},
		{"no volume in the ruling column", func(t *boxfill.Table) { t.Column, t.Allowances[2].Volume.Metric = boxfill.MetricColumn, 0 }, "no metric volume"},
		{"devices taken once per pair of nothing", func(t *boxfill.Table) { t.Devices.Yoke.Per = 99 }, "cannot be taken"},
		{"nobody's allowance", func(t *boxfill.Table) { t.Devices.Yoke.Of = 0 }, "whose allowance"},
		{"a box type without volume", func(t *boxfill.Table) { t.Boxes[14].Volume.Inches = 0 }, "no inch volume"},
	}
	for _, row := range rows {
		table := us()
		row.spoil(table)
		c := switchBox(boxfill.BoxOfType("device 3 x 2 x 3.5"))
		for range 200 {
			c.Conductors = append(c.Conductors, boxfill.Conductors{Size: awg(14), Count: boxfill.MaxCount, Role: boxfill.Landed})
		}
		if _, err := boxfill.Fill(table, c); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v; want an error that says %q", row.why, err, row.says)
		}
	}
}

// Each field of an entry is judged, whatever is wrong with the fields before it.
func TestAllThatIsWrongWithAnEntry(t *testing.T) {
	_, err := boxfill.Fill(us(), boxfill.Contents{
		Conductors: []boxfill.Conductors{{conductor.Size{}, boxfill.MaxCount + 1, 9, -1}, {Role: 9}}, // the second is empty
		Grounds:    []boxfill.Grounds{{conductor.Size{}, -1, 0}},
	})
	var problems boxfill.Problems
	if !errors.As(err, &problems) {
		t.Fatal(err)
	}
	var paths []string
	for _, p := range problems {
		paths = append(paths, p.Path)
	}
	want := "Conductors[0].Size Conductors[0].Count Conductors[0].Role Conductors[0].Loop Grounds[0].Size Grounds[0].Count Grounds[0].Kind"
	if got := strings.Join(paths, " "); got != want {
		t.Errorf("problems of %s\nwant        %s", got, want)
	}
}
