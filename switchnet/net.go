package switchnet

import (
	"iter"
	"slices"
	"sync"

	"example.com/switchleg/internal/dense"
)

// A Net is a circuit: terminals, devices, conductors, loads and a source. It is
// immutable and safe for concurrent use. Make one with a [Builder]; a variation is
// made from [Net.Builder].
type Net struct {
	source Source
	kinds  []Kind // name order

	terms []Terminal // name order
	spans map[Ref]span

	deviceRef   []Ref // name order, as all below
	deviceKind  []int32
	deviceStart []int32
	deviceTerms []int32

	loads          []Load
	loadTerms      [][2]int32
	conductors     []Conductor
	conductorTerms [][2]int32
	splices        []Splice
	spliceTerms    [][]int32

	railTerm [Ground + 1]int32
	termNet  []int32
	graph    *dense.Graph

	edgesOnce sync.Once
	edges     *adjacency
}

type span struct{ from, to int32 }

// within returns the number of the named terminal in the span of its owner, or
// -1.
func (n *Net) within(sp span, name string) int32 {
	if sp.to-sp.from <= 8 {
		for i := sp.from; i < sp.to; i++ {
			if n.terms[i].Name == name {
				return i
			}
		}
		return -1
	}
	i, ok := slices.BinarySearchFunc(n.terms[sp.from:sp.to], name, func(t Terminal, name string) int {
		switch {
		case t.Name < name:
			return -1
		case t.Name > name:
			return 1
		}
		return 0
	})
	if !ok {
		return -1
	}
	return sp.from + int32(i)
}

func (n *Net) terminal(t Terminal) (int32, bool) {
	sp, ok := n.spans[t.Owner()]
	if !ok {
		return -1, false
	}
	i := n.within(sp, t.Name)
	return i, i >= 0
}

func (n *Net) device(r Ref) (int, bool) {
	return slices.BinarySearchFunc(n.deviceRef, r, Ref.Compare)
}

// Source returns the supply.
func (n *Net) Source() Source { return n.source }

// Terminals yields every terminal in name order.
func (n *Net) Terminals() iter.Seq[Terminal] { return slices.Values(n.terms) }

// Has reports whether the net has the terminal.
func (n *Net) Has(t Terminal) bool { _, ok := n.terminal(t); return ok }

// Joined reports whether two terminals are joined for good, by conductors and
// splices alone; false if the net lacks either.
func (n *Net) Joined(t, u Terminal) bool {
	x, ok := n.terminal(t)
	y, ok2 := n.terminal(u)
	return ok && ok2 && n.termNet[x] == n.termNet[y]
}

// Devices yields every device in name order. The kinds are copies, one for all
// devices of a kind, so that changing one leaves the net as it is.
func (n *Net) Devices() iter.Seq[Device] {
	return func(yield func(Device) bool) {
		kinds := make([]Kind, len(n.kinds))
		for i, k := range n.kinds {
			kinds[i] = k.Clone()
		}
		for i, r := range n.deviceRef {
			if !yield(Device{r, kinds[n.deviceKind[i]]}) {
				return
			}
		}
	}
}

// Device returns the device that r names, its kind a copy; or false if the net has
// no such device.
func (n *Net) Device(r Ref) (Device, bool) {
	i, ok := n.device(r)
	if !ok {
		return Device{}, false
	}
	return Device{r, n.kinds[n.deviceKind[i]].Clone()}, true
}

// Loads yields every load in name order, those inside devices included.
func (n *Net) Loads() iter.Seq[Load] { return slices.Values(n.loads) }

// Load returns the load that r names, or false if the net has no such load.
func (n *Net) Load(r Ref) (Load, bool) {
	i, ok := n.load(r)
	if !ok {
		return Load{}, false
	}
	return n.loads[i], true
}

func (n *Net) load(r Ref) (int, bool) {
	return slices.BinarySearchFunc(n.loads, r, func(l Load, r Ref) int { return l.Compare(r) })
}

// Conductors yields every conductor in name order.
func (n *Net) Conductors() iter.Seq[Conductor] { return slices.Values(n.conductors) }

// Splices yields every splice in name order, its terminals in name order.
func (n *Net) Splices() iter.Seq[Splice] {
	return func(yield func(Splice) bool) {
		for _, s := range n.splices {
			s.Joins = slices.Clone(s.Joins)
			if !yield(s) {
				return
			}
		}
	}
}

// Builder returns a builder that holds everything the net holds, so that a
// variation is a copy with a change. The net itself never changes.
func (n *Net) Builder() *Builder {
	b := &Builder{
		sources:    []Source{n.source},
		conductors: slices.Clone(n.conductors),
		splices:    slices.Collect(n.Splices()),
		devices:    make([]Device, len(n.deviceRef)),
	}
	for i := range b.devices {
		b.devices[i] = n.DeviceAt(i)
	}
	owned := map[Terminal]bool{}
	for r := range Rails() {
		if n.source.System.Has(r) {
			owned[n.source.Rail(r)] = true
		}
	}
	internal := map[Ref]bool{}
	for i, r := range n.deviceRef {
		k := n.kinds[n.deviceKind[i]]
		for _, t := range k.Terminals {
			owned[r.Terminal(t)] = true
		}
		for _, l := range k.Internal {
			internal[Ref{r.Place, r.Name + " " + l.Name}] = true
		}
	}
	for _, l := range n.loads {
		if internal[l.Ref] {
			continue
		}
		b.loads = append(b.loads, l)
		if l.On == "" {
			for _, t := range l.Terminals() {
				owned[t] = true
			}
		}
	}
	for _, t := range n.terms {
		if !owned[t] {
			b.points = append(b.points, t)
		}
	}
	return b
}

// Dense returns the contracted graph for the solvers of this module. Its type is
// internal, so other modules can neither name nor depend on it.
func (n *Net) Dense() *dense.Graph { return n.graph }
