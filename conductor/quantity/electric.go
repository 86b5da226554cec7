package quantity

// Voltage is a voltage in microvolts.
type Voltage int64

// Units of voltage.
const (
	Microvolt Voltage = 1
	Millivolt         = 1000 * Microvolt
	Volt              = 1000 * Millivolt
	Kilovolt          = 1000 * Volt
)

var voltage = dimension{noun: "voltage", example: "120 V", units: []unit{
	{size: int64(Volt), spell: []string{"V", "volt", "volts"}},
	{size: int64(Millivolt), spell: []string{"mV", "millivolt", "millivolts"}},
	{size: int64(Microvolt), quiet: true, spell: []string{"uV", "\u00b5V", "\u03bcV"}},
	{size: int64(Kilovolt), spell: []string{"kV", "kilovolt", "kilovolts"}},
}}

// Current is a current in microamperes.
type Current int64

// Units of current.
const (
	Microampere Current = 1
	Milliampere         = 1000 * Microampere
	Ampere              = 1000 * Milliampere
	Kiloampere          = 1000 * Ampere
)

var current = dimension{noun: "current", example: "15 A", units: []unit{
	{size: int64(Ampere), spell: []string{"A", "ampere", "amperes", "amp", "amps"}},
	{size: int64(Milliampere), spell: []string{"mA", "milliampere", "milliamperes"}},
	{size: int64(Microampere), quiet: true, spell: []string{"uA", "\u00b5A", "\u03bcA"}},
	{size: int64(Kiloampere), spell: []string{"kA", "kiloampere", "kiloamperes"}},
}}

// ParseVoltage returns the voltage written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseVoltage(text string) (Voltage, error) {
	v, err := voltage.parse(text)
	return Voltage(v), err
}

// In returns v in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (v Voltage) In(unit Voltage) string { return voltage.in(int64(v), int64(unit)) }

// Format returns v in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (v Voltage) Format(unit Voltage, places int) string {
	return voltage.format(int64(v), int64(unit), places)
}

// String returns the shortest exact text, which ParseVoltage reads back.
func (v Voltage) String() string { return voltage.shortest(int64(v)) }

// MarshalText returns the text of String.
func (v Voltage) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads what ParseVoltage reads; on an error v is unchanged.
func (v *Voltage) UnmarshalText(text []byte) error {
	parsed, err := ParseVoltage(string(text))
	if err == nil {
		*v = parsed
	}
	return err
}

// Volts returns v in volts as a float64, for numeric code.
func (v Voltage) Volts() float64 { return float64(v) / float64(Volt) }

// ParseCurrent returns the current written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseCurrent(text string) (Current, error) {
	v, err := current.parse(text)
	return Current(v), err
}

// In returns c in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (c Current) In(unit Current) string { return current.in(int64(c), int64(unit)) }

// Format returns c in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (c Current) Format(unit Current, places int) string {
	return current.format(int64(c), int64(unit), places)
}

// String returns the shortest exact text, which ParseCurrent reads back.
func (c Current) String() string { return current.shortest(int64(c)) }

// MarshalText returns the text of String.
func (c Current) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what ParseCurrent reads; on an error c is unchanged.
func (c *Current) UnmarshalText(text []byte) error {
	parsed, err := ParseCurrent(string(text))
	if err == nil {
		*c = parsed
	}
	return err
}

// Amperes returns c in amperes as a float64, for numeric code.
func (c Current) Amperes() float64 { return float64(c) / float64(Ampere) }
