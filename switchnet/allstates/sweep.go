package allstates

import (
	"context"
	"slices"

	"example.com/switchleg/switchnet"
)

// diagram is the layered decision diagram of a query: one layer a device, and in
// it one node for each configuration that some positions of the devices before
// lead to. Layers of the same transition share its table, so that a long chain
// costs four bytes a device.
type diagram struct {
	q      *query
	device []int32 // dense device of each layer
	layer  []int32 // transition of each layer
	trans  []transition
	child  []uint32
	out    []uint8 // outcome of each node after the last layer
	sides  []sides // of each layer, in a loose query
	widest int32   // most nodes in a layer
	nodes  int     // stored, over all transitions
}

// transition is the step over one device: child[off+node*arity+position] is the
// node reached in the next layer.
type transition struct {
	off   uint32
	n     int32 // nodes
	next  int32 // nodes of the next layer
	arity int32
}

func (d *diagram) children(t *transition) []uint32 {
	return d.child[t.off : t.off+uint32(t.n*t.arity)]
}

// Nodes of the first few numbers are sinks: the outcome is known and stays.
const sinks = outcomes

const (
	sinkFalse = 0
	sinkTrue  = 1
)

// sweep builds a diagram.
type sweep struct {
	q       *query
	ctx     context.Context
	budget  int
	work    int
	columns []int32 // column of each pin; notYet, or gone once it is settled in every key
	pinned  int     // pins that have appeared
	place   int32   // of the first net that the device in hand opens

	keys  interner[uint16]
	sigs  interner[uint16]
	plans []plan
	lists interner[uint32]
	steps memo // (plan, list) -> (transition, list)

	// In a loose query: the sides of the device in hand, the places of its nets,
	// and the sides of each layer.
	side   sides
	places [maxLoose]uint16
	sides  []sides

	// Memory of the plans.
	places16  block[uint16]
	groups    block[group]
	positions block[[]group]
	list      []group
	at        []uint16

	buf    []uint16
	vals   []uint16
	out    []uint16
	nodes  []stamped // by key
	blocks []uint16
	number []uint16 // by block: its new number
	fresh  []uint32 // by block: the epoch number is of
	epoch  uint32
	next   []uint32
	deep   deep
}

// stamped is the number of a key's node in a layer.
type stamped struct{ layer, node int32 }

// smallList is the length up to which lists of keys are shared.
const smallList = 64

// widest is the most slots and pins that a key can hold.
const widest = 8000

// checkEvery is how many steps are taken between two looks at the context.
const checkEvery = 1 << 14

// reset makes a sweep, which may have been used before, ready for a query.
func (s *sweep) reset(q *query, ctx context.Context, budget int) {
	s.q, s.ctx, s.budget = q, ctx, budget
	s.work, s.pinned, s.epoch = 0, 0, 0
	s.keys.reset()
	s.sigs.reset()
	s.lists.reset()
	s.steps.reset()
	clear(s.nodes)
	clear(s.fresh)
	clear(s.plans)
	s.plans = s.plans[:0]
	s.places16.reset()
	s.groups.reset()
	s.positions.reset()
	s.sides = nil
	s.deep.reset()
	if s.buf == nil {
		small := make([]uint16, 256)
		s.buf, s.vals, s.out, s.at = small[:0:64], small[64:64:128], small[128:128:192], small[192:192:256]
		s.list = make([]group, 0, 8)
		s.next = make([]uint32, 0, 16)
		s.plans = make([]plan, 0, 16)
		s.nodes = make([]stamped, 64)
	}
}

// run builds the diagram.
func (s *sweep) run() (*diagram, error) {
	q, ctx := s.q, s.ctx
	r, n := q.r, len(q.order)
	all := make([]int32, 2*n)
	d := &diagram{q: q, device: all[:n:n], layer: all[n:], trans: make([]transition, 0, min(16, n)), child: make([]uint32, 0, min(64, 4*n))}
	nets := len(r.nets)
	all = make([]int32, 2*nets+len(q.pins)+64)
	slot, left := all[:nets], all[nets:2*nets]
	open, spare := all[2*nets:2*nets:2*nets+32], all[2*nets+32:2*nets+32:2*nets+64]
	s.columns = all[2*nets+64:]
	for i := range s.columns {
		s.columns[i] = notYet
	}
	// Node numbers of the sinks are their outcomes.
	for i := range uint16(sinks) {
		s.vals = append(s.vals[:0], i, 0xffff)
		s.keys.intern(s.vals)
	}
	current, err := s.start()
	if err != nil {
		return nil, err
	}
	list, _ := s.lists.intern(current)
	current = s.lists.at(list)
	for x := range slot {
		slot[x] = -1
		left[x] = r.degree[x]
	}
	for i, local := range q.order {
		if len(open)+s.pinned+len(r.termsOf(local)) > widest {
			s.next = s.next[:0]
			d.device[i] = r.devices[local]
			return nil, s.tooWide(d, i, open)
		}
		p := s.plan(local, slot, left, open)
		d.device[i] = r.devices[local]
		var trans, nextList int32
		hit := false
		if list >= 0 {
			trans, nextList, hit = s.steps.get(p, list)
		}
		if hit {
			s.work++
			current = s.lists.at(nextList)
		} else {
			trans, err = s.step(d, p, current)
			if err != nil {
				return nil, err
			}
			nextList = -1
			if len(s.next) <= smallList {
				nextList, _ = s.lists.intern(s.next)
				current = s.lists.at(nextList)
				if list >= 0 {
					s.steps.put(p, list, trans, nextList)
				}
			} else {
				current = append([]uint32(nil), s.next...)
			}
			if d.nodes > s.budget || s.keys.len() > s.budget || len(s.keys.data) > 32*s.budget {
				return nil, s.tooWide(d, i, open)
			}
		}
		list = nextList
		d.layer[i] = trans
		open, spare = s.advance(local, slot, left, open, spare)
		if s.work >= checkEvery {
			s.work = 0
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
	}
	d.sides = s.sides
	for i := range d.trans {
		d.widest = max(d.widest, d.trans[i].n, d.trans[i].next)
	}
	d.out = make([]uint8, len(current))
	for i, k := range current {
		d.out[i] = s.verdict(int32(k))
	}
	return d, nil
}

// What a pin without a column is.
const (
	notYet = -1
	gone   = -2
)

// start returns the list that holds the one key before any device.
func (s *sweep) start() ([]uint32, error) {
	one := s.next[:1]
	q := s.q
	if err := s.ctx.Err(); err != nil {
		return nil, err
	}
	for i, p := range q.pins {
		if p.net < 0 {
			s.reveal(int32(i))
		}
	}
	s.vals = append(append(s.vals[:0], 0), q.initial...)
	if q.never {
		one[0] = sinkFalse
		return one, nil
	}
	if q.f.shorted && q.short < 0 {
		one[0] = sinkFalse
		return one, nil
	}
	if q.f.shorted && q.short > 0 {
		s.vals[0] = settled
	}
	one[0] = uint32(s.finish(0))
	return one, nil
}

// step makes the transition of a plan from a list of keys. The list after is
// s.next.
func (s *sweep) step(d *diagram, id int32, current []uint32) (int32, error) {
	p := &s.plans[id]
	p.used++
	t := transition{off: uint32(len(d.child)), n: int32(len(current)), arity: int32(p.arity)}
	layer := int32(len(d.trans) + 1)
	s.next = s.next[:0]
	d.child = slices.Grow(d.child, len(current)*p.arity)
	remember := p.used > 1 && len(current) > smallList
	for _, k := range current {
		for pos := range p.arity {
			var to uint32
			at := int(k)*p.arity + pos
			switch {
			case k < sinks:
				to = k
			case remember && at < len(p.memo) && p.memo[at] != 0:
				to = p.memo[at] - 1
			case p.pos[pos] == nil:
				to = sinkFalse
			default:
				to = uint32(s.apply(p, int32(k), pos))
				if remember {
					if at >= len(p.memo) {
						p.memo = append(p.memo, make([]uint32, max(at+1, (s.keys.len()+1)*p.arity)-len(p.memo))...)
					}
					p.memo[at] = to + 1
				}
			}
			if int(to) >= len(s.nodes) {
				s.nodes = append(s.nodes, make([]stamped, max(64, 2*int(to)+2)-len(s.nodes))...)
			}
			x := &s.nodes[to]
			if x.layer != layer {
				*x = stamped{layer, int32(len(s.next))}
				s.next = append(s.next, to)
			}
			d.child = append(d.child, uint32(x.node))
			s.work++
		}
		if s.work >= checkEvery {
			s.work = 0
			if err := s.ctx.Err(); err != nil {
				return 0, err
			}
			if d.nodes+len(s.next) > s.budget {
				break
			}
		}
	}
	if s.q.deep {
		s.deep.narrow(s)
	}
	t.next = int32(len(s.next))
	d.nodes += len(current)
	if len(s.next)+d.nodes > s.budget {
		d.nodes = s.budget + 1
	}
	d.trans = append(d.trans, t)
	return int32(len(d.trans) - 1), nil
}

// apply returns the key that a position leads to.
func (s *sweep) apply(p *plan, key int32, pos int) int32 {
	v := append(s.vals[:0], s.keys.at(key)...)
	for _, base := range p.bases {
		if base != noRail && s.q.mono[base] {
			v = append(v, base)
		} else {
			v = append(v, firstBlock+8*uint16(len(v))+base)
		}
	}
	conflict := false
	for i := range p.pos[pos] {
		conflict = s.unite(v, &p.pos[pos][i]) || conflict
	}
	// Lay out the slots that stay, the flag, and the pins.
	o := s.out[:0]
	for _, at := range p.keep {
		o = append(o, v[at])
	}
	flag := v[p.live]
	if conflict && s.q.short != 0 {
		if s.q.short < 0 {
			s.vals, s.out = v, o
			return sinkFalse
		}
		flag = settled
	}
	o = append(o, flag)
	o = append(o, v[p.live+1:p.live+1+p.pins]...)
	for _, at := range p.newPins {
		o = append(o, v[at])
	}
	s.vals, s.out = o, v
	return s.finish(len(p.keep))
}

// unite joins the blocks of a group and reports whether the rails on it conflict.
func (s *sweep) unite(v []uint16, g *group) bool {
	l := g.label
	blocks := s.blocks[:0]
	for _, at := range g.at {
		x := v[at]
		if x < settled {
			l = join(l, x)
			continue
		}
		l = join(l, x&7)
		if b := x >> 3; !slices.Contains(blocks, b) {
			blocks = append(blocks, b)
		}
	}
	s.blocks = blocks
	if len(blocks) == 0 {
		return l == shorted
	}
	to := blocks[0]<<3 | l
	if l != noRail && s.q.mono[l] {
		to = l
	}
	for i, x := range v {
		if x >= firstBlock {
			for _, b := range blocks {
				if x>>3 == b {
					v[i] = to
				}
			}
		}
	}
	return l == shorted
}

// tooWide describes the knot at a layer.
func (s *sweep) tooWide(d *diagram, layer int, open []int32) error {
	net, f := s.q.f.net, s.q.f
	e := &BudgetError{Layer: layer + 1, Layers: len(d.layer), Device: net.DeviceAt(int(d.device[layer])).Ref,
		Configurations: len(s.next), Nodes: max(d.nodes, s.keys.len()), Budget: s.budget}
	wanted := map[int32]bool{}
	for _, l := range open {
		wanted[s.q.r.nets[l]] = true
	}
	for t := range net.Terminals() {
		x, _ := net.NetIndex(t)
		if r := f.netOf(int32(x)); wanted[r] {
			delete(wanted, r)
			e.Open = append(e.Open, t)
		}
	}
	slices.SortFunc(e.Open, switchnet.Terminal.Compare)
	return e
}
