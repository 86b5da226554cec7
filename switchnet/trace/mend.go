package trace

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// mender turns one wiring into another, step by step.
type mender struct {
	now       *wiring.Wiring
	is, meant wiring.Spec // now, and in the end; neither is changed
	out       Cure
	boxes     map[string]bool
}

func (m *mender) step(does string, boxes []string, edits ...wiring.Edit) error {
	w, err := m.now.Apply(edits...)
	if err != nil {
		return err
	}
	m.now, m.is = w, w.Spec()
	m.out.Does = append(m.out.Does, does)
	m.out.Edits = append(m.out.Edits, edits...)
	for _, b := range boxes {
		m.boxes[b] = true
	}
	return nil
}

// mend goes through what can differ. Each part looks at the wiring as it then is.
func (m *mender) mend() error {
	for _, part := range []func() error{m.runs, m.ties, m.devices, m.pigtails, m.landings, m.splices, m.ends} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

// runs makes whole what is open along its run.
func (m *mender) runs() error {
	for _, w := range m.is.Opens {
		if slices.Contains(m.meant.Opens, w) {
			continue
		}
		boxes := m.boxesOf(w.Cable)
		does := fmt.Sprintf("make %s whole between %s: find the break and make it good inside a box that stays accessible, or pull a new cable", w, strings.Join(boxes, " and "))
		if err := m.step(does, boxes, wiring.Mend{Wire: w}); err != nil {
			return err
		}
	}
	return nil
}

// boxesOf returns the boxes a cable runs to, in name order.
func (m *mender) boxesOf(cable string) []string {
	for _, c := range m.meant.Cables {
		if c.Name == cable {
			out := []string{c.From}
			if c.To != "" {
				out = append(out, c.To)
			}
			slices.Sort(out)
			return out
		}
	}
	return nil
}

// ties parts what touches.
func (m *mender) ties() error {
	for _, t := range m.is.Ties {
		if slices.Contains(m.meant.Ties, t) || slices.Contains(m.meant.Ties, wiring.Tie{Box: t.Box, A: t.B, B: t.A}) {
			continue
		}
		does := fmt.Sprintf("part %s and %s in box %s, and cut back or replace what has lost its insulation", t.A, t.B, t.Box)
		if err := m.step(does, []string{t.Box}, wiring.Untie(t)); err != nil {
			return err
		}
	}
	return nil
}

// devices puts the right kind in the place of every other. What was on a screw comes
// off it, and goes where it belongs when landings and splices are put right.
func (m *mender) devices() error {
	meant := m.meant.Devices
	for _, d := range m.is.Devices {
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		i := slices.IndexFunc(meant, func(o wiring.Device) bool { return o.Box == d.Box && o.Name == d.Name })
		if i < 0 || sameKind(d.Kind, meant[i].Kind) {
			continue
		}
		edit := wiring.ReplaceDevice{Device: ref, Kind: meant[i].Kind}
		if slices.Equal(d.Kind.Terminals, meant[i].Kind.Terminals) {
			does := fmt.Sprintf("replace %s in box %s with a sound %s, every conductor on the screw of the same function", d.Name, d.Box, meant[i].Kind.Name)
			if err := m.step(does, []string{d.Box}, edit); err != nil {
				return err
			}
			continue
		}
		edits := []wiring.Edit{}
		clear := m.now
		for _, t := range d.Kind.Terminals {
			e := wiring.ClearTerminal{Of: ref, Terminal: t}
			// A screw with nothing on it has nothing to be cleared.
			if w, err := clear.Apply(e); err == nil {
				clear = w
				edits = append(edits, e)
			}
		}
		does := fmt.Sprintf("take %s, a %s, out of box %s and fit a %s", d.Name, d.Kind.Name, d.Box, meant[i].Kind.Name)
		if err := m.step(does, []string{d.Box}, append(edits, edit)...); err != nil {
			return err
		}
	}
	return nil
}

func sameKind(a, b switchnet.Kind) bool { return fmt.Sprintf("%v", a) == fmt.Sprintf("%v", b) }

func (m *mender) boxNames() []string {
	var out []string
	for _, b := range m.meant.Boxes {
		out = append(out, b.Name)
	}
	slices.Sort(out)
	return out
}

// pigtails takes the pigtails out of splices in which they do not belong.
func (m *mender) pigtails() error {
	for _, box := range m.boxNames() {
		fellows := m.match(box).want
		for i, g := range groups(&m.is, box) {
			meant := fellows[i]
			for _, j := range g {
				if j.Device == "" || slices.Contains(meant, j) {
					continue
				}
				does := fmt.Sprintf("take the pigtail of %s out of the splice of %s in box %s", j, listed(without(g, j)), box)
				if err := m.step(does, []string{box}, m.detach(box, j, g)...); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// detach returns the edits that take a terminal out of one splice and leave it in the
// others, with what is landed on it.
func (m *mender) detach(box string, t wiring.Joint, out []wiring.Joint) []wiring.Edit {
	edits := []wiring.Edit{wiring.ClearTerminal{Of: switchnet.Ref{Place: box, Name: t.Device}, Terminal: t.Terminal}}
	for _, l := range m.is.Landings {
		if l.Box == box && l.Device == t.Device && l.Terminal == t.Terminal {
			edits = append(edits, wiring.MoveLanding{End: wiring.End{Box: box, Wire: l.Wire}, Device: t.Device, Terminal: t.Terminal})
		}
	}
	for _, g := range groups(&m.is, box) {
		if slices.Contains(g, t) && !slices.Equal(g, out) {
			edits = append(edits, wiring.JoinSplice{Box: box, Join: append(without(g, t), t)})
		}
	}
	return edits
}

func without(g []wiring.Joint, j wiring.Joint) []wiring.Joint {
	return slices.DeleteFunc(slices.Clone(g), func(o wiring.Joint) bool { return o == j })
}

func listed(js []wiring.Joint) string {
	parts := make([]string, len(js))
	for i, j := range js {
		parts[i] = j.String()
	}
	switch n := len(parts); {
	case n > 1:
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	case n == 1:
		return parts[0]
	}
	return "nothing"
}

// landings puts wires on the screws on which they belong.
func (m *mender) landings() error {
	want := slices.Clone(m.meant.Landings)
	slices.SortFunc(want, func(a, b wiring.Landing) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Device, b.Device), strings.Compare(a.Terminal, b.Terminal),
			strings.Compare(a.Wire.String(), b.Wire.String()))
	})
	for _, l := range want {
		if slices.Contains(m.is.Landings, l) {
			continue
		}
		e := wiring.End{Box: l.Box, Wire: l.Wire}
		from, device := whereIs(&m.is, e)
		does := fmt.Sprintf("move %s from %s to %s of %s in box %s", l.Wire, from, l.Terminal, l.Device, l.Box)
		switch {
		case from == "":
			does = fmt.Sprintf("land %s on %s of %s in box %s", l.Wire, l.Terminal, l.Device, l.Box)
		case device != "" && device != l.Device:
			does = fmt.Sprintf("move %s from %s of %s to %s of %s in box %s", l.Wire, from, device, l.Terminal, l.Device, l.Box)
		}
		if err := m.step(does, []string{l.Box}, wiring.MoveLanding{End: e, Device: l.Device, Terminal: l.Terminal}); err != nil {
			return err
		}
	}
	return nil
}

// whereIs says where an end is: on which terminal of which device, or in which splice
// or under a cap; nothing if it hangs free.
func whereIs(s *wiring.Spec, e wiring.End) (from, device string) {
	for _, l := range s.Landings {
		if l.Box == e.Box && l.Wire == e.Wire {
			return l.Terminal, l.Device
		}
	}
	if slices.Contains(s.Caps, wiring.Cap(e)) {
		return "under its cap", ""
	}
	j := wiring.Joint{Wire: e.Wire}
	for _, g := range groups(s, e.Box) {
		if slices.Contains(g, j) {
			return "its splice with " + listed(without(g, j)), ""
		}
	}
	return "", ""
}

// splices joins what belongs together.
func (m *mender) splices() error {
	for _, box := range m.boxNames() {
		fellows := m.match(box).now
		for i, want := range groups(&m.meant, box) {
			now := fellows[i]
			var there, come []wiring.Joint
			for _, j := range want {
				if slices.Contains(now, j) {
					there = append(there, j)
				} else {
					come = append(come, j)
				}
			}
			if len(come) == 0 {
				continue
			}
			var from []string
			var edits []wiring.Edit
			for _, j := range come {
				if j.Device != "" {
					continue
				}
				e := wiring.End{Box: box, Wire: j.Wire}
				where, device := whereIs(&m.is, e)
				switch {
				case device != "":
					from = append(from, fmt.Sprintf("%s off %s of %s", j, where, device))
				case where != "":
					from = append(from, fmt.Sprintf("%s from %s", j, where))
				default:
					continue
				}
				edits = append(edits, wiring.Release{End: e})
			}
			does := fmt.Sprintf("splice %s together in box %s", listed(come), box)
			if len(there) > 0 {
				does = fmt.Sprintf("splice %s to %s in box %s", listed(come), listed(there), box)
			}
			if len(from) > 0 {
				does = fmt.Sprintf("take %s, and %s", strings.Join(from, " and "), does)
			}
			if err := m.step(does, []string{box}, append(edits, wiring.JoinSplice{Box: box, Join: append(there, come...)})...); err != nil {
				return err
			}
		}
	}
	return nil
}

// ends caps what is meant to be capped, and takes off what is meant to hang free.
func (m *mender) ends() error {
	want := m.meant.Caps
	for _, c := range want {
		if slices.Contains(m.is.Caps, c) {
			continue
		}
		if err := m.step(fmt.Sprintf("take %s off and cap it in box %s", c.Wire, c.Box), []string{c.Box}, wiring.CapEnd{End: wiring.End(c)}); err != nil {
			return err
		}
	}
	for _, box := range m.boxNames() {
		for _, e := range m.now.Ends(box) {
			if from, _ := whereIs(&m.meant, e); from != "" {
				continue
			}
			from, device := whereIs(&m.is, e)
			if from == "" {
				m.quiet(wiring.Release{End: e}) // it may be alone in a splice
				continue
			}
			if device != "" {
				from += " of " + device
			}
			does := fmt.Sprintf("take %s off %s in box %s and make its end safe: it is meant to be joined to nothing there", e.Wire, from, box)
			if err := m.step(does, []string{box}, wiring.Release{End: e}); err != nil {
				return err
			}
		}
	}
	for _, sp := range m.meant.Splices {
		if len(sp.Join) == 1 {
			m.quiet(wiring.JoinSplice(sp))
		}
	}
	return nil
}

// quiet makes an edit that nobody has to do anything for, if it can be made.
func (m *mender) quiet(e wiring.Edit) {
	if w, err := m.now.Apply(e); err == nil {
		m.now, m.is = w, w.Spec()
		m.out.Edits = append(m.out.Edits, e)
	}
}
