package trace_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// stripped returns a job with nothing fitted, as plain data.
func stripped(w *wiring.Wiring) wiring.Spec {
	s := w.Spec()
	s.Landings, s.Devices, s.Lights, s.Feeds = nil, nil, nil, nil
	for i := range s.Splices {
		s.Splices[i].Join = slices.DeleteFunc(s.Splices[i].Join, func(j wiring.Joint) bool { return j.Device != "" && j.Device != "box" })
	}
	s.Splices = slices.DeleteFunc(s.Splices, func(p wiring.Splice) bool { return len(p.Join) == 0 })
	// What touches a device does not before it is fitted.
	s.Ties = slices.DeleteFunc(s.Ties, func(x wiring.Tie) bool {
		return x.A.Device != "" && x.A.Device != "box" || x.B.Device != "" && x.B.Device != "box"
	})
	return s
}

// TestRingOut holds that the list passes a sound job and fails each one with a conductor
// cut, two that touch in a box, or two wires of a box exchanged, read by package switchnet
// off wirings stripped here of all that is fitted. A job whose wires' ends are joined as
// in a sound one, every end to every other, is none of these.
func TestRingOut(t *testing.T) {
	for _, r := range []struct {
		name string
		w    *wiring.Wiring
		step int // of the pairs that touch or are exchanged
	}{
		{"2 places", chain(t, 2), 1}, {"3 places", chain(t, 3), 1}, {"4 places", chain(t, 4), 1}, {"6 places", chain(t, 6), 3},
		{"cottage", cottage(t), 1}, {"boat shed", shed(t), 9},
	} {
		if *long {
			r.step = 1
		}
		out, err := trace.RingOutOf(context.Background(), r.w)
		if err != nil {
			t.Fatal(err)
		}
		s := stripped(r.w)
		sound, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		passes := func(v *wiring.Wiring) bool {
			for _, x := range out.Rings {
				if v.Net().Joined(x.Between[0], x.Between[1]) != (x.Want == trace.Joined) {
					return false
				}
			}
			return true
		}
		if !passes(sound) {
			t.Fatalf("%s: a sound job fails", r.name)
		}
		var ends []switchnet.Terminal
		for _, b := range s.Boxes {
			for _, e := range sound.Ends(b.Name) {
				ends = append(ends, e.Wire.In(b.Name))
			}
		}
		// alike reports whether every end is joined to the ends it is joined to in the
		// sound job: an oracle that knows nothing of the list.
		alike := func(v *wiring.Wiring) bool {
			for i, p := range ends {
				for _, q := range ends[i+1:] {
					if v.Net().Joined(p, q) != sound.Net().Joined(p, q) {
						return false
					}
				}
			}
			return true
		}
		// What is hidden has to do with something that is fitted later, exchanges two ends
		// that are in no splice yet, or leaves all ends joined as they were.
		for _, x := range out.Hidden {
			if x.Kind != miswire.ConductorCut && x.Kind != miswire.Tied && x.Kind != miswire.SpliceOpened && x.Kind != miswire.SplicedWrong {
				continue
			}
			if v, err := x.Apply(sound); err != nil || !alike(v) {
				t.Errorf("%s: hidden: %s", r.name, x.Says)
			}
		}
		cut, tied, crossed, harmless := 0, 0, 0, 0
		fails := func(n *int, what string, e wiring.Edit) {
			v, err := sound.Apply(e)
			if err != nil {
				return // it cannot be made
			}
			*n++
			if !passes(v) {
				return
			}
			if !alike(v) {
				t.Errorf("%s: %s, and the list passes", r.name, what)
			}
			harmless++
		}
		for _, c := range s.Cables {
			for _, a := range c.Type.Cores {
				one := wiring.Wire{Cable: c.Name, Conductor: a.Colour.String()}
				if slices.Contains(s.Opens, one) || c.To == "" {
					continue
				}
				fails(&cut, one.String()+" is cut", wiring.Cut{Wire: one})
			}
		}
		n := 0
		for _, b := range s.Boxes {
			in := sound.Ends(b.Name)
			for i, x := range in {
				for _, y := range in[i+1:] {
					if n++; n%r.step != 0 {
						continue
					}
					what := fmt.Sprintf("%s and %s in box %s ", x.Wire, y.Wire, b.Name)
					fails(&tied, what+"touch", wiring.TieJoints{Box: b.Name, A: wiring.Joint{Wire: x.Wire}, B: wiring.Joint{Wire: y.Wire}})
					fails(&crossed, what+"are exchanged", wiring.SwapWires{Box: b.Name, A: x.Wire, B: y.Wire})
				}
			}
		}
		t.Logf("%s: %d tests, %d faults hidden; %d cut, %d touching and %d exchanged tried, %d of them as good as none", r.name, len(out.Rings), len(out.Hidden), cut, tied, crossed, harmless)
		if cut == 0 || tied == 0 || crossed == 0 || len(out.Rings) == 0 {
			t.Errorf("%s: nothing was tried", r.name)
		}
		for _, x := range out.Rings {
			for _, p := range x.Between {
				if !slices.Contains(ends, p) && (p.Device != "box" || p.Name != "ground") {
					t.Errorf("%s: %s is on something that is not fitted yet", r.name, p)
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
