package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// sheet is the sheet of a box as the page shows it.
type sheet struct {
	*Box
	Number   int
	Picture  *figure
	In       []entering
	Wrong    []Finding
	Was, Is  []string // what has changed since the sheet that this one replaces
	Revision int
}

// entering is a cable that enters a box.
type entering struct {
	BoxCable
	Run quantity.Length // 0: not known
	// Allowed is what is added at this end of the cable for the sheath and the free
	// conductor, 0 where nothing is.
	Allowed quantity.Length
	InPlace bool
}

// tagged are the tags of a box: those of its wires as the job has them, then those for what
// the job gives none, which say what it is: each splice with such an end, each wire on a
// screw, each that is not used; then its cables.
type tagged struct {
	Box  string
	Tags []tag
}

type tag struct{ Wire, Text string }

// sheets makes the sheets and tags that are wanted, numbered as the boxes of the job.
func (v *page) sheets() {
	cuts := map[string]*Cut{}
	for i := range v.TakeOff.Cuts {
		cuts[v.TakeOff.Cuts[i].Cable] = &v.TakeOff.Cuts[i]
	}
	for i := range v.Boxes {
		b := &v.Boxes[i]
		if !v.wants(b.Name) {
			if v.Has(TagsPart) && v.opt.Revision == nil {
				v.Tags = append(v.Tags, v.tags(b))
			}
			continue
		}
		s := sheet{Box: b, Number: i + 1, Wrong: foundIn(b.Name, v.Found), Picture: v.svg[b.Name], Was: v.of[b.Name].Was, Is: v.of[b.Name].Is, Revision: v.Revision}
		for _, c := range b.Cables {
			e := entering{BoxCable: c}
			if cut := cuts[c.Name]; cut != nil {
				e.Run, e.InPlace, e.Allowed = cut.Run, cut.InPlace, cut.To
				if v.from(c.Name) == b.Name {
					e.Allowed = cut.From
				}
			}
			s.In = append(s.In, e)
		}
		v.Sheets = append(v.Sheets, s)
		if v.Has(TagsPart) || slices.Contains(v.opt.Boxes, b.Name) {
			v.Tags = append(v.Tags, v.tags(b))
		}
	}
	if v.Has(SizingPart) {
		v.size()
	}
	v.materials()
}

func (v *page) from(cable string) string {
	i := slices.IndexFunc(v.Cables, func(c Cable) bool { return c.Name == cable })
	return v.Cables[i].From
}

func (v *page) tags(b *Box) tagged {
	t := tagged{Box: b.Name}
	for _, x := range v.s.spec.Tags {
		if x.Box == b.Name {
			t.Tags = append(t.Tags, tag{x.Wire.String(), x.Text})
		}
	}
	for _, s := range b.Splices {
		var names []string
		bare := false
		for _, e := range s.Ends {
			names = append(names, e.wire())
			bare = bare || e.Tag == ""
		}
		if bare {
			t.Tags = append(t.Tags, tag{fmt.Sprintf("Splice %d", s.Number), s.Says + ": " + strings.Join(names, ", ")})
		}
	}
	for _, d := range b.Devices {
		for _, x := range d.Terminals {
			for _, e := range x.Ends {
				if e.Tag == "" && x.Name != "ground" {
					t.Tags = append(t.Tags, tag{e.wire(), e.Says})
				}
			}
		}
	}
	for _, u := range b.Unused {
		if u.Tag == "" {
			t.Tags = append(t.Tags, tag{u.wire(), u.Use.String() + ": " + u.Says})
		}
	}
	for _, c := range b.Cables {
		t.Tags = append(t.Tags, tag{c.Name + " (" + c.Type + ")", "other end in " + known(c.Toward)})
	}
	return t
}

// sizing is a circuit with what it has and what is asked of it in protection.
type sizing struct {
	*Circuit
	Has     []string
	Wanted  []string
	NoRooms []string // boxes of which no kind of room is stated
}

// size adds the protections that the rooms of a circuit's boxes demand.
func (v *page) size() {
	sizer, err := conductor.NewSizer(v.s.region.Conductor)
	for i := range v.Circuits {
		c := sizing{Circuit: &v.Circuits[i]}
		for _, f := range v.s.spec.Feeds {
			if f.Name == c.Feed {
				for _, p := range f.Protection {
					c.Has = append(c.Has, p.String())
				}
			}
		}
		in := map[string]bool{}
		for _, name := range c.Cables {
			k := slices.IndexFunc(v.Cables, func(x Cable) bool { return x.Name == name })
			in[v.Cables[k].From], in[v.Cables[k].To] = true, true
		}
		rooms := map[string]bool{}
		for _, b := range v.s.spec.Boxes {
			switch {
			case !in[b.Name] || err != nil:
			case b.Room == "":
				c.NoRooms = append(c.NoRooms, b.Name)
			case !rooms[b.Room]:
				rooms[b.Room] = true
				for _, p := range sizer.Protections(b.Room) {
					text := fmt.Sprintf("%s: %v protection %v", b.Room, p.Kind, p.Demand)
					if covers := p.Covers(); covers != "" {
						text += ", " + covers
					}
					if !p.Source.Absent() {
						text += " [" + p.Source.String() + "]"
					}
					c.Wanted = append(c.Wanted, text)
				}
			}
		}
		v.Shown = append(v.Shown, c)
	}
}

// Off says which breakers to lock out.
func (s sheet) Off() string {
	if len(s.Breakers) == 0 {
		return "nothing, for no feed reaches it; prove it dead all the same"
	}
	return strings.Join(s.Breakers, ", ")
}

// Facts says what sort of box it is.
func (s sheet) Facts() string {
	facts := []string{s.Kind}
	if s.Gangs > 0 {
		facts = append(facts, plural(s.Gangs, "gang"))
	}
	for _, x := range []string{s.Room, s.Location} {
		if x != "" {
			facts = append(facts, x)
		}
	}
	return strings.Join(facts, "; ")
}

// Of says what a splice is, by its number.
func (s sheet) Of(splice int) string { return s.Splices[splice-1].Says }

// FoundAs returns the name of an earlier device of the box of which the same is told on how
// to find its terminals, where that is more than a few words; empty if there is none.
func (s sheet) FoundAs(device int) string {
	find := s.Devices[device].Find
	for _, d := range s.Devices[:device] {
		if len(find) > 1 && slices.Equal(d.Find, find) {
			return d.Name
		}
	}
	return ""
}

// FillLine sums up the box fill.
func (s sheet) FillLine() string {
	r := s.Fill
	if r.Available == 0 {
		return fmt.Sprintf("required %s: %s, read what is marked on the box", r.Required, r.Status)
	}
	available, spare := roomOf(r)
	return fmt.Sprintf("required %s, available %s, spare %s: %s", r.Required, available, spare, r.Status)
}

// material is what a take-off has of one kind, and the rules of its counts, each once.
type material struct {
	Heading string
	Items   []Item
	Rules   []string
	Priced  bool
}

func (v *page) materials() {
	items := v.TakeOff.Items
	for i := 0; i < len(items); {
		m := material{Heading: many[items[i].Kind]}
		for kind := items[i].Kind; i < len(items) && items[i].Kind == kind; i++ {
			m.Items = append(m.Items, items[i])
			m.Priced = m.Priced || items[i].Price > 0
			if !slices.Contains(m.Rules, items[i].Rule) {
				m.Rules = append(m.Rules, items[i].Rule)
			}
		}
		v.Materials = append(v.Materials, m)
	}
}
