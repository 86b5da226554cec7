package plan

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Supply is an unswitched hot or a neutral in a box, all that is joined there: two that
// stay apart in a box are two, though they come from one feed.
type Supply struct {
	Feed switchnet.Ref `json:"feed"`
	// Wires are those joined in the box, cables in name order; none where nothing but
	// the feed itself is there.
	Wires []wiring.Wire `json:"wires"`

	points map[point]bool // of the box
	way    []string       // the cables between the feed and here, in name order
	known  bool           // whether a way was found
}

// words names the wires of a supply, or the feed where it has none.
func (s *Supply) words() string {
	if len(s.Wires) == 0 {
		return "the feed itself"
	}
	var words []string
	for _, w := range s.Wires {
		words = append(words, w.String())
	}
	return joined(words)
}

// goesWith reports whether what is taken from one and given back to the other is carried
// back by the cables that bring it.
func (s *Supply) goesWith(t *Supply) bool {
	switch {
	case s.Feed != t.Feed:
		return false
	case s.known && t.known:
		return slices.Equal(s.way, t.way)
	}
	return slices.ContainsFunc(s.Wires, func(a wiring.Wire) bool {
		return slices.ContainsFunc(t.Wires, func(b wiring.Wire) bool { return a.Cable == b.Cable })
	})
}

// point is the end of a wire, or a terminal, in a box.
type point struct {
	box string
	at  wiring.Joint
}

// link leads from a point to another: along a cable, or within a box.
type link struct {
	to    point
	cable string
}

// metal is what is joined for good, point by point.
type metal map[point][]link

func (m metal) join(a, b point, cable string) {
	m[a], m[b] = append(m[a], link{b, cable}), append(m[b], link{a, cable})
}

// metalOf reads what a wiring joins, in whatever position its devices are.
func metalOf(s *wiring.Spec) metal {
	m := metal{}
	open := map[wiring.Wire]bool{}
	for _, w := range s.Opens {
		open[w] = true
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, core := range c.Type.Cores {
			w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			if c.To != "" && !open[w] {
				m.join(point{c.From, wiring.Joint{Wire: w}}, point{c.To, wiring.Joint{Wire: w}}, c.Name)
			}
		}
	}
	for _, x := range s.Splices {
		for i := 1; i < len(x.Join); i++ {
			m.join(point{x.Box, x.Join[0]}, point{x.Box, x.Join[i]}, "")
		}
	}
	for _, l := range s.Landings {
		m.join(point{l.Box, wiring.Joint{Device: l.Device, Terminal: l.Terminal}}, point{l.Box, wiring.Joint{Wire: l.Wire}}, "")
	}
	for _, t := range s.Ties {
		m.join(point{t.Box, t.A}, point{t.Box, t.B}, "")
	}
	for _, d := range s.Devices {
		for i, a := range d.Kind.Terminals {
			for _, b := range d.Kind.Terminals[i+1:] {
				if d.Kind.AlwaysJoins(a, b) {
					m.join(point{d.Box, wiring.Joint{Device: d.Name, Terminal: a}}, point{d.Box, wiring.Joint{Device: d.Name, Terminal: b}}, "")
				}
			}
		}
	}
	return m
}

// within returns the points of the same box that are joined to one, itself included.
func (m metal) within(p point) map[point]bool {
	out := map[point]bool{p: true}
	for queue := []point{p}; len(queue) > 0; queue = queue[1:] {
		for _, l := range m[queue[0]] {
			if l.cable == "" && !out[l.to] {
				out[l.to] = true
				queue = append(queue, l.to)
			}
		}
	}
	return out
}

// reached is what is joined to a terminal for good, each point with the way back to it.
type reached map[point]struct {
	back  link
	links int // on the way
}

// from returns what is joined to a point for good.
func (m metal) from(p point) reached {
	out := reached{p: {}}
	for queue := []point{p}; len(queue) > 0; queue = queue[1:] {
		for _, l := range m[queue[0]] {
			if _, seen := out[l.to]; !seen {
				at := out[l.to]
				at.back, at.links = link{queue[0], l.cable}, out[queue[0]].links+1
				out[l.to] = at
				queue = append(queue, l.to)
			}
		}
	}
	return out
}

// way returns the cables on a shortest way from some points, in name order.
func (r reached) way(from map[point]bool) ([]string, bool) {
	var p point
	found := false
	for q := range from {
		if at, ok := r[q]; ok && (!found || at.links < r[p].links || at.links == r[p].links && q.compare(p) < 0) {
			p, found = q, true
		}
	}
	var cables []string
	for ; found && r[p].links > 0; p = r[p].back.to {
		if c := r[p].back.cable; c != "" {
			cables = append(cables, c)
		}
	}
	slices.Sort(cables)
	return slices.Compact(cables), found
}

func (p point) compare(q point) int {
	return strings.Compare(p.box+"\x00"+p.at.String(), q.box+"\x00"+q.at.String())
}

// powers reads what can be used in the boxes of a wiring.
type powers struct {
	w     *wiring.Wiring
	spec  wiring.Spec
	metal metal
	feeds map[point]reached // by terminal of a feed
}

func powersOf(w *wiring.Wiring) *powers {
	p := &powers{w: w, spec: w.Spec(), feeds: map[point]reached{}}
	p.metal = metalOf(&p.spec)
	return p
}

// terminals returns the terminals of a feed that are a hot or a neutral.
func (p *powers) terminals(feed switchnet.Ref, kind wiring.FunctionKind) []point {
	var out []point
	for i := range p.spec.Feeds {
		f := &p.spec.Feeds[i]
		if f.Box != feed.Place || f.Name != feed.Name {
			continue
		}
		names := []string{"neutral"}
		if kind == wiring.Hot {
			names = f.Hots()
		}
		for _, n := range names {
			out = append(out, point{f.Box, wiring.Joint{Device: f.Name, Terminal: n}})
		}
	}
	return out
}

// way returns the cables between some points and a feed, in name order.
func (p *powers) way(from map[point]bool, feed switchnet.Ref, kind wiring.FunctionKind) ([]string, bool) {
	for _, t := range p.terminals(feed, kind) {
		r, ok := p.feeds[t]
		if !ok {
			r = p.metal.from(t)
			p.feeds[t] = r
		}
		if cables, ok := r.way(from); ok {
			return cables, true
		}
	}
	return nil, false
}

// supplies returns the hots or the neutrals in a box.
func (p *powers) supplies(box string, kind wiring.FunctionKind) []Supply {
	var out []Supply
	add := func(feed switchnet.Ref, at point) *Supply {
		for i := range out {
			if out[i].Feed == feed && out[i].points[at] {
				return &out[i]
			}
		}
		n := Supply{Feed: feed, points: p.metal.within(at)}
		n.way, n.known = p.way(n.points, feed, kind)
		out = append(out, n)
		return &out[len(out)-1]
	}
	for _, e := range p.w.Ends(box) {
		if f, _ := p.w.FunctionAt(e); f.Kind == kind {
			for _, feed := range f.Feeds {
				n := add(feed, point{box, wiring.Joint{Wire: e.Wire}})
				n.Wires = append(n.Wires, e.Wire)
			}
		}
	}
	for i := range p.spec.Feeds {
		if f := &p.spec.Feeds[i]; f.Box == box {
			ref := switchnet.Ref{Place: f.Box, Name: f.Name}
			for _, t := range p.terminals(ref, kind) {
				add(ref, t)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Supply) int { return a.Feed.Compare(b.Feed) })
	return out
}
