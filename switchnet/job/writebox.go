package job

import (
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/switchnet/wiring"
)

func (w *writer) box(f *fields, v *wiring.Box) {
	f.name("name", v.Name)
	if i := slices.Index(boxKinds, v.Kind); i >= 0 {
		f.raw("kind", boxWords[i])
	}
	f.count("gangs", v.Gangs)
	room := &v.Volume
	if room.Gangs != 0 {
		w.fail("box %q states its gangs for box fill apart; state them once, as Gangs of the box", v.Name)
	}
	if s := room.Sections; len(s) == 1 && s[0].Count <= 1 && s[0] != (boxfill.Section{}) {
		f.text("type", s[0].Type)
		measure(f, "volume", s[0].Marked)
	} else {
		f.nested("sections", len(s), func(p *fields, i int) {
			p.text("type", s[i].Type)
			measure(p, "volume", s[i].Marked)
			p.count("count", s[i].Count)
		})
	}
	if v.Metal {
		f.raw("material", metalWords[0])
	}
	if i := slices.Index(clampKinds, v.Clamps); i >= 0 {
		f.raw("clamps", clampWords[i])
	}
	f.nested("additions", len(room.Additions), func(p *fields, i int) {
		a := room.Additions[i]
		p.name("kind", a.Kind.String())
		p.text("type", a.Type)
		measure(p, "volume", a.Marked)
	})
	f.nested("barriers", len(room.Barriers), func(p *fields, i int) {
		b := room.Barriers[i]
		p.name("kind", b.Kind.String())
		measure(p, "volume", b.Marked)
	})
	if room.Share != (boxfill.Share{}) {
		f.raw("share", shareText(room.Share))
	}
	if v.Placed {
		f.list("at", words(v.At[:]))
	}
	f.text("location", v.Location)
	f.text("room", v.Room)
	f.yes("notice", v.Notice)
	if v.NailSide != 0 {
		f.text("nail side", v.NailSide.String())
	}
	if v.Door != 0 {
		f.text("door", v.Door.String())
	}
	if v.DoorOpens != 0 {
		f.text("door opens", v.DoorOpens.String())
	}
}

// nested writes a list of maps.
func (f *fields) nested(key string, n int, write func(p *fields, i int)) {
	if n == 0 {
		return
	}
	var parts []string
	for i := range n {
		var p fields
		write(&p, i)
		parts = append(parts, p.String())
	}
	f.raw(key, bracket(parts))
}
