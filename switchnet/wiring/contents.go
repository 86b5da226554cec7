package wiring

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// An EndUse says what a wire's end is used for.
type EndUse uint8

// What a wire's end is used for.
const (
	Landed  EndUse = iota + 1 // on a terminal
	Spliced                   // in a splice
	Capped                    // under a cap
	Hanging                   // nothing is known of it
)

var useNames = [...]string{"", "landed", "spliced", "capped", "hanging"}

// String returns the word.
func (u EndUse) String() string {
	if u < 1 || int(u) >= len(useNames) {
		return fmt.Sprintf("EndUse(%d)", uint8(u))
	}
	return useNames[u]
}

// MarshalText writes the word.
func (u EndUse) MarshalText() ([]byte, error) {
	if u < 1 || int(u) >= len(useNames) {
		return nil, fmt.Errorf("wiring: %v is no use of a wire's end", u)
	}
	return []byte(useNames[u]), nil
}

// Use returns what an end is used for, or false if there is no such end.
func (w *Wiring) Use(e End) (EndUse, bool) {
	i, ok := w.idx.cables[e.Wire.Cable]
	if !ok || e.Box != w.spec.Cables[i].From && (e.Box == "" || e.Box != w.spec.Cables[i].To) {
		return 0, false
	}
	if _, ok := w.spec.Cables[i].Type.Core(colourOf(e.Wire)); !ok {
		return 0, false
	}
	switch w.idx.ends[e].List {
	case "landings":
		return Landed, true
	case "splices":
		return Spliced, true
	case "caps":
		return Capped, true
	}
	return Hanging, true
}

// Ends returns the wire ends in a box, cables in name order, conductors as the
// cable is made up.
func (w *Wiring) Ends(box string) []End {
	var cables []*Cable
	for i := range w.spec.Cables {
		if c := &w.spec.Cables[i]; c.From == box || c.To == box && box != "" {
			cables = append(cables, c)
		}
	}
	slices.SortFunc(cables, func(a, b *Cable) int { return strings.Compare(a.Name, b.Name) })
	var out []End
	for _, c := range cables {
		for _, name := range conductorNames(c.Type) {
			out = append(out, End{box, Wire{c.Name, name}})
		}
	}
	return out
}

// Contents returns what a box holds, for package boxfill, or an error if there is
// no such box. Lists are in the order of size and role, devices in name order.
//
// A cable that enters counts its conductors once each, as landed or spliced; a
// capped or hanging end counts as spliced. Devices that share a yoke are one
// device, as large as the largest conductor on any of them, a pigtail being as
// large as the largest wire of its splice. Leads of a light count where their size
// is stated. Every splice and every cap counts as a connector. A panel has no fill.
func (w *Wiring) Contents(box string) (boxfill.Contents, error) {
	i, ok := w.idx.boxes[box]
	if !ok {
		return boxfill.Contents{}, fmt.Errorf("wiring: there is no box called %q", box)
	}
	b := &w.spec.Boxes[i]
	c := boxfill.Contents{Box: b.Volume}
	if c.Box.Gangs == 0 {
		c.Box.Gangs = b.gangs()
	}
	insulated := map[conductorKey]int{}
	grounds := map[groundKey]int{}
	cables := map[string]bool{}
	for _, e := range w.Ends(box) {
		cables[e.Wire.Cable] = true
		core, _ := w.core(e.Wire)
		use, _ := w.Use(e)
		role := boxfill.Spliced
		if use == Landed {
			role = boxfill.Landed
		}
		switch {
		case core.Grounding && core.Insulated():
			grounds[groundKey{core.Size, boxfill.InsulatedGround}]++
		case core.Grounding || !core.Insulated():
			grounds[groundKey{core.Size, boxfill.BareGround}]++
		default:
			insulated[conductorKey{core.Size, role}]++
		}
		if use == Capped {
			c.Connectors = append(c.Connectors, boxfill.Connectors{Largest: core.Size, Count: 1})
		}
	}
	switch b.Clamps {
	case InternalClamps:
		c.Clamps.Internal = len(cables)
	case ExternalClamps:
		c.Clamps.External = len(cables)
	}
	for k := range w.spec.Lights {
		l := &w.spec.Lights[k]
		if l.Box != box || l.On != "" {
			continue
		}
		c.Canopy = c.Canopy || l.Canopy
		if l.Leads.Valid() {
			insulated[conductorKey{l.Leads, boxfill.FixtureWire}] += 2
		}
	}
	for key, n := range insulated {
		c.Conductors = append(c.Conductors, boxfill.Conductors{Size: key.size, Count: n, Role: key.role})
	}
	slices.SortFunc(c.Conductors, func(a, b boxfill.Conductors) int {
		if d := a.Size.Compare(b.Size); d != 0 {
			return d
		}
		return int(a.Role) - int(b.Role)
	})
	for key, n := range grounds {
		c.Grounds = append(c.Grounds, boxfill.Grounds{Size: key.size, Count: n, Kind: key.kind})
	}
	slices.SortFunc(c.Grounds, func(a, b boxfill.Grounds) int {
		if d := a.Size.Compare(b.Size); d != 0 {
			return d
		}
		return int(a.Kind) - int(b.Kind)
	})
	for k := range w.spec.Splices {
		if s := &w.spec.Splices[k]; s.Box == box {
			c.Connectors = append(c.Connectors, boxfill.Connectors{Largest: w.largest(s), Count: 1})
		}
	}
	slices.SortFunc(c.Connectors, func(a, b boxfill.Connectors) int { return a.Largest.Compare(b.Largest) })
	c.Devices = w.yokes(box)
	return c, nil
}

type conductorKey struct {
	size conductor.Size
	role boxfill.Role
}

type groundKey struct {
	size conductor.Size
	kind boxfill.GroundKind
}

func (b *Box) gangs() int {
	if b.Gangs == 0 && b.Kind == DeviceBox {
		return 1
	}
	return b.Gangs
}

func (w *Wiring) core(wire Wire) (conductor.Core, bool) {
	i, ok := w.idx.cables[wire.Cable]
	if !ok {
		return conductor.Core{}, false
	}
	return w.spec.Cables[i].Type.Core(colourOf(wire))
}

// largest returns the size of the largest wire of a splice.
func (w *Wiring) largest(s *Splice) conductor.Size {
	var most conductor.Size
	for _, j := range s.Join {
		if core, ok := w.core(j.Wire); ok && j.Device == "" && core.Size.Compare(most) > 0 {
			most = core.Size
		}
	}
	return most
}

// yokes returns the devices of a box by the strap they are on.
func (w *Wiring) yokes(box string) []boxfill.Device {
	largest := map[string]conductor.Size{}
	grow := func(device string, s conductor.Size) {
		if s.Compare(largest[device]) > 0 {
			largest[device] = s
		}
	}
	for _, l := range w.spec.Landings {
		if l.Box == box && l.Terminal != "ground" {
			core, _ := w.core(l.Wire)
			grow(l.Device, core.Size)
		}
	}
	for k := range w.spec.Splices {
		s := &w.spec.Splices[k]
		if s.Box != box {
			continue
		}
		for _, j := range s.Join {
			if j.Device != "" && j.Terminal != "ground" {
				grow(j.Device, w.largest(s))
			}
		}
	}
	type yoke struct {
		name   string // empty: a yoke of its own
		device boxfill.Device
		names  []string
	}
	var out []yoke
	for k := range w.spec.Devices {
		d := &w.spec.Devices[k]
		if d.Box != box {
			continue
		}
		at := -1
		if d.Yoke != "" {
			at = slices.IndexFunc(out, func(y yoke) bool { return y.name == d.Yoke })
		}
		if at < 0 {
			out = append(out, yoke{name: d.Yoke})
			at = len(out) - 1
		}
		y := &out[at]
		y.names = append(y.names, d.Name)
		y.device.Gangs = max(y.device.Gangs, d.Gangs)
		y.device.Depth = max(y.device.Depth, d.Depth)
		if s := largest[d.Name]; s.Compare(y.device.Largest) > 0 {
			y.device.Largest = s
		}
	}
	devices := make([]boxfill.Device, len(out))
	for i, y := range out {
		slices.Sort(y.names)
		y.device.Name = strings.Join(y.names, " and ")
		devices[i] = y.device
	}
	slices.SortFunc(devices, func(a, b boxfill.Device) int { return strings.Compare(a.Name, b.Name) })
	return devices
}
