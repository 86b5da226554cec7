package wiring

import (
	"cmp"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// A LoadKind says how the current of a light, or of whatever else uses power, goes
// with its voltage.
type LoadKind uint8

// The kinds of load. The zero value is unset: not stated.
const (
	// Resistive is a heater or a filament lamp.
	Resistive LoadKind = iota + 1
	// Electronic is a driver, a lamp with electronics: off below its turn-on
	// voltage, where it may leak a little; above, it draws its power whatever the
	// voltage.
	Electronic
	// Transformer is a coil with a fixed load behind it.
	Transformer
	// Motor draws its running current whatever the voltage.
	Motor
)

// LoadKinds returns the kinds of load in the order of their constants.
func LoadKinds() []LoadKind { return []LoadKind{Resistive, Electronic, Transformer, Motor} }

var loadWords = words{"LoadKind", []string{"resistive", "electronic", "transformer", "motor"}}

// String returns the word: "resistive", "electronic", "transformer" or "motor".
func (k LoadKind) String() string { return loadWords.word(uint8(k)) }

// MarshalText writes the word; a kind that has none is an error.
func (k LoadKind) MarshalText() ([]byte, error) { return loadWords.text(uint8(k)) }

// UnmarshalText reads the word; on an error k is unchanged.
func (k *LoadKind) UnmarshalText(text []byte) error {
	n, err := loadWords.read(text)
	if err == nil {
		*k = LoadKind(n)
	}
	return err
}

// Apparent returns the apparent power of the light at its rated voltage, which is
// what its conductors carry: its power by its power factor, rounded up; a power
// factor that is not stated is 1. The error is that of a power below zero or a power
// factor outside of 0 to 1.
func (l *Light) Apparent() (quantity.ApparentPower, error) {
	return conductor.ApparentOf(l.Power, cmp.Or(l.PowerFactor, quantity.Whole))
}

// readLoad checks what a light says of its load.
func (x *index) readLoad(i int) {
	l := &x.spec.Lights[i]
	bad := func(field, format string, args ...any) {
		x.add(Ref{"lights", i, field}, nil, "light %q "+format, append([]any{l.Name}, args...)...)
	}
	if l.Power < 0 || l.Power > maxPower {
		bad("load", "has a load of %v; it is not below zero and not above %v", l.Power, maxPower)
	}
	if l.Volts < 0 {
		bad("volts", "has a negative voltage")
	}
	if l.Kind > Motor {
		bad("kind", "has the kind of load %d; there are resistive, electronic, transformer and motor", uint8(l.Kind))
	}
	if l.PowerFactor < 0 || l.PowerFactor > quantity.Whole {
		bad("power factor", "has power factor %s; it is above 0 and not above 1", l.PowerFactor.Factor())
	} else if l.Kind <= Resistive && l.PowerFactor != 0 && l.PowerFactor != quantity.Whole {
		bad("power factor", "has power factor %s, and a resistive load has 1; say that its kind is electronic, transformer or motor", l.PowerFactor.Factor())
	}
	if l.Leakage < 0 || l.TurnOn < 0 {
		bad("leakage", "has a leakage or turn-on voltage below zero")
	} else if l.Kind != Electronic && (l.Leakage != 0 || l.TurnOn != 0) {
		bad("leakage", "leaks or turns on at a voltage, as only an electronic load does; say that its kind is electronic")
	}
}
