package wiring

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// Limits beyond anything in a building, which keep every sum of this package
// within its type.
const (
	maxGangs  = 20
	maxLength = 10 * quantity.Kilometer
	maxPower  = 1000 * quantity.Kilowatt
)

func (x *index) readBoxes() {
	for i := range x.spec.Boxes {
		b := &x.spec.Boxes[i]
		at := Ref{"boxes", i, "name"}
		if x.name(at, b.Name) {
			first, taken := x.boxes[b.Name]
			switch {
			case strings.HasPrefix(b.Name, UnknownPlace("")):
				x.add(at, nil, "a box cannot be called %q, which stands for the end of a cable whose box is not known", b.Name)
			case taken:
				x.add(at, &Ref{"boxes", first, "name"}, "a box called %q exists already", b.Name)
			default:
				x.boxes[b.Name] = i
			}
		}
		if b.Kind < DeviceBox || b.Kind > Panel {
			x.add(Ref{"boxes", i, "kind"}, nil, "box %q has no kind; it is device, ceiling, junction or panel", b.Name)
		}
		if b.Gangs < 0 || b.Gangs > maxGangs {
			x.add(Ref{"boxes", i, "gangs"}, nil, "box %q has %d gangs; a box has 1 to %d", b.Name, b.Gangs, maxGangs)
		}
		if b.Clamps > NoClamps {
			x.add(Ref{"boxes", i, "clamps"}, nil, "box %q has %v; clamps are internal, external or none", b.Name, b.Clamps)
		}
		x.readFraming(i)
		if b.Metal {
			x.owners[switchnet.Ref{Place: b.Name, Name: "box"}] = owner{at: Ref{"boxes", i, "metal"}, terminals: []string{"ground"}}
		}
	}
}

// own enters a thing that terminals belong to and reports whether it could.
func (x *index) own(o owner, box, name string) bool {
	named, boxed := x.name(o.at, name), x.box(o.at, box)
	if !named || !boxed {
		return false
	}
	o.at.Field = "name"
	if name == "box" {
		x.add(o.at, nil, "nothing in a box can be called %q, which stands for its grounding screw", name)
		return false
	}
	ref := switchnet.Ref{Place: box, Name: name}
	if first, ok := x.owners[ref]; ok {
		x.add(o.at, &first.at, "%q is in box %q already; names are unique within a box", name, box)
		return false
	}
	x.owners[ref] = o
	return true
}

func (x *index) readFeeds() {
	s := x.spec
	for i := range s.Feeds {
		f := &s.Feeds[i]
		poles := Ref{"feeds", i, "poles"}
		lines := f.poles()
		if f.Poles < 0 || f.Poles > 3 || len(f.Lines) > 3 || f.Poles > 0 && len(f.Lines) > 0 && f.Poles != len(f.Lines) {
			x.add(poles, nil, "feed %q has %d poles on %d lines; it has 1, 2 or 3 poles, each on a line", f.Name, f.Poles, len(f.Lines))
			lines = lines[:min(len(lines), 3)]
		}
		var terms []string
		for p, r := range lines {
			terms = append(terms, hot(p, len(lines)))
			if s.Supply.Lines > 0 && (!r.Line() || !s.Supply.Has(r)) {
				x.add(Ref{"feeds", i, "lines"}, nil, "feed %q is on %v; the supply has %d lines, of which line A is the first", f.Name, r, s.Supply.Lines)
			} else if slices.Contains(lines[:p], r) {
				x.add(Ref{"feeds", i, "lines"}, nil, "feed %q has two poles on %v; each pole has a line of its own", f.Name, r)
			}
		}
		x.own(owner{at: Ref{"feeds", i, ""}, terminals: append(terms, "neutral", "ground")}, f.Box, f.Name)
		if f.Breaker <= 0 {
			x.add(Ref{"feeds", i, "breaker"}, nil, "feed %q has no breaker rating; write what stands on the breaker", f.Name)
		}
		if f.Volts < 0 {
			x.add(Ref{"feeds", i, "volts"}, nil, "feed %q has a negative voltage", f.Name)
		}
		x.protection("feeds", i, "feed", f.Name, f.Protection)
	}
}

// protection checks the added protections of a feed or device.
func (x *index) protection(list string, i int, what, name string, all []conductor.ProtectionKind) {
	for k, p := range all {
		at := Ref{list, i, fmt.Sprintf("protection %d", k)}
		if _, err := p.MarshalText(); err != nil {
			x.add(at, nil, "%s %q has a protection of no kind", what, name)
		} else if slices.Contains(all[:k], p) {
			x.add(at, nil, "%s %q lists %v protection twice", what, name, p)
		}
	}
}

// kind checks the kind of a device, each kind once.
func (x *index) kind(i int) *kindUse {
	d := &x.spec.Devices[i]
	at := Ref{"devices", i, "kind"}
	known := x.kinds[d.Kind.Name]
	switch {
	case known == nil:
	case sameKind(known.kind, &d.Kind):
		return known
	default:
		x.add(at, &Ref{"devices", known.first, "kind"}, "kind %q is not the same as another of that name; rename one", d.Kind.Name)
		return &kindUse{terminals: d.Kind.Terminals}
	}
	k := &kindUse{first: i, kind: &d.Kind, terminals: slices.Clip(d.Kind.Terminals)}
	if !slices.Contains(k.terminals, "ground") {
		k.terminals = append(k.terminals, "ground")
	}
	switch ps := d.Kind.Validate(); {
	case len(ps) > 0:
		for _, p := range ps {
			x.add(at, nil, "%v", p)
		}
	case d.Kind.Breaker:
		x.add(at, nil, "device %q is a breaker; a breaker is the beginning of a circuit and is listed as a feed", d.Name)
	case isFeedKind(d.Kind.Name):
		x.add(at, nil, "a kind of device cannot be called %q, which stands for the breaker of a feed; rename it", d.Kind.Name)
	default:
		k.sound = true
	}
	x.kinds[d.Kind.Name] = k
	return k
}

// readStands checks where in its box each device is said to stand: within the box, and
// no two in one gang unless one strap carries both.
func (x *index) readStands() {
	type gang struct {
		box string
		n   int
	}
	first := map[gang]int{}
	for i := range x.spec.Devices {
		d := &x.spec.Devices[i]
		at, last := Ref{"devices", i, "gang"}, d.Gang+max(1, d.Gangs)-1
		if d.Gang == 0 || d.Gangs > maxGangs {
			continue
		}
		if d.Gang < 0 || d.Gang > maxGangs {
			x.add(at, nil, "device %q stands in gang %d; the leftmost gang of a box is 1, and it has %d at most", d.Name, d.Gang, maxGangs)
			continue
		}
		if b, ok := x.boxes[d.Box]; ok {
			if box := &x.spec.Boxes[b]; box.gangs() > 0 && last > box.gangs() {
				x.add(at, &Ref{"boxes", b, "gangs"}, "device %q reaches to gang %d, and box %q has %d", d.Name, last, d.Box, box.gangs())
			}
		}
		for n := d.Gang; n <= last; n++ {
			k, taken := first[gang{d.Box, n}]
			if !taken {
				first[gang{d.Box, n}] = i
				continue
			}
			if other := &x.spec.Devices[k]; d.Yoke == "" || d.Yoke != other.Yoke {
				x.add(at, &Ref{"devices", k, "gang"}, "gang %d of box %q has %q in it already; state another, or the yoke that both are on", n, d.Box, other.Name)
				break
			}
		}
	}
}

func (x *index) readDevices() {
	for i := range x.spec.Devices {
		d := &x.spec.Devices[i]
		k := x.kind(i)
		o := owner{at: Ref{"devices", i, ""}, terminals: k.terminals, unsound: !k.sound}
		x.own(o, d.Box, d.Name)
		if d.Gangs < 0 || d.Gangs > maxGangs {
			x.add(Ref{"devices", i, "gangs"}, nil, "device %q is %d gangs wide; it is 1 to %d", d.Name, d.Gangs, maxGangs)
		}
		if d.Depth < 0 {
			x.add(Ref{"devices", i, "depth"}, nil, "device %q has a negative depth", d.Name)
		}
		if d.Rating < 0 || d.LeastLoad < 0 || d.MostLoad < 0 {
			x.add(Ref{"devices", i, "rating"}, nil, "device %q has a rating or a load below zero", d.Name)
		}
		x.protection("devices", i, "device", d.Name, d.Protection)
		if d.MostLoad > 0 && d.LeastLoad > d.MostLoad {
			x.add(Ref{"devices", i, "least load"}, nil, "device %q needs %v at least and takes %v at most", d.Name, d.LeastLoad, d.MostLoad)
		}
	}
	x.readStands()
	// The loads inside devices have names too, which come after all devices so
	// that a device is never said to be in the way of a lamp within another.
	for i := range x.spec.Devices {
		d := &x.spec.Devices[i]
		if !x.kinds[d.Kind.Name].sound {
			continue
		}
		for _, l := range d.Kind.Internal {
			ref := switchnet.Ref{Place: d.Box, Name: d.Name + " " + l.Name}
			at := Ref{"devices", i, "name"}
			if first, ok := x.owners[ref]; ok {
				x.add(at, &first.at, "device %q has a %q inside, which is called %q, and that is in box %q already; rename one", d.Name, l.Name, ref.Name, d.Box)
				continue
			}
			x.owners[ref] = owner{at: at}
		}
	}
}

func (x *index) readLights() {
	for i := range x.spec.Lights {
		l := &x.spec.Lights[i]
		at := Ref{"lights", i, ""}
		x.readLoad(i)
		if l.On == "" {
			if l.Ends != [2]string{} {
				x.add(Ref{"lights", i, "ends"}, nil, "light %q names ends without the device it is plugged into", l.Name)
			}
			x.own(owner{at: at, terminals: []string{"hot", "neutral", "ground"}}, l.Box, l.Name)
			continue
		}
		if l.Canopy {
			x.add(Ref{"lights", i, "canopy"}, nil, "light %q is plugged in, so it has no canopy on the box", l.Name)
		}
		if l.Leads.Valid() {
			x.add(Ref{"lights", i, "leads"}, nil, "light %q is plugged in, so it has no leads in the box", l.Name)
		}
		x.own(owner{at: at}, l.Box, l.Name)
		if _, ok := x.boxes[l.Box]; ok {
			x.plug(i)
		}
	}
}

// plug checks what a light is plugged into.
func (x *index) plug(i int) {
	l := &x.spec.Lights[i]
	o, ok := x.owners[switchnet.Ref{Place: l.Box, Name: l.On}]
	if !ok || o.at.List != "devices" || o.terminals == nil {
		x.add(Ref{"lights", i, "on"}, nil, "box %q has no device called %q to plug light %q into", l.Box, l.On, l.Name).propose(x.things(l.Box, true), l.On)
		return
	}
	ends := Ref{"lights", i, "ends"}
	for _, e := range l.Ends {
		x.terminal(ends, l.Box, l.On, e)
	}
	if l.Ends[0] == l.Ends[1] {
		x.add(ends, nil, "light %q has both ends on one terminal", l.Name)
	}
}

func (x *index) readCables() {
	s := x.spec
	for i := range s.Cables {
		c := &s.Cables[i]
		at := Ref{"cables", i, "name"}
		if x.name(at, c.Name) {
			first, taken := x.cables[c.Name]
			switch {
			case c.Name == "box":
				x.add(at, nil, "nothing in a box can be called %q, which stands for its grounding screw", c.Name)
			case taken:
				x.add(at, &Ref{"cables", first, "name"}, "a cable called %q exists already", c.Name)
			default:
				x.cables[c.Name] = i
			}
		}
		x.cableType(i)
		if c.Length < 0 || c.Length > maxLength {
			x.add(Ref{"cables", i, "length"}, nil, "cable %q is %v long; a length is not below zero and not above %v, and 0 if it is not known", c.Name, c.Length, maxLength)
		}
		x.year(Ref{"cables", i, "installed"}, c.Installed)
		x.readBores(i)
		x.readEntries(i)
		if c.From == "" {
			x.add(Ref{"cables", i, "from"}, nil, "cable %q begins nowhere; a cable of which one end is known has it as from", c.Name)
		}
		for e, f := range [2]string{"from", "to"} {
			box := [2]string{c.From, c.To}[e]
			if box == "" || !x.boxed(Ref{"cables", i, f}, box) {
				continue
			}
			if o, clash := x.owners[switchnet.Ref{Place: box, Name: c.Name}]; clash && c.Name != "box" {
				x.add(at, &o.at, "cable %q enters box %q, which has something else of that name; rename one", c.Name, box)
			}
		}
		if c.From == c.To && c.From != "" {
			x.add(Ref{"cables", i, "to"}, nil, "cable %q runs from box %q to itself", c.Name, c.From)
		}
	}
}

// cableType checks the type of a cable and enters the words for its conductors.
func (x *index) cableType(i int) {
	c := &x.spec.Cables[i]
	if err := c.Type.Check(); err != nil {
		x.add(Ref{"cables", i, "type"}, nil, "cable %q: %v", c.Name, err)
		return
	}
	known, ok := x.types[c.Type.Name]
	if !ok || !slices.Equal(known.cores, c.Type.Cores) {
		known = typeUse{c.Type.Cores, conductorNames(c.Type)}
		x.types[c.Type.Name] = known
	}
	x.cores[i] = known.words
}
