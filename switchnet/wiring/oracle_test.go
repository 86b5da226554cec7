package wiring_test

import (
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// oracle knows the shortest ways in one state, by trying every edge until nothing
// gets shorter (Bellman and Ford): the net as it is declared, with the contacts that
// are closed, and nothing of how package wiring looks for ways.
type oracle struct {
	edges []oracleEdge
	net   *switchnet.Net
	memo  map[switchnet.Terminal]map[switchnet.Terminal]distance
}

type oracleEdge struct {
	a, b   switchnet.Terminal
	length quantity.Length
	known  bool
}

type distance struct {
	length quantity.Length
	known  bool // on some shortest way
}

func newOracle(w *wiring.Wiring, state switchnet.State) *oracle {
	o := &oracle{net: w.Net(), memo: map[switchnet.Terminal]map[switchnet.Terminal]distance{}}
	lengths := map[string]quantity.Length{}
	for _, c := range w.Spec().Cables {
		for _, core := range c.Type.Cores {
			lengths[wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}.String()] = c.Length
		}
	}
	source := w.Net().Source()
	for c := range w.Net().Conductors() {
		if c.From.Owner() == source.Ref || c.To.Owner() == source.Ref {
			continue
		}
		l, wire := lengths[c.Name]
		o.edges = append(o.edges, oracleEdge{c.From, c.To, l, !wire || l > 0})
	}
	join := func(list []switchnet.Terminal) {
		for _, a := range list {
			for _, b := range list {
				o.edges = append(o.edges, oracleEdge{a, b, 0, true})
			}
		}
	}
	for s := range w.Net().Splices() {
		join(s.Joins)
	}
	for d := range w.Net().Devices() {
		if d.Kind.Breaker {
			continue
		}
		name, _ := state.Position(d.Ref)
		p, _ := d.Kind.Position(name)
		for _, group := range d.Kind.Positions[p].Joins {
			var list []switchnet.Terminal
			for _, t := range group {
				list = append(list, d.Terminal(t))
			}
			join(list)
		}
	}
	return o
}

// from returns the distance of every terminal that is reached from one.
func (o *oracle) from(start switchnet.Terminal) map[switchnet.Terminal]distance {
	if d, ok := o.memo[start]; ok {
		return d
	}
	dist := map[switchnet.Terminal]distance{start: {0, true}}
	for changed := true; changed; {
		changed = false
		for _, e := range o.edges {
			for _, way := range [2][2]switchnet.Terminal{{e.a, e.b}, {e.b, e.a}} {
				d, ok := dist[way[0]]
				if !ok {
					continue
				}
				next := distance{d.length + e.length, d.known && e.known}
				old, ok := dist[way[1]]
				if !ok || next.length < old.length || next.length == old.length && next.known && !old.known {
					dist[way[1]] = next
					changed = true
				}
			}
		}
	}
	o.memo[start] = dist
	return dist
}

// hots returns the hot terminals of a circuit's feed.
func hots(c wiring.Circuit) []switchnet.Terminal {
	if c.Poles == 1 {
		return []switchnet.Terminal{c.Feed.Terminal("hot")}
	}
	var out []switchnet.Terminal
	for p := range c.Poles {
		out = append(out, c.Feed.Terminal("hot "+string(rune('1'+p))))
	}
	return out
}

// out returns how far it is from a hot of the feed to an end of a light.
func (o *oracle) out(c wiring.Circuit, l switchnet.Load) (quantity.Length, bool) {
	best, found := quantity.Length(0), false
	for _, h := range hots(c) {
		for _, end := range l.Terminals() {
			if d, ok := o.from(h)[end]; ok && (!found || d.length < best) {
				best, found = d.length, true
			}
		}
	}
	return best, found
}

// both returns how far it is from a hot of the feed to a light and back to its
// neutral or another hot.
func (o *oracle) both(c wiring.Circuit, light switchnet.Ref) (distance, bool) {
	l, _ := o.net.Load(light)
	ends := l.Terminals()
	var best distance
	found := false
	for i, h := range hots(c) {
		backs := []switchnet.Terminal{c.Feed.Terminal("neutral")}
		for j, other := range hots(c) {
			if i != j {
				backs = append(backs, other)
			}
		}
		for e := range ends {
			out, ok := o.from(h)[ends[e]]
			if !ok {
				continue
			}
			for _, b := range backs {
				back, ok := o.from(b)[ends[1-e]]
				sum := distance{out.length + back.length, out.known && back.known}
				if ok && (!found || sum.length < best.length || sum.length == best.length && sum.known && !best.known) {
					best, found = sum, true
				}
			}
		}
	}
	return best, found
}
