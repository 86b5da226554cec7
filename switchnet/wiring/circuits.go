package wiring

import (
	"cmp"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// A Circuit is what hangs on one feed, as package conductor sizes it.
type Circuit struct {
	Feed    switchnet.Ref
	Breaker quantity.Current
	Poles   int
	// Volts is the nominal voltage of the circuit: what the feed states, or what
	// the supply gives between its poles, or from its pole to the neutral.
	Volts quantity.Voltage
	// Lights are the lights to which a hot of the feed finds a way, in name
	// order, and Power is their sum. A light that two feeds reach is in both.
	Lights []switchnet.Ref
	Power  quantity.Power
	// Cables are the cables with a conductor to which a hot of the feed finds a
	// way, or that is part of a way back, in name order.
	Cables []string
	// Smallest is the smallest of these conductors, and Material its metal; both
	// zero if there is none. Of one size in several metals it is the last of
	// copper, aluminum and copper-clad aluminum, for aluminum carries less.
	Smallest conductor.Size
	Material conductor.Material
	// Routes are the ways to the lights, in the order of Lights.
	Routes []Route
}

// Longest returns the route with the most conductor of those whose lengths are all
// known, the first of equals; false if there is none. Where some route is not
// Complete, a longer one may exist.
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
// back. Every switch may be in any position, and contacts of one switch that are
// taken one after the other are closed in one of them. Where switches sit in a loop
// of cables, a position may exist in which the current takes a longer way; and a way
// that comes back to a switch after another, or on the way back, may need it in two
// positions at once, which is not looked for.
type Route struct {
	Light switchnet.Ref
	// Out and Back are the wires from the feed's hot to one end of the light
	// and from the other end to the feed's neutral, or to its other pole; no
	// wires where the one is joined to the other in the box of the feed itself.
	Out, Back []Leg
	// Returns reports whether a way back was found. Where none was, the light's
	// other end is open, or on another circuit.
	Returns bool
	// Between reports that Back ends at another pole and not at the neutral.
	Between bool
	// Complete reports whether it returns and every length is known. While
	// ways are compared, a length that is not known counts as nothing.
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
func (r Route) Length() quantity.Length { return length(r.Out) + length(r.Back) }

func length(legs []Leg) quantity.Length {
	var sum quantity.Length
	for _, l := range legs {
		sum += l.Length
	}
	return sum
}

// Circuits returns the circuits, in the name order of their feeds. Time is that of
// sorting, for each feed, what it reaches, and linear in the legs of all routes.
func (w *Wiring) Circuits() []Circuit {
	g := w.reach()
	out := make([]Circuit, 0, len(w.spec.Feeds))
	for i := range w.spec.Feeds {
		f := &w.spec.Feeds[i]
		lines := f.poles()
		c := Circuit{Feed: f.ref(), Breaker: f.Breaker, Poles: len(lines), Volts: f.Volts}
		if c.Volts == 0 {
			other := switchnet.Neutral
			if len(lines) > 1 {
				other = lines[1]
			}
			c.Volts = w.spec.Supply.Between(lines[0], other)
		}
		w.trace(&c, g)
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b Circuit) int { return a.Feed.Compare(b.Feed) })
	return out
}

// trace fills in what the feed reaches.
func (w *Wiring) trace(c *Circuit, g *reach) {
	neutral := g.from(0, g.m.number(c.Feed.Terminal("neutral")))
	var hots []*ways
	for p := range c.Poles {
		hots = append(hots, g.from(1+p, g.m.number(c.Feed.Terminal(hot(p, c.Poles)))))
	}
	lights, cables := map[int32]bool{}, map[int32]bool{}
	smallest := func(leg *Leg) {
		d := leg.Size.Compare(c.Smallest)
		if !c.Smallest.Valid() || d < 0 || d == 0 && leg.Material > c.Material {
			c.Smallest, c.Material = leg.Size, leg.Material
		}
	}
	for _, h := range hots {
		for _, t := range h.reached {
			for _, l := range g.lights[t] {
				lights[l] = true
			}
			if n := g.wire[t]; n >= 0 {
				cables[g.cable[n]] = true
				smallest(&g.legs[n])
			}
		}
	}
	for _, i := range sortedKeys(lights, func(a, b int32) int { return w.spec.Lights[a].ref().Compare(w.spec.Lights[b].ref()) }) {
		l := &w.spec.Lights[i]
		route := g.route(l.ref(), g.ends[i], hots, neutral)
		c.Lights = append(c.Lights, l.ref())
		c.Power += l.Power
		c.Routes = append(c.Routes, route)
		for k := range route.Back {
			cables[int32(w.idx.cables[route.Back[k].Wire.Cable])] = true
			smallest(&route.Back[k])
		}
	}
	for _, i := range sortedKeys(cables, func(a, b int32) int { return cmp.Compare(w.spec.Cables[a].Name, w.spec.Cables[b].Name) }) {
		c.Cables = append(c.Cables, w.spec.Cables[i].Name)
	}
}

// sortedKeys returns the keys in an order.
func sortedKeys(set map[int32]bool, compare func(a, b int32) int) []int32 {
	keys := make([]int32, 0, len(set))
	for k := range set {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, compare)
	return keys
}

// route returns the shortest way to a light that a hot of the feed reaches, and
// back.
func (g *reach) route(light switchnet.Ref, ends [2]int32, hots []*ways, neutral *ways) Route {
	best := Route{Light: light}
	var total quantity.Length
	took := 0 // what best is: 1 the way out, 2 both ways, 3 both with every length known
	better := func(is int, out, back *ways, from, to int32) {
		// Of ways as good, that to the neutral is the first to be tried.
		sum := out.length(from)
		if back != nil {
			sum += back.length(to)
		}
		if is < took || is == took && sum >= total {
			return
		}
		took, total = is, sum
		best.Out, best.Back = out.legs(from), nil
		if back != nil {
			best.Back = back.legs(to)
			slices.Reverse(best.Back)
		}
		best.Returns = back != nil
		best.Between = back != nil && back != neutral
		best.Complete = is == 3
	}
	for i, out := range hots {
		for e := range ends {
			from, to := ends[e], ends[1-e]
			if !out.reaches(from) {
				continue
			}
			better(1, out, nil, from, to)
			for j, back := range slices.Concat([]*ways{neutral}, hots) {
				if j == i+1 || !back.reaches(to) {
					continue
				}
				is := 2
				if out.known(from) && back.known(to) {
					is = 3
				}
				better(is, out, back, from, to)
			}
		}
	}
	return best
}
