package rules_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

// factFiles says which test checks which file of facts. Every file of a region
// must stand here, so that none is forgotten.
var factFiles = []struct {
	file  string
	check func(t *testing.T, f fact)
}{
	{"us_ac_impedance_t9.csv", impedance},
	{"us_ambient_correction_30c.csv", ambient},
	{"us_ampacity.csv", ampacity},
	{"us_box_fill_egc_oracle.csv", groundOracle},
	{"us_box_fill_rules.csv", boxFillRule},
	{"us_box_max_same_size_conductors.csv", boxCount},
	{"us_box_volume_other.csv", boxOther},
	{"us_box_volume_per_conductor.csv", allowance},
	{"us_box_volumes_metal.csv", boxVolume},
	{"us_bundling_adjustment.csv", bundling},
	{"us_conductor_properties_t8.csv", properties},
	{"us_continuous_load.csv", continuous},
	{"us_egc_min_size.csv", grounding},
	{"us_egc_proportional_rule.csv", groundingIncrease},
	{"us_installation_distances.csv", distance},
	{"us_nm_cable_ampacity_rule.csv", nonmetallic},
	{"us_ocpd_next_size_up.csv", nextSizeUp},
	{"us_ocpd_oracle.csv", overcurrentOracle},
	{"us_ocpd_standard_sizes.csv", standardSize},
	{"us_small_conductor_ocpd.csv", smallConductor},
	{"us_stair_lighting_rules.csv", stairRule},
	{"us_switch_location_rules.csv", switchRule},
	{"us_terminations.csv", termination},
	{"us_voltage_drop_limits.csv", dropLimit},
	{"ca_bonding_t16.csv", nil}, // low throughout: refused
	{"ca_box_fill_rules.csv", canadianBoxRule},
	{"ca_box_volume_per_conductor.csv", canadianAllowance},
	{"ca_box_volumes.csv", nil},  // low throughout: refused
	{"ca_bundling_t5c.csv", nil}, // low throughout: refused
	{"ca_connector_cap_oracle.csv", connectorOracle},
	{"ca_other_rules.csv", canadianRule},
	{"uk_colour_dates.csv", colourDate},
	{"uk_colours.csv", colour},
	{"uk_flat_twin_earth_capacity.csv", flatCapacity},
	{"uk_flat_twin_earth_cpc.csv", flatProtective},
	{"uk_flat_twin_earth_voltage_drop.csv", flatDrop},
	{"uk_switch_terms.csv", switchTerms},
	{"uk_voltage_drop_limits.csv", flatDropLimit},
}

// fact is one row with the regions whose edition it holds for.
type fact struct {
	row     map[string]string
	regions []*rules.Region
}

func (f fact) get(column string) string { return f.row[column] }

// value is the figure of the row.
func (f fact) value(t *testing.T) float64 {
	t.Helper()
	return number(t, f.row["value"])
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// want compares a figure of a region with that of the row.
func (f fact) want(t *testing.T, r *rules.Region, got float64, source conductor.Source) {
	t.Helper()
	if want := f.value(t); math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %v, want %v (%v)", r.ID, got, want, f.row)
	}
	f.sourced(t, r, source)
}

// sourced wants a source of the region's edition that claims no more than the
// facts do.
func (f fact) sourced(t *testing.T, r *rules.Region, source conductor.Source) {
	t.Helper()
	if source.Section == "" || source.Edition != r.Edition {
		t.Errorf("%s: source %+v of %v", r.ID, source, f.row)
	}
	confidence, err := conductor.ParseConfidence(f.row["confidence"])
	if err != nil {
		t.Fatal(err)
	}
	if source.Confidence < confidence {
		t.Errorf("%s: %v is of %s confidence, the facts say %s", r.ID, f.row, source.Confidence, confidence)
	}
}

func (f fact) wantBool(t *testing.T, r *rules.Region, got bool, source conductor.Source) {
	t.Helper()
	v := 0.0
	if got {
		v = 1
	}
	f.want(t, r, v, source)
}

func readFacts(t testing.TB, file string) []map[string]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "facts", file))
	if err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := make(map[string]string)
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// usRegions are the regions of the United States that a row holds for.
func usRegions(t testing.TB, row map[string]string) []*rules.Region {
	t.Helper()
	from, to := row["edition_from"], row["edition_to"]
	if row["edition"] != "" {
		from, to = row["edition"], row["edition"]
	}
	var list []*rules.Region
	for _, id := range []string{"us-2017", "us-2020", "us-2023"} {
		year := strings.TrimPrefix(id, "us-")
		if (from == "" || from <= year) && (to == "" || year <= to) {
			list = append(list, load(t, id))
		}
	}
	return list
}

// load returns a region that the tests share and so must not change.
func load(t testing.TB, id string) *rules.Region {
	t.Helper()
	r, err := loaded(id)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var loaded = func() func(id string) (*rules.Region, error) {
	regions := make(map[string]*rules.Region)
	return func(id string) (*rules.Region, error) {
		if r := regions[id]; r != nil {
			return r, nil
		}
		r, err := rules.Load(id)
		regions[id] = r
		return r, err
	}
}()

// TestFacts reproduces every row of high or medium confidence. A row of an
// edition that no region is for is passed over: its range lies outside 2017 to
// 2023, unless the files carry its history.
func TestFacts(t *testing.T) {
	seen := make(map[string]bool)
	for _, entry := range factFiles {
		seen[entry.file] = true
		t.Run(entry.file, func(t *testing.T) {
			checked := 0
			for _, row := range readFacts(t, entry.file) {
				if row["confidence"] == "low" {
					continue
				}
				if entry.check == nil {
					t.Fatalf("a row that is not low needs a check: %v", row)
				}
				f := fact{row: row}
				switch region, _, _ := strings.Cut(entry.file, "_"); region {
				case "us":
					f.regions = usRegions(t, row)
				case "ca":
					f.regions = []*rules.Region{load(t, "ca")}
				case "uk":
					f.regions = []*rules.Region{load(t, "uk-2018")}
				}
				entry.check(t, f)
				checked++
			}
			if entry.check != nil && checked == 0 {
				t.Error("no row was checked")
			}
		})
	}
	files, err := filepath.Glob(filepath.Join("testdata", "facts", "??_*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatal("no facts", err)
	}
	for _, file := range files {
		if name := filepath.Base(file); !seen[name] {
			t.Errorf("no test checks %s", name)
		}
	}
}

// TestLowIsMarkedOrRefused wants the figures of low confidence of Canada to be
// absent and refused by name, and no row of a region to be without a mark.
func TestLowIsMarkedOrRefused(t *testing.T) {
	ca := load(t, "ca")
	if len(ca.Conductor.Grounding)+len(ca.Conductor.Bundling)+len(ca.Conductor.DropLimits) != 0 {
		t.Error("ca gives figures that are only recalled")
	}
	for _, rule := range []conductor.Rule{conductor.RuleGrounding, conductor.RuleBundling, conductor.RuleVoltageDrop} {
		if !slices.ContainsFunc(ca.Conductor.Refusals, func(r conductor.Refusal) bool { return r.Rule == rule && r.Why != "" }) {
			t.Errorf("ca does not refuse %s by name", rule)
		}
	}
	for _, b := range ca.Box.Boxes {
		if b.Refused == "" || b.Volume.Metric != 0 || b.Volume.Inches != 0 {
			t.Errorf("ca gives a recalled volume for %s", b.Name)
		}
	}
	if len(ca.Box.Boxes) != len(readFacts(t, "ca_box_volumes.csv"))/2 {
		t.Errorf("ca names %d box types", len(ca.Box.Boxes))
	}
	if len(ca.Refused) == 0 {
		t.Error("ca refuses no wiring rule by name")
	}
	low := 0
	for _, row := range readFacts(t, "us_box_volumes_metal.csv") {
		if row["confidence"] != "low" || row["unit"] != "in3" {
			continue
		}
		b := boxByFact(t, load(t, "us-2023"), row)
		if b.Volume.InchSource.Confidence != conductor.LowConfidence {
			t.Errorf("%s is not marked low", b.Name)
		}
		low++
	}
	if low == 0 {
		t.Error("no low volume was looked at")
	}
}
