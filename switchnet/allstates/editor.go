package allstates

import (
	"context"
	"slices"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
)

// An Editor keeps one yes-or-no question about a net, is there a state that fulfils
// all the claims, and answers it again after each change to a device.
//
// A change that keeps to the metal that already lands on the device, such as
// travelers exchanged, another kind in its place or a stuck contact, takes time
// logarithmic in the number of devices: what every device does to the
// configurations is kept in a balanced tree of relations. A change that lands a
// terminal on other metal is a change of structure and rebuilds the question.
//
// An editor changes neither the net nor the analysis it was made from. It is for
// one goroutine.
type Editor struct {
	a       *Analysis
	claims  []Claim
	g       *dense.Graph
	kinds   []switchnet.Kind // of each device, as edited
	known   []switchnet.Kind // of each kind of the graph
	t       relations
	place   []int32 // layer of each device, -1 if it has none
	lists   map[jointsKey][]joint
	allowed map[int32][]bool    // positions by claims
	loads   map[int32][]loadEnd // by device: loads on its terminals, such as a pilot
	codes   []int32             // of the terminals of each device of the diagram: local net, or as in region
	codeAt  []int32
	built   int
}

// Editor returns an editor for the question whether any state fulfils the claims.
// The devices that move are those of the analysis. The errors are those of
// [Analysis.Find], and a [BudgetError] where more than 1,024 configurations stand side
// by side, which is too many to keep ready whatever the options allow.
func (a *Analysis) Editor(ctx context.Context, claims ...Claim) (*Editor, error) {
	if err := a.ready(ctx); err != nil {
		return nil, err
	}
	g := *a.f.net.Dense()
	g.Kinds = slices.Clone(g.Kinds)
	g.DeviceKind = slices.Clone(g.DeviceKind)
	g.DeviceStart = slices.Clone(g.DeviceStart)
	g.DeviceNets = slices.Clone(g.DeviceNets)
	g.LoadNets = slices.Clone(g.LoadNets)
	e := &Editor{a: a, claims: slices.Clone(claims), g: &g, lists: map[jointsKey][]joint{}, loads: map[int32][]loadEnd{}}
	if _, err := a.compile(claims); err != nil {
		return nil, err
	}
	e.known = make([]switchnet.Kind, len(g.Kinds))
	for d := range g.Devices() {
		kind := a.f.net.DeviceAt(d).Kind
		e.kinds = append(e.kinds, kind)
		e.known[g.DeviceKind[d]] = kind
	}
	for i := range g.LoadNets {
		l := a.f.net.LoadAt(i)
		if l.On == "" {
			continue
		}
		for k, t := range l.Terminals() {
			if d, ok := a.f.net.DeviceIndex(t.Owner()); ok {
				e.loads[int32(d)] = append(e.loads[int32(d)], loadEnd{int32(i), k, slices.Index(e.kinds[d].Terminals, t.Name)})
			}
		}
	}
	if err := e.rebuild(ctx); err != nil {
		return nil, err
	}
	return e, nil
}

// loadEnd is an end of a load that sits on a terminal of a device.
type loadEnd struct {
	load          int32
	end, terminal int
}

// Possible reports whether some state fulfils the claims. It takes constant time.
func (e *Editor) Possible() bool { return e.t.accepts() }

// Rebuilds returns how often the question was built anew, the first time not
// counted.
func (e *Editor) Rebuilds() int { return e.built - 1 }

// rebuild answers the question from the start.
func (e *Editor) rebuild(ctx context.Context) error {
	if err := alive(ctx); err != nil {
		return err
	}
	old := e.a.f
	b := &Analysis{f: newFrame(old.net, e.g, old.pos, old.varied, true), budget: e.a.budget}
	b.f.terminal = e.netOf
	q, err := b.compile(e.claims)
	if err != nil {
		return err
	}
	allowed := q.allowed
	q.allowed = nil
	q.loose = true
	d, err := b.run(ctx, q)
	if err != nil {
		return err
	}
	if d.widest > maxRelation {
		wide := slices.IndexFunc(d.layer, func(t int32) bool { return max(d.trans[t].n, d.trans[t].next) == d.widest })
		return &BudgetError{Layer: wide + 1, Layers: len(d.layer), Device: e.a.f.net.DeviceAt(int(d.device[wide])).Ref,
			Configurations: int(d.widest), Nodes: int(d.widest), Budget: maxRelation, Fixed: true}
	}
	e.allowed = allowed
	e.place = make([]int32, e.g.Devices())
	for i := range e.place {
		e.place[i] = -1
	}
	for i, dev := range d.device {
		e.place[dev] = int32(i)
	}
	e.codes = e.codes[:0]
	e.codeAt = make([]int32, e.g.Devices())
	for i, dev := range d.device {
		e.codeAt[dev] = int32(len(e.codes))
		terms := d.q.r.termsOf(d.q.order[i])
		for _, c := range terms {
			if c <= termSame {
				c = terms[termSame-c]
			}
			e.codes = append(e.codes, c)
		}
	}
	e.t.reset(d)
	for i, dev := range d.device {
		e.t.leaf(i, e.parts(dev))
	}
	e.t.build()
	e.built++
	return nil
}

// codesOf returns where the terminals of a device of the diagram are landed.
func (e *Editor) codesOf(dev int32) []int32 {
	from := e.codeAt[dev]
	return e.codes[from : from+int32(e.g.Kind(int(dev)).Arity)]
}

// parts returns the branches that the positions of a device amount to.
func (e *Editor) parts(dev int32) parts {
	d := e.t.d
	layer := e.place[dev]
	kind := &e.g.Kinds[e.g.DeviceKind[dev]]
	allowed := e.allowed[dev]
	side := &d.sides[layer]
	codes := e.codesOf(dev)
	var list []joint
	if loosened(kind.Arity) {
		list = e.joints(int(side.nets), int(side.rails), side.conflict())
	}
	var set parts
	for i, blocks := range kind.Blocks {
		switch {
		case allowed != nil && !allowed[i]:
		case list == nil:
			set.add(i)
		default:
			n, _ := slices.BinarySearch(list, side.jointOf(codes, blocks))
			set.add(n)
		}
	}
	return set
}

// joints returns the joints of a layer, made once.
func (e *Editor) joints(nets, rails int, conflict bool) []joint {
	k := jointsKey{nets, rails, conflict}
	list, ok := e.lists[k]
	if !ok {
		list = joints(nets, rails, conflict)
		e.lists[k] = list
	}
	return list
}

type jointsKey struct {
	nets, rails int
	conflict    bool
}

// Exchange exchanges what is landed on two terminals of a device.
func (e *Editor) Exchange(ctx context.Context, device switchnet.Ref, terminal, other string) error {
	d, err := e.device(device)
	if err != nil {
		return err
	}
	t, err := e.terminal(d, terminal)
	if err != nil {
		return err
	}
	u, err := e.terminal(d, other)
	if err != nil {
		return err
	}
	return e.edit(ctx, d, func(list []int32) bool {
		list[t], list[u] = list[u], list[t]
		return true
	})
}

// Land moves a terminal of a device to other metal: to whatever the named terminal
// of the net is joined to for good. What it was landed on stays joined.
func (e *Editor) Land(ctx context.Context, device switchnet.Ref, terminal string, at switchnet.Terminal) error {
	d, err := e.device(device)
	if err != nil {
		return err
	}
	t, err := e.terminal(d, terminal)
	if err != nil {
		return err
	}
	x, ok := e.a.f.net.NetIndex(at)
	if !ok {
		return fail(UnknownTerminal, at, "is not a terminal of the net")
	}
	nets := e.g.Terminals(int(d))
	from, twin := nets[t], slices.Index(nets, int32(x))
	if from == int32(x) {
		return nil
	}
	others := slices.Clone(nets)
	others[t] = -1
	// Every net must keep its devices, or it opens and closes elsewhere.
	keeps := twin >= 0 && slices.Contains(others, from)
	return e.edit(ctx, d, func(list []int32) bool {
		if keeps {
			list[t] = list[twin]
		} else if &list[0] == &nets[0] {
			list[t] = int32(x)
		}
		return keeps
	})
}

// Replace puts a device of another kind in the place of one. It is landed by name:
// onto says for each of its terminals from which terminal of the old device it
// takes the landing; nil means that of the same name. The kind must have as many
// terminals as the one it replaces, and each landing is taken once. A device that a
// claim of the editor names, or with a load inside or on it, cannot be replaced.
func (e *Editor) Replace(ctx context.Context, device switchnet.Ref, kind switchnet.Kind, onto map[string]string) error {
	d, err := e.device(device)
	if err != nil {
		return err
	}
	old := e.kinds[d]
	if len(kind.Terminals) != len(old.Terminals) {
		return fail(BadValue, device, "has %d terminals and the kind to replace it %d; the number must be the same", len(old.Terminals), len(kind.Terminals))
	}
	if len(kind.Internal) > 0 || e.loads[d] != nil {
		return fail(BadValue, device, "has a load inside or on it, or would get one; an editor replaces contacts alone")
	}
	for _, c := range e.claims {
		if c.kind == claimPosition && c.ref == device || c.kind == claimTerminal && c.terminal.Owner() == device {
			return fail(BadValue, device, "is named by a claim of the editor and cannot be replaced")
		}
	}
	var from [switchnet.MaxTerminals]int
	for i, name := range kind.Terminals {
		source := name
		if onto != nil {
			source = onto[name]
		}
		from[i] = slices.Index(old.Terminals, source)
		if from[i] < 0 {
			return fail(UnknownTerminal, device, "has no terminal %q to take the landing of %q from", source, name)
		}
		if slices.Contains(from[:i], from[i]) {
			return fail(Repeated, device, "is to give the landing of %q twice", source)
		}
	}
	index, err := e.compiled(kind)
	if err != nil {
		return err
	}
	was := e.g.DeviceKind[d]
	e.kinds[d], e.g.DeviceKind[d] = e.known[index], index
	err = e.edit(ctx, d, func(list []int32) bool {
		var copied [switchnet.MaxTerminals]int32
		copy(copied[:], list)
		for i := range list {
			list[i] = copied[from[i]]
		}
		return true
	})
	if err != nil {
		e.kinds[d], e.g.DeviceKind[d] = old, was
	}
	return err
}

// compiled returns the number of a kind among those of the graph, adding it if it
// is new.
func (e *Editor) compiled(kind switchnet.Kind) (int32, error) {
	for i := range e.known {
		if k := &e.known[i]; k.Name == kind.Name && k.Equal(kind) {
			return int32(i), nil
		}
	}
	c, err := kind.Dense()
	if err != nil {
		return 0, err
	}
	e.known = append(e.known, kind.Clone())
	e.g.Kinds = append(e.g.Kinds, c)
	return int32(len(e.known) - 1), nil
}

// edit applies a change to the nets of a device, and to their codes in the region;
// change reports whether the device keeps to the metal it was on. Then the answer
// is brought up to date, or the question is built anew. On an error nothing has
// changed.
func (e *Editor) edit(ctx context.Context, d int32, change func(list []int32) bool) error {
	nets := e.g.Terminals(int(d))
	var saved [switchnet.MaxTerminals]int32
	copy(saved[:], nets)
	if keeps := change(nets); !keeps || !loosened(len(nets)) || e.loads[d] != nil || e.claimed(d) {
		e.carry(d)
		err := e.rebuild(ctx)
		if err != nil {
			copy(nets, saved[:])
			e.carry(d)
		}
		return err
	}
	if layer := e.place[d]; layer >= 0 {
		change(e.codesOf(d))
		e.t.change(int(layer), e.parts(d))
	}
	return nil
}

// claimed reports whether a claim names a terminal of a device.
func (e *Editor) claimed(d int32) bool {
	return slices.ContainsFunc(e.claims, func(c Claim) bool {
		return c.kind == claimTerminal && c.terminal.Owner() == e.a.f.net.DeviceAt(int(d)).Ref
	})
}

// netOf returns the net of a terminal, which for one of a device may have changed.
func (e *Editor) netOf(t switchnet.Terminal) (int, bool) {
	if d, ok := e.a.f.net.DeviceIndex(t.Owner()); ok {
		if i := slices.Index(e.kinds[d].Terminals, t.Name); i >= 0 {
			return int(e.g.Terminals(d)[i]), true
		}
	}
	return e.a.f.net.NetIndex(t)
}

// carry moves the loads on a device with its terminals.
func (e *Editor) carry(d int32) {
	for _, l := range e.loads[d] {
		e.g.LoadNets[l.load][l.end] = e.g.Terminals(int(d))[l.terminal]
	}
}

func (e *Editor) device(r switchnet.Ref) (int32, error) {
	d, ok := e.a.f.net.DeviceIndex(r)
	if !ok {
		return 0, fail(UnknownDevice, r, "is not a device of the net")
	}
	if !e.a.f.varied[d] {
		return 0, fail(NotVaried, r, "is held in one position; an editor changes devices that move")
	}
	return int32(d), nil
}

func (e *Editor) terminal(d int32, name string) (int, error) {
	t := slices.Index(e.kinds[d].Terminals, name)
	if t < 0 {
		return 0, fail(UnknownTerminal, e.a.f.net.DeviceAt(int(d)).Ref, "has no terminal %q", name)
	}
	return t, nil
}
