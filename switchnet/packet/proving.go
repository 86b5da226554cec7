package packet

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Proving is how the work is proven: continuity while the wall is open, and flips once it
// is energized.
type Proving struct {
	// Rings are the continuity tests before any device is fitted: those within a box
	// first, boxes in their order, then those from end to end of a cable, in the order of
	// the cables. RingProblem says why there are none.
	Rings       []Ring `json:"rings"`
	RingProblem string `json:"ring_problem,omitzero"`
	// Walks are the proving walks: one of the whole job where that can be worked out, and
	// otherwise one a control that switches something, in their order.
	Walks []Walk `json:"walks"`
	// Findings are what package check finds, the worst first; NotAsked is how many of its
	// rules the region has no figures for. FindingsProblem says why there is no answer.
	Findings        []Finding `json:"findings"`
	NotAsked        int       `json:"findings_not_asked,omitzero"`
	FindingsProblem string    `json:"findings_problem,omitzero"`
	// Energizing are the tests of each feed before and after its breaker is closed, in
	// the order of the job.
	Energizing []Energized `json:"energizing"`
}

// Ring is one continuity test, between the ends of two wires.
type Ring struct {
	From RingEnd    `json:"from"`
	To   RingEnd    `json:"to"`
	Want trace.Path `json:"want"` // joined or open
}

// RingEnd is the end of a wire, or the metal of a box.
type RingEnd struct {
	Box  string `json:"box"`
	Wire string `json:"wire"` // "C4.red"
}

// Walk is a walk of single flips.
type Walk struct {
	// Control is whose it is; empty for that of the whole job.
	Control string   `json:"control,omitzero"`
	Lights  []string `json:"lights"`
	Flips   []Flip   `json:"flips"`
	// Shortest says that no walk with fewer flips does what Says says of it.
	Shortest bool   `json:"shortest"`
	Says     string `json:"says"`
}

// Flip is a switch to move.
type Flip struct {
	Box    string `json:"box"`
	Device string `json:"device"`
}

// Limits of what is worked out: larger jobs are told why it is not.
const (
	maxRingCables = 40
	maxWalkPlaces = 6
	maxWalks      = 40
	maxSettings   = 256 // of all switches, for a walk of the whole job
)

// proving works out the lists. An error means that the context ended.
func (s *sheets) proving(ctx context.Context, controls []intent.Control) (*Proving, error) {
	p := &Proving{Rings: []Ring{}, Walks: []Walk{}, Energizing: []Energized{}}
	if n := len(s.spec.Cables); n > maxRingCables {
		p.RingProblem = fmt.Sprintf("the list is worked out for jobs of up to %d cables, and this one has %d: with nothing fitted, ring every conductor end to end, each splice through, and each conductor of a box to every other that it is not joined to", maxRingCables, n)
	} else if out, err := trace.RingOutOf(ctx, s.w); ctx.Err() != nil {
		return nil, ctx.Err()
	} else if err != nil {
		p.RingProblem = err.Error()
	} else {
		p.Rings = s.rings(out.Rings)
	}
	if whole, err := s.whole(ctx); err != nil {
		return nil, err
	} else if whole != nil {
		p.Walks = append(p.Walks, *whole)
		return p, nil
	}
	for i := range controls {
		w, err := s.walk(ctx, &controls[i], i < maxWalks)
		if err != nil {
			return nil, err
		}
		if w != nil {
			p.Walks = append(p.Walks, *w)
		}
	}
	return p, nil
}

// rings puts the tests in the order in which they are walked.
func (s *sheets) rings(all []trace.Ring) []Ring {
	box := map[string]int{}
	for i, b := range s.spec.Boxes {
		box[b.Name] = i
	}
	cable := map[string]int{}
	for i, c := range s.spec.Cables {
		cable[c.Name] = i
	}
	all = slices.Clone(all)
	key := func(r trace.Ring) int {
		a, b := r.Between[0], r.Between[1]
		if a.Place == b.Place {
			return box[a.Place]
		}
		return len(box) + cable[a.Device]
	}
	slices.SortStableFunc(all, func(a, b trace.Ring) int { return key(a) - key(b) })
	out := make([]Ring, len(all))
	end := func(t switchnet.Terminal) RingEnd { return RingEnd{t.Place, t.Device + "." + t.Name} }
	for i, r := range all {
		out[i] = Ring{end(r.Between[0]), end(r.Between[1]), r.Want}
	}
	return out
}

// whole returns the proving walk of the whole job, nil if it is not worked out.
func (s *sheets) whole(ctx context.Context) (*Walk, error) {
	k, err := trace.New(ctx, s.w, &trace.Options{States: maxSettings})
	if err != nil {
		return nil, ctx.Err()
	}
	found, err := k.Walk(ctx, nil)
	if err != nil || len(found.Flips) == 0 {
		return nil, ctx.Err()
	}
	out := &Walk{Lights: []string{}, Flips: []Flip{}, Shortest: found.Shortest,
		Says: "it exposes every single fault of the job that its lights betray"}
	for _, l := range s.spec.Lights {
		out.Lights = append(out.Lights, l.Name)
	}
	for _, r := range found.Flips {
		out.Flips = append(out.Flips, Flip{r.Place, r.Name})
	}
	return out, nil
}

// walk returns the proving walk of a control, nil if it has no switch. It is sought for the
// control by itself: what else is in its boxes is left out.
func (s *sheets) walk(ctx context.Context, c *intent.Control, search bool) (*Walk, error) {
	switches, _ := c.Switches(s.w)
	if len(switches) == 0 {
		return nil, nil
	}
	out := &Walk{Control: c.Name, Lights: slices.Clone(c.Lights), Flips: []Flip{}}
	flips := func(refs []switchnet.Ref) {
		for _, r := range refs {
			out.Flips = append(out.Flips, Flip{r.Place, r.Name})
		}
	}
	if search && len(switches) <= maxWalkPlaces {
		found, err := s.shortest(ctx, c, switches)
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case err == nil && len(found.Flips) >= len(switches):
			flips(found.Flips)
			out.Shortest = found.Shortest
			out.Says = "it exposes every single fault of the control's own conductors and devices that its lights betray"
			return out, nil
		}
	}
	flips(switches)
	flips(switches)
	out.Says = "it moves every handle both ways; whether it exposes every single fault was not worked out"
	return out, nil
}

// shortest looks for the walk on a wiring in which there is nothing but the control.
func (s *sheets) shortest(ctx context.Context, c *intent.Control, switches []switchnet.Ref) (trace.Walk, error) {
	w, err := wiring.New(alone(s.spec, c, switches))
	if err != nil {
		return trace.Walk{}, err
	}
	k, err := trace.New(ctx, w, nil)
	if err != nil {
		return trace.Walk{}, err
	}
	return k.Walk(ctx, nil)
}

// alone returns a job without the devices and lights that a control has nothing to do with.
func alone(s wiring.Spec, c *intent.Control, switches []switchnet.Ref) wiring.Spec {
	s = s.Clone()
	gone := map[switchnet.Ref]bool{}
	s.Devices = slices.DeleteFunc(s.Devices, func(d wiring.Device) bool {
		r := switchnet.Ref{Place: d.Box, Name: d.Name}
		gone[r] = !slices.Contains(switches, r)
		return gone[r]
	})
	s.Lights = slices.DeleteFunc(s.Lights, func(l wiring.Light) bool {
		r := switchnet.Ref{Place: l.Box, Name: l.Name}
		if !slices.Contains(c.Lights, l.Name) {
			gone[r] = true
			return true
		}
		return false
	})
	s.Landings = slices.DeleteFunc(s.Landings, func(l wiring.Landing) bool { return gone[switchnet.Ref{Place: l.Box, Name: l.Device}] })
	joint := func(box string, j wiring.Joint) bool {
		return j.Device != "" && gone[switchnet.Ref{Place: box, Name: j.Device}]
	}
	for i := range s.Splices {
		p := &s.Splices[i]
		p.Join = slices.DeleteFunc(p.Join, func(j wiring.Joint) bool { return joint(p.Box, j) })
	}
	s.Splices = slices.DeleteFunc(s.Splices, func(p wiring.Splice) bool { return len(p.Join) < 2 })
	s.Ties = slices.DeleteFunc(s.Ties, func(t wiring.Tie) bool { return joint(t.Box, t.A) || joint(t.Box, t.B) })
	return s
}
