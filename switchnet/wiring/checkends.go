package wiring

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// use notes what a wire's end is used for.
func (x *index) use(box string, w Wire, u endUse) {
	e := End{box, w}
	if first, ok := x.ends[e]; ok {
		also := first.ref()
		x.add(u.ref(), &also, "%s in box %q is in another place already; one end goes to one place", w, box)
		return
	}
	x.ends[e] = u
}

// joint checks one thing in a splice or tie.
func (x *index) joint(at Ref, box string, j Joint) bool {
	switch {
	case j == Joint{}:
		x.add(at, nil, "is empty; it is a wire, or a terminal of something in the box")
		return false
	case j.Wire != Wire{} && (j.Device != "" || j.Terminal != ""):
		x.add(at, nil, "is both the wire %s and the terminal %s.%s; it is one of them", j.Wire, j.Device, j.Terminal)
		return false
	case j.Wire != Wire{}:
		return x.wire(at, box, j.Wire)
	}
	return x.terminal(at, box, j.Device, j.Terminal)
}

func (x *index) readSplices() {
	jumpers := map[switchnet.Ref]int{} // splices without wires
	for i := range x.spec.Splices {
		sp := &x.spec.Splices[i]
		at := Ref{"splices", i, ""}
		if !x.box(at, sp.Box) {
			continue
		}
		if len(sp.Join) == 0 {
			x.add(Ref{"splices", i, "join"}, nil, "a splice in box %q joins nothing", sp.Box)
			continue
		}
		seen := make(map[Joint]bool, len(sp.Join))
		wires := false
		for k, j := range sp.Join {
			at.Field = joinField(k)
			wires = wires || j.Device == ""
			if seen[j] {
				x.add(at, nil, "%s is in this splice twice", j)
				continue
			}
			seen[j] = true
			if x.joint(at, sp.Box, j) && j.Device == "" {
				x.use(sp.Box, j.Wire, endUse{Spliced, int32(i), int32(k)})
			}
		}
		if wires {
			continue
		}
		ref := switchnet.Ref{Place: sp.Box, Name: sp.name()}
		if first, ok := jumpers[ref]; ok {
			x.add(Ref{"splices", i, "join"}, &Ref{"splices", first, "join"}, "the terminals of this splice are joined in another already")
			continue
		}
		jumpers[ref] = i
	}
}

// readEnds checks landings and caps.
func (x *index) readEnds() {
	for i, l := range x.spec.Landings {
		at := Ref{"landings", i, "terminal"}
		if !x.box(at, l.Box) {
			continue
		}
		x.terminal(at, l.Box, l.Device, l.Terminal)
		at.Field = "wire"
		if x.wire(at, l.Box, l.Wire) {
			x.use(l.Box, l.Wire, endUse{use: Landed, index: int32(i)})
		}
	}
	for i, c := range x.spec.Caps {
		at := Ref{"caps", i, "wire"}
		if x.box(at, c.Box) && x.wire(at, c.Box, c.Wire) {
			x.use(c.Box, c.Wire, endUse{use: Capped, index: int32(i)})
		}
	}
}

// readWords checks marks, tags and opens.
func (x *index) readWords() {
	s := x.spec
	marks, tags, opens := map[End]int{}, map[End]int{}, map[Wire]int{}
	for i, m := range s.Marks {
		if !m.As.Valid() {
			x.add(Ref{"marks", i, "as"}, nil, "%s in box %q is re-marked as no colour", m.Wire, m.Box)
		}
		at := Ref{"marks", i, "wire"}
		if !x.box(at, m.Box) || !x.wire(at, m.Box, m.Wire) {
			continue
		}
		if first, ok := marks[End{m.Box, m.Wire}]; ok {
			x.add(at, &Ref{"marks", first, "wire"}, "%s in box %q is re-marked already", m.Wire, m.Box)
			continue
		}
		marks[End{m.Box, m.Wire}] = i
	}
	for i, t := range s.Tags {
		switch {
		case strings.TrimSpace(t.Text) == "":
			x.add(Ref{"tags", i, "says"}, nil, "the tag of %s in box %q says nothing", t.Wire, t.Box)
		case strings.ContainsFunc(t.Text, misleads):
			x.add(Ref{"tags", i, "says"}, nil, "the tag of %s in box %q has a control character; write it in one line", t.Wire, t.Box)
		}
		at := Ref{"tags", i, "wire"}
		if !x.box(at, t.Box) || !x.wire(at, t.Box, t.Wire) {
			continue
		}
		if first, ok := tags[End{t.Box, t.Wire}]; ok {
			x.add(at, &Ref{"tags", first, "wire"}, "%s in box %q has a tag already", t.Wire, t.Box)
			continue
		}
		tags[End{t.Box, t.Wire}] = i
	}
	for i, o := range s.Opens {
		at := Ref{"opens", i, ""}
		if !x.wire(at, "", o) {
			continue
		}
		if first, ok := opens[o]; ok {
			x.add(at, &Ref{"opens", first, ""}, "%s is listed as open twice", o)
			continue
		}
		opens[o] = i
	}
}

func (x *index) readTies() {
	ties := map[Tie]int{}
	for i, t := range x.spec.Ties {
		at := Ref{"ties", i, "join 0"}
		if !x.box(at, t.Box) {
			continue
		}
		x.joint(at, t.Box, t.A)
		at.Field = "join 1"
		x.joint(at, t.Box, t.B)
		if t.A == t.B {
			x.add(at, nil, "%s is tied to itself", t.A)
			continue
		}
		if first, ok := ties[t.sorted()]; ok {
			x.add(Ref{"ties", i, ""}, &Ref{"ties", first, ""}, "the %s is listed twice", t)
			continue
		}
		ties[t.sorted()] = i
	}
}

// sorted returns the tie with its joints in their order.
func (t Tie) sorted() Tie {
	if slices.Compare(t.A.words(), t.B.words()) > 0 {
		t.A, t.B = t.B, t.A
	}
	return t
}
