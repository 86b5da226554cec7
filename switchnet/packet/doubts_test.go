package packet_test

import (
	"bytes"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// oneStrap has two circuits on one strap, on which the rules of its region have nothing.
const oneStrap = `format: 1
title: boat shed
rules: ca
feeds:
  - {name: lights, box: panel, breaker: 15 A}
  - {name: bench, box: panel, breaker: 15 A, lines: [B]}
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 50 in3, clamps: none, gangs: 3}
  - {name: slipway, kind: ceiling, volume: 30 in3}
lights:
  - {name: floodlight, box: slipway, load: 60 W}
  - {name: bench lamp, box: slipway, load: 100 W}
cables:
  - {name: C1, type: 14/2, from: panel, to: slip-door}
  - {name: C2, type: 14/2, from: panel, to: slip-door}
  - {name: C3, type: 14/2, from: slip-door, to: slipway}
  - {name: C4, type: 14/2, from: slip-door, to: slipway}
devices:
  - {name: a, box: slip-door, kind: single-pole, yoke: y}
  - {name: b, box: slip-door, kind: single-pole, yoke: y}
splices:
  - {box: slip-door, join: [C1.white, C3.white]}
  - {box: slip-door, join: [C2.white, C4.white]}
  - {box: slipway, join: [C3.black, floodlight.hot]}
  - {box: slipway, join: [C4.black, bench lamp.hot]}
  - {box: slipway, join: [C3.white, floodlight.neutral]}
  - {box: slipway, join: [C4.white, bench lamp.neutral]}
  - {box: slip-door, join: [C1.bare, C2.bare, C3.bare, C4.bare, a.ground, b.ground]}
  - {box: slipway, join: [C3.bare, C4.bare, floodlight.ground, bench lamp.ground]}
landings:
  - {box: panel, device: lights, terminal: hot, wire: C1.black}
  - {box: panel, device: lights, terminal: neutral, wire: C1.white}
  - {box: panel, device: lights, terminal: ground, wire: C1.bare}
  - {box: panel, device: bench, terminal: hot, wire: C2.black}
  - {box: panel, device: bench, terminal: neutral, wire: C2.white}
  - {box: panel, device: bench, terminal: ground, wire: C2.bare}
  - {box: slip-door, device: a, terminal: line, wire: C1.black}
  - {box: slip-door, device: a, terminal: load, wire: C3.black}
  - {box: slip-door, device: b, terminal: line, wire: C2.black}
  - {box: slip-door, device: b, terminal: load, wire: C4.black}
`

// What the check leaves to the inspector is in the packet: a packet without it would read
// as if nothing were open.
func TestPacketSaysDoubts(t *testing.T) {
	const want = "on the yoke of a at slip-door, must open together"
	for _, c := range []struct {
		rules string
		told  bool
		why   string
	}{{"ca", true, "it has no rule on it"}, {"us-2023", false, "it has one, and that is a finding"}} {
		f, err := job.Parse("shed.yaml", []byte(strings.Replace(oneStrap, "rules: ca", "rules: "+c.rules, 1)), nil)
		if err != nil {
			t.Fatal(err)
		}
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		in := packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region, Proving: true}
		d, err := packet.Build(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		page, err := packet.NewPage(t.Context(), d, in, nil)
		if err != nil {
			t.Fatal(err)
		}
		var html, text bytes.Buffer
		if _, err := page.WriteTo(&html); err != nil {
			t.Fatal(err)
		}
		if err := packet.WriteText(&text, d); err != nil {
			t.Fatal(err)
		}
		for what, said := range map[string]string{"page": html.String(), "text": strings.Join(strings.Fields(text.String()), " ")} {
			if strings.Contains(said, want) != c.told || strings.Contains(said, "In doubt; ask the inspector:") != c.told {
				t.Errorf("%s of %s: told %v, want %v: %s", what, c.rules, !c.told, c.told, c.why)
			}
		}
	}
}
