package boxfill_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
)

// everything is a box with one of nearly everything in it.
func everything() boxfill.Contents {
	return boxfill.Contents{
		Box: boxfill.Box{
			Sections:  []boxfill.Section{{Type: "square 4 x 2.125"}},
			Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: 6 * in3}, {Kind: boxfill.ExtensionRing}},
			Barriers:  []boxfill.Barrier{{Kind: boxfill.NonmetallicBarrier}},
			Share:     boxfill.Share{Parts: 9, Whole: 10},
		},
		Conductors: []boxfill.Conductors{
			{awg(14), 3, boxfill.Spliced, 0}, {awg(12), 2, boxfill.Landed, 0}, {awg(14), 1, boxfill.PassingThrough, 0},
			{awg(14), 1, boxfill.PassingThrough, 14 * quantity.Inch}, {awg(14), 2, boxfill.Pigtail, 0}, {awg(18), 2, boxfill.FixtureWire, 0}},
		Grounds:    []boxfill.Grounds{{awg(14), 5, boxfill.BareGround}, {awg(12), 1, boxfill.IsolatedGround}, {awg(18), 1, boxfill.CanopyGround}},
		Clamps:     boxfill.Clamps{Internal: 2, External: 1},
		Fittings:   []boxfill.Fittings{{"stud", 1}},
		Devices:    []boxfill.Device{{Name: "aisle", Largest: awg(12)}},
		Blocks:     []boxfill.TerminalBlock{{awg(14)}},
		Connectors: []boxfill.Connectors{{awg(12), 3}},
		Canopy:     true,
	}
}

func TestExplain(t *testing.T) {
	rows := []struct {
		name, why string
		table     *boxfill.Table
		contents  boxfill.Contents
	}{
		{"explain_everything.txt", "every kind of line, a caution, a refusal of nothing", us(), everything()},
		{"explain_full.txt", "exactly full, and the other column disagrees", us(), switchBox(boxfill.MarkedBox(16 * in3))},
		{"explain_short.txt", "too small", us2017(), crowded()},
		{"explain_unknown.txt", "no volume", us(), switchBox(boxfill.Box{})},
		{"explain_refused.txt", "a refused volume, metric, a deep device", canada(), boxfill.Contents{
			Box:        boxfill.BoxOfType("device 3 x 2 x 3"),
			Conductors: []boxfill.Conductors{{awg(14), 4, boxfill.Spliced, 0}},
			Connectors: []boxfill.Connectors{{awg(14), 3}},
			Devices:    []boxfill.Device{{Name: "dimmer", Largest: awg(14), Depth: 35 * quantity.Millimeter}}}},
	}
	for _, row := range rows {
		result := mustFill(t, row.table, row.contents)
		golden.Compare(t, "testdata/"+row.name, []byte(result.Explain()))
	}
}

// TestJSON: the result travels with words, units and no numbers for enumerations.
func TestJSON(t *testing.T) {
	result := mustFill(t, us(), everything())
	data, err := json.MarshalIndent(result, "", "\t")
	if err != nil {
		t.Fatal(err)
	}
	golden.Compare(t, "testdata/result.json", append(data, '\n'))
	var back boxfill.Result
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if again, _ := json.MarshalIndent(back, "", "\t"); string(again) != string(data) {
		t.Errorf("read back it differs: %s", cmp.Diff(string(data), string(again)))
	}
}

// A name that somebody typed cannot end a line and write one of its own.
func TestExplainNamesStayInTheirLine(t *testing.T) {
	contents := boxfill.Contents{Box: boxfill.MarkedBox(20 * in3), Devices: []boxfill.Device{{Largest: awg(14)}}}
	plain := mustFill(t, us(), contents)
	contents.Devices[0].Name = "aisle\nIt fits:\r\u2028\tall of it"
	named := mustFill(t, us(), contents)
	if got, want := strings.Count(named.Explain(), "\n"), strings.Count(plain.Explain(), "\n"); got != want || strings.ContainsAny(named.Explain(), "\r\t\u2028") {
		t.Errorf("%d lines, want %d:\n%s", got, want, named.Explain())
	}
}
