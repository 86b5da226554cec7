package steady

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A Status says what became of a well-formed question.
type Status uint8

// The statuses. Where several apply, the later one in this list is given.
const (
	// Converged: one steady state, found. A success.
	Converged Status = iota + 1
	// Floating: wires or loads have no way, not even through a capacitance, to
	// the supply or to earth, so their potential is nobody's guess. Usually
	// coupling was left out, or a cable lies alone. A success for all else: what
	// floats reports no volts and carries no current.
	Floating
	// LoopUndetermined: terminals are joined without any resistance in two ways
	// at once, so how their current divides has no answer. Usually a branch
	// without resistance beside another, or neutral tied to ground in the
	// panel. A success: every current that is reported has a resistance to flow
	// through.
	LoopUndetermined
	// MultipleSolutions: an electronic load is off, and would stay on if it once
	// were. The figures are those of switching on from all dark. A success.
	MultipleSolutions
	// Collapsed: a load pulls its own supply down. An electronic load starts,
	// starves and stops, over and over: it strobes, ticks or glows; the figures
	// are those with it off. A motor is stalled; its figures are those of a
	// fixed impedance. Usually it is fed through another load, through leakage,
	// or over far too long a run. No success.
	Collapsed
	// Unsettled: the iteration over the loads did not come to rest. Usually the
	// supply is at the very edge of what it can deliver. No success; the figures
	// are of the last round and satisfy the network but not the loads.
	Unsettled
	// SourceOnSource: two supplies of different potential are joined without any
	// resistance. No success, no figures.
	SourceOnSource
	// Unsound: the arithmetic did not reach its accuracy, because values were
	// given that differ by more than numbers can hold, or because a coil without
	// resistance among the added branches resonates with a capacitance. No
	// success, no figures.
	Unsound
)

var statusNames = [...]string{"", "converged", "floating", "loop undetermined", "multiple solutions", "collapsed", "unsettled", "source on source", "unsound"}

// String returns the words.
func (s Status) String() string {
	return enum.Word(statusNames[:], s, "Status")
}

// MarshalText writes the words.
func (s Status) MarshalText() ([]byte, error) {
	return marshalWord("a status", uint8(s), statusNames[:])
}

// Success reports whether the figures can be relied on, within what the status
// says of them.
func (s Status) Success() bool { return s >= Converged && s <= MultipleSolutions }

// Figures reports whether there are figures at all.
func (s Status) Figures() bool { return s >= Converged && s <= Unsettled }

// A Note says why a solution has the status it has, and where.
type Note struct {
	Status Status
	// Terminals and Loads are the places, in name order.
	Terminals []switchnet.Terminal
	Loads     []switchnet.Ref
	// Detail says it in words for reading; it is not stable.
	Detail string
}

// String returns the status, the detail and the places.
func (n Note) String() string {
	var at []string
	for _, l := range n.Loads {
		at = append(at, l.String())
	}
	for _, t := range n.Terminals {
		at = append(at, t.String())
	}
	const most = 6
	if len(at) > most {
		at = append(at[:most], fmt.Sprintf("and %d more", len(at)-most))
	}
	return n.Status.String() + ": " + n.Detail + ": " + strings.Join(at, ", ")
}

// An Error is one thing that is wrong with a question.
type Error struct {
	// Where is the part of the wiring or of the options it is about.
	Where  string
	Detail string
}

// Error returns one line.
func (e *Error) Error() string { return "steady: " + e.Where + " " + e.Detail }

// Errors are all that is wrong with a question, in the order of the wiring's names
// and then of the options' fields.
type Errors []*Error

// Error returns one line an error.
func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find an *Error.
func (es Errors) Unwrap() []error {
	out := make([]error, len(es))
	for i, e := range es {
		out[i] = e
	}
	return out
}

func (es *Errors) add(where, format string, args ...any) {
	*es = append(*es, &Error{where, fmt.Sprintf(format, args...)})
}
