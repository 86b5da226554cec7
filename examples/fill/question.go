package main

import (
	"flag"
	"fmt"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/wiring"
)

// question is what was asked.
type question struct {
	region   *rules.Region
	contents boxfill.Contents
	named    bool     // a box was named, so a volume is expected
	box      string   // its name in the job file
	notes    []string // what the job file leaves open, and how it was taken
	options  boxfill.RemedyOptions
	from     map[string]string // by the path of a part of the contents: the flag it comes from
}

// ask turns flags into a question. All that is wrong with the flags is in the error.
func ask(f *flagged, p *program.Program) (*question, error) {
	var r reader
	p.NoOperands(&r.Mistakes)
	if f.job != "" {
		return askJob(f, p.Flags, &r)
	}
	if f.region == "" {
		r.Add("region", "name the rules that hold where the box is: %s", program.Regions())
	}
	q := &question{named: f.box != "" || f.volume != ""}
	if r.Err() == nil {
		var err error
		if q.region, err = program.Region(f.region, f.amend); err != nil {
			return nil, err
		}
	} else {
		q.region = new(rules.Region) // to find what else is wrong
	}
	r.from = map[string]string{"Box.Gangs": "gangs", "Box.Sections[0].Marked": "volume", "Box.Sections[0]": "box", "Box.Share": "share", "Box.Barriers[0]": "barrier"}
	r.contents(f, &q.region.Box, &q.contents)
	if err := r.Err(); err != nil {
		return nil, err
	}
	q.from = r.from
	if f.box != "" {
		kind, err := q.region.Box.FindBox(f.box)
		if err != nil {
			return nil, err
		}
		q.contents.Box.Sections[0].Type = kind.Name
	}
	if ring := r.ringType; ring != "" {
		kind, err := q.region.Box.FindBox(ring)
		if err != nil {
			return nil, err
		}
		for i := range q.contents.Box.Additions {
			if a := &q.contents.Box.Additions[i]; a.Type == ring {
				a.Type = kind.Name
			}
		}
	}
	q.options = stock(q.region, use(&q.contents))
	q.options.Smaller = r.smaller(f.smaller)
	q.options.Cables = cables(&q.contents)
	return q, r.Err()
}

// askJob takes the question from a job file.
func askJob(f *flagged, flags *flag.FlagSet, r *reader) (*question, error) {
	with := map[string]bool{"job": true, "box": true, "amend": true, "smaller": true, "explain": true, "pick": true, "json": true}
	flags.Visit(func(given *flag.Flag) {
		if !with[given.Name] {
			r.Add(given.Name, "the job file says it already; leave it out beside -job")
		}
	})
	if f.box == "" {
		r.Add("box", "name the box of the job")
	}
	smaller := r.smaller(f.smaller)
	if err := r.Err(); err != nil {
		return nil, err
	}
	file, w, err := program.WiredJob(f.job, f.amend)
	if err != nil {
		return nil, err
	}
	contents, err := w.Contents(f.box)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; its boxes are: %s", f.job, err, boxNames(&file.Wiring))
	}
	held := use(&contents)
	for _, b := range file.Wiring.Boxes {
		if b.Name == f.box {
			held.luminaire = held.luminaire || b.Kind == wiring.CeilingBox
			held.device = held.device || b.Kind == wiring.DeviceBox
		}
	}
	q := &question{region: file.Region, contents: contents, named: true, box: f.box, options: stock(file.Region, held)}
	q.options.Smaller = smaller
	q.notes = notes(&file.Wiring, f.box)
	return q, nil
}

// boxNames lists the boxes of a job that are no panels, in file order.
func boxNames(spec *wiring.Spec) string {
	var names []string
	for _, b := range spec.Boxes {
		if b.Kind != wiring.Panel {
			names = append(names, b.Name)
		}
	}
	return strings.Join(names, ", ")
}

// notes says what the job leaves open about a box and how the count takes it.
func notes(spec *wiring.Spec, box string) []string {
	var list []string
	for _, b := range spec.Boxes {
		if b.Name == box && b.Clamps == 0 {
			list = append(list, "The job does not say how the cables are held, so no clamps are counted; clamps inside the box take room.")
		}
	}
	for _, l := range spec.Lights {
		if l.Box == box && l.On == "" && !l.Leads.Valid() {
			list = append(list, fmt.Sprintf("The job does not give the size of the leads of the light %q, so they are not counted.", l.Name))
		}
	}
	return list
}

// cables supposes that one two-wire cable of each size could go elsewhere, as
// far as there are two conductors of it, with a ground where there is one.
func cables(c *boxfill.Contents) []boxfill.Cable {
	var list []boxfill.Cable
	for _, entry := range c.Conductors {
		if entry.Role != boxfill.Spliced || entry.Count < 2 {
			continue
		}
		two := entry
		two.Count = 2
		cable := boxfill.Cable{Name: "a cable with two conductors of " + entry.Size.String(), Conductors: []boxfill.Conductors{two}}
		for _, g := range c.Grounds {
			if g.Size == entry.Size && g.Kind == boxfill.BareGround && g.Count > 0 {
				g.Count = 1
				cable.Grounds = []boxfill.Grounds{g}
				break
			}
		}
		list = append(list, cable)
	}
	return list
}

// reader reads flags and keeps what is wrong with them.
type reader struct {
	program.Mistakes
	ringType string            // box type that an extension ring is said to be made from
	from     map[string]string // by the path of a part of the contents: the flag it comes from
}

// contents reads what is in the box and the box itself, but for its type.
func (r *reader) contents(f *flagged, table *boxfill.Table, c *boxfill.Contents) {
	for _, l := range []struct {
		name, text string
		role       boxfill.Role
		loop       quantity.Length
	}{
		{"conductors", f.conductors, boxfill.Spliced, 0},
		{"passing", f.passing, boxfill.PassingThrough, 0},
		{"looped", f.looped, boxfill.PassingThrough, r.loop(f, table)},
		{"pigtails", f.pigtails, boxfill.Pigtail, 0},
		{"fixture-wires", f.fixtureWires, boxfill.FixtureWire, 0},
	} {
		for _, e := range r.list(l.name, l.text) {
			r.note("Conductors", len(c.Conductors), l.name)
			c.Conductors = append(c.Conductors, boxfill.Conductors{Size: e.size, Count: e.count, Role: l.role, Loop: l.loop})
		}
	}
	for _, l := range []struct {
		name, text string
		kind       boxfill.GroundKind
	}{
		{"grounds", f.grounds, boxfill.BareGround},
		{"insulated-grounds", f.insulatedGrounds, boxfill.InsulatedGround},
		{"isolated-grounds", f.isolatedGrounds, boxfill.IsolatedGround},
		{"canopy-grounds", f.canopyGrounds, boxfill.CanopyGround},
	} {
		for _, e := range r.list(l.name, l.text) {
			r.note("Grounds", len(c.Grounds), l.name)
			c.Grounds = append(c.Grounds, boxfill.Grounds{Size: e.size, Count: e.count, Kind: l.kind})
		}
	}
	c.Canopy = f.canopy
	if f.clamps {
		c.Clamps.Internal = 1
	}
	for _, kind := range split(f.fittings) {
		r.note("Fittings", len(c.Fittings), "fittings")
		c.Fittings = append(c.Fittings, boxfill.Fittings{Kind: kind, Count: 1})
	}
	r.devices(f, c)
	for _, e := range r.list("blocks", f.blocks) {
		for range r.few("blocks", e.count) {
			r.note("Blocks", len(c.Blocks), "blocks")
			c.Blocks = append(c.Blocks, boxfill.TerminalBlock{Largest: e.size})
		}
	}
	for _, e := range r.list("connectors", f.connectors) {
		r.note("Connectors", len(c.Connectors), "connectors")
		c.Connectors = append(c.Connectors, boxfill.Connectors{Largest: e.size, Count: e.count})
	}
	r.box(f, c)
}

// loop returns the free length from which a conductor counts as looped.
func (r *reader) loop(f *flagged, table *boxfill.Table) quantity.Length {
	least := table.Conductors.LoopAtLeast
	if f.looped != "" && least == 0 && table.Region != "" {
		r.Add("looped", "%s counts a conductor that passes unbroken alike with a loop and without; list it under -passing", table.Region)
	}
	return least
}

func (r *reader) devices(f *flagged, c *boxfill.Contents) {
	depth := program.Value(&r.Mistakes, "depth", f.depth, quantity.ParseLength)
	if n, ok := count(f.devices); ok {
		size, several := onlySize(c.Conductors)
		switch {
		case several:
			r.Add("devices", "%d: the conductors are of several sizes; write the largest that lands on each, as in 14x1,12x1", n)
		case !size.Valid() && n > 0:
			r.Add("devices", "%d: no conductors are given; write the largest that lands on each, as in 14x%d", n, n)
		}
		for range r.few("devices", n) {
			r.note("Devices", len(c.Devices), "devices")
			c.Devices = append(c.Devices, boxfill.Device{Largest: size, Depth: depth})
		}
	} else {
		for _, e := range r.list("devices", f.devices) {
			for range r.few("devices", e.count) {
				r.note("Devices", len(c.Devices), "devices")
				c.Devices = append(c.Devices, boxfill.Device{Largest: e.size, Depth: depth})
			}
		}
	}
	for _, e := range r.list("wide", f.wide) {
		r.note("Devices", len(c.Devices), "wide")
		c.Devices = append(c.Devices, boxfill.Device{Largest: e.size, Gangs: e.count, Depth: depth})
	}
}

// few returns n, or none with a problem where n is below zero or more than a box can
// hold.
func (r *reader) few(name string, n int) int {
	switch {
	case n < 0:
		r.Add(name, "%d: a count is zero or more", n)
		return 0
	case n > boxfill.MaxEntries:
		r.Add(name, "%d: more than %d", n, boxfill.MaxEntries)
		return 0
	}
	return n
}

// onlySize returns the size of the conductors, and whether there are several.
func onlySize(conductors []boxfill.Conductors) (size conductor.Size, several bool) {
	for _, c := range conductors {
		if c.Role == boxfill.FixtureWire {
			continue
		}
		several = several || size.Valid() && size != c.Size
		size = c.Size
	}
	return size, several
}

func (r *reader) box(f *flagged, c *boxfill.Contents) {
	section := boxfill.Section{Count: f.ganged}
	if f.ganged < 1 {
		r.Add("ganged", "%d: want 1 box or more", f.ganged)
	}
	section.Marked = program.Value(&r.Mistakes, "volume", f.volume, func(text string) (quantity.Volume, error) {
		v, err := quantity.ParseVolume(text)
		if err == nil && v == 0 {
			err = fmt.Errorf("%q: a marked volume is more than zero", text)
		}
		return v, err
	})
	if f.box != "" || f.volume != "" {
		c.Box.Sections = []boxfill.Section{section}
	} else if f.ganged > 1 {
		r.Add("ganged", "give -box or -volume as well")
	}
	c.Box.Gangs = f.gangs
	r.addition(c, "plaster-ring", f.plasterRing, boxfill.PlasterRing)
	r.addition(c, "extension-ring", f.extensionRing, boxfill.ExtensionRing)
	r.addition(c, "domed-cover", f.cover, boxfill.DomedCover)
	if f.barrier != "" {
		c.Box.Barriers = []boxfill.Barrier{{Kind: program.Value(&r.Mistakes, "barrier", f.barrier, func(text string) (kind boxfill.BarrierKind, err error) {
			return kind, kind.UnmarshalText([]byte(text))
		})}}
	}
	c.Box.Share = program.Value(&r.Mistakes, "share", f.share, parseShare)
}

func (r *reader) addition(c *boxfill.Contents, name, text string, kind boxfill.AdditionKind) {
	if text == "" {
		return
	}
	a := boxfill.Addition{Kind: kind}
	switch volume, err := quantity.ParseVolume(text); {
	case err == nil:
		a.Marked = volume
	case text == "unmarked":
	case kind == boxfill.ExtensionRing:
		a.Type, r.ringType = text, text
	default:
		r.Add(name, "%v, or \"unmarked\"", err)
	}
	r.note("Box.Additions", len(c.Box.Additions), name)
	c.Box.Additions = append(c.Box.Additions, a)
}
