package wiring

import (
	"cmp"
	"iter"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
)

// conductorNames returns the words for the conductors of a cable, as they are
// made up.
func conductorNames(t conductor.CableType) []string {
	names := make([]string, len(t.Cores))
	for i, c := range t.Cores {
		names[i] = c.Colour.String()
	}
	return names
}

// A FunctionKind says what a conductor is for.
type FunctionKind uint8

// The functions of a conductor. The first of these that fits is the one it has:
// crossed, hot, neutral, ground, switch leg, switched return, unknown, traveler,
// series, loose, spare.
const (
	// Hot: joined for good to the hot of a feed, whatever else it is joined to.
	Hot FunctionKind = iota + 1
	// NeutralConductor: joined for good to the neutral of a feed.
	NeutralConductor
	// GroundConductor: joined for good to the ground of a feed, and not to its
	// neutral.
	GroundConductor
	// SwitchLeg: joined for good to a contact of a switch and to the hot end of
	// a light, or to a receptacle, or to what a device runs on.
	SwitchLeg
	// SwitchedReturn: joined for good to a contact of a switch and to the
	// neutral end of a light, or to a terminal called neutral of a receptacle or
	// device that runs on it.
	SwitchedReturn
	// Traveler: joined for good to contacts of two switches or more and to no
	// light or receptacle.
	Traveler
	// Spare: joined to no terminal of anything, and both ends are in known
	// boxes. Prove it dead all the same.
	Spare
	// Loose: joined to something, and yet it leads nowhere: to contacts of one
	// switch only, to lights or receptacles without a switch, to a grounding
	// screw without a feed.
	Loose
	// Crossed: joined for good to rails of different potential.
	Crossed
	// Series: joined for good to the hot end of one light and the neutral end of
	// another, and to no switch.
	Series
	// Unknown: it has an end in a box that is not known, and nothing that it is
	// joined to in known ones settles what it does.
	Unknown
)

// caution orders the functions for a wire whose two halves differ, the one to be
// most careful of first.
var caution = []FunctionKind{Crossed, Hot, NeutralConductor, GroundConductor, SwitchLeg, SwitchedReturn, Traveler, Series, Unknown, Loose, Spare}

// A Function is what a conductor does, read off what it is joined to for good:
// through other wires, splices, landings, ties, and contacts that no handle opens,
// such as the tabs of a receptacle. It says nothing of what the conductor is joined
// to through switches. The lists are in name order, and conductors that are joined
// share them: they must not be changed.
type Function struct {
	Kind FunctionKind
	// Feeds are the feeds whose hot it carries, or, for a neutral or ground,
	// from whose neutral or ground it starts. Two circuits whose neutrals are
	// spliced together are both here.
	Feeds []switchnet.Ref
	// Lights are the lights it is joined to.
	Lights []switchnet.Ref
	// Devices are the devices it is joined to; grounding screws do not count.
	Devices []switchnet.Ref
	// Serves are those of Devices that take power from it: receptacles, and
	// devices with something inside that runs on it.
	Serves []switchnet.Ref
}

// String returns "hot of shed lights", "switch leg of aisle-1, aisle-2",
// "aisle traveler between slip-door and yard-door". The text is for
// reading and not stable.
func (f Function) String() string { return f.In(func(word string) string { return word }) }

// In is String with the word for the kind, such as "traveler", put through a function, as
// the words of a region are; names stay as they are, whatever words are in them.
func (f Function) In(words func(string) string) string {
	s := words(f.Kind.String())
	all := func(rs []switchnet.Ref) string {
		var out []string
		for _, r := range rs {
			out = append(out, r.String())
		}
		return strings.Join(out, " and ")
	}
	switch f.Kind {
	case Hot, NeutralConductor:
		return s + " of " + short(f.Feeds)
	case SwitchLeg, SwitchedReturn:
		return s + " of " + short(slices.Concat(f.Lights, f.Serves))
	case Traveler:
		// Switches of one control bear its name: say it once.
		if name := f.Devices[0].Name; !slices.ContainsFunc(f.Devices, func(r switchnet.Ref) bool { return r.Name != name }) {
			var places []string
			for _, r := range f.Devices {
				places = append(places, r.Place)
			}
			return name + " " + s + " between " + strings.Join(places, " and ")
		}
		return s + " between " + all(f.Devices)
	case Series:
		return "in series between " + all(f.Lights)
	case Loose:
		if on := all(slices.Concat(f.Lights, f.Devices)); on != "" {
			return s + ", on " + on + " only"
		}
		return s + ", on a grounding screw only"
	case Crossed:
		return "joins rails that must be apart"
	case Unknown:
		if on := all(slices.Concat(f.Lights, f.Devices)); on != "" {
			return "from " + on + " to a box that is not known"
		}
		return "to a box that is not known"
	}
	return s
}

// short returns names without their boxes, but for names that come twice.
func short(refs []switchnet.Ref) string {
	count := map[string]int{}
	for _, r := range refs {
		count[r.Name]++
	}
	out := make([]string, len(refs))
	for i, r := range refs {
		out[i] = r.Name
		if count[r.Name] > 1 {
			out[i] = r.String()
		}
	}
	return strings.Join(out, ", ")
}

// Function returns what a wire does, or false if there is no such wire. An open
// wire has two halves, and this is the function of the half to be more careful of:
// the one that comes first in crossed, hot, neutral, ground, switch leg, switched
// return, traveler, series, unknown, loose, spare, and of two alike the one that
// is joined to the earlier terminal in name order. See [Wiring.FunctionAt] for
// either.
func (w *Wiring) Function(wire Wire) (Function, bool) {
	if _, ok := w.idx.core(wire); !ok {
		return Function{}, false
	}
	return w.function(&w.spec.Cables[w.idx.cables[wire.Cable]], wire), true
}

// FunctionAt returns what a wire does at one of its ends, which differs from the
// other end only where the wire is open; false if there is no such end. The end in
// an unknown box is at [UnknownPlace].
func (w *Wiring) FunctionAt(e End) (Function, bool) {
	if _, ok := w.idx.core(e.Wire); !ok {
		return Function{}, false
	}
	ends := w.spec.Cables[w.idx.cables[e.Wire.Cable]].ends()
	if e.Box != ends[0] && e.Box != ends[1] {
		return Function{}, false
	}
	m := w.joined()
	return m.funcs[m.at(e.Wire.In(e.Box))], true
}

// Functions yields every wire with what it does, cables in the order of the Spec
// and conductors as the cable is made up. All of them take time linear in the job
// but for sorting.
func (w *Wiring) Functions() iter.Seq2[Wire, Function] {
	return func(yield func(Wire, Function) bool) {
		for i := range w.spec.Cables {
			c := &w.spec.Cables[i]
			for _, name := range w.idx.cores[i] {
				wire := Wire{c.Name, name}
				if !yield(wire, w.function(c, wire)) {
					return
				}
			}
		}
	}
}

func (w *Wiring) function(c *Cable, wire Wire) Function {
	m := w.joined()
	ends := c.ends()
	a, b := m.at(wire.In(ends[0])), m.at(wire.In(ends[1]))
	if a == b {
		return m.funcs[a]
	}
	// Pieces are numbered by their first terminals.
	rank := func(piece int32) int { return slices.Index(caution, m.funcs[piece].Kind) }
	if c := cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a, b)); c > 0 {
		return m.funcs[b]
	}
	return m.funcs[a]
}
