package plan

import (
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// The best ends of several groups on one tree, by dynamic programming from the leaves up:
// the state of a node is which ends of each group are at it or below. Each run is priced as
// if no clients had been parted nearer the feed, as in splitter.relaxed, so what it finds is
// a bound below every choice of shapes, and the least cost itself if the cables of the shapes
// it finds cost no more. It takes time of 9^g for each node at worst, with g groups, and much
// less where few groups have places below a node.

// maxMerge is how many groups there may be for this.
const maxMerge = 5

// relax returns the bound and shapes that come to it, or false where there are too many groups.
func (s *searcher) relax(all [][]shape) (score, []shape, bool) {
	if len(all) > maxMerge {
		return score{}, nil, false
	}
	best := never
	var shapes []shape
	schemes := make([]intent.Scheme, len(all))
	var choose func(g int)
	choose = func(g int) {
		if g < len(all) {
			for _, can := range schemesOf(all[g]) {
				schemes[g] = can
				choose(g + 1)
			}
			return
		}
		d := &endsDP{s: s, schemes: schemes}
		if sum := d.run(); sum.less(best) {
			best, shapes = sum, d.shapes()
		}
	}
	choose(0)
	return best, shapes, true
}

// endsDP is the programming under given schemes.
type endsDP struct {
	s       *searcher
	schemes []intent.Scheme

	local [][]int     // by node: the flags that the places at it can bring
	steps [][]endStep // by node: its own places, then each child; what they come to

	clients []int
	wants   []want
}

// endStep is what a node comes to with its places and some of its children, by flags: two
// bits a group, the first end and the last.
type endStep struct {
	flags []int
	cost  []score
	from  [][2]int32 // the entries of the step before, and of the child, that it is from
}

// arena is where the steps of one programming lie, taken again for the next.
type arena struct {
	flags []int
	cost  []score
	from  [][2]int32
}

// step returns an empty step with room for some entries. What lies in the arena already
// stays where it is when that grows.
func (a *arena) step(most int) endStep {
	if len(a.flags)+most > cap(a.flags) {
		n := max(1024, 2*cap(a.flags), most)
		a.flags, a.cost, a.from = make([]int, 0, n), make([]score, 0, n), make([][2]int32, 0, n)
	}
	i := len(a.flags)
	a.flags, a.cost, a.from = a.flags[:i+most], a.cost[:i+most], a.from[:i+most]
	return endStep{a.flags[i : i : i+most], a.cost[i : i : i+most], a.from[i : i : i+most]}
}

func (a *arena) reset() { a.flags, a.cost, a.from = a.flags[:0], a.cost[:0], a.from[:0] }

// put adds an entry, the cheapest and of equals the first for each flag; at has the place of
// each flag, and 1 more.
func (e *endStep) put(at []int32, f int, c score, from [2]int32) {
	switch k := at[f]; {
	case k == 0:
		e.flags, e.cost, e.from = append(e.flags, f), append(e.cost, c), append(e.from, from)
		at[f] = int32(len(e.flags))
	case c.less(e.cost[k-1]):
		e.cost[k-1], e.from[k-1] = c, from
	}
}

func (d *endsDP) run() score {
	l := d.s.l
	t := l.t
	n := t.size()
	groups := len(l.groups)
	full := 1<<(2*groups) - 1
	d.s.shared.ends.reset()
	d.places()
	d.steps = make([][]endStep, n)
	at := make([]int32, full+1)
	sp := &splitter{l: l, store: d.s.store, runs: d.s.runs, shared: d.s.shared, quick: d.s.quick,
		clients: make([][]int, n), wants: make([][]want, n)}
	up := make([][]score, n) // of each node's last step, with its run
	for v := int32(n) - 1; v >= 0; v-- {
		own := d.s.shared.ends.step(len(d.local[v]))
		for _, f := range d.local[v] {
			own.put(at, f, score{}, [2]int32{})
		}
		steps := make([]endStep, 1, len(t.kids[v])+1)
		steps[0] = own
		now := own
		for _, k := range t.kids[v] {
			for _, f := range now.flags {
				at[f] = 0
			}
			child := &d.steps[k][len(d.steps[k])-1]
			next := d.s.shared.ends.step(min(len(now.flags)*len(child.flags), full+1))
			for i, f := range now.flags {
				for j, g := range child.flags {
					if f&g == 0 {
						next.put(at, f|g, now.cost[i].add(up[k][j]), [2]int32{int32(i), int32(j)})
					}
				}
			}
			steps = append(steps, next)
			now = next
		}
		for _, f := range now.flags {
			at[f] = 0
		}
		d.steps[v] = steps
		if v == 0 {
			break
		}
		up[v] = make([]score, len(now.flags))
		last := &d.steps[v][len(steps)-1]
		kept := 0
		for i, f := range now.flags {
			if !d.lawful(v, f) {
				continue
			}
			last.flags[kept], last.cost[kept], last.from[kept] = f, now.cost[i], now.from[i]
			up[v][kept] = now.cost[i].add(d.price(sp, v, f))
			kept++
		}
		last.flags, last.cost, last.from, up[v] = last.flags[:kept], last.cost[:kept], last.from[:kept], up[v][:kept]
	}
	last := d.steps[0][len(d.steps[0])-1]
	if k := slices.Index(last.flags, full); k >= 0 {
		return last.cost[k]
	}
	return never
}

// places finds the flags that the places at each node can bring.
func (d *endsDP) places() {
	l := d.s.l
	d.local = make([][]int, l.t.size())
	for v := range d.local {
		d.local[v] = []int{0}
	}
	for g := range l.groups {
		gr := &l.groups[g]
		for k, v := range l.end[g] {
			var can []int
			switch {
			case len(gr.places) == 1:
				can = []int{3}
			case d.schemes[g] == intent.JoinedCommons:
				can = []int{1 + k}
			case len(gr.places) == 2:
				can = []int{1, 2}
			default:
				can = []int{0, 1, 2}
			}
			var next []int
			for _, f := range d.local[v] {
				for _, c := range can {
					// Two places of one group may be in one box.
					if h := f | c<<(2*g); f&(c<<(2*g)) == 0 && !slices.Contains(next, h) {
						next = append(next, h)
					}
				}
			}
			d.local[v] = next
		}
	}
}

// lawful reports whether flags can be below a node: where all places of a group are, both
// its ends are, and with one of several places not both.
func (d *endsDP) lawful(v int32, flags int) bool {
	for g := range d.s.l.groups {
		f := flags >> (2 * g) & 3
		places, all := int(d.s.l.below[g][v].places), len(d.s.l.groups[g].places)
		if places == 0 && f != 0 || places == all && f != 3 || f == 3 && places == 1 && all > 1 {
			return false
		}
	}
	return true
}

// price returns what the run of a node costs with the ends of the flags below it.
func (d *endsDP) price(sp *splitter, v int32, flags int) score {
	l := d.s.l
	// Only this run is asked about now, so all take turns with the same room.
	sp.clients[v], sp.wants[v] = d.clients[:0], d.wants[:0]
	for c := range l.clients() {
		var w want
		if c < len(l.groups) {
			f := flags >> (2 * c) & 3
			w = l.groupWant(c, v, d.schemes[c], f&1 != 0, f&2 != 0)
		} else {
			w = l.want(c, v, nil)
		}
		if !w.none() {
			sp.clients[v], sp.wants[v] = append(sp.clients[v], c), append(sp.wants[v], w)
		}
	}
	d.clients, d.wants = sp.clients[v], sp.wants[v]
	if len(sp.clients[v]) == 0 {
		return score{}
	}
	return sp.least(v)
}

// shapes follows what run found back to the ends.
func (d *endsDP) shapes() []shape {
	l := d.s.l
	out := make([]shape, len(l.groups))
	for g := range out {
		out[g].scheme = d.schemes[g]
		if len(l.groups[g].places) == 1 {
			out[g].scheme = intent.Chain
		}
	}
	type visit struct {
		node  int32
		entry int
	}
	last := d.steps[0][len(d.steps[0])-1]
	stack := []visit{{0, slices.Index(last.flags, 1<<(2*len(l.groups))-1)}}
	for len(stack) > 0 {
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		entry := int32(x.entry)
		kids := l.t.kids[x.node]
		for k := len(kids); k > 0; k-- {
			from := d.steps[x.node][k].from[entry]
			stack = append(stack, visit{kids[k-1], int(from[1])})
			entry = from[0]
		}
		d.bring(x.node, d.steps[x.node][0].flags[entry], out)
	}
	return out
}

// bring sets the ends that the places at a node bring with given flags: the first place
// there takes the first end, the next the last, unless it is the only one that can.
func (d *endsDP) bring(v int32, flags int, out []shape) {
	l := d.s.l
	for g := range l.groups {
		f := flags >> (2 * g) & 3
		joined := d.schemes[g] == intent.JoinedCommons
		for k, at := range l.end[g] {
			if at != v || f == 0 {
				continue
			}
			switch {
			case len(l.groups[g].places) == 1:
				f = 0
			case joined:
				out[g].a, out[g].b = 0, 1
				f = 0
			case f&1 != 0:
				out[g].a = k
				f &^= 1
			default:
				out[g].b = k
				f = 0
			}
		}
	}
}
