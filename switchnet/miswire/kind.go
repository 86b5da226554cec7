package miswire

import (
	"fmt"
	"slices"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet/wiring"
)

// A Kind is a sort of fault. The zero Kind is unset.
type Kind uint8

// The kinds of fault, in the order of the list.
const (
	TerminalsExchanged Kind = iota + 1 // what is on two terminals of a box
	PairsCrossed                       // the same across the two sides of a four-way
	PolarityReversed                   // the two ends of a light or receptacle
	WiresExchanged                     // two wire ends of a box, one of them at least in a splice or under a cap
	LandedWrong                        // a wire or pigtail on another terminal
	SpliceOpened                       // a joint out of its splice
	SplicedWrong                       // a joint in another splice
	OtherNeutral                       // a neutral on that of another circuit
	ConductorCut                       // along its run
	GroundOpened                       // a grounding conductor cut or out of its splice
	GroundUsed                         // a grounding conductor in the place of another, or another on a grounding terminal
	Tied                               // two conductors of a box touch
	ContactDead                        // a contact that does not close in one position
	ContactWelded                      // a contact that does not open
	DeviceStuck                        // the handle moves and the contacts do not
	WrongDevice                        // another kind in its place
	TabLeftIn                          // of a split receptacle
	TabBroken                          // of a receptacle
)

var kindWords = [...]string{"", "terminals exchanged", "pairs crossed", "polarity reversed", "wires exchanged", "landed wrong",
	"splice opened", "spliced wrong", "neutral of another circuit", "conductor cut", "ground opened", "ground used", "tied",
	"contact dead", "contact welded", "device stuck", "wrong device", "tab left in", "tab broken"}

// Kinds returns the kinds in their order.
func Kinds() []Kind {
	all := make([]Kind, 0, len(kindWords)-1)
	for k := TerminalsExchanged; int(k) < len(kindWords); k++ {
		all = append(all, k)
	}
	return all
}

// String returns the words: "pairs crossed".
func (k Kind) String() string {
	return enum.Word(kindWords[:], k, "Kind")
}

// MarshalText writes the words; a kind that has none is an error.
func (k Kind) MarshalText() ([]byte, error) {
	if k < 1 || int(k) >= len(kindWords) {
		return nil, fmt.Errorf("miswire: %v is not a kind of fault", k)
	}
	return []byte(kindWords[k]), nil
}

// A Fault is one thing gone wrong.
type Fault struct {
	Kind Kind
	// Box is where it is; empty for what happens along a run.
	Box string
	// Says tells it in words, "C2.red and C2.black touch in box loft". The text
	// is for reading and not stable.
	Says string
	// Edits are what makes it, in order.
	Edits []wiring.Edit
}

// Apply returns the wiring with the fault in it. An error means that the fault is not
// of that wiring.
func (f Fault) Apply(w *wiring.Wiring) (*wiring.Wiring, error) {
	if err := w.Check(); err != nil {
		return nil, fmt.Errorf("miswire: %w", err)
	}
	out, err := w.Apply(f.Edits...)
	if err != nil {
		return nil, fmt.Errorf("miswire: %s: %w", f.Says, err)
	}
	return out, nil
}

// sorted puts faults in the order of their kinds and leaves those of one kind as they
// are.
func sorted(faults []Fault) []Fault {
	slices.SortStableFunc(faults, func(a, b Fault) int { return int(a.Kind) - int(b.Kind) })
	return faults
}
