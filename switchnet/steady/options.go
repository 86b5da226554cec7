package steady

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// Frequency is a frequency in millihertz.
type Frequency int64

// Units of frequency.
const (
	Millihertz Frequency = 1
	Hertz                = 1000 * Millihertz
)

// Typical values that stand in where an option is zero. None comes from a code:
// they are what such parts usually measure, and an answer that hangs on one is as
// good as the assumption.
const (
	// TypicalContact is the resistance of a closed switch contact and of a
	// breaker pole.
	TypicalContact = 5 * quantity.Milliohm
	// TypicalCoupling is the capacitance per length between two conductors of
	// one sheath, and from each to the ground that surrounds it.
	TypicalCoupling = 80 * quantity.PicofaradPerMeter
	// TypicalInternal is the power of a load inside a device, such as a pilot
	// lamp.
	TypicalInternal = 100 * quantity.Milliwatt
	// TypicalHighImpedance and TypicalLowImpedance are the inputs of the two
	// sorts of voltmeter.
	TypicalHighImpedance = 10 * quantity.Megaohm
	TypicalLowImpedance  = 3 * quantity.Kiloohm
	// TypicalProximityThreshold is the potential to earth at which a proximity
	// tester speaks.
	TypicalProximityThreshold = 50 * quantity.Volt
)

// Options say what a wiring does not. The zero value, or nil, means what each
// field's comment says of its zero.
type Options struct {
	// Frequency of the supply; 0 means 50 Hz where a line stands above 200 V to
	// neutral, and 60 Hz otherwise.
	Frequency Frequency
	// Service is the supply behind the panel.
	Service Service

	// Method is the figure that a conductor's impedance comes from: resistance,
	// impedance, the trade's constant, or a rate of voltage drop, of which half
	// is each conductor's; 0 means the one the table uses for voltage drop, or
	// resistance if it names none.
	Method conductor.DropMethod
	// Stranding chooses resistance rows; 0 means the worse of the two.
	Stranding conductor.Stranding
	// Raceway chooses impedance rows; 0 means PVC.
	Raceway conductor.Raceway
	// Temperature of the conductors; 0 means that of the table's rows. Freezing
	// itself cannot be stated. It serves with resistance only, the one figure
	// whose rows say their temperature.
	Temperature quantity.Temperature

	// Coupling is the capacitance between conductors.
	Coupling Coupling

	// Contact and Breaker are the resistances of one closed contact of a switch
	// and of one pole of a breaker; 0 means TypicalContact.
	Contact, Breaker quantity.Resistance
	// Splice and Landing are the resistances between the wires of each splice
	// and from a wire to the screw it is landed on; 0 means none at all.
	Splice, Landing quantity.Resistance
	// Loose lists wire ends that make bad contact, in a splice or under a
	// screw, with the resistance there; nil means none.
	Loose map[wiring.End]quantity.Resistance
	// Leak is the resistance across the open contact of an electronic device
	// (switchnet.Kind.Electronic); 0 means that it does not leak.
	Leak quantity.Resistance

	// Loads gives the electrical model of lights and of loads inside devices. A
	// light that is not in it is of the kind, power factor, leakage and turn-on
	// voltage that it states in the wiring; what states no kind is resistive at
	// its rated power.
	Loads map[switchnet.Ref]Load
	// UnknownPower is the power of lights that state none; 0 means that they
	// are an error.
	UnknownPower quantity.Power
	// UnknownLength is the length of cables that state none; 0 means that they
	// are an error.
	UnknownLength quantity.Length

	// Branches and Sources are added to the wiring: a leakage path, a person, a
	// generator. Their terminals are those of wiring.Wiring.Net.
	Branches []Branch
	Sources  []Source

	// Curve judges whether a fault current opens a breaker at once; nil means
	// that it is not judged.
	Curve *conductor.TripCurve
}

// A Service is the supply as the panel sees it. The zero value is a stiff one:
// each line keeps its nominal voltage to the neutral whatever is drawn, and
// questions about fault currents are refused.
type Service struct {
	// FaultCurrent is what flows at the panel from a line bolted to the
	// neutral, as the utility states it; 0 means a stiff supply. All of the
	// impedance that it stands for is put in the lines, none in the neutral.
	FaultCurrent quantity.Current
	// Reactive is the ratio of reactance to resistance of that impedance; 0
	// means that it is all resistance.
	Reactive quantity.Ratio
	// LostNeutral opens the service neutral ahead of the panel. The bonded
	// neutral and ground then hang on the grounding electrode, and so on
	// whatever the loads make of them.
	LostNeutral bool
	// Electrode is the resistance of the grounding electrode, which matters
	// with a lost neutral only; 0 means that there is none.
	Electrode quantity.Resistance
}

// Coupling is capacitance per length of cable. What it is in a particular cable
// depends on spacing, insulation and moisture, which nobody knows; it decides the
// size of phantom voltages, so results that hang on it are only as good as it is.
type Coupling struct {
	// None leaves all capacitance out.
	None bool
	// Between is the capacitance of each two insulated conductors of one
	// sheath; 0 means TypicalCoupling.
	Between quantity.CapacitancePerLength
	// ToGround is the capacitance of each insulated conductor to the grounding
	// conductors of its sheath, or to earth if it has none; 0 means
	// TypicalCoupling.
	ToGround quantity.CapacitancePerLength
}

// A Branch is an impedance between two terminals.
type Branch struct {
	Name       string // unique among branches and sources
	From, To   switchnet.Terminal
	Resistance quantity.Resistance // 0 joins the two for good
	// Reactance at the supply's frequency: above zero a coil, below zero a
	// capacitor. It needs no resistance beside it.
	Reactance quantity.Resistance
}

// A Source is a supply beside the service: a generator, an inverter, a backfeed.
type Source struct {
	Name     string             // unique among branches and sources
	From, To switchnet.Terminal // From is the end that follows Volts and Degrees
	Volts    quantity.Voltage
	// Degrees is its angle ahead of line A.
	Degrees float64
	// Impedance of the source, a resistance above zero: what of it is to flow
	// against another supply is otherwise undefined.
	Impedance quantity.Resistance
}
