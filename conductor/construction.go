package conductor

// Construction is how the conductors of a run are held together, as far as the
// rules care.
type Construction uint8

// Constructions. Zero is unset and refused.
const (
	NonmetallicSheath Construction = iota + 1
	MetalClad
	FlatTwinAndEarth
	Loose // single conductors in a raceway
)

var constructions = vocabulary{
	kind:  "construction",
	words: []string{"nonmetallic", "metal-clad", "flat twin and earth", "loose"},
}

// String returns the word, or "unset" for zero.
func (c Construction) String() string { return constructions.word(uint8(c)) }

// ParseConstruction returns the value of the word; the error lists the words.
func ParseConstruction(text string) (Construction, error) {
	n, err := constructions.parse(text)
	return Construction(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (c Construction) MarshalText() ([]byte, error) { return constructions.marshal(uint8(c)) }

// UnmarshalText reads what ParseConstruction reads; on an error c is unchanged.
func (c *Construction) UnmarshalText(text []byte) error {
	n, err := ParseConstruction(string(text))
	if err == nil {
		*c = n
	}
	return err
}
