package trace

import (
	"fmt"
	"slices"
)

// hunt is what a walk runs after: pairs of a fault in some setting and the sound job in
// some setting that have looked alike so far.
type hunt struct {
	c *Case
	// next gives for a pair and a switch the pair after its flip, -1 if the two then
	// look different.
	next   [][]int32
	start  []int32 // in order
	hidden []string
	unseen map[int]bool // classes that are not seen from where a switch is
}

// quarry is something to expose: a class, or something else by its place in
// WalkOptions.Also.
type quarry struct {
	class, also int // -1 for none
	looks       []uint16
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
	var rows []quarry
	hidden := make([]bool, len(o.Also))
	for i := range c.classes {
		if c.classes[i].Seen {
			rows = append(rows, quarry{i, -1, c.classes[i].looks})
		}
	}
	for k, v := range o.Also {
		row, err := c.looksOf(v, number)
		if err != nil {
			errs.add(fmt.Sprintf("WalkOptions.Also[%d]", k), "%s: %v", v.Says, err)
			continue
		}
		if c.sameLooks(&class{looks: row}, &c.classes[c.sound]) {
			hidden[k] = true
			continue
		}
		rows = append(rows, quarry{-1, k, row})
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
	h := &hunt{c: c, unseen: map[int]bool{}}
	alike := c.alike(number)
	first := make([]int, len(rows)+1) // pair of each row, and how many there are
	for r, row := range rows {
		b := c.blocks(row.looks)
		base := len(h.next)
		first[r+1] = base + len(b.look)*len(sound.look)
		id := func(y, z int32) int32 { return int32(base) + y*int32(len(sound.look)) + z }
		for y := range int32(len(b.look)) {
			for z := range int32(len(sound.look)) {
				to := make([]int32, len(sp.switches))
				for i, sw := range sp.switches {
					to[i] = -1
					if y, z := b.next[y][i], sound.next[z][i]; b.known[y] == sound.known[z] && alike(sw.Place, b.look[y], sound.look[z]) {
						to[i] = id(y, z)
					}
				}
				h.next = append(h.next, to)
				if b.known[y] == sound.known[z] && alike(o.From, b.look[y], sound.look[z]) && fits(sound.look[z]) {
					h.start = append(h.start, id(y, z))
				}
			}
		}
	}
	// A pair that looks alike for ever is exposed by no walk: it is the sound job with
	// handles the other way round, or where lights are not seen from everywhere something
	// that is seen from no switch.
	need := h.needs()
	for _, n := range h.start {
		if need[n] < never || c.travel.seen == nil {
			continue
		}
		after, _ := slices.BinarySearch(first, int(n)+1)
		if row := rows[after-1]; row.also >= 0 {
			hidden[row.also] = true
		} else {
			h.unseen[row.class] = true
		}
	}
	h.start = slices.DeleteFunc(h.start, func(n int32) bool { return need[n] >= never })
	for k, v := range o.Also {
		if hidden[k] {
			h.hidden = append(h.hidden, v.Says)
		}
	}
	return h, nil
}

// alike returns whether two sights, by number, look alike from a box.
func (c *Case) alike(number map[sight]uint16) func(box string, a, b uint16) bool {
	if c.travel.seen == nil {
		return func(_ string, a, b uint16) bool { return a == b }
	}
	all := make([]sight, len(number))
	for s, n := range number {
		all[n] = s
	}
	return func(box string, a, b uint16) bool {
		x, y := all[a], all[b]
		if x.trip || y.trip {
			return x.trip == y.trip
		}
		sees := c.travel.sees(box)
		for i := range x.look {
			if (sees == nil || sees[i]) && x.look[i] != y.look[i] {
				return false
			}
		}
		return true
	}
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
	look  []uint16
	known []int32 // where the handles that are known stand
	next  [][]int32
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
			b.known = append(b.known, int32(y>>sp.bits))
			b.next = append(b.next, next)
		}
		return b
	}
}
