package steady_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// A white with an open neutral behind an electronic lamp that is off looks like a ghost
// and is none: whoever closes the circuit starts the driver.
func TestHangingOnAnElectronicLamp(t *testing.T) {
	lamp := ref("lamp 1", "lamp")
	led := func(power quantity.Power) *steady.Options {
		return &steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Electronic, Power: power, Leakage: 30 * quantity.Microampere}}}
	}
	whole := chain(t, switchnet.SplitPhase(), 1, 1, 40*quantity.Foot, 9*quantity.Watt).build()
	open, err := whole.Apply(wiring.Cut{Wire: wire("C0", "white")})
	if err != nil {
		t.Fatal(err)
	}
	neutral, leg, ground := lamp.Terminal("neutral"), lamp.Terminal("hot"), wire("C1", "bare").In("lamp 1")
	for _, row := range []struct {
		why     string
		w       *wiring.Wiring
		opt     *steady.Options
		on      bool
		red     switchnet.Terminal
		m       steady.MeterKind
		verdict steady.Verdict
		live    bool
		says    string
	}{
		{"the open white of a burning lamp", open, led(9 * quantity.Watt), true, neutral, steady.HighImpedance, steady.Real, true, "start as soon as"},
		{"and to a loaded meter, which shows next to nothing", open, led(9 * quantity.Watt), true, neutral, steady.LowImpedance, steady.Real, true, "start as soon as"},
		{"and to a proximity tester", open, led(9 * quantity.Watt), true, neutral, steady.Proximity, steady.Real, true, "start as soon as"},
		{"with the switch off no line comes to it", open, led(9 * quantity.Watt), false, neutral, steady.HighImpedance, steady.Ghost, false, "a capacitance or a leak"},
		{"a whole neutral holds it down", whole, led(9 * quantity.Watt), true, neutral, steady.HighImpedance, steady.Absent, false, ""},
		{"the leg of a lamp that is off hangs on the neutral", whole, led(9 * quantity.Watt), false, leg, steady.HighImpedance, steady.Absent, false, ""},
		{"a filament is a wire in these figures", open, nil, true, neutral, steady.HighImpedance, steady.Real, true, ""},
	} {
		var moves []string
		if row.on {
			moves = []string{"place 1", "aisle", "on"}
		}
		s := solve(t, problem(t, row.w, row.opt), with(t, row.w, moves...))
		at := steady.Probes{Red: row.red, Black: ground}
		if row.m == steady.Proximity {
			at.Black = switchnet.Terminal{}
		}
		r := read(t, s, steady.Meter{Kind: row.m}, at)
		if r.Verdict != row.verdict || r.Live != row.live || !strings.Contains(r.Why, row.says) || row.says == "" && r.Misleads {
			t.Errorf("%s: %v, live %v", row.why, r, r.Live)
		}
	}
}

// The same behind the electronics of a switch whose neutral is open: they bring the
// line to the white wires of the box, and the lamp does not.
func TestHangingOnASensor(t *testing.T) {
	s := newSketch(t, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.DeviceBox, "yard-door")
	s.Feeds = []wiring.Feed{{Name: "shed", Box: "panel", Breaker: 15 * quantity.Ampere}}
	s.Devices = []wiring.Device{{Name: "sensor", Box: "yard-door", Kind: switchnet.ElectronicSwitch()}}
	s.Lights = []wiring.Light{{Name: "lamp", Box: "yard-door", Power: 60 * quantity.Watt}}
	s.cable("C1", "14/2", "panel", "yard-door", 40*quantity.Foot)
	s.land("panel", "shed", "hot", "C1.black", "neutral", "C1.white", "ground", "C1.bare")
	s.land("yard-door", "sensor", "line", "C1.black")
	s.splice("yard-door", "C1.white", "sensor:neutral", "lamp:neutral")
	s.splice("yard-door", "sensor:load", "lamp:hot")
	s.Opens = []wiring.Wire{wire("C1", "white")}
	sol := solve(t, problem(t, s.build(), nil), switchnet.State{})
	r := read(t, sol, steady.Meter{Kind: steady.LowImpedance},
		steady.Probes{Red: ref("yard-door", "lamp").Terminal("hot"), Black: wire("C1", "bare").In("yard-door")})
	if r.Verdict == steady.Ghost {
		t.Errorf("behind the lamp: %v", r) // it hangs on the sensor through a lamp, which is as good as a wire
	}
	r = read(t, sol, steady.Meter{Kind: steady.LowImpedance},
		steady.Probes{Red: ref("yard-door", "sensor").Terminal("neutral"), Black: wire("C1", "bare").In("yard-door")})
	if r.Verdict != steady.Real || !r.Live || !strings.Contains(r.Why, "sensor") {
		t.Errorf("the white: %v, live %v", r, r.Live)
	}

	// A filament on the line, and behind it the sensor.
	s.Landings = s.Landings[:3]
	s.Splices = nil
	s.splice("yard-door", "C1.black", "lamp:hot")
	s.splice("yard-door", "lamp:neutral", "sensor:line")
	s.splice("yard-door", "C1.white", "sensor:neutral")
	sol = solve(t, problem(t, s.build(), nil), switchnet.State{})
	r = read(t, sol, steady.Meter{Kind: steady.LowImpedance},
		steady.Probes{Red: ref("yard-door", "sensor").Terminal("neutral"), Black: wire("C1", "bare").In("yard-door")})
	if r.Verdict != steady.Real || !r.Live || !strings.Contains(r.Why, "sensor") {
		t.Errorf("behind a filament and the sensor: %v, live %v", r, r.Live)
	}
}
