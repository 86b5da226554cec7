package conductor

// Material is the metal of a conductor.
type Material uint8

// Materials. Zero is unset and refused.
const (
	Copper Material = iota + 1
	Aluminum
	CopperCladAluminum
)

var materials = vocabulary{
	kind:  "conductor material",
	words: []string{"copper", "aluminum", "copper-clad aluminum"},
	also:  map[string]uint8{"aluminium": 2, "copper-clad aluminium": 3},
}

// String returns the word, or "unset" for zero.
func (m Material) String() string { return materials.word(uint8(m)) }

// ParseMaterial returns the value of the word; the error lists the words.
func ParseMaterial(text string) (Material, error) {
	n, err := materials.parse(text)
	return Material(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (m Material) MarshalText() ([]byte, error) { return materials.marshal(uint8(m)) }

// UnmarshalText reads what ParseMaterial reads; on an error m is unchanged.
func (m *Material) UnmarshalText(text []byte) error {
	n, err := ParseMaterial(string(text))
	if err == nil {
		*m = n
	}
	return err
}

// Stranding is how a conductor's metal is laid up.
type Stranding uint8

// Strandings. Zero is unset: where a figure is wanted, the worse of the two.
const (
	Solid Stranding = iota + 1
	Stranded
)

var strandings = vocabulary{kind: "stranding", words: []string{"solid", "stranded"}}

// String returns the word, or "unset" for zero.
func (s Stranding) String() string { return strandings.word(uint8(s)) }

// ParseStranding returns the value of the word; the error lists the words.
func ParseStranding(text string) (Stranding, error) {
	n, err := strandings.parse(text)
	return Stranding(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (s Stranding) MarshalText() ([]byte, error) { return strandings.marshal(uint8(s)) }

// UnmarshalText reads what ParseStranding reads; on an error s is unchanged.
func (s *Stranding) UnmarshalText(text []byte) error {
	n, err := ParseStranding(string(text))
	if err == nil {
		*s = n
	}
	return err
}

// Raceway is the material around the conductors of an alternating current, on
// which their reactance depends. A cable without metal counts as PVC.
type Raceway uint8

// Raceway materials. Zero is unset and refused.
const (
	PVC Raceway = iota + 1
	AluminumRaceway
	SteelRaceway
)

var raceways = vocabulary{kind: "raceway material", words: []string{"pvc", "aluminum", "steel"}, also: map[string]uint8{"aluminium": 2}}

// String returns the word, or "unset" for zero.
func (r Raceway) String() string { return raceways.word(uint8(r)) }

// ParseRaceway returns the value of the word; the error lists the words.
func ParseRaceway(text string) (Raceway, error) {
	n, err := raceways.parse(text)
	return Raceway(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (r Raceway) MarshalText() ([]byte, error) { return raceways.marshal(uint8(r)) }

// UnmarshalText reads what ParseRaceway reads; on an error r is unchanged.
func (r *Raceway) UnmarshalText(text []byte) error {
	n, err := ParseRaceway(string(text))
	if err == nil {
		*r = n
	}
	return err
}
