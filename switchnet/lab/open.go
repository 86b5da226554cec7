package lab

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"example.com/switchleg/switchnet/wiring"
)

// opened is a wiring of which some joints are left to be made: what tasks that ask for
// landings and splices have in common.
type opened struct {
	j    *Job
	spec wiring.Spec // with the joints left out
	// slots are what is to be placed, in the order of the fields.
	slots []slot
	// screws are the places on screws that a slot may choose, and splices how many
	// splices there are to choose, by box.
	screws  map[string][]screw
	splices map[string]int
	pigtail bool         // slots that are screws may be left without a pigtail
	tags    []wiring.Tag // left out too, and back again whatever the answer
	judge   func() (*Judge, error)
}

// screw is a terminal of a device, light or feed, or a grounding screw.
type screw struct{ device, terminal string }

func (s screw) String() string { return s.device + " " + s.terminal }

// slot is one thing to be placed: a wire's end, the pigtail of a splice that is made
// already, or the pigtail or lead of a screw.
type slot struct {
	box   string
	joint wiring.Joint // the wire, or the screw
	// of is the splice that is made already, from which a pigtail comes.
	of    []wiring.Joint
	key   string
	field Field
}

// The choices beside screws.
const (
	choiceCap     = "under a cap"
	choiceNothing = "nothing"
)

func choiceSplice(n int) string { return "splice " + string(rune('A'+n)) }

// judgeLater returns the judge of a job, made when the first answer is marked.
func judgeLater(j *Job) func() (*Judge, error) {
	return sync.OnceValues(func() (*Judge, error) { return NewJudge(context.Background(), j) })
}

// openSwitches leaves out what is on the screws of switches, their grounding screws not
// among them; splices that have a pigtail to such a screw stay, without it.
func openSwitches(j *Job, boxes []string) *opened {
	o := &opened{j: j, spec: j.Wiring.Spec(), screws: map[string][]screw{}, judge: judgeLater(j)}
	switches := map[[2]string]bool{}
	for _, d := range o.spec.Devices {
		if !slices.Contains(boxes, d.Box) || len(d.Kind.Positions) < 2 {
			continue
		}
		switches[[2]string{d.Box, d.Name}] = true
		for _, t := range d.Kind.Terminals {
			if t != "ground" {
				o.screws[d.Box] = append(o.screws[d.Box], screw{d.Name, t})
			}
		}
	}
	is := func(box, device, terminal string) bool {
		return switches[[2]string{box, device}] && terminal != "ground"
	}
	var landings []wiring.Landing
	for _, l := range o.spec.Landings {
		if is(l.Box, l.Device, l.Terminal) {
			o.slots = append(o.slots, slot{box: l.Box, joint: wiring.Joint{Wire: l.Wire}, key: screw{l.Device, l.Terminal}.String()})
		} else {
			landings = append(landings, l)
		}
	}
	o.spec.Landings = landings
	var splices []wiring.Splice
	for _, s := range o.spec.Splices {
		var kept, out []wiring.Joint
		for _, x := range s.Join {
			if is(s.Box, x.Device, x.Terminal) {
				out = append(out, x)
			} else {
				kept = append(kept, x)
			}
		}
		if len(kept) == 0 {
			// A jumper from screw to screw stays as it is.
			splices = append(splices, s)
			continue
		}
		for _, x := range out {
			n := slot{box: s.Box, key: screw{x.Device, x.Terminal}.String(), of: kept}
			if len(kept) == 1 && len(out) == 1 {
				n.joint, n.of = kept[0], nil
			}
			o.slots = append(o.slots, n)
		}
		if len(out) == 0 || len(kept) > 1 {
			s.Join = kept
			splices = append(splices, s)
		}
	}
	o.spec.Splices = splices
	o.finish()
	return o
}

// openBox leaves out every joint of a box, with its tags and caps.
func openBox(j *Job, box string) *opened {
	o := &opened{j: j, spec: j.Wiring.Spec(), screws: map[string][]screw{}, splices: map[string]int{}, pigtail: true, judge: judgeLater(j)}
	at := map[wiring.Joint]string{}
	var landings []wiring.Landing
	for _, l := range o.spec.Landings {
		if l.Box != box {
			landings = append(landings, l)
			continue
		}
		at[wiring.Joint{Wire: l.Wire}] = screw{l.Device, l.Terminal}.String()
	}
	o.spec.Landings = landings
	var splices []wiring.Splice
	for _, s := range o.spec.Splices {
		if s.Box != box {
			splices = append(splices, s)
			continue
		}
		for _, x := range s.Join {
			at[x] = choiceSplice(o.splices[box])
		}
		o.splices[box]++
	}
	o.spec.Splices = splices
	o.spec.Caps = slices.DeleteFunc(o.spec.Caps, func(c wiring.Cap) bool {
		if c.Box == box {
			at[wiring.Joint{Wire: c.Wire}] = choiceCap
		}
		return c.Box == box
	})
	o.spec.Tags = slices.DeleteFunc(o.spec.Tags, func(t wiring.Tag) bool {
		if t.Box == box {
			o.tags = append(o.tags, t)
		}
		return t.Box == box
	})
	for _, d := range o.spec.Devices {
		if d.Box == box {
			for _, t := range d.Kind.Terminals {
				o.screws[box] = append(o.screws[box], screw{d.Name, t})
			}
			if !slices.Contains(d.Kind.Terminals, "ground") {
				o.screws[box] = append(o.screws[box], screw{d.Name, "ground"})
			}
		}
	}
	for _, l := range o.spec.Lights {
		if l.Box == box && l.On == "" {
			for _, t := range []string{"hot", "neutral", "ground"} {
				o.screws[box] = append(o.screws[box], screw{l.Name, t})
			}
		}
	}
	for _, b := range o.spec.Boxes {
		if b.Name == box && b.Metal {
			o.screws[box] = append(o.screws[box], screw{"box", "ground"})
		}
	}
	for _, e := range j.Wiring.Ends(box) {
		x := wiring.Joint{Wire: e.Wire}
		if at[x] == "" {
			at[x] = choiceCap // it hangs; a cap is better and changes nothing
		}
		o.slots = append(o.slots, slot{box: box, joint: x, key: at[x]})
	}
	for _, s := range o.screws[box] {
		x := wiring.Joint{Device: s.device, Terminal: s.terminal}
		key := at[x]
		if key == "" {
			key = choiceNothing
		}
		o.slots = append(o.slots, slot{box: box, joint: x, key: key})
	}
	o.finish()
	return o
}

// finish orders the slots and makes their fields.
func (o *opened) finish() {
	if !o.pigtail {
		// In the order of boxes and wires, which says nothing of where they were.
		slices.SortStableFunc(o.slots, func(a, b slot) int {
			return cmp.Or(strings.Compare(a.box, b.box), strings.Compare(a.what(), b.what()))
		})
	}
	for i := range o.slots {
		s := &o.slots[i]
		var choices []string
		if s.joint.Device == "" {
			for _, x := range o.screws[s.box] {
				choices = append(choices, x.String())
			}
		}
		for n := range o.splices[s.box] {
			choices = append(choices, choiceSplice(n))
		}
		if o.pigtail {
			choices = append(choices, map[bool]string{true: choiceCap, false: choiceNothing}[s.joint.Device == ""])
		}
		s.field = Field{ID: fmt.Sprintf("joint-%d", i+1), Ask: fmt.Sprintf("Box %s: where does %s go?", s.box, s.what()), Choices: choices, Points: 1}
	}
}

// what names a slot.
func (s slot) what() string {
	switch {
	case s.of != nil:
		var w []string
		for _, x := range s.of {
			w = append(w, x.String())
		}
		return "the pigtail of the splice of " + strings.Join(w, ", ")
	case s.joint.Device != "":
		return "the pigtail or lead of " + s.joint.Device + " " + s.joint.Terminal
	}
	return s.joint.Wire.String()
}

func (o *opened) fields() []Field {
	var out []Field
	for _, s := range o.slots {
		out = append(out, s.field)
	}
	return out
}

func (o *opened) key() Answer {
	a := Answer{}
	for _, s := range o.slots {
		a[s.field.ID] = s.key
	}
	return a
}

// slotsTable is what the table of slots says it is.
const slotsTable = "What is to be placed"

// table lists the slots as a sheet shows them and a program reads them: field, box, the
// wire or screw as moves name it, or the wires of the splice.
func (o *opened) table() Table {
	t := Table{Says: slotsTable, Head: []string{"field", "box", "wire or screw", "splice that it comes from"}}
	for _, s := range o.slots {
		row := []string{s.field.ID, s.box, "", ""}
		name := func(x wiring.Joint) string {
			if x.Device != "" {
				return quoteName(x.Device) + "/" + quoteName(x.Terminal)
			}
			return quoteName(x.Wire.Cable) + "/" + quoteName(x.Wire.Conductor)
		}
		if s.of == nil {
			row[2] = name(s.joint)
		} else {
			var w []string
			for _, x := range s.of {
				w = append(w, name(x))
			}
			row[3] = strings.Join(w, " ")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// wiring returns the wiring of an answer. What is not answered hangs.
func (o *opened) wiring(a Answer) (*wiring.Wiring, error) {
	spec := o.spec.Clone()
	spec.Tags = append(spec.Tags, o.tags...)
	made := map[string]map[string][]wiring.Joint{}
	for _, s := range o.slots {
		c, ok := s.field.Choice(a[s.field.ID])
		if !ok || c == choiceNothing {
			continue
		}
		if c == choiceCap {
			spec.Caps = append(spec.Caps, wiring.Cap{Box: s.box, Wire: s.joint.Wire})
			continue
		}
		on, isScrew := screw{}, false
		for _, x := range o.screws[s.box] {
			if x.String() == c {
				on, isScrew = x, true
			}
		}
		switch {
		case isScrew && s.of != nil:
			joint := wiring.Joint{Device: on.device, Terminal: on.terminal}
			i := slices.IndexFunc(spec.Splices, func(x wiring.Splice) bool { return x.Box == s.box && slices.Contains(x.Join, s.of[0]) })
			if i < 0 { // a wire with pigtails alone
				i = len(spec.Splices)
				spec.Splices = append(spec.Splices, wiring.Splice{Box: s.box, Join: slices.Clone(s.of)})
			}
			if !slices.Contains(spec.Splices[i].Join, joint) {
				spec.Splices[i].Join = append(spec.Splices[i].Join, joint)
			}
		case isScrew:
			spec.Landings = append(spec.Landings, wiring.Landing{Box: s.box, Device: on.device, Terminal: on.terminal, Wire: s.joint.Wire})
		default:
			if made[s.box] == nil {
				made[s.box] = map[string][]wiring.Joint{}
			}
			made[s.box][c] = append(made[s.box][c], s.joint)
		}
	}
	for _, box := range slices.Sorted(maps.Keys(o.splices)) {
		for i := range o.splices[box] {
			if join := made[box][choiceSplice(i)]; len(join) > 1 {
				spec.Splices = append(spec.Splices, wiring.Splice{Box: box, Join: join})
			}
		}
	}
	return wiring.New(spec)
}
