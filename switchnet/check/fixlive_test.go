package check_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
)

// TestNoFixMakesLive makes two faults at once and every fix that is proposed for what is
// found: none brings a short, nor a light that is dark with both ends live, though it be one
// that nothing lights anyhow.
func TestNoFixMakesLive(t *testing.T) {
	t.Parallel()
	for _, r := range []struct{ name, a, b string }{
		{"stair-pair", "stair.common and stair.traveler 2 are exchanged in box hall", "the pigtail of stair light.hot is on stair light.neutral in box stair"},
		{"stair-pair", "C3.black is in the splice of C3.white in box stair", "C1.black is on stair.traveler 1 in box hall"},
		{"aisle-and-bench", "the pigtail of aisle light.hot is on aisle light.neutral in box aisle", "C2.black and C3.black touch in box yard-door"},
		{"aisle-and-bench", "the pigtail of aisle.common is on aisle.traveler 1 in box store-door", "C3.black and C3.white touch in box aisle"},
		{"half-hot", "C3.white is on outlet.hot 2 in box skirting", "lamp is a four-way, pair 1 first for common, pair 2 first for traveler 1, pair 1 second for traveler 2 in box landing"},
	} {
		name := "../trace/testdata/cases/" + r.name + ".yaml"
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, j := read(t, name, src)
		for _, says := range []string{r.a, r.b} {
			i := slices.IndexFunc(miswire.List(j.Wiring), func(x miswire.Fault) bool { return x.Says == says })
			if i < 0 {
				t.Fatalf("%s: no fault %q", r.name, says)
			}
			if j.Wiring, err = miswire.List(j.Wiring)[i].Apply(j.Wiring); err != nil {
				t.Fatal(err)
			}
		}
		before := perils(t, j.Wiring)
		found, err := check.Run(t.Context(), j, check.Everything(f.Region), nil)
		if err != nil {
			t.Fatal(err)
		}
		fixes := 0
		for _, v := range found {
			for _, x := range v.Fixes {
				fixes++
				w, err := j.Wiring.Apply(x.Edits...)
				if err != nil {
					t.Fatal(err)
				}
				after := perils(t, w)
				if after.short && !before.short {
					t.Errorf("%s: %s; %s: %q brings a short", r.name, r.a, r.b, x.Does)
				}
				for _, l := range after.dark {
					if !slices.Contains(before.dark, l) {
						t.Errorf("%s: %s; %s: %q makes %s live at both ends while it is dark", r.name, r.a, r.b, x.Does, l)
					}
				}
			}
		}
		t.Logf("%s: %s; %s: %d fixes of %d findings", r.name, r.a, r.b, fixes, len(found))
	}
}

// TestDarkAndLive: a light that nothing lights, for its neutral is open, is live at both
// ends, and hazardous to whoever takes it for dead. One that no hot reaches is not.
func TestDarkAndLive(t *testing.T) {
	for _, r := range []struct {
		name string
		want check.Standing
	}{{"codes/never-lit/neutral-end-open", check.Hazardous}, {"cases/tried-blind-dark", check.Defect}} {
		x := readExample(t, "testdata/"+r.name+".yaml")
		if dark := perils(t, x.job.Wiring).dark; (len(dark) > 0) != (r.want == check.Hazardous) {
			t.Fatalf("%s: dark and live are %v", r.name, dark)
		}
		found := run(t, x.job, x.suite)
		if len(found) != 1 || found[0].Code != "never-lit" || found[0].Standing != r.want || strings.Contains(found[0].Message, "both its ends are live") != (r.want == check.Hazardous) {
			t.Errorf("%s: %+v, want %v", r.name, found, r.want)
		}
	}
}

// TestDarkAndLiveBesideAShort: what nothing lights is told where it is live at both ends
// while nothing is shorted, though the only setting that would light it is a short.
func TestDarkAndLiveBesideAShort(t *testing.T) {
	f, j := read(t, "shed.yaml", []byte(`format: 1
rules: us-2023
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 34 in3, gangs: 2}
  - {name: slipway, kind: ceiling, volume: 20 in3}
lights: [{name: floodlight, box: slipway, load: 50 W}]
cables:
  - {name: C1, type: 14/2, from: panel, to: slip-door}
  - {name: C2, type: 14/2, from: slip-door, to: slipway}
devices:
  - {name: slipway, box: slip-door, kind: single-pole}
  - {name: aisle, box: slip-door, kind: four-way}
splices:
  - {box: slip-door, join: [C1.black, slipway.line, aisle.pair 2 first]}
  - {box: slip-door, join: [C1.white, aisle.pair 2 second, aisle.pair 1 second]}
  - {box: slip-door, join: [C1.bare, C2.bare, slipway.ground, aisle.ground]}
  - {box: slipway, join: [C2.black, floodlight.hot]}
  - {box: slipway, join: [C2.white, floodlight.neutral]}
  - {box: slipway, join: [C2.bare, floodlight.ground]}
landings:
  - {box: panel, device: lights, terminal: hot, wire: C1.black}
  - {box: panel, device: lights, terminal: neutral, wire: C1.white}
  - {box: panel, device: lights, terminal: ground, wire: C1.bare}
  - {box: slip-door, device: slipway, terminal: load, wire: C2.black}
  - {box: slip-door, device: aisle, terminal: pair 1 first, wire: C2.white}
`))
	told := map[check.Code]bool{}
	for _, x := range run(t, j, check.Safety(f.Region)) {
		told[x.Code] = true
		if x.Code == "never-lit" && (x.Standing != check.Hazardous || !strings.Contains(x.Message, "both its ends are live") || len(x.Witness) != 1) {
			t.Errorf("%v, %q, shown with %v", x.Standing, x.Message, x.Witness)
		}
	}
	if !told["short"] || !told["never-lit"] {
		t.Errorf("told are %v, want the short and the light", told)
	}
}
