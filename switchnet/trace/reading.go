package trace

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
)

// Reading says what a voltmeter showed between two points of a live circuit.
type Reading struct {
	At         Setting
	Red, Black switchnet.Terminal // Black is on the reference
	Meter      steady.MeterKind
	Shows      quantity.Voltage
	// Tolerance is by how much the meter may be wrong; 0 means 5 V.
	Tolerance quantity.Voltage
}

// String returns the words.
func (o Reading) String() string {
	return fmt.Sprintf("live, with %s, %s over %s: %s on the %v meter", o.At, o.Red, o.Black, o.Shows, o.Meter)
}

// Comes returns what the reading comes to where the circuit has the given nominal
// voltage: hot from three quarters of it on, less the tolerance; dead below a
// twentieth with the tolerance, on a meter that loads the circuit. A zero on a meter
// of high impedance is never dead: an open lead, a floating reference and two
// conductors of one line read zero too. What a proximity tester says is ambiguous.
func (o Reading) Comes(nominal quantity.Voltage) Volts {
	switch {
	case o.Meter == steady.Proximity:
	case o.Shows >= nominal*3/4-o.within():
		return Hot
	case o.none(nominal) && o.Meter == steady.LowImpedance:
		return Dead
	}
	return Ambiguous
}

// none reports whether the meter shows nothing that it can tell from zero.
func (o Reading) none(nominal quantity.Voltage) bool { return o.Shows <= nominal/20+o.within() }

func (o Reading) within() quantity.Voltage {
	if o.Tolerance == 0 {
		return 5 * quantity.Volt
	}
	return o.Tolerance
}

// voltsWeight says how likely a reading is between what the codes stand for, on a
// meter that loads the circuit or not.
func voltsWeight(red, black uint8, loaded bool, v Volts) float64 {
	if red > black {
		red, black = black, red
	}
	line := func(c uint8) bool { return c == onA || c == onB || c == onC }
	sure := func(w Volts) float64 {
		if v == w || !loaded && w == Dead && v == Ambiguous {
			return 1
		}
		return 0
	}
	one := func(a, b Volts) float64 {
		if v == a || v == b {
			return 0.5
		}
		return 0
	}
	switch {
	case red == unsafe || black == unsafe:
		return 0
	case line(red) && line(black):
		if red == black {
			return sure(Dead)
		}
		return sure(Hot)
	case line(red) && black == earthed:
		return sure(Hot)
	case red == earthed && black == earthed:
		return sure(Dead)
	case red == nothing && loaded:
		return sure(Dead)
	case red == nothing:
		return one(Ambiguous, Hot) // what the coupling of the cable brings
	case black == throughEarth && line(red):
		return one(Hot, Ambiguous)
	case red == earthed && black == throughEarth, red == throughEarth && black == throughEarth:
		return sure(Dead)
	case black == throughLine && (red == earthed || red == throughEarth):
		return one(Hot, Ambiguous)
	}
	return 1.0 / 3 // a line and a line through a load, or two of the latter
}

func (o Reading) compile(c *Case, errs *Errors) evidence {
	ys, _ := c.f.sp.meant(errs, "Reading.At", o.At)
	at := c.probes(errs, "Reading", o.Red, o.Black)
	if _, err := o.Meter.MarshalText(); err != nil {
		errs.add("Reading.Meter", "is not said")
	}
	if o.Shows < 0 {
		errs.add("Reading.Shows", "is below zero")
	}
	if c.opt.NoLive {
		errs.add("Reading", "the options leave out readings with the circuit live")
	}
	comes := o.Comes(c.w.Net().Source().System.LineToNeutral)
	loaded := o.Meter == steady.LowImpedance
	// A zero on a meter of high impedance rules nothing out: a lead may have been open.
	zero := !loaded && o.none(c.w.Net().Source().System.LineToNeutral)
	return evidence{settings: ys, read: func(x *facts) float64 {
		switch {
		case x.trip:
			return 0
		case o.Meter == steady.Proximity:
			return 1 // it beeps at what is hot, at what lies beside it, and sometimes at neither
		}
		w := voltsWeight(x.cond[at[0]], x.cond[at[1]], loaded, comes)
		if w == 0 && zero {
			w = seldom
		}
		return w
	}}
}

// Reference says whether a known live source, read over a point with the tester that
// was tried on it, showed its volts: if so, the point can serve as a reference.
type Reference struct {
	At    Setting
	Point switchnet.Terminal
	Shown bool
}

// String returns the words.
func (o Reference) String() string {
	shown := "shows nothing"
	if o.Shown {
		shown = "shows its volts"
	}
	return fmt.Sprintf("live, with %s, a known live source over %s %s", o.At, o.Point, shown)
}

func (o Reference) compile(c *Case, errs *Errors) evidence {
	ys, _ := c.f.sp.meant(errs, "Reference.At", o.At)
	at := c.probes(errs, "Reference.Point", o.Point)
	if c.opt.NoLive {
		errs.add("Reference", "the options leave out readings with the circuit live")
	}
	return evidence{settings: ys, read: func(x *facts) float64 { return referenceWeight(x, at[0], o.Shown) }}
}
