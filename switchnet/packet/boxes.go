package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// sheets makes the sheets of the boxes.
type sheets struct {
	w     *wiring.Wiring
	spec  wiring.Spec
	table *boxfill.Table
	speak func(string) string // in the region's words
	says  map[wiring.Wire]wiring.Function
	marks map[wiring.End]string
	tags  map[wiring.End]string
}

func newSheets(w *wiring.Wiring, region *rules.Region) *sheets {
	s := &sheets{w: w, spec: w.Spec(), table: &region.Box, speak: speak(&region.Wiring.Terms),
		says: map[wiring.Wire]wiring.Function{}, marks: map[wiring.End]string{}, tags: map[wiring.End]string{}}
	for wire, f := range w.Functions() {
		s.says[wire] = f
	}
	for _, m := range s.spec.Marks {
		s.marks[wiring.End{Box: m.Box, Wire: m.Wire}] = m.As.String()
	}
	for _, t := range s.spec.Tags {
		s.tags[wiring.End{Box: t.Box, Wire: t.Wire}] = t.Text
	}
	return s
}

// cables is the cable schedule.
func (s *sheets) cables() []Cable {
	open := map[wiring.Wire]bool{}
	for _, o := range s.spec.Opens {
		open[o] = true
	}
	out := []Cable{}
	for _, c := range s.spec.Cables {
		line := Cable{Name: c.Name, Type: c.Type.Name, From: c.From, To: c.To, Length: c.Length, Conductors: []Conductor{}}
		for _, core := range c.Type.Cores {
			wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			f := s.says[wire]
			line.Conductors = append(line.Conductors, Conductor{wire.Conductor, f.Kind, s.speak(f.String()), open[wire]})
		}
		out = append(out, line)
	}
	return out
}

var boxKinds = map[wiring.BoxKind]string{
	wiring.DeviceBox: "device box", wiring.CeilingBox: "ceiling box", wiring.JunctionBox: "junction box", wiring.Panel: "panel",
}

func (s *sheets) box(b *wiring.Box) Box {
	sheet := Box{Name: b.Name, Kind: boxKinds[b.Kind], Gangs: b.Gangs, Room: room(b), Location: location(b),
		Cables: []BoxCable{}, Splices: []Splice{}, Devices: []Device{}, Unused: []UnusedEnd{}}
	for _, c := range s.spec.Cables {
		switch b.Name {
		case c.From:
			sheet.Cables = append(sheet.Cables, BoxCable{c.Name, c.Type.Name, c.To})
		case c.To:
			sheet.Cables = append(sheet.Cables, BoxCable{c.Name, c.Type.Name, c.From})
		}
	}
	pigtails := map[switchnet.Terminal][]int{}
	for _, sp := range s.spec.Splices {
		if sp.Box != b.Name {
			continue
		}
		splice := Splice{Number: len(sheet.Splices) + 1, Ends: []End{}, Leads: []string{}}
		for _, j := range sp.Join {
			if j.Device != "" {
				splice.Leads = append(splice.Leads, s.lead(b.Name, j))
				t := switchnet.Terminal{Place: b.Name, Device: j.Device, Name: j.Terminal}
				pigtails[t] = append(pigtails[t], splice.Number)
				continue
			}
			e := s.end(b.Name, j.Wire)
			splice.Ends = append(splice.Ends, e)
			if splice.Says == "" {
				splice.Says = e.Says
			}
		}
		sheet.Splices = append(sheet.Splices, splice)
	}
	sheet.Devices = s.devices(b.Name, pigtails)
	for _, c := range s.spec.Cables {
		for _, core := range c.Type.Cores {
			e := wiring.End{Box: b.Name, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
			if use, ok := s.w.Use(e); ok && (use == wiring.Capped || use == wiring.Hanging) {
				sheet.Unused = append(sheet.Unused, UnusedEnd{s.end(b.Name, e.Wire), use})
			}
		}
	}
	for _, t := range s.spec.Ties {
		if t.Box == b.Name {
			sheet.Ties = append(sheet.Ties, t.A.String()+" and "+t.B.String())
		}
	}
	if b.Kind != wiring.Panel {
		s.fill(&sheet)
		if sheet.Fill != nil {
			sheet.Unstated = s.unstated(b, &sheet)
		}
	}
	return sheet
}

func (s *sheets) end(box string, wire wiring.Wire) End {
	e := wiring.End{Box: box, Wire: wire}
	return End{wire.String(), s.speak(s.says[wire].String()), s.marks[e], s.tags[e]}
}

// lead names a terminal in a splice: a light comes with a lead, and to anything
// else goes a pigtail.
func (s *sheets) lead(box string, j wiring.Joint) string {
	if _, ok := s.w.Net().Load(switchnet.Ref{Place: box, Name: j.Device}); ok {
		return j.Terminal + " lead of " + j.Device
	}
	return "pigtail to " + j.Device + " " + j.Terminal
}

// fill adds the box fill to a sheet.
func (s *sheets) fill(sheet *Box) {
	if s.table.Conductors.Spliced.Absent() && s.table.Conductors.Landed.Absent() {
		sheet.FillProblem = "there are no box-fill rules in " + s.table.Region
		return
	}
	contents, err := s.w.Contents(sheet.Name)
	if err == nil {
		var r boxfill.Result
		if r, err = boxfill.Fill(s.table, contents); err == nil {
			sheet.Fill = &r
			return
		}
	}
	sheet.FillProblem = strings.ReplaceAll(err.Error(), "\n", "; ")
}

// unstated lists what the job leaves open and the count therefore leaves out.
func (s *sheets) unstated(b *wiring.Box, sheet *Box) []string {
	var out []string
	if b.Clamps == 0 && len(sheet.Cables) > 0 {
		out = append(out, "The job does not say how the cables are held, so no clamp is counted; clamps inside the box take room.")
	}
	for _, l := range s.spec.Lights {
		if l.Box == b.Name && l.On == "" && !l.Leads.Valid() && !s.table.Conductors.Spliced.Absent() {
			out = append(out, "The size of the leads of "+l.Name+" is not stated, so they are not counted.")
		}
	}
	return out
}

// devices lists feeds, then devices, then lights of a box.
func (s *sheets) devices(box string, pigtails map[switchnet.Terminal][]int) []Device {
	out := []Device{}
	add := func(name, kind, yoke string, terminals, find []string) {
		d := Device{Name: name, Kind: kind, Yoke: yoke, Terminals: []Terminal{}, Find: find}
		for _, t := range terminals {
			line := Terminal{Name: t, Ends: []End{}, Pigtails: pigtails[switchnet.Terminal{Place: box, Device: name, Name: t}]}
			for _, l := range s.spec.Landings {
				if l.Box == box && l.Device == name && l.Terminal == t {
					line.Ends = append(line.Ends, s.end(box, l.Wire))
				}
			}
			if line.Pigtails == nil {
				line.Pigtails = []int{}
			}
			d.Terminals = append(d.Terminals, line)
		}
		out = append(out, d)
	}
	for _, f := range s.spec.Feeds {
		if f.Box != box {
			continue
		}
		dev, _ := s.w.Net().Device(switchnet.Ref{Place: box, Name: f.Name})
		var terminals []string
		for _, t := range dev.Kind.Terminals {
			if strings.HasPrefix(t, "hot") {
				terminals = append(terminals, t)
			}
		}
		add(f.Name, "breaker, "+f.Breaker.String(), "", append(terminals, "neutral", "ground"), nil)
	}
	for _, d := range s.spec.Devices {
		if d.Box == box {
			terminals := slices.Clone(d.Kind.Terminals)
			if !slices.Contains(terminals, "ground") {
				terminals = append(terminals, "ground")
			}
			add(d.Name, s.speak(d.Kind.Name), d.Yoke, terminals, s.find(d.Kind))
		}
	}
	for _, l := range s.spec.Lights {
		switch {
		case l.Box != box:
		case l.On != "":
			add(l.Name, fmt.Sprintf("plugged into %s, %s and %s", l.On, l.Ends[0], l.Ends[1]), "", nil, nil)
		default:
			add(l.Name, strings.TrimSuffix("light, "+l.Power.String(), ", 0 W"), "", []string{"hot", "neutral", "ground"}, nil)
		}
	}
	if len(pigtails[switchnet.Terminal{Place: box, Device: "box", Name: "ground"}]) > 0 || slices.ContainsFunc(s.spec.Landings, func(l wiring.Landing) bool { return l.Box == box && l.Device == "box" }) {
		add("box", "grounding screw", "", []string{"ground"}, nil)
	}
	return out
}

// find tells how to find the terminals of a device in hand. The places of screws
// differ from maker to maker, so only a meter on the loose device tells.
func (s *sheets) find(k switchnet.Kind) []string {
	base := strings.TrimSuffix(k.Name, " dimmer")
	base = strings.TrimPrefix(base, "electronic ")
	switch base {
	case "single-pole", "pilot-lit single-pole", "locator-lit single-pole":
		if k.Name == "single-pole" {
			return []string{"The two screws may be exchanged."}
		}
	case "three-way":
		return []string{
			"On the loose device, with a continuity tester: the common is the screw that is joined to one of the other two whichever way the handle stands.",
			s.speak("The two travelers may go on the other two screws either way round."),
		}
	case "four-way":
		return []string{
			"On the loose device, with a continuity tester: two screws that are never joined, whichever way the handle stands, are a pair.",
			"Each pair takes the two wires of one cable, either way round; which pair takes which cable does not matter.",
		}
	}
	var out []string
	for _, p := range k.Positions {
		for _, group := range p.Joins {
			out = append(out, fmt.Sprintf("%s joins %s.", p.Name, strings.Join(group, " and ")))
		}
	}
	return out
}

// room says in words what is known of a box's volume.
func room(b *wiring.Box) string {
	if b.Kind == wiring.Panel {
		return ""
	}
	var parts []string
	for _, s := range b.Volume.Sections {
		part := s.Type
		if s.Marked > 0 {
			if part != "" {
				part += ", "
			}
			part += "marked " + volume(s.Marked)
		}
		if s.Count > 1 {
			part = fmt.Sprintf("%d of %s", s.Count, part)
		}
		if part != "" {
			parts = append(parts, part)
		}
	}
	if len(parts) == 0 {
		return "volume not known"
	}
	for _, a := range b.Volume.Additions {
		part := a.Kind.String()
		if a.Marked > 0 {
			part += " marked " + volume(a.Marked)
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", with ")
}

// volume prints a volume in the unit in which it is a round number.
func volume(v quantity.Volume) string { return v.String() }

func location(b *wiring.Box) string {
	var parts []string
	if b.Location != "" {
		parts = append(parts, b.Location)
	}
	if b.Placed {
		parts = append(parts, fmt.Sprintf("at %s, %s, %s", b.At[0], b.At[1], b.At[2]))
	}
	return strings.Join(parts, "; ")
}
