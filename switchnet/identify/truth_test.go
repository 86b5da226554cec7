package identify_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// truth is a job as it is, which answers every question from the net of package
// switchnet and knows nothing of package identify.
type truth struct {
	t        testing.TB
	spec     wiring.Spec
	open     []string
	controls []identify.Control
	// own is, for the end of a cable as it is called in the question, the end as it is.
	own   map[wiring.End]wiring.End
	views map[string]*switchnet.View // that were solved
	// sheaths says that cables between open boxes were seen to be one, and seen that what
	// is landed and spliced in open boxes was noted before.
	sheaths, seen bool
	// thrown are the switches that stand in their second position, by their order in the net.
	thrown uint
}

func read(t testing.TB, r row) *truth {
	t.Helper()
	d := &truth{t: t, sheaths: r.sheaths, controls: r.opt.Controls, own: map[wiring.End]wiring.End{}}
	s := &d.spec
	s.Supply = switchnet.SplitPhase() // or a wye, where a feed is on line C
	s.Boxes = []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "ceiling", Kind: wiring.CeilingBox}}
	word := func(x string) string { return strings.ReplaceAll(x, "+", " ") }
	for line := range strings.Lines(strings.TrimSpace(r.job)) {
		f := strings.Fields(line)
		switch f[0] {
		case "feed":
			x := wiring.Feed{Name: f[1], Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{switchnet.LineA}}
			switch f[2] {
			case "B":
				x.Lines[0] = switchnet.LineB
			case "C":
				x.Lines[0], s.Supply = switchnet.LineC, switchnet.Wye120()
			}
			s.Feeds = append(s.Feeds, x)
		case "box":
			s.Boxes = append(s.Boxes, wiring.Box{Name: f[1], Kind: wiring.JunctionBox})
		case "open":
			d.open = f[1:]
			for _, b := range d.open {
				if b != "ceiling" {
					s.Boxes = append(s.Boxes, wiring.Box{Name: b, Kind: wiring.DeviceBox})
				}
			}
		case "light":
			if !slices.ContainsFunc(s.Boxes, func(b wiring.Box) bool { return b.Name == f[2] }) {
				s.Boxes = append(s.Boxes, wiring.Box{Name: f[2], Kind: wiring.CeilingBox})
			}
			s.Lights = append(s.Lights, wiring.Light{Name: f[1], Box: f[2], Power: 18 * quantity.Watt, Kind: wiring.Resistive})
		case "switch":
			k := switchnet.ThreeWay()
			if len(f) > 3 {
				i := slices.IndexFunc(switchnet.Kinds(), func(k switchnet.Kind) bool { return k.Name == f[3] })
				k = switchnet.Kinds()[i]
			}
			s.Devices = append(s.Devices, wiring.Device{Name: f[1], Box: f[2], Kind: k})
		case "cable":
			enter(t, s, f[1], word(f[2]), f[3], f[4])
		case "cut":
			a, b, _ := strings.Cut(f[1], ".")
			s.Opens = append(s.Opens, wiring.Wire{Cable: a, Conductor: b})
		case "seen":
			d.seen = true
		case "in":
			box := strings.TrimSuffix(f[1], ":")
			d.join(box, f[2:], word)
		}
	}
	if len(s.Feeds) == 0 {
		s.Feeds = []wiring.Feed{{Name: "stair", Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{switchnet.LineA}}}
	}
	// The panel, and lights with one cable, are wired the only way there is.
	feed := 0
	wired := slices.ContainsFunc(s.Landings, func(x wiring.Landing) bool { return x.Box == "panel" }) ||
		slices.ContainsFunc(s.Splices, func(x wiring.Splice) bool { return x.Box == "panel" })
	for _, c := range s.Cables {
		if wired && c.From == "panel" {
			continue
		}
		if c.From == "panel" && strings.HasPrefix(c.Type.Name, "loose") && c.Name == "N" {
			d.join("panel", []string{c.Name + ".white", s.Feeds[0].Name + ".neutral"}, word)
			continue
		}
		if c.From == "panel" {
			d.join("panel", []string{c.Name + ".black", s.Feeds[feed].Name + ".hot"}, word)
			if len(c.Type.Cores) > 1 {
				d.join("panel", []string{c.Name + ".white", s.Feeds[feed].Name + ".neutral"}, word)
			}
			feed++
		}
		for _, l := range s.Lights {
			done := slices.ContainsFunc(s.Landings, func(x wiring.Landing) bool { return x.Box == l.Box }) ||
				slices.ContainsFunc(s.Splices, func(x wiring.Splice) bool { return x.Box == l.Box })
			if c.To == l.Box && !done && len(c.Type.Cores) > 1 {
				d.join(l.Box, []string{c.Name + ".black", l.Name + ".hot"}, word)
				d.join(l.Box, []string{c.Name + ".white", l.Name + ".neutral"}, word)
			}
		}
	}
	if _, err := wiring.New(*s); err != nil {
		t.Fatalf("%s: %v", r.name, err)
	}
	return d
}

func (d *truth) join(box string, joints []string, word func(string) string) {
	var wires []wiring.Joint
	var terminals []wiring.Joint
	for _, j := range joints {
		a, b, _ := strings.Cut(j, ".")
		if slices.ContainsFunc(d.spec.Cables, func(c wiring.Cable) bool { return c.Name == a }) {
			wires = append(wires, wiring.WireJoint(a, b))
		} else {
			terminals = append(terminals, wiring.Joint{Device: a, Terminal: word(b)})
		}
	}
	if len(wires) == 1 && len(terminals) == 1 {
		d.spec.Landings = append(d.spec.Landings, wiring.Landing{Box: box, Device: terminals[0].Device, Terminal: terminals[0].Terminal, Wire: wires[0].Wire})
		return
	}
	d.spec.Splices = append(d.spec.Splices, wiring.Splice{Box: box, Join: append(wires, terminals...)})
}

// question returns the job as whoever opens the boxes sees it before anything is known:
// every cable between two open boxes is two cables, and no far end is known.
func (d *truth) question() wiring.Spec {
	q := wiring.Spec{Supply: d.spec.Supply, Feeds: d.spec.Feeds, Boxes: d.spec.Boxes, Lights: d.spec.Lights, Devices: d.spec.Devices}
	for _, c := range d.spec.Cables {
		if d.sheaths && slices.Contains(d.open, c.From) && slices.Contains(d.open, c.To) {
			q.Cables = append(q.Cables, c)
			for _, core := range c.Type.Cores {
				for _, b := range []string{c.From, c.To} {
					e := wiring.End{Box: b, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
					d.own[e] = e
				}
			}
			continue
		}
		for i, b := range []string{c.From, c.To} {
			if !slices.Contains(d.open, b) {
				continue
			}
			x := wiring.Cable{Name: c.Name + [2]string{"-from", "-to"}[i], Type: c.Type, From: b}
			q.Cables = append(q.Cables, x)
			for _, core := range c.Type.Cores {
				w := core.Colour.String()
				d.own[wiring.End{Box: b, Wire: wiring.Wire{Cable: x.Name, Conductor: w}}] = wiring.End{Box: b, Wire: wiring.Wire{Cable: c.Name, Conductor: w}}
			}
		}
	}
	if d.seen {
		for _, b := range d.open {
			d.note(&q, b)
		}
	}
	return q
}

// weighed returns the case of the question of a row.
func (d *truth) weighed(r row) *identify.Case {
	d.t.Helper()
	q, opt := d.question(), r.opt
	if c, ok := cases.Load(r.name); ok {
		return c.(*identify.Case)
	}
	c := newCase(d.t, &q, &opt)
	cases.Store(r.name, c)
	return c
}

// cases are those of the rows, by name, which many tests ask for. A case never changes.
var cases sync.Map

// note adds to a question what is landed and spliced in a box.
func (d *truth) note(q *wiring.Spec, box string) {
	for _, x := range d.spec.Splices {
		if x.Box == box {
			x.Join = slices.Clone(x.Join)
			for i, j := range x.Join {
				if j.Device == "" {
					x.Join[i].Wire = d.called(box, j.Wire)
				}
			}
			q.Splices = append(q.Splices, x)
		}
	}
	for _, l := range d.spec.Landings {
		if l.Box == box {
			l.Wire = d.called(box, l.Wire)
			q.Landings = append(q.Landings, l)
		}
	}
}

// called returns what a wire in a box is called in the question.
func (d *truth) called(box string, w wiring.Wire) wiring.Wire {
	for q, own := range d.own {
		if own == (wiring.End{Box: box, Wire: w}) {
			return q.Wire
		}
	}
	return wiring.Wire{}
}

// view returns the job with boxes taken apart so far and ends twisted together, solved
// with the breakers on but for those off, or with all off.
func (d *truth) view(s *identify.Session, ties [][2]wiring.End, breakers bool, off []string, bridged bool) *switchnet.View {
	d.t.Helper()
	key := fmt.Sprint(s.Stages(), ties, breakers, off, bridged)
	if v, ok := d.views[key]; ok {
		return v
	}
	spec := d.spec.Clone()
	for _, x := range s.Stages() {
		if x.Stage >= identify.Released {
			spec.Devices = slices.DeleteFunc(spec.Devices, func(v wiring.Device) bool { return v.Box == x.Box })
			gone := func(j wiring.Joint) bool { return d.isDevice(x.Box, j.Device) }
			for i := range spec.Splices {
				if spec.Splices[i].Box == x.Box {
					spec.Splices[i].Join = slices.DeleteFunc(spec.Splices[i].Join, gone)
				}
			}
			spec.Splices = slices.DeleteFunc(spec.Splices, func(v wiring.Splice) bool { return v.Box == x.Box && len(v.Join) < 2 })
			spec.Landings = slices.DeleteFunc(spec.Landings, func(v wiring.Landing) bool { return v.Box == x.Box && d.isDevice(x.Box, v.Device) })
		}
		if x.Stage == identify.Parted {
			spec.Landings = slices.DeleteFunc(spec.Landings, func(v wiring.Landing) bool { return v.Box == x.Box })
			spec.Splices = slices.DeleteFunc(spec.Splices, func(v wiring.Splice) bool { return v.Box == x.Box })
		}
	}
	for _, x := range ties {
		a, b := d.own[x[0]], d.own[x[1]]
		spec.Ties = append(spec.Ties, wiring.Tie{Box: a.Box, A: wiring.Joint{Wire: a.Wire}, B: wiring.Joint{Wire: b.Wire}})
	}
	if bridged {
		for _, l := range spec.Lights {
			spec.Ties = append(spec.Ties, wiring.Tie{Box: l.Box, A: wiring.Joint{Device: l.Name, Terminal: "hot"}, B: wiring.Joint{Device: l.Name, Terminal: "neutral"}})
		}
	}
	w, err := wiring.New(spec)
	if err != nil {
		d.t.Fatal(err)
	}
	state := w.Net().Rest()
	k := 0
	for dev := range w.Net().Devices() {
		if !dev.Kind.Breaker {
			if d.thrown&(1<<k) != 0 {
				if state, err = state.With(dev.Ref, dev.Kind.Positions[1].Name); err != nil {
					d.t.Fatal(err)
				}
			}
			k++
		}
		if dev.Kind.Breaker && (!breakers || slices.Contains(off, dev.Ref.Name)) {
			if state, err = state.With(dev.Ref, "off"); err != nil {
				d.t.Fatal(err)
			}
		}
	}
	v, err := w.Net().NewSolver().Solve(state)
	if err != nil {
		d.t.Fatal(err)
	}
	if d.views == nil {
		d.views = map[string]*switchnet.View{}
	}
	d.views[key] = v
	return v
}

func (d *truth) terminal(p switchnet.Terminal) switchnet.Terminal {
	x := d.own[wiring.End{Box: p.Place, Wire: wiring.Wire{Cable: p.Device, Conductor: p.Name}}]
	return x.Wire.In(x.Box)
}

// path returns what an ohmmeter finds.
func (d *truth) path(s *identify.Session, o identify.Continuity) trace.Path {
	joined := func(v *switchnet.View) bool {
		a, b := d.terminal(o.Between[0]), d.terminal(o.Between[1])
		ca, _ := v.Condition(a)
		cb, _ := v.Condition(b)
		return v.Joined(a, b) || ca.Rails.Has(switchnet.Neutral) && cb.Rails.Has(switchnet.Neutral)
	}
	switch {
	case joined(d.view(s, o.Tied, false, nil, false)):
		return trace.Joined
	case joined(d.view(s, o.Tied, false, nil, true)):
		return trace.Through
	}
	return trace.Open
}

// volts returns what a tester that loads the circuit shows.
func (d *truth) volts(s *identify.Session, t identify.Test) quantity.Voltage {
	v := d.view(s, t.Tied, true, t.Off, false)
	potential := func(p switchnet.Terminal) (line int, driven bool) {
		if p == identify.Outside() {
			return 0, true
		}
		c, _ := v.Condition(d.terminal(p))
		rails := c.Rails
		if rails.Empty() {
			rails = c.Through
		}
		switch {
		case rails.Has(switchnet.LineA):
			line = 1
		case rails.Has(switchnet.LineB):
			line = 2
		case rails.Has(switchnet.LineC):
			line = 3
		}
		return line, !rails.Empty()
	}
	a, da := potential(t.Between[0])
	b, db := potential(t.Between[1])
	if !da || !db {
		return 0
	}
	switch {
	case a == b:
		return 0
	case a == 0 || b == 0:
		return d.spec.Supply.LineToNeutral
	}
	return d.spec.Supply.LineToLine
}

// isDevice reports whether a box has a device of a name, as opposed to a light.
func (d *truth) isDevice(box, name string) bool {
	return slices.ContainsFunc(d.spec.Devices, func(v wiring.Device) bool { return v.Box == box && v.Name == name })
}

// inBox returns what there is to see in a box.
func (d *truth) inBox(s *identify.Session, box string) identify.InBox {
	o := identify.InBox{Box: box}
	found := true
	for _, x := range s.Stages() {
		found = found && (x.Box != box || x.Stage == identify.Found)
	}
	used := map[wiring.Wire]bool{}
	for _, x := range d.spec.Splices {
		if x.Box != box {
			continue
		}
		var wires []wiring.Wire
		for _, j := range x.Join {
			if j.Device == "" {
				wires = append(wires, d.called(box, j.Wire))
				used[j.Wire] = true
			} else if found && d.isDevice(box, j.Device) {
				o.Screws = append(o.Screws, identify.Screw{Device: j.Device, Terminal: j.Terminal, Wire: wires[0]})
			}
		}
		if len(wires) > 1 {
			o.Spliced = append(o.Spliced, wires)
		}
	}
	for _, l := range d.spec.Landings {
		if l.Box == box {
			used[l.Wire] = true
			if found && d.isDevice(box, l.Device) {
				o.Screws = append(o.Screws, identify.Screw{Device: l.Device, Terminal: l.Terminal, Wire: d.called(box, l.Wire)})
			}
		}
	}
	for q, own := range d.own {
		if own.Box == box && !used[own.Wire] && q.Wire.Conductor != "bare" {
			o.Capped = append(o.Capped, q.Wire)
		}
	}
	slices.SortFunc(o.Capped, func(a, b wiring.Wire) int { return strings.Compare(a.String(), b.String()) })
	return o
}
