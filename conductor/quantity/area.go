package quantity

// Area is a cross-section in square micrometers.
type Area int64

// Units of area, all exact.
const (
	SquareMillimeter Area = 1_000_000
	SquareInch       Area = 645_160_000
)

var area = dimension{noun: "area", example: "1.5 mm2", units: []unit{
	{size: int64(SquareMillimeter), spell: []string{"mm2", "mm^2", "mm²", "sq mm"}},
	{size: int64(SquareInch), spell: []string{"in2", "in^2", "in²", "sq in"}},
}}

// ParseArea returns the area written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseArea(text string) (Area, error) {
	v, err := area.parse(text)
	return Area(v), err
}

// In returns a in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (a Area) In(unit Area) string { return area.in(int64(a), int64(unit)) }

// Format returns a in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (a Area) Format(unit Area, places int) string {
	return area.format(int64(a), int64(unit), places)
}

// String returns the shortest exact text, which ParseArea reads back.
func (a Area) String() string { return area.shortest(int64(a)) }

// MarshalText returns the text of String.
func (a Area) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what ParseArea reads; on an error a is unchanged.
func (a *Area) UnmarshalText(text []byte) error {
	parsed, err := ParseArea(string(text))
	if err == nil {
		*a = parsed
	}
	return err
}

// SquareMillimeters returns a in square millimeters as a float64, for numeric code.
func (a Area) SquareMillimeters() float64 { return float64(a) / float64(SquareMillimeter) }
