package check

import (
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// metal says what is joined for good, the service left out: feeds meet there, circuits
// do not. Contacts that no handle opens count as metal.
type metal struct {
	first  map[switchnet.Ref]int32 // number of the first terminal of each owner
	terms  []switchnet.Terminal    // in name order
	piece  []int32
	pieces int

	hot, neutral, ground [][]int32 // by piece: feeds by number, in the order of the spec
	wires                []wire    // every conductor, in name order of cables
	contacts             []contact // what some position joins and another does not
	at                   [][]int32 // by piece: contacts on it
	local                joints
	hots                 [][]int32 // by piece, see hotsAt
}

// wire is one conductor of a cable.
type wire struct {
	wiring.Wire
	cable  int32 // in the spec
	core   conductor.Core
	open   bool
	known  bool // both ends are in known boxes
	box    [2]string
	term   [2]int32
	ground bool // bare or green
}

// contact is two terminals of a device that some position joins, and the pieces they
// are on.
type contact struct {
	device int32 // in the spec
	piece  [2]int32
}

var service = switchnet.Ref{Name: "service"}

// metal returns the metal of the job.
func (p *Pass) metal() *metal {
	if p.m != nil {
		return p.m
	}
	net := p.job.Wiring.Net()
	owners := len(p.spec.Feeds)*2 + len(p.spec.Devices) + len(p.spec.Lights) + len(p.spec.Cables)*2 + len(p.spec.Boxes)
	m := &metal{first: make(map[switchnet.Ref]int32, owners), terms: make([]switchnet.Terminal, 0, 5*owners)}
	for t := range net.Terminals() {
		if n := len(m.terms); n == 0 || m.terms[n-1].Place != t.Place || m.terms[n-1].Device != t.Device {
			m.first[t.Owner()] = int32(n)
		}
		m.terms = append(m.terms, t)
	}
	sets, local := unionfind.New(len(m.terms)), unionfind.New(len(m.terms))
	for c := range net.Conductors() {
		if c.From.Owner() == service {
			continue
		}
		a, b := m.term(c.From), m.term(c.To)
		sets.Union(a, b)
		if c.From.Place == c.To.Place { // a landing; a wire leads to another box
			local.Union(a, b)
		}
	}
	for s := range net.Splices() {
		first := m.term(s.Joins[0])
		for _, t := range s.Joins[1:] {
			n := m.term(t)
			sets.Union(first, n)
			local.Union(first, n)
		}
	}
	m.local.of, m.local.count = local.Number()
	kinds := map[string]*pairs{}
	var moving []contact
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		k := kinds[d.Kind.Name]
		if k == nil {
			k = pairsOf(&d.Kind)
			kinds[d.Kind.Name] = k
		}
		number := func(t int) int32 {
			return m.term(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: d.Kind.Terminals[t]})
		}
		for _, x := range k.fixed {
			sets.Union(number(x[0]), number(x[1]))
		}
		for _, x := range k.moving {
			moving = append(moving, contact{int32(i), [2]int32{number(x[0]), number(x[1])}})
		}
	}
	m.piece, m.pieces = sets.Number()
	m.contacts = moving
	m.at = make([][]int32, m.pieces)
	for i := range m.contacts {
		c := &m.contacts[i]
		for e, t := range c.piece {
			c.piece[e] = m.piece[t]
			m.at[c.piece[e]] = append(m.at[c.piece[e]], int32(i))
		}
	}
	m.feeds(p)
	m.cables(p)
	p.m = m
	return m
}

func (m *metal) feeds(p *Pass) {
	m.hot, m.neutral, m.ground = make([][]int32, m.pieces), make([][]int32, m.pieces), make([][]int32, m.pieces)
	for i := range p.spec.Feeds {
		f := &p.spec.Feeds[i]
		ref := switchnet.Ref{Place: f.Box, Name: f.Name}
		put := func(list [][]int32, name string) {
			if n, ok := m.number(ref.Terminal(name)); ok {
				list[m.piece[n]] = append(list[m.piece[n]], int32(i))
			}
		}
		for _, t := range f.Hots() {
			put(m.hot, t)
		}
		put(m.neutral, "neutral")
		put(m.ground, "ground")
	}
}

func (m *metal) cables(p *Pass) {
	open := make(map[wiring.Wire]bool, len(p.spec.Opens))
	for _, o := range p.spec.Opens {
		open[o] = true
	}
	order := make([]int, len(p.spec.Cables))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(p.spec.Cables[a].Name, p.spec.Cables[b].Name) })
	for _, i := range order {
		c := &p.spec.Cables[i]
		to := c.To
		if to == "" {
			to = wiring.UnknownPlace(c.Name)
		}
		for _, core := range c.Type.Cores {
			w := wire{Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}, cable: int32(i), core: core,
				known: c.To != "", box: [2]string{c.From, to}, ground: grounding(core.Colour)}
			w.open = open[w.Wire]
			w.term = [2]int32{m.term(w.Wire.In(c.From)), m.term(w.Wire.In(to))}
			m.wires = append(m.wires, w)
		}
	}
}

// grounding reports whether insulation, or its lack, is that of a grounding conductor.
func grounding(c conductor.Colour) bool { return c.Main == conductor.Bare || c.Main == conductor.Green }

// number returns the number of a terminal, and false if there is no such terminal.
func (m *metal) number(t switchnet.Terminal) (int32, bool) {
	n, ok := m.first[t.Owner()]
	if !ok {
		return 0, false
	}
	for int(n) < len(m.terms) && m.terms[n].Place == t.Place && m.terms[n].Device == t.Device {
		if m.terms[n].Name == t.Name {
			return n, true
		}
		n++
	}
	return 0, false
}

// term returns the number of a terminal that there is.
func (m *metal) term(t switchnet.Terminal) int32 {
	n, _ := m.number(t)
	return n
}

// on returns the piece a terminal is on, and false if there is no such terminal.
func (m *metal) on(t switchnet.Terminal) (int32, bool) {
	n, ok := m.number(t)
	if !ok {
		return 0, false
	}
	return m.piece[n], true
}

// railed reports whether a piece is joined for good to a rail.
func (m *metal) railed(piece int32) bool {
	return len(m.hot[piece])+len(m.neutral[piece])+len(m.ground[piece]) > 0
}

// reach returns the pieces that some positions of the switches could join to a piece,
// itself included. Rails are boundaries: nothing is reached through a piece that is
// joined to one for good, but the start.
func (m *metal) reach(from int32) []int32 { return m.around(from, -1) }

// around is reach without the contacts of a device, by its number in the spec.
func (m *metal) around(from, device int32) []int32 {
	seen := map[int32]bool{from: true}
	out := []int32{from}
	for i := 0; i < len(out); i++ {
		if i > 0 && m.railed(out[i]) {
			continue
		}
		for _, c := range m.at[out[i]] {
			if m.contacts[c].device == device {
				continue
			}
			for _, x := range m.contacts[c].piece {
				if !seen[x] {
					seen[x] = true
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// pairs are the pairs of terminals of a kind, by index, that every position joins, and
// those that some do.
type pairs struct{ fixed, moving [][2]int }

func pairsOf(k *switchnet.Kind) *pairs {
	out := &pairs{}
	for i, t := range k.Terminals {
		for j := i + 1; j < len(k.Terminals); j++ {
			switch {
			case k.AlwaysJoins(t, k.Terminals[j]):
				out.fixed = append(out.fixed, [2]int{i, j})
			case slices.ContainsFunc(k.Positions, func(p switchnet.Position) bool { return p.Joined(t, k.Terminals[j]) }):
				out.moving = append(out.moving, [2]int{i, j})
			}
		}
	}
	return out
}
