package plan

import (
	"fmt"
	"maps"
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
	return listed(words)
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
				if always(&d.Kind, a, b) {
					m.join(point{d.Box, wiring.Joint{Device: d.Name, Terminal: a}}, point{d.Box, wiring.Joint{Device: d.Name, Terminal: b}}, "")
				}
			}
		}
	}
	return m
}

// always reports whether a device joins two of its terminals in every position.
func always(k *switchnet.Kind, a, b string) bool {
	for _, p := range k.Positions {
		if !slices.ContainsFunc(p.Joins, func(g []string) bool { return slices.Contains(g, a) && slices.Contains(g, b) }) {
			return false
		}
	}
	return len(k.Positions) > 0
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

// way returns the cables on a shortest way from some points to a terminal of a feed whose
// name begins with a word, in name order.
func (m metal) way(from map[point]bool, feed switchnet.Ref, terminal string) ([]string, bool) {
	back := map[point]link{}
	var queue []point
	for _, p := range slices.SortedFunc(maps.Keys(from), point.compare) {
		back[p] = link{}
		queue = append(queue, p)
	}
	for ; len(queue) > 0; queue = queue[1:] {
		p := queue[0]
		if p.box == feed.Place && p.at.Device == feed.Name && strings.HasPrefix(p.at.Terminal, terminal) {
			var cables []string
			for ; back[p] != (link{}); p = back[p].to {
				if c := back[p].cable; c != "" {
					cables = append(cables, c)
				}
			}
			slices.Sort(cables)
			return slices.Compact(cables), true
		}
		for _, l := range m[p] {
			if _, seen := back[l.to]; !seen {
				back[l.to] = link{p, l.cable}
				queue = append(queue, l.to)
			}
		}
	}
	return nil, false
}

func (p point) compare(q point) int {
	return strings.Compare(p.box+"\x00"+p.at.String(), q.box+"\x00"+q.at.String())
}

// supplies returns the hots or the neutrals in a box.
func (m metal) supplies(w *wiring.Wiring, s *wiring.Spec, box string, kind wiring.FunctionKind, terminal string) []Supply {
	var out []Supply
	add := func(feed switchnet.Ref, p point) *Supply {
		for i := range out {
			if out[i].Feed == feed && out[i].points[p] {
				return &out[i]
			}
		}
		n := Supply{Feed: feed, points: m.within(p)}
		n.way, n.known = m.way(n.points, feed, terminal)
		out = append(out, n)
		return &out[len(out)-1]
	}
	for _, e := range w.Ends(box) {
		if f, _ := w.FunctionAt(e); f.Kind == kind {
			for _, feed := range f.Feeds {
				n := add(feed, point{box, wiring.Joint{Wire: e.Wire}})
				n.Wires = append(n.Wires, e.Wire)
			}
		}
	}
	for i := range s.Feeds {
		f := &s.Feeds[i]
		if f.Box != box {
			continue
		}
		terminals := []string{terminal}
		if n := max(f.Poles, len(f.Lines)); n > 1 && kind == wiring.Hot {
			terminals = nil
			for k := range n {
				terminals = append(terminals, fmt.Sprintf("%s %d", terminal, k+1))
			}
		}
		for _, t := range terminals {
			add(switchnet.Ref{Place: f.Box, Name: f.Name}, point{box, wiring.Joint{Device: f.Name, Terminal: t}})
		}
	}
	slices.SortStableFunc(out, func(a, b Supply) int { return a.Feed.Compare(b.Feed) })
	return out
}

// several reports whether a feed has several supplies among some.
func several(list []Supply, feed switchnet.Ref) bool {
	n := 0
	for i := range list {
		if list[i].Feed == feed {
			n++
		}
	}
	return n > 1
}
