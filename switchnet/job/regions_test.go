package job_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
)

const chain = `format: 1
rules: REGION
feeds:
  - {name: lights, box: panel, breaker: 6 A}
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device}
  - {name: yard-door, kind: device}
devices:
  - {name: aisle, box: slip-door, kind: END}
  - {name: aisle, box: yard-door, kind: MIDDLE}
`

func in(region *rules.Region, text string) []byte {
	t := region.Wiring.Terms
	return []byte(strings.NewReplacer("REGION", region.ID, "END", t.ThreeWay.Word, "MIDDLE", t.FourWay.Word).Replace(text))
}

// A file may use the words and the usual supply of its region, and no other's words.
func TestRegions(t *testing.T) {
	words := map[string]bool{}
	for _, info := range rules.Regions() {
		region, err := rules.Load(info.ID)
		if err != nil {
			t.Fatal(err)
		}
		if region.Wiring.Terms.ThreeWay.Word == "" || len(region.Wiring.Systems) == 0 {
			t.Errorf("%s names no three-way or no supply", info.ID)
			continue
		}
		words[region.Wiring.Terms.ThreeWay.Word] = true
		src := in(region, chain)
		f := parse(t, info.ID, src)
		if k := f.Wiring.Devices[0].Kind.Name; k != switchnet.ThreeWay().Name {
			t.Errorf("%s: the word for a three-way gives a %s", info.ID, k)
		}
		if k := f.Wiring.Devices[1].Kind.Name; k != switchnet.FourWay().Name {
			t.Errorf("%s: the word for a four-way gives a %s", info.ID, k)
		}
		usual := region.Wiring.Systems[0]
		if s := f.Wiring.Supply; s.Lines != usual.Lines || s.LineToNeutral != usual.Volts || s.LineToLine != usual.Between {
			t.Errorf("%s: the supply is %v, want %v", info.ID, s, usual)
		}
		roundTrip(t, info.ID, src)
	}
	if len(words) < 2 {
		t.Error("no two regions differ in their words, so this tests little")
	}
}

func TestSupplyByName(t *testing.T) {
	region, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		supply, why string
		lines       int
		volts       quantity.Voltage
	}{
		{"split-phase", "the common word", 2, 120 * quantity.Volt},
		{"wye", "the common word", 3, 120 * quantity.Volt},
		{"single-phase", "a word that needs no region", 1, 230 * quantity.Volt},
		{region.Wiring.Systems[1].Name, "the region's own name", region.Wiring.Systems[1].Lines, region.Wiring.Systems[1].Volts},
	} {
		src := []byte(strings.Replace(string(in(region, chain)), "\nfeeds:", "\nsupply: "+tt.supply+"\nfeeds:", 1))
		f := parse(t, tt.supply, src)
		if s := f.Wiring.Supply; s.Lines != tt.lines || s.LineToNeutral != tt.volts {
			t.Errorf("%s (%s) gives %+v", tt.supply, tt.why, s)
		}
		roundTrip(t, tt.supply, src)
	}
}

// A region of the caller's own, with amendments.
func TestRegionOption(t *testing.T) {
	asked := ""
	opt := &job.Options{Region: func(id string) (*rules.Region, error) {
		asked = id
		return rules.Load("us-2023")
	}}
	f, err := job.Parse("shed.yaml", []byte("format: 1\nrules: harbor-township\n"), opt)
	if err != nil || asked != "harbor-township" || f.Rules != "harbor-township" || f.Region.ID != "us-2023" {
		t.Errorf("%v, asked for %q", err, asked)
	}
	opt.Region = func(string) (*rules.Region, error) { return nil, nil }
	if _, err := job.Parse("shed.yaml", []byte("format: 1\nrules: us-2023\n"), opt); err == nil || !strings.Contains(err.Error(), "no rules") {
		t.Errorf("a region that is not there: %v", err)
	}
}
