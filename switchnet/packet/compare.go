package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/switchnet/plan"
)

// Compare returns the boxes whose sheets say something else than they did in an earlier
// packet of the job, with what they said and say, in sentences: those of the new packet in
// its order, then those that are no more in the order of the old one. It is what
// [Revised].Boxes wants. The sentences are for reading and not stable.
func Compare(was, is *Document) []plan.BoxChange {
	old := map[string][]string{}
	for i := range was.Boxes {
		old[was.Boxes[i].Name] = was.sentences(i)
	}
	var out []plan.BoxChange
	here := map[string]bool{}
	for i := range is.Boxes {
		name := is.Boxes[i].Name
		here[name] = true
		then, now := old[name], is.sentences(i)
		c := plan.BoxChange{Box: name, Was: without(then, now), Is: without(now, then)}
		if len(c.Was)+len(c.Is) > 0 {
			out = append(out, c)
		}
	}
	for i := range was.Boxes {
		if name := was.Boxes[i].Name; !here[name] {
			out = append(out, plan.BoxChange{Box: name, Was: old[name]})
		}
	}
	return out
}

// without returns what is in one list and not in another, in order.
func without(list, other []string) []string {
	var out []string
	for _, s := range list {
		if !slices.Contains(other, s) {
			out = append(out, s)
		}
	}
	return out
}

// sentences are what the sheet of a box says.
func (d *Document) sentences(box int) []string {
	b := &d.Boxes[box]
	facts := []string{b.Kind}
	if b.Gangs > 0 {
		facts = append(facts, plural(b.Gangs, "gang"))
	}
	for _, s := range []string{b.Room, b.Location} {
		if s != "" {
			facts = append(facts, s)
		}
	}
	out := append([]string{"It is: " + strings.Join(facts, "; ") + "."}, b.Placing()...)
	off := "nothing"
	if len(b.Breakers) > 0 {
		off = listed(b.Breakers)
	}
	out = append(out, "Lock out: "+off+".")
	for _, c := range b.Cables {
		text := fmt.Sprintf("Cable %s, %s, to %s", c.Name, c.Type, known(c.Toward))
		if i := slices.IndexFunc(d.Cables, func(x Cable) bool { return x.Name == c.Name }); i >= 0 && d.Cables[i].Length > 0 {
			text += ", " + d.Cables[i].Length.String()
		}
		if c.NailPlates > 0 {
			text += ", " + plural(c.NailPlates, "nail plate")
		}
		out = append(out, text+".")
	}
	end := func(e End) string {
		text := e.wire()
		if e.Tag != "" {
			text += " tagged " + e.tag()
		}
		return text
	}
	for _, s := range b.Splices {
		var join []string
		for _, e := range s.Ends {
			join = append(join, end(e))
		}
		text := fmt.Sprintf("Splice %d: %s", s.Number, listed(append(join, s.Leads...)))
		if s.Says != "" {
			text += "; " + s.Says
		}
		out = append(out, text+".")
	}
	out = append(out, b.Apart...)
	if s := b.Standing(); s != "" {
		out = append(out, s)
	}
	for _, v := range b.Devices {
		kind := v.Kind
		if v.Yoke != "" {
			kind += ", on yoke " + v.Yoke
		}
		if len(v.Terminals) == 0 {
			out = append(out, fmt.Sprintf("%s: %s.", v.Name, v.Kind))
		}
		for _, t := range v.Terminals {
			var on []string
			for _, e := range t.Ends {
				on = append(on, end(e)+", "+e.Says)
			}
			for _, n := range t.Pigtails {
				on = append(on, fmt.Sprintf("from splice %d", n))
			}
			if len(on) == 0 {
				on = []string{"nothing"}
			}
			out = append(out, fmt.Sprintf("%s (%s), %s: %s.", v.Name, kind, t.Name, strings.Join(on, "; ")))
		}
	}
	for _, u := range b.Unused {
		out = append(out, fmt.Sprintf("%s: %s; %s.", end(u.End), u.Use, u.Says))
	}
	for _, t := range b.Ties {
		out = append(out, "Touching: "+t+".")
	}
	if r := b.Fill; r != nil {
		text := fmt.Sprintf("Box fill: required %s", r.Required)
		if r.Status != boxfill.VolumeUnknown {
			available, _ := roomOf(r)
			text += ", available " + available
		}
		out = append(out, fmt.Sprintf("%s: %s.", text, r.Status))
	}
	if b.FillProblem != "" {
		out = append(out, "Box fill: "+b.FillProblem+".")
	}
	return out
}
