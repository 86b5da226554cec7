package wiring

import (
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/switchnet"
)

// build makes the net.
func (w *Wiring) build() (*switchnet.Net, error) {
	s := &w.spec
	var b switchnet.Builder
	source := switchnet.Source{Ref: service, System: s.Supply}
	b.Source(source)
	for i := range s.Feeds {
		f := &s.Feeds[i]
		ref := f.ref()
		lines := f.poles()
		b.Device(f.Box, f.Name, feedKind(len(lines)))
		name := func(r switchnet.Rail) string { return r.String() + " of " + plain(f.Name) + " at " + plain(f.Box) }
		for p, r := range lines {
			line := strings.Replace(hot(p, len(lines)), "hot", "line", 1)
			b.Conductor(name(r), source.Rail(r), ref.Terminal(line))
		}
		for _, r := range []switchnet.Rail{switchnet.Neutral, switchnet.Ground} {
			b.Point(ref.Terminal(r.String()))
			b.Conductor(name(r), source.Rail(r), ref.Terminal(r.String()))
		}
	}
	for i := range s.Boxes {
		if s.Boxes[i].Metal {
			b.Point(switchnet.Terminal{Place: s.Boxes[i].Name, Device: "box", Name: "ground"})
		}
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		b.Load(switchnet.Load{Ref: l.ref(), On: l.On, Ends: l.Ends, Rated: l.Volts})
		if l.On == "" {
			b.Point(l.ref().Terminal("ground"))
		}
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		b.Device(d.Box, d.Name, d.Kind)
		if !slices.Contains(d.Kind.Terminals, "ground") {
			b.Point(d.ref().Terminal("ground"))
		}
	}
	w.buildWires(&b)
	for i := range s.Splices {
		sp := &s.Splices[i]
		ts := make([]switchnet.Terminal, len(sp.Join))
		for k, j := range sp.Join {
			ts[k] = j.in(sp.Box)
		}
		b.Splice(sp.Box, sp.name(), ts...)
	}
	for _, l := range s.Landings {
		t := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		b.Conductor("landing of "+l.Wire.plain()+" in "+plain(l.Box), l.Wire.In(l.Box), t)
	}
	for _, t := range s.Ties {
		t := t.sorted()
		b.Splice(t.Box, "tie of "+t.A.plain()+" and "+t.B.plain(), t.A.in(t.Box), t.B.in(t.Box))
	}
	return b.Build()
}

// buildWires puts the conductors of the cables in the net.
func (w *Wiring) buildWires(b *switchnet.Builder) {
	s := &w.spec
	open := make(map[Wire]bool, len(s.Opens))
	for _, o := range s.Opens {
		open[o] = true
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		ends := c.ends()
		for _, k := range w.idx.cores[i] {
			wire := Wire{c.Name, k}
			b.Point(wire.In(ends[0]), wire.In(ends[1]))
			if !open[wire] {
				b.Conductor(wire.String(), wire.In(ends[0]), wire.In(ends[1]))
			}
		}
	}
}

// plain returns a name as it stands within the name of a part of the net, quoted
// if it could be taken for more than a name, so that two parts never come to one
// name. A wire ends in a dot and a colour, and no other part does.
func plain(name string) string {
	for _, s := range []string{`"`, ".", " at ", " in ", " of ", " and "} {
		if strings.Contains(name, s) {
			return strconv.Quote(name)
		}
	}
	return name
}

func (w Wire) plain() string { return plain(w.Cable) + "." + w.Conductor }

func (j Joint) plain() string {
	if j.Device != "" {
		return plain(j.Device) + "." + plain(j.Terminal)
	}
	return j.Wire.plain()
}

// name returns what a splice is known by in its box. A wire has one place, so the
// first wire tells a splice from others.
func (s *Splice) name() string {
	first := ""
	for _, j := range s.Join {
		if n := j.plain(); j.Device == "" && (first == "" || n < first) {
			first = n
		}
	}
	if first != "" {
		return "splice of " + first
	}
	names := make([]string, len(s.Join))
	for i, j := range s.Join {
		names[i] = j.plain()
	}
	slices.Sort(names)
	return "splice of " + strings.Join(names, " and ")
}

// String returns "tie of C4.red and aisle.common", the terminal last and otherwise
// the earlier name first. The text is for reading and not stable.
func (t Tie) String() string {
	t = t.sorted()
	return "tie of " + t.A.String() + " and " + t.B.String()
}
