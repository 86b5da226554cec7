package intent

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// An Intent is what is wanted.
type Intent struct {
	Supply   switchnet.System
	Feeds    []wiring.Feed
	Boxes    []wiring.Box
	Lights   []wiring.Light
	Runs     []Run
	Controls []Control
	Needs    []Need
	// Exemptions are the places that need no neutral, each for a reason that the
	// region's rules know.
	Exemptions []Exemption
	// Stairs are the stairways whose lights the region's rules ask about.
	Stairs []Stair
	// Stock lists the cables to choose from; empty means the region's.
	Stock []Stock
}

// A Run is a way along which a cable could go.
type Run struct {
	From, To string
	Length   quantity.Length
	// Cable, if it is not zero, is the only cable type that fits the run: what is
	// in the wall already, or all that can be pulled.
	Cable conductor.CableType
	// Existing says that Cable lies there already, so that it costs nothing.
	Existing bool
	// Raceway marks a run of loose conductors, any number of them.
	Raceway bool
	// IfNeeded marks a run that is rather left alone, a closed wall or a long way round:
	// nothing is planned along it, and it is offered where nothing can be planned
	// without.
	IfNeeded bool
	// Bored lists the holes in the framing that its cables run through, each as the
	// distance from the hole to the nearest edge of the member, and Notches counts
	// those cut into an edge.
	Bored   []quantity.Length
	Notches int
}

// fixed reports whether the cable of the run is given.
func (r *Run) fixed() bool {
	c := r.Cable
	return c.Name != "" || c.Construction != 0 || c.Material != 0 || c.Size.Valid() || c.Rating != 0 || len(c.Cores) > 0
}

// A Control says which places switch which lights. Every place is meant to change
// all of its lights, whatever the other places do.
type Control struct {
	Name   string
	Lights []string // names of lights
	Places []string // names of boxes
	// Feed names the feed it is on; it may be left empty where there is one feed.
	Feed string
	// Schemes are the ways in which it may be wired; empty means [Chain] only.
	Schemes []Scheme
}

// A Scheme is a way of wiring a control.
type Scheme uint8

// The schemes. The zero value is unset.
const (
	// Chain: one place has a single-pole switch; several have a three-way at
	// either end and four-ways between. The hot is on the common of the first
	// three-way and the switch leg on that of the last.
	Chain Scheme = iota + 1
	// JoinedCommons: two places, hot and switch leg on the travelers of both
	// three-ways, and their commons joined.
	JoinedCommons
)

var schemeNames = [...]string{"", "chain", "joined commons"}

// Schemes returns the schemes in their order.
func Schemes() []Scheme { return []Scheme{Chain, JoinedCommons} }

// String returns the word: "chain" or "joined commons".
func (s Scheme) String() string {
	if s < 1 || int(s) >= len(schemeNames) {
		return "unset"
	}
	return schemeNames[s]
}

// MarshalText writes the word; a scheme that has none is an error.
func (s Scheme) MarshalText() ([]byte, error) {
	if s < 1 || int(s) >= len(schemeNames) {
		return nil, fmt.Errorf("intent: scheme %d has no word; it is chain or joined commons", uint8(s))
	}
	return []byte(schemeNames[s]), nil
}

// UnmarshalText reads the word.
func (s *Scheme) UnmarshalText(text []byte) error {
	i := slices.Index(schemeNames[1:], string(text))
	if i < 0 {
		return fmt.Errorf("intent: %q is no scheme; expected chain or joined commons", text)
	}
	*s = Scheme(i + 1)
	return nil
}

// An Exemption says why the switches in a box need no neutral.
type Exemption struct {
	Box string
	By  string // a word of the region's rules, such as "raceway with room"
}

// A Stair is a stairway. What is not stated here no rule asks about.
type Stair struct {
	Name   string
	Risers int
	// Levels are boxes: one at each floor level that it joins, and at each landing
	// with an entry; at least two.
	Levels []string
	// Lights are the lights of the stairway.
	Lights []string
}

// A Stock is a cable that can be had.
type Stock struct {
	Cable conductor.CableType
	// Weight is what a foot of it costs, in a unit of the user's own. Either all
	// of the stock has one or none: then every conductor counts alike, the
	// grounding conductor too.
	Weight quantity.Ratio
}

// A NeedKind says what a box must have besides what its switches and lights need.
type NeedKind uint8

// The kinds of need.
const (
	UnswitchedPower NeedKind = iota + 1 // a hot that no switch opens, and its neutral
	NeutralOnly                         // a neutral, for an electronic control
	SpareConductor                      // a conductor kept for later
)

var needNames = [...]string{"", "power", "neutral", "spare"}

// Needs returns the kinds of need in their order.
func Needs() []NeedKind { return []NeedKind{UnswitchedPower, NeutralOnly, SpareConductor} }

// String returns the word: "power", "neutral" or "spare".
func (k NeedKind) String() string {
	if k < 1 || int(k) >= len(needNames) {
		return "unset"
	}
	return needNames[k]
}

// MarshalText writes the word; a kind that has none is an error.
func (k NeedKind) MarshalText() ([]byte, error) {
	if k < 1 || int(k) >= len(needNames) {
		return nil, fmt.Errorf("intent: need %d has no word; it is power, neutral or spare", uint8(k))
	}
	return []byte(needNames[k]), nil
}

// UnmarshalText reads the word.
func (k *NeedKind) UnmarshalText(text []byte) error {
	i := slices.Index(needNames[1:], string(text))
	if i < 0 {
		return fmt.Errorf("intent: %q is no need; expected power, neutral or spare", text)
	}
	*k = NeedKind(i + 1)
	return nil
}

// A Need is something a box must have. Two needs of one kind in one box are two:
// two spares.
type Need struct {
	Box  string
	Kind NeedKind
	// Feed names the feed it is to come from; empty means any that is there.
	Feed string
	// For says what for, in the user's words.
	For string
}

// Switches returns, for each place of the control, the device that stands for it in
// a wiring: the device in that box that bears the control's name; a feed of that
// name is none. The list is in the order of Places; missing lists, in that order too,
// the places that have no such device.
func (c Control) Switches(w *wiring.Wiring) (devices []switchnet.Ref, missing []string) {
	if w.Check() != nil {
		return nil, slices.Clone(c.Places)
	}
	net := w.Net()
	for _, p := range c.Places {
		ref := switchnet.Ref{Place: p, Name: c.Name}
		if d, ok := net.Device(ref); ok && !d.Kind.Breaker {
			devices = append(devices, ref)
		} else {
			missing = append(missing, p)
		}
	}
	return devices, missing
}
