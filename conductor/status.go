package conductor

// Status is what became of a well-formed question.
type Status uint8

// Statuses. Zero is unset.
const (
	// Fits: the circuit as answered meets every rule asked about. The only
	// success.
	Fits Status = iota + 1
	// NoRating: no standard rating is large enough for the load. Usually the load
	// wants several circuits.
	NoRating
	// RatingTooSmall: the overcurrent device that was given is too small for the
	// load, or for any such circuit.
	RatingTooSmall
	// TooHot: conductors of this insulation may not be used in this ambient at
	// all. Another insulation or another route is the cure.
	TooHot
	// NoSize: no size of the region's table, or of the stock, carries the load
	// behind the device.
	NoSize
	// DropNotMet: a size carries the load, but none keeps the voltage drop within
	// its limit. Usual cures are a shorter run, a higher voltage, a split load.
	DropNotMet
	// LoopNotMet: a size carries the load, but with none does the fault loop trip
	// the device at once. Residual-current protection is the usual cure.
	LoopNotMet
	// Unlawful: a circuit that was judged breaks a rule; the verdict names it.
	Unlawful
)

var statuses = vocabulary{kind: "status", words: []string{
	"fits", "no standard rating is large enough", "the overcurrent device is too small",
	"too hot for the insulation", "no size carries it", "voltage drop not met", "fault loop not met", "unlawful",
}}

// String returns the word, or "unset" for zero.
func (s Status) String() string { return statuses.word(uint8(s)) }

// ParseStatus returns the value of the word; the error lists the words.
func ParseStatus(text string) (Status, error) {
	n, err := statuses.parse(text)
	return Status(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (s Status) MarshalText() ([]byte, error) { return statuses.marshal(uint8(s)) }

// UnmarshalText reads what ParseStatus reads; on an error s is unchanged.
func (s *Status) UnmarshalText(text []byte) error {
	n, err := ParseStatus(string(text))
	if err == nil {
		*s = n
	}
	return err
}
