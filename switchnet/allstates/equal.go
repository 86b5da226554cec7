package allstates

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A DifferenceKind says in what two wirings differ.
type DifferenceKind uint8

// The kinds of difference.
const (
	// DifferentDevices: a device moves in one and not in the other, or its
	// positions have other names.
	DifferentDevices DifferenceKind = iota + 1
	// DifferentLoads: a load is in one and not in the other.
	DifferentLoads
	// DifferentStatus: a load does something else in some state.
	DifferentStatus
	// DifferentShort: some state is shorted in one and not in the other.
	DifferentShort
)

var differenceNames = [...]string{"", "different devices", "different loads", "different status", "different short"}

// String returns the words.
func (k DifferenceKind) String() string {
	return enum.Word(differenceNames[:], k, "DifferenceKind")
}

// MarshalText writes the words.
func (k DifferenceKind) MarshalText() ([]byte, error) {
	if k < 1 || int(k) >= len(differenceNames) {
		return nil, fmt.Errorf("allstates: %v is not a kind of difference", k)
	}
	return []byte(differenceNames[k]), nil
}

// A Difference is something in which two wirings behave differently.
type Difference struct {
	Kind DifferenceKind
	// Subject is the device or the load; it is zero for DifferentShort.
	Subject switchnet.Ref
	// States show a difference of status or short: the same positions in
	// either net.
	States [2]switchnet.State
	// Status is what the load does in either.
	Status [2]switchnet.LoadStatus
	// Shorted is which of them is shorted.
	Shorted [2]bool
}

// Equal compares the behaviour of two analysed nets: whether the same devices move
// between positions of the same names, and whether in every state every load does
// the same and both or neither are shorted. It returns nil if so, and otherwise the
// first difference: of devices in name order, of loads in name order, then shorts.
// Loads and devices are matched by name; how they are wired does not matter.
func Equal(ctx context.Context, a, b *Analysis) (*Difference, error) {
	for _, x := range []*Analysis{a, b} {
		if err := x.ready(ctx); err != nil {
			return nil, err
		}
	}
	if d := differentDevices(a, b); d != nil {
		return d, nil
	}
	for l := range a.f.net.Loads() {
		if _, ok := b.f.net.LoadIndex(l.Ref); !ok {
			return &Difference{Kind: DifferentLoads, Subject: l.Ref}, nil
		}
	}
	for l := range b.f.net.Loads() {
		if _, ok := a.f.net.LoadIndex(l.Ref); !ok {
			return &Difference{Kind: DifferentLoads, Subject: l.Ref}, nil
		}
	}
	compare := func(query func(*Analysis) *query, terminal [outcomes]ref) (*product, error) {
		p := &product{a: a, b: b, terminal: terminal}
		d, err := a.run(ctx, query(a))
		if err != nil {
			return nil, err
		}
		q := query(b)
		q.rank = p.rank(d.device)
		e, err := b.run(ctx, q)
		if err != nil {
			return nil, err
		}
		return p, p.run(ctx, d, e)
	}
	for l := range a.f.net.Loads() {
		p, err := compare(func(x *Analysis) *query {
			i, _ := x.f.net.LoadIndex(l.Ref)
			return &query{classify: true, targets: []target{{load: int32(i)}}}
		}, statusRefs)
		if err != nil {
			return nil, err
		}
		if p.differ {
			return &Difference{Kind: DifferentStatus, Subject: l.Ref, States: p.states,
				Status: [2]switchnet.LoadStatus{statusOf(p.refs[0]), statusOf(p.refs[1])}}, nil
		}
	}
	p, err := compare(func(*Analysis) *query { return &query{short: 1} }, [outcomes]ref{refOff, refOn, refOff, refOff})
	if err != nil || !p.differ {
		return nil, err
	}
	return &Difference{Kind: DifferentShort, States: p.states, Shorted: [2]bool{p.refs[0] == refOn, p.refs[1] == refOn}}, nil
}

func differentDevices(a, b *Analysis) *Difference {
	all := append(a.Devices(), b.Devices()...)
	slices.SortFunc(all, switchnet.Ref.Compare)
	for _, r := range slices.Compact(all) {
		i, ok := a.f.net.DeviceIndex(r)
		j, ok2 := b.f.net.DeviceIndex(r)
		if !ok || !ok2 || !a.f.varied[i] || !b.f.varied[j] {
			return &Difference{Kind: DifferentDevices, Subject: r}
		}
		p, q := a.f.net.DeviceAt(i).Kind.Positions, b.f.net.DeviceAt(j).Kind
		if len(p) != len(q.Positions) {
			return &Difference{Kind: DifferentDevices, Subject: r}
		}
		for _, x := range p {
			if _, ok := q.Position(x.Name); !ok {
				return &Difference{Kind: DifferentDevices, Subject: r}
			}
		}
	}
	return nil
}

// product walks two diagrams side by side.
type product struct {
	a, b     *Analysis
	terminal [outcomes]ref
	differ   bool
	states   [2]switchnet.State
	refs     [2]ref
}

// rank returns, for each device of b, its place in the order of a's devices; those
// that a does not have come last, in name order.
func (p *product) rank(order []int32) []int32 {
	rank := make([]int32, p.b.f.g.Devices())
	for i := range rank {
		rank[i] = int32(len(order) + i)
	}
	for i, d := range order {
		j, _ := p.b.f.net.DeviceIndex(p.a.f.net.DeviceAt(int(d)).Ref)
		rank[j] = int32(i)
	}
	return rank
}

// run compares the diagrams d of a and e of b, the latter in an order that agrees
// with the former.
func (p *product) run(ctx context.Context, d, e *diagram) error {
	r, s := p.a.reduce(d, p.terminal), p.b.reduce(e, p.terminal)
	type both struct {
		x, y ref
		from int32 // index of the pair before
		pos  uint8 // position, in a
	}
	type layer struct {
		device     int32 // in a
		twin       int32 // in b
		inA, inB   int   // layers, -1 if absent
		pairs      []both
		translated []uint8 // position in b of each in a
	}
	rank := p.rank(d.device)
	var layers []layer
	for i, j := 0, 0; i < len(r.device) || j < len(s.device); {
		l := layer{inA: -1, inB: -1}
		switch {
		case j == len(s.device) || i < len(r.device) && int(rank[s.device[j]]) > i:
			l.device, l.inA = r.device[i], i
			k, _ := p.b.f.net.DeviceIndex(p.a.f.net.DeviceAt(int(l.device)).Ref)
			l.twin = int32(k)
			i++
		default:
			l.twin, l.inB = s.device[j], j
			k, _ := p.a.f.net.DeviceIndex(p.b.f.net.DeviceAt(int(l.twin)).Ref)
			l.device = int32(k)
			if i < len(r.device) && r.device[i] == l.device {
				l.inA = i
				i++
			}
			j++
		}
		kind := p.b.f.net.DeviceAt(int(l.twin)).Kind
		for _, x := range p.a.f.net.DeviceAt(int(l.device)).Kind.Positions {
			q, _ := kind.Position(x.Name)
			l.translated = append(l.translated, uint8(q))
		}
		layers = append(layers, l)
	}
	now := []both{{r.root, s.root, -1, 0}}
	work := 0
	for i := range layers {
		l := &layers[i]
		l.pairs = now
		seen := map[[2]ref]bool{}
		var next []both
		for k, b := range now {
			for q := range l.translated {
				n := both{b.x, b.y, int32(k), uint8(q)}
				if l.inA >= 0 {
					n.x = r.follow(l.inA, b.x, q)
				}
				if l.inB >= 0 {
					n.y = s.follow(l.inB, b.y, int(l.translated[q]))
				}
				if key := [2]ref{n.x, n.y}; !seen[key] {
					seen[key] = true
					next = append(next, n)
				}
			}
			if work += len(l.translated); work >= checkEvery {
				work = 0
				if err := ctx.Err(); err != nil {
					return err
				}
			}
		}
		if len(next) > p.a.budget {
			return &BudgetError{Layer: i + 1, Layers: len(layers), Device: p.a.f.net.DeviceAt(int(l.device)).Ref,
				Configurations: len(next), Nodes: len(next), Budget: p.a.budget}
		}
		now = next
	}
	for _, b := range now {
		if b.x == b.y {
			continue
		}
		p.differ, p.refs = true, [2]ref{b.x, b.y}
		posA, posB := p.a.start(), p.b.start()
		for i := len(layers) - 1; i >= 0; i-- {
			l := &layers[i]
			posA[l.device], posB[l.twin] = b.pos, l.translated[b.pos]
			b = l.pairs[b.from]
		}
		// Devices that neither diagram has stand alike in both.
		for _, dev := range p.a.f.order {
			k, _ := p.b.f.net.DeviceIndex(p.a.f.net.DeviceAt(int(dev)).Ref)
			name := p.a.f.net.DeviceAt(int(dev)).Kind.Positions[posA[dev]].Name
			q, _ := p.b.f.net.DeviceAt(k).Kind.Position(name)
			posB[k] = uint8(q)
		}
		p.states = [2]switchnet.State{p.a.state(posA), p.b.state(posB)}
		return nil
	}
	return nil
}
