package steady_test

import (
	"math"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// Reports from practice of voltages that were and were not there, each with the
// assumption that its size hangs on.
func TestReportedPhantoms(t *testing.T) {
	ground := at("", "service", "ground")
	high := steady.Meter{Kind: steady.HighImpedance}
	for _, row := range []struct {
		report   string
		assume   string
		build    func() (*wiring.Wiring, *steady.Options, switchnet.Terminal)
		state    []string
		from, to float64
	}{
		{
			report: "a light was taken down; its leg, free at both ends in armored conduit, reads 30 V to the box",
			assume: "in metal raceway the capacitance to ground is three times that to the live neighbor",
			build: func() (*wiring.Wiring, *steady.Options, switchnet.Terminal) {
				s := newSketch(t, switchnet.SplitPhase())
				s.box(wiring.Panel, "panel")
				s.box(wiring.CeilingBox, "ceiling")
				s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 15 * quantity.Ampere}}
				s.cable("C1", "loose 14 AWG 90 C black red", "panel", "ceiling", 15*quantity.Meter)
				s.land("panel", "hall", "hot", "C1.black")
				return s.build(), &steady.Options{Coupling: steady.Coupling{ToGround: 3 * steady.TypicalCoupling}}, wire("C1", "red").In("ceiling")
			},
			from: 27, to: 31,
		},
		{
			report: "the spare red of a switch cable, freed at both ends, reads 40 V to ground; grounded through a meter it gives next to no current",
			assume: "typical coupling, equal to the switched hot, the neutral and the ground beside it",
			build: func() (*wiring.Wiring, *steady.Options, switchnet.Terminal) {
				s := newSketch(t, switchnet.SplitPhase())
				s.box(wiring.Panel, "panel")
				s.box(wiring.DeviceBox, "switch", "receptacle")
				s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 15 * quantity.Ampere}}
				s.cable("C1", "14/2", "panel", "switch", 10*quantity.Meter)
				s.cable("C2", "14/3", "switch", "receptacle", 8*quantity.Meter)
				s.land("panel", "hall", "hot", "C1.black", "neutral", "C1.white", "ground", "C1.bare")
				s.Devices = []wiring.Device{{Name: "sw", Box: "switch", Kind: switchnet.SinglePole()}, {Name: "rec", Box: "receptacle", Kind: switchnet.Receptacle()}}
				s.land("switch", "sw", "line", "C1.black", "load", "C2.black")
				s.splice("switch", "C1.white", "C2.white")
				s.splice("switch", "C1.bare", "C2.bare")
				s.land("receptacle", "rec", "hot 1", "C2.black", "neutral 1", "C2.white", "ground", "C2.bare")
				return s.build(), nil, wire("C2", "red").In("receptacle")
			},
			state: []string{"switch", "sw", "on"},
			from:  36, to: 41,
		},
		{
			report: "230 V, two-way switching: 60 to 120 V on the idle strapper",
			assume: "typical coupling; live neighbor on one side, and the return and earth on the others",
			build: func() (*wiring.Wiring, *steady.Options, switchnet.Terminal) {
				w := chain(t, switchnet.SinglePhase230(), 2, 1, 12*quantity.Meter, 60*quantity.Watt).build()
				return w, nil, wire("C1", "red").In("place 2")
			},
			from: 60, to: 120,
		},
		{
			report: "a hall light with three switches: a small voltage stays at the fixture when off, and electronic lamps die early",
			assume: "typical coupling over three cables of 20 m; the lamp leaks 30 microamperes at rated voltage",
			build: func() (*wiring.Wiring, *steady.Options, switchnet.Terminal) {
				w := chain(t, switchnet.SplitPhase(), 3, 1, 20*quantity.Meter, 9*quantity.Watt).build()
				return w, &steady.Options{Loads: map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): {Kind: steady.Electronic, Leakage: 30 * quantity.Microampere}}},
					at("lamp 1", "lamp", "hot")
			},
			state: []string{"place 3", "aisle", "down"},
			from:  5, to: 60,
		},
	} {
		w, opt, red := row.build()
		s := solve(t, problem(t, w, opt), with(t, w, row.state...))
		r := read(t, s, high, steady.Probes{Red: red, Black: ground})
		if v := r.Shows.Volts(); v < row.from || v > row.to || r.Verdict != steady.Ghost {
			t.Errorf("%s (assuming %s): %v, want %g to %g V and a ghost", row.report, row.assume, r, row.from, row.to)
		}
		if r.Loaded > 2*quantity.Volt {
			t.Errorf("%s: %s is left under load", row.report, r.Loaded)
		}
	}
}

// The current that coupling makes available in the fixture of the report above:
// enough to charge a driver, nothing more.
func TestCouplingCurrent(t *testing.T) {
	w := idleWire(t, switchnet.SplitPhase(), "14/2", 20*quantity.Meter).build()
	s := solve(t, problem(t, w, &steady.Options{Branches: []steady.Branch{{Name: "meter", From: wire("C1", "white").In("far"), To: wire("C1", "bare").In("far"), Resistance: quantity.Ohm}}}), switchnet.State{})
	v, _ := s.Volts(wire("C1", "white").In("far"), wire("C1", "bare").In("far"))
	want := 120 * 2 * math.Pi * 60 * 80e-12 * 20 // amperes through one ohm
	if got := math.Hypot(real(v), imag(v)); math.Abs(got-want) > 1e-3*want || want < 65e-6 || want > 75e-6 {
		t.Errorf("%g A through the meter, closed form %g A; practice says about 70 uA", got, want)
	}
}

// Two circuits in one box: the reading between their hots tells one leg from two.
func TestTwoCircuits(t *testing.T) {
	for _, row := range []struct {
		supply switchnet.System
		second switchnet.Rail
		want   float64
		why    string
	}{
		{switchnet.SplitPhase(), switchnet.LineB, 240, "two legs of a split phase"},
		{switchnet.Wye120(), switchnet.LineC, 207.846, "two lines of a wye"},
		{switchnet.SplitPhase(), switchnet.LineA, 0, "one leg: a shared neutral would carry the sum"},
	} {
		s := newSketch(t, row.supply)
		s.box(wiring.Panel, "panel")
		s.box(wiring.DeviceBox, "gang")
		s.Feeds = []wiring.Feed{{Name: "one", Box: "panel", Breaker: 15 * quantity.Ampere}, {Name: "two", Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{row.second}}}
		s.cable("A", "14/2", "panel", "gang", 10*quantity.Meter)
		s.cable("B", "14/2", "panel", "gang", 10*quantity.Meter)
		s.land("panel", "one", "hot", "A.black", "neutral", "A.white", "ground", "A.bare")
		s.land("panel", "two", "hot", "B.black", "neutral", "B.white", "ground", "B.bare")
		sol := solve(t, problem(t, s.build(), nil), switchnet.State{})
		r := read(t, sol, steady.Meter{Kind: steady.LowImpedance}, steady.Probes{Red: wire("A", "black").In("gang"), Black: wire("B", "black").In("gang")})
		if math.Abs(r.Shows.Volts()-row.want) > 0.1 {
			t.Errorf("%s: %v, want %g V", row.why, r, row.want)
		}
	}
}

// A neutral borrowed from another circuit and then lifted is live at its cut end
// whenever the lamp is switched on: through the lamp, and real under load.
func TestBorrowedNeutral(t *testing.T) {
	w := chain(t, switchnet.SinglePhase230(), 2, 1, 8*quantity.Meter, 60*quantity.Watt).build()
	lifted, err := w.Apply(wiring.Release{End: wiring.End{Box: "panel", Wire: wire("C0", "white")}})
	if err != nil {
		t.Fatal(err)
	}
	p := problem(t, lifted, nil)
	end := steady.Probes{Red: wire("C0", "white").In("panel"), Black: at("", "service", "ground")}
	for _, row := range []struct {
		handle string
		want   steady.Verdict
		least  quantity.Voltage
	}{{"up", steady.Real, 150 * quantity.Volt}, {"down", steady.Ghost, 0}} {
		r := read(t, solve(t, p, with(t, lifted, "place 2", "aisle", row.handle)), steady.Meter{Kind: steady.LowImpedance}, end)
		if r.Verdict != row.want || r.Shows < row.least {
			t.Errorf("far handle %s: %v, want %v and at least %s", row.handle, r, row.want, row.least)
		}
	}
}
