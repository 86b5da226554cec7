package packet

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// breakers notes in each box which breakers feed what is in it: the breaker of every
// feed of the box, of every circuit with a cable in it, and of every feed whose line
// finds its way to metal in the box through wires, contacts in any position and
// lights, to where it meets the neutral or the ground. A wire behind a lamp whose
// neutral is off is live as long as the lamp is fed. The circuits are in the order
// of the job.
func (s *sheets) breakers(circuits []wiring.Circuit) {
	cable := map[string]*wiring.Cable{}
	for i := range s.spec.Cables {
		cable[s.spec.Cables[i].Name] = &s.spec.Cables[i]
	}
	m := newMetal(s.w.Net())
	for _, c := range circuits {
		in := map[string]bool{c.Feed.Place: true}
		for _, name := range c.Cables {
			in[cable[name].From], in[cable[name].To] = true, true
		}
		for _, place := range m.reach(c.Feed) {
			in[place] = true
		}
		for box := range in {
			if has, ok := s.held[box]; ok {
				has.breakers = append(has.breakers, c.Feed.String())
			}
		}
	}
}

// metal is the net with every contact closed and every load a wire, but for
// breakers: pieces of metal that are joined for good, numbered by the net.
type metal struct {
	net    *switchnet.Net
	next   map[int][]int    // pieces that a contact or a load leads to
	places map[int][]string // where the metal of a piece is
	rail   map[int]bool     // pieces that hold a rail of the supply
}

func newMetal(net *switchnet.Net) *metal {
	m := &metal{net: net, next: map[int][]int{}, places: map[int][]string{}, rail: map[int]bool{}}
	for t := range net.Terminals() {
		i, _ := net.NetIndex(t)
		if l := m.places[i]; len(l) == 0 || l[len(l)-1] != t.Place {
			m.places[i] = append(l, t.Place)
		}
	}
	src := net.Source()
	for r := range switchnet.Rails() {
		if i, ok := net.NetIndex(src.Rail(r)); ok {
			m.rail[i] = true
		}
	}
	join := func(a, b switchnet.Terminal) {
		x, _ := net.NetIndex(a)
		y, _ := net.NetIndex(b)
		m.next[x], m.next[y] = append(m.next[x], y), append(m.next[y], x)
	}
	for d := range net.Devices() {
		if d.Kind.Breaker {
			continue
		}
		for _, p := range d.Kind.Positions {
			for _, group := range p.Joins {
				for i := 1; i < len(group); i++ {
					join(d.Terminal(group[0]), d.Terminal(group[i]))
				}
			}
		}
	}
	for l := range net.Loads() {
		ends := l.Terminals()
		join(ends[0], ends[1])
	}
	return m
}

// reach returns the places of the metal that a feed reaches, in no order and some of
// them many times. It takes time linear in what is reached.
func (m *metal) reach(feed switchnet.Ref) []string {
	var queue []int
	seen := map[int]bool{}
	visit := func(i int) {
		if !seen[i] {
			seen[i] = true
			queue = append(queue, i)
		}
	}
	dev, _ := m.net.Device(feed)
	hots := slices.DeleteFunc(dev.Kind.Terminals, func(t string) bool { return !strings.HasPrefix(t, "hot") })
	for _, t := range hots {
		if i, ok := m.net.NetIndex(feed.Terminal(t)); ok {
			visit(i)
		}
	}
	var places []string
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		places = append(places, m.places[i]...)
		for _, n := range m.next[i] {
			if !m.rail[n] {
				visit(n)
			}
		}
	}
	return places
}
