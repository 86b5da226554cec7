package allstates

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A Code says which sort of mistake an Error is. Codes are only ever added.
type Code uint8

// The codes.
const (
	UnknownDevice   Code = iota + 1 // no device of that name is in the net
	UnknownLoad                     // no load of that name is in the net
	UnknownTerminal                 // no terminal of that name is in the net
	UnknownPosition                 // the device has no such position
	NotVaried                       // the device is held in one position
	Repeated                        // something is named twice
	ForeignState                    // the state is of another net
	BadValue                        // an option or argument out of its range
)

var codeNames = [...]string{"", "unknown-device", "unknown-load", "unknown-terminal", "unknown-position",
	"not-varied", "repeated", "foreign-state", "bad-value"}

// String returns the code's word.
func (c Code) String() string {
	return enum.Word(codeNames[:], c, "Code")
}

// MarshalText writes the code's word.
func (c Code) MarshalText() ([]byte, error) {
	if c < 1 || int(c) >= len(codeNames) {
		return nil, fmt.Errorf("allstates: %v is not an error code", c)
	}
	return []byte(codeNames[c]), nil
}

// An Error is one thing wrong with a question. Several are joined with
// errors.Join; errors.As finds the first.
type Error struct {
	Code    Code
	Subject string // the thing that is wrong
	Detail  string // what is wrong and what was expected; the text is not stable
}

// Error returns the problem as one line.
func (e *Error) Error() string { return "allstates: " + e.Subject + " " + e.Detail }

func fail(code Code, subject fmt.Stringer, format string, args ...any) *Error {
	return &Error{code, fmt.Sprintf("%q", subject.String()), fmt.Sprintf(format, args...)}
}

// A BudgetError reports that a net has too many configurations side by side to
// answer a question within the budget. It names the knot: the device that was
// being added, and the terminals that had to be told apart at that point.
type BudgetError struct {
	// Layer is the number of the device in the order of the sweep, from 1, of
	// Layers.
	Layer, Layers int
	// Device is the device of that layer.
	Device switchnet.Ref
	// Open has one terminal for each net that both devices already added and
	// devices still to be added touch, in name order.
	Open []switchnet.Terminal
	// Configurations is how many ways of joining them had been met there.
	Configurations int
	// Nodes is how many nodes had been made in all, and Budget how many the
	// options allow.
	Nodes, Budget int
	// Fixed reports that Budget is the limit of an [Editor] for nodes side by
	// side, which no option raises.
	Fixed bool
}

// Error describes the knot. The text is not stable.
func (e *BudgetError) Error() string {
	if e.Fixed {
		return fmt.Sprintf("allstates: too many configurations at device %d of %d (%s): %d side by side, of which an editor keeps %d; hold some of these devices, or ask Analysis.Find after each change",
			e.Layer, e.Layers, e.Device, e.Configurations, e.Budget)
	}
	names := make([]string, 0, 8)
	for i, t := range e.Open {
		if i == 8 {
			names = append(names, fmt.Sprintf("%d more", len(e.Open)-i))
			break
		}
		names = append(names, t.String())
	}
	return fmt.Sprintf("allstates: too many configurations at device %d of %d (%s): %d ways of joining %d open nets (%s), %d nodes of a budget of %d; hold some of these devices, or raise Options.Budget",
		e.Layer, e.Layers, e.Device, e.Configurations, len(e.Open), strings.Join(names, "; "), e.Nodes, e.Budget)
}
