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

// A drop beyond what the code advises leaves a circuit lawful, and is said on the cover, at
// the circuit and on the page: 1,400 W over 500 ft of 14 AWG, 11.667 A times 0.5 kft times
// 3.14 ohm/kft.
func TestAgainstAdvice(t *testing.T) {
	const hots = "landings:\n" +
		"  - {box: panel, device: aisle, terminal: hot, wire: M.black}\n" +
		"  - {box: panel, device: slipway, terminal: hot, wire: M.red}\n" +
		"  - {box: panel, device: aisle, terminal: neutral, wire: M.white}\n"
	for _, tt := range []struct {
		reason, load, want string
	}{
		{"a little lamp", "load: 18 W", ""},
		{"a heavy load far away", "load: 1400 W", "18.32 V of voltage drop, 15.26 %, at lamp, and 3 % is advised"},
	} {
		src := strings.NewReplacer("load: 18 W", tt.load, "length: 40 ft", "length: 250 ft").Replace(sharing + hots)
		f, err := job.Parse("shed.yaml", []byte(src), nil)
		if err != nil {
			t.Fatal(err)
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		in := packet.Input{Intent: f.Intent, Wiring: w, Region: f.Region}
		d, err := packet.Build(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		c := d.Circuits[0]
		if got := strings.Join(c.Advice, "; "); c.Status != "fits" || !strings.HasPrefix(got, tt.want) || (got == "") != (tt.want == "") {
			t.Errorf("%s: %s, %q, want %q", tt.reason, c.Status, got, tt.want)
		}
		page, err := packet.NewPage(context.Background(), d, in, nil)
		if err != nil {
			t.Fatal(err)
		}
		var html strings.Builder
		if _, err := page.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(text(t, d)), " ")
		for what, n := range map[string]int{
			"text, cover":   strings.Count(said, "AGAINST ADVICE: circuit aisle: "),
			"text, sizing":  strings.Count(said, "against advice: 18.32 V"),
			"page, cover":   strings.Count(html.String(), "AGAINST ADVICE: circuit aisle: "),
			"page, circuit": strings.Count(html.String(), "Against advice: 18.32 V"),
		} {
			if want := min(1, len(tt.want)); n != want {
				t.Errorf("%s: said %d times in the %s, want %d", tt.reason, n, what, want)
			}
		}
	}
}
