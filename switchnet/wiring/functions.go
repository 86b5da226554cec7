package wiring

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/unionfind"
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

// The functions of a conductor.
const (
	// Hot: joined for good to the hot of a feed.
	Hot FunctionKind = iota + 1
	// NeutralConductor: joined for good to the neutral of a feed.
	NeutralConductor
	// GroundConductor: joined for good to the ground of a feed, and not to its
	// neutral.
	GroundConductor
	// SwitchLeg: joined for good to the hot end of a light, with a switch on
	// the way to the supply.
	SwitchLeg
	// SwitchedReturn: joined for good to the neutral end of a light, with a
	// switch on the way to the neutral.
	SwitchedReturn
	// Traveler: joined to terminals of two switches or more and to nothing
	// else.
	Traveler
	// Spare: joined to no terminal of anything.
	Spare
	// Loose: joined to one terminal of a switch only, so that it leads nowhere.
	Loose
	// Crossed: joined for good to rails of different potential.
	Crossed
)

var functionNames = [...]string{"", "hot", "neutral", "ground", "switch leg", "switched return", "traveler", "spare", "loose", "crossed"}

// String returns the word.
func (k FunctionKind) String() string {
	if k < 1 || int(k) >= len(functionNames) {
		return fmt.Sprintf("FunctionKind(%d)", uint8(k))
	}
	return functionNames[k]
}

// MarshalText writes the word.
func (k FunctionKind) MarshalText() ([]byte, error) {
	if k < 1 || int(k) >= len(functionNames) {
		return nil, fmt.Errorf("wiring: %v is no function of a conductor", k)
	}
	return []byte(functionNames[k]), nil
}

// A Function is what a conductor does, read off what it is joined to for good.
type Function struct {
	Kind FunctionKind
	// Feeds are the feeds whose hot it carries, or, for a neutral or ground,
	// from whose terminals it starts, in name order.
	Feeds []switchnet.Ref
	// Lights are the lights it is joined to, in name order.
	Lights []switchnet.Ref
	// Devices are the devices it is joined to, in name order; grounding screws
	// do not count.
	Devices []switchnet.Ref
}

// String returns "hot of shed lights", "switch leg of aisle-1, aisle-2",
// "traveler between aisle at slip-door and aisle at yard-door". The text is for
// reading and not stable.
func (f Function) String() string {
	names := func(rs []switchnet.Ref) string {
		var out []string
		for _, r := range rs {
			if n := r.Name; !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
		return strings.Join(out, ", ")
	}
	s := f.Kind.String()
	switch f.Kind {
	case Hot:
		return s + " of " + names(f.Feeds)
	case SwitchLeg, SwitchedReturn:
		return s + " of " + names(f.Lights)
	case Traveler, Loose:
		var at []string
		for _, d := range f.Devices {
			at = append(at, d.String())
		}
		if f.Kind == Loose {
			return s + ", on " + strings.Join(at, " and ") + " only"
		}
		return s + " between " + strings.Join(at, " and ")
	case Crossed:
		return "joins rails that must be apart"
	}
	return s
}

// Function returns what a wire does, or false if there is no such wire. An open
// wire is judged by its end at the beginning of its cable.
func (w *Wiring) Function(wire Wire) (Function, bool) {
	i, ok := w.idx.cables[wire.Cable]
	if !ok {
		return Function{}, false
	}
	c := &w.spec.Cables[i]
	if _, ok := c.Type.Core(colourOf(wire)); !ok {
		return Function{}, false
	}
	return w.functions().at(wire.In(c.ends()[0])), true
}

// Functions yields every wire with what it does, cables in the order of the Spec
// and conductors as the cable is made up.
func (w *Wiring) Functions() iter.Seq2[Wire, Function] {
	return func(yield func(Wire, Function) bool) {
		nets := w.functions()
		for i := range w.spec.Cables {
			c := &w.spec.Cables[i]
			for _, name := range conductorNames(c.Type) {
				wire := Wire{c.Name, name}
				if !yield(wire, nets.at(wire.In(c.ends()[0]))) {
					return
				}
			}
		}
	}
}

func colourOf(wire Wire) conductor.Colour {
	c, err := conductor.ParseColour(wire.Conductor)
	if err != nil {
		return conductor.Colour{}
	}
	return c
}

// nets are the pieces of metal that are joined for good, with the functions of
// the conductors in them.
type nets struct {
	number map[switchnet.Terminal]int32
	of     []int32
	funcs  []Function
}

func (n *nets) at(t switchnet.Terminal) Function { return n.funcs[n.of[n.number[t]]] }

// functions joins what is joined for good, leaving the supply out, and reads the
// function of each piece off its terminals.
func (w *Wiring) functions() *nets {
	w.once.Do(func() { w.nets = w.readFunctions() })
	return w.nets
}

func (w *Wiring) readFunctions() *nets {
	n := &nets{number: map[switchnet.Terminal]int32{}}
	var terms []switchnet.Terminal
	for t := range w.net.Terminals() {
		n.number[t] = int32(len(terms))
		terms = append(terms, t)
	}
	sets := unionfind.New(len(terms))
	source := w.net.Source().Ref
	for c := range w.net.Conductors() {
		if c.From.Owner() == source {
			continue // feeds meet there, circuits do not
		}
		sets.Union(n.number[c.From], n.number[c.To])
	}
	for s := range w.net.Splices() {
		for _, t := range s.Joins[1:] {
			sets.Union(n.number[s.Joins[0]], n.number[t])
		}
	}
	var count int
	n.of, count = sets.Number()
	n.funcs = make([]Function, count)
	type facts struct {
		rails      switchnet.RailSet
		hotEnd     bool
		neutralEnd bool
		contacts   int
	}
	seen := make([]facts, count)
	at := func(ref switchnet.Ref, name string) int32 { return n.of[n.number[ref.Terminal(name)]] }
	for i := range w.spec.Feeds {
		f := &w.spec.Feeds[i]
		ref := switchnet.Ref{Place: f.Box, Name: f.Name}
		lines := f.poles()
		for p, r := range lines {
			k := at(ref, hot(p, len(lines)))
			n.funcs[k].Feeds = append(n.funcs[k].Feeds, ref)
			seen[k].rails = seen[k].rails.With(r)
		}
		for _, r := range []switchnet.Rail{switchnet.Neutral, switchnet.Ground} {
			k := at(ref, r.String())
			n.funcs[k].Feeds = append(n.funcs[k].Feeds, ref)
			seen[k].rails = seen[k].rails.With(r)
		}
	}
	for i := range w.spec.Lights {
		l := &w.spec.Lights[i]
		ref := switchnet.Ref{Place: l.Box, Name: l.Name}
		load, _ := w.net.Load(ref)
		for e, t := range load.Terminals() {
			k := n.of[n.number[t]]
			n.funcs[k].Lights = append(n.funcs[k].Lights, ref)
			seen[k].hotEnd = seen[k].hotEnd || e == 0
			seen[k].neutralEnd = seen[k].neutralEnd || e == 1
		}
	}
	for i := range w.spec.Devices {
		d := &w.spec.Devices[i]
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		for _, name := range d.Kind.Terminals {
			if name == "ground" {
				continue
			}
			k := at(ref, name)
			n.funcs[k].Devices = append(n.funcs[k].Devices, ref)
			seen[k].contacts++
		}
	}
	for k := range n.funcs {
		f, s := &n.funcs[k], seen[k]
		for _, list := range []*[]switchnet.Ref{&f.Feeds, &f.Lights, &f.Devices} {
			slices.SortFunc(*list, switchnet.Ref.Compare)
			*list = slices.Compact(*list)
		}
		switch {
		case s.rails.Conflict():
			f.Kind = Crossed
		case !s.rails.Lines().Empty():
			f.Kind = Hot
		case s.rails.Has(switchnet.Neutral):
			f.Kind = NeutralConductor
		case s.rails.Has(switchnet.Ground):
			f.Kind = GroundConductor
		case s.hotEnd:
			f.Kind = SwitchLeg
		case s.neutralEnd:
			f.Kind = SwitchedReturn
		case s.contacts > 1:
			f.Kind = Traveler
		case s.contacts == 1:
			f.Kind = Loose
		default:
			f.Kind = Spare
		}
	}
	return n
}

// compareEnds orders wire ends by box, cable and conductor.
func compareEnds(a, b End) int {
	return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Wire.Cable, b.Wire.Cable), strings.Compare(a.Wire.Conductor, b.Wire.Conductor))
}
