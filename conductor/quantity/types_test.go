package quantity

import (
	"encoding"
	"testing"
)

// textual is a quantity with the methods every one has.
type textual[T any] interface {
	*T
	encoding.TextMarshaler
	encoding.TextUnmarshaler
}

// kind checks that a type's functions and methods speak of the same dimension:
// text is that of value, in unit reads as in, and format is rounded to two places.
func kind[T Quantity, P textual[T]](t *testing.T, value T, text string, parse func(string) (T, error), shown ...[2]string) {
	t.Helper()
	if got, err := parse(text); err != nil || got != value {
		t.Errorf("%q reads as %d, %v; want %d", text, got, err, value)
	}
	marshaled, err := P(&value).MarshalText()
	if err != nil || string(marshaled) != text {
		t.Errorf("%d is written %q, %v; want %q", value, marshaled, err, text)
	}
	var back T
	if err := P(&back).UnmarshalText(marshaled); err != nil || back != value {
		t.Errorf("%q comes back as %d, %v", marshaled, back, err)
	}
	if err := P(&back).UnmarshalText([]byte("5 parsecs per hour")); err == nil || back != value {
		t.Errorf("%T takes another kind's text: %d, %v", value, back, err)
	}
	for _, s := range shown {
		if s[0] != s[1] {
			t.Errorf("%T %q is shown as %q, want %q", value, text, s[0], s[1])
		}
	}
}

func TestEveryKind(t *testing.T) {
	shown := func(got, want string) [2]string { return [2]string{got, want} }
	v := 203 * CubicInch / 10
	kind(t, v, "20.3 in3", ParseVolume, shown(v.In(Liter), "0.3326573992 L"), shown(v.Format(Milliliter, 2), "332.66 mL"))
	l := 34 * Foot
	kind(t, l, "34 ft", ParseLength, shown(l.In(Inch), "408 in"), shown(l.Format(Meter, 2), "10.36 m"))
	a := 3 * SquareMillimeter / 2
	kind(t, a, "1.5 mm2", ParseArea, shown(a.In(SquareInch), "0.002 in2"), shown(a.Format(SquareMillimeter, 2), "1.5 mm2"))
	c := 4110 * CircularMil
	kind(t, c, "4110 cmil", ParseCircularMils, shown(c.In(KCircularMil), "4.11 kcmil"), shown(c.Format(KCircularMil, 1), "4.1 kcmil"))
	u := 120 * Volt
	kind(t, u, "120 V", ParseVoltage, shown(u.In(Kilovolt), "0.12 kV"), shown((u/7).Format(Volt, 2), "17.14 V"))
	i := 15 * Ampere
	kind(t, i, "15 A", ParseCurrent, shown(i.In(Milliampere), "15000 mA"), shown((i/7).Format(Ampere, 2), "2.14 A"))
	p := 18 * Watt
	kind(t, p, "18 W", ParsePower, shown(p.In(Milliwatt), "18000 mW"), shown((p/7).Format(Watt, 2), "2.57 W"))
	s := 24 * VoltAmpere
	kind(t, s, "24 VA", ParseApparentPower, shown(s.In(KilovoltAmpere), "0.024 kVA"), shown((s/7).Format(VoltAmpere, 2), "3.43 VA"))
	r := 35 * Ohm / 100
	kind(t, r, "0.35 ohm", ParseResistance, shown(r.In(Milliohm), "350 mohm"), shown(r.Format(Ohm, 1), "0.4 ohm"))
	k := 307 * OhmPerThousandFeet / 100
	kind(t, k, "3.07 ohm/kft", ParseResistancePerLength, shown(k.In(OhmPerKilometer), "10.072 ohm/km"), shown(k.Format(OhmPerKilometer, 4), "10.0722 ohm/km"))
	d := 29 * MillivoltPerAmpereMeter
	kind(t, d, "29 mV/A/m", ParseVoltDropRate, shown(d.In(MillivoltPerAmpereMeter), "29 mV/A/m"), shown((d/7).Format(MillivoltPerAmpereMeter, 2), "4.14 mV/A/m"))
	f := 80 * PicofaradPerMeter
	kind(t, f, "80 pF/m", ParseCapacitancePerLength, shown(f.In(PicofaradPerFoot), "24.384 pF/ft"), shown(f.Format(PicofaradPerFoot, 1), "24.4 pF/ft"))
	w := 30 * Celsius
	kind(t, w, "30 C", ParseTemperature, shown(w.FormatFahrenheit(1), "86 F"), shown(w.InCelsius(), "30 C"))
	x := 3 * Percent
	kind(t, x, "3 %", ParseRatio, shown(x.Factor(), "0.03"), shown(x.FormatPercent(1), "3 %"))
}
