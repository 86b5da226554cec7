package quantity

// CircularMils is the area of a round conductor in circular mils: the square of
// its diameter in thousandths of an inch. It is a type apart from [Area]
// because the ratio of the two contains pi and so is exact in neither.
type CircularMils int64

// Units of circular-mil area.
const (
	CircularMil  CircularMils = 1
	KCircularMil              = 1000 * CircularMil
)

var circularMils = dimension{noun: "circular-mil area", example: "4110 cmil", units: []unit{
	{size: int64(CircularMil), spell: []string{"cmil", "circular mil", "circular mils"}},
	{size: int64(KCircularMil), spell: []string{"kcmil"}},
}}

// ParseCircularMils returns the circular-mil area written as a number and a unit. The error is a
// *[ParseError]: no number, no unit, an unknown unit, more decimals than the
// base unit holds, or too large.
func ParseCircularMils(text string) (CircularMils, error) {
	v, err := circularMils.parse(text)
	return CircularMils(v), err
}

// In returns c in the given unit: exact where the decimal ends, otherwise
// rounded half to even to three places.
func (c CircularMils) In(unit CircularMils) string { return circularMils.in(int64(c), int64(unit)) }

// Format returns c in the given unit rounded half to even to at most places
// decimals (0 to 15), without trailing zeros.
func (c CircularMils) Format(unit CircularMils, places int) string {
	return circularMils.format(int64(c), int64(unit), places)
}

// String returns the shortest exact text, which ParseCircularMils reads back.
func (c CircularMils) String() string { return circularMils.shortest(int64(c)) }

// MarshalText returns the text of String.
func (c CircularMils) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what ParseCircularMils reads; on an error c is unchanged.
func (c *CircularMils) UnmarshalText(text []byte) error {
	parsed, err := ParseCircularMils(string(text))
	if err == nil {
		*c = parsed
	}
	return err
}
