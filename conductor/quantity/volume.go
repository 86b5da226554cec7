package quantity

// Volume is a volume in picoliters, the volume inside a box or the volume a
// conductor needs there. It holds up to 9.2 million L.
type Volume int64

// Units of volume, both exact: one inch is 25.4 mm.
const (
	Milliliter Volume = 1_000_000_000 // 1 mL = 1 cm3
	Liter             = 1000 * Milliliter
	CubicInch  Volume = 16_387_064_000
)

var volume = dimension{noun: "volume", example: "20.3 in3", units: []unit{
	{size: int64(CubicInch), spell: []string{"in3", "cu in", "cu. in.", "in^3", "in³", "cubic inch", "cubic inches"}},
	{size: int64(Milliliter), spell: []string{"mL", "ml", "cm3", "cm^3", "cm³", "milliliter", "milliliters", "millilitre", "millilitres"}},
	{size: int64(Liter), spell: []string{"L", "liter", "liters", "litre", "litres"}},
}}

// ParseVolume returns the volume written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseVolume(text string) (Volume, error) {
	v, err := volume.parse(text)
	return Volume(v), err
}

// In returns v in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (v Volume) In(unit Volume) string { return volume.in(int64(v), int64(unit)) }

// Format returns v in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (v Volume) Format(unit Volume, places int) string {
	return volume.format(int64(v), int64(unit), places)
}

// String returns the shortest exact text, which ParseVolume reads back.
func (v Volume) String() string { return volume.shortest(int64(v)) }

// MarshalText returns the text of String.
func (v Volume) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads what ParseVolume reads; on an error v is unchanged.
func (v *Volume) UnmarshalText(text []byte) error {
	parsed, err := ParseVolume(string(text))
	if err == nil {
		*v = parsed
	}
	return err
}

// CubicInches returns v in cubic inches as a float64, for numeric code.
func (v Volume) CubicInches() float64 { return float64(v) / float64(CubicInch) }

// Milliliters returns v in milliliters as a float64, for numeric code.
func (v Volume) Milliliters() float64 { return float64(v) / float64(Milliliter) }
