package boxfill

import (
	"fmt"
	"slices"
	"strings"
)

// A Column is one of the two columns of a code's tables. The zero Column is
// unset and refused.
type Column int

// The columns.
const (
	InchColumn   Column = iota + 1 // cubic inches
	MetricColumn                   // milliliters (cubic centimeters)
)

var columnWords = []string{"", "inch", "metric"}

// Per is what a rule's weight is taken for. The zero Per is unset: no rule.
type Per int

// What a weight is taken for.
const (
	Each       Per = iota + 1 // for each one
	EachGang                  // for each gang a device needs
	EachKind                  // once for each kind present, however many
	EachPair                  // for each pair; an odd one left over takes nothing
	EachSet                   // once for the set
	OncePerBox                // once for the box, however many
	WithOthers                // as one of the others; the weight is not used
)

var perWords = []string{"", "each", "each gang", "each kind", "each pair", "each set", "once per box", "with the others"}

// A Basis says whose allowance a rule takes. The zero Basis is unset.
type Basis int

// Whose allowance is taken.
const (
	// OwnSize is the size of the thing counted: the conductor itself, the
	// largest conductor on the device or terminal block or under the connectors,
	// the largest grounding conductor of the set.
	OwnSize Basis = iota + 1
	// LargestInBox is the largest conductor of any kind in the box.
	LargestInBox
	// LargestInsulated is the largest insulated conductor in the box.
	LargestInsulated
)

var basisWords = []string{"", "own size", "largest in the box", "largest insulated in the box"}

// A Role is what becomes of an insulated conductor in the box. The zero Role is
// unset and refused.
type Role int

// The roles.
const (
	Spliced        Role = iota + 1 // enters and ends in a splice or under a cap
	Landed                         // enters and ends on a terminal
	PassingThrough                 // enters and leaves unbroken
	Pigtail                        // no part of it leaves the box
	FixtureWire                    // comes from a luminaire mounted on the box
)

var roleWords = []string{"", "spliced", "landed", "passing through", "pigtail", "fixture wire"}

// A GroundKind tells grounding (bonding) conductors apart. The zero GroundKind
// is unset and refused.
type GroundKind int

// The kinds of grounding conductor.
const (
	BareGround      GroundKind = iota + 1
	InsulatedGround            // insulated, joined to the others in the box
	IsolatedGround             // the separate insulated set of an isolated-ground receptacle
	CanopyGround               // from a luminaire mounted on the box
)

var groundWords = []string{"", "bare", "insulated", "isolated", "canopy"}

// A BarrierKind is what a barrier is made of. The zero BarrierKind is unset and
// refused.
type BarrierKind int

// The kinds of barrier.
const (
	MetalBarrier BarrierKind = iota + 1
	NonmetallicBarrier
)

var barrierWords = []string{"", "metal", "nonmetallic"}

// An AdditionKind is something mounted on a box that adds room. The zero
// AdditionKind is unset and refused.
type AdditionKind int

// The kinds of addition.
const (
	ExtensionRing AdditionKind = iota + 1
	PlasterRing
	DomedCover
)

var additionWords = []string{"", "extension ring", "plaster ring", "domed cover"}

// An Item is something a table has a rule or figure for: what a result counts
// or a [Refusal] refuses. The zero Item is unset.
type Item int

// The items, in the order in which a result lists them.
const (
	ItemSpliced Item = iota + 1
	ItemLanded
	ItemPassingThrough
	ItemLooped
	ItemPigtail
	ItemFixtureWire
	ItemGround          // grounding conductors, or the first of them
	ItemGroundBeyond    // grounding conductors beyond the first ones
	ItemInsulatedGround // insulated grounding conductors counted one by one
	ItemIsolatedGround  // the separate set of isolated grounding conductors
	ItemCanopyGround    // grounding conductors of a luminaire
	ItemClamp
	ItemExternalClamp
	ItemFitting
	ItemDevice
	ItemWideDevice
	ItemDeepDevice
	ItemTerminalBlock
	ItemConnector
	ItemBox
	ItemMarked // a box by the volume marked on it
	ItemAddition
	ItemBarrier
	ItemShare
	ItemAllowance // the volume one conductor of a size needs
)

var itemWords = []string{"", "spliced conductor", "landed conductor", "conductor passing through", "looped conductor",
	"pigtail", "fixture wire", "grounding conductor", "further grounding conductor", "insulated grounding conductor",
	"isolated grounding conductor", "grounding conductor of a luminaire", "internal clamp", "external clamp",
	"support fitting", "device", "wide device", "deep device", "terminal block", "wire connector", "box", "marked box", "addition",
	"barrier", "share", "conductor allowance"}

// A Status is how a box stands. The zero Status is unset.
type Status int

// The statuses. Fits and ExactlyFull are success.
const (
	// Fits: the box has room to spare.
	Fits Status = iota + 1
	// ExactlyFull: required and available are equal, which fits.
	ExactlyFull
	// DoesNotFit: more is required than available.
	DoesNotFit
	// VolumeUnknown: the box is neither marked nor of a type in the table, so
	// there is only a required volume. Read the marking or measure against the
	// region's box types.
	VolumeUnknown
	// Refused: the region's figures are not sure enough for an answer; the
	// Refusals of the result name them. The volume marked on the box usually
	// cures it.
	Refused
)

var statusWords = []string{"", "fits", "exactly full", "does not fit", "volume unknown", "refused"}

// OK reports whether the box may be closed as far as volume goes.
func (s Status) OK() bool { return s == Fits || s == ExactlyFull }

// The enumerations travel as words. String gives the word, and a number for a
// value that is none; MarshalText refuses such a value, UnmarshalText refuses a
// text that is not one of the words.

func (c Column) String() string       { return word(columnWords, c) }
func (p Per) String() string          { return word(perWords, p) }
func (b Basis) String() string        { return word(basisWords, b) }
func (r Role) String() string         { return word(roleWords, r) }
func (g GroundKind) String() string   { return word(groundWords, g) }
func (b BarrierKind) String() string  { return word(barrierWords, b) }
func (a AdditionKind) String() string { return word(additionWords, a) }
func (i Item) String() string         { return word(itemWords, i) }
func (s Status) String() string       { return word(statusWords, s) }

func (c Column) MarshalText() ([]byte, error)       { return marshalWord(columnWords, c) }
func (p Per) MarshalText() ([]byte, error)          { return marshalWord(perWords, p) }
func (b Basis) MarshalText() ([]byte, error)        { return marshalWord(basisWords, b) }
func (r Role) MarshalText() ([]byte, error)         { return marshalWord(roleWords, r) }
func (g GroundKind) MarshalText() ([]byte, error)   { return marshalWord(groundWords, g) }
func (b BarrierKind) MarshalText() ([]byte, error)  { return marshalWord(barrierWords, b) }
func (a AdditionKind) MarshalText() ([]byte, error) { return marshalWord(additionWords, a) }
func (i Item) MarshalText() ([]byte, error)         { return marshalWord(itemWords, i) }
func (s Status) MarshalText() ([]byte, error)       { return marshalWord(statusWords, s) }

func (c *Column) UnmarshalText(text []byte) error       { return unmarshalWord(columnWords, c, text) }
func (p *Per) UnmarshalText(text []byte) error          { return unmarshalWord(perWords, p, text) }
func (b *Basis) UnmarshalText(text []byte) error        { return unmarshalWord(basisWords, b, text) }
func (r *Role) UnmarshalText(text []byte) error         { return unmarshalWord(roleWords, r, text) }
func (g *GroundKind) UnmarshalText(text []byte) error   { return unmarshalWord(groundWords, g, text) }
func (b *BarrierKind) UnmarshalText(text []byte) error  { return unmarshalWord(barrierWords, b, text) }
func (a *AdditionKind) UnmarshalText(text []byte) error { return unmarshalWord(additionWords, a, text) }
func (i *Item) UnmarshalText(text []byte) error         { return unmarshalWord(itemWords, i, text) }
func (s *Status) UnmarshalText(text []byte) error       { return unmarshalWord(statusWords, s, text) }

func known[E ~int](words []string, e E) bool { return 0 < e && int(e) < len(words) }

// wordList returns the words of an enumeration for a message.
func wordList(words []string) string { return strings.Join(words[1:], ", ") }

func word[E ~int](words []string, e E) string {
	if known(words, e) {
		return words[e]
	}
	if e == 0 {
		return "unset"
	}
	return fmt.Sprintf("unknown(%d)", int(e))
}

func marshalWord[E ~int](words []string, e E) ([]byte, error) {
	if !known(words, e) {
		return nil, fmt.Errorf("boxfill: %d is none of: %s", int(e), wordList(words))
	}
	return []byte(words[e]), nil
}

func unmarshalWord[E ~int](words []string, e *E, text []byte) error {
	i := slices.Index(words[1:], string(text))
	if i < 0 {
		return fmt.Errorf("boxfill: %q is none of: %s", text, wordList(words))
	}
	*e = E(i + 1)
	return nil
}
