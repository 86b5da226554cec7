package wiring

import (
	"slices"
	"strings"
	"sync"

	"example.com/switchleg/switchnet"
)

// A Wiring is a job that contradicts itself nowhere. It is immutable and safe for
// concurrent use. Make one with [New]; a variation is made by [Wiring.Apply], or
// from [Wiring.Spec].
type Wiring struct {
	spec Spec
	idx  *index
	net  *switchnet.Net

	once sync.Once
	nets *nets // made at first need
}

// New returns the wiring that a Spec describes, or everything that contradicts
// itself in it as [Problems]. The Spec is copied. Time is linear in its size but for
// sorting.
func New(spec Spec) (*Wiring, error) {
	w := &Wiring{spec: spec.Clone()}
	var problems Problems
	w.idx, problems = newIndex(&w.spec)
	if len(problems) > 0 {
		return nil, problems
	}
	net, err := w.build()
	if err != nil {
		// What the index lets through and the net refuses would be a mistake
		// of this package; say so rather than hide it.
		return nil, err
	}
	w.net = net
	return w, nil
}

// Spec returns a copy of the data the wiring was made from, lists in the order in
// which they were given.
func (w *Wiring) Spec() Spec { return w.spec.Clone() }

// Net returns the circuit. Its places are the boxes; a wire's end is the terminal
// {box, cable, conductor}; devices, lights and feeds have their own names; the source
// is "service" in no place; the grounding screw of a metal box is "ground" of "box".
func (w *Wiring) Net() *switchnet.Net { return w.net }

// Clone returns a deep copy. Devices whose kinds share their parts share them in
// the copy too.
func (s Spec) Clone() Spec {
	s.Feeds = slices.Clone(s.Feeds)
	for i := range s.Feeds {
		s.Feeds[i].Lines = slices.Clone(s.Feeds[i].Lines)
	}
	s.Boxes = slices.Clone(s.Boxes)
	for i := range s.Boxes {
		v := &s.Boxes[i].Volume
		v.Sections, v.Additions, v.Barriers = slices.Clone(v.Sections), slices.Clone(v.Additions), slices.Clone(v.Barriers)
	}
	s.Lights = slices.Clone(s.Lights)
	s.Devices = slices.Clone(s.Devices)
	kinds := map[kindIdentity]switchnet.Kind{}
	for i := range s.Devices {
		k := &s.Devices[i].Kind
		id := identityOf(k)
		clone, ok := kinds[id]
		if !ok {
			clone = k.Clone()
			kinds[id] = clone
		}
		*k = clone
	}
	s.Cables = slices.Clone(s.Cables)
	s.Splices = slices.Clone(s.Splices)
	for i := range s.Splices {
		s.Splices[i].Join = slices.Clone(s.Splices[i].Join)
	}
	s.Landings = slices.Clone(s.Landings)
	s.Caps = slices.Clone(s.Caps)
	s.Marks = slices.Clone(s.Marks)
	s.Tags = slices.Clone(s.Tags)
	s.Opens = slices.Clone(s.Opens)
	s.Ties = slices.Clone(s.Ties)
	return s
}

// UnknownPlace is the place of a wire's end whose box is not known, for the cable
// of the given name.
func UnknownPlace(cable string) string { return "unknown end of " + cable }

// ends returns the places of the two ends of a cable.
func (c *Cable) ends() [2]string {
	if c.To == "" {
		return [2]string{c.From, UnknownPlace(c.Name)}
	}
	return [2]string{c.From, c.To}
}

// Terminal returns the terminal of a joint in a box.
func (j Joint) in(box string) switchnet.Terminal {
	if j.Device != "" {
		return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
	}
	return j.Wire.In(box)
}

// In returns the terminal that stands for the wire's end in a box.
func (w Wire) In(box string) switchnet.Terminal {
	return switchnet.Terminal{Place: box, Device: w.Cable, Name: w.Conductor}
}

// poles returns the number of poles and their lines.
func (f *Feed) poles() []switchnet.Rail {
	if len(f.Lines) > 0 {
		return f.Lines
	}
	all := []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC}
	return all[:min(max(f.Poles, 1), 3)]
}

// hot returns the name of the feed's terminal for pole i of n.
func hot(i, n int) string {
	if n == 1 {
		return "hot"
	}
	return "hot " + string(rune('1'+i))
}

// feedKind returns the breaker of a feed: as switchnet.Breaker, its load terminals
// called hot.
func feedKind(poles int) switchnet.Kind {
	k := switchnet.Breaker(poles)
	k.Name = "feed " + k.Name
	rename := func(s string) string { return strings.Replace(s, "load", "hot", 1) }
	for i, t := range k.Terminals {
		k.Terminals[i] = rename(t)
	}
	for _, p := range k.Positions {
		for _, g := range p.Joins {
			for i, t := range g {
				g[i] = rename(t)
			}
		}
	}
	return k
}

// build makes the net.
func (w *Wiring) build() (*switchnet.Net, error) {
	s := &w.spec
	var b switchnet.Builder
	source := switchnet.Source{Ref: switchnet.Ref{Name: "service"}, System: s.Supply}
	b.Source(source)
	for i := range s.Feeds {
		f := &s.Feeds[i]
		ref := switchnet.Ref{Place: f.Box, Name: f.Name}
		lines := f.poles()
		b.Device(f.Box, f.Name, feedKind(len(lines)))
		for p, r := range lines {
			line := strings.Replace(hot(p, len(lines)), "hot", "line", 1)
			b.Conductor(r.String()+" of "+ref.String(), source.Rail(r), ref.Terminal(line))
		}
		for _, r := range []switchnet.Rail{switchnet.Neutral, switchnet.Ground} {
			b.Point(ref.Terminal(r.String()))
			b.Conductor(r.String()+" of "+ref.String(), source.Rail(r), ref.Terminal(r.String()))
		}
	}
	for i := range s.Boxes {
		if s.Boxes[i].Metal {
			b.Point(switchnet.Terminal{Place: s.Boxes[i].Name, Device: "box", Name: "ground"})
		}
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		ref := switchnet.Ref{Place: l.Box, Name: l.Name}
		b.Load(switchnet.Load{Ref: ref, On: l.On, Ends: l.Ends, Rated: l.Volts})
		if l.On == "" {
			b.Point(ref.Terminal("ground"))
		}
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		b.Device(d.Box, d.Name, d.Kind)
		if !slices.Contains(d.Kind.Terminals, "ground") {
			b.Point(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: "ground"})
		}
	}
	open := map[Wire]bool{}
	for _, o := range s.Opens {
		open[o] = true
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		ends := c.ends()
		for _, k := range conductorNames(c.Type) {
			wire := Wire{c.Name, k}
			b.Point(wire.In(ends[0]), wire.In(ends[1]))
			if !open[wire] {
				b.Conductor(wire.String(), wire.In(ends[0]), wire.In(ends[1]))
			}
		}
	}
	for i := range s.Splices {
		sp := &s.Splices[i]
		var ts []switchnet.Terminal
		for _, j := range sp.Join {
			ts = append(ts, j.in(sp.Box))
		}
		b.Splice(sp.Box, sp.name(), ts...)
	}
	for _, l := range s.Landings {
		t := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		b.Conductor("landing of "+l.Wire.String()+" in "+l.Box, l.Wire.In(l.Box), t)
	}
	for _, t := range s.Ties {
		b.Splice(t.Box, t.String(), t.A.in(t.Box), t.B.in(t.Box))
	}
	return b.Build()
}

// name returns what a splice is known by in its box: its first joint in name
// order.
func (s *Splice) name() string {
	first := ""
	for _, j := range s.Join {
		if n := j.String(); first == "" || n < first {
			first = n
		}
	}
	return "splice of " + first
}

// String returns "tie of C4.red and aisle.common", the earlier name first.
func (t Tie) String() string {
	a, b := t.A.String(), t.B.String()
	return "tie of " + min(a, b) + " and " + max(a, b)
}
