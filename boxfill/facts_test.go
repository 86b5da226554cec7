package boxfill_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// The facts are numbers of the codes with their sections, copied so that what
// the regions say is compared with something besides itself.

// readFacts returns the rows of a table of facts, each by its column names.
func readFacts(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open("testdata/facts/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, field := range record {
			row[records[0][i]] = field
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

// sure reports whether a fact is an oracle at all.
func sure(row map[string]string) bool {
	return row["confidence"] == "high" || row["confidence"] == "medium"
}

func atoi(t testing.TB, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// weight reads a number of allowances.
func weight(t testing.TB, text string) boxfill.Weight {
	t.Helper()
	var w boxfill.Weight
	if err := w.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return w
}

var usEditions = []string{"2017", "2020", "2023"}

// TestVolumePerConductorFacts: every volume a conductor needs, in both columns.
func TestVolumePerConductorFacts(t *testing.T) {
	checked := 0
	check := func(table *boxfill.Table, row map[string]string) {
		for _, a := range table.Allowances {
			if a.Size != gauge(t, row["awg"]) {
				continue
			}
			got := a.Volume.Metric
			if row["unit"] == "in3" {
				got = a.Volume.Inches
			}
			if want := vol(row["value"] + " " + row["unit"]); got != want {
				t.Errorf("%s: %s AWG needs %v, want %v (%s)", table.Region, row["awg"], got, want, row["rule"])
			}
			checked++
		}
	}
	for _, edition := range usEditions {
		for _, row := range readFacts(t, "us_box_volume_per_conductor.csv") {
			check(region(t, "us-"+edition), row)
		}
	}
	for _, row := range readFacts(t, "ca_box_volume_per_conductor.csv") {
		check(region(t, "ca"), row)
	}
	if checked != 3*14+10 {
		t.Errorf("checked %d volumes, want 52", checked)
	}
}

// TestBoxVolumeFacts: every box volume, in both columns, by way of Fill.
func TestBoxVolumeFacts(t *testing.T) {
	for _, edition := range usEditions {
		table := region(t, "us-"+edition)
		checked := 0
		for _, row := range readFacts(t, "us_box_volumes_metal.csv") {
			if !sure(row) {
				continue
			}
			ruling := *table
			if ruling.Column = boxfill.MetricColumn; row["unit"] == "in3" {
				ruling.Column = boxfill.InchColumn
			}
			result := mustFill(t, &ruling, boxfill.Contents{Box: boxfill.BoxOfType(boxName(t, table, row["box"]))})
			if want := vol(row["value"] + " " + row["unit"]); result.Available != want {
				t.Errorf("us-%s: %s has %v, want %v", edition, row["box"], result.Available, want)
			}
			checked++
		}
		if checked != 33 {
			t.Errorf("us-%s: checked %d volumes, want 33", edition, checked)
		}
	}
	for _, row := range readFacts(t, "ca_box_volumes.csv") {
		if sure(row) {
			t.Fatalf("%s has a sure volume now: check it here", row["box"])
		}
	}
	for _, b := range region(t, "ca").Boxes {
		result := mustFill(t, region(t, "ca"), boxfill.Contents{Box: boxfill.BoxOfType(b.Name)})
		if result.Status != boxfill.Refused {
			t.Errorf("ca: %s is %v; its volume is only recalled, so it must be refused", b.Name, result.Status)
		}
	}
}

// TestConductorCountFacts: how many conductors of one size a box holds is the
// volume by the allowance, rounded down to whole conductors; and the columns
// disagree about just so many of the counts.
func TestConductorCountFacts(t *testing.T) {
	for _, edition := range usEditions {
		table := region(t, "us-"+edition)
		metric := *table
		metric.Column = boxfill.MetricColumn
		checked, disagree := 0, 0
		for _, row := range readFacts(t, "us_box_max_same_size_conductors.csv") {
			if !sure(row) {
				continue
			}
			name := boxName(t, table, row["box"])
			box := boxfill.Contents{Box: boxfill.BoxOfType(name)}
			n, _, err := boxfill.More(table, box, gauge(t, row["awg"]))
			if err != nil {
				t.Fatal(err)
			}
			if want := atoi(t, row["value"]); n != want {
				t.Errorf("us-%s: %s holds %d of %s AWG, want %d", edition, row["box"], n, row["awg"], want)
			}
			kind, _ := table.BoxType(name)
			for _, a := range table.Allowances {
				if a.Size == gauge(t, row["awg"]) && n != int(kind.Volume.Inches/a.Volume.Inches) {
					t.Errorf("us-%s: %s holds %d of %s AWG, but %v by %v rounds down to something else", edition, row["box"], n, row["awg"], kind.Volume.Inches, a.Volume.Inches)
				}
			}
			other, _, err := boxfill.More(&metric, box, gauge(t, row["awg"]))
			if err != nil {
				t.Fatal(err)
			}
			if other != n {
				disagree++
			}
			checked++
		}
		if checked != 168 || disagree != 31 {
			t.Errorf("us-%s: checked %d counts, of which the columns disagree on %d; want 168 and 31", edition, checked, disagree)
		}
	}
}

// TestGroundingFacts: grounding conductors by number and edition.
func TestGroundingFacts(t *testing.T) {
	checked := 0
	for _, row := range readFacts(t, "us_box_fill_egc_oracle.csv") {
		if !sure(row) {
			continue
		}
		for _, size := range []conductor.Size{awg(14), awg(10)} {
			result := mustFill(t, region(t, "us-"+row["edition"]), boxfill.Contents{
				Grounds: []boxfill.Grounds{{Size: size, Count: atoi(t, row["n_egc"]), Kind: boxfill.BareGround}}})
			if want := weight(t, row["value"]); result.Allowances != want {
				t.Errorf("%s: %s grounding conductors take %v allowances, want %v", row["edition"], row["n_egc"], result.Allowances, want)
			}
		}
		checked++
	}
	if checked != 39 {
		t.Errorf("checked %d rows, want 39", checked)
	}
}

// TestConnectorCapFacts: wire connectors in pairs.
func TestConnectorCapFacts(t *testing.T) {
	for _, row := range readFacts(t, "ca_connector_cap_oracle.csv") {
		result := mustFill(t, region(t, "ca"), boxfill.Contents{
			Connectors: []boxfill.Connectors{{Largest: awg(14), Count: atoi(t, row["n_caps"])}}})
		if want := weight(t, row["value"]); result.Allowances != want {
			t.Errorf("%s caps take %v conductors, want %v", row["n_caps"], result.Allowances, want)
		}
	}
}
