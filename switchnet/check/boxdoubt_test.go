package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestBoxDoubts holds that a box whose fill is not known is in doubt, and none that is
// known or is no box to be filled.
func TestBoxDoubts(t *testing.T) {
	const outlet = `format: 1
rules: us-2023
feeds: [{name: outlets, box: panel, breaker: 15 A}]
boxes:
  - {name: panel, kind: panel}
  - {name: bench, kind: device, BOX}
cables: [{name: C1, type: 14/2, from: panel, to: bench}]
devices: [{name: outlet, box: bench, kind: receptacle}]
landings:
  - {box: panel, device: outlets, terminal: hot, wire: C1.black}
  - {box: panel, device: outlets, terminal: neutral, wire: C1.white}
  - {box: panel, device: outlets, terminal: ground, wire: C1.bare}
  - {box: bench, device: outlet, terminal: hot 1, wire: C1.black}
  - {box: bench, device: outlet, terminal: neutral 1, wire: C1.white}
  - {box: bench, device: outlet, terminal: ground, wire: C1.bare}
`
	for _, r := range []struct {
		rules, box string
		full       bool
		doubt, why string
	}{
		{"us-2023", "gangs: 1", false, "whether box bench holds what is in it: its volume is not stated, and 10 in3 are needed", "nobody read its marking"},
		{"us-2023", "volume: 18 in3", false, "", "it is marked"},
		{"us-2023", "type: device 3 x 2 x 2-1/2", false, "", "it is of a type in the table"},
		{"us-2023", "volume: 8 in3", true, "", "too small is a finding"},
		{"ca", "type: device 3 x 2 x 2-1/2", false, "whether box bench holds what is in it: ", "the region is not sure of its volumes"},
	} {
		f, job := read(t, "doubts.yaml", []byte(strings.NewReplacer("us-2023", r.rules, "BOX", r.box).Replace(outlet)))
		var doubts []check.Doubt
		found, err := check.Run(t.Context(), job, check.Edition(f.Region), &check.Options{NoFixes: true, Doubt: func(d check.Doubt) { doubts = append(doubts, d) }})
		if err != nil {
			t.Fatal(err)
		}
		full := 0
		for _, x := range found {
			if x.Code == "box-too-full" {
				full++
			}
		}
		if (full > 0) != r.full {
			t.Errorf("%s, %s: %d boxes too full: %s", r.rules, r.box, full, r.why)
		}
		switch {
		case r.doubt == "" && len(doubts) > 0:
			t.Errorf("%s, %s: in doubt %q: %s", r.rules, r.box, doubts[0].Message, r.why)
		case r.doubt != "" && (len(doubts) != 1 || !strings.HasPrefix(doubts[0].Message, r.doubt) || doubts[0].Code != "box-too-full" || doubts[0].Place.Box != "bench"):
			t.Errorf("%s, %s: doubts %+v: %s", r.rules, r.box, doubts, r.why)
		}
	}
}
