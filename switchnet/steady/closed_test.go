package steady_test

import (
	"math"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

const (
	contact = 0.005 // ohms: steady.TypicalContact
	perFoot = 0.00314
)

// One lamp behind two contacts and two wires is a voltage divider.
func TestDivider(t *testing.T) {
	w := chain(t, switchnet.SplitPhase(), 1, 1, 50*quantity.Foot, 100*quantity.Watt).build()
	p := problem(t, w, &steady.Options{Coupling: steady.Coupling{None: true}})
	s := solve(t, p, with(t, w, "place 1", "aisle", "on"))
	if s.Status() != steady.Converged {
		t.Fatalf("status %v: %v", s.Status(), s.Notes())
	}
	lamp := 120.0 * 120 / 100
	series := 2*contact + 4*50*perFoot // breaker and switch; two cables out and back
	got, ok := s.Load(ref("lamp 1", "lamp"))
	if !ok {
		t.Fatal("no result for the lamp")
	}
	near(t, "lamp", got.Volts, steady.VoltagePhasor(complex(120*lamp/(lamp+series), 0)))
	near(t, "current", got.Current, steady.CurrentPhasor(complex(120/(lamp+series), 0)))
	c, _ := s.Current(wire("C0", "black"))
	near(t, "black of C0", c, got.Current)
	c, _ = s.Current(wire("C0", "white"))
	near(t, "white of C0", c, -got.Current)
	if got.State != steady.Lit {
		t.Errorf("the lamp is %v", got.State)
	}
}

// multiwire is two circuits of one two-pole feed that share a neutral, a lamp on
// each, the neutral cut where asked.
func multiwire(tb testing.TB, cut bool, one, other quantity.Power) *sketch {
	s := newSketch(tb, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "hall")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Poles: 2, Breaker: 15 * quantity.Ampere}}
	s.cable("C1", "14/3", "panel", "hall", 100*quantity.Foot)
	s.land("panel", "hall", "hot 1", "C1.black", "hot 2", "C1.red", "neutral", "C1.white", "ground", "C1.bare")
	s.Lights = []wiring.Light{{Name: "left", Box: "hall", Power: one}, {Name: "right", Box: "hall", Power: other}}
	s.splice("hall", "C1.black", "left:hot")
	s.splice("hall", "C1.red", "right:hot")
	s.splice("hall", "C1.white", "left:neutral", "right:neutral")
	if cut {
		s.Opens = []wiring.Wire{wire("C1", "white")}
	}
	return s
}

// With the shared neutral open two lamps are in series across 240 V and share it
// as their resistances stand.
func TestOpenNeutral(t *testing.T) {
	run := 100*perFoot + contact
	for _, row := range []struct {
		one, other quantity.Power
		states     [2]steady.LoadState
		why        string
	}{
		{100 * quantity.Watt, 100 * quantity.Watt, [2]steady.LoadState{steady.Lit, steady.Lit}, "equal lamps hide an open neutral"},
		{100 * quantity.Watt, 25 * quantity.Watt, [2]steady.LoadState{steady.Dim, steady.Overdriven}, "the smaller lamp has the larger resistance and gets the most"},
		{15 * quantity.Watt, 60 * quantity.Watt, [2]steady.LoadState{steady.Overdriven, steady.Dim}, "the other way round"},
	} {
		w := multiwire(t, true, row.one, row.other).build()
		s := solve(t, problem(t, w, &steady.Options{Coupling: steady.Coupling{None: true}}), switchnet.State{})
		a, b := 14400/row.one.Watts(), 14400/row.other.Watts()
		for i, l := range []struct {
			name string
			volt float64
		}{{"left", 240 * a / (a + b + 2*run)}, {"right", -240 * b / (a + b + 2*run)}} {
			got, ok := s.Load(ref("hall", l.name))
			if !ok {
				t.Fatalf("no result for %s", l.name)
			}
			near(t, l.name+": "+row.why, got.Volts, steady.VoltagePhasor(complex(l.volt, 0)))
			if got.State != row.states[i] {
				t.Errorf("%s is %v, want %v: %s", l.name, got.State, row.states[i], row.why)
			}
		}
	}
}

// Two lamps in line across 120 V: the second lamp's leg comes from the first.
func TestSeries(t *testing.T) {
	s := newSketch(t, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "hall")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Breaker: 15 * quantity.Ampere}}
	s.cable("C1", "14/2", "panel", "hall", 20*quantity.Foot)
	s.land("panel", "hall", "hot", "C1.black", "neutral", "C1.white")
	s.Lights = []wiring.Light{{Name: "one", Box: "hall", Power: 60 * quantity.Watt}, {Name: "two", Box: "hall", Power: 40 * quantity.Watt}}
	s.splice("hall", "C1.black", "one:hot")
	s.splice("hall", "one:neutral", "two:hot")
	s.splice("hall", "C1.white", "two:neutral")
	sol := solve(t, problem(t, s.build(), &steady.Options{Coupling: steady.Coupling{None: true}}), switchnet.State{})
	a, b := 14400.0/60, 14400.0/40
	all := a + b + contact + 40*perFoot
	for name, r := range map[string]float64{"one": a, "two": b} {
		got, _ := sol.Load(ref("hall", name))
		near(t, name, got.Volts, steady.VoltagePhasor(complex(120*r/all, 0)))
	}
}

// A wye with one lamp from each line to a common point that is cut off from the
// neutral: three sources, superposed by hand (Millman's theorem).
func TestThreeSources(t *testing.T) {
	s := newSketch(t, switchnet.Wye120())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "hall")
	s.Feeds = []wiring.Feed{{Name: "hall", Box: "panel", Poles: 3, Breaker: 15 * quantity.Ampere}}
	s.cable("C1", "14/4", "panel", "hall", 40*quantity.Foot)
	s.land("panel", "hall", "hot 1", "C1.black", "hot 2", "C1.red", "hot 3", "C1.blue", "neutral", "C1.white")
	powers := []float64{100, 60, 25}
	names := []string{"a", "b", "c"}
	for i, colour := range []string{"black", "red", "blue"} {
		s.Lights = append(s.Lights, wiring.Light{Name: names[i], Box: "hall", Power: quantity.Power(powers[i]) * quantity.Watt})
		s.splice("hall", "C1."+colour, names[i]+":hot")
	}
	s.splice("hall", "a:neutral", "b:neutral", "c:neutral")
	sol := solve(t, problem(t, s.build(), &steady.Options{Coupling: steady.Coupling{None: true}}), switchnet.State{})
	var e, y [3]complex128
	var top, sum complex128
	for i, angle := range []float64{0, -2 * math.Pi / 3, 2 * math.Pi / 3} {
		e[i] = complex(120*math.Cos(angle), 120*math.Sin(angle))
		y[i] = complex(1/(14400/powers[i]+contact+40*perFoot), 0)
		// Each source by itself, the others shorted, adds its part to the
		// star point.
		top += e[i] * y[i]
		sum += y[i]
	}
	star := top / sum
	for i, name := range names {
		got, _ := sol.Load(ref("hall", name))
		near(t, name, got.Volts, steady.VoltagePhasor((e[i]-star)*y[i]*complex(14400/powers[i], 0)))
	}
}
