package plan

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// netID is what is one piece of metal between switches: the hot or the neutral of a
// class of clients, or a conductor of one client.
type netID struct {
	circuit int
	role    role
	class   int // of a hot or neutral: the clients that share it, numbered as they are parted
	client  int // of the others
	section int // of a traveler: from that place to the next
	which   int // of a traveler: 0 or 1
}

func (n netID) compare(o netID) int {
	return cmp.Or(cmp.Compare(n.circuit, o.circuit), cmp.Compare(order[n.role], order[o.role]), cmp.Compare(n.client, o.client),
		cmp.Compare(n.class, o.class), cmp.Compare(n.section, o.section), cmp.Compare(n.which, o.which))
}

// order is that of the nets in a box.
var order = [...]int{roleHot: 0, roleNeutral: 1, roleLeg: 2, roleCommon: 3, roleTraveler: 4, roleSpare: 5}

// joint is what meets in one box on one net.
type joint struct {
	id    netID
	wires []wireEnd
	terms []terminal
	used  bool // something else in the box is to be joined to it
}

type wireEnd struct {
	wire wiring.Wire
	near bool // at the end toward the feed
}

// terminal is a terminal of something in the box; a lead is joined by a connector.
type terminal struct {
	device, name string
	lead         bool
}

// site is one box of the plan.
type site struct {
	joints  map[netID]*joint
	grounds []wiring.Wire
	unused  []wiring.Wire
}

// writer makes a wiring of what was found.
type writer struct {
	m      *maker
	spec   wiring.Spec
	plan   *Plan
	sites  []site
	class  map[int]*classOf
	next   int
	of     map[string]string // feed of each cable
	number map[string]int    // of each cable in the spec
	// markings are the cores to be marked, in the order of the cables.
	markings []marking
	// What is to be grounded in each box.
	devices [][]wiring.Device
	lit     [][]string
}

// classOf is the clients that share a hot and a neutral from some run on.
type classOf struct {
	circuit int
	clients []int
}

func (w *writer) joint(box int32, id netID) *joint {
	s := &w.sites[box]
	if s.joints == nil {
		s.joints = map[netID]*joint{}
	}
	j, ok := s.joints[id]
	if !ok {
		j = &joint{id: id}
		s.joints[id] = j
	}
	return j
}

func (w *writer) newClass(circuit int, clients []int) int {
	w.next++
	w.class[w.next] = &classOf{circuit, clients}
	return w.next
}

// write makes the wiring and the words of the plan.
func (m *maker) write(p *Plan) error {
	in := m.in
	w := &writer{m: m, plan: p, sites: make([]site, len(in.Boxes)), class: map[int]*classOf{}, of: map[string]string{}, number: map[string]int{}}
	w.spec = wiring.Spec{Supply: in.Supply, Feeds: in.Feeds, Boxes: in.Boxes, Lights: in.Lights}.Clone()
	p.Controls = make([]Control, len(in.Controls))
	w.devices, w.lit = make([][]wiring.Device, len(in.Boxes)), make([][]string, len(in.Boxes))
	for ci := range m.circuits {
		if m.circuits[ci].clients() == 0 {
			continue
		}
		if err := w.circuit(ci, w.devices); err != nil {
			return err
		}
	}
	for _, list := range w.devices {
		w.spec.Devices = append(w.spec.Devices, list...)
	}
	stand(&w.spec, nil)
	for b := range in.Boxes {
		w.box(int32(b))
	}
	w.remarks()
	w.passing()
	w.together()
	p.Spec = w.spec
	return nil
}

// circuit writes the cables and devices of one circuit.
func (w *writer) circuit(ci int, devices [][]wiring.Device) error {
	m, f := w.m, &w.m.found[ci]
	l := newLayout(&m.circuits[ci], f.t)
	sp := newSplitter(l, m.stores[ci], m.in.Runs, f.shapes, newSharedSplits())
	private := w.private(ci, l, f.shapes, devices)
	all := make([]int, l.clients())
	for c := range all {
		all[c] = c
	}
	classes := make([]map[int]int, f.t.size()) // by node: the class of each client there
	root := w.newClass(ci, all)
	classes[0] = map[int]int{}
	for _, c := range all {
		classes[0][c] = root
	}
	feed := &m.in.Feeds[m.circuits[ci].feed]
	hot, neutral := w.joint(l.root, netID{circuit: ci, role: roleHot, class: root}), w.joint(l.root, netID{circuit: ci, role: roleNeutral, class: root})
	hot.terms = append(hot.terms, terminal{feed.Name, "hot", false})
	neutral.terms = append(neutral.terms, terminal{feed.Name, "neutral", false})
	parts := make([]partition, f.t.size())
	for v := int32(1); int(v) < f.t.size(); v++ {
		u := f.t.parent[v]
		if len(sp.clients[v]) == 0 {
			classes[v] = map[int]int{}
			continue
		}
		apart := sp.shared.together(len(sp.clients[v]))
		if u > 0 {
			apart = sp.beyond(u, v, parts[u])
		}
		cables := sp.best(v, apart).cables
		parts[v] = meet(apart, cables)
		classes[v] = map[int]int{}
		for i, c := range sp.clients[v] {
			if _, done := classes[v][c]; done {
				continue
			}
			var with []int
			for k, d := range sp.clients[v] {
				if parts[v][k] == parts[v][i] {
					with = append(with, d)
				}
			}
			n := w.newClass(ci, with)
			for _, d := range with {
				classes[v][d] = n
			}
		}
		for cable := uint8(0); slices.Contains(cables, cable); cable++ {
			if err := w.cable(ci, sp, v, cable, cables, private, classes); err != nil {
				return err
			}
		}
	}
	w.terminals(ci, l, f.shapes, classes)
	return nil
}

// private returns, for each node, the conductors of each client that go to its
// parent, and puts the devices of the groups in their boxes.
func (w *writer) private(ci int, l *layout, shapes []shape, devices [][]wiring.Device) [][]netID {
	out := make([][]netID, l.t.size())
	put := func(id netID, nodes []int32) {
		for _, v := range nodes {
			out[v] = append(out[v], id)
		}
	}
	for g := range l.groups {
		sh := shapes[g]
		gr := &l.groups[g]
		tour := l.tourOf(g, sh)
		c := &w.plan.Controls[gr.control]
		c.Name, c.Scheme = w.m.in.Controls[gr.control].Name, sh.scheme
		for i, v := range tour {
			box := l.t.box[v]
			name := w.m.in.Boxes[box].Name
			c.Order = append(c.Order, name)
			kind := switchnet.FourWay()
			switch {
			case len(tour) == 1:
				kind = switchnet.SinglePole()
			case i == 0 || i == len(tour)-1:
				kind = switchnet.ThreeWay()
			}
			devices[box] = append(devices[box], wiring.Device{Name: c.Name, Box: name, Kind: kind})
		}
		leg := netID{circuit: ci, role: roleLeg, client: g}
		ends := []int32{tour[len(tour)-1]}
		if sh.scheme == intent.JoinedCommons {
			ends = tour
			put(netID{circuit: ci, role: roleCommon, client: g}, l.t.path(tour[0], tour[1]))
		} else {
			for i := range len(tour) - 1 {
				for which := range 2 {
					put(netID{circuit: ci, role: roleTraveler, client: g, section: i, which: which}, l.t.path(tour[i], tour[i+1]))
				}
			}
		}
		put(leg, l.t.span(slices.Concat(ends, l.light[g])))
	}
	for n := range l.needs {
		if l.needs[n].kind == intent.SpareConductor {
			put(netID{circuit: ci, role: roleSpare, client: len(l.groups) + n}, l.t.path(0, l.needAt[n]))
		}
	}
	return out
}

// tourOf returns the places of a group, as nodes, from the hot end to the leg end.
func (l *layout) tourOf(g int, sh shape) []int32 {
	if l.tours == nil {
		l.tours = make([]toured, len(l.groups))
	}
	if t := &l.tours[g]; t.order == nil || t.of != sh {
		*t = toured{sh, l.t.tour(l.end[g], l.end[g][sh.a], l.end[g][sh.b])}
	}
	return l.tours[g].order
}

// cable writes one cable of the run from node v to its parent.
func (w *writer) cable(ci int, sp *splitter, v int32, cable uint8, cables partition, private [][]netID, classes []map[int]int) error {
	m, t := w.m, sp.l.t
	u := t.parent[v]
	var ids []netID    // at the far end
	var toward []netID // the same at the near end
	seen := map[netID]bool{}
	var l load
	add := func(far, near netID) {
		if !seen[far] {
			seen[far] = true
			ids, toward = append(ids, far), append(toward, near)
		}
	}
	inside := map[int]bool{}
	for i, c := range sp.clients[v] {
		if cables[i] != cable {
			continue
		}
		inside[c] = true
		if sp.wants[v][i].hot {
			add(netID{circuit: ci, role: roleHot, class: classes[v][c]}, netID{circuit: ci, role: roleHot, class: classes[u][c]})
		}
		if sp.wants[v][i].neutral {
			add(netID{circuit: ci, role: roleNeutral, class: classes[v][c]}, netID{circuit: ci, role: roleNeutral, class: classes[u][c]})
		}
	}
	for _, id := range private[v] {
		if inside[id.client] {
			add(id, id)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	roles := make([]role, len(ids))
	for i, id := range ids {
		roles[i] = id.role
		switch id.role {
		case roleNeutral:
			l.neutrals++
		case roleSpare:
			l.spares++
		case roleLeg:
			l.legs++
			l.lines++
		default:
			l.lines++
		}
	}
	run := t.run[v]
	r := &m.in.Runs[run]
	st := m.stores[ci]
	ch := st.price(m.in.Runs, run, l)
	var typ conductor.CableType
	switch ch.product {
	case looseProduct:
		colours, ok := st.pal.loose(l.neutrals, l.lines+l.spares)
		if !ok {
			return fmt.Errorf("plan: no colours for %d conductors", l.total())
		}
		p := &st.products[0].cable
		typ = conductor.LooseConductors(p.Material, st.size, p.Rating, append(colours, st.pal.ground)...)
	case ownProduct:
		typ = r.Cable
	default:
		typ = st.products[ch.product].cable
	}
	core, mark, ok := st.pal.assign(&typ, roles)
	if !ok {
		return fmt.Errorf("plan: no lawful colours for %d conductors in %s", l.total(), typ.Name)
	}
	near, far := m.in.Boxes[t.box[u]].Name, m.in.Boxes[t.box[v]].Name
	c := wiring.Cable{Name: fmt.Sprintf("C%d", len(w.spec.Cables)+1), Type: typ, From: near, To: far, Length: r.Length}
	if len(r.Bored)+r.Notches > 0 && !r.Existing && !slices.ContainsFunc(w.plan.Cables, func(c Cable) bool { return c.Run == int(run) }) {
		// The holes of a run are one cable's: it needs no plate for each that shares them.
		c.Bored, c.Notches = slices.Clone(r.Bored), r.Notches
	}
	w.spec.Cables = append(w.spec.Cables, c)
	w.number[c.Name] = len(w.spec.Cables) - 1
	w.of[c.Name] = m.in.Feeds[sp.l.feed].Name
	record := Cable{Name: c.Name, Run: int(run), Type: typ.Name, Cost: ch.score.cost, Why: w.whyCable(ci, sp, v, inside, l, ch, typ)}
	at := map[int]int{}
	for i, k := range core {
		at[k] = i
	}
	for k, k0 := range typ.Cores {
		wire := wiring.Wire{Cable: c.Name, Conductor: k0.Colour.String()}
		cond := Conductor{Colour: wire.Conductor}
		i, used := at[k]
		switch {
		case used:
			wn, wf := w.joint(t.box[u], toward[i]), w.joint(t.box[v], ids[i])
			wn.wires = append(wn.wires, wireEnd{wire: wire, near: true})
			wf.wires = append(wf.wires, wireEnd{wire: wire})
			cond.Does, cond.Why = does[ids[i].role], w.why(sp.l, v, ids[i], inside)
			if as, marked := mark[k]; marked {
				r := ids[i].role
				if r == roleCommon {
					r = roleTraveler
				}
				w.markings = append(w.markings, marking{len(w.spec.Cables) - 1, k, r, as})
			}
		case k0.Grounding:
			w.sites[t.box[u]].grounds = append(w.sites[t.box[u]].grounds, wire)
			w.sites[t.box[v]].grounds = append(w.sites[t.box[v]].grounds, wire)
			cond.Does, cond.Why = "ground", "grounds every switch, light and metal box beyond"
		default:
			w.sites[t.box[u]].unused = append(w.sites[t.box[u]].unused, wire)
			w.sites[t.box[v]].unused = append(w.sites[t.box[v]].unused, wire)
			cond.Does, cond.Why = "unused", "the cable has it; capped at both ends"
		}
		record.Conductors = append(record.Conductors, cond)
	}
	w.plan.Cables = append(w.plan.Cables, record)
	return nil
}
