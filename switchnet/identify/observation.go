package identify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A Level is what a reading between two points of a live circuit comes to. The zero
// Level is that of no reading.
type Level uint8

// What a reading comes to.
const (
	None     Level = iota // nothing, under a load
	OneLine               // the volts of a circuit to neutral
	TwoLines              // those between two lines
	Between               // something else, or nothing on a meter of high impedance
	levels   = iota
)

var levelWords = [...]string{"nothing", "the volts of one line", "the volts between two lines", "something between"}

// String returns the words.
func (l Level) String() string {
	if int(l) >= len(levelWords) {
		return fmt.Sprintf("Level(%d)", l)
	}
	return levelWords[l]
}

// An Observation is something seen, felt out or read. The set is closed: SameCable,
// GoesTo, InBox, Obeys, Continuity, Reference, Reading and Tripped.
type Observation interface {
	fmt.Stringer
	// compile checks the names, and returns what the observation says about a
	// possibility: how likely it is under it, and under none at all.
	compile(s *Session, errs *trace.Errors) judge
}

// A judge says how likely an observation is under a possibility; chance is how likely it
// is if it says nothing. Of a measurement vague says whether it may lead through a box of
// which nobody knows what is joined there; it is nil for all else.
type judge struct {
	chance float64
	likely func(i int) float64
	vague  func(i int) bool
	// Of a measurement cut says whether it takes a spare conductor to be cut.
	cut func(i int) bool
	// Of a measurement loose says whether what it finds hangs on something of which nobody
	// knows what it is.
	loose func(i int) bool
}

// cutSpare is how likely a spare conductor is to be cut somewhere along its run. It is
// judgement: nobody ever relied on it.
const cutSpare = 0.01

// SameCable says whether the cables of two entries were seen to be one, or not.
type SameCable struct {
	A, B string
	Same bool
}

// String returns the words.
func (o SameCable) String() string {
	if o.Same {
		return fmt.Sprintf("%s and %s are the two ends of one cable", o.A, o.B)
	}
	return fmt.Sprintf("%s and %s are two cables", o.A, o.B)
}

func (o SameCable) compile(s *Session, errs *trace.Errors) judge {
	a, b := s.c.sp.unitsOf(o.A), s.c.sp.unitsOf(o.B)
	for _, x := range []struct {
		name  string
		units []int
	}{{o.A, a}, {o.B, b}} {
		if len(x.units) == 0 {
			add(errs, "SameCable", "no cable %q enters an open box", x.name)
		} else if s.c.sp.units[x.units[0]].loose {
			add(errs, "SameCable", "%q is a set of loose conductors, each of which goes its own way", x.name)
		}
	}
	return sure(func(i int) bool {
		lay := s.c.all[i].frame.lay
		return (lay.mate[s.c.sp.units[a[0]].ends[0]] >= 0 && slices.Contains(s.c.sp.units[b[0]].ends, lay.mate[s.c.sp.units[a[0]].ends[0]])) == o.Same
	})
}

// GoesTo says whether a cable was seen to go to a closed box or a panel, or not.
type GoesTo struct {
	Cable, Box string
	Does       bool
}

// String returns the words.
func (o GoesTo) String() string {
	if o.Does {
		return fmt.Sprintf("%s goes to %s", o.Cable, o.Box)
	}
	return fmt.Sprintf("%s does not go to %s", o.Cable, o.Box)
}

func (o GoesTo) compile(s *Session, errs *trace.Errors) judge {
	sp := s.c.sp
	units := sp.unitsOf(o.Cable)
	if len(units) == 0 {
		add(errs, "GoesTo", "no cable %q enters an open box", o.Cable)
	}
	var to []int
	if p, ok := sp.placeOf(o.Box); ok {
		to = []int{p}
	}
	for f := range sp.feeds {
		if sp.feeds[f].panel == o.Box {
			to = append(to, sp.leaf(f))
		}
	}
	if len(to) == 0 {
		add(errs, "GoesTo", "the job has no box %q that anything can go to", o.Box)
	}
	return sure(func(i int) bool {
		some := false
		for _, u := range units {
			some = some || slices.Contains(to, s.c.all[i].frame.lay.far[u])
		}
		return some == o.Does
	})
}

// A Screw says what is landed on a terminal of a device.
type Screw struct {
	Device, Terminal string
	Wire             wiring.Wire
}

// InBox says what was seen in an open box before it was disturbed: wires that are
// spliced together, and what is on which screw. Wires that it names in different places
// are apart, and one under a cap is apart from all; of other wires that it does not name
// it says nothing.
type InBox struct {
	Box     string
	Spliced [][]wiring.Wire
	Screws  []Screw
	Capped  []wiring.Wire
}

// String returns the words.
func (o InBox) String() string {
	var parts []string
	for _, g := range o.Spliced {
		names := make([]string, len(g))
		for i, w := range g {
			names[i] = w.String()
		}
		parts = append(parts, strings.Join(names, " with "))
	}
	for _, s := range o.Screws {
		parts = append(parts, fmt.Sprintf("%s on %s of %s", s.Wire, s.Terminal, s.Device))
	}
	for _, w := range o.Capped {
		parts = append(parts, fmt.Sprintf("%s capped", w))
	}
	if len(parts) == 0 {
		parts = []string{"nothing spliced or landed"}
	}
	return "in box " + o.Box + ": " + strings.Join(parts, ", ")
}

func (o InBox) compile(s *Session, errs *trace.Errors) judge {
	sp := s.c.sp
	if _, ok := slices.BinarySearch(sp.open, o.Box); !ok {
		add(errs, "InBox", "%q is not an open box", o.Box)
		return judge{}
	}
	spec := wiring.Spec{}
	for _, d := range sp.spec.Devices {
		if d.Box == o.Box {
			spec.Devices = append(spec.Devices, d)
		}
	}
	check := func(w wiring.Wire) {
		if sp.end(wiring.End{Box: o.Box, Wire: w}) < 0 {
			add(errs, "InBox", "no insulated conductor %s in box %s", w, o.Box)
		}
	}
	for _, g := range o.Spliced {
		var join []wiring.Joint
		for _, w := range g {
			check(w)
			join = append(join, wiring.Joint{Wire: w})
		}
		spec.Splices = append(spec.Splices, wiring.Splice{Box: o.Box, Join: join})
	}
	spliced := map[wiring.Wire]int{}
	for i, g := range o.Spliced {
		for _, w := range g {
			if k, ok := spliced[w]; ok && k != i {
				add(errs, "InBox", "%s is in two splices", w)
			}
			spliced[w] = i
		}
	}
	for _, x := range o.Screws {
		check(x.Wire)
		k := slices.IndexFunc(spec.Devices, func(d wiring.Device) bool { return d.Name == x.Device })
		switch {
		case k < 0:
			add(errs, "InBox", "no device %q in box %s", x.Device, o.Box)
		case !slices.Contains(spec.Devices[k].Kind.Terminals, x.Terminal):
			add(errs, "InBox", "%s has no terminal %q; it has %q", x.Device, x.Terminal, spec.Devices[k].Kind.Terminals)
		}
		if i, ok := spliced[x.Wire]; ok {
			// The splice goes on with a pigtail.
			spec.Splices[i].Join = append(spec.Splices[i].Join, wiring.Joint{Device: x.Device, Terminal: x.Terminal})
			continue
		}
		spec.Landings = append(spec.Landings, wiring.Landing{Box: o.Box, Device: x.Device, Terminal: x.Terminal, Wire: x.Wire})
	}
	for _, w := range o.Capped {
		check(w)
		spec.Caps = append(spec.Caps, wiring.Cap{Box: o.Box, Wire: w})
	}
	if len(*errs) > 0 {
		return judge{}
	}
	fs := sp.facts(spec, nil)
	return sure(func(i int) bool { return s.c.g.agrees(&s.c.all[i], &fs) })
}

// Obeys says whether the lights of a control changed whenever its handle in a box was
// moved, before anything was disturbed.
type Obeys struct {
	Control, Box string
	Does         bool
}

// String returns the words.
func (o Obeys) String() string {
	if o.Does {
		return fmt.Sprintf("the lights of %s obey the switch in %s", o.Control, o.Box)
	}
	return fmt.Sprintf("the lights of %s do not obey the switch in %s", o.Control, o.Box)
}

func (o Obeys) compile(s *Session, errs *trace.Errors) judge {
	k := slices.IndexFunc(s.c.sp.control, func(c control) bool { return c.name == o.Control })
	if k < 0 {
		add(errs, "Obeys", "there is no control %q", o.Control)
		return judge{}
	}
	p, ok := s.c.sp.placeOf(o.Box)
	if !ok || !slices.Contains(s.c.sp.control[k].places, p) {
		add(errs, "Obeys", "%q is no place of %s", o.Box, o.Control)
	}
	return sure(func(i int) bool { return slices.Contains(s.c.all[i].frame.plans[k].order, p) == o.Does })
}

// Continuity says what an ohmmeter found between two points, every circuit of the boxes
// locked out and proven dead, with what is twisted together elsewhere.
type Continuity struct {
	Between [2]switchnet.Terminal
	Tied    [][2]wiring.End
	Found   trace.Path
}

// String returns the words.
func (o Continuity) String() string {
	return fmt.Sprintf("%v between %s and %s%s", o.Found, o.Between[0], o.Between[1], tied(o.Tied))
}

func tied(ties [][2]wiring.End) string {
	s := ""
	for i, t := range ties {
		s += [2]string{", with ", " and "}[min(i, 1)] + fmt.Sprintf("%s twisted together with %s", t[0], t[1])
	}
	return s
}

func (o Continuity) compile(s *Session, errs *trace.Errors) judge {
	a, b := s.c.sp.vertex(o.Between[0], errs), s.c.sp.vertex(o.Between[1], errs)
	if _, err := o.Found.MarshalText(); err != nil {
		add(errs, "Continuity.Found", "is not said")
	}
	if a == b {
		add(errs, "Continuity.Between", "is one point twice")
	}
	ties := s.c.sp.tieEnds(o.Tied, errs)
	if len(*errs) > 0 {
		return judge{}
	}
	m := s.meter(ties)
	vague := func(i int) bool { return m.pathVague(i, a, b) }
	spare := func(i, v int) bool { return v < len(s.c.sp.ends) && s.c.all[i].node[v] == spareNode }
	// What is joined with a spare end is joined with it along the spare conductor.
	cut := func(i int) bool {
		c := m.of(i)
		return o.Found == trace.Open && c.comp[a] == c.comp[b] && (spare(i, a) || spare(i, b))
	}
	loose := func(i int) bool { return vague(i) || m.of(i).path(a, b) == anyPath }
	unknown := looseLikely(s, ohmmeter(), s.ohms, between(o, s.stage), o.Found)
	return judge{chance: perhaps, likely: func(i int) float64 {
		switch {
		case loose(i):
			return unknown(i, anyPath)
		case cut(i):
			return cutSpare
		}
		return pathLikely(m.of(i).path(a, b), o.Found)
	}, vague: vague, cut: cut, loose: loose}
}

// Tripped says that a breaker opened.
type Tripped struct{}

// String returns the words.
func (o Tripped) String() string { return "a breaker opened" }

func (o Tripped) compile(*Session, *trace.Errors) judge {
	return sure(func(int) bool { return true })
}

func sure(holds func(i int) bool) judge {
	return judge{chance: 0.5, likely: func(i int) float64 {
		if holds(i) {
			return 1
		}
		return 0
	}}
}
