package quantity

// Power is real power in microwatts. Apparent power has its own type: a lamp
// marked in watts draws more current than watts over volts when its power
// factor is below one, and a value that could be either would hide that.
type Power int64

// Units of real power.
const (
	Microwatt Power = 1
	Milliwatt       = 1000 * Microwatt
	Watt            = 1000 * Milliwatt
	Kilowatt        = 1000 * Watt
)

var power = dimension{noun: "power", example: "18 W", units: []unit{
	{size: int64(Watt), spell: []string{"W", "watt", "watts"}},
	{size: int64(Milliwatt), quiet: true, spell: []string{"mW", "milliwatt", "milliwatts"}},
	{size: int64(Microwatt), quiet: true, spell: []string{"uW", "\u00b5W", "\u03bcW"}},
	{size: int64(Kilowatt), spell: []string{"kW", "kilowatt", "kilowatts"}},
}}

// ApparentPower is apparent power in microvolt-amperes.
type ApparentPower int64

// Units of apparent power.
const (
	VoltAmpere     ApparentPower = 1_000_000
	KilovoltAmpere               = 1000 * VoltAmpere
)

var apparentPower = dimension{noun: "apparent power", example: "24 VA", units: []unit{
	{size: int64(VoltAmpere), spell: []string{"VA", "volt-ampere", "volt-amperes"}},
	{size: int64(KilovoltAmpere), spell: []string{"kVA", "kilovolt-ampere", "kilovolt-amperes"}},
}}

// ParsePower returns the power written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParsePower(text string) (Power, error) {
	v, err := power.parse(text)
	return Power(v), err
}

// In returns p in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (p Power) In(unit Power) string { return power.in(int64(p), int64(unit)) }

// Format returns p in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (p Power) Format(unit Power, places int) string {
	return power.format(int64(p), int64(unit), places)
}

// String returns the shortest exact text, which ParsePower reads back.
func (p Power) String() string { return power.shortest(int64(p)) }

// MarshalText returns the text of String.
func (p Power) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what ParsePower reads; on an error p is unchanged.
func (p *Power) UnmarshalText(text []byte) error {
	parsed, err := ParsePower(string(text))
	if err == nil {
		*p = parsed
	}
	return err
}

// Watts returns p in watts as a float64, for numeric code.
func (p Power) Watts() float64 { return float64(p) / float64(Watt) }

// ParseApparentPower returns the apparent power written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseApparentPower(text string) (ApparentPower, error) {
	v, err := apparentPower.parse(text)
	return ApparentPower(v), err
}

// In returns p in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (p ApparentPower) In(unit ApparentPower) string { return apparentPower.in(int64(p), int64(unit)) }

// Format returns p in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (p ApparentPower) Format(unit ApparentPower, places int) string {
	return apparentPower.format(int64(p), int64(unit), places)
}

// String returns the shortest exact text, which ParseApparentPower reads back.
func (p ApparentPower) String() string { return apparentPower.shortest(int64(p)) }

// MarshalText returns the text of String.
func (p ApparentPower) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what ParseApparentPower reads; on an error p is unchanged.
func (p *ApparentPower) UnmarshalText(text []byte) error {
	parsed, err := ParseApparentPower(string(text))
	if err == nil {
		*p = parsed
	}
	return err
}

// VoltAmperes returns p in volt-amperes as a float64, for numeric code.
func (p ApparentPower) VoltAmperes() float64 { return float64(p) / float64(VoltAmpere) }
