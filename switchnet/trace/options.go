package trace

import (
	"fmt"
	"slices"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
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

// Priors say how likely faults are before anything is known, in relative numbers.
// They are judgement and not measurement; a trade that keeps records has better ones.
type Priors struct {
	// Right is the weight of nothing being wrong. At zero something is.
	Right int
	// Kinds are the weights of the kinds of fault, each spread evenly over the faults
	// of that kind; a kind that is not listed has weight 1. Zero is kept off the
	// list: what is to be left out is left out of Options.Faults.
	Kinds map[miswire.Kind]int
	// Replaced lists devices that were lately replaced or worked on, and Factor by
	// how much a fault at one of their screws is then likelier; 0 means 10.
	Replaced []switchnet.Ref
	Factor   int
}

// DefaultPriors returns the weights that stand in where none are given.
func DefaultPriors() Priors {
	return Priors{Right: 20, Kinds: map[miswire.Kind]int{
		miswire.TerminalsExchanged: 30, miswire.PairsCrossed: 15, miswire.PolarityReversed: 3,
		miswire.WiresExchanged: 5, miswire.LandedWrong: 10, miswire.SpliceOpened: 10,
		miswire.SplicedWrong: 4, miswire.OtherNeutral: 4, miswire.ConductorCut: 5,
		miswire.GroundOpened: 4, miswire.GroundUsed: 2, miswire.Tied: 4, miswire.ContactDead: 10,
		miswire.ContactWelded: 2, miswire.DeviceStuck: 3, miswire.WrongDevice: 10,
		miswire.TabLeftIn: 5, miswire.TabBroken: 3,
	}}
}

// weights returns the prior weight of every fault of a list.
func (p *Priors) weights(faults []miswire.Fault) []float64 {
	count := map[miswire.Kind]int{}
	for _, f := range faults {
		count[f.Kind]++
	}
	factor := float64(p.Factor)
	if p.Factor == 0 {
		factor = 10
	}
	out := make([]float64, len(faults))
	for i, f := range faults {
		weight, ok := p.Kinds[f.Kind]
		if !ok {
			weight = 1
		}
		out[i] = float64(weight) / float64(count[f.Kind])
		if slices.ContainsFunc(p.Replaced, func(d switchnet.Ref) bool { return touches(f, d) }) {
			out[i] *= factor
		}
	}
	return out
}

// touches reports whether a fault is at the screws of a device, or in it.
func touches(f miswire.Fault, d switchnet.Ref) bool {
	for _, e := range f.Edits {
		var joints []wiring.Joint
		switch e := e.(type) {
		case wiring.SwapTerminals:
			joints = []wiring.Joint{e.A, e.B}
		case wiring.MovePigtail:
			joints = []wiring.Joint{e.From, e.To}
		case wiring.SplitSplice:
			joints = e.Out
		case wiring.JoinSplice:
			joints = e.Join
		case wiring.MoveLanding:
			joints = []wiring.Joint{{Device: e.Device}}
		case wiring.ReplaceDevice:
			if e.Device == d {
				return true
			}
		case wiring.ClearTerminal:
			if e.Of == d {
				return true
			}
		}
		if f.Box == d.Place && slices.ContainsFunc(joints, func(j wiring.Joint) bool { return j.Device == d.Name }) {
			return true
		}
	}
	return false
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
