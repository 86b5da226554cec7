package trace

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// A Ring is one continuity test of a ring-out.
type Ring struct {
	// Between are two things in one box, the ends of wires or a metal box itself, or the
	// ends of one wire in its two boxes, which takes a long lead.
	Between [2]switchnet.Terminal
	// Want is what a sound job gives, Joined or Open.
	Want Path
	// Exposes are the faults that this test exposes and no test before it does, in the
	// order of miswire.List.
	Exposes []miswire.Fault
}

// A RingOut is the tests of a job before any device is fitted.
type RingOut struct {
	Rings []Ring
	// Hidden are the faults that no test of the sort exposes: two ends exchanged that
	// are in no splice yet; what is done on a terminal that is fitted later; a cut in a
	// cable whose far end is not known; and two conductors joined that are joined
	// somewhere else as well, such as two neutrals that make a ring: nothing but
	// looking into the splice shows that.
	Hidden []miswire.Fault
}

// ringed are the kinds of fault that are there before a device is.
var ringed = [...]miswire.Kind{miswire.WiresExchanged, miswire.SpliceOpened, miswire.SplicedWrong, miswire.OtherNeutral,
	miswire.ConductorCut, miswire.GroundOpened, miswire.GroundUsed, miswire.Tied}

// RingOutOf returns continuity tests, no supply connected and no device, light or breaker
// fitted, that between them expose every single conductor that is cut, touches another or
// its metal box, or is exchanged with another of its box, and every splice opened or made
// wrong, while the wall is still open; what they cannot is in Hidden. Each
// is the test that exposes most of what those before it do not, the first of equals in
// the order of boxes, then of cables; there may be a list with fewer. A context that ends
// is an error.
//
// It is work on conductors that are connected to nothing: see that they are, and prove
// them dead all the same.
func RingOutOf(ctx context.Context, w *wiring.Wiring) (RingOut, error) {
	if err := w.Check(); err != nil {
		return RingOut{}, fmt.Errorf("trace: %w", err)
	}
	bare := w
	spec := w.Spec()
	for t := range w.Net().Terminals() {
		owner := t.Owner()
		fitted := slices.ContainsFunc(spec.Devices, func(d wiring.Device) bool { return owner == switchnet.Ref{Place: d.Box, Name: d.Name} }) ||
			slices.ContainsFunc(spec.Lights, func(l wiring.Light) bool { return owner == switchnet.Ref{Place: l.Box, Name: l.Name} }) ||
			slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return owner == switchnet.Ref{Place: f.Box, Name: f.Name} })
		if !fitted {
			continue
		}
		// A terminal with nothing on it has nothing to be cleared.
		if v, err := bare.Apply(wiring.ClearTerminal{Of: owner, Terminal: t.Name}); err == nil {
			bare = v
		}
	}
	opt := Options{Effort: new(Effort), States: int(^uint(0) >> 1)}
	f, err := newFrame(bare, nil, &opt)
	if err != nil {
		return RingOut{}, err
	}
	travel, err := newTravel(bare, f, &opt)
	if err != nil {
		return RingOut{}, err
	}
	wire := make([]bool, len(f.points))
	for _, b := range travel.names {
		if travel.boxes[b].Metal {
			if p, ok := f.point(switchnet.Terminal{Place: b, Device: "box", Name: "ground"}); ok {
				wire[p] = true
			}
		}
		for _, e := range bare.Ends(b) {
			if p, ok := f.point(e.Wire.In(b)); ok {
				wire[p] = true
			}
		}
	}
	var pairs []pair
	for _, st := range (&Case{w: bare, f: f, travel: travel}).stations() {
		for _, at := range st.pairs {
			if wire[at.p] && wire[at.q] {
				pairs = append(pairs, at)
			}
		}
	}
	metal := func(v *wiring.Wiring) []uint16 {
		c := f.circuit(v.Net())
		return f.reader(&model{c, c}).ways(c, 0).metal
	}
	sound := metal(bare)
	var out RingOut
	var faults []miswire.Fault
	var exposed [][]bool // by fault and pair
	for _, x := range miswire.List(bare) {
		if err := ctx.Err(); err != nil {
			return RingOut{}, err
		}
		if !slices.Contains(ringed[:], x.Kind) {
			continue
		}
		v, err := x.Apply(bare)
		if err != nil {
			return RingOut{}, err
		}
		m := metal(v)
		row, some := make([]bool, len(pairs)), false
		for i, at := range pairs {
			row[i] = (m[at.p] == m[at.q]) != (sound[at.p] == sound[at.q])
			some = some || row[i]
		}
		if !some {
			out.Hidden = append(out.Hidden, x)
			continue
		}
		faults, exposed = append(faults, x), append(exposed, row)
	}
	for len(faults) > 0 {
		best, most := 0, 0
		for i := range pairs {
			n := 0
			for _, row := range exposed {
				if row[i] {
					n++
				}
			}
			if n > most {
				best, most = i, n
			}
		}
		at := pairs[best]
		r := Ring{Between: [2]switchnet.Terminal{f.points[at.p], f.points[at.q]}, Want: Open}
		if sound[at.p] == sound[at.q] {
			r.Want = Joined
		}
		var left []miswire.Fault
		var rows [][]bool
		for i, x := range faults {
			if exposed[i][best] {
				r.Exposes = append(r.Exposes, x)
			} else {
				left, rows = append(left, x), append(rows, exposed[i])
			}
		}
		faults, exposed = left, rows
		out.Rings = append(out.Rings, r)
	}
	return out, nil
}
