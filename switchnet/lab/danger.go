package lab

import "example.com/switchleg/internal/enum"

// A DangerKind is a way in which a move can hurt. The zero DangerKind is unset.
type DangerKind uint8

// The dangers.
const (
	// UnprovenReference: a reading over a point that was not proven since the circuit
	// was energized.
	UnprovenReference DangerKind = iota + 1
	// MayBeFault: a flip, or energizing, in a setting that would be a bolted fault under
	// something that was still possible, by what the sheet and the practice had shown.
	MayBeFault
	// Trip: the breaker opened. It was a bolted fault.
	Trip
	// AfterTrip: the circuit energized again after it had opened once.
	AfterTrip
	// WorkLive: a conductor touched with the circuit energized.
	WorkLive
	// NotProvenDead: a conductor touched, or an ohmmeter used, in a box that was not
	// proven dead since the lock-out.
	NotProvenDead
	// OhmsLive: an ohmmeter on an energized circuit.
	OhmsLive
	// OpenEnds: energizing with a wire's end hanging free that somebody lifted.
	OpenEnds
	// HotFrame: energizing, or a flip, that put a line on metal that a hand can touch.
	HotFrame
	lastOfDangers = HotFrame
)

var dangerWords = [...]string{"", "unproven reference", "may be a bolted fault", "tripped", "energized after a trip", "work on live conductors",
	"not proven dead", "ohmmeter on a live circuit", "open ends energized", "metal made live"}

var dangerWhy = [...]string{"",
	"The reading counts for nothing and may have hidden a live conductor: first prove the reference, with a known live source read over it.",
	"By what was known, this could have been a bolted fault: an arc at the switch, or at the breaker. Rule it out with the circuit dead first.",
	"It was a bolted fault, and only the breaker stood between it and a fire. Stop, lock out, go on with dead tests.",
	"After one trip nothing is energized to learn more: each reset is another bolted fault. Lock out and test dead.",
	"Conductors are touched only with every circuit in the box locked out, tagged and proven dead.",
	"A lock says what somebody did, not what is there: prove the box dead, with the tester proven on a known live source before and after.",
	"An ohmmeter on a live circuit can blow up in the hand. Lock out and prove dead first.",
	"A lifted end that is not capped is live metal in the open as soon as the circuit is. Cap each before energizing.",
	"Metal that a hand can touch was connected to a line. Test ground and metal dead before energizing.",
}

// String returns the words.
func (k DangerKind) String() string { return enum.Word(dangerWords[:], k, "DangerKind") }

// MarshalText writes the words; a danger that has none is an error.
func (k DangerKind) MarshalText() ([]byte, error) {
	return enum.Marshal("lab", dangerWords[:], k, "danger")
}

// UnmarshalText reads the words.
func (k *DangerKind) UnmarshalText(text []byte) error {
	return enum.Unmarshal("lab", dangerWords[:], text, "danger", k)
}

// A Danger is a move that could have hurt, and why.
type Danger struct {
	Kind DangerKind
	// Move is the index of the move in the log.
	Move int
	// Why explains it to the student. The text is for reading and not stable.
	Why string
}
