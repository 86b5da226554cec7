package identify

import (
	"cmp"

	"example.com/switchleg/internal/enum"
)

// A Function is what a conductor is for. The zero Function is unset.
type Function uint8

// What a conductor is for, in the order in which lists have them.
const (
	ConstantHot Function = iota + 1 // of a feed, switched by nothing
	Neutral                         // of a feed
	SwitchLeg                       // from the last switch of a control to its lights
	Traveler                        // between two switches of a control
	CommonLink                      // from common to common, where hot and leg are on the throws
	Return                          // from a light back to a switch in its neutral: unlawful
	Spare                           // used by nothing
	Ground                          // bare or green
)

var functionWords = [...]string{"", "constant hot", "neutral", "switch leg", "traveler", "link of the commons", "switched return", "spare", "ground"}

// Functions returns all functions in their order.
func Functions() []Function {
	return []Function{ConstantHot, Neutral, SwitchLeg, Traveler, CommonLink, Return, Spare, Ground}
}

// String returns the words.
func (f Function) String() string { return enum.Word(functionWords[:], f, "Function") }

// MarshalText writes the words; an unset value is an error.
func (f Function) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", functionWords[:], f, "function")
}

// UnmarshalText reads the words.
func (f *Function) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", functionWords[:], text, "function", f)
}

// A Role is what a conductor is for, and of which feed or control.
type Role struct {
	Function Function `json:"function"`
	// Of is the feed of a constant hot or neutral, the control of a leg, traveler, link
	// or return, and empty for a spare or a ground. Of a neutral that two feeds share it
	// is both their names, with "and" between.
	Of string `json:"of,omitempty"`
	// For names the controls that alone have a neutral which is kept apart from the others
	// of its feed, with "and" between; it is empty for all else.
	For string `json:"for,omitempty"`
}

// Owner returns what a role is of: a feed or a control, with what a neutral is kept
// apart for; empty for a spare or a ground.
func (r Role) Owner() string {
	if r.For != "" {
		return r.Of + " for " + r.For
	}
	return r.Of
}

// String returns "constant hot of stair", "neutral of stair for aisle", "spare". The text is for reading and not
// stable.
func (r Role) String() string {
	if r.Of == "" {
		return r.Function.String()
	}
	return r.Function.String() + " of " + r.Owner()
}

// compare orders roles by function, then by name.
func (r Role) compare(s Role) int {
	if r.Function != s.Function {
		return int(r.Function) - int(s.Function)
	}
	return cmp.Or(cmp.Compare(r.Of, s.Of), cmp.Compare(r.For, s.For))
}

// A Scheme is a way to wire the switches of a control. The zero Scheme is unset.
type Scheme uint8

// The schemes that are reckoned with.
const (
	// Chain: the hot on the common of the first switch, travelers from one to the next,
	// the leg on the common of the last; or one switch between hot and leg.
	Chain Scheme = iota + 1
	// JoinedCommons: two places, hot and leg on the throws of both, commons joined.
	JoinedCommons
	// OnePlace: a control of several places of which one alone still acts, as a single
	// switch; what led to the others is put to another use or spare.
	OnePlace
	// SwitchedNeutral: the chain lies in the neutral of the lights, which are constantly
	// hot. Unlawful, and nobody sees it by flipping.
	SwitchedNeutral
	// HotNeutralThrows: two places, hot and neutral on the throws of both, the light
	// between the commons. Unlawful, and nobody sees it by flipping.
	HotNeutralThrows
)

var schemeWords = [...]string{"", "chain", "joined commons", "one place left", "switched neutral", "hot and neutral on the throws"}

// Schemes returns all schemes in their order.
func Schemes() []Scheme {
	return []Scheme{Chain, JoinedCommons, OnePlace, SwitchedNeutral, HotNeutralThrows}
}

// Lawful reports whether the scheme as such is lawful in the regions that the project
// knows; where neutrals and colours go is another matter.
func (s Scheme) Lawful() bool { return s != SwitchedNeutral && s != HotNeutralThrows }

// String returns the words.
func (s Scheme) String() string { return enum.Word(schemeWords[:], s, "Scheme") }

// MarshalText writes the words; an unset value is an error.
func (s Scheme) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", schemeWords[:], s, "scheme")
}

// UnmarshalText reads the words.
func (s *Scheme) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", schemeWords[:], text, "scheme", s)
}
