package packet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// strap is what is mounted on one strap of a box.
type strap struct {
	kinds []string // in the region's words, in name order
	faces []string // what a plate has openings for
	gangs int
}

// enclosures counts boxes, what is added to them, cable connectors and plates.
func (t *taker) enclosures() {
	t.strapped()
	shares := map[itemKey]map[int]int{} // parts by whole
	divided, unclamped := 0, 0
	for i := range t.spec.Boxes {
		b := &t.spec.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		item := Item{Kind: BoxItem, Name: boxName(b), Gangs: gangs(b), Rule: "one for each box of the job, panels left out"}
		if s := b.Volume.Share; s.Whole > 0 {
			item.Name += ", divided"
			item.Rule = "the sides of divided boxes by their share of one"
			key := itemKey{item.Kind, item.Name}
			if shares[key] == nil {
				shares[key] = map[int]int{}
			}
			shares[key][s.Whole] += s.Parts
			t.items[key] = &item
			divided++
		} else {
			t.count(1, item)
		}
		for _, a := range b.Volume.Additions {
			t.count(1, Item{Kind: AdditionItem, Name: additionName(&a), Rule: "one for each that a box is said to have"})
		}
		for _, a := range b.Volume.Barriers {
			t.count(1, Item{Kind: BarrierItem, Name: a.Kind.String(), Rule: "one for each that a box is said to have"})
		}
		if !t.fittings(b) {
			unclamped++
		}
		t.plate(b)
	}
	for key, parts := range shares {
		for whole, n := range parts {
			t.items[key].Count += (n + whole - 1) / whole
		}
	}
	if divided > 0 {
		t.note("%s of divided boxes: barriers, rings and plates are counted on each side, so look them through.", plural(divided, "side"))
	}
	if unclamped > 0 {
		t.note("How cables are held is not said of %s, so no cable connectors are counted for them.", plural2(unclamped, "box", "boxes"))
	}
}

// gangs is how many devices wide a box is, as far as it is known.
func gangs(b *wiring.Box) int {
	if b.Kind == wiring.DeviceBox {
		return max(b.Gangs, 1)
	}
	return b.Gangs
}

// boxName says what to buy: "device, 2 gangs, marked 34 in3".
func boxName(b *wiring.Box) string {
	parts := []string{b.Kind.String()}
	if n := gangs(b); n > 0 {
		parts = append(parts, plural(n, "gang"))
	}
	known := false
	for _, s := range b.Volume.Sections {
		part := s.Type
		if s.Marked > 0 {
			if part != "" {
				part += ", "
			}
			part += "marked " + s.Marked.String()
		}
		if part == "" {
			continue
		}
		if s.Count > 1 {
			part = fmt.Sprintf("%d of %s", s.Count, part)
		}
		parts, known = append(parts, part), true
	}
	if !known {
		parts = append(parts, "volume not known")
	}
	if b.Metal {
		parts = append(parts, "metal")
	}
	switch b.Clamps {
	case wiring.NoClamps:
		parts = append(parts, "without clamps")
	case wiring.InternalClamps, wiring.ExternalClamps:
		parts = append(parts, b.Clamps.String()+" clamps")
	}
	return strings.Join(parts, ", ")
}

// additionName says what to buy: "extension ring octagon 4 x 1-1/2".
func additionName(a *boxfill.Addition) string {
	name := a.Kind.String()
	if a.Type != "" {
		name += " " + a.Type
	}
	if a.Marked > 0 {
		name += ", marked " + a.Marked.String()
	}
	return name
}

// fittings counts the connectors that hold cables in knockouts, and reports whether
// it is said how cables are held, or there are none.
func (t *taker) fittings(b *wiring.Box) bool {
	entering := t.entering[b.Name]
	if b.Clamps == wiring.ExternalClamps {
		for _, i := range entering {
			if c := &t.spec.Cables[i].Type; c.Construction != conductor.Loose {
				t.count(1, Item{Kind: FittingItem, Name: "for " + c.Name, Rule: "one for each cable that enters a box with external clamps"})
			}
		}
	}
	return b.Clamps != 0 || len(entering) == 0
}

// strapped groups the devices of every box by the strap they are on, and counts
// them.
func (t *taker) strapped() {
	receptacles := []string{switchnet.Receptacle().Name, switchnet.SplitReceptacle().Name}
	builtIn := map[string]bool{}
	for _, k := range switchnet.Kinds() {
		builtIn[k.Name] = true
	}
	type yoke struct{ box, name string }
	at := map[yoke]int{}
	for i := range t.spec.Devices {
		d := &t.spec.Devices[i]
		straps := t.straps[d.Box]
		n, shared := at[yoke{d.Box, d.Yoke}]
		if !shared || d.Yoke == "" {
			n = len(straps)
			straps = append(straps, strap{gangs: 1})
			at[yoke{d.Box, d.Yoke}] = n
		}
		kind, face := t.speak(d.Kind.Name), "switch"
		if d.Aluminum {
			kind += " for aluminum conductors"
		}
		switch {
		case slices.Contains(receptacles, d.Kind.Name):
			face = "receptacle"
		case !builtIn[d.Kind.Name]:
			face = d.Kind.Name
		}
		s := &straps[n]
		s.kinds, s.faces, s.gangs = append(s.kinds, kind), append(s.faces, face), max(s.gangs, d.Gangs)
		t.straps[d.Box] = straps
	}
	for _, straps := range t.straps {
		for i := range straps {
			s := &straps[i]
			slices.Sort(s.kinds)
			slices.Sort(s.faces)
			t.count(1, Item{Kind: DeviceItem, Name: s.wide(strings.Join(s.kinds, " and ")), Rule: "one for each strap of the job"})
		}
		slices.SortFunc(straps, func(a, b strap) int {
			return cmp.Or(strings.Compare(a.face(), b.face()), cmp.Compare(a.gangs, b.gangs))
		})
	}
}

func (s *strap) face() string { return s.wide(strings.Join(s.faces, " and ")) }

// wide says how wide a strap is where it is more than a gang.
func (s *strap) wide(name string) string {
	if len(s.kinds) > 1 {
		name += " on one strap"
	}
	if s.gangs > 1 {
		name += fmt.Sprintf(", %d gangs wide", s.gangs)
	}
	return name
}

// plate counts the plate or cover of a box: one over its devices, as wide as the box
// or as they are together, with blanks where they leave gangs open; otherwise a blank
// one, unless a light that is wired in covers the box.
func (t *taker) plate(b *wiring.Box) {
	straps := t.straps[b.Name]
	if len(straps) == 0 && t.covered[b.Name] {
		return
	}
	if len(straps) == 0 && b.Kind != wiring.DeviceBox {
		t.count(1, Item{Kind: PlateItem, Name: "blank cover of a " + b.Kind.String() + " box",
			Rule: "one for each box with neither device nor light"})
		return
	}
	taken := 0
	var faces []string
	for i := range straps {
		taken += straps[i].gangs
		faces = append(faces, straps[i].face())
	}
	wide := max(gangs(b), taken)
	for range wide - taken {
		faces = append(faces, "blank")
	}
	t.count(1, Item{Kind: PlateItem, Name: plural(wide, "gang") + ", " + strings.Join(faces, " + "), Gangs: wide,
		Rule: "one for each box with devices and each other device box without a light, as wide as the box or its devices"})
}

// pieces counts breakers and their ties, lights, tags and markings.
func (t *taker) pieces() {
	type tie struct{ box, name string }
	ties := map[tie]bool{}
	for i := range t.spec.Feeds {
		f := &t.spec.Feeds[i]
		t.count(1, Item{Kind: BreakerItem, Name: f.Breaker.String() + ", " + plural(max(f.Poles, len(f.Lines), 1), "pole"), Rule: "one for each feed"})
		if f.HandleTie != "" && !ties[tie{f.Box, f.HandleTie}] {
			ties[tie{f.Box, f.HandleTie}] = true
			t.count(1, Item{Kind: HandleTieItem, Name: "between breakers", Rule: "one for each tie of a panel"})
		}
	}
	plugged := 0
	for i := range t.spec.Lights {
		l := &t.spec.Lights[i]
		if l.On != "" {
			plugged++
			continue
		}
		name := "load not stated"
		if l.Power > 0 {
			name = l.Power.String()
		}
		if l.Volts > 0 {
			name += ", " + l.Volts.String()
		}
		t.count(1, Item{Kind: LightItem, Name: name, Rule: "one for each light that is wired in"})
	}
	if plugged > 0 {
		t.note("%s plugged in and not counted.", plural2(plugged, "light is", "lights are"))
	}
	t.count(len(t.spec.Tags), Item{Kind: TagItem, Name: "to write on", Rule: "one for each end that the job tags"})
	for _, m := range t.spec.Marks {
		t.count(1, Item{Kind: MarkItem, Name: m.As.String(), Rule: "one for each end that the job re-marks"})
	}
}
