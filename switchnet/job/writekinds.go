package job

import (
	"fmt"

	"example.com/switchleg/switchnet"
)

// kinds returns the kinds that are not built in.
func (w *writer) kinds() []switchnet.Kind {
	out, wrong := w.f.ownKinds()
	for _, why := range wrong {
		w.fail("%s", why)
	}
	return out
}

// ownKinds returns the kinds that are not built in, those of the devices first, and
// what is wrong with the kinds that were met.
func (f *File) ownKinds() (own []switchnet.Kind, wrong []string) {
	known := map[string]*switchnet.Kind{}
	kinds := builtIn()
	for i := range kinds {
		known[kinds[i].Name] = &kinds[i]
	}
	add := func(k *switchnet.Kind, of func() string) {
		first, ok := known[k.Name]
		switch {
		case !ok:
			known[k.Name] = k
			own = append(own, *k)
			if k.Breaker {
				wrong = append(wrong, of()+" is a breaker, which the file has under feeds only")
			}
		case !sameKind(first, k):
			wrong = append(wrong, fmt.Sprintf("%s is of a kind called %q, and so is another kind", of(), k.Name))
		}
	}
	for i := range f.Wiring.Devices {
		d := &f.Wiring.Devices[i]
		add(&d.Kind, func() string { return fmt.Sprintf("device %q in box %q", d.Name, d.Box) })
	}
	for i := range f.Kinds {
		k := &f.Kinds[i]
		add(k, func() string { return fmt.Sprintf("kind %q", k.Name) })
	}
	return own, wrong
}

func (w *writer) kind(f *fields, k *switchnet.Kind) {
	f.name("name", k.Name)
	f.list("terminals", k.Terminals)
	var positions, inside []string
	for _, p := range k.Positions {
		var pf fields
		pf.name("name", p.Name)
		var joins []string
		for _, g := range p.Joins {
			joins = append(joins, bracket(quoted(g)))
		}
		if len(joins) > 0 {
			pf.raw("joins", bracket(joins))
		}
		positions = append(positions, pf.String())
	}
	f.raw("positions", bracket(positions))
	for _, l := range k.Internal {
		var lf fields
		lf.name("name", l.Name)
		lf.name("from", l.From)
		lf.name("to", l.To)
		inside = append(inside, lf.String())
	}
	if len(inside) > 0 {
		f.raw("inside", bracket(inside))
	}
	f.yes("electronic", k.Electronic)
	f.yes("dimmer", k.Dimmer)
}
