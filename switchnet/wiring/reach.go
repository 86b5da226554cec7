package wiring

import (
	"cmp"
	"container/heap"
	"math/bits"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// reach is the graph of everything that can be joined in some position of the
// switches, weighted by length of conductor, with the memory for searching it.
type reach struct {
	m     *metal
	start []int32 // by terminal: where its edges begin
	edges []joint // wires, landings, splices, ties
	legs  []Leg   // the wires
	cable []int32 // by wire: its cable
	wire  []int32 // by terminal: its wire, or -1
	on    []int32 // by terminal: its device, or -1
	first []int32 // by device: where its terminals begin in screws
	screw []int32 // the terminals of devices, in the order of their kinds
	kinds []*contacts

	ends   [][2]int32        // of the lights
	lights map[int32][]int32 // by terminal

	ways [4]*ways
}

// joint is one side of what joins two terminals for good.
type joint struct{ to, leg int32 } // leg -1 for what is no wire

// reach returns the graph of the wiring.
func (w *Wiring) reach() *reach {
	m := w.joined()
	g := &reach{m: m, start: make([]int32, len(m.terms)+1), wire: make([]int32, len(m.terms)), on: make([]int32, len(m.terms)),
		lights: map[int32][]int32{}}
	for i := range g.wire {
		g.wire[i], g.on[i] = -1, -1
	}
	legs := map[string]int32{}
	for i := range w.spec.Cables {
		c := &w.spec.Cables[i]
		for k, name := range w.idx.cores[i] {
			wire := Wire{c.Name, name}
			n := int32(len(g.legs))
			for _, end := range c.ends() {
				g.wire[m.number(wire.In(end))] = n
			}
			legs[wire.String()] = n
			g.legs = append(g.legs, Leg{wire, c.Type.Cores[k].Size, c.Type.Material, c.Length})
			g.cable = append(g.cable, int32(i))
		}
	}
	g.first = append(g.first, 0)
	for i := range w.spec.Devices {
		d := &w.spec.Devices[i]
		for _, name := range d.Kind.Terminals {
			t := m.number(d.ref().Terminal(name))
			g.on[t] = int32(i)
			g.screw = append(g.screw, t)
		}
		g.first = append(g.first, int32(len(g.screw)))
		g.kinds = append(g.kinds, m.contacts(&d.Kind))
	}
	for i := range w.spec.Lights {
		load, _ := w.net.Load(w.spec.Lights[i].ref())
		var ends [2]int32
		for e, t := range load.Terminals() {
			ends[e] = m.number(t)
			g.lights[ends[e]] = append(g.lights[ends[e]], int32(i))
		}
		g.ends = append(g.ends, ends)
	}
	g.join(w, legs)
	return g
}

// join makes the edges: it counts them, then lays them down.
func (g *reach) join(w *Wiring, legs map[string]int32) {
	var next []int32
	put := func(a, b, leg int32) {
		if next == nil {
			g.start[a+1]++
			g.start[b+1]++
			return
		}
		g.edges[next[a]], g.edges[next[b]] = joint{b, leg}, joint{a, leg}
		next[a]++
		next[b]++
	}
	for pass := range 2 {
		if pass == 1 {
			for i := range g.m.terms {
				g.start[i+1] += g.start[i]
			}
			g.edges = make([]joint, g.start[len(g.m.terms)])
			next = slices.Clone(g.start)
		}
		for c := range w.net.Conductors() {
			if c.From.Owner() == service {
				continue // feeds meet there, circuits do not
			}
			leg, ok := legs[c.Name]
			if !ok {
				leg = -1
			}
			put(g.m.number(c.From), g.m.number(c.To), leg)
		}
		for s := range w.net.Splices() {
			for _, t := range s.Joins[1:] {
				put(g.m.number(s.Joins[0]), g.m.number(t), -1)
			}
		}
	}
}

// ways are the shortest ways from one terminal (Dijkstra, 1959). Of two ways of one
// length the one with fewer wires is taken, then the one found first in name order.
//
// A way takes two contacts of one device one after the other only if one position
// closes both. So there may be several ways to a terminal that are worth going on
// with: the shortest; those that come through the same device last, but in other
// positions; and the shortest that comes through another device, after which there
// is always one that can go on, for nothing but the device last passed is
// remembered.
type ways struct {
	g       *reach
	labels  []label
	at      [][2]int32 // by terminal: its first label, and the one through another device, and 1 more; 0 for none
	reached []int32    // terminals, in the order in which they were reached
	front   frontier
}

// label is one way to a terminal.
type label struct {
	at, last int32  // the terminal, and the device last passed or -1
	in       uint64 // the positions that the device may be in
	dist     quantity.Length
	hops     int32
	from     int32 // the label before it, -1 at the start
	leg      int32 // the wire by which it came, or -1
	next     int32 // another label of the terminal through the same device, or -1
	known    bool  // every length is known
}

// from returns the ways from a terminal. Each of the four slots is good until the
// next call with it.
func (g *reach) from(slot int, start int32) *ways {
	x := g.ways[slot]
	if x == nil {
		x = &ways{g: g, at: make([][2]int32, len(g.m.terms))}
		g.ways[slot] = x
	}
	for _, t := range x.reached {
		x.at[t] = [2]int32{}
	}
	x.labels, x.reached, x.front.list = x.labels[:0], x.reached[:0], x.front.list[:0]
	x.front.labels = &x.labels
	x.offer(label{at: start, last: -1, from: -1, leg: -1, known: true})
	for x.front.Len() > 0 {
		n := heap.Pop(&x.front).(int32)
		l := x.labels[n]
		if x.closed(&l) {
			continue
		}
		switch at := &x.at[l.at]; {
		case at[0] == 0:
			at[0] = n + 1
			x.reached = append(x.reached, l.at)
		case x.labels[at[0]-1].last == l.last:
			first := &x.labels[at[0]-1]
			x.labels[n].next, first.next = first.next, n
		default:
			at[1] = n + 1
		}
		x.goOn(n, l)
	}
	return x
}

// goOn offers the ways one step further.
func (x *ways) goOn(n int32, l label) {
	g := x.g
	for _, e := range g.edges[g.start[l.at]:g.start[l.at+1]] {
		next := label{at: e.to, last: l.last, in: l.in, dist: l.dist, hops: l.hops, from: n, leg: e.leg, known: l.known}
		if e.leg >= 0 {
			next.dist += g.legs[e.leg].Length
			next.hops++
			next.known = next.known && g.legs[e.leg].Length > 0
		}
		x.offer(next)
	}
	d := g.on[l.at]
	if d < 0 {
		return
	}
	screws, c := g.screw[g.first[d]:g.first[d+1]], g.kinds[d]
	t := slices.Index(screws, l.at)
	for set := c.some[t]; set != 0; set &= set - 1 {
		u := bits.TrailingZeros64(set)
		next := label{at: screws[u], last: l.last, in: l.in, dist: l.dist, hops: l.hops, from: n, leg: -1, known: l.known}
		if c.always[t]&(1<<u) == 0 {
			next.last, next.in = d, c.in[t][u]
			if l.last == d {
				next.in &= l.in
			}
		}
		if next.last != d || next.in != 0 {
			x.offer(next)
		}
	}
}

// closed reports whether a terminal needs no further way such as this one.
func (x *ways) closed(l *label) bool {
	at := x.at[l.at]
	if at[0] == 0 || at[1] != 0 {
		return at[1] != 0
	}
	first := &x.labels[at[0]-1]
	if first.last != l.last {
		return first.last < 0
	}
	for k := at[0] - 1; k >= 0; k = x.labels[k].next {
		if l.in&^x.labels[k].in == 0 {
			return true
		}
	}
	return false
}

func (x *ways) offer(l label) {
	if l.next = -1; !x.closed(&l) {
		x.labels = append(x.labels, l)
		heap.Push(&x.front, int32(len(x.labels)-1))
	}
}

func (x *ways) reaches(t int32) bool { return x.at[t][0] != 0 }

// length, known and legs are for a terminal that is reached: the length of the
// shortest way, whether each length on it is known, and its wires from the start.
func (x *ways) length(t int32) quantity.Length { return x.labels[x.at[t][0]-1].dist }
func (x *ways) known(t int32) bool             { return x.labels[x.at[t][0]-1].known }
func (x *ways) legs(t int32) []Leg {
	var legs []Leg
	for n := x.at[t][0] - 1; n >= 0; n = x.labels[n].from {
		if leg := x.labels[n].leg; leg >= 0 {
			legs = append(legs, x.g.legs[leg])
		}
	}
	slices.Reverse(legs)
	return legs
}

// frontier is a heap of labels that wait.
type frontier struct {
	labels *[]label
	list   []int32
}

func (f *frontier) Len() int { return len(f.list) }
func (f *frontier) Less(i, j int) bool {
	a, b := &(*f.labels)[f.list[i]], &(*f.labels)[f.list[j]]
	return cmp.Or(cmp.Compare(a.dist, b.dist), cmp.Compare(a.hops, b.hops), cmp.Compare(a.at, b.at), cmp.Compare(f.list[i], f.list[j])) < 0
}
func (f *frontier) Swap(i, j int) { f.list[i], f.list[j] = f.list[j], f.list[i] }
func (f *frontier) Push(n any)    { f.list = append(f.list, n.(int32)) }
func (f *frontier) Pop() any {
	last := len(f.list) - 1
	n := f.list[last]
	f.list = f.list[:last]
	return n
}
