package switchnet

import (
	"iter"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/dense"
	"example.com/switchleg/internal/enum"
)

// A View is a net in one state. It belongs to the solver that made it and is good
// until that solver solves again. [Solver.Solve] makes one; the zero value is none and
// may not be asked anything.
type View struct {
	net *Net
	pos []uint8

	parent  []int32       // block of each net: root is its own parent
	label   []dense.Rails // rails joined to each net by metal
	through []dense.Rails // rails reached only through loads, if open
	group   []int32
	supply  []supply
	direct  []directJoin
	open    bool // some load has an end without rails
	ser     seriesScratch
}

type supply struct{ status LoadStatus }

// directJoin is a closed contact between two nets that hold different rails.
type directJoin struct{ device, x, y int32 }

// State returns the state this view is of.
func (v *View) State() State {
	s, _ := v.net.StateOf(v.pos)
	return s
}

// A Condition is what a terminal is joined to.
type Condition struct {
	// Rails are the rails joined to it by metal.
	Rails RailSet
	// Through are the rails it reaches only through loads; it is empty unless
	// Rails is.
	Through RailSet
}

// A ConditionKind sums up a Condition in a word.
type ConditionKind uint8

// The kinds of condition.
const (
	// Isolated: no line reaches the terminal. It may hang on the neutral
	// through a load; Through says so.
	Isolated ConditionKind = iota + 1
	// Live: joined to one line.
	Live
	// OnNeutral: joined to the neutral, perhaps to the ground too, and to no
	// line.
	OnNeutral
	// OnGround: joined to the ground alone.
	OnGround
	// LiveThroughLoad: no rail by metal, but a line through one load or more.
	LiveThroughLoad
	// Shorted: joined to rails of different potential.
	Shorted
)

var conditionNames = [...]string{"", "isolated", "live", "neutral", "grounded", "live through a load", "shorted"}

// String returns the word.
func (k ConditionKind) String() string {
	return enum.Word(conditionNames[:], k, "ConditionKind")
}

// MarshalText writes the word.
func (k ConditionKind) MarshalText() ([]byte, error) {
	return marshalWord(conditionNames[:], uint8(k), "kind of condition")
}

// UnmarshalText reads the word.
func (k *ConditionKind) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(conditionNames[:], text, "kind of condition")
	if err == nil {
		*k = ConditionKind(n)
	}
	return err
}

// Kind returns the condition in a word. A terminal joined to both neutral and
// ground is OnNeutral.
func (c Condition) Kind() ConditionKind {
	switch {
	case c.Rails.Conflict():
		return Shorted
	case !c.Rails.Lines().Empty():
		return Live
	case c.Rails.Has(Neutral):
		return OnNeutral
	case c.Rails.Has(Ground):
		return OnGround
	case !c.Through.Lines().Empty():
		return LiveThroughLoad
	}
	return Isolated
}

// Hazardous reports whether a person touching the terminal could be shocked in
// the ideal model: it is live, live through a load, or shorted.
func (c Condition) Hazardous() bool {
	switch c.Kind() {
	case Live, LiveThroughLoad, Shorted:
		return true
	}
	return false
}

// String returns "live on line A", "live through a load from line A" and the like.
// The text is for reading and not stable.
func (c Condition) String() string {
	switch k := c.Kind(); k {
	case Live:
		return "live on " + c.Rails.String()
	case LiveThroughLoad:
		return "live through a load from " + c.Through.Lines().String()
	case Shorted:
		return "shorted: " + c.Rails.String() + " together"
	case OnNeutral:
		if c.Rails.Has(Ground) {
			return "neutral and ground together"
		}
		return "neutral"
	case OnGround:
		return "grounded"
	case Isolated:
		if !c.Through.Empty() {
			return "isolated but for a load to " + c.Through.String()
		}
	}
	return "isolated"
}

func (v *View) condition(net int32) Condition {
	c := Condition{Rails: RailSet{v.label[net]}}
	if c.Rails.bits == 0 && v.open {
		c.Through = RailSet{v.through[net]}
	}
	return c
}

// Condition returns the condition of a terminal, or false if the net has no such
// terminal.
func (v *View) Condition(t Terminal) (Condition, bool) {
	i, ok := v.net.terminal(t)
	if !ok {
		return Condition{}, false
	}
	return v.condition(v.net.termNet[i]), true
}

// Conditions yields every terminal with its condition, in name order.
func (v *View) Conditions() iter.Seq2[Terminal, Condition] {
	return func(yield func(Terminal, Condition) bool) {
		for i, net := range v.net.termNet {
			if !yield(v.net.terms[i], v.condition(net)) {
				return
			}
		}
	}
}

// Hazards yields the terminals that are live, live through a load or shorted, in
// name order: what is still dangerous in this state. It knows the drawing, not
// the building: a meter, proven before and after, has the last word.
func (v *View) Hazards() iter.Seq2[Terminal, Condition] {
	return func(yield func(Terminal, Condition) bool) {
		for t, c := range v.Conditions() {
			if c.Hazardous() && !yield(t, c) {
				return
			}
		}
	}
}

// Joined reports whether two terminals are joined by metal in this state without
// going through a rail; false if the net lacks either.
func (v *View) Joined(t, u Terminal) bool {
	x, ok := v.net.terminal(t)
	y, ok2 := v.net.terminal(u)
	return ok && ok2 && v.find(v.net.termNet[x]) == v.find(v.net.termNet[y])
}

// A LoadStatus says what a load does.
type LoadStatus uint8

// What a load does.
const (
	// Unlit: no current.
	Unlit LoadStatus = iota + 1
	// Lit: its ends are held by rails of different potential.
	Lit
	// Dim: in series with other loads between two rails. How bright it is,
	// connectivity cannot say.
	Dim
	// Faulted: an end is on shorted rails. The breaker opens; nothing more is
	// claimed. Shorted rails are no ends of a series: a load that reaches them
	// through other loads only is unlit unless it is in series between sound
	// ones.
	Faulted
)

var statusNames = [...]string{"", "unlit", "lit", "dim", "faulted"}

// String returns the word.
func (s LoadStatus) String() string {
	return enum.Word(statusNames[:], s, "LoadStatus")
}

// MarshalText writes the word.
func (s LoadStatus) MarshalText() ([]byte, error) {
	return marshalWord(statusNames[:], uint8(s), "load status")
}

// UnmarshalText reads the word.
func (s *LoadStatus) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(statusNames[:], text, "load status")
	if err == nil {
		*s = LoadStatus(n)
	}
	return err
}

// A Supply is what a load gets.
type Supply struct {
	Status LoadStatus
	// Volts is the nominal voltage of a lit load, 0 of any other.
	Volts quantity.Voltage
	// Ends are the conditions of its two terminals.
	Ends [2]Condition
}

func (v *View) supplyOf(i int) Supply {
	ends := v.net.graph.LoadNets[i]
	s := Supply{Status: v.supply[i].status, Ends: [2]Condition{v.condition(ends[0]), v.condition(ends[1])}}
	if s.Status == Lit {
		s.Volts = v.net.source.System.Between(s.Ends[0].Rails.first(), s.Ends[1].Rails.first())
	}
	return s
}

// first returns the first rail of a set that is not empty. Within a set that does
// not conflict all rails have one potential.
func (s RailSet) first() Rail {
	for r := range s.All() {
		return r
	}
	return 0
}

// Supply returns what a load gets, or false if the net has no such load.
func (v *View) Supply(load Ref) (Supply, bool) {
	i, ok := v.net.load(load)
	if !ok {
		return Supply{}, false
	}
	return v.supplyOf(i), true
}

// Supplies yields every load with what it gets, in name order.
func (v *View) Supplies() iter.Seq2[Ref, Supply] {
	return func(yield func(Ref, Supply) bool) {
		for i := range v.net.loads {
			if !yield(v.net.loads[i].Ref, v.supplyOf(i)) {
				return
			}
		}
	}
}
