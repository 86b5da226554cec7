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
// equally short ones it need not be the one with least effort. Unknown names, a start in which a sound job cannot be, and a
// context that ends are errors.
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
		if k := &c.classes[i]; !k.Seen && !k.Sound {
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

// hunt is what a walk runs after: pairs of a fault in some setting and the sound job in
// some setting that have looked alike so far.
type hunt struct {
	c *Case
	// next gives for a pair and a switch the pair after its flip, -1 if the two then
	// look different.
	next   [][]int32
	start  []int32 // in order
	hidden []string
}

func (c *Case) hunt(o *WalkOptions) (*hunt, error) {
	sp := c.f.sp
	var errs Errors
	if _, ok := c.travel.boxes[o.From]; o.From != "" && !ok {
		errs.add("WalkOptions.From", "the job has no box %q", o.From)
	}
	number := map[sight]uint16{}
	for n, s := range c.sights {
		number[s] = uint16(n)
	}
	var rows [][]uint16
	var hidden []string
	for i := range c.classes {
		if c.classes[i].Seen {
			rows = append(rows, c.classes[i].looks)
		}
	}
	for k, v := range o.Also {
		row, err := c.looksOf(v, number)
		if err != nil {
			errs.add(fmt.Sprintf("WalkOptions.Also[%d]", k), "%s: %v", v.Says, err)
			continue
		}
		if c.sameLooks(&class{looks: row}, &c.classes[c.sound]) {
			hidden = append(hidden, v.Says)
			continue
		}
		rows = append(rows, row)
	}
	fits := func(uint16) bool { return true }
	if o.Start != nil {
		at := make([]int, len(o.Start))
		for k, l := range o.Start {
			i, ok := c.f.light(l.Light)
			if !ok {
				errs.add(fmt.Sprintf("WalkOptions.Start[%d]", k), "the job has no light %s", l.Light)
			}
			at[k] = i
		}
		fits = func(n uint16) bool {
			if int(n) >= len(c.sights) || c.sights[n].trip {
				return false
			}
			for k, l := range o.Start {
				if Glow(c.sights[n].look[at[k]]) != l.Glow {
					return false
				}
			}
			return true
		}
	}
	if len(errs) > 0 {
		return nil, errs
	}
	sound := c.blocks(c.classes[c.sound].looks)
	if !slices.ContainsFunc(sound.look, fits) {
		return nil, Errors{{"WalkOptions.Start", "a sound job never looks like that"}}
	}
	h := &hunt{c: c, hidden: hidden}
	for _, row := range rows {
		b := c.blocks(row)
		base := len(h.next)
		id := func(y, z int32) int32 { return int32(base) + y*int32(len(sound.look)) + z }
		for y := range int32(len(b.look)) {
			for z := range int32(len(sound.look)) {
				to := make([]int32, len(sp.switches))
				for i := range to {
					to[i] = -1
					if y, z := b.next[y][i], sound.next[z][i]; b.seen[y] == sound.seen[z] {
						to[i] = id(y, z)
					}
				}
				h.next = append(h.next, to)
				if b.seen[y] == sound.seen[z] && fits(b.look[y]) {
					h.start = append(h.start, id(y, z))
				}
			}
		}
	}
	// A pair that looks alike for ever is exposed by no walk: it is the sound job with
	// handles the other way round.
	need := h.needs()
	h.start = slices.DeleteFunc(h.start, func(n int32) bool { return need[n] >= neverNeeded })
	return h, nil
}

// looksOf returns what a variant looks like in every setting. A sight that no class of
// the case has gets a number of its own.
func (c *Case) looksOf(v Variant, number map[sight]uint16) ([]uint16, error) {
	var errs Errors
	if v.Net == nil {
		return nil, Errors{{"Variant.Net", "is not set"}}
	}
	for i, r := range c.f.sp.switches {
		d, ok := v.Net.Device(r)
		if !ok || len(d.Kind.Positions) != c.f.sp.radix[i] {
			errs.add("Variant.Net", "has no switch %s with %d positions", r, c.f.sp.radix[i])
		}
	}
	for _, l := range c.f.lights {
		if _, ok := v.Net.Load(l.Ref); !ok {
			errs.add("Variant.Net", "has no light %s", l.Ref)
		}
	}
	if len(errs) > 0 {
		return nil, errs
	}
	k := c.f.circuit(v.Net)
	r := c.f.reader(&model{k, k})
	out := make([]uint16, c.f.sp.size)
	for y := range out {
		x, err := r.read(y, false)
		if err != nil {
			return nil, err
		}
		s := sight{string(x.look), x.trip}
		n, ok := number[s]
		if !ok {
			n = uint16(len(number))
			number[s] = n
		}
		out[y] = n
	}
	return out, nil
}

// blocks are settings that look the same now and after any flips: the lights, and those
// handles of which it is known which way is up.
type blocks struct {
	look []uint16
	seen []int32 // look, and where the handles that are known stand
	next [][]int32
}

// blocks sorts settings into the fewest blocks, by splitting those whose settings go on
// differently until none do (Moore, Gedanken-experiments on sequential machines, 1956).
func (c *Case) blocks(looks []uint16) blocks {
	sp := c.f.sp
	seen := make([]int32, sp.size)
	for y, l := range looks {
		seen[y] = int32(l)*int32(sp.size>>sp.bits) + int32(y>>sp.bits)
	}
	of := slices.Clone(seen)
	count := 0
	for {
		at := map[string]int32{}
		to := make([]int32, sp.size)
		var rep []int
		for y := range of {
			key := fmt.Appendf(nil, "%d", of[y])
			for i := range sp.switches {
				key = fmt.Appendf(key, ",%d", of[sp.moved(y, i)])
			}
			n, ok := at[string(key)]
			if !ok {
				n = int32(len(rep))
				at[string(key)] = n
				rep = append(rep, y)
			}
			to[y] = n
		}
		of = to
		if len(rep) > count {
			count = len(rep)
			continue
		}
		b := blocks{}
		for _, y := range rep {
			next := make([]int32, len(sp.switches))
			for i := range next {
				next[i] = of[sp.moved(y, i)]
			}
			b.look = append(b.look, looks[y])
			b.seen = append(b.seen, seen[y])
			b.next = append(b.next, next)
		}
		return b
	}
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
