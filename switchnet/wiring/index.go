package wiring

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"example.com/switchleg/switchnet"
)

// index finds entries by name, and is filled while checking that the Spec does
// not contradict itself.
type index struct {
	spec     *Spec
	problems Problems
	boxes    map[string]int
	cables   map[string]int
	owners   map[switchnet.Ref]owner // devices, lights, feeds and "box" by place
	ends     map[End]Ref             // what each wire end is used for

	// Names for messages, made at the first need and shared by all problems.
	boxNames, cableNames []string
	ownerNames           map[string][]string // by place
	kinds                map[kindIdentity]switchnet.Problems
}

// owner is something in a box that terminals belong to.
type owner struct {
	at        Ref
	terminals []string // nil for a plugged-in light, which has none of its own
}

// An End is one end of a wire: the wire in a box.
type End struct {
	Box  string
	Wire Wire
}

func newIndex(s *Spec) (*index, Problems) {
	x := &index{spec: s, boxes: map[string]int{}, cables: map[string]int{}, owners: map[switchnet.Ref]owner{}, ends: map[End]Ref{},
		kinds: map[kindIdentity]switchnet.Problems{}}
	if s.Supply.Lines == 0 {
		x.add(Ref{List: "supply"}, nil, "no supply system is stated; it is split phase, wye or single phase")
	}
	x.readBoxes()
	x.readOwners()
	x.readCables()
	x.readEnds()
	x.readWords()
	x.problems.Sort()
	return x, x.problems
}

func (x *index) add(at Ref, also *Ref, format string, args ...any) *Problem {
	p := &Problem{At: at, Also: also, Detail: fmt.Sprintf(format, args...)}
	x.problems = append(x.problems, p)
	return p
}

// name checks a name and reports whether it can be used.
func (x *index) name(at Ref, name string) bool {
	at.Field = "name"
	switch {
	case name == "":
		x.add(at, nil, "has no name")
		return false
	case strings.TrimSpace(name) != name || strings.ContainsFunc(name, unicode.IsControl):
		x.add(at, nil, "name %q has blanks at an end or a control character", name)
		return false
	case len(name) > 200:
		x.add(at, nil, "name is %d bytes long; the limit is 200", len(name))
		return false
	}
	return true
}

func (x *index) readBoxes() {
	for i := range x.spec.Boxes {
		b := &x.spec.Boxes[i]
		at := Ref{"boxes", i, "name"}
		if x.name(at, b.Name) {
			if first, ok := x.boxes[b.Name]; ok {
				x.add(at, &Ref{"boxes", first, "name"}, "a box called %q exists already", b.Name)
			} else {
				x.boxes[b.Name] = i
			}
		}
		if b.Kind < DeviceBox || b.Kind > Panel {
			x.add(Ref{"boxes", i, "kind"}, nil, "box %q has no kind; it is device, ceiling, junction or panel", b.Name)
		}
		if b.Gangs < 0 || b.Gangs > 20 {
			x.add(Ref{"boxes", i, "gangs"}, nil, "box %q has %d gangs; a box has 1 to 20", b.Name, b.Gangs)
		}
		if b.Metal {
			x.owners[switchnet.Ref{Place: b.Name, Name: "box"}] = owner{Ref{"boxes", i, "metal"}, []string{"ground"}}
		}
	}
}

// box checks that a box exists.
func (x *index) box(at Ref, name string) bool {
	at.Field = "box"
	if _, ok := x.boxes[name]; ok {
		return true
	}
	x.noBox(at, name)
	return false
}

// noBox notes that there is no box of a name.
func (x *index) noBox(at Ref, name string) {
	if x.boxNames == nil {
		x.boxNames = slices.Sorted(maps.Keys(x.boxes))
	}
	x.add(at, nil, "there is no box called %q", name).Candidates = x.boxNames
}

// ownersIn returns the names of what has terminals in a box, in name order. It is
// called once all of them are known.
func (x *index) ownersIn(box string) []string {
	if x.ownerNames == nil {
		x.ownerNames = map[string][]string{}
		for r, o := range x.owners {
			if o.terminals != nil {
				x.ownerNames[r.Place] = append(x.ownerNames[r.Place], r.Name)
			}
		}
		for _, names := range x.ownerNames {
			slices.Sort(names)
		}
	}
	return x.ownerNames[box]
}

// own enters a thing that terminals belong to.
func (x *index) own(at Ref, box, name string, terminals []string) {
	named, boxed := x.name(at, name), x.box(at, box)
	if !named || !boxed {
		return
	}
	at.Field = "name"
	ref := switchnet.Ref{Place: box, Name: name}
	if name == "box" {
		x.add(at, nil, "a device, light, feed or cable cannot be called %q, which stands for the box's grounding screw", name)
		return
	}
	if first, ok := x.owners[ref]; ok {
		x.add(at, &first.at, "%q is in box %q already; names are unique within a box", name, box)
		return
	}
	x.owners[ref] = owner{at, terminals}
}

func (x *index) readOwners() {
	s := x.spec
	for i := range s.Feeds {
		f := &s.Feeds[i]
		at := Ref{"feeds", i, ""}
		lines := f.poles()
		var terms []string
		for p := range lines {
			terms = append(terms, hot(p, len(lines)))
		}
		x.own(at, f.Box, f.Name, append(terms, "neutral", "ground"))
		if f.Poles < 0 || f.Poles > 3 || len(f.Lines) > 3 || f.Poles > 0 && len(f.Lines) > 0 && f.Poles != len(f.Lines) {
			x.add(Ref{"feeds", i, "poles"}, nil, "feed %q has %d poles on %d lines; it has 1, 2 or 3 poles, each on a line", f.Name, f.Poles, len(f.Lines))
		}
		for p, r := range lines {
			if s.Supply.Lines > 0 && (!r.Line() || !s.Supply.Has(r)) {
				x.add(Ref{"feeds", i, "lines"}, nil, "feed %q is on %v, and the supply has %d lines", f.Name, r, s.Supply.Lines)
			} else if slices.Contains(lines[:p], r) {
				x.add(Ref{"feeds", i, "lines"}, nil, "feed %q has two poles on %v", f.Name, r)
			}
		}
		if f.Breaker <= 0 {
			x.add(Ref{"feeds", i, "breaker"}, nil, "feed %q has no breaker rating", f.Name)
		}
		if f.Volts < 0 {
			x.add(Ref{"feeds", i, "volts"}, nil, "feed %q has a negative voltage", f.Name)
		}
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		at := Ref{"devices", i, ""}
		terms := slices.Clone(d.Kind.Terminals)
		if !slices.Contains(terms, "ground") {
			terms = append(terms, "ground")
		}
		x.own(at, d.Box, d.Name, terms)
		for _, p := range x.kindProblems(&d.Kind) {
			x.add(Ref{"devices", i, "kind"}, nil, "%s", p.Error())
		}
		if d.Gangs < 0 || d.Depth < 0 {
			x.add(Ref{"devices", i, "gangs"}, nil, "device %q has a negative size", d.Name)
		}
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		at := Ref{"lights", i, ""}
		if l.Power < 0 || l.Volts < 0 {
			x.add(Ref{"lights", i, "load"}, nil, "light %q has a negative load or voltage", l.Name)
		}
		if l.On == "" {
			if l.Ends != [2]string{} {
				x.add(Ref{"lights", i, "ends"}, nil, "light %q names ends without the device it is plugged into", l.Name)
			}
			x.own(at, l.Box, l.Name, []string{"hot", "neutral", "ground"})
			continue
		}
		x.own(at, l.Box, l.Name, nil)
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		if l.On == "" {
			continue
		}
		for _, e := range l.Ends {
			x.terminal(Ref{"lights", i, "ends"}, l.Box, l.On, e)
		}
		if l.Ends[0] == l.Ends[1] {
			x.add(Ref{"lights", i, "ends"}, nil, "light %q has both ends on one terminal", l.Name)
		}
	}
}

// terminal checks that a thing in a box has a terminal.
func (x *index) terminal(at Ref, box, device, name string) bool {
	o, ok := x.owners[switchnet.Ref{Place: box, Name: device}]
	if !ok || o.terminals == nil {
		at.Field = strings.Replace(at.Field, "terminal", "device", 1)
		if b, known := x.boxes[box]; known && device == "box" && !x.spec.Boxes[b].Metal {
			x.add(at, nil, "box %q is not metal, so it has no grounding screw", box)
			return false
		}
		x.add(at, nil, "box %q has no device, light or feed called %q", box, device).Candidates = x.ownersIn(box)
		return false
	}
	if !slices.Contains(o.terminals, name) {
		p := x.add(at, nil, "%q in box %q has no terminal %q", device, box, name)
		p.Candidates = slices.Clone(o.terminals)
		return false
	}
	return true
}

func (x *index) readCables() {
	s := x.spec
	for i := range s.Cables {
		c := &s.Cables[i]
		at := Ref{"cables", i, "name"}
		if x.name(at, c.Name) {
			if first, ok := x.cables[c.Name]; ok {
				x.add(at, &Ref{"cables", first, "name"}, "a cable called %q exists already", c.Name)
			} else {
				x.cables[c.Name] = i
			}
		}
		if err := c.Type.Check(); err != nil {
			x.add(Ref{"cables", i, "type"}, nil, "cable %q: %v", c.Name, err)
		}
		if c.Length < 0 {
			x.add(Ref{"cables", i, "length"}, nil, "cable %q has a negative length", c.Name)
		}
		if c.From == "" {
			x.add(Ref{"cables", i, "from"}, nil, "cable %q begins nowhere; a cable of which one end is known has it as from", c.Name)
		}
		for e, f := range []string{"from", "to"} {
			box := [2]string{c.From, c.To}[e]
			if box == "" {
				continue
			}
			if _, ok := x.boxes[box]; !ok {
				x.noBox(Ref{"cables", i, f}, box)
			} else if o, clash := x.owners[switchnet.Ref{Place: box, Name: c.Name}]; clash {
				x.add(at, &o.at, "cable %q enters box %q, which has something else of that name", c.Name, box)
			}
		}
		if c.From == c.To && c.From != "" {
			x.add(Ref{"cables", i, "to"}, nil, "cable %q runs from box %q to itself", c.Name, c.From)
		}
	}
}

// wire checks that a wire has an end in a box.
func (x *index) wire(at Ref, box string, w Wire) bool {
	i, ok := x.cables[w.Cable]
	if !ok {
		if x.cableNames == nil {
			x.cableNames = slices.Sorted(maps.Keys(x.cables))
		}
		x.add(at, nil, "there is no cable called %q", w.Cable).Candidates = x.cableNames
		return false
	}
	c := &x.spec.Cables[i]
	if !slices.Contains(conductorNames(c.Type), w.Conductor) {
		p := x.add(at, nil, "cable %q (%s) has no conductor %q", w.Cable, c.Type.Name, w.Conductor)
		p.Candidates = conductorNames(c.Type)
		return false
	}
	if box != "" && box != c.From && box != c.To {
		x.add(at, &Ref{"cables", i, "from"}, "cable %q does not enter box %q; it runs from %q to %q", w.Cable, box, c.From, cmp.Or(c.To, "an unknown box"))
		return false
	}
	return true
}

// use notes what a wire's end is used for.
func (x *index) use(at Ref, box string, w Wire) {
	e := End{box, w}
	if first, ok := x.ends[e]; ok {
		x.add(at, &first, "%s in box %q is in another place already; one end goes to one place", w, box)
		return
	}
	x.ends[e] = at
}

func (x *index) readEnds() {
	s := x.spec
	for i := range s.Splices {
		sp := &s.Splices[i]
		at := Ref{"splices", i, ""}
		if !x.box(at, sp.Box) {
			continue
		}
		if len(sp.Join) == 0 {
			x.add(Ref{"splices", i, "join"}, nil, "a splice in box %q joins nothing", sp.Box)
		}
		seen := map[Joint]bool{}
		for k, j := range sp.Join {
			at.Field = joinField(k)
			again := seen[j]
			seen[j] = true
			if again {
				x.add(at, nil, "%s is in this splice twice", j)
				continue
			}
			if x.joint(at, sp.Box, j) && j.Device == "" {
				x.use(at, sp.Box, j.Wire)
			}
		}
	}
	for i, l := range s.Landings {
		at := Ref{"landings", i, "terminal"}
		if !x.box(at, l.Box) {
			continue
		}
		x.terminal(at, l.Box, l.Device, l.Terminal)
		at.Field = "wire"
		if x.wire(at, l.Box, l.Wire) {
			x.use(at, l.Box, l.Wire)
		}
	}
	for i, c := range s.Caps {
		at := Ref{"caps", i, "wire"}
		if x.box(at, c.Box) && x.wire(at, c.Box, c.Wire) {
			x.use(at, c.Box, c.Wire)
		}
	}
}

// joinField returns "join 2".
func joinField(k int) string {
	if k < len(joinFields) {
		return joinFields[k]
	}
	return fmt.Sprintf("join %d", k)
}

// joinFields saves making a word for every joint of every splice.
var joinFields = [...]string{"join 0", "join 1", "join 2", "join 3", "join 4", "join 5", "join 6", "join 7"}

// joint checks one thing in a splice or tie.
func (x *index) joint(at Ref, box string, j Joint) bool {
	if j.Device != "" {
		return x.terminal(at, box, j.Device, j.Terminal)
	}
	return x.wire(at, box, j.Wire)
}

// readWords checks marks, tags, opens and ties.
func (x *index) readWords() {
	s := x.spec
	marks, tags, opens := map[End]int{}, map[End]int{}, map[Wire]int{}
	for i, m := range s.Marks {
		at := Ref{"marks", i, "wire"}
		if !x.box(at, m.Box) || !x.wire(at, m.Box, m.Wire) {
			continue
		}
		if first, ok := marks[End{m.Box, m.Wire}]; ok {
			x.add(at, &Ref{"marks", first, "wire"}, "%s in box %q is re-marked already", m.Wire, m.Box)
		}
		marks[End{m.Box, m.Wire}] = i
		if !m.As.Valid() {
			x.add(Ref{"marks", i, "as"}, nil, "%s in box %q is re-marked as no colour", m.Wire, m.Box)
		}
	}
	for i, t := range s.Tags {
		at := Ref{"tags", i, "wire"}
		if !x.box(at, t.Box) || !x.wire(at, t.Box, t.Wire) {
			continue
		}
		if first, ok := tags[End{t.Box, t.Wire}]; ok {
			x.add(at, &Ref{"tags", first, "wire"}, "%s in box %q has a tag already", t.Wire, t.Box)
		}
		tags[End{t.Box, t.Wire}] = i
		if strings.TrimSpace(t.Text) == "" {
			x.add(Ref{"tags", i, "says"}, nil, "the tag of %s in box %q says nothing", t.Wire, t.Box)
		}
	}
	for i, o := range s.Opens {
		at := Ref{"opens", i, ""}
		if !x.wire(at, "", o) {
			continue
		}
		if first, ok := opens[o]; ok {
			x.add(at, &Ref{"opens", first, ""}, "%s is listed as open twice", o)
		}
		opens[o] = i
	}
	ties := map[switchnet.Ref]int{}
	for i, t := range s.Ties {
		at := Ref{"ties", i, "join 0"}
		if !x.box(at, t.Box) {
			continue
		}
		x.joint(at, t.Box, t.A)
		at.Field = "join 1"
		x.joint(at, t.Box, t.B)
		if t.A == t.B {
			x.add(at, nil, "%s is tied to itself", t.A)
		}
		ref := switchnet.Ref{Place: t.Box, Name: t.String()}
		if first, ok := ties[ref]; ok {
			x.add(at, &Ref{"ties", first, ""}, "the %s is listed twice", t)
		}
		ties[ref] = i
	}
}
