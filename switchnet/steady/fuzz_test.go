package steady_test

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// FuzzSolve turns bytes into a wiring with mistakes, loads and options from one end
// of their range to the other. Whatever comes, there is no panic, no figure that is
// no number, and a status that is one.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{2, 1, 30, 60, 0, 0, 0, 0, 0, 0, 0, 0})
	f.Add([]byte{3, 2, 200, 255, 7, 3, 9, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19})
	f.Add([]byte{1, 3, 1, 1, 255, 254, 253, 252, 251, 250, 249, 248, 247, 246, 245, 244, 243, 242, 241, 240})
	f.Fuzz(func(t *testing.T, data []byte) {
		at := 0
		next := func(n int) int {
			if at >= len(data) {
				return 0
			}
			at++
			return int(data[at-1]) % n
		}
		// From 1e-9 to 1e9 or so, in steps of ten, or nothing.
		spread := func() int64 {
			p := next(20)
			if p == 0 {
				return 0
			}
			return int64(math.Pow(10, float64(p-1)))
		}
		systems := []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}
		s := chain(t, systems[next(3)], 1+next(3), 1+next(3), quantity.Length(1+next(255))*quantity.Meter, quantity.Power(1+next(255))*quantity.Watt)
		for i := range s.Cables {
			s.Cables[i].Length = 1 + quantity.Length(min(spread(), 1e12))
		}
		w := s.build()
		for range next(5) {
			spec := w.Spec()
			l := spec.Landings[next(len(spec.Landings))]
			c := spec.Cables[next(len(spec.Cables))]
			a := wire(c.Name, c.Type.Cores[next(len(c.Type.Cores))].Colour.String())
			b := wire(c.Name, c.Type.Cores[next(len(c.Type.Cores))].Colour.String())
			edits := []wiring.Edit{wiring.Cut{Wire: a}, wiring.Release{End: wiring.End{Box: l.Box, Wire: l.Wire}},
				wiring.TieJoints{Box: c.From, A: wiring.Joint{Wire: a}, B: wiring.Joint{Wire: b}},
				wiring.MoveLanding{End: wiring.End{Box: c.To, Wire: a}, Device: "aisle", Terminal: "common"}}
			if v, err := w.Apply(edits[next(len(edits))]); err == nil {
				w = v
			}
		}
		o := &steady.Options{Loads: map[switchnet.Ref]steady.Load{}, Contact: quantity.Resistance(spread()), Splice: quantity.Resistance(spread()), Landing: quantity.Resistance(spread()),
			Service:  steady.Service{FaultCurrent: quantity.Current(spread()), Reactive: quantity.Ratio(spread()), LostNeutral: next(2) == 1, Electrode: quantity.Resistance(spread())},
			Coupling: steady.Coupling{None: next(2) == 1, Between: quantity.CapacitancePerLength(spread()), ToGround: quantity.CapacitancePerLength(spread())}}
		var terms []switchnet.Terminal
		for x := range w.Net().Terminals() {
			terms = append(terms, x)
		}
		for l := range w.Net().Loads() {
			if k := next(6); k > 0 {
				o.Loads[l.Ref] = steady.Load{Kind: steady.LoadKind(k), PowerFactor: quantity.Ratio(next(101)) * quantity.Percent,
					Leakage: quantity.Current(spread()), TurnOn: quantity.Voltage(spread()), Cold: quantity.Resistance(spread())}
			}
		}
		for range next(3) {
			o.Branches = append(o.Branches, steady.Branch{Name: string(rune('a' + len(o.Branches))), From: terms[next(len(terms))], To: terms[next(len(terms))],
				Resistance: quantity.Resistance(spread()), Reactance: quantity.Resistance(spread()) * quantity.Resistance(1-2*next(2))})
		}
		if next(3) == 1 {
			o.Sources = []steady.Source{{Name: "other", From: terms[next(len(terms))], To: terms[next(len(terms))], Volts: quantity.Voltage(spread()), Degrees: float64(next(256)), Impedance: quantity.Resistance(spread())}}
		}
		p, err := steady.New(w, usTable(), o)
		if err != nil {
			return
		}
		state := w.Net().Rest()
		for d := range w.Net().Devices() {
			for range next(2) {
				state, _ = state.Flip(d.Ref)
			}
		}
		sol, err := p.Solve(state)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := sol.Status().MarshalText(); err != nil {
			t.Fatal(err)
		}
		sound := func(what string, x complex128) {
			if cmplx.IsNaN(x) || cmplx.IsInf(x) {
				t.Fatalf("%s is %v; status %v", what, x, sol.Notes())
			}
		}
		for l, r := range sol.Loads() {
			sound(l.String(), complex128(r.Volts))
			sound(l.String(), complex128(r.Current))
		}
		for l, c := range sol.Currents() {
			sound(l.String(), complex128(c))
		}
		source, loads, lost := sol.Exact()
		sound("the balance", complex(source, loads+lost))
		if !sol.Status().Figures() {
			return
		}
		red, black := terms[next(len(terms))], terms[next(len(terms))]
		for k := steady.HighImpedance; k <= steady.Proximity; k++ {
			if _, err := sol.Read(steady.Meter{Kind: k}, steady.Probes{Red: red, Black: black}); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := sol.Ohms(steady.Probes{Red: red, Black: black}); err != nil {
			t.Fatal(err)
		}
		for ph := range sol.Phantoms() {
			_ = ph
		}
		if o.Service.FaultCurrent > 0 {
			if _, err := sol.Faults(context.Background()); err != nil {
				t.Fatal(err)
			}
		}
	})
}
