package wiring_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

func TestQuestion(t *testing.T) {
	tests := []struct {
		name   string
		change func(*wiring.Spec)
		want   func(*conductor.Circuit)
		err    string
		why    string
	}{
		{"pair", func(s *wiring.Spec) {}, func(c *conductor.Circuit) {}, "", "60 ft out and 60 ft back, 18 W at 120 V"},
		{"half the power factor", func(s *wiring.Spec) { s.Lights[0].Kind, s.Lights[0].PowerFactor = wiring.Motor, 50*quantity.Percent },
			func(c *conductor.Circuit) { c.Load.Continuous = 300 * quantity.Milliampere }, "", "18 W at a power factor of 0.5 is 36 VA, 0.3 A at 120 V"},
		{"two sizes", func(s *wiring.Spec) {
			s.Cables[0].Type, _ = conductor.ParseCableType("12/2")
			s.Cables[2].Type.Cores[2].Size = conductor.AWG(16)
		}, func(c *conductor.Circuit) { c.Grounding = conductor.AWG(16) }, "", "the smallest of each counts"},
		{"load unknown", func(s *wiring.Spec) { s.Lights[0].Power = 0 }, nil, "no light on it states its load", "nothing to size for"},
		{"length unknown", func(s *wiring.Spec) { s.Cables[1].Length = 0 }, func(c *conductor.Circuit) { c.Path = 0 }, "", "no drop without a length"},
		{"one of two ways unknown", func(s *wiring.Spec) {
			s.Lights = append(s.Lights, wiring.Light{Name: "spare lamp", Box: "store", Power: 6 * quantity.Watt})
			s.Splices = append(s.Splices, wiring.Splice{Box: "store", Join: joints("spare lamp.hot", "stair.common")})
		}, func(c *conductor.Circuit) { c.Path, c.Load.Continuous = 0, 200*quantity.Milliampere }, "", "a light without a neutral may be the farthest once it has one"},
		{"one load of two unknown", func(s *wiring.Spec) {
			s.Lights = append(s.Lights, wiring.Light{Name: "spare lamp", Box: "store"})
			s.Splices = append(s.Splices, wiring.Splice{Box: "store", Join: joints("spare lamp.hot", "stair.common")})
		}, nil, "lights on it do not state their load: spare lamp", "a sum without it would be too small"},
		{"a shared neutral", func(s *wiring.Spec) { s.Feeds[0].Poles, s.Landings[0].Terminal = 2, "hot 1" },
			func(c *conductor.Circuit) {}, "", "18 W between one pole and the neutral is 0.15 A on that pole, not 0.075 A"},
		{"line to line", func(s *wiring.Spec) {
			s.Feeds[0].Poles, s.Landings[0].Terminal, s.Landings[1].Terminal = 2, "hot 1", "hot 2"
		}, func(c *conductor.Circuit) { c.Volts, c.Load.Continuous = 240*quantity.Volt, 75*quantity.Milliampere }, "", "18 W at 240 V"},
		{"both on one pole", func(s *wiring.Spec) {
			s.Feeds[0].Poles, s.Landings[0].Terminal = 2, "hot 1"
			s.Lights = append(s.Lights, wiring.Light{Name: "heater", Box: "panel", Power: 24 * quantity.Watt})
			s.Splices = append(s.Splices, wiring.Splice{Box: "panel", Join: joints("heater.hot", "shed lights.hot 1")},
				wiring.Splice{Box: "panel", Join: joints("heater.neutral", "shed lights.hot 2")})
		}, func(c *conductor.Circuit) { c.Load.Continuous = 250 * quantity.Milliampere }, "", "0.15 A to the neutral and 0.1 A to the other pole"},
		{"the cable the wiring lists last", func(s *wiring.Spec) {
			s.Cables[0].Type, _ = conductor.ParseCableType("14/2 metal-clad")
			s.Cables[0].Name, s.Splices[0].Join[0].Wire.Cable = "C8", "C8"
			s.Splices[1].Join[0] = joint("C8.green")
			s.Landings[0].Wire, s.Landings[1].Wire, s.Landings[2].Wire, s.Landings[3].Wire = wire("C8.black"), wire("C8.white"), wire("C8.green"), wire("C8.black")
		}, func(c *conductor.Circuit) {}, "", "C2 comes before C8 by name, in whatever order they are listed"},
		{"nothing leads from it", func(s *wiring.Spec) { s.Landings = s.Landings[3:] }, nil, "no cable leads from it", "the panel end hangs free"},
	}
	for _, tt := range tests {
		spec := pair(t)
		tt.change(&spec)
		w, err := wiring.New(spec)
		if err != nil {
			t.Fatalf("%s: %v", tt.name, err)
		}
		got, err := w.Question(w.Circuits()[0])
		if tt.err != "" {
			if err == nil || !strings.Contains(err.Error(), tt.err) {
				t.Errorf("%s: %v; want %q (%s)", tt.name, err, tt.err, tt.why)
			}
			continue
		}
		cable, _ := conductor.ParseCableType("14/3")
		want := conductor.Circuit{Load: conductor.Load{Continuous: 150 * quantity.Milliampere}, Volts: 120 * quantity.Volt,
			Breaker: 15 * quantity.Ampere, Path: 120 * quantity.Foot, Grounding: conductor.AWG(14)}.OfCable(cable)
		tt.want(&want)
		if err != nil || got.Load != want.Load || got.Volts != want.Volts || got.Breaker != want.Breaker || got.Path != want.Path ||
			got.Grounding != want.Grounding || got.Construction != want.Construction || got.Material != want.Material || got.Insulation != want.Insulation {
			t.Errorf("%s: %+v, %v\nwant %+v (%s)", tt.name, got, err, want, tt.why)
		}
	}
}
