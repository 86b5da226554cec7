package wiring

import (
	"math/bits"
	"slices"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
)

// metal numbers the terminals in name order and says which are joined for good,
// the supply left out: feeds meet there, circuits do not.
type metal struct {
	first  map[switchnet.Ref]int32 // number of the first terminal of each owner
	terms  []switchnet.Terminal
	piece  []int32 // by terminal: the piece of metal it is on
	pieces int
	kinds  map[string]*contacts
	funcs  []Function // by piece
}

// contacts are the contacts of a kind of device, as sets of its terminals in the
// order of the kind.
type contacts struct {
	some   []uint64   // joined with the terminal in some position
	always []uint64   // joined with it in every position
	in     [][]uint64 // the positions in which two terminals are joined; of more than 64, every 64th is taken for one
}

// switched reports whether some handle position joins the terminal with another
// and some does not. A terminal that is not switched takes power to something: to
// what is plugged in, to the device's own electronics, to a pilot lamp.
func (c *contacts) switched(t int) bool { return c.some[t] != c.always[t] }

func contactsOf(k *switchnet.Kind) *contacts {
	n := len(k.Terminals)
	c := &contacts{make([]uint64, n), make([]uint64, n), make([][]uint64, n)}
	for t := range c.in {
		c.in[t] = make([]uint64, n)
	}
	for p, position := range k.Positions {
		now := make([]uint64, n)
		for _, group := range position.Joins {
			var set uint64
			for _, name := range group {
				set |= 1 << slices.Index(k.Terminals, name)
			}
			for _, name := range group {
				t := slices.Index(k.Terminals, name)
				now[t] = set &^ (1 << t)
			}
		}
		for t := range now {
			for set := now[t]; set != 0; set &= set - 1 {
				c.in[t][bits.TrailingZeros64(set)] |= 1 << (p % 64)
			}
			c.some[t] |= now[t]
			if p == 0 {
				c.always[t] = now[t]
			}
			c.always[t] &= now[t]
		}
	}
	return c
}

// number returns the number of a terminal of the net.
func (m *metal) number(t switchnet.Terminal) int32 {
	n := m.first[t.Owner()]
	for m.terms[n].Name != t.Name {
		n++
	}
	return n
}

// joined returns the metal of the wiring.
func (w *Wiring) joined() *metal {
	w.metalOnce.Do(func() {
		m := &metal{first: map[switchnet.Ref]int32{}, kinds: map[string]*contacts{}}
		for t := range w.net.Terminals() {
			if n := len(m.terms); n == 0 || m.terms[n-1].Owner() != t.Owner() {
				m.first[t.Owner()] = int32(n)
			}
			m.terms = append(m.terms, t)
		}
		sets := unionfind.New(len(m.terms))
		for c := range w.net.Conductors() {
			if c.From.Owner() != service {
				sets.Union(m.number(c.From), m.number(c.To))
			}
		}
		for s := range w.net.Splices() {
			for _, t := range s.Joins[1:] {
				sets.Union(m.number(s.Joins[0]), m.number(t))
			}
		}
		for i := range w.spec.Devices {
			d := &w.spec.Devices[i]
			c := m.contacts(&d.Kind)
			for t, set := range c.always {
				for u := range t {
					if set&(1<<u) != 0 {
						sets.Union(m.number(d.ref().Terminal(d.Kind.Terminals[t])), m.number(d.ref().Terminal(d.Kind.Terminals[u])))
					}
				}
			}
		}
		m.piece, m.pieces = sets.Number()
		w.metal = m
		m.funcs = w.readFunctions(m)
	})
	return w.metal
}

func (m *metal) contacts(k *switchnet.Kind) *contacts {
	c, ok := m.kinds[k.Name]
	if !ok {
		c = contactsOf(k)
		m.kinds[k.Name] = c
	}
	return c
}

// at returns the piece of metal a terminal of the net is on.
func (m *metal) at(t switchnet.Terminal) int32 { return m.piece[m.number(t)] }
