package plan

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// rename gives the cables of a plan the names that they had, and returns the wiring.
func (p *Plan) rename(was *wiring.Wiring) (*wiring.Wiring, error) {
	old := was.Spec()
	stand(&p.Spec, old.Devices)
	w, err := wiring.New(p.Spec)
	if err != nil {
		return nil, err
	}
	next := 1 // the first number above all that were used
	for i := range old.Cables {
		if n, err := strconv.Atoi(strings.TrimPrefix(old.Cables[i].Name, "C")); err == nil && strings.HasPrefix(old.Cables[i].Name, "C") && n < 1<<30 {
			next = max(next, n+1)
		}
	}
	// First those that are what they were, then those of the same run and circuit,
	// then those of the same run.
	taken := make([]bool, len(old.Cables))
	of := make([]int, len(p.Spec.Cables)) // the old cable of each
	for i := range of {
		of[i] = -1
	}
	for _, key := range []func(*wiring.Wiring, *wiring.Cable) string{sameCable, sameCircuit, sameWay} {
		have := map[string][]int{}
		for k := range old.Cables {
			if !taken[k] {
				s := key(was, &old.Cables[k])
				have[s] = append(have[s], k)
			}
		}
		for i := range of {
			if of[i] >= 0 {
				continue
			}
			s := key(w, &p.Spec.Cables[i])
			if list := have[s]; len(list) > 0 {
				of[i], taken[list[0]], have[s] = list[0], true, list[1:]
			}
		}
	}
	name := map[string]string{}
	order := make([]int, len(of))
	for i := range of {
		order[i] = i
		c := &p.Spec.Cables[i]
		if of[i] < 0 {
			name[c.Name] = fmt.Sprintf("C%d", next)
			of[i] = len(old.Cables) + next
			next++
			continue
		}
		o := old.Cables[of[i]]
		name[c.Name] = o.Name
		if sameCable(w, c) == sameCable(was, &o) {
			c.From, c.To, c.Installed = o.From, o.To, o.Installed
			c.Entries, c.Apart = o.Entries, o.Apart // what was measured at it
		}
	}
	// The old ones in their order, then the new.
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(of[i], of[j]) })
	var cables []wiring.Cable
	var records []Cable
	for _, i := range order {
		cable, record := p.Spec.Cables[i], p.Cables[i]
		cable.Name, record.Name = name[cable.Name], name[record.Name]
		cables, records = append(cables, cable), append(records, record)
	}
	p.Spec.Cables, p.Cables = cables, records
	for _, x := range p.Passing {
		for i := range x.Cables {
			x.Cables[i] = name[x.Cables[i]]
		}
	}
	eachWire(&p.Spec, func(w *wiring.Wire) { w.Cable = name[w.Cable] })
	return wiring.New(p.Spec)
}

// ends returns the boxes of a cable, in the order of their names.
func ends(c *wiring.Cable) string { return min(c.From, c.To) + "\x00" + max(c.From, c.To) }

// sameWay tells cables apart that do not go along the same way.
func sameWay(_ *wiring.Wiring, c *wiring.Cable) string { return ends(c) }

// sameCircuit tells cables apart that do not go along the same way for the same feed.
func sameCircuit(w *wiring.Wiring, c *wiring.Cable) string {
	feeds := map[string]bool{}
	text := ends(c) + c.Length.String()
	for _, core := range c.Type.Cores {
		f, _ := w.Function(wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()})
		for _, r := range f.Feeds {
			if f.Kind != wiring.GroundConductor && !feeds[r.Name] {
				feeds[r.Name] = true
				text += "\x00" + r.Name
			}
		}
	}
	return text
}

// sameCable tells cables apart that differ in anything.
func sameCable(w *wiring.Wiring, c *wiring.Cable) string {
	text := ends(c) + c.Length.String() + "\x00" + c.Type.Name
	for _, core := range c.Type.Cores {
		f, _ := w.Function(wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()})
		text += "\x00" + core.Colour.String() + " " + f.String()
	}
	return text
}

// sheet is what the wiring says of one box.
type sheet struct {
	splices  []wiring.Splice
	landings []wiring.Landing
	caps     []wiring.Cap
	marks    []wiring.Mark
	tags     []wiring.Tag
	lines    []string // what it says, in order
}

// sheetsOf returns the sheets of a wiring by box.
func sheetsOf(w *wiring.Wiring, s *wiring.Spec) map[string]*sheet {
	out := map[string]*sheet{}
	for i := range s.Boxes {
		out[s.Boxes[i].Name] = &sheet{}
	}
	say := func(box, format string, args ...any) {
		out[box].lines = append(out[box].lines, fmt.Sprintf(format, args...))
	}
	for _, f := range s.Feeds {
		say(f.Box, "feed %s on a breaker of %v, %v %v", f.Name, f.Breaker, f.Volts, f.Lines)
	}
	for _, d := range s.Devices {
		gang := ""
		if d.Gang > 0 {
			gang = fmt.Sprintf(", gang %d from the left", d.Gang)
		}
		say(d.Box, "switch %s, %s%s", d.Name, d.Kind.Name, gang)
	}
	for _, l := range s.Lights {
		say(l.Box, "light %s, %v", l.Name, l.Power)
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, pair := range [][2]string{{c.From, c.To}, {c.To, c.From}} {
			box, other := pair[0], pair[1]
			if out[box] == nil {
				continue
			}
			say(box, "cable %s, %s, %v to %s", c.Name, c.Type.Name, c.Length, other)
			for _, core := range c.Type.Cores {
				wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
				f, _ := w.FunctionAt(wiring.End{Box: box, Wire: wire})
				say(box, "%v is %v", wire, f)
			}
		}
	}
	for _, x := range s.Splices {
		sh := out[x.Box]
		sh.splices = append(sh.splices, x)
		var words []string
		for _, j := range x.Join {
			words = append(words, j.String())
		}
		slices.Sort(words)
		say(x.Box, "spliced: %s", strings.Join(words, ", "))
	}
	for _, x := range s.Landings {
		out[x.Box].landings = append(out[x.Box].landings, x)
		say(x.Box, "%v is on %s %s", x.Wire, x.Device, x.Terminal)
	}
	for _, x := range s.Caps {
		out[x.Box].caps = append(out[x.Box].caps, x)
		say(x.Box, "%v is capped", x.Wire)
	}
	for _, x := range s.Marks {
		out[x.Box].marks = append(out[x.Box].marks, x)
		say(x.Box, "%v is marked %v", x.Wire, x.As)
	}
	for _, x := range s.Tags {
		out[x.Box].tags = append(out[x.Box].tags, x)
		say(x.Box, "%v has the tag %q", x.Wire, x.Text)
	}
	return out
}

// restore puts back the entries of every box whose sheet says what it said, in the
// order that they had, and returns the boxes whose sheets do not.
func (p *Plan) restore(was, is *wiring.Wiring) []BoxChange {
	before, now := was.Spec(), is.Spec()
	old, fresh := sheetsOf(was, &before), sheetsOf(is, &now)
	stated := map[string]wiring.Box{}
	for _, b := range before.Boxes {
		stated[b.Name] = b
	}
	s := &p.Spec
	s.Splices, s.Landings, s.Caps, s.Marks, s.Tags = nil, nil, nil, nil, nil
	var out []BoxChange
	for _, b := range s.Boxes {
		sheet := fresh[b.Name]
		change := BoxChange{Box: b.Name, Is: sheet.lines}
		if o := old[b.Name]; o != nil {
			change.Was, change.Is = without(o.lines, sheet.lines), without(sheet.lines, o.lines)
			if !reflect.DeepEqual(stated[b.Name], b) {
				change.Is = append(change.Is, "the box itself is stated otherwise")
			}
			if len(change.Was)+len(change.Is) == 0 {
				sheet = o
			}
		}
		if len(change.Was)+len(change.Is) > 0 {
			out = append(out, change)
		}
		s.Splices, s.Landings = append(s.Splices, sheet.splices...), append(s.Landings, sheet.landings...)
		s.Caps, s.Marks, s.Tags = append(s.Caps, sheet.caps...), append(s.Marks, sheet.marks...), append(s.Tags, sheet.tags...)
	}
	for _, b := range before.Boxes {
		if fresh[b.Name] == nil {
			out = append(out, BoxChange{Box: b.Name, Was: old[b.Name].lines})
		}
	}
	return out
}

// without returns the lines of a that b has not, in their order.
func without(a, b []string) []string {
	count := map[string]int{}
	for _, l := range b {
		count[l]++
	}
	var out []string
	for _, l := range a {
		if count[l]--; count[l] < 0 {
			out = append(out, l)
		}
	}
	return out
}

// eachWire calls a function for every wire that is named in splices, landings, caps,
// marks and tags.
func eachWire(s *wiring.Spec, do func(*wiring.Wire)) {
	for i := range s.Splices {
		for k := range s.Splices[i].Join {
			if j := &s.Splices[i].Join[k]; j.Device == "" {
				do(&j.Wire)
			}
		}
	}
	for i := range s.Landings {
		do(&s.Landings[i].Wire)
	}
	for i := range s.Caps {
		do(&s.Caps[i].Wire)
	}
	for i := range s.Marks {
		do(&s.Marks[i].Wire)
	}
	for i := range s.Tags {
		do(&s.Tags[i].Wire)
	}
}
