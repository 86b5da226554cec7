package quantity

// Length is a length in nanometers: a cable run, a depth, a free end. It holds
// up to 9.2 million km.
type Length int64

// Units of length, all exact.
const (
	Millimeter Length = 1_000_000
	Centimeter        = 10 * Millimeter
	Meter             = 1000 * Millimeter
	Kilometer         = 1000 * Meter
	Inch       Length = 25_400_000
	Foot              = 12 * Inch
)

var length = dimension{noun: "length", example: "34 ft", units: []unit{
	{size: int64(Foot), spell: []string{"ft", "foot", "feet"}},
	{size: int64(Meter), spell: []string{"m", "meter", "meters", "metre", "metres"}},
	{size: int64(Inch), spell: []string{"in", "inch", "inches"}},
	{size: int64(Millimeter), spell: []string{"mm", "millimeter", "millimeters", "millimetre", "millimetres"}},
	{size: int64(Centimeter), quiet: true, spell: []string{"cm", "centimeter", "centimeters", "centimetre", "centimetres"}},
	{size: int64(Kilometer), spell: []string{"km", "kilometer", "kilometers", "kilometre", "kilometres"}},
}}

// ParseLength returns the length written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseLength(text string) (Length, error) {
	v, err := length.parse(text)
	return Length(v), err
}

// In returns l in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (l Length) In(unit Length) string { return length.in(int64(l), int64(unit)) }

// Format returns l in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (l Length) Format(unit Length, places int) string {
	return length.format(int64(l), int64(unit), places)
}

// String returns the shortest exact text, which ParseLength reads back.
func (l Length) String() string { return length.shortest(int64(l)) }

// MarshalText returns the text of String.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads what ParseLength reads; on an error l is unchanged.
func (l *Length) UnmarshalText(text []byte) error {
	parsed, err := ParseLength(string(text))
	if err == nil {
		*l = parsed
	}
	return err
}

// Meters returns l in meters as a float64, for numeric code.
func (l Length) Meters() float64 { return float64(l) / float64(Meter) }

// Feet returns l in feet as a float64, for numeric code.
func (l Length) Feet() float64 { return float64(l) / float64(Foot) }
