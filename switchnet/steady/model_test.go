package steady_test

import (
	"math"
	"math/cmplx"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// oneLamp solves a lamp behind one switch that is on, with a model and a
// resistance in its leg.
func oneLamp(t *testing.T, l steady.Load, ohms quantity.Resistance) steady.LoadResult {
	t.Helper()
	w := chain(t, switchnet.SplitPhase(), 1, 1, quantity.Foot, 60*quantity.Watt).build()
	p := problem(t, w, &steady.Options{Coupling: steady.Coupling{None: true}, Loads: map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): l},
		Loose: map[wiring.End]quantity.Resistance{{Box: "lamp 1", Wire: wire("C1", "black")}: ohms}})
	s := solve(t, p, with(t, w, "place 1", "aisle", "on"))
	r, ok := s.Load(ref("lamp 1", "lamp"))
	if !ok || s.Status() != steady.Converged {
		t.Fatalf("%v: %v %v", l.Kind, s.Status(), s.Notes())
	}
	return r
}

// Each kind of load obeys its law at the voltage it settles at.
func TestLoadLaws(t *testing.T) {
	for _, ohms := range []quantity.Resistance{0, 5 * quantity.Ohm, 30 * quantity.Ohm} {
		r := oneLamp(t, steady.Load{Kind: steady.Electronic, PowerFactor: 90 * quantity.Percent}, ohms)
		if d := math.Abs(r.Power.Watts() - 60); d > 1e-5 {
			t.Errorf("electronic behind %s: uses %s, it regulates to 60 W", ohms, r.Power)
		}
		s := complex128(r.Volts) * cmplx.Conj(complex128(r.Current))
		if factor := real(s) / cmplx.Abs(s); math.Abs(factor-0.9) > 1e-9 || imag(s) > 0 {
			t.Errorf("electronic behind %s: power factor %g, reactive %g; 0.9 leading is wanted", ohms, factor, imag(s))
		}
		r = oneLamp(t, steady.Load{Kind: steady.Motor, PowerFactor: 80 * quantity.Percent}, ohms)
		if a := r.Current.Magnitude().Amperes(); math.Abs(a-60/0.8/120) > 1e-6 {
			t.Errorf("motor behind %s draws %g A; it runs at %g A", ohms, a, 60/0.8/120)
		}
		s = complex128(r.Volts) * cmplx.Conj(complex128(r.Current))
		if imag(s) <= 0 {
			t.Errorf("motor behind %s: reactive %g; lagging is wanted", ohms, imag(s))
		}
		r = oneLamp(t, steady.Load{Kind: steady.Transformer, PowerFactor: 80 * quantity.Percent}, ohms)
		if z := cmplx.Abs(complex128(r.Volts) / complex128(r.Current)); math.Abs(z-14400/60*0.8) > 1e-9*z {
			t.Errorf("transformer behind %s: impedance %g, want %g", ohms, z, 14400/60*0.8)
		}
		r = oneLamp(t, steady.Load{Kind: steady.Resistive, Cold: 16 * quantity.Ohm}, ohms*10)
		v, a := r.Volts.Magnitude().Volts(), r.Current.Magnitude().Amperes()
		if want := 0.5 * math.Pow(v/120, 1-0.459); math.Abs(a-want) > 1e-6 {
			t.Errorf("filament at %g V draws %g A, want %g A", v, a, want)
		}
	}
}

// Why an electronic lamp glows when it is off: what leaks past the switch.
func TestGlow(t *testing.T) {
	s := chain(t, switchnet.SplitPhase(), 1, 1, quantity.Foot, 9*quantity.Watt)
	for i := range s.Devices {
		s.Devices[i].Kind = switchnet.ElectronicSwitch()
	}
	w := s.build()
	lamp := map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): {Kind: steady.Electronic, Leakage: 400 * quantity.Microampere, TurnOn: 80 * quantity.Volt, DropOut: 20 * quantity.Volt}}
	for _, row := range []struct {
		leak quantity.Resistance
		want steady.LoadState
		why  string
	}{
		{0, steady.Unlit, "a contact that does not leak"},
		{500 * quantity.Kiloohm, steady.Glowing, "half the line volts past an electronic switch"},
		{10 * quantity.Megaohm, steady.Unlit, "next to nothing"},
	} {
		sol := solve(t, problem(t, w, &steady.Options{Leak: row.leak, Loads: lamp, Coupling: steady.Coupling{None: true}}), switchnet.State{})
		if r, ok := sol.Load(ref("lamp 1", "lamp")); !ok || r.State != row.want {
			t.Errorf("leak %s: %v at %v, want %v: %s", row.leak, r.State, r.Volts, row.want, row.why)
		}
	}
}

// Two equal filaments in series halve the volts, and a cold-started pair settles
// there too.
func TestFilamentsInSeries(t *testing.T) {
	w := multiwire(t, true, 60*quantity.Watt, 60*quantity.Watt).build()
	loads := map[switchnet.Ref]steady.Load{ref("hall", "left"): {Kind: steady.Resistive, Cold: 16 * quantity.Ohm}, ref("hall", "right"): {Kind: steady.Resistive, Cold: 16 * quantity.Ohm}}
	s := solve(t, problem(t, w, &steady.Options{Loads: loads}), switchnet.State{})
	a, _ := s.Load(ref("hall", "left"))
	b, _ := s.Load(ref("hall", "right"))
	if s.Status() != steady.Converged || math.Abs(a.Volts.Magnitude().Volts()-b.Volts.Magnitude().Volts()) > 1e-3 {
		t.Errorf("%v: %v and %v", s.Status(), a.Volts, b.Volts)
	}
}

// A lost service neutral: the two legs share 240 V as their loads stand, and the
// grounded metal stands off earth by the difference.
func TestLostNeutral(t *testing.T) {
	w := multiwire(t, false, 100*quantity.Watt, 25*quantity.Watt).build()
	opt := &steady.Options{Service: steady.Service{LostNeutral: true}, Coupling: steady.Coupling{None: true}}
	s := solve(t, problem(t, w, opt), switchnet.State{})
	a, _ := s.Load(ref("hall", "left"))
	b, _ := s.Load(ref("hall", "right"))
	if av, bv := a.Volts.Magnitude().Volts(), b.Volts.Magnitude().Volts(); math.Abs(av-48) > 0.2 || math.Abs(bv-192) > 0.2 {
		t.Errorf("%g V and %g V, want near 48 and 192", av, bv)
	}
	opt.Service.Electrode = 10 * quantity.Ohm
	s = solve(t, problem(t, w, opt), switchnet.State{})
	if b2, _ := s.Load(ref("hall", "right")); b2.Volts.Magnitude() >= b.Volts.Magnitude() || b2.Volts.Magnitude() <= 120*quantity.Volt {
		t.Errorf("an electrode of 10 ohm leaves %v of %v", b2.Volts, b.Volts)
	}
}

// A generator left on an outlet keeps a circuit live with its breaker off.
func TestBackfeed(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 60*quantity.Watt).build()
	p := problem(t, w, &steady.Options{Sources: []steady.Source{{Name: "generator", From: at("lamp 1", "lamp", "hot"), To: at("lamp 1", "lamp", "neutral"), Volts: 120 * quantity.Volt, Impedance: quantity.Ohm}}})
	s := solve(t, p, with(t, w, "panel", "aisle", "off", "place 1", "aisle", "on"))
	r := read(t, s, steady.Meter{Kind: steady.LowImpedance}, steady.Probes{Red: at("panel", "aisle", "hot"), Black: at("", "service", "ground")})
	if r.Verdict != steady.Real || r.Shows < 118*quantity.Volt {
		t.Errorf("%v", r)
	}
}

// Conductor figures: temperature by the table's own coefficient, impedance with
// its reactance, and what the table lacks.
func TestFigures(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 500*quantity.Foot, 600*quantity.Watt).build()
	series := func(opt steady.Options) complex128 {
		opt.Coupling.None = true
		s := solve(t, problem(t, w, &opt), with(t, w, "place 1", "aisle", "on"))
		r, _ := s.Load(ref("lamp 1", "lamp"))
		return 120/complex128(r.Current) - 14400.0/600 - 2*contact
	}
	const kft = 2 // thousands of feet out and back
	for _, row := range []struct {
		opt  steady.Options
		want complex128
		why  string
	}{
		{steady.Options{}, kft * 3.14, "stranded, the worse of the two, at 75 C"},
		{steady.Options{Stranding: conductor.Solid}, kft * 3.07, "solid"},
		// Within the rounding of the three-digit coefficient that the table prints.
		{steady.Options{Temperature: 25 * quantity.Celsius}, kft * 3.14 * (1 - 0.00323*50), "NEC Chapter 9 Table 8, note 2: R2 = R1[1 + 0.00323 (T2 - 75)]"},
		{steady.Options{Method: conductor.ByImpedance}, kft * (3.1 + 0.058i), "impedance in PVC"},
		{steady.Options{Method: conductor.ByImpedance, Frequency: 50 * steady.Hertz}, kft * (3.1 + 0.058i*50/60), "reactance at 50 Hz"},
		{steady.Options{Method: conductor.ByConstant}, complex(kft*12900.0/4110, 0), "12.9 ohm circular mils a foot"},
	} {
		if got := series(row.opt); cmplx.Abs(got-row.want) > 3e-4*cmplx.Abs(row.want) {
			t.Errorf("%s: %v ohm, want %v", row.why, got, row.want)
		}
	}
	if _, err := steady.New(w, usTable(), &steady.Options{Method: conductor.ByImpedance, Temperature: 20 * quantity.Celsius}); err == nil {
		t.Error("a temperature for figures that state none is accepted")
	}
	if _, err := steady.New(w, usTable(), &steady.Options{Method: conductor.ByRate}); err == nil {
		t.Error("a method without rows is accepted")
	}
}

// A light that says how it draws is solved as it says, unless the options say
// otherwise.
func TestLightsOwnModel(t *testing.T) {
	sketch := chain(t, switchnet.SplitPhase(), 1, 1, quantity.Foot, 60*quantity.Watt)
	l := &sketch.Lights[0]
	l.Kind, l.PowerFactor, l.Leakage, l.TurnOn = wiring.Electronic, 80*quantity.Percent, 200*quantity.Microampere, 90*quantity.Volt
	stated := steady.Load{Kind: l.Kind, PowerFactor: l.PowerFactor, Leakage: l.Leakage, TurnOn: l.TurnOn}
	lamp := ref("lamp 1", "lamp")
	w := sketch.build()
	result := func(o *steady.Options, position string) steady.LoadResult {
		o.Coupling.None = true
		r, ok := solve(t, problem(t, w, o), with(t, w, "place 1", "aisle", position)).Load(lamp)
		if !ok {
			t.Fatal("no lamp")
		}
		return r
	}
	own := result(&steady.Options{}, "on")
	if given := result(&steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: stated}}, "on"); own != given {
		t.Errorf("the light's own model gives %v, the same in the options %v", own, given)
	}
	if got := own.Current.Magnitude().Amperes(); math.Abs(got-60/(120*0.8)) > 1e-3 {
		t.Errorf("60 W at a power factor of 0.8 draws %g A, want 0.625", got)
	}
	if got := result(&steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Resistive}}}, "on").Current.Magnitude().Amperes(); math.Abs(got-0.5) > 1e-3 {
		t.Errorf("as a resistance it draws %g A, want 0.5", got)
	}
}
