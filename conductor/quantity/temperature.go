package quantity

// Temperature is a temperature in ninthousandths of a degree Celsius above the
// freezing point of water, so that a degree of either scale is whole: one
// Celsius degree is 9000, one Fahrenheit step 5000. The zero Temperature is
// 0 °C, which is 32 °F.
type Temperature int64

// Celsius is one degree Celsius: 30 * Celsius is 30 °C. For the other scale,
// whose zero lies elsewhere, see [Fahrenheit].
const Celsius Temperature = 9000

const (
	fahrenheitStep = 5000
	fahrenheitZero = -32 * fahrenheitStep // where the Fahrenheit scale reads 0
)

// Fahrenheit returns the temperature of a whole number of degrees Fahrenheit.
func Fahrenheit(degrees int32) Temperature {
	return Temperature(degrees)*fahrenheitStep + fahrenheitZero
}

var temperature = dimension{noun: "temperature", example: "30 C", units: []unit{
	{size: int64(Celsius), spell: []string{"C", "°C", "degC", "deg C", "celsius", "Celsius"}},
	{size: fahrenheitStep, zero: fahrenheitZero, spell: []string{"F", "°F", "degF", "deg F", "fahrenheit", "Fahrenheit"}},
}}

// ParseTemperature returns the temperature written as a number and a scale,
// "30 C" or "86 F". The error is a *[ParseError], as for the other kinds.
func ParseTemperature(text string) (Temperature, error) {
	t, err := temperature.parse(text)
	return Temperature(t), err
}

// InCelsius returns t in degrees Celsius: exact where the decimal ends,
// otherwise rounded half to even to three places.
func (t Temperature) InCelsius() string { return temperature.in(int64(t), int64(Celsius)) }

// InFahrenheit returns t in degrees Fahrenheit, exactly.
func (t Temperature) InFahrenheit() string { return temperature.in(int64(t), fahrenheitStep) }

// FormatCelsius returns t in degrees Celsius rounded half to even to at most
// places decimals (0 to 15), without trailing zeros.
func (t Temperature) FormatCelsius(places int) string {
	return temperature.format(int64(t), int64(Celsius), places)
}

// FormatFahrenheit is FormatCelsius on the Fahrenheit scale.
func (t Temperature) FormatFahrenheit(places int) string {
	return temperature.format(int64(t), fahrenheitStep, places)
}

// String returns the shortest exact text, which ParseTemperature reads back.
func (t Temperature) String() string { return temperature.shortest(int64(t)) }

// MarshalText returns the text of String.
func (t Temperature) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads what ParseTemperature reads; on an error t is unchanged.
func (t *Temperature) UnmarshalText(text []byte) error {
	parsed, err := ParseTemperature(string(text))
	if err == nil {
		*t = parsed
	}
	return err
}

// DegreesCelsius returns t in degrees Celsius as a float64, for numeric code.
func (t Temperature) DegreesCelsius() float64 { return float64(t) / float64(Celsius) }
