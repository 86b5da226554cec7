package plan

import (
	"fmt"
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/switchnet/wiring"
)

// A Passing is cables of one type, one after the other, that only pass through the boxes
// between them: every conductor of the one is spliced to one of the other there and to
// nothing else, nor to be joined to anything by what is wanted there, but for the grounds.
// Where the way lets it, one cable can go by uncut, and the boxes hold nothing of it; a plan
// does not count on that, since only the site can tell. What else is in a box has its ground
// from the other cables there.
type Passing struct {
	Cables []string `json:"cables"` // from one end to the other
	Boxes  []string `json:"boxes"`  // between each and the next
	Type   string   `json:"type"`
	From   string   `json:"from"` // the box at one end
	To     string   `json:"to"`   // and at the other
}

// at returns the two of the cables that meet in a box, none if they do not pass through it.
func (p *Passing) at(box string) []string {
	i := slices.Index(p.Boxes, box)
	if i < 0 {
		return nil
	}
	return p.Cables[i : i+2]
}

// passing finds what only passes through boxes.
func (w *writer) passing() {
	after := map[int]int{}   // the cable that goes on from a cable, by number
	before := map[int]bool{} // whether one comes to it so
	for b := range w.sites {
		for from, to := range w.through(int32(b)) {
			after[from], before[to] = to, true
		}
	}
	for i := range w.spec.Cables {
		next, ok := after[i]
		if !ok || before[i] {
			continue
		}
		first := &w.spec.Cables[i]
		x := Passing{Cables: []string{first.Name}, Type: first.Type.Name, From: first.From}
		last := i
		for ; ok; next, ok = after[next] {
			x.Boxes = append(x.Boxes, w.spec.Cables[last].To)
			x.Cables = append(x.Cables, w.spec.Cables[next].Name)
			last = next
		}
		x.To = w.spec.Cables[last].To
		w.plan.Passing = append(w.plan.Passing, x)
	}
}

// tellPassing says of a plan whose cables have their names what only passes through boxes,
// and of a box that is too small whether it would do if that went by.
func (m *maker) tellPassing(p *Plan) {
	for _, x := range p.Passing {
		p.Notes = append(p.Notes, fmt.Sprintf("%s only pass through %s: where the way lets a cable go by them, one %s can be pulled uncut from %s to %s",
			joined(x.Cables), joined(x.Boxes), x.Type, x.From, x.To))
	}
	for i := range p.Full {
		f := &p.Full[i]
		var by []string
		for _, x := range p.Passing {
			by = append(by, x.at(f.Box)...)
		}
		if len(by) == 0 {
			continue
		}
		w, err := wiring.New(boxWithout(&p.Spec, f.Box, by))
		if err != nil {
			continue // it would be told too little, not wrongly
		}
		contents, err := w.Contents(f.Box)
		if err != nil {
			continue
		}
		if r, err := boxfill.Fill(&m.region.Box, contents); err == nil && r.Required <= f.Available {
			f.Uncut, f.Otherwise = by, r.Required
		}
	}
}

// boxWithout returns what a wiring has in one box, some of the cables there left out.
func boxWithout(s *wiring.Spec, box string, cables []string) wiring.Spec {
	in := func(at string, w wiring.Wire) bool { return at == box && !slices.Contains(cables, w.Cable) }
	out := wiring.Spec{Supply: s.Supply, Installed: s.Installed}
	near := map[string]bool{box: true} // and the boxes at the other ends
	for _, c := range s.Cables {
		if (c.From == box || c.To == box) && !slices.Contains(cables, c.Name) {
			out.Cables = append(out.Cables, c)
			near[c.From], near[c.To] = true, true
		}
	}
	for _, b := range s.Boxes {
		if near[b.Name] {
			out.Boxes = append(out.Boxes, b)
		}
	}
	for _, f := range s.Feeds {
		if f.Box == box {
			out.Feeds = append(out.Feeds, f)
		}
	}
	for _, l := range s.Lights {
		if l.Box == box {
			out.Lights = append(out.Lights, l)
		}
	}
	for _, d := range s.Devices {
		if d.Box == box {
			out.Devices = append(out.Devices, d)
		}
	}
	for _, x := range s.Splices {
		if x.Box != box {
			continue
		}
		x.Join = slices.DeleteFunc(slices.Clone(x.Join), func(j wiring.Joint) bool { return j.Device == "" && !in(box, j.Wire) })
		if len(x.Join) > 1 {
			out.Splices = append(out.Splices, x)
		}
	}
	for _, x := range s.Landings {
		if in(x.Box, x.Wire) {
			out.Landings = append(out.Landings, x)
		}
	}
	for _, x := range s.Caps {
		if in(x.Box, x.Wire) {
			out.Caps = append(out.Caps, x)
		}
	}
	return out
}

// through returns, for each cable that comes into a box and only passes through it, the one
// in which it goes on.
func (w *writer) through(b int32) map[int]int {
	in, out := map[string]string{}, map[string]string{} // by cable: the other one that its wires are spliced to
	stays := map[string]bool{}
	for _, j := range w.sites[b].joints {
		if len(j.wires) != 2 || len(j.terms) > 0 || j.used || j.wires[0].near == j.wires[1].near {
			for _, e := range j.wires {
				stays[e.wire.Cable] = true
			}
			continue
		}
		from, to := j.wires[0].wire.Cable, j.wires[1].wire.Cable
		if j.wires[0].near {
			from, to = to, from
		}
		for _, p := range []struct {
			of        map[string]string
			one, with string
		}{{in, from, to}, {out, to, from}} {
			if was, ok := p.of[p.one]; ok && was != p.with {
				stays[p.one], stays[was], stays[p.with] = true, true, true
			}
			p.of[p.one] = p.with
		}
	}
	found := map[int]int{}
	for from, to := range in {
		f, t := w.number[from], w.number[to]
		if !stays[from] && !stays[to] && out[to] == from && w.spec.Cables[f].Type.Name == w.spec.Cables[t].Type.Name && !w.existing(f) && !w.existing(t) {
			found[f] = t
		}
	}
	return found
}

// existing reports whether a cable lies there already, or is in a raceway, so that it does
// not go by a box.
func (w *writer) existing(cable int) bool {
	r := &w.m.in.Runs[w.plan.Cables[cable].Run]
	return r.Existing || r.Raceway
}
