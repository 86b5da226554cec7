package packet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// joints counts wire connectors by what they join, and the pigtails and jumpers that
// go to screws.
func (t *taker) joints() {
	landed := t.landedSizes()
	connector := "one for each splice of a wire or of three ends, and for each capped end"
	for i := range t.spec.Splices {
		t.joint(&t.spec.Splices[i], landed, connector)
	}
	for _, c := range t.spec.Caps {
		k := t.cores[c.Wire]
		t.count(1, Item{Kind: ConnectorItem, Name: made([]end{{size: k.size, what: metalWord(k.material)}}, false), Joined: 1, Size: k.size, Rule: connector})
	}
	hanging := 0
	for i := range t.spec.Boxes {
		for _, e := range t.w.Ends(t.spec.Boxes[i].Name) {
			if use, _ := t.w.Use(e); use == wiring.Hanging {
				hanging++
			}
		}
	}
	if hanging > 0 {
		t.note("%s in the air with no connector counted; cap what is to stay so.", plural2(hanging, "wire end hangs", "wire ends hang"))
	}
}

// end is one of the conductors in a joint.
type end struct {
	size conductor.Size
	what string // what it is beside its size, if it is no copper wire
}

func metalWord(m conductor.Material) string {
	if m == conductor.Copper {
		return ""
	}
	return m.String()
}

// joint counts what one splice needs. A light brings leads of its own; to every other
// terminal goes a pigtail, as large as the largest wire of the splice. A terminal and
// one other terminal or lead need no connector.
func (t *taker) joint(s *wiring.Splice, landed map[switchnet.Terminal]conductor.Size, rule string) {
	var wires, leads []end
	var screws []switchnet.Terminal
	var largest conductor.Size
	material := ""
	grounding := true // a joint of grounding conductors alone
	for _, j := range s.Join {
		if j.Device == "" {
			k := t.cores[j.Wire]
			wires = append(wires, end{k.size, metalWord(k.material)})
			// Of two of one size the pigtail is of the metal that comes first: copper.
			if c := k.size.Compare(largest); c > 0 || c == 0 && metalWord(k.material) < material {
				largest, material = k.size, metalWord(k.material)
			}
			grounding = grounding && k.grounding
			continue
		}
		grounding = grounding && j.Terminal == "ground"
		if l := t.lights[switchnet.Ref{Place: s.Box, Name: j.Device}]; l != nil {
			leads = append(leads, end{l.Leads, "lead"})
			continue
		}
		screws = append(screws, switchnet.Terminal{Place: s.Box, Device: j.Device, Name: j.Terminal})
	}
	if len(wires) == 0 && len(screws) > 0 {
		for _, at := range screws {
			largest = larger(largest, landed[at])
		}
		switch {
		case len(screws)+len(leads) == 1:
			return // a terminal joined to nothing
		case len(screws) == 1 && len(leads) == 1:
			return // the lead is on the screw
		case len(screws) == 2 && len(leads) == 0:
			t.count(1, Item{Kind: JumperItem, Name: tail(largest, material, grounding), Size: largest, Rule: "one for each two terminals that are joined by nothing else"})
			return
		}
	}
	ends := append(wires, leads...)
	for range screws {
		ends = append(ends, end{largest, strings.TrimSpace(material + " pigtail")})
	}
	for _, at := range screws {
		rule := "one for each terminal in a splice, as large as its largest wire"
		if free, ok := t.rule(rules.FreeConductor); ok {
			rule += ", each at least " + cited(free) + " long"
		}
		t.count(1, Item{Kind: PigtailItem, Name: tail(largest, material, at.Name == "ground"), Size: largest, Rule: rule})
	}
	most := largest
	for _, l := range leads {
		most = larger(most, l.size)
	}
	t.count(1, Item{Kind: ConnectorItem, Name: made(ends, grounding), Joined: len(ends), Size: most, Rule: rule})
}

// made names a joint: "2 x 14 AWG + 1 x 18 AWG lead", the largest first and wires
// before what else there is.
func made(ends []end, grounding bool) string {
	count := map[end]int{}
	for _, e := range ends {
		count[e]++
	}
	var kinds []end
	for e := range count {
		kinds = append(kinds, e)
	}
	slices.SortFunc(kinds, func(a, b end) int {
		return cmp.Or(b.size.Compare(a.size), strings.Compare(a.what, b.what))
	})
	var parts []string
	for _, e := range kinds {
		if e.size.Valid() {
			parts = append(parts, strings.TrimSpace(fmt.Sprintf("%d x %s %s", count[e], e.size, e.what)))
		} else {
			parts = append(parts, plural(count[e], e.what)+" (size not stated)")
		}
	}
	name := strings.Join(parts, " + ")
	if grounding {
		return "grounding, " + name
	}
	return name
}

// tail names a pigtail or jumper.
func tail(s conductor.Size, material string, grounding bool) string {
	name := "size not stated"
	if s.Valid() {
		name = strings.TrimSpace(s.String() + " " + material)
	}
	if grounding {
		name += ", grounding"
	}
	return name
}

func larger(a, b conductor.Size) conductor.Size {
	if b.Compare(a) > 0 {
		return b
	}
	return a
}

// landedSizes returns the largest wire on every terminal, directly or by a splice
// with it.
func (t *taker) landedSizes() map[switchnet.Terminal]conductor.Size {
	out := map[switchnet.Terminal]conductor.Size{}
	for _, l := range t.spec.Landings {
		at := switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}
		out[at] = larger(out[at], t.cores[l.Wire].size)
	}
	for _, s := range t.spec.Splices {
		var most conductor.Size
		for _, j := range s.Join {
			if j.Device == "" {
				most = larger(most, t.cores[j.Wire].size)
			}
		}
		for _, j := range s.Join {
			if j.Device != "" {
				at := switchnet.Terminal{Place: s.Box, Device: j.Device, Name: j.Terminal}
				out[at] = larger(out[at], most)
			}
		}
	}
	return out
}
