package trace

import (
	"slices"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// storey is how much higher a box must be for stairs to lie between.
const storey = 7 * quantity.Foot

// travel is what it costs to go from box to box, and what lights are seen from where.
type travel struct {
	effort *Effort
	boxes  map[string]wiring.Box
	names  []string          // of the boxes, in name order
	seen   map[string][]bool // lights, by box; nil means all
	panels []string          // boxes with a feed, in name order
}

func newTravel(w *wiring.Wiring, f *frame, opt *Options) (*travel, error) {
	t := &travel{effort: opt.Effort, boxes: map[string]wiring.Box{}}
	for _, b := range w.Spec().Boxes {
		t.boxes[b.Name] = b
		t.names = append(t.names, b.Name)
	}
	slices.Sort(t.names)
	for _, x := range w.Spec().Feeds {
		if !slices.Contains(t.panels, x.Box) {
			t.panels = append(t.panels, x.Box)
		}
	}
	slices.Sort(t.panels)
	if len(opt.Sight) == 0 {
		return t, nil
	}
	var errs Errors
	listed := make([]bool, len(f.lights))
	for _, s := range opt.Sight {
		i, ok := f.light(s.Light)
		if !ok {
			errs.add("Options.Sight", "the job has no light %s", s.Light)
			continue
		}
		if _, ok := t.boxes[s.From]; !ok {
			errs.add("Options.Sight", "the job has no box %q", s.From)
		}
		listed[i] = true
	}
	t.seen = map[string][]bool{}
	for _, n := range t.names {
		sees := make([]bool, len(f.lights))
		for i := range sees {
			sees[i] = !listed[i] || slices.Contains(opt.Sight, Sight{f.lights[i].Ref, n})
		}
		t.seen[n] = sees
	}
	return t, errs.or()
}

// stairs reports whether there are stairs between two boxes: whether one of them is
// more than seven feet higher, where both are placed.
func (t *travel) stairs(from, to string) bool {
	a, b := t.boxes[from], t.boxes[to]
	if !a.Placed || !b.Placed {
		return false
	}
	d := a.At[2] - b.At[2]
	return max(d, -d) > storey
}

// trip returns what it takes to go from one box to another; from nowhere that is said
// it takes one walk.
func (t *travel) trip(from, to string) time.Duration {
	switch {
	case from == to:
		return 0
	case from != "" && t.stairs(from, to):
		return t.effort.Walk + t.effort.Stairs
	}
	return t.effort.Walk
}

// sees returns which lights are seen from a box; nil means all.
func (t *travel) sees(box string) []bool { return t.seen[box] }

// way returns the switches in the order in which it is least to walk to them from a
// box, the nearest first and of equals the first in name order, and what that takes
// with moving each.
func (t *travel) way(from string, refs []switchnet.Ref) ([]switchnet.Ref, time.Duration) {
	rest := slices.Clone(refs)
	var out []switchnet.Ref
	cost := time.Duration(0)
	for len(rest) > 0 {
		best := 0
		for i, r := range rest {
			if t.trip(from, r.Place) < t.trip(from, rest[best].Place) {
				best = i
			}
		}
		cost += t.trip(from, rest[best].Place) + t.effort.Flip
		from = rest[best].Place
		out = append(out, rest[best])
		rest = slices.Delete(rest, best, best+1)
	}
	return out, cost
}
