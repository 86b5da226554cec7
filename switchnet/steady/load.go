package steady

import (
	"fmt"
	"math"
	"math/cmplx"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet/wiring"
)

// A LoadKind says how a load's current goes with its voltage. Zero is unset.
type LoadKind = wiring.LoadKind

// The kinds of load, as this package solves them.
const (
	// Resistive is a heater or a filament lamp. With Cold set it is a filament:
	// its resistance falls as the voltage to the 0.459, so that its current
	// goes with the voltage to the 0.541 as is usual for gas-filled lamps, down
	// to Cold.
	Resistive = wiring.Resistive
	// Electronic is a driver: a lamp with electronics. Below TurnOn it is off
	// and lets only Leakage pass; once on it draws its power whatever the
	// voltage, as a capacitance if its power factor is below 1, until the
	// voltage falls below DropOut.
	Electronic = wiring.Electronic
	// Transformer is a coil with a fixed load behind it: a fixed impedance,
	// lagging by its power factor.
	Transformer = wiring.Transformer
	// Motor draws its running current whatever the voltage, lagging by its
	// power factor, down to half its rated voltage; below it is stalled and
	// taken as a fixed impedance.
	Motor = wiring.Motor
)

// A Load is the electrical model of a light, or of whatever else the wiring has
// as one.
type Load struct {
	Kind LoadKind
	// Power is the real power at rated voltage; 0 means that of the light.
	Power quantity.Power
	// Volts is the rated voltage; 0 means that of the light, or the nominal
	// voltage from line to neutral if it states none.
	Volts quantity.Voltage
	// PowerFactor of anything but a resistive load; 0 means 1.
	PowerFactor quantity.Ratio
	// Cold is the resistance at rest: that of a cold filament, or what an
	// ohmmeter finds in a winding; 0 means no other than when running. An
	// electronic load reads open on an ohmmeter and has none.
	Cold quantity.Resistance
	// TurnOn is the voltage at which an electronic load starts; 0 means half
	// its rated voltage.
	TurnOn quantity.Voltage
	// DropOut is the voltage below which a running electronic load stops; 0
	// means half of TurnOn.
	DropOut quantity.Voltage
	// Leakage is the current through an electronic load that is off, at its
	// rated voltage, all of it through its filter capacitor; 0 means none.
	Leakage quantity.Current
}

// Exponent of the resistance of a filament over its voltage. Amperes of gas-filled
// lamps go with volts to the 0.541 (Illuminating Engineering Society, Lighting
// Handbook, lamp characteristics at other than rated voltage).
const filamentExponent = 0.459

// model is a load ready for solving.
type model struct {
	kind      LoadKind
	rated     float64    // volts
	y         complex128 // at rated voltage
	leak      complex128
	coldOhms  float64 // 0: as running
	turnOn    float64
	dropOut   float64
	amperes   float64 // of a motor
	nonlinear bool
}

// compile returns the model of a load with its power and voltage filled in, or
// what is wrong with it.
func (l Load) compile() (model, []string) {
	var wrong []string
	bad := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	if l.Kind < Resistive || l.Kind > Motor {
		bad("has no kind; it is resistive, electronic, transformer or motor")
	}
	if l.Power <= 0 {
		bad("has power %s; write its power above zero", l.Power)
	}
	if l.Volts <= 0 {
		bad("has rated voltage %s; write one above zero", l.Volts)
	}
	if l.PowerFactor < 0 || l.PowerFactor > quantity.Whole {
		bad("has power factor %s; write a number above 0 and not above 1", l.PowerFactor.Factor())
	}
	if l.Cold < 0 || l.TurnOn < 0 || l.DropOut < 0 || l.Leakage < 0 {
		bad("has a cold resistance, turn-on, drop-out or leakage below zero")
	}
	if l.Kind != Electronic && (l.TurnOn != 0 || l.DropOut != 0 || l.Leakage != 0) {
		bad("is %s and has a turn-on, drop-out or leakage, which only an electronic load has", l.Kind)
	}
	if l.Kind == Electronic && l.Cold != 0 {
		bad("is electronic and has a cold resistance; it reads open on an ohmmeter")
	}
	if l.Kind == Resistive && l.PowerFactor != 0 && l.PowerFactor != quantity.Whole {
		bad("is resistive and has power factor %s; a resistance has 1", l.PowerFactor.Factor())
	}
	if len(wrong) > 0 {
		return model{}, wrong
	}
	factor := l.PowerFactor.Float64()
	if l.PowerFactor == 0 {
		factor = 1
	}
	volts, power := l.Volts.Volts(), l.Power.Watts()
	reactive := power * math.Sqrt(1-factor*factor) / factor
	m := model{kind: l.Kind, rated: volts, coldOhms: l.Cold.Ohms()}
	switch l.Kind {
	case Resistive:
		m.y = complex(power/(volts*volts), 0)
		if hot := volts * volts / power; m.coldOhms > hot {
			bad("has a cold resistance of %s, above the %s it has when running", l.Cold, ohms(hot))
		}
		m.nonlinear = m.coldOhms > 0
	case Electronic:
		m.y = complex(power, reactive) / complex(volts*volts, 0)
		m.leak = complex(0, l.Leakage.Amperes()/volts)
		m.turnOn, m.dropOut = l.TurnOn.Volts(), l.DropOut.Volts()
		if m.turnOn == 0 {
			m.turnOn = volts / 2
		}
		if m.dropOut == 0 {
			m.dropOut = m.turnOn / 2
		}
		if m.dropOut > m.turnOn {
			bad("drops out at %s, above the %s at which it turns on", l.DropOut, voltage(m.turnOn))
		}
		m.nonlinear = true
	case Transformer, Motor:
		m.y = complex(power, -reactive) / complex(volts*volts, 0)
		m.amperes = cmplx.Abs(m.y) * volts
		m.nonlinear = l.Kind == Motor
	}
	return m, wrong
}

// at returns the admittance at a voltage; on is whether an electronic load runs.
func (m *model) at(volts float64, on bool) complex128 {
	switch m.kind {
	case Resistive:
		if m.coldOhms > 0 {
			hot := 1 / real(m.y)
			return complex(1/max(m.coldOhms, hot*math.Pow(volts/m.rated, filamentExponent)), 0)
		}
	case Electronic:
		if !on {
			return m.leak
		}
		// Below drop-out it would stop; until that is settled it is a
		// fixed impedance there, which keeps the admittance bounded.
		v := max(volts, m.dropOut)
		return m.y * complex(m.rated*m.rated/(v*v), 0)
	case Motor:
		v := max(volts, m.rated/2)
		return m.y * complex(m.rated/v, 0)
	}
	return m.y
}

// atRest returns the resistance an ohmmeter finds, 0 for none.
func (m *model) atRest() float64 {
	switch {
	case m.kind == Electronic:
		return 0
	case m.coldOhms > 0:
		return m.coldOhms
	}
	return 1 / cmplx.Abs(m.y)
}

// A LoadState says what a load does with the voltage it gets.
type LoadState uint8

// What a load does.
const (
	// Unlit: below a tenth of its rated voltage, or electronic and off.
	Unlit LoadState = iota + 1
	// Glowing: electronic, off, and at a voltage between its drop-out and its
	// turn-on. It may glow, or flash as its capacitor fills.
	Glowing
	// Dim: on below nine tenths of its rated voltage.
	Dim
	// Lit: on within a tenth of its rated voltage.
	Lit
	// Overdriven: above eleven tenths of its rated voltage.
	Overdriven
)

var loadStateNames = [...]string{"", "unlit", "glowing", "dim", "lit", "overdriven"}

// String returns the word.
func (s LoadState) String() string {
	return enum.Word(loadStateNames[:], s, "LoadState")
}

// MarshalText writes the word.
func (s LoadState) MarshalText() ([]byte, error) {
	return marshalWord("a state of a load", uint8(s), loadStateNames[:])
}

// state judges a voltage.
func (m *model) state(volts float64, on bool) LoadState {
	u := volts / m.rated
	switch {
	case m.kind == Electronic && !on:
		if volts >= m.dropOut {
			return Glowing
		}
		return Unlit
	case u < 0.1:
		return Unlit
	case u < 0.9:
		return Dim
	case u <= 1.1:
		return Lit
	}
	return Overdriven
}
