package check

import (
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Place is where a finding is: a box, and in it a device, feed or light and one of its
// terminals, or the end of a conductor; or a cable, and one of its conductors, along its
// run.
type Place struct {
	// At is the entry of the job that says what is there, for its line in a file.
	At        wiring.Ref
	Box       string
	Device    string
	Terminal  string
	Cable     string
	Conductor string
}

// String returns "traveler 1 of aisle in box loft", "C4.red in box loft", "cable C4" and
// the like. The text is for reading and not stable.
func (p Place) String() string {
	s := ""
	switch {
	case p.Device != "" && p.Terminal != "":
		s = p.Terminal + " of " + p.Device
	case p.Device != "":
		s = p.Device
	case p.Cable != "" && p.Conductor != "":
		s = p.Cable + "." + p.Conductor
	case p.Cable != "":
		s = "cable " + p.Cable
	case p.Box != "":
		return "box " + p.Box
	default:
		return "the job"
	}
	if p.Box != "" {
		s += " in box " + p.Box
	}
	return s
}

// words are what a place is compared by: its names, and never its line.
func (p Place) words() []string {
	return []string{p.Box, p.Device, p.Terminal, p.Cable, p.Conductor}
}

// Compare orders places by box, device, terminal, cable and conductor.
func (p Place) Compare(q Place) int { return slices.Compare(p.words(), q.words()) }

// The places of things, with the entries that say so.

func (p *Pass) boxPlace(name string) Place {
	i := slices.IndexFunc(p.spec.Boxes, func(b wiring.Box) bool { return b.Name == name })
	return Place{At: wiring.Ref{List: "boxes", Index: max(i, 0)}, Box: name}
}

func (p *Pass) cablePlace(name string) Place {
	i := slices.IndexFunc(p.spec.Cables, func(c wiring.Cable) bool { return c.Name == name })
	return Place{At: wiring.Ref{List: "cables", Index: max(i, 0)}, Cable: name}
}

// devicePlace returns the place of a device, light, feed or, under the name box, of a
// grounding screw.
func (p *Pass) devicePlace(r switchnet.Ref) Place {
	out := Place{Box: r.Place, Device: r.Name}
	if r.Name == "box" {
		out = p.boxPlace(r.Place)
		out.Device = "box"
		return out
	}
	if i := slices.IndexFunc(p.spec.Devices, func(d wiring.Device) bool { return d.Box == r.Place && d.Name == r.Name }); i >= 0 {
		out.At = wiring.Ref{List: "devices", Index: i}
	} else if i := slices.IndexFunc(p.spec.Lights, func(l wiring.Light) bool { return l.Box == r.Place && l.Name == r.Name }); i >= 0 {
		out.At = wiring.Ref{List: "lights", Index: i}
	} else if i := slices.IndexFunc(p.spec.Feeds, func(f wiring.Feed) bool { return f.Box == r.Place && f.Name == r.Name }); i >= 0 {
		out.At = wiring.Ref{List: "feeds", Index: i}
	}
	return out
}

// terminalPlace returns the place of a terminal of the net: of a device, or of the end
// of a wire.
func (p *Pass) terminalPlace(t switchnet.Terminal) Place {
	if slices.ContainsFunc(p.spec.Cables, func(c wiring.Cable) bool { return c.Name == t.Device && (c.From == t.Place || c.To == t.Place) }) {
		return p.endPlace(wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}})
	}
	out := p.devicePlace(t.Owner())
	out.Terminal = t.Name
	joint := wiring.Joint{Device: t.Device, Terminal: t.Name}
	if i := slices.IndexFunc(p.spec.Landings, func(l wiring.Landing) bool {
		return l.Box == t.Place && l.Device == t.Device && l.Terminal == t.Name
	}); i >= 0 {
		out.At = wiring.Ref{List: "landings", Index: i}
	} else if i := slices.IndexFunc(p.spec.Splices, func(s wiring.Splice) bool { return s.Box == t.Place && slices.Contains(s.Join, joint) }); i >= 0 {
		out.At = wiring.Ref{List: "splices", Index: i, Field: "join"}
	}
	return out
}

// endPlace returns the place of the end of a wire.
func (p *Pass) endPlace(e wiring.End) Place {
	out := p.cablePlace(e.Wire.Cable)
	out.Box, out.Conductor = e.Box, e.Wire.Conductor
	joint := wiring.Joint{Wire: e.Wire}
	if i := slices.IndexFunc(p.spec.Landings, func(l wiring.Landing) bool { return l.Box == e.Box && l.Wire == e.Wire }); i >= 0 {
		out.At = wiring.Ref{List: "landings", Index: i}
	} else if i := slices.IndexFunc(p.spec.Splices, func(s wiring.Splice) bool { return s.Box == e.Box && slices.Contains(s.Join, joint) }); i >= 0 {
		out.At = wiring.Ref{List: "splices", Index: i, Field: "join"}
	} else if i := slices.IndexFunc(p.spec.Caps, func(c wiring.Cap) bool { return c.Box == e.Box && c.Wire == e.Wire }); i >= 0 {
		out.At = wiring.Ref{List: "caps", Index: i}
	}
	return out
}

// splicePlace returns the place of a splice, named by its first wire in name order or,
// without wires, its first terminal.
func (p *Pass) splicePlace(i int) Place {
	s := &p.spec.Splices[i]
	first := slices.MinFunc(s.Join, joinCompare)
	return Place{At: wiring.Ref{List: "splices", Index: i}, Box: s.Box, Device: first.Device, Terminal: first.Terminal, Cable: first.Wire.Cable, Conductor: first.Wire.Conductor}
}
