package packet_test

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// Two circuits of the shed on one neutral, to a lamp each.
const sharing = `format: 1
rules: us-2023
feeds:
  - {name: aisle, box: panel, breaker: 15 A, lines: [A]}
  - {name: slipway, box: panel, breaker: 15 A, lines: [B]}
boxes:
  - {name: panel, kind: panel}
  - {name: aisle-1, kind: ceiling}
  - {name: slipway, kind: ceiling}
lights:
  - {name: lamp, box: aisle-1, load: 18 W}
  - {name: floodlight, box: slipway, load: 100 W}
cables:
  - {name: M, type: 14/3, from: panel, to: aisle-1, length: 40 ft}
  - {name: O, type: 14/2, from: aisle-1, to: slipway, length: 12 ft}
splices:
  - {box: aisle-1, join: [M.white, O.white, lamp.neutral]}
  - {box: aisle-1, join: [M.black, lamp.hot]}
  - {box: aisle-1, join: [M.red, O.black]}
  - {box: slipway, join: [O.black, floodlight.hot]}
  - {box: slipway, join: [O.white, floodlight.neutral]}
`

// TestGaps wants the packet to say where and why it has no voltage drop.
func TestGaps(t *testing.T) {
	const hots = "landings:\n" +
		"  - {box: panel, device: aisle, terminal: hot, wire: M.black}\n" +
		"  - {box: panel, device: slipway, terminal: hot, wire: M.red}\n"
	const alone = hots + "  - {box: panel, device: aisle, terminal: neutral, wire: M.white}\n"
	const both = "  - {box: panel, join: [M.white, aisle.neutral, slipway.neutral]}\n" + hots
	for _, r := range []struct {
		why, source string
		want        string // the note about the floodlight
		drop        bool
	}{
		{"a neutral that lands for both circuits", sharing + both, "", true},
		{"one that lands for the other alone", sharing + alone, "floodlight: no way back from it to the neutral", false},
		{"a cable of unknown length", strings.Replace(sharing, ", length: 12 ft", "", 1) + both, "floodlight: the length of a cable", false},
	} {
		f, err := job.Parse("shed.yaml", []byte(r.source), nil)
		if err != nil {
			t.Fatal(err)
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		d, err := packet.Build(context.Background(), packet.Input{Intent: f.Intent, Wiring: w, Region: f.Region})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range d.Circuits {
			notes, steps := strings.Join(c.Notes, "\n"), strings.Join(c.Steps, "\n")
			if c.Feed == "aisle" && notes != "" {
				t.Errorf("%s: notes on the other circuit: %s", r.why, notes)
			}
			if c.Feed != "slipway" {
				continue
			}
			if !strings.HasPrefix(notes, r.want) || (notes == "") != (r.want == "") {
				t.Errorf("%s: the notes are %q, want %q", r.why, notes, r.want)
			}
			if strings.Contains(steps, "drops") != r.drop {
				t.Errorf("%s: voltage drop in the steps: %v", r.why, !r.drop)
			}
			if !strings.Contains(strings.Join(strings.Fields(text(t, d)), " "), r.want) {
				t.Errorf("%s: the text leaves the note out", r.why)
			}
		}
	}
}
