package steady_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
	"pgregory.net/rapid"
)

// drawWiring draws a chain or a shared-neutral pair with lengths and then makes
// some of the mistakes that people make in it.
func drawWiring(rt *rapid.T, tb testing.TB) *wiring.Wiring {
	system := []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}[rapid.IntRange(0, 2).Draw(rt, "system")]
	length := quantity.Length(rapid.IntRange(1, 80).Draw(rt, "feet")) * quantity.Foot
	power := quantity.Power(rapid.IntRange(1, 300).Draw(rt, "watts")) * quantity.Watt
	s := chain(tb, system, rapid.IntRange(1, 4).Draw(rt, "places"), rapid.IntRange(1, 3).Draw(rt, "lamps"), length, power)
	for i := range s.Cables {
		s.Cables[i].Length = quantity.Length(rapid.IntRange(1, 80).Draw(rt, "feet of cable")) * quantity.Foot
	}
	w := s.build()
	for range rapid.IntRange(0, 4).Draw(rt, "mistakes") {
		// A mistake that does not fit is one not made.
		if v, err := w.Apply(drawMistake(rt, w.Spec())); err == nil {
			w = v
		}
	}
	return w
}

func drawMistake(rt *rapid.T, s wiring.Spec) wiring.Edit {
	landing := func(label string) wiring.Landing {
		return s.Landings[rapid.IntRange(0, len(s.Landings)-1).Draw(rt, label)]
	}
	anyWire := func(label string) (wiring.Wire, wiring.Cable) {
		c := s.Cables[rapid.IntRange(0, len(s.Cables)-1).Draw(rt, label)]
		core := c.Type.Cores[rapid.IntRange(0, len(c.Type.Cores)-1).Draw(rt, label+" core")]
		return wire(c.Name, core.Colour.String()), c
	}
	switch rapid.IntRange(0, 5).Draw(rt, "kind of mistake") {
	case 0:
		l := landing("one")
		for range 8 {
			if m := landing("other"); m.Box == l.Box && m.Wire != l.Wire {
				return wiring.SwapLandings{Box: l.Box, A: l.Wire, B: m.Wire}
			}
		}
		return wiring.Cut{Wire: l.Wire}
	case 1:
		w, _ := anyWire("cut")
		return wiring.Cut{Wire: w}
	case 2:
		w, c := anyWire("loose")
		return wiring.Release{End: wiring.End{Box: c.From, Wire: w}}
	case 3:
		a, c := anyWire("tied")
		b := c.Type.Cores[rapid.IntRange(0, len(c.Type.Cores)-1).Draw(rt, "to core")]
		return wiring.TieJoints{Box: c.To, A: wiring.Joint{Wire: a}, B: wiring.WireJoint(c.Name, b.Colour.String())}
	case 4:
		l, m := landing("moved"), landing("to")
		return wiring.MoveLanding{End: wiring.End{Box: l.Box, Wire: l.Wire}, Device: l.Device, Terminal: m.Terminal}
	}
	a, c := anyWire("joined")
	b := c.Type.Cores[rapid.IntRange(0, len(c.Type.Cores)-1).Draw(rt, "with core")]
	return wiring.JoinSplice{Box: c.To, Join: []wiring.Joint{{Wire: a}, wiring.WireJoint(c.Name, b.Colour.String())}}
}

func drawOptions(rt *rapid.T, w *wiring.Wiring) *steady.Options {
	o := &steady.Options{Loads: map[switchnet.Ref]steady.Load{}}
	o.Coupling.None = rapid.Bool().Draw(rt, "no coupling")
	if rapid.Bool().Draw(rt, "soft supply") {
		o.Service.FaultCurrent = quantity.Current(rapid.IntRange(200, 20000).Draw(rt, "fault amperes")) * quantity.Ampere
		o.Service.Reactive = quantity.Ratio(rapid.IntRange(0, 30).Draw(rt, "reactive tenths")) * quantity.Whole / 10
	}
	o.Splice = quantity.Resistance(rapid.IntRange(0, 3).Draw(rt, "splice milliohms")) * quantity.Milliohm
	o.Landing = quantity.Resistance(rapid.IntRange(0, 2).Draw(rt, "landing milliohms")) * quantity.Milliohm
	for l := range w.Net().Loads() {
		switch rapid.IntRange(0, 4).Draw(rt, "model") {
		case 0:
			o.Loads[l.Ref] = steady.Load{Kind: steady.Electronic, PowerFactor: 90 * quantity.Percent, Leakage: 200 * quantity.Microampere}
		case 1:
			o.Loads[l.Ref] = steady.Load{Kind: steady.Transformer, PowerFactor: 80 * quantity.Percent}
		case 2:
			o.Loads[l.Ref] = steady.Load{Kind: steady.Resistive, Cold: quantity.Ohm}
		case 3:
			o.Loads[l.Ref] = steady.Load{Kind: steady.Motor, PowerFactor: 70 * quantity.Percent}
		}
	}
	return o
}

func drawState(rt *rapid.T, w *wiring.Wiring) switchnet.State {
	s := w.Net().Rest()
	for d := range w.Net().Devices() {
		for range rapid.IntRange(0, len(d.Kind.Positions)-1).Draw(rt, "flips") {
			s, _ = s.Flip(d.Ref)
		}
	}
	return s
}

// At every node what flows in flows out, to 1e-9 of the largest current there, and
// all power that leaves the supplies is used or lost, whatever was done to the
// wiring.
func TestKirchhoffAndBalance(t *testing.T) {
	figures := 0
	rapid.Check(t, func(rt *rapid.T) {
		w := drawWiring(rt, t)
		p := problem(t, w, drawOptions(rt, w))
		s := solve(t, p, drawState(rt, w))
		if !s.Status().Figures() {
			return
		}
		figures++
		left, largest := s.Leftover()
		for i := range left {
			// Currents below a femtoampere are rounding of the whole.
			if !(left[i] <= 1e-9*largest[i]+1e-15) {
				rt.Fatalf("node %d: %.3g A left of %.3g A; status %v", i, left[i], largest[i], s.Notes())
			}
		}
		source, loads, lost := s.Exact()
		scale := max(math.Abs(source), math.Abs(loads), math.Abs(lost))
		if !(math.Abs(source-loads-lost) <= 1e-9*scale+1e-15) {
			rt.Fatalf("supplies give %.12g W, loads use %.12g W and %.12g W is lost", source, loads, lost)
		}
	})
	if figures == 0 {
		t.Error("no draw had figures")
	}
}

// What the connectivity engine calls lit has its nominal voltage within the drop of
// the wires, and what it calls unlit has nothing beyond leakage and the drop of the
// wires: between a neutral that carries current and a ground, or along a neutral, there
// is a little. Every state of the small wirings is looked at; states with a short are
// left out, since there the drop is everything.
func TestConnectivityAgrees(t *testing.T) {
	lit, unlit := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		w := drawWiring(rt, t)
		p := problem(t, w, nil)
		states, _, err := w.Net().States(nil)
		if err != nil {
			rt.Fatal(err)
		}
		engine := w.Net().NewSolver()
		// Each conductor has three neighbors or fewer, at typical coupling each.
		mostLeak, ohms, siemens := 0.0, 0.0, 0.0
		for _, c := range w.Spec().Cables {
			mostLeak += 240 * 2 * math.Pi * 60 * 80e-12 * 3 * float64(len(c.Type.Cores)) * c.Length.Meters()
			ohms += c.Length.Meters() * (3.14 / 304.8) // 14 AWG, NEC chapter 9 table 8
		}
		for range w.Net().Devices() {
			ohms += steady.TypicalContact.Ohms()
		}
		nominal := w.Net().Source().System.LineToNeutral.Volts()
		for _, l := range w.Spec().Lights {
			siemens += l.Power.Watts() / (nominal * nominal)
		}
		// All lamps at twice their volts drop this in all the cable and contacts there are.
		mostDrop := 2 * nominal * siemens * ohms
		for state := range states {
			view, err := engine.Solve(state)
			if err != nil {
				rt.Fatal(err)
			}
			if view.Shorted() {
				continue
			}
			s := solve(t, p, state)
			for load, supply := range view.Supplies() {
				got, ok := s.Load(load)
				share := 0.0
				if ok {
					share = got.Volts.Magnitude().Volts() / 120
				}
				switch supply.Status {
				case switchnet.Lit:
					lit++
					nominal := supply.Volts.Volts() / 120
					// 3 lamps of 300 W over 9 cables of 80 ft, out and back,
					// drop a good tenth.
					if !(share > 0.75*nominal && share <= nominal*1.001) {
						rt.Fatalf("%v: engine says lit at %s, volts %v in %v", load, supply.Volts, got.Volts, state)
					}
				case switchnet.Unlit:
					unlit++
					if leak := got.Current.Magnitude().Amperes(); leak > mostLeak+mostDrop*siemens {
						rt.Fatalf("%v: engine says unlit, current %v where all coupling together leaks %g A and drop drives %g A, in %v (%v)", load, got.Current, mostLeak, mostDrop*siemens, state, supply.Ends)
					}
				}
			}
		}
	})
	if lit == 0 || unlit == 0 {
		t.Errorf("%d lit and %d unlit loads seen; both are wanted", lit, unlit)
	}
}

// The order of a wiring's lists decides nothing, to the last bit.
func TestOrderOfLists(t *testing.T) {
	print := func(w *wiring.Wiring) string {
		p := problem(t, w, &steady.Options{Splice: quantity.Milliohm, Service: steady.Service{FaultCurrent: 5 * quantity.Kiloampere}})
		s := solve(t, p, switchnet.State{})
		out := ""
		for l, r := range s.Loads() {
			out += fmt.Sprintln(l, complex128(r.Volts))
		}
		for wire, c := range s.Currents() {
			out += fmt.Sprintln(wire, complex128(c))
		}
		for ph := range s.Phantoms() {
			out += fmt.Sprintln(ph.Wires, ph.Reading)
		}
		faults, err := s.Faults(context.Background())
		return out + fmt.Sprintln(faults, err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		w := drawWiring(rt, t)
		s := w.Spec()
		shuffle := func(label string, n int, swap func(i, j int)) {
			for i := n - 1; i > 0; i-- {
				swap(i, rapid.IntRange(0, i).Draw(rt, label))
			}
		}
		shuffle("cables", len(s.Cables), func(i, j int) { s.Cables[i], s.Cables[j] = s.Cables[j], s.Cables[i] })
		shuffle("splices", len(s.Splices), func(i, j int) { s.Splices[i], s.Splices[j] = s.Splices[j], s.Splices[i] })
		shuffle("landings", len(s.Landings), func(i, j int) { s.Landings[i], s.Landings[j] = s.Landings[j], s.Landings[i] })
		shuffle("devices", len(s.Devices), func(i, j int) { s.Devices[i], s.Devices[j] = s.Devices[j], s.Devices[i] })
		shuffle("ties", len(s.Ties), func(i, j int) { s.Ties[i], s.Ties[j] = s.Ties[j], s.Ties[i] })
		for k := range s.Splices {
			join := s.Splices[k].Join
			shuffle("join", len(join), func(i, j int) { join[i], join[j] = join[j], join[i] })
		}
		v, err := wiring.New(s)
		if err != nil {
			rt.Fatal(err)
		}
		if a, b := print(w), print(v); a != b {
			rt.Fatalf("listed in another order the answer is another:\n%s\n%s", a, b)
		}
	})
}
