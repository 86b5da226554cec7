package wiring

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// ErrPanel is the error of a question about the fill of a panel.
var ErrPanel = errors.New("a panel is a cabinet, whose fill is no matter of conductor volumes (in the NEC, 312 and not 314.16)")

// Contents returns what a box holds, for package boxfill. No such box is an error,
// and so is a panel ([ErrPanel]). Conductors and grounds are in the order of size
// and then of role or kind, one entry each; connectors in the order of size; devices
// in name order.
//
// Where something is not stated, the larger reading is taken, but for clamps:
//
//   - A cable that enters counts each conductor once, as landed or spliced; a
//     capped or hanging end counts as spliced. Pigtails and jumpers do not leave
//     the box and are not listed.
//   - A grounding conductor is an insulated or a bare ground, wherever it ends; a
//     bare conductor of any cable is a bare ground.
//   - Devices that share a yoke are one device, as large as the largest conductor
//     on any of them but for what is on "ground". A pigtail is as large as the
//     largest wire of its splice, a jumper as the largest wire on any terminal it
//     joins. A device on which no wire is found is as large as the largest insulated
//     conductor of a cable in the box.
//   - The two leads of a light count where their size is stated, and its ground
//     lead where it is used.
//   - Every cap, and every splice of a wire or of three terminals, is a connector.
//     Two leads of lights have one too; a terminal and one other, or one lead, have
//     none: they are a jumper, or the lead is on the screw.
//   - Every cable is one clamp where clamps are stated; loose conductors have none.
//     Internal clamps are at least one, for they take room unused as well. Where
//     [Box.Clamps] is not stated there is none, and whoever reports the fill should
//     say so.
func (w *Wiring) Contents(box string) (boxfill.Contents, error) {
	if err := w.Check(); err != nil {
		return boxfill.Contents{}, err
	}
	i, ok := w.idx.boxes[box]
	if !ok {
		return boxfill.Contents{}, fmt.Errorf("wiring: there is no box called %q", box)
	}
	b := &w.spec.Boxes[i]
	if b.Kind == Panel {
		return boxfill.Contents{}, fmt.Errorf("wiring: box %q: %w", box, ErrPanel)
	}
	c := counter{w: w, box: box, place: w.at(box), conductors: map[sized[boxfill.Role]]int{},
		grounds: map[sized[boxfill.GroundKind]]int{}, connectors: map[conductor.Size]int{}}
	c.ends()
	c.lights()
	out := boxfill.Contents{Box: b.Volume, Canopy: c.canopy}
	v := &out.Box
	v.Sections, v.Additions, v.Barriers = slices.Clone(v.Sections), slices.Clone(v.Additions), slices.Clone(v.Barriers)
	if v.Gangs == 0 {
		v.Gangs = b.gangs()
	}
	out.Devices = c.devices() // which counts connectors as well
	for _, k := range ordered(c.conductors) {
		out.Conductors = append(out.Conductors, boxfill.Conductors{Size: k.size, Count: c.conductors[k], Role: k.as})
	}
	for _, k := range ordered(c.grounds) {
		out.Grounds = append(out.Grounds, boxfill.Grounds{Size: k.size, Count: c.grounds[k], Kind: k.as})
	}
	for size, n := range c.connectors {
		out.Connectors = append(out.Connectors, boxfill.Connectors{Largest: size, Count: n})
	}
	slices.SortFunc(out.Connectors, func(a, b boxfill.Connectors) int { return a.Largest.Compare(b.Largest) })
	switch b.Clamps {
	case InternalClamps:
		out.Clamps.Internal = max(c.cables, 1)
	case ExternalClamps:
		out.Clamps.External = c.cables
	}
	return out, nil
}

// sized is a size and what something of that size counts as.
type sized[T cmp.Ordered] struct {
	size conductor.Size
	as   T
}

// ordered returns the keys in the order of size and then of what they count as.
func ordered[T cmp.Ordered](counts map[sized[T]]int) []sized[T] {
	keys := make([]sized[T], 0, len(counts))
	for k := range counts {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b sized[T]) int {
		return cmp.Or(a.size.Compare(b.size), cmp.Compare(a.as, b.as))
	})
	return keys
}

// counter counts what a box holds.
type counter struct {
	w     *Wiring
	box   string
	place *place

	conductors map[sized[boxfill.Role]]int
	grounds    map[sized[boxfill.GroundKind]]int
	connectors map[conductor.Size]int // by the largest conductor under them
	cables     int                    // that a clamp would hold
	largest    conductor.Size         // largest insulated conductor of a cable
	canopy     bool
}

// ends counts the conductors of the cables that enter.
func (c *counter) ends() {
	for _, i := range c.place.cables {
		cable := &c.w.spec.Cables[i]
		if cable.Type.Construction != conductor.Loose {
			c.cables++
		}
		for k, name := range c.w.idx.cores[i] {
			core := cable.Type.Cores[k]
			use := c.w.idx.ends[End{c.box, Wire{cable.Name, name}}].use
			role := boxfill.Spliced
			if use == Landed {
				role = boxfill.Landed
			}
			if core.Insulated() && core.Size.Compare(c.largest) > 0 {
				c.largest = core.Size
			}
			switch {
			case !core.Insulated():
				c.grounds[sized[boxfill.GroundKind]{core.Size, boxfill.BareGround}]++
			case core.Grounding:
				c.grounds[sized[boxfill.GroundKind]{core.Size, boxfill.InsulatedGround}]++
			default:
				c.conductors[sized[boxfill.Role]{core.Size, role}]++
			}
			if use == Capped {
				c.connectors[core.Size]++
			}
		}
	}
}

// lights counts the leads of the lights on the box.
func (c *counter) lights() {
	leads := map[string]conductor.Size{} // of lights whose ground may be used
	for _, i := range c.place.lights {
		l := &c.w.spec.Lights[i]
		c.canopy = c.canopy || l.Canopy
		if l.Leads.Valid() {
			c.conductors[sized[boxfill.Role]{l.Leads, boxfill.FixtureWire}] += 2
			leads[l.Name] = l.Leads
		}
	}
	ground := func(device, terminal string) {
		if size, ok := leads[device]; ok && terminal == "ground" {
			c.grounds[sized[boxfill.GroundKind]{size, boxfill.CanopyGround}]++
			delete(leads, device)
		}
	}
	for _, i := range c.place.landings {
		ground(c.w.spec.Landings[i].Device, c.w.spec.Landings[i].Terminal)
	}
	for _, i := range c.place.splices {
		for _, j := range c.w.spec.Splices[i].Join {
			ground(j.Device, j.Terminal)
		}
	}
}

func (b *Box) gangs() int {
	if b.Gangs == 0 && b.Kind == DeviceBox {
		return 1
	}
	return b.Gangs
}
