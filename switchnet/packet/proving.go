package packet

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/miswire"
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
	// Readings are what exposes the faults that no flip of the walk shows.
	Readings Readings `json:"readings"`
	// Findings are what package check finds, the worst first; NotAsked is how many of its
	// rules the region has no figures for. FindingsProblem says why there is no answer.
	Findings []Finding `json:"findings"`
	NotAsked int       `json:"findings_not_asked,omitzero"`
	// Doubts are what the rules cannot tell of the job, in sentences: for the inspector.
	Doubts          []string `json:"findings_doubts,omitempty"`
	FindingsProblem string   `json:"findings_problem,omitzero"`
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
	maxSettings   = 256 // of all switches, for a walk of the whole job
)

// maxWork is how much work goes into the walks and readings of a packet, in the unit of
// workOf, about a microsecond: once for the whole job, and again for the controls by
// themselves.
const maxWork = 2_000_000

// workOf is what it takes to work out how a job behaves with each of its single faults in
// each setting of its switches, as it was measured, and false if it is more than left. The
// job is not solved for that; its faults are counted.
func workOf(w *wiring.Wiring, left int) (int, bool) {
	spec := w.Spec()
	settings, wires := 1, 0
	for i := range spec.Devices {
		if settings *= max(len(spec.Devices[i].Kind.Positions), 1); settings > maxSettings {
			return 0, false
		}
	}
	for i := range spec.Cables {
		wires += len(spec.Cables[i].Type.Cores)
	}
	each := wires * (12 + settings/12)
	if each*wires > left { // there are more faults than wires
		return 0, false
	}
	work := each * len(miswire.List(w))
	return work, work <= left
}

// proving works out the lists. An error means that the context ended.
func (s *sheets) proving(ctx context.Context, controls []intent.Control) (*Proving, error) {
	p := &Proving{Rings: []Ring{}, Walks: []Walk{}, Energizing: []Energized{}, Readings: Readings{Readings: []Reading{}, Hidden: []string{}}}
	if n := len(s.spec.Cables); n > maxRingCables {
		p.RingProblem = fmt.Sprintf("the list is worked out for jobs of up to %d cables, and this one has %d: with nothing fitted, ring every conductor end to end, each splice through, and each conductor of a box to every other that it is not joined to", maxRingCables, n)
	} else if out, err := trace.RingOutOf(ctx, s.w); ctx.Err() != nil {
		return nil, ctx.Err()
	} else if err != nil {
		p.RingProblem = err.Error()
	} else {
		p.Rings = s.rings(out.Rings)
	}
	if err := s.whole(ctx, p); err != nil || len(p.Walks) > 0 {
		return p, err
	}
	b := &budget{left: maxWork, known: map[string]foundWalk{}}
	for i := range controls {
		w, err := s.walk(ctx, &controls[i], b)
		if err != nil {
			return nil, err
		}
		if w != nil {
			p.Walks = append(p.Walks, *w)
		}
	}
	return p, nil
}

// rings puts the tests in the order in which they are walked: box by box, then from box to
// box; in each the one lead stays on a wire until all that is told from there is told, in
// the order of the schedule, what is joined before what is not.
func (s *sheets) rings(all []trace.Ring) []Ring {
	box := map[string]int{}
	for i, b := range s.spec.Boxes {
		box[b.Name] = i
	}
	type wire struct{ cable, colour string }
	number := map[wire]int{} // the grounding screw of a box is none, and comes first
	for _, c := range s.spec.Cables {
		for _, core := range c.Type.Cores {
			number[wire{c.Name, core.Colour.String()}] = len(number) + 1
		}
	}
	of := func(t switchnet.Terminal) int { return number[wire{t.Device, t.Name}] }
	out := make([]Ring, len(all))
	keys := make([][4]int, len(all))
	order := make([]int, len(all))
	end := func(t switchnet.Terminal) RingEnd { return RingEnd{t.Place, t.Device + "." + t.Name} }
	for i, r := range all {
		a, b := r.Between[0], r.Between[1]
		station := len(box)
		if a.Place == b.Place {
			station = box[a.Place]
		}
		if of(b) < of(a) {
			a, b = b, a
		}
		open := 0
		if r.Want != trace.Joined {
			open = 1
		}
		order[i], out[i], keys[i] = i, Ring{end(a), end(b), r.Want}, [4]int{station, of(a), open, of(b)}
	}
	slices.SortStableFunc(order, func(i, j int) int { return slices.Compare(keys[i][:], keys[j][:]) })
	sorted := make([]Ring, len(all))
	for k, i := range order {
		sorted[k] = out[i]
	}
	return sorted
}

// whole works out the proving walk and the readings of the whole job, or says why there are
// no readings. There is no walk if there are none, or if no flip changes anything.
func (s *sheets) whole(ctx context.Context, p *Proving) error {
	if _, ok := workOf(s.w, maxWork); !ok {
		p.Readings.Problem = fmt.Sprintf("they are worked out for a job as a whole, and this one is too large for that (more than %d settings of all switches, or too many conductors). What no flip shows is then shown by nothing here but the ring-out list and the dead tests of the checklist", maxSettings)
		return nil
	}
	k, err := trace.New(ctx, s.w, &trace.Options{States: maxSettings})
	if err != nil {
		p.Readings.Problem = err.Error()
		return ctx.Err()
	}
	found, err := walkOf(ctx, k)
	if err != nil {
		p.Readings.Problem = err.Error()
		return ctx.Err()
	}
	proof, err := k.Prove(ctx)
	if err != nil {
		p.Readings.Problem = err.Error()
		return ctx.Err()
	}
	p.Readings = readings(&proof, found.Unseen)
	if len(found.Flips) == 0 {
		return nil
	}
	out := Walk{Lights: []string{}, Flips: []Flip{}, Shortest: found.Shortest,
		Says: exposes("the job", len(found.Hidden))}
	for _, l := range s.spec.Lights {
		out.Lights = append(out.Lights, l.Name)
	}
	for _, r := range found.Flips {
		out.Flips = append(out.Flips, Flip{r.Place, r.Name})
	}
	p.Walks = append(p.Walks, out)
	return nil
}

// budget is what is left for the walks of controls by themselves, and the walks that were
// found, by the job of one control, renamed.
type budget struct {
	left  int
	known map[string]foundWalk
}

type foundWalk struct {
	flips    []switchnet.Ref
	shortest bool
	hidden   int // pairs of conductors of which no flip shows that they touch
}

// walk returns the proving walk of a control, nil if it has no switch. It is sought for the
// control by itself: what else is in its boxes is left out.
func (s *sheets) walk(ctx context.Context, c *intent.Control, b *budget) (*Walk, error) {
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
	why := fmt.Sprintf("the control has more than %d places", maxWalkPlaces)
	if len(switches) <= maxWalkPlaces {
		found, err := s.shortest(ctx, c, switches, b)
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case err == nil && len(found.flips) >= len(switches):
			flips(found.flips)
			out.Shortest = found.shortest
			out.Says = exposes("the control's own conductors and devices", found.hidden)
			return out, nil
		case errors.Is(err, errWork):
			why = errWork.Error()
		default:
			why = "the control by itself does not work as it is drawn"
		}
	}
	flips(switches)
	flips(switches)
	out.Says = "it moves every handle both ways; whether it exposes every single fault was not worked out, for " + why
	return out, nil
}

var errWork = errors.New("that takes more work than a packet spends on its walks")

// shortest looks for the walk on a wiring in which there is nothing but the control. What was
// found for a control that is wired alike is not looked for again.
func (s *sheets) shortest(ctx context.Context, c *intent.Control, switches []switchnet.Ref, b *budget) (foundWalk, error) {
	spec := alone(s.spec, c, switches)
	was := renamed(&spec)
	key := fmt.Sprintf("%+v", spec)
	known, ok := b.known[key]
	if !ok {
		w, err := wiring.New(spec)
		if err != nil {
			return foundWalk{}, err
		}
		work, ok := workOf(w, b.left)
		if !ok {
			return foundWalk{}, errWork
		}
		b.left -= work
		k, err := trace.New(ctx, w, nil)
		if err != nil {
			return foundWalk{}, err
		}
		found, err := walkOf(ctx, k)
		if err != nil {
			return foundWalk{}, err
		}
		known = foundWalk{found.Flips, found.Shortest, len(found.Hidden)}
		b.known[key] = known
	}
	out := known
	out.flips = make([]switchnet.Ref, len(known.flips))
	for i, r := range known.flips {
		out.flips[i] = was[r]
	}
	return out, nil
}

// walkOf returns the proving walk of a job, which proves as well that no two conductors
// touch along their runs.
func walkOf(ctx context.Context, k *trace.Case) (trace.Walk, error) {
	also, err := trace.Touching(ctx, k.Wiring())
	if err != nil {
		return trace.Walk{}, err
	}
	return k.Walk(ctx, &trace.WalkOptions{Also: also})
}

// exposes says what a walk exposes, of what, and how many pairs of conductors that touch it
// does not.
func exposes(what string, hidden int) string {
	says := "it exposes every single fault of " + what + " that its lights betray, and where two conductors touch along their runs"
	switch hidden {
	case 0:
		return says
	case 1:
		return says + ", but for one pair, which a test of each conductor to every other shows, dead and with nothing fitted"
	}
	return fmt.Sprintf("%s, but for %d pairs, which a test of each conductor to every other shows, dead and with nothing fitted", says, hidden)
}
