package steady

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A MeterKind is a sort of instrument.
type MeterKind uint8

// The instruments of [Solution.Read]. A clamp is [Solution.Clamp], an ohmmeter
// [Solution.Ohms].
const (
	// HighImpedance is the ordinary digital voltmeter. It loads nothing, and so
	// shows what the least coupling brings.
	HighImpedance MeterKind = iota + 1
	// LowImpedance is a loaded tester: what it still shows can drive a current.
	LowImpedance
	// Proximity is the tester without contact, held at one conductor. It
	// answers to potential, whatever stands behind it.
	Proximity
)

var meterNames = [...]string{"", "high-impedance", "low-impedance", "proximity"}

// String returns the word.
func (k MeterKind) String() string {
	return enum.Word(meterNames[:], k, "MeterKind")
}

// MarshalText writes the word.
func (k MeterKind) MarshalText() ([]byte, error) {
	return marshalWord("a kind of meter", uint8(k), meterNames[:])
}

// UnmarshalText reads the word; on an error k is unchanged.
func (k *MeterKind) UnmarshalText(text []byte) error {
	n, err := readWord("kind of meter", text, meterNames[:])
	if err == nil {
		*k = MeterKind(n)
	}
	return err
}

// A Meter is an instrument in a hand.
type Meter struct {
	Kind MeterKind
	// Impedance of its input; 0 means TypicalHighImpedance or
	// TypicalLowImpedance. A proximity tester has none to set.
	Impedance quantity.Resistance
	// Threshold of a proximity tester; 0 means TypicalProximityThreshold.
	Threshold quantity.Voltage
	// OpenLead breaks one of its leads, or its battery: it shows nothing
	// whatever it touches.
	OpenLead bool
}

// Probes are the places a meter touches.
type Probes struct {
	// Red and Black are the two leads; the black one is the reference. A
	// proximity tester has Red only.
	Red, Black switchnet.Terminal
	// Known is a terminal known to be live, on which the meter is first tried
	// with the same reference; zero means that nothing has been proven.
	Known switchnet.Terminal
}

// A Verdict says what a voltage amounts to.
type Verdict uint8

// The verdicts.
const (
	// Absent: below 1 V with and without load.
	Absent Verdict = iota + 1
	// Ghost: a load of TypicalLowImpedance pulls it below 3 V, which is 1 mA
	// through it, and below half of what it is unloaded. It comes through a
	// capacitance or a leak, or one of the probes is on a reference that does.
	// It says nothing of what either probe has to earth: see [Reading].Live. A
	// ghost is a finding about a drawing, not leave to touch.
	Ghost
	// Real: it drives a current through a load. What leaks more than a
	// milliampere is real too: an ohm of a wire or a kilohm of a damp box are
	// the same to who touches it. And so is whatever hangs on a line through an
	// electronic load with no way on to neutral or ground, however little is
	// figured there while the load is off: it starts as soon as somebody closes
	// its circuit.
	Real
	// Undefined: a probe is on metal with no way to anything, so no figure
	// means anything.
	Undefined
)

var verdictNames = [...]string{"", "absent", "ghost", "real", "undefined"}

// String returns the word.
func (v Verdict) String() string {
	return enum.Word(verdictNames[:], v, "Verdict")
}

// MarshalText writes the word.
func (v Verdict) MarshalText() ([]byte, error) {
	return marshalWord("a verdict", uint8(v), verdictNames[:])
}

// Limits of the verdicts, in volts.
const (
	absentBelow = 1
	realFrom    = 3  // across TypicalLowImpedance: a milliampere, which can be felt
	liveFrom    = 30 // to earth: the hazardous live limit of IEC 61010-1, 6.3
)

func judge(open, loaded float64) Verdict {
	switch {
	case open < absentBelow && loaded < absentBelow:
		return Absent
	case loaded >= realFrom || loaded >= open/2:
		return Real
	}
	return Ghost
}

// A Proof says whether a reading can count.
type Proof uint8

// The proofs.
const (
	// NotProven: meter and reference were not tried on a known source. A zero
	// is then no evidence: an open lead, a floating reference and two equal hots
	// read zero too.
	NotProven Proof = iota + 1
	// ProofFailed: on the known source it did not show the source.
	ProofFailed
	// Proven: on the known source it showed it.
	Proven
)

var proofNames = [...]string{"", "not proven", "proof failed", "proven"}

// String returns the words.
func (p Proof) String() string {
	return enum.Word(proofNames[:], p, "Proof")
}

// MarshalText writes the words.
func (p Proof) MarshalText() ([]byte, error) {
	return marshalWord("a proof", uint8(p), proofNames[:])
}

// A Reading is what an instrument says, and what is behind it.
type Reading struct {
	Meter  Meter
	Probes Probes
	// Shows is what a voltmeter shows, without sign.
	Shows quantity.Voltage
	// Alarm is whether a proximity tester speaks.
	Alarm bool
	// Unloaded is the voltage without the instrument, and Loaded what a load of
	// TypicalLowImpedance leaves of it; for a proximity tester against earth.
	Unloaded, Loaded quantity.Voltage
	Verdict          Verdict
	// Live is whether one of the probes is on metal with a real voltage to earth
	// of 30 V or more, or hangs on a line through an electronic load, whatever
	// Verdict says of the voltage between the two: two hots of one line show
	// nothing, and a hot against a grounding wire that is cut off shows a ghost.
	Live  bool
	Proof Proof
	// Misleads is whether taking the instrument at its word would be a mistake;
	// Why says how, in words that are for reading and not stable.
	Misleads bool
	Why      string
}

// String returns the reading in a line, "shows 57.1 V (ghost: 0.1 V under load; not
// proven)". The text is for reading and not stable.
func (r Reading) String() string {
	says := "shows " + r.Shows.Format(quantity.Volt, 1)
	if r.Meter.Kind == Proximity {
		says = "is silent"
		if r.Alarm {
			says = "alarms"
		}
	}
	says += fmt.Sprintf(" (%s: %s under load; %s)", r.Verdict, r.Loaded.Format(quantity.Volt, 1), r.Proof)
	if r.Why != "" {
		says += ": " + r.Why
	}
	return says
}

// proximityFarads is the capacitance from a conductor through a proximity tester
// and the person who holds it to earth.
const proximityFarads = 5e-12

// Read returns what an instrument says. The instrument loads the circuit: loads
// that go with their voltage settle anew. An unset kind, a terminal that the wiring
// lacks, or a solution without figures is an error.
func (s *Solution) Read(m Meter, at Probes) (Reading, error) {
	var errs Errors
	if m.Kind < HighImpedance || m.Kind > Proximity {
		errs.add("Meter.Kind", "is unset; it is high-impedance, low-impedance or proximity")
	}
	if m.Impedance < 0 || m.Threshold < 0 {
		errs.add("Meter", "has an impedance or threshold below zero")
	}
	if s.hi == nil {
		errs.add("solution", "is %s and has no figures to read", s.status)
	}
	red := s.place(&errs, "Probes.Red", at.Red)
	black := s.earthNode()
	if m.Kind != Proximity {
		black = s.place(&errs, "Probes.Black", at.Black)
	}
	known := int32(-1)
	if at.Known != (switchnet.Terminal{}) {
		known = s.place(&errs, "Probes.Known", at.Known)
	}
	if len(errs) > 0 {
		return Reading{}, errs
	}
	r := Reading{Meter: m, Probes: at, Proof: NotProven}
	sv := s.p.solver()
	defer s.p.spares.Put(sv)
	r.Meter.Kind = m.Kind
	y := s.input(m)
	shown := s.shown(sv, m, red, black, y)
	open, loaded := s.voltsUnder(sv, red, black, 0), s.voltsUnder(sv, red, black, testLoad())
	r.Unloaded, r.Loaded = voltage(open), voltage(loaded)
	r.Verdict = judge(open, loaded)
	if s.floatsAt(red) || s.floatsAt(black) {
		r.Verdict = Undefined
	}
	r.Live = s.live(sv, red, black)
	hanging := ""
	for i, t := range [2]switchnet.Terminal{at.Red, at.Black} {
		if i == 1 && m.Kind == Proximity || r.Live && r.Verdict == Real {
			break
		}
		if load, ok := s.hangs(t); ok {
			r.Live, hanging = true, load.String()
			if r.Verdict == Ghost {
				r.Verdict = Real
			}
			break
		}
	}
	if known >= 0 {
		r.Proof = ProofFailed
		source := s.p.net.Source().System.LineToNeutral.Volts()
		if s.shown(sv, m, known, black, y) >= 0.9*source || m.Kind == Proximity && s.shown(sv, m, known, black, y) >= s.threshold(m) {
			r.Proof = Proven
		}
	}
	if m.Kind == Proximity {
		r.Alarm = shown >= s.threshold(m)
	} else {
		r.Shows = voltage(shown)
	}
	r.explain(shown, hanging)
	return r, nil
}

// live reports whether one of two nodes has a real voltage to earth.
func (s *Solution) live(sv *solver, nodes ...int32) bool {
	earth := s.earthNode()
	for _, n := range nodes {
		open := s.voltsUnder(sv, n, earth, 0)
		if open >= liveFrom && judge(open, s.voltsUnder(sv, n, earth, testLoad())) == Real {
			return true
		}
	}
	return false
}

func (s *Solution) threshold(m Meter) float64 {
	return cmp.Or(m.Threshold, TypicalProximityThreshold).Volts()
}

// input returns the admittance of an instrument.
func (s *Solution) input(m Meter) complex128 {
	switch m.Kind {
	case HighImpedance:
		return complex(1/cmp.Or(m.Impedance, TypicalHighImpedance).Ohms(), 0)
	case LowImpedance:
		return complex(1/cmp.Or(m.Impedance, TypicalLowImpedance).Ohms(), 0)
	}
	return complex(0, 2*math.Pi*s.p.hertz*proximityFarads)
}

// place returns the node of a terminal that must exist.
func (s *Solution) place(errs *Errors, field string, t switchnet.Terminal) int32 {
	node, ok := s.nodeOf(t)
	if !ok {
		errs.add(field, "is %q, which the wiring does not have", t.String())
	}
	return node
}

// earthNode is the node of zero potential.
func (s *Solution) earthNode() int32 { return int32(s.p.nw.n) }

// shown returns the volts an instrument is driven by.
func (s *Solution) shown(sv *solver, m Meter, red, black int32, y complex128) float64 {
	if m.OpenLead {
		return 0
	}
	return s.voltsUnder(sv, red, black, y)
}

// voltsUnder returns the volts between two nodes with an admittance between them.
// Metal that floats goes where the other end is: 0.
func (s *Solution) voltsUnder(sv *solver, i, j int32, y complex128) float64 {
	if i == j || s.floatsAt(i) || s.floatsAt(j) {
		return 0
	}
	if y == 0 {
		return cmplx.Abs(s.across(i, j))
	}
	sv.probe = &probe{i, j, y}
	defer func() { sv.probe = nil }()
	sv.run(s.state)
	sv.refine()
	return cmplx.Abs(sv.across(i, j))
}

// explain says how the reading could mislead. Hanging is the load with the electronics
// that a probe hangs on, or empty.
func (r *Reading) explain(shown float64, hanging string) {
	voltmeter := r.Meter.Kind != Proximity
	silent := shown < absentBelow
	if !voltmeter {
		silent = !r.Alarm
	}
	mislead := func(why string) { r.Misleads, r.Why = true, why }
	switch {
	case r.Meter.OpenLead && r.Unloaded >= quantity.Volt:
		mislead("an open lead or a dead battery says nothing, and " + r.Unloaded.Format(quantity.Volt, 0) + " is there")
	case r.Meter.OpenLead:
		mislead("an open lead or a dead battery says nothing, whatever is there")
	case hanging != "":
		mislead("a probe hangs on a line through " + hanging + ", electronics that start as soon as somebody closes their circuit, whatever is figured while they are off")
	case r.Live && r.Verdict == Absent && voltmeter:
		mislead("both probes are on live metal, and what is between them is not what is to earth")
	case r.Live && r.Verdict != Real:
		mislead("one probe is on live metal; the other is held by next to nothing")
	case r.Verdict == Undefined:
		mislead("a probe is on metal with no way to anything; zero is no evidence there")
	case r.Verdict == Ghost && !silent:
		mislead("it comes through a capacitance or a leak; under load " + r.Loaded.Format(quantity.Volt, 1) + " is left")
	case r.Verdict == Real && silent && voltmeter:
		mislead("the meter's own load pulls it down")
	case r.Verdict == Real && silent:
		mislead("the potential is real, below what the tester answers to")
	case r.Proof == ProofFailed:
		mislead("on the known source it does not show the source: the meter, a lead or the reference is bad")
	case r.Proof == NotProven && silent:
		r.Why = "zero is no evidence before meter and reference have been proven on a known source"
	}
}

// testLoad is the admittance of the load that tells real from ghost.
func testLoad() complex128 { return complex(1/TypicalLowImpedance.Ohms(), 0) }
