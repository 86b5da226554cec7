package identify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Reference says whether a known live source, read over a point with the tester that was
// tried on it, showed its volts: if so, the point can serve as a reference.
type Reference struct {
	Point switchnet.Terminal
	Shown bool
}

// String returns the words.
func (o Reference) String() string {
	if o.Shown {
		return fmt.Sprintf("a known source shows its volts over %s", o.Point)
	}
	return fmt.Sprintf("a known source shows nothing over %s", o.Point)
}

func (o Reference) compile(s *Session, errs *trace.Errors) judge {
	v := s.c.sp.vertex(o.Point, errs)
	if v != len(s.c.sp.ends) || len(*errs) > 0 {
		if len(*errs) == 0 {
			add(errs, "Reference.Point", "%s is a conductor whose function is sought; a reference is Outside, the grounding screw of a box, or a bare or green conductor", o.Point)
		}
		return judge{}
	}
	return sure(func(int) bool { return true })
}

// Reading says what a voltmeter showed between two points, everything energized but the
// feeds that are off, and every end that is apart capped.
type Reading struct {
	Red, Black switchnet.Terminal // Black is on the reference, or both are on conductors
	Meter      steady.MeterKind
	Shows      quantity.Voltage
	// Tolerance is by how much the meter may be wrong; 0 means 5 V.
	Tolerance quantity.Voltage
	Off       []string // feeds that are off
	Tied      [][2]wiring.End
}

// String returns the words.
func (o Reading) String() string {
	s := fmt.Sprintf("%s on a %v meter, red on %s and black on %s", o.Shows, o.Meter, o.Red, o.Black)
	if len(o.Off) > 0 {
		s += ", with " + strings.Join(o.Off, " and ") + " off"
	}
	return s + tied(o.Tied)
}

// Comes returns what the reading comes to where a line has the given volts to neutral. A
// zero on a meter of high impedance is never nothing: an open lead, a floating reference
// and two conductors of one line read zero too. What a proximity tester says is between.
func (o Reading) Comes(nominal quantity.Voltage) Level {
	tolerance := o.Tolerance
	if tolerance == 0 {
		tolerance = 5 * quantity.Volt
	}
	switch {
	case o.Meter == steady.Proximity:
		return Between
	case o.Shows >= nominal*3/2-tolerance:
		return TwoLines
	case o.Meter == steady.HighImpedance && o.Shows < nominal*9/10-tolerance:
		return Between // what is coupled in comes near it
	case o.Shows >= nominal*3/4-tolerance:
		return OneLine
	case o.Meter == steady.LowImpedance && o.Shows <= nominal/20+tolerance:
		return None
	}
	return Between
}

func (o Reading) compile(s *Session, errs *trace.Errors) judge {
	sp := s.c.sp
	a, b, off := sp.probes(o, errs)
	if _, err := o.Meter.MarshalText(); err != nil {
		add(errs, "Reading.Meter", "is not said")
	}
	if o.Shows < 0 || o.Tolerance < 0 {
		add(errs, "Reading.Shows", "is %s, with a tolerance of %s; neither is below zero", o.Shows, o.Tolerance)
	}
	ties := sp.tieEnds(o.Tied, errs)
	if len(*errs) > 0 {
		return judge{}
	}
	comes := o.Comes(s.c.nominal)
	if comes == Between {
		return judge{chance: 1, likely: func(int) float64 { return 1 }} // evidence of nothing until it is loaded
	}
	floor := 0.0
	if o.Meter == steady.HighImpedance {
		floor = 0.02 // what is coupled into a long idle run can come near the volts of a line
	}
	m := s.meter(ties)
	vague := func(i int) bool { return m.voltsVague(i, a, b, off) }
	outcomeOf := func(i int) outcome {
		if vague(i) {
			return allLevel
		}
		return sp.volts(m.of(i), a, b, off)
	}
	volts := voltmeter()
	loose := func(i int) bool { return volts.unknown(outcomeOf(i)) }
	unknown := looseLikely(s, volts, s.volts, across(a, b, off, s.stage), comes)
	return judge{chance: 0.25, likely: func(i int) float64 {
		x := outcomeOf(i)
		if volts.unknown(x) {
			return max(floor, unknown(i, x))
		}
		return max(floor, levelLikely(x, comes))
	}, vague: vague, loose: loose}
}

// probes returns between which vertices a reading is, and the set of the feeds that are off.
func (sp *space) probes(o Reading, errs *trace.Errors) (a, b int, off uint16) {
	a, b = sp.vertex(o.Red, errs), sp.vertex(o.Black, errs)
	for _, n := range o.Off {
		i := slices.IndexFunc(sp.feeds, func(f feed) bool { return f.ref.Name == n })
		if i < 0 {
			add(errs, "Reading.Off", "the job has no feed %q", n)
			continue
		}
		off |= 1 << i
	}
	return a, b, off
}
