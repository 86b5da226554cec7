package packet

import (
	"strings"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// breakers notes in each box which breakers feed what is in it: the breaker of every
// feed of the box, of every circuit with a cable in it, and of every feed whose line
// finds its way to metal in the box through wires, contacts in any position and
// lights. A wire behind a lamp whose neutral is off is live as long as the lamp is
// fed; and so is a neutral as soon as a hand takes it apart, for every circuit that
// returns through it, whosever neutral it is. The circuits are in the order of the
// job.
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

// metal is the net with every contact closed and every load a wire, but for breakers
// and the supply: pieces of metal that are joined for good, by number.
type metal struct {
	net    *switchnet.Net
	number map[switchnet.Terminal]int32
	piece  []int32    // by terminal
	next   [][]int32  // pieces that a contact or a load leads to
	places [][]string // where the metal of a piece is
	rail   []bool     // pieces that start at the neutral or the ground of a feed
}

func newMetal(net *switchnet.Net) *metal {
	m := &metal{net: net, number: map[switchnet.Terminal]int32{}}
	for t := range net.Terminals() {
		m.number[t] = int32(len(m.number))
	}
	sets := unionfind.New(len(m.number))
	for c := range net.Conductors() {
		if c.From.Owner() != net.Source().Ref {
			sets.Union(m.number[c.From], m.number[c.To])
		}
	}
	for s := range net.Splices() {
		for _, t := range s.Joins[1:] {
			sets.Union(m.number[s.Joins[0]], m.number[t])
		}
	}
	var pieces int
	m.piece, pieces = sets.Number()
	m.next, m.places, m.rail = make([][]int32, pieces), make([][]string, pieces), make([]bool, pieces)
	for t := range net.Terminals() {
		i := m.at(t)
		if l := m.places[i]; len(l) == 0 || l[len(l)-1] != t.Place {
			m.places[i] = append(l, t.Place)
		}
	}
	for c := range net.Conductors() {
		if c.From.Owner() == net.Source().Ref {
			m.rail[m.at(c.To)] = true
		}
	}
	join := func(a, b switchnet.Terminal) {
		x, y := m.at(a), m.at(b)
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

// at returns the piece that a terminal of the net is on.
func (m *metal) at(t switchnet.Terminal) int32 { return m.piece[m.number[t]] }

// reach returns the places of the metal that a feed reaches, in no order and some of
// them many times: as far as the neutrals and grounds, and these to where they start.
// It takes time linear in what is reached.
func (m *metal) reach(feed switchnet.Ref) []string {
	var queue []int32
	seen := map[int32]bool{}
	visit := func(i int32) {
		if !seen[i] {
			seen[i] = true
			queue = append(queue, i)
		}
	}
	dev, _ := m.net.Device(feed)
	for _, t := range dev.Kind.Terminals {
		if strings.HasPrefix(t, "hot") {
			visit(m.at(feed.Terminal(t)))
		}
	}
	hots := len(queue)
	var places []string
	for k := 0; k < len(queue); k++ {
		i := queue[k]
		places = append(places, m.places[i]...)
		if m.rail[i] && k >= hots {
			continue
		}
		for _, n := range m.next[i] {
			visit(n)
		}
	}
	return places
}
