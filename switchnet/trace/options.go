package trace

import (
	"fmt"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
)

// DefaultStates is how many settings of the handles a job may have.
const DefaultStates = 4096

// Options say what a case is made of. The zero value, or nil, means every single
// fault, every sort of test, and the defaults.
type Options struct {
	// Faults are the faults to reckon with beside "nothing wrong"; nil means
	// miswire.List.
	Faults []miswire.Fault
	// Priors say how likely they are before anything is known; nil means
	// DefaultPriors.
	Priors *Priors
	// Known lists switches of which it is known which way the handle is up, and so
	// that it stands as the drawing says. The others with two unmarked positions may
	// be mounted or built either way. A switch marked on and off is always known.
	Known []switchnet.Ref
	// Filament lists the lights that an ohmmeter reads as a resistance. Any other is
	// taken to have a driver, which may read as anything from open to closed.
	Filament []switchnet.Ref
	// NoDead and NoLive leave out tests with the circuit dead, and readings with it
	// energized: what nobody is equipped or permitted to do.
	NoDead, NoLive bool
	// Effort says what each thing to do costs; nil means DefaultEffort.
	Effort *Effort
	// Sight lists from which boxes a light can be seen. A light that is not listed
	// can be seen from everywhere.
	Sight []Sight
	// States is how many settings of the handles the job may have; 0 means
	// DefaultStates.
	States int
	// Work is how many times a test may be weighed against a possibility in the
	// search for the next test; 0 means DefaultWork. What is left out is said.
	Work int
}

// DefaultWork is how many times a test may be weighed against a possibility in the
// search for the next test.
const DefaultWork = 20_000_000

// A Sight says that a light can be seen from a box.
type Sight struct {
	Light switchnet.Ref
	From  string
}

// Effort is what each thing to do costs, in working time.
type Effort struct {
	Ask        time.Duration // a question to who lives with it
	Look       time.Duration // a look at the lights
	Flip       time.Duration // one handle
	Walk       time.Duration // between two boxes on a floor
	Stairs     time.Duration // between two boxes on different floors, beside Walk
	LockOut    time.Duration // every circuit of a box off, locked and tagged
	Energize   time.Duration // caps on, covers closed, locks off
	Open       time.Duration // a box
	ProveDead  time.Duration // a box, with the tester proven before and after
	Continuity time.Duration // one reading with the circuit dead
	Lead       time.Duration // a long lead to another box
	Lift       time.Duration // all neutrals in the panel
	Prove      time.Duration // a reference and the tester on a known live source
	Reading    time.Duration // one reading with the circuit live
}

// DefaultEffort returns the times that stand in where none are given: estimates for a
// house with a floor above.
func DefaultEffort() Effort {
	return Effort{
		Ask: 20 * time.Second, Look: 2 * time.Second, Flip: 2 * time.Second,
		Walk: 10 * time.Second, Stairs: 20 * time.Second,
		LockOut: 5 * time.Minute, Energize: 5 * time.Minute,
		Open: 3 * time.Minute, ProveDead: 2 * time.Minute,
		Continuity: 20 * time.Second, Lead: 2 * time.Minute, Lift: 5 * time.Minute,
		Prove: time.Minute, Reading: 30 * time.Second,
	}
}

// An Error is one thing that is wrong with options, reports or actions.
type Error struct {
	// Where is the part that it is about.
	Where  string
	Detail string
}

// Error returns one line.
func (e *Error) Error() string { return "trace: " + e.Where + ": " + e.Detail }

// Errors are all that is wrong with a question, in the order of its fields.
type Errors []*Error

// Error returns one line an error.
func (es Errors) Error() string {
	s := ""
	for i, e := range es {
		if i > 0 {
			s += "\n"
		}
		s += e.Error()
	}
	return s
}

// Unwrap lets errors.As find an [*Error].
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

// or returns the errors as an error, nil if there are none.
func (es Errors) or() error {
	if len(es) == 0 {
		return nil
	}
	return es
}
