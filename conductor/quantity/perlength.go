package quantity

// VoltDropRate is the voltage lost per ampere of load and per meter of run, out
// and back together, in nanovolts per ampere-meter. It is the figure that
// metric cable tables state in mV/A/m.
type VoltDropRate int64

// MillivoltPerAmpereMeter is the unit of the metric cable tables.
const MillivoltPerAmpereMeter VoltDropRate = 1_000_000

var voltDropRate = dimension{noun: "voltage drop rate", example: "29 mV/A/m", units: []unit{
	{size: int64(MillivoltPerAmpereMeter), spell: []string{"mV/A/m", "mV/A.m", "mV/(A.m)", "mV/Am"}},
}}

// CapacitancePerLength is the capacitance of a unit length of cable. Its base
// unit, 1/381,000,000 pF/m, makes pF/m and pF/ft both whole.
type CapacitancePerLength int64

// Units of capacitance per length, both exact.
const (
	PicofaradPerMeter CapacitancePerLength = 381_000_000
	PicofaradPerFoot  CapacitancePerLength = 1_250_000_000
)

var capacitancePerLength = dimension{noun: "capacitance per length", example: "80 pF/m", units: []unit{
	{size: int64(PicofaradPerMeter), spell: []string{"pF/m"}},
	{size: int64(PicofaradPerFoot), spell: []string{"pF/ft"}},
}}

// ParseVoltDropRate returns the voltage drop rate written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseVoltDropRate(text string) (VoltDropRate, error) {
	v, err := voltDropRate.parse(text)
	return VoltDropRate(v), err
}

// In returns r in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (r VoltDropRate) In(unit VoltDropRate) string { return voltDropRate.in(int64(r), int64(unit)) }

// Format returns r in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (r VoltDropRate) Format(unit VoltDropRate, places int) string {
	return voltDropRate.format(int64(r), int64(unit), places)
}

// String returns the shortest exact text, which ParseVoltDropRate reads back.
func (r VoltDropRate) String() string { return voltDropRate.shortest(int64(r)) }

// MarshalText returns the text of String.
func (r VoltDropRate) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseVoltDropRate reads; on an error r is unchanged.
func (r *VoltDropRate) UnmarshalText(text []byte) error {
	parsed, err := ParseVoltDropRate(string(text))
	if err == nil {
		*r = parsed
	}
	return err
}

// ParseCapacitancePerLength returns the capacitance per length written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseCapacitancePerLength(text string) (CapacitancePerLength, error) {
	v, err := capacitancePerLength.parse(text)
	return CapacitancePerLength(v), err
}

// In returns c in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (c CapacitancePerLength) In(unit CapacitancePerLength) string {
	return capacitancePerLength.in(int64(c), int64(unit))
}

// Format returns c in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (c CapacitancePerLength) Format(unit CapacitancePerLength, places int) string {
	return capacitancePerLength.format(int64(c), int64(unit), places)
}

// String returns the shortest exact text, which ParseCapacitancePerLength reads back.
func (c CapacitancePerLength) String() string { return capacitancePerLength.shortest(int64(c)) }

// MarshalText returns the text of String.
func (c CapacitancePerLength) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what ParseCapacitancePerLength reads; on an error c is unchanged.
func (c *CapacitancePerLength) UnmarshalText(text []byte) error {
	parsed, err := ParseCapacitancePerLength(string(text))
	if err == nil {
		*c = parsed
	}
	return err
}

// FaradsPerMeter returns c in farads per meter as a float64, for numeric code.
func (c CapacitancePerLength) FaradsPerMeter() float64 {
	return float64(c) / (1e12 * float64(PicofaradPerMeter))
}
