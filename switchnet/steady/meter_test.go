package steady_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

func read(tb testing.TB, s *steady.Solution, m steady.Meter, at steady.Probes) steady.Reading {
	tb.Helper()
	r, err := s.Read(m, at)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// What each instrument says on a sound circuit and where it lies.
func TestReadings(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 2, 1, 20*quantity.Meter, 60*quantity.Watt).build()
	cut, err := w.Apply(wiring.Cut{Wire: wire("C0", "bare")})
	if err != nil {
		t.Fatal(err)
	}
	hot, ground, neutral := wire("C0", "black").In("place 1"), wire("C1", "bare").In("place 1"), wire("C0", "white").In("place 1")
	red := wire("C1", "red").In("place 2")
	stick := steady.Meter{Kind: steady.Proximity}
	high, low := steady.Meter{Kind: steady.HighImpedance}, steady.Meter{Kind: steady.LowImpedance}
	for _, row := range []struct {
		why      string
		w        *wiring.Wiring
		m        steady.Meter
		p        steady.Probes
		from, to float64 // volts shown
		alarm    bool
		verdict  steady.Verdict
		proof    steady.Proof
		misleads bool
	}{
		{why: "line to ground", w: w, m: high, p: steady.Probes{Red: hot, Black: ground, Known: hot}, from: 119, to: 120, verdict: steady.Real, proof: steady.Proven},
		{why: "line to ground, loaded", w: w, m: low, p: steady.Probes{Red: hot, Black: ground}, from: 119, to: 120, verdict: steady.Real, proof: steady.NotProven},
		{why: "neutral to ground", w: w, m: high, p: steady.Probes{Red: neutral, Black: ground, Known: hot}, from: 0, to: 1, verdict: steady.Absent, proof: steady.Proven},
		{why: "two equal hots read zero", w: w, m: high, p: steady.Probes{Red: hot, Black: at("panel", "aisle", "hot"), Known: hot}, from: 0, to: 1, verdict: steady.Absent, proof: steady.ProofFailed, misleads: true},
		{why: "an open lead reads zero on a live wire", w: w, m: steady.Meter{Kind: steady.HighImpedance, OpenLead: true}, p: steady.Probes{Red: hot, Black: ground, Known: hot}, from: 0, to: 0, verdict: steady.Real, proof: steady.ProofFailed, misleads: true},
		{why: "the idle traveler ghosts", w: w, m: high, p: steady.Probes{Red: red, Black: ground, Known: hot}, from: 35, to: 45, verdict: steady.Ghost, proof: steady.Proven, misleads: true},
		{why: "and is gone on a loaded meter", w: w, m: low, p: steady.Probes{Red: red, Black: ground, Known: hot}, from: 0, to: 1, verdict: steady.Ghost, proof: steady.Proven},
		{why: "a proximity tester speaks at a hot wire", w: w, m: stick, p: steady.Probes{Red: hot, Known: hot}, alarm: true, verdict: steady.Real, proof: steady.Proven},
		{why: "and at a ghost, if sensitive", w: w, m: steady.Meter{Kind: steady.Proximity, Threshold: 24 * quantity.Volt}, p: steady.Probes{Red: red}, alarm: true, verdict: steady.Ghost, proof: steady.NotProven, misleads: true},
		{why: "a grounding wire that is cut makes a bad reference", w: cut, m: high, p: steady.Probes{Red: hot, Black: ground, Known: hot}, from: 40, to: 119, verdict: steady.Ghost, proof: steady.ProofFailed, misleads: true},
	} {
		s := solve(t, problem(t, row.w, nil), switchnet.State{})
		r := read(t, s, row.m, row.p)
		if v := r.Shows.Volts(); v < row.from || v > row.to {
			t.Errorf("%s: shows %s, want %g to %g V", row.why, r.Shows, row.from, row.to)
		}
		if r.Alarm != row.alarm || r.Verdict != row.verdict || r.Proof != row.proof || r.Misleads != row.misleads {
			t.Errorf("%s: %v; alarm %v, misleads %v", row.why, r, r.Alarm, r.Misleads)
		}
	}
}

func TestSheath(t *testing.T) {
	for _, row := range []struct {
		kind  string
		on    string // position of the two-pole breaker
		alarm bool
		lies  bool
		why   string
	}{
		{"14/3", "on", false, true, "two opposite lines and a neutral cancel"},
		{"14/3 metal-clad", "on", false, true, "metal hides them"},
		{"14/3", "off", false, false, "nothing is there"},
	} {
		s := multiwire(t, false, 60*quantity.Watt, 60*quantity.Watt)
		c, err := conductor.ParseCableType(row.kind)
		if err != nil {
			t.Fatal(err)
		}
		s.Cables[0].Type = c
		if c.Construction == conductor.MetalClad {
			for i := range s.Landings {
				if s.Landings[i].Wire.Conductor == "bare" {
					s.Landings[i].Wire.Conductor = "green"
				}
			}
		}
		w := s.build()
		sol := solve(t, problem(t, w, nil), with(t, w, "panel", "hall", row.on))
		r, err := sol.ReadSheath(steady.Meter{Kind: steady.Proximity}, "C1", "hall")
		if err != nil {
			t.Fatal(err)
		}
		if r.Alarm != row.alarm || r.Misleads != row.lies {
			t.Errorf("%s: %v, misleads %v", row.why, r, r.Misleads)
		}
	}
}

func TestOhms(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 50*quantity.Foot, 100*quantity.Watt).build()
	lamp := ref("lamp 1", "lamp")
	opt := &steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Resistive, Cold: 10 * quantity.Ohm}}}
	electronic := &steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Electronic}}}
	black, white, load := wire("C1", "black").In("place 1"), wire("C1", "white").In("place 1"), at("place 1", "aisle", "line")
	for _, row := range []struct {
		opt     *steady.Options
		breaker string
		sw      string
		p       steady.Probes
		live    bool
		open    bool
		ohms    float64
		beeps   bool
		through int
		why     string
	}{
		{opt, "off", "off", steady.Probes{Red: black, Black: white}, false, false, 10 + 100*perFoot, true, 1, "a cold filament reads like a joint"},
		{electronic, "off", "off", steady.Probes{Red: black, Black: white}, false, true, 0, false, 0, "a driver reads open"},
		{opt, "off", "on", steady.Probes{Red: load, Black: black}, false, false, contact, true, 0, "a closed switch"},
		{opt, "off", "off", steady.Probes{Red: load, Black: black}, false, true, 0, false, 0, "an open switch"},
		{opt, "on", "on", steady.Probes{Red: black, Black: white}, true, false, 0, false, 0, "an ohmmeter has no business on a live circuit"},
		{opt, "on", "on", steady.Probes{Red: load, Black: black}, true, false, 0, false, 0, "nor across a closed switch, where there are no volts between and all of them to earth"},
		{opt, "off", "off", steady.Probes{Red: white, Black: wire("C1", "bare").In("place 1")}, false, false, 2 * 50 * perFoot, true, 0, "neutral and ground meet at the service"},
	} {
		s := solve(t, problem(t, w, row.opt), with(t, w, "panel", "aisle", row.breaker, "place 1", "aisle", row.sw))
		r, err := s.Ohms(row.p)
		if err != nil {
			t.Fatal(err)
		}
		if r.Live != row.live || r.Open != row.open || r.Beeps != row.beeps || len(r.Through) != row.through || math.Abs(r.Resistance.Ohms()-row.ohms) > 1e-9*row.ohms+1e-9 {
			t.Errorf("%s: %+v, want %g ohm", row.why, r, row.ohms)
		}
	}
}

func TestClamp(t *testing.T) {
	w := multiwire(t, false, 100*quantity.Watt, 60*quantity.Watt).build()
	s := solve(t, problem(t, w, &steady.Options{Coupling: steady.Coupling{None: true}}), switchnet.State{})
	a, _ := s.Load(ref("hall", "left"))
	b, _ := s.Load(ref("hall", "right"))
	white, err := s.Clamp(wire("C1", "white"))
	if err != nil {
		t.Fatal(err)
	}
	if want := a.Current.Magnitude() - b.Current.Magnitude(); max(white-want, want-white) > 1 {
		t.Errorf("the shared neutral carries %s, the difference of the two is %s", white, want)
	}
	whole, err := s.ClampCable("C1")
	if err != nil || whole > quantity.Microampere {
		t.Errorf("round the whole cable %s, %v", whole, err)
	}
	if _, err := s.Clamp(wire("C1", "white"), wire("C1", "white")); err == nil {
		t.Error("one wire twice in the clamp")
	}
}

// A return that goes another way leaves its cable unbalanced by the whole load.
func TestNetCurrent(t *testing.T) {
	s := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 100*quantity.Watt)
	s.cable("N", "14/2", "panel", "lamp 1", 90*quantity.Foot)
	s.land("panel", "aisle", "neutral", "N.white")
	w, err := s.build().Apply(wiring.JoinSplice{Box: "lamp 1", Join: []wiring.Joint{joint("C1.white"), joint("N.white")}}, wiring.Cut{Wire: wire("C0", "white")})
	if err != nil {
		t.Fatal(err)
	}
	sol := solve(t, problem(t, w, nil), with(t, w, "place 1", "aisle", "on"))
	load, _ := sol.Load(ref("lamp 1", "lamp"))
	for _, cable := range []string{"C0", "C1", "N"} {
		net, _ := sol.CableNet(cable)
		if d := math.Abs(net.Magnitude().Amperes() - load.Current.Magnitude().Amperes()); d > 1e-4 {
			t.Errorf("net of %s is %s, the load takes %s", cable, net.Magnitude(), load.Current.Magnitude())
		}
	}
}

// A loose splice turns its resistance into heat.
func TestLooseSplice(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 1200*quantity.Watt).build()
	s := solve(t, problem(t, w, &steady.Options{Splice: quantity.Milliohm, Loose: map[wiring.End]quantity.Resistance{{Box: "place 1", Wire: wire("C1", "white")}: quantity.Ohm}}),
		with(t, w, "place 1", "aisle", "on"))
	load, _ := s.Load(ref("lamp 1", "lamp"))
	amps := load.Current.Magnitude().Amperes()
	found := false
	for sp := range s.Splices() {
		if sp.Box == "place 1" && sp.Name == "splice of C0.white" {
			found = true
			if want := 1.001 * amps * amps; math.Abs(sp.Lost.Watts()-want) > 1e-4 {
				t.Errorf("lost %s, want %.6f W", sp.Lost, want)
			}
		}
	}
	if !found {
		t.Error("the loose splice is not listed")
	}
}

func TestFaults(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 50*quantity.Foot, 100*quantity.Watt).build()
	curve := &conductor.TripCurve{Name: "x", Multiple: 10 * quantity.Whole}
	p := problem(t, w, &steady.Options{Service: steady.Service{FaultCurrent: 5 * quantity.Kiloampere}, Curve: curve, Coupling: steady.Coupling{None: true}})
	s := solve(t, p, with(t, w, "place 1", "aisle", "on"))
	faults, err := s.Faults(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	source := 120.0 / 5000
	seen := 0
	for _, f := range faults {
		var want float64
		switch {
		case f.Box == "lamp 1" && f.Kind == steady.LineToNeutral:
			want = 120 / (source + 2*contact + 4*50*perFoot)
		case f.Box == "place 1" && f.Kind == steady.LineToGround:
			want = 120 / (source + 2*contact + 2*50*perFoot) // beyond the closed switch
		case f.Box == "panel" && f.Kind == steady.LineToNeutral && f.Breaker == 0:
			want = 5000
		default:
			continue
		}
		seen++
		if got := f.Least.Amperes(); math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s %v: %g A, want %g A", f.Box, f.Kind, got, want)
		}
		if f.Box == "lamp 1" && f.Clearing != steady.AtOnce {
			t.Errorf("%g A on a 15 A breaker that trips at 150 A: %v", f.Least.Amperes(), f.Clearing)
		}
	}
	if seen != 3 {
		t.Errorf("%d of 3 faults found in %+v", seen, faults)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := s.Faults(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("a search that is called off ends with %v", err)
	}
}

func TestWorstDrop(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 3, 3, 40*quantity.Foot, 300*quantity.Watt).build()
	d, found, err := problem(t, w, nil).WorstDrop(context.Background(), nil)
	if err != nil || !found {
		t.Fatal(found, err)
	}
	if d.Load != ref("lamp 3", "lamp") {
		t.Errorf("the worst load is %v; the last of the row has the longest way", d.Load)
	}
	var sum quantity.Voltage
	wires := 0
	for _, step := range d.Path {
		sum += step.Drop
		if step.Wire != (wiring.Wire{}) {
			wires++
		}
	}
	if wires != 12 {
		t.Errorf("the path has %d wires, want 6 cables out and back: %v", wires, d.Path)
	}
	if diff := sum - d.Drop; max(diff, -diff) > quantity.Millivolt {
		t.Errorf("the parts of the path drop %s, the whole %s", sum, d.Drop)
	}
	if _, _, err := problem(t, w, nil).WorstDrop(context.Background(), &steady.DropOptions{Most: 3}); err == nil {
		t.Error("8 states looked at where 3 are allowed")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := problem(t, w, nil).WorstDrop(ctx, nil); err == nil {
		t.Error("a cancelled search ends without an error")
	}
}
