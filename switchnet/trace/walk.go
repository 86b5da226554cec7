package trace

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"example.com/switchleg/switchnet"
)

// DefaultWidth is how many ways to have come a search for a walk goes on from.
const DefaultWidth = 20_000

// A Variant is the job with something wrong that no edit of a wiring says, such as a
// staple through two cables.
type Variant struct {
	Says string
	// Net has the switches and lights of the job.
	Net *switchnet.Net
}

// WalkOptions say what a walk is to prove. The zero value, or nil, is a walk from any
// start.
type WalkOptions struct {
	// Start is what the lights are seen to do before the first flip; nil means that
	// the walk must do from any start.
	Start []Seen
	// Also lists what to expose beside the faults of the case.
	Also []Variant
	// From is the box in which the person is; empty means nowhere in particular.
	From string
	// Width is how many ways to have come the search goes on from; 0 means
	// DefaultWidth, and fewer on a job of many switches, where each takes long.
	Width int
}

// A Walk is a sequence of single flips, the lights looked at before the first and after
// each.
type Walk struct {
	// Flips are the switches to move, in order, each to its next position.
	Flips []switchnet.Ref
	// Shortest reports that no walk with fewer flips does it. Otherwise the search met
	// its width.
	Shortest bool
	Effort   time.Duration
	// Unseen are the classes that no flip shows, but for the sound one, in their
	// order: these take readings.
	Unseen []Class
	// Hidden lists the variants that no flip shows, in the order given.
	Hidden []string
}

// Walk returns the shortest sequence of single flips that exposes every fault which a
// light or a breaker betrays at all: in some step the lights do what they do not in a
// sound job, however the handles were mounted and wherever they stood. Of equally short
// ones it is one that takes least effort in walking, then the first in the order of the
// switches.
//
// It is a walk with the circuit energized, and what it exposes may be a bolted fault:
// it proves what was rung out dead before.
//
// The search goes through sets of what is not yet exposed, one flip after the other. It
// is exact until a layer has more than WalkOptions.Width sets; from then on it keeps
// those that leave least, and then looks through all walks that are shorter, as far as a
// thousand flips for each of the width go: what it finds is as short as said, but of
// equally short ones it need not be the one with least effort. A light counts where it is
// seen from the switch that was just moved, and at the start from WalkOptions.From; what
// is then seen from nowhere is in Walk.Unseen too. Unknown names, a start in which a
// sound job cannot be, and a context that ends are errors.
func (c *Case) Walk(ctx context.Context, opt *WalkOptions) (Walk, error) {
	var o WalkOptions
	if opt != nil {
		o = *opt
	}
	h, err := c.hunt(&o)
	if err != nil {
		return Walk{}, err
	}
	steps := 1000 * o.Width
	if o.Width == 0 {
		o.Width, steps = h.room()
	}
	w := Walk{Hidden: h.hidden}
	for i := range c.classes {
		if k := &c.classes[i]; !k.Sound && (!k.Seen || h.unseen[i]) {
			w.Unseen = append(w.Unseen, k.Class)
		}
	}
	flips, effort, exact, err := h.search(ctx, o.From, o.Width)
	if err != nil {
		return Walk{}, err
	}
	for !exact && len(flips) > 0 {
		less, done := h.shorter(ctx, len(flips)-1, steps)
		if err := ctx.Err(); err != nil {
			return Walk{}, err
		}
		if less == nil {
			exact = done
			break
		}
		flips, effort = less, h.effort(less, o.From)
	}
	w.Effort, w.Shortest = effort, exact
	for _, i := range flips {
		w.Flips = append(w.Flips, c.f.sp.switches[i])
	}
	return w, nil
}

// room returns the width and the number of flips of a search that is not told them: the
// defaults, or fewer where there is much to go through in each step.
func (h *hunt) room() (width, steps int) {
	const most = 500_000 // pairs, in one layer
	each := max(1, len(h.start)*len(h.c.f.sp.switches))
	width = min(DefaultWidth, max(8, most/each))
	return width, min(1000*width, 50*most/max(1, len(h.start)))
}

// way is a way to have come: what is left, where the person is, and how it came.
type way struct {
	left   []int32 // in order
	where  string
	effort time.Duration
	last   int // switch
	from   *way
}

// search goes through ever longer walks.
func (h *hunt) search(ctx context.Context, from string, width int) (flips []int, effort time.Duration, exact bool, err error) {
	t := h.c.travel
	exact = true
	layer := []*way{{left: h.start, where: from, effort: t.effort.Look}}
	for depth := 0; ; depth++ {
		var done *way
		for _, w := range layer {
			if len(w.left) == 0 && (done == nil || w.effort < done.effort) {
				done = w
			}
		}
		if done != nil {
			for w := done; w.from != nil; w = w.from {
				flips = append(flips, w.last)
			}
			slices.Reverse(flips)
			return flips, done.effort, exact, nil
		}
		seen := map[string]*way{}
		var next []*way
		for _, w := range layer {
			if err := ctx.Err(); err != nil {
				return nil, 0, false, err
			}
			for i, r := range h.c.f.sp.switches {
				left := h.flip(w.left, i)
				effort := w.effort + t.trip(w.where, r.Place) + t.effort.Flip + t.effort.Look
				key := fmt.Sprint(r.Place, left)
				if old := seen[key]; old != nil {
					if effort < old.effort {
						old.effort, old.last, old.from = effort, i, w
					}
					continue
				}
				n := &way{left, r.Place, effort, i, w}
				seen[key] = n
				next = append(next, n)
			}
		}
		if len(next) > width {
			exact = false
			slices.SortStableFunc(next, func(a, b *way) int {
				return cmp.Or(cmp.Compare(len(a.left), len(b.left)), cmp.Compare(a.effort, b.effort))
			})
			next = next[:width]
		}
		layer = next
	}
}

// effort returns what a walk takes.
func (h *hunt) effort(flips []int, from string) time.Duration {
	t := h.c.travel
	out := t.effort.Look
	for _, i := range flips {
		box := h.c.f.sp.switches[i].Place
		out += t.trip(from, box) + t.effort.Flip + t.effort.Look
		from = box
	}
	return out
}

// flip returns what still looks alike after a flip, in order.
func (h *hunt) flip(left []int32, i int) []int32 {
	out := make([]int32, 0, len(left))
	for _, n := range left {
		if m := h.next[n][i]; m >= 0 {
			out = append(out, m)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
