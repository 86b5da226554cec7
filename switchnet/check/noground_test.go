package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestNoGroundInTheBox holds what is said of an old wiring in cables without a ground: that
// nothing is there to bond with, and for a switch what the code lets be.
func TestNoGroundInTheBox(t *testing.T) {
	const old = `format: 1
rules: us-2023
installed: 1955
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 22.5 in3}
  - {name: slipway, kind: ceiling, volume: 34 in3}
lights: [{name: floodlight, box: slipway, load: 50 W}]
cables:
  - {name: C1, type: TYPE, from: panel, to: slip-door}
  - {name: C2, type: TYPE, from: slip-door, to: slipway}
devices: [{name: slipway, box: slip-door, kind: single-pole}]
splices:
  - {box: slip-door, join: [C1.white, C2.white]}
  - {box: slipway, join: [C2.black, floodlight.hot]}
  - {box: slipway, join: [C2.white, floodlight.neutral]}
landings:
  - {box: panel, device: lights, terminal: hot, wire: C1.black}
  - {box: panel, device: lights, terminal: neutral, wire: C1.white}
  - {box: slip-door, device: slipway, terminal: line, wire: C1.black}
  - {box: slip-door, device: slipway, terminal: load, wire: C2.black}
`
	for _, c := range []struct {
		cable  string
		byHand bool
		yoke   string
		why    string
	}{
		{"14/2 without ground", true, "and none comes to its box; NEC 404.9(B) exception 1 (2023) may let a replacement be (with a nonmetallic faceplate or ground-fault protection)", "another cable, or what the code asks instead"},
		{"14/2", false, "is joined to no ground", "the bares hang in the boxes"},
	} {
		f, j := read(t, "old.yaml", []byte(strings.ReplaceAll(old, "TYPE", c.cable)))
		yoke, light := 0, 0
		for _, x := range run(t, j, check.Safety(f.Region)) {
			switch x.Code {
			case "yoke-unbonded":
				yoke++
				if !strings.HasSuffix(x.Message, c.yoke) {
					t.Errorf("%s: %q, want %q: %s", c.cable, x.Message, c.yoke, c.why)
				}
			case "light-unbonded":
				light++
			default:
				continue
			}
			if x.ByHand != c.byHand || x.Standing != check.Hazardous {
				t.Errorf("%s, %s: by hand %v, %v: %s", c.cable, x.Code, x.ByHand, x.Standing, c.why)
			}
		}
		if yoke != 1 || light != 1 {
			t.Errorf("%s: %d yokes and %d lights, want one of each", c.cable, yoke, light)
		}
	}
}
