package trace_test

import (
	"context"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestRingOut holds that the list passes a sound job and fails each one with a conductor
// cut or two touching, read by package switchnet off wirings stripped here of all that is
// fitted; and that nothing cut or tied is hidden from it.
func TestRingOut(t *testing.T) {
	for _, places := range []int{2, 3} {
		w := chain(t, places)
		out, err := trace.RingOutOf(context.Background(), w)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%d places: %d tests, %d faults hidden", places, len(out.Rings), len(out.Hidden))
		// What is hidden has to do with something that is fitted later, or exchanges
		// two ends that are in no splice yet.
		for _, x := range out.Hidden {
			if x.Kind == miswire.ConductorCut || x.Kind == miswire.Tied || x.Kind == miswire.SpliceOpened || x.Kind == miswire.SplicedWrong {
				t.Errorf("%d places: hidden: %s", places, x.Says)
			}
		}
		s := w.Spec()
		s.Landings, s.Devices, s.Lights, s.Feeds = nil, nil, nil, nil
		for i := range s.Splices {
			var wires []wiring.Joint
			for _, j := range s.Splices[i].Join {
				if j.Device == "" {
					wires = append(wires, j)
				}
			}
			s.Splices[i].Join = wires
		}
		passes := func(s wiring.Spec) bool {
			v, err := wiring.New(s)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range out.Rings {
				if v.Net().Joined(r.Between[0], r.Between[1]) != (r.Want == trace.Joined) {
					return false
				}
			}
			return true
		}
		if !passes(s) {
			t.Fatalf("%d places: a sound job fails", places)
		}
		wires := 0
		for _, c := range s.Cables {
			for i, a := range c.Type.Cores {
				one := wiring.Wire{Cable: c.Name, Conductor: a.Colour.String()}
				cut := s.Clone()
				cut.Opens = append(cut.Opens, one)
				if passes(cut) {
					t.Errorf("%d places: %s is cut, and the list passes", places, one)
				}
				wires++
				for _, b := range c.Type.Cores[i+1:] {
					tied := s.Clone()
					tied.Ties = append(tied.Ties, wiring.Tie{Box: c.From, A: wiring.WireJoint(c.Name, one.Conductor), B: wiring.WireJoint(c.Name, b.Colour.String())})
					if passes(tied) {
						t.Errorf("%d places: %s and %s touch, and the list passes", places, one, b.Colour)
					}
				}
			}
		}
		if wires == 0 || len(out.Rings) == 0 {
			t.Errorf("%d places: %d wires, %d tests", places, wires, len(out.Rings))
		}
		for _, r := range out.Rings {
			for _, p := range r.Between {
				if p.Device == "hall" || p.Device == "lamp" || p.Owner() == (switchnet.Ref{Place: "panel", Name: "circuit"}) {
					t.Errorf("%s is on something that is not fitted yet", p)
				}
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := trace.RingOutOf(ctx, chain(t, 2)); err == nil {
		t.Error("a context that ended was not noticed")
	}
}
