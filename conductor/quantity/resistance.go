package quantity

// Resistance is a resistance, or the size of a reactance or impedance, in
// nanoohms. It holds up to 9.2 Gohm.
type Resistance int64

// Units of resistance. In text the ohm sign may be the Greek omega or the
// compatibility character.
const (
	Nanoohm  Resistance = 1
	Microohm            = 1000 * Nanoohm
	Milliohm            = 1000 * Microohm
	Ohm                 = 1000 * Milliohm
	Kiloohm             = 1000 * Ohm
	Megaohm             = 1000 * Kiloohm
)

var resistance = dimension{noun: "resistance", example: "0.35 ohm", units: []unit{
	{size: int64(Ohm), spell: []string{"ohm", "ohms", "\u03a9", "\u2126"}},
	{size: int64(Milliohm), spell: []string{"mohm", "milliohm", "milliohms", "m\u03a9", "m\u2126"}},
	{size: int64(Microohm), quiet: true, spell: []string{"uohm", "microohm", "microohms"}},
	{size: int64(Nanoohm), quiet: true, spell: []string{"nohm", "nanoohm", "nanoohms"}},
	{size: int64(Kiloohm), spell: []string{"kohm", "kilohm", "kilohms", "k\u03a9", "k\u2126"}},
	{size: int64(Megaohm), spell: []string{"Mohm", "megohm", "megohms", "M\u03a9", "M\u2126"}},
}}

// ResistancePerLength is the resistance or reactance of a unit length of one
// conductor. Its base unit, 1/381,000,000 ohm per kilometer, makes the ohm per
// kilometer and the ohm per thousand feet both whole.
type ResistancePerLength int64

// Units of resistance per length, all exact.
const (
	OhmPerKilometer    ResistancePerLength = 381_000_000
	OhmPerMeter                            = 1000 * OhmPerKilometer
	OhmPerThousandFeet ResistancePerLength = 1_250_000_000
)

var resistancePerLength = dimension{noun: "resistance per length", example: "3.07 ohm/kft", units: []unit{
	{size: int64(OhmPerThousandFeet), spell: []string{"ohm/kft", "ohms/kft", "ohm/1000 ft", "ohms/1000 ft", "\u03a9/kft", "\u2126/kft"}},
	{size: int64(OhmPerKilometer), spell: []string{"ohm/km", "ohms/km", "\u03a9/km", "\u2126/km", "mohm/m", "m\u03a9/m", "m\u2126/m"}},
	{size: int64(OhmPerMeter), spell: []string{"ohm/m", "ohms/m", "\u03a9/m", "\u2126/m"}},
}}

// ParseResistance returns the resistance written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseResistance(text string) (Resistance, error) {
	v, err := resistance.parse(text)
	return Resistance(v), err
}

// In returns r in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (r Resistance) In(unit Resistance) string { return resistance.in(int64(r), int64(unit)) }

// Format returns r in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (r Resistance) Format(unit Resistance, places int) string {
	return resistance.format(int64(r), int64(unit), places)
}

// String returns the shortest exact text, which ParseResistance reads back.
func (r Resistance) String() string { return resistance.shortest(int64(r)) }

// MarshalText returns the text of String.
func (r Resistance) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseResistance reads; on an error r is unchanged.
func (r *Resistance) UnmarshalText(text []byte) error {
	parsed, err := ParseResistance(string(text))
	if err == nil {
		*r = parsed
	}
	return err
}

// Ohms returns r in ohms as a float64, for numeric code.
func (r Resistance) Ohms() float64 { return float64(r) / float64(Ohm) }

// ParseResistancePerLength returns the resistance per length written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseResistancePerLength(text string) (ResistancePerLength, error) {
	v, err := resistancePerLength.parse(text)
	return ResistancePerLength(v), err
}

// In returns r in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (r ResistancePerLength) In(unit ResistancePerLength) string {
	return resistancePerLength.in(int64(r), int64(unit))
}

// Format returns r in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (r ResistancePerLength) Format(unit ResistancePerLength, places int) string {
	return resistancePerLength.format(int64(r), int64(unit), places)
}

// String returns the shortest exact text, which ParseResistancePerLength reads back.
func (r ResistancePerLength) String() string { return resistancePerLength.shortest(int64(r)) }

// MarshalText returns the text of String.
func (r ResistancePerLength) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseResistancePerLength reads; on an error r is unchanged.
func (r *ResistancePerLength) UnmarshalText(text []byte) error {
	parsed, err := ParseResistancePerLength(string(text))
	if err == nil {
		*r = parsed
	}
	return err
}

// OhmsPerMeter returns r in ohms per meter as a float64, for numeric code.
func (r ResistancePerLength) OhmsPerMeter() float64 { return float64(r) / float64(OhmPerMeter) }
