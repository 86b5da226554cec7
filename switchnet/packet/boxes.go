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
	w      *wiring.Wiring
	spec   wiring.Spec
	region *rules.Region
	speak  func(string) string // in the region's words
	marks  map[wiring.End]string
	tags   map[wiring.End]string
	held   map[string]*held // by box
	landed map[switchnet.Terminal][]wiring.Wire
	lights map[string][]int // numbers in the list of the job, by name
}

// held is what a box holds, as numbers in the lists of the job, in its order.
type held struct {
	feeds, devices, lights, cables, splices, ties []int
	breakers                                      []string
}

func newSheets(w *wiring.Wiring, region *rules.Region) *sheets {
	s := &sheets{w: w, spec: w.Spec(), region: region, speak: speak(&region.Wiring.Terms),
		marks: map[wiring.End]string{}, tags: map[wiring.End]string{},
		held: map[string]*held{"": {}}, landed: map[switchnet.Terminal][]wiring.Wire{}, lights: map[string][]int{}}
	for _, m := range s.spec.Marks {
		s.marks[wiring.End{Box: m.Box, Wire: m.Wire}] = m.As.String()
	}
	for _, t := range s.spec.Tags {
		s.tags[wiring.End{Box: t.Box, Wire: t.Wire}] = t.Text
	}
	for _, l := range s.spec.Landings {
		t := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		s.landed[t] = append(s.landed[t], l.Wire)
	}
	for _, b := range s.spec.Boxes {
		s.held[b.Name] = &held{}
	}
	for i, f := range s.spec.Feeds {
		s.held[f.Box].feeds = append(s.held[f.Box].feeds, i)
	}
	for i, d := range s.spec.Devices {
		s.held[d.Box].devices = append(s.held[d.Box].devices, i)
	}
	for i, l := range s.spec.Lights {
		s.held[l.Box].lights = append(s.held[l.Box].lights, i)
		s.lights[l.Name] = append(s.lights[l.Name], i)
	}
	for i, c := range s.spec.Cables {
		for _, box := range []string{c.From, c.To} {
			s.held[box].cables = append(s.held[box].cables, i)
		}
	}
	for i, sp := range s.spec.Splices {
		s.held[sp.Box].splices = append(s.held[sp.Box].splices, i)
	}
	for i, t := range s.spec.Ties {
		s.held[t.Box].ties = append(s.held[t.Box].ties, i)
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
			line.Conductors = append(line.Conductors, s.conductor(&c, core.Colour.String(), open))
		}
		out = append(out, line)
	}
	return out
}

// conductor is a line of the schedule. The two halves of a broken wire may do
// different things.
func (s *sheets) conductor(c *wiring.Cable, colour string, open map[wiring.Wire]bool) Conductor {
	wire := wiring.Wire{Cable: c.Name, Conductor: colour}
	f, _ := s.w.Function(wire)
	out := Conductor{Colour: colour, Function: f.Kind, Says: f.In(s.speak), Open: open[wire]}
	ends := [2]string{c.From, c.To}
	if c.To == "" {
		ends[1] = wiring.UnknownPlace(c.Name)
	}
	var says, marks [2]string
	for i, box := range ends {
		e := wiring.End{Box: box, Wire: wire}
		at, _ := s.w.FunctionAt(e)
		says[i], marks[i] = at.In(s.speak), s.marks[e]
	}
	if says[0] != says[1] {
		out.Says = fmt.Sprintf("%s at %s, %s at %s", says[0], ends[0], says[1], known(c.To))
	}
	switch {
	case marks[0] != "" && marks[0] == marks[1]:
		out.Marked = marks[0] + " at both ends"
	case marks[0] != "" && marks[1] != "":
		out.Marked = fmt.Sprintf("%s at %s, %s at %s", marks[0], ends[0], marks[1], known(c.To))
	case marks[0] != "":
		out.Marked = marks[0] + " at " + ends[0]
	case marks[1] != "":
		out.Marked = marks[1] + " at " + known(c.To)
	}
	return out
}

var boxKinds = map[wiring.BoxKind]string{
	wiring.DeviceBox: "device box", wiring.CeilingBox: "ceiling box", wiring.JunctionBox: "junction box", wiring.Panel: "panel",
}

// panelDanger is what a sheet says of a panel.
const panelDanger = "The service conductors, what they land on and the bars behind the breakers stay live with every breaker in this panel off."

func (s *sheets) box(b *wiring.Box) Box {
	has := s.held[b.Name]
	sheet := Box{Name: b.Name, Kind: boxKinds[b.Kind], Gangs: b.Gangs, Room: room(b), Location: b.Location,
		NailSide: b.NailSide, Door: b.Door, DoorOpens: b.DoorOpens, BehindDoor: b.BehindDoor(),
		Breakers: append([]string{}, has.breakers...),
		Cables:   []BoxCable{}, Splices: []Splice{}, Devices: []Device{}, Unused: []UnusedEnd{}}
	if b.Placed {
		sheet.At = b.At[:]
	}
	if b.Kind == wiring.Panel {
		sheet.Danger = panelDanger
	}
	for _, i := range has.cables {
		c := &s.spec.Cables[i]
		toward := c.To
		if b.Name == c.To {
			toward = c.From
		}
		n, _ := plates(s.region, c)
		sheet.Cables = append(sheet.Cables, BoxCable{c.Name, c.Type.Name, toward, n})
	}
	pigtails := map[switchnet.Terminal][]int{}
	for _, i := range has.splices {
		splice := Splice{Number: len(sheet.Splices) + 1, Ends: []End{}, Leads: []string{}}
		for _, j := range s.spec.Splices[i].Join {
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
		if len(splice.Ends) == 0 && len(splice.Leads) == 2 {
			splice.Says = s.pair(b.Name, s.spec.Splices[i].Join)
		}
		sheet.Splices = append(sheet.Splices, splice)
	}
	sheet.Apart = s.apart(b.Name, &sheet)
	sheet.Devices = s.devices(b.Name, pigtails)
	sheet.Stands = s.stands(b)
	for _, i := range has.cables {
		c := &s.spec.Cables[i]
		for _, core := range c.Type.Cores {
			e := wiring.End{Box: b.Name, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
			if use, ok := s.w.Use(e); ok && (use == wiring.Capped || use == wiring.Hanging) {
				sheet.Unused = append(sheet.Unused, UnusedEnd{s.end(b.Name, e.Wire), use})
			}
		}
	}
	for _, i := range has.ties {
		t := &s.spec.Ties[i]
		sheet.Ties = append(sheet.Ties, t.A.String()+" and "+t.B.String())
	}
	if b.Kind != wiring.Panel {
		s.fill(&sheet)
		if sheet.Fill != nil {
			sheet.Unstated = s.unstated(b, &sheet)
		}
	}
	return sheet
}

// pair says what two terminals that nothing else joins are, as the picture of the box does:
// a light has leads there, everything else screws.
func (s *sheets) pair(box string, join []wiring.Joint) string {
	leads := 0
	for _, j := range join {
		if _, ok := s.w.Net().Load(switchnet.Ref{Place: box, Name: j.Device}); ok {
			leads++
		}
	}
	return [...]string{"a jumper, without a connector", "the lead is on the screw, without a connector", "two leads"}[leads]
}

// apart says which splices of a box look alike and are not to be joined: neutrals, and
// unswitched hots, of several circuits or of several cables of one.
func (s *sheets) apart(box string, sheet *Box) []string {
	var out []string
	for _, kind := range []wiring.FunctionKind{wiring.Hot, wiring.NeutralConductor} {
		var numbers, are []string
		for k, i := range s.held[box].splices {
			for _, j := range s.spec.Splices[i].Join {
				if j.Device != "" {
					continue
				}
				if f, _ := s.w.FunctionAt(wiring.End{Box: box, Wire: j.Wire}); f.Kind == kind {
					numbers, are = append(numbers, fmt.Sprint(sheet.Splices[k].Number)), append(are, sheet.Splices[k].Says)
				}
				break
			}
		}
		if len(numbers) < 2 {
			continue
		}
		text := "Keep splices " + listed(numbers) + " apart"
		if len(slices.Compact(slices.Clone(are))) == 1 {
			text += ", although each is " + are[0] + ": joined, current would come back by another cable than took it out."
		} else {
			text += ": " + listed(are) + "."
		}
		out = append(out, text)
	}
	return out
}

// listed returns "1, 2 and 3".
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

func (s *sheets) end(box string, wire wiring.Wire) End {
	e := wiring.End{Box: box, Wire: wire}
	f, _ := s.w.FunctionAt(e)
	return End{wire.String(), f.In(s.speak), s.marks[e], s.tags[e]}
}

// lead names a terminal in a splice: a light comes with a lead, when the box is trimmed
// out, and to anything else goes a pigtail.
func (s *sheets) lead(box string, j wiring.Joint) string {
	if _, ok := s.w.Net().Load(switchnet.Ref{Place: box, Name: j.Device}); ok {
		return j.Terminal + " lead of " + j.Device + " (at trim)"
	}
	if j.Device == "box" {
		return "pigtail to the grounding screw of the box"
	}
	return "pigtail to " + j.Device + " " + j.Terminal
}

// fill adds the box fill to a sheet.
func (s *sheets) fill(sheet *Box) {
	table := &s.region.Box
	if table.Conductors.Spliced.Absent() && table.Conductors.Landed.Absent() {
		sheet.FillProblem = "there are no box-fill rules in " + table.Region
		return
	}
	contents, err := s.w.Contents(sheet.Name)
	if err == nil {
		var r boxfill.Result
		if r, err = boxfill.Fill(table, contents); err == nil {
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
	for _, i := range s.held[b.Name].lights {
		if l := &s.spec.Lights[i]; l.On == "" && !l.Leads.Valid() && !s.region.Box.Conductors.Spliced.Absent() {
			out = append(out, "The size of the leads of "+l.Name+" is not stated, so they are not counted.")
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

// roomOf prints what room there is and what is left. Where the rules count in milliliters
// and the box is marked in cubic inches, it says both, the milliliters rounded down to a
// tenth.
func roomOf(r *boxfill.Result) (available, spare string) {
	available, spare = r.Available.String(), r.Spare.String()
	if inches := " in3"; strings.HasSuffix(r.Required.String(), inches) || !strings.HasSuffix(available, inches) {
		return available, spare
	}
	down := func(v quantity.Volume) string {
		const step = quantity.Milliliter / 10
		rest := v % step
		if rest < 0 {
			rest += step
		}
		return (v - rest).Format(quantity.Milliliter, 1)
	}
	return available + " (" + down(r.Available) + ")", down(r.Spare)
}

// volume prints a volume in the unit in which it is a round number.
func volume(v quantity.Volume) string { return v.String() }

// Placing tells how a box is set at rough-in, in sentences: how high, on which side it is
// nailed, and the door beside it, with a warning where that covers it. There are none
// of what the job does not say.
func (b *Box) Placing() []string {
	var out []string
	if len(b.At) == 3 {
		out = append(out, fmt.Sprintf("Height as drawn: %s up, at %s along and %s across.", b.At[2], b.At[0], b.At[1]))
	}
	if b.NailSide != 0 {
		out = append(out, fmt.Sprintf("Nail side: %s, as you face the box.", b.NailSide))
	}
	if b.Door != 0 {
		text := fmt.Sprintf("Door: the box stands at its %s", b.Door)
		switch b.DoorOpens {
		case wiring.TowardBox:
			text += ", and it opens toward the box"
		case wiring.AwayFromBox:
			text += ", and it opens away from the box"
		default:
			text += "; which way it opens is not stated"
		}
		out = append(out, text+".")
	}
	return out
}

// DoorWarning warns of a box that an open door covers; empty if none does.
func (b *Box) DoorWarning() string {
	if !b.BehindDoor {
		return ""
	}
	return "The open door covers this box: whoever comes in reaches round the door for it. Before you nail it, ask whether it goes to the latch side, or the door is hung the other way."
}
