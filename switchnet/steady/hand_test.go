package steady_test

import (
	"context"
	"math"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// figure is one figure worked on paper, to the digits that were kept.
type figure struct {
	what      string
	got, want float64
	within    float64 // 0 means a part in a million
}

func check(t *testing.T, figures ...figure) {
	t.Helper()
	for _, f := range figures {
		if f.within == 0 {
			f.within = 1e-6 * math.Abs(f.want)
		}
		if !(math.Abs(f.got-f.want) <= f.within) {
			t.Errorf("%s: %.9g, by hand %.9g", f.what, f.got, f.want)
		}
	}
}

var uncoupled = steady.Coupling{None: true}

func lamp(t *testing.T, s *steady.Solution, box, name string) steady.LoadResult {
	t.Helper()
	r, ok := s.Load(ref(box, name))
	if !ok {
		t.Fatalf("no figures for %s in %s: %v", name, box, s.Notes())
	}
	return r
}

func amperes(t *testing.T, s *steady.Solution, cable, colour string) steady.CurrentPhasor {
	t.Helper()
	c, ok := s.Current(wire(cable, colour))
	if !ok {
		t.Fatalf("no wire %s.%s", cable, colour)
	}
	return c
}

func inAmperes(c steady.CurrentPhasor) float64 { return c.Magnitude().Amperes() }
func inVolts(v steady.VoltagePhasor) float64   { return v.Magnitude().Volts() }

// Copper of 14 AWG is taken at 3.14 ohm per 1000 ft, 12 AWG at 1.98, a contact at 5
// milliohms, and a lamp as the square of its volts over its watts.
func TestByHandDividers(t *testing.T) {
	// 240 ohm of lamp, 4 wires of 50 ft at 0.157 ohm, 2 contacts: 240.638 ohm.
	w := chain(t, switchnet.SplitPhase(), 1, 1, 50*quantity.Foot, 60*quantity.Watt).build()
	s := solve(t, problem(t, w, &steady.Options{Coupling: uncoupled}), with(t, w, "place 1", "aisle", "on"))
	out, back := amperes(t, s, "C1", "black"), amperes(t, s, "C1", "white")
	check(t,
		figure{what: "60 W lamp", got: inVolts(lamp(t, s, "lamp 1", "lamp").Volts), want: 119.681846},
		figure{what: "its current", got: inAmperes(out), want: 0.498674357},
		figure{what: "the hot goes out from the From box, along line A", got: real(out), want: 0.498674357},
		figure{what: "the neutral comes back, so its sign is the other", got: real(back), want: -0.498674357})

	// 240 V over 144 ohm, 576 ohm and 0.638 ohm of wires and poles.
	s = solve(t, problem(t, multiwire(t, true, 100*quantity.Watt, 25*quantity.Watt).build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
	left, right := lamp(t, s, "hall", "left"), lamp(t, s, "hall", "right")
	check(t,
		figure{what: "100 W with an open neutral", got: inVolts(left.Volts), want: 47.9575043},
		figure{what: "25 W with an open neutral", got: inVolts(right.Volts), want: 191.830017},
		figure{what: "line B stands opposite", got: math.Abs(right.Volts.Degrees()), want: 180})
}

// wye is two lamps of one power on two lines of a wye that share a neutral.
func wye(t *testing.T, cut bool, power quantity.Power) *steady.Solution {
	s := multiwire(t, cut, power, power)
	s.Supply = switchnet.Wye120()
	return solve(t, problem(t, s.build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
}

func TestByHandSharedNeutrals(t *testing.T) {
	// Two lines of a wye 120 degrees apart: 207.846 V over 480.638 ohm, 240 of it
	// one lamp; and the angle of A over B is 30 degrees.
	s := wye(t, true, 60*quantity.Watt)
	between, _ := s.Volts(at("", "service", "line A"), at("", "service", "line B"))
	check(t,
		figure{what: "from line to line", got: inVolts(between), want: 207.846097},
		figure{what: "its angle", got: between.Degrees(), want: 30},
		figure{what: "a lamp with an open neutral", got: inVolts(lamp(t, s, "hall", "left").Volts), want: 103.785101})

	// Equal loads of 24 ohm on two lines of a wye: the neutral carries as much as a
	// line, and not nothing. By nodes: 0.314 ohm in each wire, 0.005 in each pole.
	s = wye(t, false, 600*quantity.Watt)
	check(t,
		figure{what: "a line of the wye", got: inAmperes(amperes(t, s, "C1", "black")), want: 4.90365447},
		figure{what: "the neutral of the wye", got: inAmperes(amperes(t, s, "C1", "white")), want: 4.81019762},
		figure{what: "its angle, toward the panel", got: (-amperes(t, s, "C1", "white")).Degrees(), want: -60})

	// The same on two legs of a split phase: the neutral carries the difference.
	even := solve(t, problem(t, multiwire(t, false, 600*quantity.Watt, 600*quantity.Watt).build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
	uneven := solve(t, problem(t, multiwire(t, false, 600*quantity.Watt, 300*quantity.Watt).build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
	check(t,
		figure{what: "a leg", got: inAmperes(amperes(t, even, "C1", "black")), want: 4.93441342},
		figure{what: "the neutral of equal legs", got: inAmperes(amperes(t, even, "C1", "white")), within: 1e-9},
		figure{what: "the neutral of unequal legs", got: inAmperes(amperes(t, uneven, "C1", "white")), want: 2.40425133},
		figure{what: "it runs from the hall to the panel", got: real(amperes(t, uneven, "C1", "white")), want: -2.40425133})

	// Two 12 ohm loads of two breakers on one leg: the shared neutral carries the
	// sum, 240 V over 12.319 ohm and twice the 0.314 ohm that both share.
	m := multiwire(t, false, 1200*quantity.Watt, 1200*quantity.Watt)
	m.Feeds = nil
	for _, name := range []string{"one", "two"} {
		m.Feeds = append(m.Feeds, wiring.Feed{Name: name, Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{switchnet.LineA}})
	}
	m.Landings = nil
	m.land("panel", "one", "hot", "C1.black", "neutral", "C1.white", "ground", "C1.bare")
	m.land("panel", "two", "hot", "C1.red")
	same := solve(t, problem(t, m.build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
	check(t, figure{what: "the neutral of two circuits on one leg", got: inAmperes(amperes(t, same, "C1", "white")), want: 240 / 12.947})
}

// A neutral that has two ways back divides as the other way's length: 90 ft beside
// 30 ft leave a quarter and three quarters, and each cable has that much net
// current.
func TestByHandParallelNeutrals(t *testing.T) {
	s := newSketch(t, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "hall")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 15 * quantity.Ampere}}
	s.cable("short", "14/2", "panel", "hall", 30*quantity.Foot)
	s.cable("long", "14/2", "panel", "hall", 90*quantity.Foot)
	s.land("panel", "hall", "hot", "short.black", "neutral", "short.white", "neutral", "long.white")
	s.Lights = []wiring.Light{{Name: "lamp", Box: "hall", Power: 1200 * quantity.Watt}}
	s.splice("hall", "short.black", "lamp:hot")
	s.splice("hall", "short.white", "long.white", "lamp:neutral")
	sol := solve(t, problem(t, s.build(), &steady.Options{Coupling: uncoupled}), switchnet.State{})
	// 12 + 0.005 + 0.0942 + 0.75*0.0942 = 12.16985 ohm
	const all = 120 / 12.16985
	short, err := sol.ClampCable("short")
	if err != nil {
		t.Fatal(err)
	}
	long, err := sol.ClampCable("long")
	if err != nil {
		t.Fatal(err)
	}
	check(t,
		figure{what: "out", got: inAmperes(amperes(t, sol, "short", "black")), want: all},
		figure{what: "back the short way", got: inAmperes(amperes(t, sol, "short", "white")), want: 0.75 * all},
		figure{what: "back the long way", got: inAmperes(amperes(t, sol, "long", "white")), want: 0.25 * all},
		figure{what: "a clamp round the short cable", got: short.Amperes(), want: 0.25 * all},
		figure{what: "a clamp round the long cable", got: long.Amperes(), want: 0.25 * all})
	both, _ := sol.Clamp(wire("short", "black"), wire("short", "white"), wire("long", "white"))
	check(t, figure{what: "a clamp round both", got: both.Amperes(), within: 1e-6})
}

// A long run: 200 ft of 12 AWG for a heater of 1920 W, against the figure of package
// conductor for the current that flows.
func TestByHandLongRun(t *testing.T) {
	s := newSketch(t, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "hall")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 20 * quantity.Ampere}}
	s.cable("C1", "12/2", "panel", "hall", 200*quantity.Foot)
	s.land("panel", "hall", "hot", "C1.black", "neutral", "C1.white")
	s.Lights = []wiring.Light{{Name: "heater", Box: "hall", Power: 1920 * quantity.Watt}}
	s.splice("hall", "C1.black", "heater:hot")
	s.splice("hall", "C1.white", "heater:neutral")
	w := s.build()
	sol := solve(t, problem(t, w, &steady.Options{Coupling: uncoupled, Breaker: quantity.Nanoohm}), switchnet.State{})
	// 7.5 ohm and 0.792 ohm: 14.4717800 A, 11.4616498 V dropped.
	r := lamp(t, sol, "hall", "heater")
	byConductor, err := conductor.DropByResistance(1980*quantity.OhmPerThousandFeet/1000, 400*quantity.Foot, r.Current.Magnitude())
	if err != nil {
		t.Fatal(err)
	}
	check(t,
		figure{what: "current", got: inAmperes(r.Current), want: 14.47178003},
		figure{what: "drop", got: 120 - inVolts(r.Volts), want: 11.46164978},
		figure{what: "drop by package conductor", got: byConductor.Volts(), want: 11.46164978},
		figure{what: "power of the heater", got: r.Power.Watts(), want: 1570.743129})
	// A bolted fault at the end, 10 kA at the panel: 0.012 + 0.005 + 0.792 ohm by
	// resistance; by impedance 0.8 + 0.0216i ohm for the 400 ft, and 0.012 ohm of
	// supply of which twice as much is reactance as resistance.
	for _, row := range []struct {
		opt  steady.Options
		want float64
	}{
		{steady.Options{Coupling: uncoupled, Service: steady.Service{FaultCurrent: 10 * quantity.Kiloampere}}, 120 / 0.809},
		{steady.Options{Coupling: uncoupled, Service: steady.Service{FaultCurrent: 10 * quantity.Kiloampere, Reactive: 2 * quantity.Whole}, Method: conductor.ByImpedance},
			120 / math.Hypot(0.012/math.Sqrt(5)+0.005+0.8, 2*0.012/math.Sqrt(5)+0.0216)},
	} {
		faults, err := solve(t, problem(t, w, &row.opt), switchnet.State{}).Faults(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, f := range faults {
			if f.Box == "hall" && f.Kind == steady.LineToNeutral {
				found = true
				check(t, figure{what: "fault at the end of the run", got: f.Least.Amperes(), want: row.want})
			}
		}
		if !found {
			t.Errorf("no fault from line to neutral in %+v", faults)
		}
	}
}

// Phantom volts that the table of practice does not list: 120 V and 60 Hz over 25 m
// into 10 megohms, 230 V and 50 Hz over 30 m into one, and a ground three times as
// near as the hot.
func TestByHandGhosts(t *testing.T) {
	for _, row := range []struct {
		system switchnet.System
		meters int64
		meter  quantity.Resistance
		opt    steady.Options
		want   float64
	}{
		{switchnet.SplitPhase(), 25, 10 * quantity.Megaohm, steady.Options{}, 59.8685049},
		{switchnet.SinglePhase230(), 30, quantity.Megaohm, steady.Options{}, 95.8412512},
		{switchnet.SplitPhase(), 15, 10 * quantity.Megaohm, steady.Options{Coupling: steady.Coupling{ToGround: 3 * steady.TypicalCoupling}}, 29.9542961},
	} {
		w := idleWire(t, row.system, "14/2", quantity.Length(row.meters)*quantity.Meter).build()
		row.opt.Breaker = quantity.Microohm
		r := read(t, solve(t, idealProblem(t, w, &row.opt), switchnet.State{}), steady.Meter{Kind: steady.HighImpedance, Impedance: row.meter},
			steady.Probes{Red: wire("C1", "white").In("far"), Black: wire("C1", "bare").In("far")})
		check(t, figure{what: "phantom", got: r.Shows.Volts(), want: row.want})
	}
}

// What a loaded tester makes of sources behind 240 ohm, 10 kilohm and 1 megohm: the
// last alone is a ghost. 10 kilohm on 120 V drive 12 mA through a hand.
func TestByHandVerdicts(t *testing.T) {
	for _, row := range []struct {
		leak   quantity.Resistance
		loaded float64
		want   steady.Verdict
	}{
		{240 * quantity.Ohm, 120 * 3000.0 / 3240, steady.Real},
		{10 * quantity.Kiloohm, 120 * 3.0 / 13, steady.Real},
		{100 * quantity.Kiloohm, 120 * 3.0 / 103, steady.Real},
		{quantity.Megaohm, 120 * 3.0 / 1003, steady.Ghost},
	} {
		w := idleWire(t, switchnet.SplitPhase(), "14/2", quantity.Meter).build()
		free := wire("C1", "white").In("far")
		sol := solve(t, idealProblem(t, w, &steady.Options{Coupling: uncoupled, Breaker: quantity.Microohm,
			Branches: []steady.Branch{{Name: "leak", From: wire("C1", "black").In("far"), To: free, Resistance: row.leak}}}), switchnet.State{})
		r := read(t, sol, steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: free, Black: wire("C1", "bare").In("far")})
		check(t, figure{what: "under load behind " + row.leak.String(), got: r.Loaded.Volts(), want: row.loaded},
			figure{what: "unloaded", got: r.Unloaded.Volts(), want: 120})
		if r.Verdict != row.want || r.Live != (row.want == steady.Real) {
			t.Errorf("behind %s: %v, live %v; want %v", row.leak, r, r.Live, row.want)
		}
	}
}

// An electronic lamp that takes 100 microamperes when off is 1.2 megohms of
// capacitance; behind a switch that leaks through 1 megohm it stands at
// 120*1.2/sqrt(1+1.44) V, lagging by 39.806 degrees.
func TestByHandGlow(t *testing.T) {
	s := chain(t, switchnet.SplitPhase(), 1, 1, quantity.Millimeter, 9*quantity.Watt)
	s.Devices[0].Kind = switchnet.ElectronicSwitch()
	sol := solve(t, problem(t, s.build(), &steady.Options{Coupling: uncoupled, Leak: quantity.Megaohm,
		Loads: map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): {Kind: steady.Electronic, Leakage: 100 * quantity.Microampere, TurnOn: 100 * quantity.Volt, DropOut: 40 * quantity.Volt}}}), switchnet.State{})
	r := lamp(t, sol, "lamp 1", "lamp")
	check(t,
		figure{what: "volts of a lamp that is off", got: inVolts(r.Volts), want: 92.1865536},
		figure{what: "angle", got: r.Volts.Degrees(), want: -39.8055711},
		figure{what: "the current leads its volts by", got: r.Current.Degrees() - r.Volts.Degrees(), want: 90},
		figure{what: "it uses no power", got: r.Power.Watts(), within: 1e-9})
	if r.State != steady.Glowing {
		t.Errorf("the lamp is %v", r.State)
	}
}

// Half an ohm in a splice behind a heater of 12 ohm: 120 V over 12.8868 ohm, and
// 43.355 W in a wire connector.
func TestByHandLooseSplice(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 1200*quantity.Watt).build()
	s := solve(t, problem(t, w, &steady.Options{Coupling: uncoupled, Loose: map[wiring.End]quantity.Resistance{{Box: "place 1", Wire: wire("C1", "white")}: quantity.Ohm / 2}}),
		with(t, w, "place 1", "aisle", "on"))
	lost := 0.0
	for j := range s.Splices() {
		lost += j.Lost.Watts()
	}
	check(t, figure{what: "watts in the splice", got: lost, want: 43.3553124},
		figure{what: "amperes", got: inAmperes(lamp(t, s, "lamp 1", "lamp").Current), want: 9.31185399})
}

// Angles of loads: a transformer and a motor lag by the angle whose cosine is their
// power factor, an electronic load leads by it.
func TestByHandAngles(t *testing.T) {
	for _, row := range []struct {
		kind steady.LoadKind
		want float64 // of the current, ahead of the volts
	}{{steady.Transformer, -36.8698976}, {steady.Motor, -36.8698976}, {steady.Electronic, 36.8698976}} {
		r := oneLamp(t, steady.Load{Kind: row.kind, PowerFactor: 80 * quantity.Percent}, 0)
		check(t, figure{what: row.kind.String(), got: r.Current.Degrees() - r.Volts.Degrees(), want: row.want},
			figure{what: row.kind.String() + " power over volt-amperes", got: r.Power.Watts() / (inVolts(r.Volts) * inAmperes(r.Current)), want: 0.8, within: 2e-6})
	}
}

// Where an instrument and its reader go wrong.
func TestByHandLies(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 2, 30*quantity.Foot, 100*quantity.Watt).build()
	ground, hot := at("", "service", "ground"), wire("C0", "black").In("place 1")
	cold := steady.Load{Kind: steady.Resistive, Cold: 10 * quantity.Ohm}
	opt := steady.Options{Loads: map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): cold, ref("lamp 2", "lamp"): cold}}
	on := []string{"place 1", "aisle", "on"}

	// A neutral that is cut at the panel is live through the filaments: hot to a
	// voltmeter, and a proximity tester at it is right to alarm.
	cut, err := w.Apply(wiring.Cut{Wire: wire("C0", "white")})
	if err != nil {
		t.Fatal(err)
	}
	s := solve(t, problem(t, cut, &opt), with(t, cut, on...))
	neutral := wire("C1", "white").In("lamp 1")
	r := read(t, s, steady.Meter{Kind: steady.LowImpedance}, steady.Probes{Red: neutral, Black: ground})
	stick := read(t, s, steady.Meter{Kind: steady.Proximity}, steady.Probes{Red: neutral})
	if r.Verdict != steady.Real || !r.Live || r.Shows < 115*quantity.Volt || !stick.Alarm || stick.Misleads {
		t.Errorf("a cut neutral behind two lamps: %v; %v", r, stick)
	}
	// Between that neutral and the hot there is next to nothing: both are live.
	r = read(t, s, steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: wire("C1", "black").In("lamp 1"), Black: neutral})
	if r.Verdict != steady.Absent || !r.Live || !r.Misleads {
		t.Errorf("hot to a neutral that is cut: %v, live %v, misleads %v", r, r.Live, r.Misleads)
	}
	// A hot against a grounding conductor that is cut: the voltage between the two
	// is a ghost's, and the hot is as live as ever.
	loose, err := w.Apply(wiring.Cut{Wire: wire("C0", "bare")})
	if err != nil {
		t.Fatal(err)
	}
	r = read(t, solve(t, problem(t, loose, &opt), with(t, loose, "place 1", "aisle", "off")), steady.Meter{Kind: steady.LowImpedance},
		steady.Probes{Red: hot, Black: wire("C1", "bare").In("place 1")})
	if !r.Live || !r.Misleads || r.Shows > 3*quantity.Volt {
		t.Errorf("a hot against a loose ground: %v, live %v, misleads %v", r, r.Live, r.Misleads)
	}
	// A line of 120 V to neutral in a whole sheath looks like half of it.
	sound := solve(t, problem(t, w, &opt), with(t, w, on...))
	half, err := sound.ReadSheath(steady.Meter{Kind: steady.Proximity, Threshold: 62 * quantity.Volt}, "C1", "lamp 1")
	if err != nil || half.Alarm || !half.Live || !half.Misleads {
		t.Errorf("a tester of 62 V at a sheath with 120 V in it: %v %v", half, err)
	}
	// Two cold filaments side by side are 5 ohm and sound like a joint: 5 ohm beside
	// 60 ft of wire for the second, and 60 ft more for both.
	off := solve(t, problem(t, w, &opt), with(t, w, "panel", "aisle", "off", "place 1", "aisle", "off"))
	o, err := off.Ohms(steady.Probes{Red: wire("C1", "black").In("place 1"), Black: wire("C1", "white").In("place 1")})
	if err != nil {
		t.Fatal(err)
	}
	second := 10 + 60*0.00314
	check(t, figure{what: "ohms through two filaments", got: o.Resistance.Ohms(), want: 10*second/(10+second) + 60*0.00314})
	if !o.Beeps || len(o.Through) != 2 {
		t.Errorf("through two filaments: %+v", o)
	}
}
