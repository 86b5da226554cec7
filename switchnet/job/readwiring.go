package job

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

func (r *reader) cable(e *entry) {
	if e.m.Need("type", "its type, such as 14/3") == nil {
		e.spoil("type")
	}
	c := wiring.Cable{
		Name:      e.need("name", "the name of the cable"),
		Type:      value(e, "type", "a type of cable such as 14/3", conductor.ParseCableType),
		From:      e.need("from", "the box it begins at"),
		To:        e.need("to", "the box it ends at, or the word unknown"),
		Length:    positive(e, "length", "a length such as 34 ft", quantity.ParseLength),
		Installed: e.year("installed"),
		Bored:     e.bored(),
		Notches:   e.count("notches", 1, wiring.MaxBores),
		Entries:   [2]wiring.Entry{e.measured("from end"), e.measured("to end")},
		Apart:     positive(e, "supports apart", "a length such as 4 ft", quantity.ParseLength),
	}
	if c.From == unknown {
		e.fail("from", e.m.Get("from"), strict.Report{Found: "the cable begins at an unknown end", Expected: "its known end as from and the unknown one as to", Fix: "exchange from and to"})
	}
	if c.To == unknown {
		c.To = ""
	}
	r.foundColours(e, &c.Type)
	r.out.Wiring.Cables = append(r.out.Wiring.Cables, c)
}

// measured returns what was measured at an end of a cable.
func (e *entry) measured(key string) wiring.Entry {
	n := e.m.Get(key)
	if n == nil {
		return wiring.Entry{}
	}
	const what = "what was measured at that end: {support: 8 in, along: 10 in, sheath: 0.5 in, free: 7 in}"
	p := &entry{r: e.r, m: n.Map(what), ref: wiring.Ref{List: e.ref.List + " " + key, Index: e.ref.Index}}
	if p.m == nil {
		e.spoil(key)
		return wiring.Entry{}
	}
	v := wiring.Entry{
		Support:      positive(p, "support", "a length such as 8 in, from the box to its first support", quantity.ParseLength),
		Along:        positive(p, "along", "a length such as 10 in, along the sheath to that support", quantity.ParseLength),
		SheathStated: p.has("sheath"),
		Free:         positive(p, "free", "a length such as 7 in, of free conductor", quantity.ParseLength),
	}
	const sheath = "a length such as 0.5 in, of sheath inside the box, or 0 in"
	v.Sheath = value(p, "sheath", sheath, func(s string) (quantity.Length, error) {
		d, err := quantity.ParseLength(s)
		if err == nil && d < 0 {
			err = &wrong{found: fmt.Sprintf("%q is below zero", s), expected: sheath}
		}
		return d, err
	})
	if v == (wiring.Entry{}) && len(p.m.Node().Entries()) == 0 {
		e.fail(key, n, strict.Report{Found: "nothing was measured there", Expected: what, Fix: "take the key out"})
	}
	p.m.Done()
	return v
}

// bored returns the distances of holes from the edges of the framing.
func (e *entry) bored() []quantity.Length {
	const what = "a length such as 1.5 in, from the hole to the nearest edge of what it is bored through"
	var out []quantity.Length
	for _, n := range e.list("bored", "a list of distances, one a hole: [1.5 in, 1 in]") {
		s, ok := n.Text(what)
		if !ok {
			e.spoil("bored")
			continue
		}
		d, err := quantity.ParseLength(s)
		if err == nil && d <= 0 {
			err = &wrong{found: fmt.Sprintf("%q is not above zero", s), expected: what, fix: "count what is cut into the edge under notches"}
		}
		if err != nil {
			e.fail("bored", n, complaint(err))
			continue
		}
		out = append(out, d)
	}
	return out
}

// foundColours puts the colours as found in place of those of the cable's type.
func (r *reader) foundColours(e *entry, t *conductor.CableType) {
	found := e.texts("conductors", "the colours of the conductors as found", "a colour")
	if !e.has("conductors") || len(t.Cores) == 0 {
		return
	}
	key := e.m.Get("conductors")
	if len(found) != len(t.Cores) {
		if key.Kind() == strict.KindList || key.Empty() {
			names := make([]string, len(t.Cores))
			for i, c := range t.Cores {
				names[i] = c.Colour.String()
			}
			e.fail("conductors", key, strict.Report{Found: fmt.Sprintf("found %d colours", len(found)),
				Expected: fmt.Sprintf("%d, because %s has the conductors %s", len(names), t.Name, strings.Join(names, ", ")),
				Fix:      "list all of them in that order, the ground last, or change the type"})
		}
		return
	}
	t.Cores = slices.Clone(t.Cores)
	for i, n := range key.List("") {
		if e.r.bad[wiring.Ref{List: "cables", Index: e.ref.Index, Field: fmt.Sprintf("conductors %d", i)}] {
			e.spoil("conductors")
			continue
		}
		c, err := parseColour(found[i])
		if err != nil {
			e.fail("conductors", n, complaint(err))
			continue
		}
		t.Cores[i].Colour = c
	}
}

func (r *reader) device(e *entry) {
	d := wiring.Device{
		Name:  e.need("name", "the name of the device, by custom the control it serves"),
		Box:   e.need("box", "the box it is in"),
		Yoke:  e.text("yoke", "the name of the strap it shares"),
		Gangs: e.count("gangs", 1, 20),
		Gang:  e.count("gang", 1, 20),
		Depth: positive(e, "depth", "a depth such as 1.9 in", quantity.ParseLength),

		Aluminum: e.yes("aluminum"),

		Rating:    positive(e, "rating", "a current such as 15 A", quantity.ParseCurrent),
		LeastLoad: positive(e, "least load", "a power such as 10 W", quantity.ParsePower),
		MostLoad:  positive(e, "most load", "a power such as 150 W", quantity.ParsePower),

		Protection: e.protection(),
	}
	d.Kind = r.kind(e)
	r.own(d.Box, d.Name, e.ref)
	r.out.Wiring.Devices = append(r.out.Wiring.Devices, d)
}

func (r *reader) splice(e *entry) {
	s := wiring.Splice{Box: e.need("box", "the box the splice is in")}
	if e.m.Need("join", "what is joined, such as [C3.white, C4.white]") == nil {
		e.spoil("join")
	}
	s.Join = r.joints(e, s.Box)
	r.out.Wiring.Splices = append(r.out.Wiring.Splices, s)
}

func (r *reader) tie(e *entry) {
	t := wiring.Tie{Box: e.need("box", "the box in which they touch")}
	const what = "the two that touch, such as [C4.red, C4.black]"
	if e.m.Need("join", what) == nil {
		e.spoil("join 0")
		e.spoil("join 1")
	}
	join := r.joints(e, t.Box)
	if len(join) == 2 {
		t.A, t.B = join[0], join[1]
	} else if n := e.m.Get("join"); n != nil {
		e.spoil("join 0")
		e.spoil("join 1")
		if n.Kind() == strict.KindList || n.Empty() {
			n.Report(strict.Report{Found: fmt.Sprintf("found %d", len(join)), Expected: what, Fix: "write a tie for each two"})
		}
	}
	r.out.Wiring.Ties = append(r.out.Wiring.Ties, t)
}

func (r *reader) landing(e *entry) {
	r.out.Wiring.Landings = append(r.out.Wiring.Landings, wiring.Landing{
		Box:      e.need("box", "the box it is in"),
		Device:   e.need("device", "the device, light or feed, or the word box for the grounding screw"),
		Terminal: e.need("terminal", "the terminal"),
		Wire:     e.wire(),
		PushIn:   e.yes("push in"),
	})
}

// wire reads the wire of an entry.
func (e *entry) wire() wiring.Wire {
	const what = "a wire: CABLE.COLOUR, such as C4.red"
	if e.m.Need("wire", what) == nil {
		e.spoil("wire")
	}
	return value(e, "wire", what, parseWire)
}

func (r *reader) cap(e *entry) {
	r.out.Wiring.Caps = append(r.out.Wiring.Caps, wiring.Cap{Box: e.need("box", "the box it is in"), Wire: e.wire()})
}

func (r *reader) mark(e *entry) {
	m := wiring.Mark{Box: e.need("box", "the box it is marked in"), Wire: e.wire()}
	if e.m.Need("as", "the colour it is marked as") == nil {
		e.spoil("as")
	}
	m.As = value(e, "as", "a colour", parseColour)
	r.out.Wiring.Marks = append(r.out.Wiring.Marks, m)
}

func (r *reader) tag(e *entry) {
	r.out.Wiring.Tags = append(r.out.Wiring.Tags, wiring.Tag{
		Box: e.need("box", "the box it is in"), Wire: e.wire(), Text: e.need("says", "what is written on the tag")})
}

// opens reads the wires that are broken.
func (r *reader) opens() {
	for i, n := range r.entries("opens", "a list of wires that are broken, such as [C4.red]") {
		e := &entry{r: r, ref: wiring.Ref{List: "opens", Index: i}}
		var w wiring.Wire
		s, ok := n.Text("a wire: CABLE.COLOUR, such as C4.red")
		if !ok {
			e.spoil("")
		} else if wire, err := parseWire(s); err != nil {
			e.fail("", n, complaint(err))
		} else {
			w = wire
		}
		r.out.Wiring.Opens = append(r.out.Wiring.Opens, w)
	}
}

// joints reads what is joined. One that cannot be used keeps its place, empty.
func (r *reader) joints(e *entry, box string) []wiring.Joint {
	var out []wiring.Joint
	for i, n := range e.list("join", "a list of wires and terminals, such as [C3.white, C4.white]") {
		j, ok := r.joint(n, box)
		if !ok {
			e.spoil(fmt.Sprintf("join %d", i))
		}
		out = append(out, j)
	}
	return out
}

// joint reads CABLE.COLOUR or DEVICE.TERMINAL. What comes into the box is meant
// first, so that a cable elsewhere that bears the name of a device hides nothing.
func (r *reader) joint(n *strict.Node, box string) (wiring.Joint, bool) {
	const what = "a wire (CABLE.COLOUR, such as C4.red) or a terminal (DEVICE.TERMINAL, such as aisle.common)"
	s, ok := n.Text(what)
	if !ok {
		return wiring.Joint{}, false
	}
	name, end, ok := cut(s)
	if !ok {
		n.Report(strict.Report{Found: fmt.Sprintf("%q is neither a wire nor a terminal", s), Expected: what})
		return wiring.Joint{}, false
	}
	var cable *wiring.Cable
	if i, ok := r.cables[name]; ok {
		cable = &r.out.Wiring.Cables[i]
	}
	_, owned := r.owners[switchnet.Ref{Place: box, Name: name}]
	switch {
	case cable != nil && (cable.From == box || cable.To == box && box != ""):
		return wiring.WireJoint(name, conductorWord(end)), true
	case owned:
		return wiring.Joint{Device: name, Terminal: end}, true
	case cable != nil:
		return wiring.WireJoint(name, conductorWord(end)), true
	case name == "box":
		return wiring.Joint{Device: name, Terminal: end}, true
	case r.boxNamed(box) && !r.spoiled && !r.nameless["cables"] && !r.nameless["devices"] && !r.nameless["lights"] && !r.nameless["feeds"]:
		r.noSuch(n, box, name)
	}
	return wiring.Joint{}, false
}

// boxNamed reports whether there is a box of that name. If there is none, package
// wiring says so.
func (r *reader) boxNamed(box string) bool { _, ok := r.inBox()[box]; return ok }

// inBox returns the names of the cables and things in each box, in file order.
func (r *reader) inBox() map[string][]string {
	if r.names != nil {
		return r.names
	}
	r.names = map[string][]string{}
	w := &r.out.Wiring
	for i := range w.Boxes {
		r.names[w.Boxes[i].Name] = nil
	}
	put := func(box, name string) {
		if _, ok := r.names[box]; ok && name != "" {
			r.names[box] = append(r.names[box], name)
		}
	}
	for i := range w.Cables {
		put(w.Cables[i].From, w.Cables[i].Name)
		put(w.Cables[i].To, w.Cables[i].Name)
	}
	for i := range w.Devices {
		put(w.Devices[i].Box, w.Devices[i].Name)
	}
	for i := range w.Lights {
		put(w.Lights[i].Box, w.Lights[i].Name)
	}
	for i := range w.Feeds {
		put(w.Feeds[i].Box, w.Feeds[i].Name)
	}
	return r.names
}

// noSuch reports a name that nothing in a box bears.
func (r *reader) noSuch(n *strict.Node, box, name string) {
	known := r.inBox()[box]
	rep := strict.Report{Found: fmt.Sprintf("nothing in box %q is called %q", box, name), Fix: r.didYouMean(known, name)}
	if len(known) > 0 {
		rep.Expected = some(known, 0)
	} else {
		rep.Expected = "a cable that enters it or a device in it, and there is none"
	}
	n.Report(rep)
}
