package steady_test

import (
	"math"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// ideal is usTable with wires of next to no resistance, for closed forms that leave
// it out.
func idealProblem(tb testing.TB, w *wiring.Wiring, opt *steady.Options) *steady.Problem {
	tb.Helper()
	table := usTable()
	for i := range table.Resistances {
		table.Resistances[i].Resistance = 100
	}
	p, err := steady.New(w, table, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// idleWire is a live wire beside one that is free at both ends.
func idleWire(tb testing.TB, system switchnet.System, kind string, length quantity.Length) *sketch {
	s := newSketch(tb, system)
	s.box(wiring.Panel, "panel")
	s.box(wiring.DeviceBox, "far")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 15 * quantity.Ampere}}
	s.cable("C1", kind, "panel", "far", length)
	s.land("panel", "hall", "hot", "C1.black", "ground", "C1.bare")
	return s
}

// The sizes of phantom voltages for runs and meters, by the divider of two equal
// capacitances with the meter across the lower one.
func TestGhostTable(t *testing.T) {
	for _, row := range []struct {
		meters int64
		shows  [4]float64 // 10 Mohm, 1 Mohm, 400 kohm, 3 kohm, as rounded by practitioners
	}{
		{5, [4]float64{57, 17, 7, 0.1}},
		{10, [4]float64{59, 31, 14, 0.1}},
		{20, [4]float64{60, 46, 26, 0.2}},
		{40, [4]float64{60, 55, 42, 0.4}},
	} {
		length := quantity.Length(row.meters) * quantity.Meter
		sol := solve(t, idealProblem(t, idleWire(t, switchnet.SplitPhase(), "14/2", length).build(), &steady.Options{Breaker: quantity.Microohm}), switchnet.State{})
		for i, impedance := range []quantity.Resistance{10 * quantity.Megaohm, quantity.Megaohm, 400 * quantity.Kiloohm, 3 * quantity.Kiloohm} {
			r, err := sol.Read(steady.Meter{Kind: steady.HighImpedance, Impedance: impedance},
				steady.Probes{Red: wire("C1", "white").In("far"), Black: wire("C1", "bare").In("far")})
			if err != nil {
				t.Fatal(err)
			}
			c := 2 * math.Pi * 60 * 80e-12 * float64(row.meters)
			want := 120 * c / math.Hypot(2*c, 1/impedance.Ohms())
			if got := r.Shows.Volts(); math.Abs(got-want) > 1e-9*want+0.6e-6 {
				t.Errorf("%d m, %s: shows %.9f V, closed form %.9f V", row.meters, impedance, got, want)
			}
			if digits := math.Abs(want - row.shows[i]); digits > 0.06 && digits > 0.5 {
				t.Errorf("%d m, %s: closed form %.2f V, the table of practice says %.1f V", row.meters, impedance, want, row.shows[i])
			}
			if r.Verdict != steady.Ghost {
				t.Errorf("%d m, %s: verdict %v", row.meters, impedance, r.Verdict)
			}
		}
		v, _ := sol.Volts(wire("C1", "white").In("far"), wire("C1", "bare").In("far"))
		near(t, "no meter", v, 60)
	}
}

// An idle traveler ghosts with the lamp lit and hangs on the neutral through the
// lamp with it dark.
func TestIdleTraveler(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 2, 1, 10*quantity.Meter, 60*quantity.Watt).build()
	p := problem(t, w, nil)
	ground := at("", "service", "ground")
	lit := solve(t, p, with(t, w, "place 1", "aisle", "up", "place 2", "aisle", "up"))
	red := wire("C1", "red").In("place 2")
	r, err := lit.Read(steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: red, Black: ground})
	if err != nil {
		t.Fatal(err)
	}
	// A third of the line volts: one neighbor is hot, two are neutral and ground.
	if r.Verdict != steady.Ghost || r.Shows < 39*quantity.Volt || r.Shows > 41*quantity.Volt {
		t.Errorf("lamp lit: %v", r)
	}
	phantoms := 0
	for ph := range lit.Phantoms() {
		phantoms++
		if len(ph.Wires) != 1 || ph.Wires[0] != wire("C1", "red") || ph.Reading.Verdict != steady.Ghost {
			t.Errorf("phantom %v: %v", ph.Wires, ph.Reading)
		}
	}
	if phantoms != 1 {
		t.Errorf("%d phantoms with the lamp lit, want 1", phantoms)
	}
	dark := solve(t, p, with(t, w, "place 1", "aisle", "up", "place 2", "aisle", "down"))
	r, err = dark.Read(steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: red, Black: ground})
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != steady.Absent {
		t.Errorf("lamp dark: %v", r)
	}
}
