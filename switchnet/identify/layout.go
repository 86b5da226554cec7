package identify

import (
	"cmp"
	"context"
	"fmt"
	"math/bits"
	"slices"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet/wiring"
)

// A layout is one way in which the cables may run: where each unit goes.
type layout struct {
	mate   []int  // the other end of each end, -1 if it is in no open box
	far    []int  // the place at the other end of each unit
	onward []int  // places to which a cable goes on that are not of the job
	feedAt []bool // feeds that have a cable of their own
	runs   []run
	comp   []uint64 // of each place: the places it hangs together with
	weight float64
	odds   int // how many unusual things it has
}

// A run is everything that goes from one place to another.
type run struct {
	a, b  int
	conds []int  // the first end of each conductor
	side  uint64 // the places that it parts from the others, on one side
	// hidden marks cables between two closed places, as many as it takes.
	hidden bool
}

// placeSet is one place.
func placeSet(p int) uint64 { return 1 << p }

// layouts calls yield with every way to run the cables that makes no loop, in the order
// of the units: to another unit, to a closed place, to a feed, onward, and nowhere. It
// takes time in proportion to the ways to pair the units.
func (sp *space) layouts(ctx context.Context, pr *Priors, most, odd int, yield func(*layout) error) error {
	n := len(sp.units)
	mate := make([]int, n)  // a unit, -1 if none
	far := make([]int, n)   // a place, if no mate
	onto := make([]bool, n) // goes onward
	done := make([]bool, n)
	steps, found := 0, 0
	var walk func(k, odds int, weight float64) error
	end := func(odds int, weight float64) error {
		lay, ok := sp.layout(mate, far, onto, weight, pr)
		if !ok {
			return nil
		}
		if lay.odds += odds; lay.odds > odd {
			return nil
		}
		return sp.links(lay, odd, 0, pr, func(lay *layout) error {
			if found++; found > most {
				return fmt.Errorf("%w: there are more than %d ways to run these cables: say which sheath goes to which box (to: in the job file), or which boxes the feed may come into", errMany, most)
			}
			return yield(lay)
		})
	}
	walk = func(k, odds int, weight float64) error {
		if odds > odd {
			return nil
		}
		if steps++; steps%4096 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			if steps > 400*most {
				return fmt.Errorf("%w: of the ways to run these cables %d were tried, and %d are possible: say which sheath goes to which box (to: in the job file)", errMany, steps, found)
			}
		}
		for k < n && done[k] {
			k++
		}
		if k == n {
			return end(odds, weight)
		}
		u := &sp.units[k]
		done[k] = true
		defer func() { done[k] = false }()
		to := func(p int, onward bool, more int, w float64) error {
			if w == 0 {
				return nil
			}
			mate[k], far[k], onto[k] = -1, p, onward
			return walk(k+1, odds+more, weight*w)
		}
		if u.place >= 0 {
			return to(u.place, false, 0, 1)
		}
		if u.mate < 0 && u.panel == "" {
			for j := k + 1; j < n; j++ {
				if w := sp.fit(k, j, pr); !done[j] && w > 0 {
					more := 0
					if w < 1 {
						more = 1
					}
					mate[k], mate[j], done[j] = j, k, true
					err := walk(k+1, odds+more, weight*w)
					done[j] = false
					if err != nil {
						return err
					}
				}
			}
			for i := range sp.closed {
				if err := to(len(sp.open)+i, false, 0, 1); err != nil {
					return err
				}
			}
		}
		if u.mate >= 0 {
			j := u.mate
			mate[k], mate[j], done[j] = j, k, true
			err := walk(k+1, odds, weight)
			done[j] = false
			return err
		}
		for f := range sp.feeds {
			if u.panel != "" && u.panel != sp.feeds[f].panel {
				continue
			}
			// Of loose conductors two have something to do at a feed.
			more := 0
			if u.loose {
				for j := range k {
					if sp.units[j].loose && mate[j] < 0 && far[j] == sp.leaf(f) {
						more++
					}
				}
				more = max(more-1, 0)
			}
			if err := to(sp.leaf(f), false, more, 1); err != nil {
				return err
			}
		}
		if u.panel != "" {
			return nil
		}
		// Loose conductors of one box go onward together.
		p := sp.far(k)
		if u.loose {
			p = sp.far(slices.IndexFunc(sp.units, func(v unit) bool { return v.loose && v.box == u.box }))
		}
		if u.loose {
			return to(p, true, 0, 1) // whether there is anything is the scheme's to say
		}
		if err := to(p, true, 1, part(pr.Onward)); err != nil {
			return err
		}
		return to(sp.far(k), false, 1, part(pr.Abandoned))
	}
	return walk(0, 0, 1)
}

// links calls yield with a layout and every set of hidden cables between closed places
// that makes no loop, from the i-th pair of closed places on. Cables to a closed switch
// are ordinary, and so are those from light to light of one control.
func (sp *space) links(lay *layout, odd, i int, pr *Priors, yield func(*layout) error) error {
	pairs := sp.link
	if i == len(pairs) {
		return yield(lay)
	}
	if err := sp.links(lay, odd, i+1, pr, yield); err != nil {
		return err
	}
	more := *lay
	if !pairs[i].ordinary {
		more.odds++
		more.weight *= part(pr.Onward)
	}
	more.runs = append(slices.Clone(lay.runs), run{a: pairs[i].a, b: pairs[i].b, hidden: true})
	if more.odds > odd || more.weight == 0 || !more.parts(sp.places()) {
		return nil
	}
	return sp.links(&more, odd, i+1, pr, yield)
}

// A link is two closed places between which cables may run.
type link struct {
	a, b     int
	ordinary bool
}

// linkable returns the pairs of closed places that matter to some control.
func (sp *space) linkable() []link {
	switches, lit := map[int]bool{}, map[int]uint{}
	for k, c := range sp.control {
		for _, p := range c.places {
			switches[p] = true
		}
		for _, l := range c.lights {
			lit[sp.lights[l].place] |= 1 << k
		}
	}
	var out []link
	for a := len(sp.open); a < sp.leaf(0); a++ {
		for b := a + 1; b < sp.leaf(0); b++ {
			if (switches[a] || lit[a] != 0) && (switches[b] || lit[b] != 0) {
				out = append(out, link{a, b, switches[a] || switches[b] || lit[a]&lit[b] != 0})
			}
		}
	}
	return out
}

// drawn takes the cables between closed places from the drawing, each pair once, and no
// pair that would make a loop.
func (sp *space) drawn(spec wiring.Spec) {
	sets := unionfind.New(sp.places())
	for _, c := range spec.Cables {
		a, ok := sp.placeOf(c.From)
		b, ok2 := sp.placeOf(c.To)
		if ok && ok2 && a >= len(sp.open) && b >= len(sp.open) && sets.Union(int32(a), int32(b)) {
			sp.stated = append(sp.stated, link{a: min(a, b), b: max(a, b)})
		}
	}
	slices.SortFunc(sp.stated, func(x, y link) int { return cmp.Or(x.a-y.a, x.b-y.b) })
}

// fit returns how likely it is that two units are the two ends of one cable, apart from
// where they go: nothing if they are not made up alike, or come into one box.
func (sp *space) fit(a, b int, pr *Priors) float64 {
	u, v := &sp.units[a], &sp.units[b]
	if u.box == v.box || u.loose != v.loose || len(u.ends) != len(v.ends) || v.mate >= 0 || v.place >= 0 || v.panel != "" {
		return 0
	}
	if u.loose {
		if sp.size[u.ends[0]] != sp.size[v.ends[0]] {
			return 0
		}
		if sp.colour[u.ends[0]] != sp.colour[v.ends[0]] {
			return part(pr.Respliced)
		}
		return 1
	}
	for _, e := range u.ends {
		if sp.twin(e, v) < 0 {
			return 0
		}
	}
	return 1
}

// twin returns the end of a unit that has the colour and size of another end, or -1.
func (sp *space) twin(e int, v *unit) int {
	for _, x := range v.ends {
		if sp.colour[x] == sp.colour[e] && sp.size[x] == sp.size[e] {
			return x
		}
	}
	return -1
}

// layout returns the layout of where the units go, and false if it has a loop.
func (sp *space) layout(mate, far []int, onto []bool, weight float64, pr *Priors) (*layout, bool) {
	lay := &layout{mate: make([]int, len(sp.ends)), far: make([]int, len(sp.units)), feedAt: make([]bool, len(sp.feeds)), weight: weight}
	for e := range lay.mate {
		lay.mate[e] = -1
	}
	cables := map[[2]int]int{}
	for k := range sp.units {
		u := &sp.units[k]
		p := far[k]
		if mate[k] >= 0 {
			v := &sp.units[mate[k]]
			p = v.box
			for i, e := range u.ends {
				if u.loose {
					lay.mate[e] = v.ends[i]
				} else {
					lay.mate[e] = sp.twin(e, v)
				}
			}
		} else if (onto[k] || sp.fed[p]) && !slices.Contains(lay.onward, p) {
			lay.onward = append(lay.onward, p)
		}
		lay.far[k] = p
		if f := p - sp.leaf(0); f >= 0 && f < len(sp.feeds) {
			lay.feedAt[f] = true
		}
		if mate[k] >= 0 && mate[k] < k {
			continue // with its mate
		}
		i := slices.IndexFunc(lay.runs, func(r run) bool { return r.a == u.box && r.b == p || r.a == p && r.b == u.box })
		if i < 0 {
			i = len(lay.runs)
			lay.runs = append(lay.runs, run{a: u.box, b: p})
		}
		lay.runs[i].conds = append(lay.runs[i].conds, u.ends...)
		if !u.loose {
			if cables[[2]int{lay.runs[i].a, lay.runs[i].b}]++; cables[[2]int{lay.runs[i].a, lay.runs[i].b}] > 1 {
				lay.weight *= part(pr.Split)
				lay.odds++
			}
		}
	}
	if lay.weight == 0 {
		return nil, false
	}
	for _, l := range sp.stated {
		lay.runs = append(lay.runs, run{a: l.a, b: l.b, hidden: true})
	}
	return lay, lay.parts(sp.places())
}

// parts works out what each run parts, and reports false if there is a loop.
func (lay *layout) parts(places int) bool {
	comp := make([]uint64, places)
	for p := range comp {
		comp[p] = placeSet(p)
	}
	join := func(a, b int) bool {
		if comp[a]&placeSet(b) != 0 {
			return false
		}
		all := comp[a] | comp[b]
		for rest := all; rest != 0; rest &= rest - 1 {
			comp[bits.TrailingZeros64(rest)] = all
		}
		return true
	}
	for _, r := range lay.runs {
		if !join(r.a, r.b) {
			return false
		}
	}
	lay.comp = comp
	for i := range lay.runs {
		// All that hangs on a without the run itself.
		side := placeSet(lay.runs[i].a)
		for again := true; again; {
			again = false
			for j, r := range lay.runs {
				a, b := side&placeSet(r.a) != 0, side&placeSet(r.b) != 0
				if j != i && a != b {
					side |= placeSet(r.a) | placeSet(r.b)
					again = true
				}
			}
		}
		lay.runs[i].side = side
	}
	return true
}

// along returns the runs that hold a set of places together, as a set, and false if they
// do not hang together.
func (lay *layout) along(need uint64) (runs uint64, ok bool) {
	if need == 0 {
		return 0, true
	}
	all := lay.comp[bits.TrailingZeros64(need)]
	if need&^all != 0 {
		return 0, false
	}
	for i, r := range lay.runs {
		if need&r.side != 0 && need&^r.side != 0 && all&placeSet(r.a) != 0 {
			runs |= 1 << i
		}
	}
	return runs, true
}
