package steady_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// Each status, by a question that has it.
func TestStatuses(t *testing.T) {
	service := func(name string) switchnet.Terminal { return at("", "service", name) }
	panel := func(name string) switchnet.Terminal { return at("panel", "aisle", name) }
	on := []string{"place 1", "aisle", "on"}
	lamp := ref("lamp 1", "lamp")
	for _, row := range []struct {
		name  string
		edit  []wiring.Edit
		opt   steady.Options
		moves []string
		want  steady.Status
		place string // in the first note
		why   string
	}{
		{name: "plain", moves: on, want: steady.Converged, why: "nothing is the matter"},
		{name: "floating island", opt: steady.Options{Coupling: steady.Coupling{None: true}},
			edit: []wiring.Edit{wiring.Cut{Wire: wire("C0", "black")}, wiring.Cut{Wire: wire("C0", "white")}, wiring.Cut{Wire: wire("C0", "bare")}},
			want: steady.Floating, place: "lamp hot at lamp 1", why: "all three wires cut and no capacitance: nothing holds the lamp anywhere"},
		{name: "coupled island", want: steady.Converged,
			edit: []wiring.Edit{wiring.Cut{Wire: wire("C0", "black")}, wiring.Cut{Wire: wire("C0", "white")}},
			why:  "the grounding conductor is whole and holds the island through capacitance"},
		{name: "zero-impedance loop", opt: steady.Options{Branches: []steady.Branch{{Name: "strap", From: panel("neutral"), To: panel("ground")}}},
			want: steady.LoopUndetermined, place: "aisle neutral at panel", why: "the bond at the service joins them already"},
		{name: "two straps", opt: steady.Options{Branches: []steady.Branch{
			{Name: "one", From: at("lamp 1", "lamp", "hot"), To: at("place 1", "aisle", "load")},
			{Name: "two", From: at("place 1", "aisle", "load"), To: at("lamp 1", "lamp", "hot")}}},
			want: steady.LoopUndetermined, place: "aisle load at place 1", why: "two joints without resistance side by side"},
		{name: "source on source", opt: steady.Options{Branches: []steady.Branch{{Name: "strap", From: service("line A"), To: service("line B")}}},
			want: steady.SourceOnSource, place: "service line B", why: "a stiff supply shorted without any resistance"},
		{name: "source on earth", opt: steady.Options{Branches: []steady.Branch{{Name: "strap", From: service("line A"), To: service("neutral")}}},
			want: steady.SourceOnSource, place: "service neutral", why: "line bolted to neutral ahead of any resistance"},
		{name: "soft source bolted", opt: steady.Options{Service: steady.Service{FaultCurrent: quantity.Kiloampere},
			Branches: []steady.Branch{{Name: "strap", From: service("line A"), To: service("neutral")}}},
			want: steady.Converged, why: "with an impedance in the supply the fault current is a number"},
		{name: "resonance", edit: []wiring.Edit{wiring.Cut{Wire: wire("C1", "black")}}, opt: steady.Options{Coupling: steady.Coupling{None: true}, Branches: []steady.Branch{
			{Name: "coil", From: service("line A"), To: at("place 1", "aisle", "load"), Reactance: 10 * quantity.Ohm},
			{Name: "capacitor", From: at("place 1", "aisle", "load"), To: service("neutral"), Reactance: -10 * quantity.Ohm}}},
			want: steady.Unsound, why: "a coil and a capacitor of one reactance in line are a short without resistance"},
		{name: "dead and uncoupled", edit: []wiring.Edit{wiring.Cut{Wire: wire("C1", "white")}}, opt: steady.Options{Coupling: steady.Coupling{None: true}, Contact: 1, Breaker: 1}, moves: on,
			want: steady.Converged, why: "nothing flows anywhere, and rounding is not a fault"},
		{name: "strobing", opt: steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Electronic, Power: 9 * quantity.Watt}},
			Branches: []steady.Branch{{Name: "leak", From: at("place 1", "aisle", "line"), To: at("place 1", "aisle", "load"), Resistance: 20 * quantity.Kiloohm}}},
			want: steady.Collapsed, place: "lamp at lamp 1", why: "enough leaks past the switch to start the driver, and not enough to run it"},
		{name: "stalled motor", moves: on, opt: steady.Options{Loads: map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Motor, Power: 1200 * quantity.Watt, PowerFactor: 80 * quantity.Percent}},
			Loose: map[wiring.End]quantity.Resistance{{Box: "lamp 1", Wire: wire("C1", "black")}: 20 * quantity.Ohm}},
			want: steady.Collapsed, place: "lamp at lamp 1", why: "a bad joint leaves the motor less than half its voltage"},
		{name: "two steady states", moves: on, opt: steady.Options{
			Loads:    map[switchnet.Ref]steady.Load{lamp: {Kind: steady.Electronic, Power: 9 * quantity.Watt, TurnOn: 110 * quantity.Volt, DropOut: 60 * quantity.Volt}},
			Branches: []steady.Branch{{Name: "other load", From: at("lamp 1", "lamp", "hot"), To: at("lamp 1", "lamp", "neutral"), Resistance: 400 * quantity.Ohm}},
			Loose:    map[wiring.End]quantity.Resistance{{Box: "place 1", Wire: wire("C1", "black")}: 60 * quantity.Ohm}},
			want: steady.MultipleSolutions, place: "lamp at lamp 1", why: "the driver wants 110 V to start and 60 V to stay"},
	} {
		s := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 100*quantity.Watt)
		w, err := s.build().Apply(row.edit...)
		if err != nil {
			t.Fatal(err)
		}
		sol := solve(t, problem(t, w, &row.opt), with(t, w, row.moves...))
		if sol.Status() != row.want {
			t.Errorf("%s: status %v %v, want %v: %s", row.name, sol.Status(), sol.Notes(), row.want, row.why)
			continue
		}
		if row.place != "" && (len(sol.Notes()) == 0 || !strings.Contains(sol.Notes()[0].String(), row.place)) {
			t.Errorf("%s: notes %v do not name %s", row.name, sol.Notes(), row.place)
		}
		if _, ok := sol.Volts(service("line A"), service("neutral")); ok != sol.Status().Figures() {
			t.Errorf("%s: figures %v with status %v", row.name, ok, sol.Status())
		}
	}
}

// A supply at the edge of what it can deliver does not settle by itself: the law
// of a constant power behind a resistance has its nose at half the voltage.
func TestWeakSupply(t *testing.T) {
	s := chain(t, switchnet.SplitPhase(), 1, 1, 30*quantity.Foot, 0)
	w := s.build()
	for _, row := range []struct {
		power quantity.Power
		want  steady.Status
		why   string
	}{
		{100 * quantity.Watt, steady.Converged, "well within 360 W"},
		{340 * quantity.Watt, steady.Converged, "near the nose, where the iteration is slow"},
		{500 * quantity.Watt, steady.Collapsed, "more than 120 V behind 10 ohm can give"},
	} {
		p := problem(t, w, &steady.Options{
			Loads: map[switchnet.Ref]steady.Load{ref("lamp 1", "lamp"): {Kind: steady.Electronic, Power: row.power, DropOut: 50 * quantity.Volt}},
			Loose: map[wiring.End]quantity.Resistance{{Box: "lamp 1", Wire: wire("C1", "black")}: 10 * quantity.Ohm}})
		sol := solve(t, p, with(t, w, "place 1", "aisle", "on"))
		if sol.Status() != row.want {
			t.Errorf("%s: %v %v: %s", row.power, sol.Status(), sol.Notes(), row.why)
		}
	}
}

// Malformed questions are errors that say where, all of them.
func TestErrors(t *testing.T) {
	s := chain(t, switchnet.SplitPhase(), 1, 1, 0, 0)
	w := s.build()
	_, err := steady.New(w, &conductor.Table{Region: "empty"}, &steady.Options{Contact: -1, Loads: map[switchnet.Ref]steady.Load{ref("x", "y"): {}},
		Branches: []steady.Branch{{Name: "b", From: at("no", "such", "place"), To: at("", "service", "neutral")}}})
	var errs steady.Errors
	if !errors.As(err, &errs) {
		t.Fatalf("error is %v", err)
	}
	for _, want := range []string{"cable C0 has no length", "cable C1 has no length", "load lamp at lamp 1 states no power", "Options.Contact", `names "y at x"`, `lands on "such place at no"`} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("errors lack %q:\n%v", want, err)
		}
	}
	_, err = steady.New(w, &conductor.Table{Region: "empty"}, &steady.Options{UnknownLength: quantity.Meter, UnknownPower: quantity.Watt})
	if err == nil || !strings.Contains(err.Error(), `table "empty" has no resistance for 14 AWG copper`) {
		t.Errorf("error is %v", err)
	}
	p := problem(t, w, &steady.Options{UnknownLength: quantity.Meter, UnknownPower: quantity.Watt})
	other := chain(t, switchnet.SplitPhase(), 1, 1, quantity.Meter, quantity.Watt).build()
	if _, err := p.Solve(other.Net().Rest()); err == nil {
		t.Error("a state of another net is solved")
	}
	sol := solve(t, p, switchnet.State{})
	if _, err := sol.Read(steady.Meter{}, steady.Probes{}); err == nil {
		t.Error("a meter of no kind reads")
	}
	if _, err := sol.Faults(context.Background()); err == nil {
		t.Error("a stiff supply has fault currents")
	}
}

// Angles stay above -180 degrees, and none is written as minus zero.
func TestAngles(t *testing.T) {
	for _, row := range []struct {
		v    complex128
		want string
		deg  float64
	}{
		{120, "120 V at 0.0 degrees", 0},
		{complex(120, math.Copysign(0, -1)), "120 V at 0.0 degrees", 0},
		{complex(120, -1e-3), "120 V at 0.0 degrees", -0.000477464829},
		{complex(-120, math.Copysign(0, -1)), "120 V at 180.0 degrees", 180},
		{complex(0, -120), "120 V at -90.0 degrees", -90},
		{0, "0 V at 0.0 degrees", 0},
	} {
		v := steady.VoltagePhasor(row.v)
		if v.String() != row.want || math.Abs(v.Degrees()-row.deg) > 1e-9 {
			t.Errorf("%v: %s and %g, want %s and %g", row.v, v, v.Degrees(), row.want, row.deg)
		}
	}
}
