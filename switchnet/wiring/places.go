package wiring

import (
	"slices"
	"strings"
)

// place is what is in a box, as indices into the lists of the Spec. Cables are in
// name order, everything else in the order of the Spec.
type place struct {
	cables, splices, landings, lights, devices []int32
}

// at returns what is in a box.
func (w *Wiring) at(box string) *place {
	w.placesOnce.Do(func() {
		w.places = make(map[string]*place, len(w.spec.Boxes))
		for i := range w.spec.Boxes {
			w.places[w.spec.Boxes[i].Name] = &place{}
		}
		put := func(box string, list func(p *place) *[]int32, i int) {
			if p, ok := w.places[box]; ok {
				l := list(p)
				*l = append(*l, int32(i))
			}
		}
		s := &w.spec
		cables := func(p *place) *[]int32 { return &p.cables }
		for i := range s.Cables {
			put(s.Cables[i].From, cables, i)
			put(s.Cables[i].To, cables, i)
		}
		for i := range s.Splices {
			put(s.Splices[i].Box, func(p *place) *[]int32 { return &p.splices }, i)
		}
		for i := range s.Landings {
			put(s.Landings[i].Box, func(p *place) *[]int32 { return &p.landings }, i)
		}
		for i := range s.Lights {
			put(s.Lights[i].Box, func(p *place) *[]int32 { return &p.lights }, i)
		}
		for i := range s.Devices {
			put(s.Devices[i].Box, func(p *place) *[]int32 { return &p.devices }, i)
		}
		for _, p := range w.places {
			slices.SortFunc(p.cables, func(a, b int32) int { return strings.Compare(s.Cables[a].Name, s.Cables[b].Name) })
		}
	})
	if p, ok := w.places[box]; ok {
		return p
	}
	return &place{}
}

// An EndUse says what a wire's end is used for.
type EndUse uint8

// What a wire's end is used for.
const (
	Landed  EndUse = iota + 1 // on a terminal
	Spliced                   // in a splice
	Capped                    // under a cap
	Hanging                   // nowhere that is said
)

// Use returns what an end is used for, or false if there is no such end; the end
// in an unknown box is none.
func (w *Wiring) Use(e End) (EndUse, bool) {
	if _, ok := w.idx.core(e.Wire); !ok {
		return 0, false
	}
	c := &w.spec.Cables[w.idx.cables[e.Wire.Cable]]
	if e.Box == "" || e.Box != c.From && e.Box != c.To {
		return 0, false
	}
	if u, ok := w.idx.ends[e]; ok {
		return u.use, true
	}
	return Hanging, true
}

// Ends returns the wire ends in a box, cables in name order, conductors as the
// cable is made up; none if there is no such box. It takes time linear in what it
// returns, and so does every other question about one box, but that the first
// looks through the whole job once.
func (w *Wiring) Ends(box string) []End {
	var out []End
	for _, i := range w.at(box).cables {
		for _, name := range w.idx.cores[i] {
			out = append(out, End{box, Wire{w.spec.Cables[i].Name, name}})
		}
	}
	return out
}
