package steady

import (
	"fmt"
	"math"
	"math/cmplx"

	"example.com/switchleg/conductor/quantity"
)

// A VoltagePhasor is an alternating voltage: volts rms, the real axis along the
// source's line A.
type VoltagePhasor complex128

// Magnitude returns its size.
func (v VoltagePhasor) Magnitude() quantity.Voltage {
	return voltage(cmplx.Abs(complex128(v)))
}

// Degrees returns its angle ahead of line A, above -180 and up to 180; 0 for no
// voltage.
func (v VoltagePhasor) Degrees() float64 { return degrees(complex128(v)) }

// String returns "119.62 V at -0.1 degrees". The text is for reading and not
// stable.
func (v VoltagePhasor) String() string { return phasorText(complex128(v), "V") }

// A CurrentPhasor is an alternating current: amperes rms, the real axis along the
// source's line A.
type CurrentPhasor complex128

// Magnitude returns its size.
func (c CurrentPhasor) Magnitude() quantity.Current {
	return current(cmplx.Abs(complex128(c)))
}

// Degrees returns its angle ahead of line A, above -180 and up to 180; 0 for no
// current.
func (c CurrentPhasor) Degrees() float64 { return degrees(complex128(c)) }

// String returns "0.1506 A at -0.1 degrees". The text is for reading and not
// stable.
func (c CurrentPhasor) String() string { return phasorText(complex128(c), "A") }

func degrees(x complex128) float64 {
	if x == 0 {
		return 0
	}
	// An imaginary part of minus zero would make it -180.
	return cmplx.Phase(complex(real(x), imag(x)+0)) * 180 / math.Pi
}

func phasorText(x complex128, unit string) string {
	angle := math.Round(10*degrees(x)) / 10
	return fmt.Sprintf("%.4g %s at %.1f degrees", cmplx.Abs(x), unit, angle+0) // -0 + 0 is 0
}

// The conversions below round to the base unit and stay at the ends of the range:
// what is beyond them, 9.2 million megavolts, is no figure of a house.

func voltage(v float64) quantity.Voltage { return clamped(v, quantity.Volt) }
func current(a float64) quantity.Current { return clamped(a, quantity.Ampere) }
func watts(w float64) quantity.Power     { return clamped(w, quantity.Watt) }
func ohms(r float64) quantity.Resistance { return clamped(r, quantity.Ohm) }
func share(a, b float64) quantity.Ratio  { return clamped(a/b, quantity.Whole) }

func clamped[Q quantity.Quantity](count float64, unit Q) Q {
	q, ok := quantity.FromFloat(count, unit)
	switch {
	case ok:
		return q
	case count > 0:
		return math.MaxInt64
	case count < 0:
		return math.MinInt64 + 1
	}
	return 0
}
