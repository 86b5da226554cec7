package trace

import (
	"time"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A TestKind is a sort of test. The zero TestKind is unset.
type TestKind uint8

// The sorts of test.
const (
	// AskUse is a question: did the breaker ever open, with all switches used in all
	// positions? The answer is an InUse.
	AskUse TestKind = iota + 1
	// LookFrom is a look at the lights from a box, handles as they stand. The answer
	// is a Saw.
	LookFrom
	// FlipAndLook moves handles, one after the other, and then looks from the box of
	// the last. The answer is a Saw.
	FlipAndLook
	// DeadTest is the ohmmeter between two points, everything locked out. The answer
	// is a Continuity.
	DeadTest
	// TryReference is a known live source read over a point. The answer is a
	// Reference.
	TryReference
	// LiveReading is a tester that loads the circuit between two points. The answer is
	// a Reading; or, if the reference has to be proven first and fails, a Reference.
	LiveReading
)

var kindWords = [...]string{"", "ask", "look", "flip and look", "dead test", "try a reference", "live reading"}

// String returns the words.
func (k TestKind) String() string { return enum.Word(kindWords[:], k, "TestKind") }

// MarshalText writes the words; an unset value is an error.
func (k TestKind) MarshalText() ([]byte, error) {
	return enum.Marshal("trace", kindWords[:], k, "sort of test")
}

// UnmarshalText reads the words.
func (k *TestKind) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", kindWords[:], text, "sort of test", k)
}

// closed reports whether boxes stay closed.
func (k TestKind) closed() bool { return k >= AskUse && k <= FlipAndLook }

// Live reports whether the circuit is energized in the test.
func (k TestKind) Live() bool { return k != AskUse && k != DeadTest }

// A Test is something to do that may tell more.
type Test struct {
	Kind TestKind
	// Box is where it is done.
	Box string
	// Before lists what has to be done first, in order.
	Before []Action
	// Flips are the handles to move then, in order, and At how all stand afterwards.
	Flips []switchnet.Ref
	At    Setting
	// Between are the two probes of a DeadTest, and red and black of a LiveReading; a
	// TryReference has the second alone.
	Between [2]switchnet.Terminal
	// Lifted says that the neutrals of the panel are to be off their bar.
	Lifted bool
	// Prove says that the black probe's point has first to be tried as a reference.
	Prove bool
	// Bits is how much the answer is expected to tell about which class it is (as if all
	// that remain were as likely, where Session.Next reckons so), and Effort what it takes.
	Bits   float64
	Effort time.Duration

	setting int
	order   [4]int // among dead tests that are as good
}
