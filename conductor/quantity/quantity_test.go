package quantity

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	parse := map[string]func(string) (int64, error){
		"length": func(s string) (int64, error) { v, err := ParseLength(s); return int64(v), err },
		"volume": func(s string) (int64, error) { v, err := ParseVolume(s); return int64(v), err },
		"area":   func(s string) (int64, error) { v, err := ParseArea(s); return int64(v), err },
		"cmil":   func(s string) (int64, error) { v, err := ParseCircularMils(s); return int64(v), err },
		"volt":   func(s string) (int64, error) { v, err := ParseVoltage(s); return int64(v), err },
		"amp":    func(s string) (int64, error) { v, err := ParseCurrent(s); return int64(v), err },
		"watt":   func(s string) (int64, error) { v, err := ParsePower(s); return int64(v), err },
		"va":     func(s string) (int64, error) { v, err := ParseApparentPower(s); return int64(v), err },
		"ohm":    func(s string) (int64, error) { v, err := ParseResistance(s); return int64(v), err },
		"ohm/l":  func(s string) (int64, error) { v, err := ParseResistancePerLength(s); return int64(v), err },
		"mV/A/m": func(s string) (int64, error) { v, err := ParseVoltDropRate(s); return int64(v), err },
		"pF/m":   func(s string) (int64, error) { v, err := ParseCapacitancePerLength(s); return int64(v), err },
		"temp":   func(s string) (int64, error) { v, err := ParseTemperature(s); return int64(v), err },
		"ratio":  func(s string) (int64, error) { v, err := ParseRatio(s); return int64(v), err },
		"factor": func(s string) (int64, error) { v, err := ParseFactor(s); return int64(v), err },
	}
	tests := []struct {
		kind, text string
		want       int64
		problem    string // part of the error; empty when it must parse
		why        string
	}{
		{"length", "34 ft", int64(34 * Foot), "", "customary run length"},
		{"length", "10.4 m", 10_400_000_000, "", "metric run length with a decimal"},
		{"length", "4in", int64(4 * Inch), "", "no blank before the unit"},
		{"length", "  2.125\tinches ", 53_975_000, "", "blanks around, long spelling, eighths are exact"},
		{"length", "0.000001 mm", 1, "", "exactly one base unit"},
		{"length", "0.0000001 mm", 0, "more decimal places", "a tenth of a base unit is not rounded"},
		{"length", "1.0000000000000000000000000 m", int64(Meter), "", "zeros at the end of a fraction say nothing"},
		{"length", "00034 ft", int64(34 * Foot), "", "leading zeros are decimal, never octal"},
		{"length", "-3 ft", int64(-3 * Foot), "", "differences may be negative; whoever needs a length checks"},
		{"length", "34", 0, "has no unit", "a bare number is never guessed"},
		{"length", "", 0, "does not start with a number", "empty"},
		{"length", "ft", 0, "does not start with a number", "a unit alone"},
		{"length", "1e3 m", 0, `"e3 m" is not a unit`, "no exponents"},
		{"length", "1,000 m", 0, `",000 m" is not a unit`, "no digit grouping"},
		{"length", "1.2.3 m", 0, "is not a plain decimal", "two points"},
		{"length", ".5 m", 0, "is not a plain decimal", "digit before the point"},
		{"length", "5. m", 0, "is not a plain decimal", "digit after the point"},
		{"length", "- 5 m", 0, "does not start with a number", "sign apart from the digits"},
		{"length", "34 FT", 0, `did you mean "ft"`, "case matters (mV, MV), so a near miss is suggested"},
		{"length", "34 furlongs", 0, "is not a unit of length", "unknown unit"},
		{"length", "9223372036854775807 mm", 0, "larger than can be held", "overflow through the unit"},
		{"length", "99999999999999999999999 mm", 0, "larger than can be held", "more digits than fit"},
		{"length", "1.00000000000000000000000001 mm", 0, "more decimal places", "a very long fraction"},
		{"length", "9999999999999999999.5 mm", 0, "larger than can be held", "a large number with a fraction"},
		{"ohm/l", "7378697629.4838206456 ohm/kft", math.MaxInt64, "", "more digits than 64 bits hold, yet exact"},
		{"length", strings.Repeat("1", 65), 0, "longer than 64", "bounded work"},
		{"volume", "20.3 in3", 332_657_399_200, "", "T314.16(A) box, exact in picoliters"},
		{"volume", "20.3 cu in", 332_657_399_200, "", "as stamped in some boxes"},
		{"volume", "344 mL", 344_000_000_000, "", "as stamped in others"},
		{"volume", "344 cm3", 344_000_000_000, "", "same size, other word"},
		{"area", "1.5 mm2", 1_500_000, "", "metric conductor"},
		{"cmil", "4110 cmil", 4110, "", "14 AWG"},
		{"cmil", "105.6 kcmil", 105_600, "", "1/0 AWG"},
		{"volt", "120 V", 120_000_000, "", "line to neutral"},
		{"amp", "15 A", 15_000_000, "", "breaker"},
		{"amp", "10.5 A", 10_500_000, "", "metric capacity"},
		{"amp", "15 amps", 15_000_000, "", "as said"},
		{"amp", "15 a", 0, `did you mean "A"`, "not the symbol"},
		{"watt", "18 W", 18_000_000, "", "lamp"},
		{"watt", "18 VA", 0, "is not a unit of power", "apparent power is another kind"},
		{"va", "24 VA", 24_000_000, "", "lamp marked in volt-amperes"},
		{"ohm", "10 M\u03a9", int64(10 * Megaohm), "", "meter input, Greek letter"},
		{"ohm", "10 M\u2126", int64(10 * Megaohm), "", "meter input, compatibility sign"},
		{"ohm", "0.35 ohm", int64(350 * Milliohm), "", "run of 14 AWG"},
		{"ohm/l", "3.07 ohm/kft", 3_837_500_000, "", "14 AWG solid, exact"},
		{"ohm/l", "10.0722 ohm/km", 3_837_508_200, "", "the metric column of the same row, exact, and not equal"},
		{"mV/A/m", "29 mV/A/m", 29_000_000, "", "1.5 mm2"},
		{"pF/m", "80 pF/m", 80 * 381_000_000, "", "cable capacitance"},
		{"temp", "30 C", 270_000, "", "table base"},
		{"temp", "86 F", 270_000, "", "the same temperature"},
		{"temp", "-40 F", -360_000, "", "where the scales meet"},
		{"temp", "-40 °C", -360_000, "", "and from the other side"},
		{"ratio", "3%", 30_000_000, "", "drop limit"},
		{"ratio", "0.005 percent", 50_000, "", "per-meter allowance"},
		{"ratio", "3", 0, "has no unit", "3 or 3 %?"},
		{"factor", "0.91", 910_000_000, "", "ambient correction"},
		{"factor", "0.91 x", 0, "bare decimal", "a factor has no unit"},
		{"factor", "0.0000000001", 0, "more decimal places", "finer than a billionth"},
		{"factor", strings.Repeat("0", 65), 0, "longer than 64", "bounded work"},
	}
	for _, tt := range tests {
		got, err := parse[tt.kind](tt.text)
		if tt.problem == "" {
			if err != nil || got != tt.want {
				t.Errorf("%s %q = %d, %v; want %d (%s)", tt.kind, tt.text, got, err, tt.want, tt.why)
			}
			continue
		}
		var pe *ParseError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), tt.problem) || pe.Example == "" {
			t.Errorf("%s %q: error %v, want one containing %q (%s)", tt.kind, tt.text, err, tt.problem, tt.why)
		}
	}
}

func TestParseErrorText(t *testing.T) {
	_, err := ParseLength("34")
	want := `length "34": has no unit; write a number and a unit (ft, m, in, mm, cm, km), such as "34 ft"`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	_, err = ParseFactor("x")
	want = `factor "x": is not a bare decimal number; write a number without a unit, such as "0.91"`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

func TestRender(t *testing.T) {
	tests := []struct{ got, want, why string }{
		{(203 * CubicInch / 10).String(), "20.3 in3", "a customary volume prints as one"},
		{(344 * Milliliter).String(), "344 mL", "a metric volume prints as one"},
		{(344 * Milliliter).In(CubicInch), "20.992 in3", "unending decimal, three places"},
		{(344 * Milliliter).Format(CubicInch, 1), "21 in3", "trailing zeros go"},
		{CubicInch.In(Milliliter), "16.387064 mL", "exact however long"},
		{(34 * Foot).String(), "34 ft", "shortest exact text"},
		{(34 * Foot).In(Meter), "10.3632 m", "exact"},
		{(Meter * 104 / 10).String(), "10.4 m", "shortest exact text"},
		{Length(0).String(), "0 ft", "zero prints in the first unit"},
		{(-3 * Inch).String(), "-3 in", "sign"},
		{Length(-1).Format(Foot, 2), "0 ft", "no negative zero"},
		{(25 * Millimeter).Format(Centimeter, 0), "2 cm", "half goes to even, down"},
		{(35 * Millimeter).Format(Centimeter, 0), "4 cm", "half goes to even, up"},
		{(3125 * Microvolt).Format(Millivolt, 2), "3.12 mV", "half to even in the last place"},
		{(9996 * Microvolt).Format(Millivolt, 2), "10 mV", "carry into the whole"},
		{(9996 * Microvolt).Format(Millivolt, -1), "10 mV", "negative places are none"},
		{(9996 * Microvolt).Format(Millivolt, 99), "9.996 mV", "places are capped"},
		{(7 * Volt).In(3), "7 V", "a size that is no unit prints in the first unit"},
		{(30 * Celsius).String(), "30 C", "shortest, first unit wins a tie"},
		{Fahrenheit(88).String(), "88 F", "88 F has no finite Celsius text"},
		{Fahrenheit(88).InCelsius(), "31.111 C", "rounded"},
		{Fahrenheit(88).FormatCelsius(1), "31.1 C", "rounded"},
		{(30 * Celsius).InFahrenheit(), "86 F", "exact"},
		{(31 * Celsius).FormatFahrenheit(0), "88 F", "87.8"},
		{(3 * Percent).String(), "3 %", "percent"},
		{(91 * Percent).Factor(), "0.91", "as a factor"},
		{(Whole / 3).FormatPercent(2), "33.33 %", "rounded percent"},
		{(Whole / 3).FormatFactor(2), "0.33", "rounded factor"},
		{(307 * OhmPerThousandFeet / 100).String(), "3.07 ohm/kft", "customary resistance"},
		{(1810 * OhmPerKilometer / 100).String(), "18.1 ohm/km", "metric resistance"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q (%s)", tt.got, tt.want, tt.why)
		}
	}
}

func TestJSON(t *testing.T) {
	type row struct {
		Run   Length      `json:"run"`
		Inner Volume      `json:"inner"`
		Warm  Temperature `json:"warm"`
		Limit Ratio       `json:"limit"`
	}
	in := row{34 * Foot, 203 * CubicInch / 10, Fahrenheit(88), 3 * Percent}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"run":"34 ft","inner":"20.3 in3","warm":"88 F","limit":"3 %"}`; string(text) != want {
		t.Errorf("got %s, want %s", text, want)
	}
	var out row
	if err := json.Unmarshal(text, &out); err != nil || out != in {
		t.Errorf("read back %+v, %v", out, err)
	}
	out = in
	if err := json.Unmarshal([]byte(`{"run":"12"}`), &out); err == nil || out != in {
		t.Errorf("a bare number gave %+v, %v", out, err)
	}
}

func TestScale(t *testing.T) {
	tests := []struct {
		q     Current
		r     Ratio
		want  Current
		exact bool
		why   string
	}{
		{30 * Ampere, 76 * Percent, 22_800_000, true, "22.8 A, not 22.799999"},
		{-30 * Ampere, 76 * Percent, -22_800_000, true, "sign"},
		{1, Whole / 2, 0, false, "half to even, down"},
		{3, Whole / 2, 2, false, "half to even, up"},
		{math.MaxInt64, Whole, math.MaxInt64, true, "the largest value survives"},
		{math.MaxInt64, Whole + 1, math.MaxInt64, false, "saturates"},
		{math.MinInt64, 2 * Whole, -math.MaxInt64, false, "saturates below"},
		{math.MaxInt64, math.MaxInt64, math.MaxInt64, false, "saturates far out"},
	}
	for _, tt := range tests {
		if got, exact := Scale(tt.q, tt.r); got != tt.want || exact != tt.exact {
			t.Errorf("Scale(%d, %d) = %d, %v; want %d, %v (%s)", tt.q, tt.r, got, exact, tt.want, tt.exact, tt.why)
		}
	}
}

func TestFloat(t *testing.T) {
	tests := []struct {
		got, want float64
		why       string
	}{
		{(120 * Volt).Volts(), 120, "volts"},
		{(15 * Ampere).Amperes(), 15, "amperes"},
		{(18 * Watt).Watts(), 18, "watts"},
		{(18 * VoltAmpere).VoltAmperes(), 18, "volt-amperes"},
		{(34 * Foot).Feet(), 34, "feet"},
		{(34 * Foot).Meters(), 10.3632, "meters"},
		{(2 * CubicInch).CubicInches(), 2, "cubic inches"},
		{(2 * CubicInch).Milliliters(), 32.774128, "milliliters"},
		{(15 * SquareMillimeter / 10).SquareMillimeters(), 1.5, "square millimeters"},
		{(10 * Megaohm).Ohms(), 1e7, "ohms"},
		{OhmPerKilometer.OhmsPerMeter(), 0.001, "ohms per meter"},
		{(80 * PicofaradPerMeter).FaradsPerMeter(), 80e-12, "farads per meter"},
		{Fahrenheit(86).DegreesCelsius(), 30, "degrees"},
		{(3 * Percent).Float64(), 0.03, "ratio"},
	}
	for _, tt := range tests {
		if math.Abs(tt.got-tt.want) > 1e-12*math.Abs(tt.want) {
			t.Errorf("got %v, want %v (%s)", tt.got, tt.want, tt.why)
		}
	}
	if v, ok := FromFloat(118.3, Volt); !ok || v != 118_300_000 {
		t.Errorf("FromFloat(118.3, Volt) = %v, %v", v, ok)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300} {
		if v, ok := FromFloat(bad, Volt); ok || v != 0 {
			t.Errorf("FromFloat(%v, Volt) = %v, %v", bad, v, ok)
		}
	}
}
