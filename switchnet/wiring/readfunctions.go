package wiring

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// joints are what a piece of metal is joined to.
type joints struct {
	rails    switchnet.RailSet
	switches int  // switches with a contact on it
	last     int  // the device last counted, and 1 more
	hotEnd   bool // of a light, or what else takes power
	neutral  bool // the other end of one
	series   bool // ends of two lights, one of each sort
	screw    bool // a grounding screw
	unknown  bool // the end of a wire in a box that is not known
}

// readFunctions reads the function of each piece of metal off its terminals.
func (w *Wiring) readFunctions(m *metal) []Function {
	funcs := make([]Function, m.pieces)
	seen := make([]joints, m.pieces)
	w.readRails(m, funcs, seen)
	w.readLoads(m, funcs, seen)
	w.readContacts(m, funcs, seen)
	for i := range w.spec.Boxes {
		if b := &w.spec.Boxes[i]; b.Metal {
			seen[m.at(switchnet.Terminal{Place: b.Name, Device: "box", Name: "ground"})].screw = true
		}
	}
	for i := range w.spec.Cables {
		c := &w.spec.Cables[i]
		if c.To != "" {
			continue
		}
		for _, name := range w.idx.cores[i] {
			seen[m.at(Wire{c.Name, name}.In(c.ends()[1]))].unknown = true
		}
	}
	for k := range funcs {
		f := &funcs[k]
		f.Kind = seen[k].kind()
		for _, list := range []*[]switchnet.Ref{&f.Feeds, &f.Lights, &f.Devices, &f.Serves} {
			slices.SortFunc(*list, switchnet.Ref.Compare)
			*list = slices.Compact(*list)
		}
	}
	return funcs
}

func (s *joints) kind() FunctionKind {
	switch {
	case s.rails.Conflict():
		return Crossed
	case !s.rails.Lines().Empty():
		return Hot
	case s.rails.Has(switchnet.Neutral):
		return NeutralConductor
	case s.rails.Has(switchnet.Ground):
		return GroundConductor
	case s.switches > 0 && s.hotEnd:
		return SwitchLeg
	case s.switches > 0 && s.neutral:
		return SwitchedReturn
	case s.unknown:
		return Unknown
	case s.switches > 1:
		return Traveler
	case s.switches == 0 && s.series:
		return Series
	case s.switches > 0 || s.hotEnd || s.neutral || s.screw:
		return Loose
	}
	return Spare
}

func (w *Wiring) readRails(m *metal, funcs []Function, seen []joints) {
	for i := range w.spec.Feeds {
		f := &w.spec.Feeds[i]
		lines := f.poles()
		rail := func(terminal string, r switchnet.Rail) {
			k := m.at(f.ref().Terminal(terminal))
			funcs[k].Feeds = append(funcs[k].Feeds, f.ref())
			seen[k].rails = seen[k].rails.With(r)
		}
		for p, r := range lines {
			rail(hot(p, len(lines)), r)
		}
		rail("neutral", switchnet.Neutral)
		rail("ground", switchnet.Ground)
	}
}

func (w *Wiring) readLoads(m *metal, funcs []Function, seen []joints) {
	// The first light with its hot end on a piece, and 1 more, and the first
	// with its neutral end: of two lights in series they differ.
	first := make([][2]int, m.pieces)
	for i := range w.spec.Lights {
		l := &w.spec.Lights[i]
		load, _ := w.net.Load(l.ref())
		for e, t := range load.Terminals() {
			k := m.at(t)
			funcs[k].Lights = append(funcs[k].Lights, l.ref())
			seen[k].hotEnd = seen[k].hotEnd || e == 0
			seen[k].neutral = seen[k].neutral || e == 1
			if other := first[k][1-e]; other != 0 && other != i+1 {
				seen[k].series = true
			}
			if first[k][e] == 0 {
				first[k][e] = i + 1
			}
		}
		if l.On == "" {
			seen[m.at(l.ref().Terminal("ground"))].screw = true
		}
	}
}

func (w *Wiring) readContacts(m *metal, funcs []Function, seen []joints) {
	for i := range w.spec.Devices {
		d := &w.spec.Devices[i]
		c := m.contacts(&d.Kind)
		ground := m.at(d.ref().Terminal("ground"))
		seen[ground].screw = true
		for t, name := range d.Kind.Terminals {
			if name == "ground" {
				continue
			}
			k := m.at(d.ref().Terminal(name))
			funcs[k].Devices = append(funcs[k].Devices, d.ref())
			switch s := &seen[k]; {
			case !c.switched(t):
				funcs[k].Serves = append(funcs[k].Serves, d.ref())
				s.neutral = s.neutral || strings.HasPrefix(name, "neutral")
				s.hotEnd = s.hotEnd || !strings.HasPrefix(name, "neutral")
			case s.last != i+1:
				s.switches++
				s.last = i + 1
			}
		}
	}
}
