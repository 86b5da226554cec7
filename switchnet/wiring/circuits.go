package wiring

import (
	"cmp"
	"container/heap"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// A Circuit is what hangs on one feed, as package conductor sizes it.
type Circuit struct {
	Feed    switchnet.Ref
	Breaker quantity.Current
	Poles   int
	// Volts is the nominal voltage of the circuit.
	Volts quantity.Voltage
	// Lights are the lights that the feed can supply in some position of the
	// switches, in name order, and Power is their sum.
	Lights []switchnet.Ref
	Power  quantity.Power
	// Cables are the cables with a conductor that the feed's hot can reach, in
	// name order.
	Cables []string
	// Smallest is the smallest circuit conductor the feed's hot can reach, and
	// Material its metal; both zero if it reaches none. Of one size in two
	// metals it is the aluminum one, which carries less.
	Smallest conductor.Size
	Material conductor.Material
	// Routes are the ways to the lights, in the order of Lights.
	Routes []Route
}

// Longest returns the route with the most conductor, the first of equals; false if
// the circuit has no route of known length.
func (c Circuit) Longest() (Route, bool) {
	var best Route
	found := false
	for _, r := range c.Routes {
		if r.Complete && (!found || r.Length() > best.Length()) {
			best, found = r, true
		}
	}
	return best, found
}

// A Route is the shortest way, by length of conductor, from a feed to a light and
// back, with every switch free to be in any position. Where switches sit in a loop
// of cables, a position may exist in which the current takes a longer way.
type Route struct {
	Light switchnet.Ref
	// Out and Back are the wires from the feed's hot to one end of the light
	// and from the other end to the feed's neutral, or to its other pole.
	Out, Back []Leg
	// Complete reports whether both were found and every length is known.
	Complete bool
}

// A Leg is one wire of a route.
type Leg struct {
	Wire     Wire
	Size     conductor.Size
	Material conductor.Material
	Length   quantity.Length
}

// Length returns the length of conductor, out and back.
func (r Route) Length() quantity.Length {
	var sum quantity.Length
	for _, l := range slices.Concat(r.Out, r.Back) {
		sum += l.Length
	}
	return sum
}

// Circuits returns the circuits, in the name order of their feeds.
func (w *Wiring) Circuits() []Circuit {
	g := w.graph()
	var out []Circuit
	for i := range w.spec.Feeds {
		f := &w.spec.Feeds[i]
		lines := f.poles()
		c := Circuit{Feed: switchnet.Ref{Place: f.Box, Name: f.Name}, Breaker: f.Breaker, Poles: len(lines), Volts: f.Volts}
		if c.Volts == 0 {
			other := switchnet.Neutral
			if len(lines) > 1 {
				other = lines[1]
			}
			c.Volts = w.spec.Supply.Between(lines[0], other)
		}
		w.trace(&c, g, len(lines))
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b Circuit) int { return a.Feed.Compare(b.Feed) })
	return out
}

// trace fills in what the feed reaches.
func (w *Wiring) trace(c *Circuit, g *lengths, poles int) {
	neutral := g.from(c.Feed.Terminal("neutral"))
	var hots []*ways
	for p := range poles {
		hots = append(hots, g.from(c.Feed.Terminal(hot(p, poles))))
	}
	lights := slices.Clone(w.spec.Lights)
	slices.SortFunc(lights, func(a, b Light) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Name, b.Name))
	})
	for _, l := range lights {
		ref := switchnet.Ref{Place: l.Box, Name: l.Name}
		load, _ := w.net.Load(ref)
		ends := load.Terminals()
		route, reached := w.route(ref, ends, hots, neutral)
		if !reached {
			continue
		}
		c.Lights = append(c.Lights, ref)
		c.Power += l.Power
		c.Routes = append(c.Routes, route)
	}
	for i := range w.spec.Cables {
		cable := &w.spec.Cables[i]
		reached := false
		for _, core := range cable.Type.Cores {
			t := Wire{cable.Name, core.Colour.String()}.In(cable.From)
			on := func(x *ways) bool { return x.reaches(t) }
			if !slices.ContainsFunc(hots, on) {
				continue
			}
			reached = true
			d := core.Size.Compare(c.Smallest)
			if !c.Smallest.Valid() || d < 0 || d == 0 && cable.Type.Material > c.Material {
				c.Smallest, c.Material = core.Size, cable.Type.Material
			}
		}
		if reached {
			c.Cables = append(c.Cables, cable.Name)
		}
	}
	slices.Sort(c.Cables)
}

// route returns the shortest way to a light and back, and whether a hot of the
// feed can reach it at all.
func (w *Wiring) route(light switchnet.Ref, ends [2]switchnet.Terminal, hots []*ways, neutral *ways) (Route, bool) {
	var best Route
	reached := false
	better := func(out, back []Leg, known bool) {
		r := Route{Light: light, Out: out, Back: back, Complete: known}
		if !best.Complete && (r.Complete || best.Light == switchnet.Ref{}) || r.Complete && r.Length() < best.Length() {
			best = r
		}
	}
	for i, h := range hots {
		for e := range ends {
			out, known, ok := h.to(ends[e])
			if !ok {
				continue
			}
			reached = true
			returns := []*ways{neutral}
			for j, other := range hots {
				if j != i {
					returns = append(returns, other)
				}
			}
			for _, back := range returns {
				if legs, known2, ok := back.to(ends[1-e]); ok {
					slices.Reverse(legs)
					better(out, legs, known && known2)
				}
			}
		}
	}
	best.Light = light
	return best, reached
}

// lengths is the graph of everything that can be joined in some position of the
// switches, weighted by length of conductor.
type lengths struct {
	number map[switchnet.Terminal]int32
	edges  [][]lengthEdge
}

type lengthEdge struct {
	to    int32
	leg   *Leg // nil for a splice, landing or contact
	known bool
}

func (w *Wiring) graph() *lengths {
	g := &lengths{number: map[switchnet.Terminal]int32{}}
	for t := range w.net.Terminals() {
		g.number[t] = int32(len(g.number))
	}
	g.edges = make([][]lengthEdge, len(g.number))
	join := func(a, b switchnet.Terminal, leg *Leg, known bool) {
		x, y := g.number[a], g.number[b]
		g.edges[x] = append(g.edges[x], lengthEdge{y, leg, known})
		g.edges[y] = append(g.edges[y], lengthEdge{x, leg, known})
	}
	legs := map[string]*Leg{}
	for i := range w.spec.Cables {
		c := &w.spec.Cables[i]
		for _, core := range c.Type.Cores {
			wire := Wire{c.Name, core.Colour.String()}
			legs[wire.String()] = &Leg{wire, core.Size, c.Type.Material, c.Length}
		}
	}
	source := w.net.Source().Ref
	for c := range w.net.Conductors() {
		if c.From.Owner() != source {
			leg := legs[c.Name]
			join(c.From, c.To, leg, leg == nil || leg.Length > 0)
		}
	}
	for s := range w.net.Splices() {
		for _, t := range s.Joins[1:] {
			join(s.Joins[0], t, nil, true)
		}
	}
	for d := range w.net.Devices() {
		if d.Kind.Breaker {
			continue
		}
		for _, p := range d.Kind.Positions {
			for _, group := range p.Joins {
				for _, name := range group[1:] {
					join(d.Terminal(group[0]), d.Terminal(name), nil, true)
				}
			}
		}
	}
	return g
}

// ways are the shortest ways from one terminal (Dijkstra, 1959). Of two ways of one
// length the one with fewer wires is taken, then the one found first in name order,
// so that the answer does not depend on a library's order.
type ways struct {
	g     *lengths
	start int32
	dist  []quantity.Length // -1 if not reached
	hops  []int32
	by    []lengthEdge // the edge that leads here, its to being where it comes from
	done  []bool
}

// reached is a terminal on the heap with its distance when it was put there.
type reached struct {
	at   int32
	dist quantity.Length
	hops int32
}

type frontier []reached

func (f frontier) Len() int { return len(f) }
func (f frontier) Less(i, j int) bool {
	a, b := f[i], f[j]
	return cmp.Or(cmp.Compare(a.dist, b.dist), cmp.Compare(a.hops, b.hops), cmp.Compare(a.at, b.at)) < 0
}
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(v any)   { *f = append(*f, v.(reached)) }
func (f *frontier) Pop() any {
	last := len(*f) - 1
	v := (*f)[last]
	*f = (*f)[:last]
	return v
}

func (g *lengths) from(t switchnet.Terminal) *ways {
	n := len(g.edges)
	x := &ways{g: g, start: g.number[t], dist: make([]quantity.Length, n), hops: make([]int32, n), by: make([]lengthEdge, n), done: make([]bool, n)}
	for i := range x.dist {
		x.dist[i] = -1
	}
	x.dist[x.start] = 0
	front := &frontier{{at: x.start}}
	for front.Len() > 0 {
		v := heap.Pop(front).(reached).at
		if x.done[v] {
			continue
		}
		x.done[v] = true
		for _, e := range g.edges[v] {
			d, h := x.dist[v], x.hops[v]
			if e.leg != nil {
				d += e.leg.Length
				h++
			}
			if x.done[e.to] || x.dist[e.to] >= 0 && (x.dist[e.to] < d || x.dist[e.to] == d && x.hops[e.to] <= h) {
				continue
			}
			x.dist[e.to], x.hops[e.to] = d, h
			x.by[e.to] = lengthEdge{v, e.leg, e.known}
			heap.Push(front, reached{e.to, d, h})
		}
	}
	return x
}

func (x *ways) reaches(t switchnet.Terminal) bool {
	v, ok := x.g.number[t]
	return ok && x.dist[v] >= 0
}

// to returns the wires from the start to a terminal, whether all their lengths are
// known, and whether there is a way at all.
func (x *ways) to(t switchnet.Terminal) (legs []Leg, known, ok bool) {
	v, ok := x.g.number[t]
	if !ok || x.dist[v] < 0 {
		return nil, false, false
	}
	known = true
	for v != x.start {
		e := x.by[v]
		if e.leg != nil {
			legs = append(legs, *e.leg)
			known = known && e.known
		}
		v = e.to
	}
	slices.Reverse(legs)
	return legs, known, true
}
