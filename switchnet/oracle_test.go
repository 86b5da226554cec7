package switchnet_test

import (
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// oracle answers the questions of a View from the definitions in the package
// documentation, by walking the declared parts one terminal at a time. It knows
// nothing of the contracted graph, numbers nothing and shares nothing with the
// solver; it is slow.
type oracle struct {
	net   *switchnet.Net
	sys   switchnet.System
	steps map[switchnet.Terminal][]way
	rail  map[switchnet.Rail]switchnet.Terminal
	left  int // steps that enumeration may still take

	// What has been found before.
	heldBy  map[switchnet.Terminal]switchnet.RailSet
	railsOf map[switchnet.Terminal]switchnet.RailSet
	pieceOf map[switchnet.Terminal]set
}

// enumeration is the number of steps that a listing of paths may take.
const enumeration = 60_000

type set = map[switchnet.Terminal]bool

// once returns what m holds for t, asking find the first time.
func once[V any](m map[switchnet.Terminal]V, t switchnet.Terminal, find func() V) V {
	v, ok := m[t]
	if !ok {
		v = find()
		m[t] = v
	}
	return v
}

// way is a step with the part that it goes through: a splice, one group of joined
// contacts of a device, one conductor, one load.
type way struct {
	switchnet.Step
	part part
}

type part struct {
	kind  switchnet.StepKind
	place string // of a splice or device; conductors are named net-wide
	name  string
	group string // first terminal of the group of contacts
}

func newOracle(net *switchnet.Net, state switchnet.State) *oracle {
	o := &oracle{net: net, sys: net.Source().System, steps: map[switchnet.Terminal][]way{}, rail: map[switchnet.Rail]switchnet.Terminal{}, left: enumeration,
		heldBy: map[switchnet.Terminal]switchnet.RailSet{}, railsOf: map[switchnet.Terminal]switchnet.RailSet{}, pieceOf: map[switchnet.Terminal]set{}}
	add := func(p part, name string, from, to switchnet.Terminal) {
		o.steps[from] = append(o.steps[from], way{switchnet.Step{Kind: p.kind, Name: name, From: from, To: to}, p})
	}
	// In the promised order of choices: conductors, splices, contacts, loads.
	for c := range net.Conductors() {
		p := part{kind: switchnet.ByConductor, name: c.Name}
		add(p, c.Name, c.From, c.To)
		add(p, c.Name, c.To, c.From)
	}
	for s := range net.Splices() {
		p := part{kind: switchnet.BySplice, place: s.Place, name: s.Name}
		for _, t := range s.Joins {
			for _, u := range s.Joins {
				if t != u {
					add(p, s.Name, t, u)
				}
			}
		}
	}
	for d := range net.Devices() {
		position, _ := state.Position(d.Ref)
		i, _ := d.Kind.Position(position)
		for _, group := range d.Kind.Positions[i].Joins {
			for _, t := range d.Kind.Terminals {
				for _, u := range d.Kind.Terminals {
					if t != u && slices.Contains(group, t) && slices.Contains(group, u) {
						add(part{switchnet.ByContact, d.Place, d.Name, group[0]}, d.Name, d.Terminal(t), d.Terminal(u))
					}
				}
			}
		}
	}
	for l := range net.Loads() {
		ends := l.Terminals()
		p := part{kind: switchnet.ByLoad, place: l.Place, name: l.Name}
		add(p, l.Name, ends[0], ends[1])
		add(p, l.Name, ends[1], ends[0])
	}
	for r := range switchnet.Rails() {
		if o.sys.Has(r) {
			o.rail[r] = net.Source().Rail(r)
		}
	}
	return o
}

func fixed(k switchnet.StepKind) bool { return k == switchnet.ByConductor || k == switchnet.BySplice }

// flood returns what is reached from a terminal by the ways that take allows.
func (o *oracle) flood(from switchnet.Terminal, take func(way) bool) set {
	seen := set{from: true}
	todo := []switchnet.Terminal{from}
	for len(todo) > 0 {
		t := todo[0]
		todo = todo[1:]
		for _, w := range o.steps[t] {
			if !seen[w.To] && take(w) {
				seen[w.To] = true
				todo = append(todo, w.To)
			}
		}
	}
	return seen
}

// held returns the rails that a terminal is joined to for good.
func (o *oracle) held(t switchnet.Terminal) switchnet.RailSet {
	return once(o.heldBy, t, func() (rails switchnet.RailSet) {
		reach := o.flood(t, func(w way) bool { return fixed(w.Kind) })
		for r, rt := range o.rail {
			if reach[rt] {
				rails = union(rails, switchnet.RailsOf(r))
			}
		}
		return rails
	})
}

// piece returns the metal that a terminal is part of in this state. Metal held by
// a rail ends at the first contact; other metal goes through contacts up to, and
// not into, what a rail holds.
func (o *oracle) piece(t switchnet.Terminal) set {
	return once(o.pieceOf, t, func() set {
		railed := !o.held(t).Empty()
		return o.flood(t, func(w way) bool {
			return fixed(w.Kind) || w.Kind == switchnet.ByContact && !railed && o.held(w.To).Empty()
		})
	})
}

// rails returns the rails that a terminal is joined to by metal.
func (o *oracle) rails(t switchnet.Terminal) switchnet.RailSet {
	return once(o.railsOf, t, func() switchnet.RailSet {
		rails := o.held(t)
		if !rails.Empty() {
			return rails
		}
		for u := range o.piece(t) {
			for _, w := range o.steps[u] {
				if w.Kind == switchnet.ByContact {
					rails = union(rails, o.held(w.To))
				}
			}
		}
		return rails
	})
}

// through returns the rails that a terminal reaches only through loads.
func (o *oracle) through(t switchnet.Terminal) (rails switchnet.RailSet) {
	if !o.rails(t).Empty() {
		return rails
	}
	reach := o.flood(t, func(w way) bool { return o.rails(w.To).Empty() })
	for u := range reach {
		for _, w := range o.steps[u] {
			if w.Kind == switchnet.ByLoad {
				rails = union(rails, o.rails(w.To))
			}
		}
	}
	return rails
}

func union(a, b switchnet.RailSet) switchnet.RailSet {
	return switchnet.RailsOf(slices.AppendSeq(slices.Collect(a.All()), b.All())...)
}

// apart reports whether two rails are at different potentials.
func (o *oracle) apart(a, b switchnet.Rail) bool {
	earth := func(r switchnet.Rail) bool { return !r.Line() }
	return a != b && !(earth(a) && earth(b))
}

func (o *oracle) conflict(s switchnet.RailSet) bool {
	for a := range s.All() {
		for b := range s.All() {
			if o.apart(a, b) {
				return true
			}
		}
	}
	return false
}

// trail is a path under way, with all that it may not meet again.
type trail struct {
	path   []way
	terms  set
	parts  map[part]bool
	pieces set // all of the metal gone through
	loads  int
}

// energized returns every path from a line, through at least one load, to a rail
// that comes later and has another potential: no terminal, splice, group of
// contacts or conductor twice, and no piece of metal left through a load and met
// again. It leaves the metal that its own line holds through a load, crosses metal
// that no rail holds, and ends in the first metal that another rail holds. In
// promised order; false if there are too many to list.
func (o *oracle) energized() ([][]way, bool) {
	var all [][]way
	for r := range switchnet.Rails() {
		if r.Line() && o.sys.Has(r) {
			var found [][]way
			tr := &trail{terms: set{}, parts: map[part]bool{}, pieces: set{}}
			o.extend(r, o.rail[r], tr, &found)
			all = append(all, found...)
		}
	}
	slices.SortStableFunc(all, func(a, b []way) int { return len(a) - len(b) })
	return all, o.left > 0
}

func (o *oracle) extend(from switchnet.Rail, at switchnet.Terminal, tr *trail, found *[][]way) {
	if o.left--; o.left <= 0 {
		return
	}
	if tr.loads > 0 {
		for r, t := range o.rail {
			if t == at && r > from && o.apart(r, from) {
				*found = append(*found, slices.Clone(tr.path))
				return
			}
		}
	}
	tr.terms[at] = true
	defer delete(tr.terms, at)
	own := o.piece(o.rail[from])
	for _, w := range o.steps[at] {
		if tr.terms[w.To] || tr.parts[w.part] {
			continue
		}
		var left []switchnet.Terminal
		switch w.Kind {
		case switchnet.ByContact:
			// Rails are boundaries: metal is entered from its own rail,
			// and after a load that of another rail may be entered.
			if !own[at] && !o.held(at).Empty() || own[w.To] || !o.held(w.To).Empty() && tr.loads == 0 {
				continue
			}
		case switchnet.ByLoad:
			near, far := o.rails(at), o.rails(w.To)
			mine := near.Has(from) && tr.loads == 0
			if o.conflict(near) || o.conflict(far) || !mine && !near.Empty() || far.Has(from) || tr.pieces[w.To] || o.piece(at)[w.To] {
				continue
			}
			for t := range o.piece(at) {
				if !tr.pieces[t] {
					left = append(left, t)
				}
			}
			tr.loads++
		}
		for _, t := range left {
			tr.pieces[t] = true
		}
		tr.parts[w.part] = true
		tr.path = append(tr.path, w)
		o.extend(from, w.To, tr, found)
		tr.path = tr.path[:len(tr.path)-1]
		delete(tr.parts, w.part)
		for _, t := range left {
			delete(tr.pieces, t)
		}
		if w.Kind == switchnet.ByLoad {
			tr.loads--
		}
	}
}

// status returns what a load does, given all energized paths.
func (o *oracle) status(l switchnet.Load, energized [][]way) switchnet.LoadStatus {
	ends := l.Terminals()
	a, b := o.rails(ends[0]), o.rails(ends[1])
	switch {
	case o.conflict(a) || o.conflict(b):
		return switchnet.Faulted
	case !a.Empty() && !b.Empty():
		if o.conflict(union(a, b)) {
			return switchnet.Lit
		}
	case slices.ContainsFunc(energized, func(p []way) bool { return passes(p, l.Ref) }):
		return switchnet.Dim
	}
	return switchnet.Unlit
}

// volts returns what a load with a status gets.
func (o *oracle) volts(l switchnet.Load, status switchnet.LoadStatus) quantity.Voltage {
	ends := l.Terminals()
	lines := func(t switchnet.Terminal) bool { return !o.rails(t).Lines().Empty() }
	switch {
	case status != switchnet.Lit:
		return 0
	case lines(ends[0]) && lines(ends[1]):
		return o.sys.LineToLine
	}
	return o.sys.LineToNeutral
}

func passes(p []way, load switchnet.Ref) bool {
	return slices.ContainsFunc(p, func(w way) bool {
		return w.part == part{kind: switchnet.ByLoad, place: load.Place, name: load.Name}
	})
}

func plain(p []way) switchnet.Path {
	out := switchnet.Path{Steps: make([]switchnet.Step, len(p))}
	for i, w := range p {
		out.Steps[i] = w.Step
	}
	return out
}
