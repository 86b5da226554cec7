package plan

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// marking is a core that is marked at both ends.
type marking struct {
	cable, core int
	role        role             // of a common that of a traveler
	as          conductor.Colour // zero for a line on a core of a neutral's colour: see remarks
}

// remarks chooses the colours in which lines on cores of a neutral's colour are marked:
// for all hots of the job one, one for all travelers, joined commons among them, and one
// for all legs, so that whoever trims the boxes out meets a hot marked alike wherever it
// comes by. Each has the first line colour that no core of any of its cables has and that
// none before it has; where the colours do not go round, one that another has too, or in
// one cable another than elsewhere. What an old plan marked them with goes before.
func (w *writer) remarks() {
	line := paletteOf(&w.m.region.Wiring).line
	free := func(c conductor.Colour, only int, r role) bool {
		return !slices.ContainsFunc(w.markings, func(k marking) bool {
			if k.role != r || k.as != (conductor.Colour{}) || only >= 0 && k.cable != only {
				return false
			}
			_, has := w.spec.Cables[k.cable].Type.Core(c)
			return has
		})
	}
	var colour [roleNeutral + 1]conductor.Colour
	for _, r := range []role{roleHot, roleTraveler, roleLeg} {
		if !slices.ContainsFunc(w.markings, func(k marking) bool { return k.role == r && k.as == (conductor.Colour{}) }) {
			continue
		}
		other := func(c conductor.Colour) bool { return !slices.Contains(colour[:], c) }
		if was := w.m.marked[r]; slices.Contains(line, was) && other(was) {
			colour[r] = was
			continue
		}
		for _, ok := range []func(conductor.Colour) bool{
			func(c conductor.Colour) bool { return other(c) && free(c, -1, r) },
			func(c conductor.Colour) bool { return free(c, -1, r) },
			other,
			func(conductor.Colour) bool { return true },
		} {
			if i := slices.IndexFunc(line, ok); i >= 0 {
				colour[r] = line[i]
				break
			}
		}
	}
	w.doubt()
	for _, k := range w.markings {
		c := &w.spec.Cables[k.cable]
		wire := wiring.Wire{Cable: c.Name, Conductor: c.Type.Cores[k.core].Colour.String()}
		as := k.as
		if as == (conductor.Colour{}) {
			as = colour[k.role]
			if _, taken := c.Type.Core(as); taken {
				other := func(c conductor.Colour) bool { return free(c, k.cable, k.role) && !slices.Contains(colour[:], c) }
				beside := func(c conductor.Colour) bool {
					return slices.ContainsFunc(w.plan.Cables[k.cable].Conductors, func(o Conductor) bool { return o.Marked == c.String() })
				}
				for _, ok := range []func(conductor.Colour) bool{other, func(c conductor.Colour) bool { return free(c, k.cable, k.role) && !beside(c) }} {
					if i := slices.IndexFunc(line, ok); i >= 0 {
						as = line[i]
						break
					}
				}
			}
		}
		w.plan.Cables[k.cable].Conductors[k.core].Marked = as.String()
		w.spec.Marks = append(w.spec.Marks, wiring.Mark{Box: c.From, Wire: wire, As: as}, wiring.Mark{Box: c.To, Wire: wire, As: as})
	}
}

// doubt says so where a plan rests on a rule of low confidence: that a line may be on a
// core of a neutral's colour, or that the return from a switch may.
func (w *writer) doubt() {
	for _, x := range []struct {
		name rules.Name
		on   func(role) bool
		may  string
	}{
		{rules.RemarkedWhiteAsLine, func(r role) bool { return r != roleLeg }, "a line"},
		{rules.RemarkedWhiteAsReturn, func(r role) bool { return r == roleLeg }, "the return from a switch"},
	} {
		rule, ok := w.m.region.Wiring.Rule(x.name)
		used := slices.ContainsFunc(w.markings, func(k marking) bool { return k.as == (conductor.Colour{}) && x.on(k.role) })
		if ok && used && rule.Source.Confidence == conductor.LowConfidence {
			w.plan.Notes = append(w.plan.Notes, fmt.Sprintf("%s is on a conductor of a neutral's colour, marked at both ends, by %v: have that confirmed", x.may, rule.Source))
		}
	}
}

// readMarked finds how an old wiring marks lines on cores of a neutral's colour: by role
// the colour that most of its marks have, of equals the first in the order of the rules.
func (m *maker) readMarked(w *wiring.Wiring) {
	pal := paletteOf(&m.region.Wiring)
	spec := w.Spec()
	cables := map[string]*wiring.Cable{}
	for i := range spec.Cables {
		cables[spec.Cables[i].Name] = &spec.Cables[i]
	}
	count := map[role]map[conductor.Colour]int{}
	for _, k := range spec.Marks {
		c, ok := cables[k.Wire.Cable]
		if !ok || !slices.ContainsFunc(pal.neutral, func(n conductor.Colour) bool { return n.String() == k.Wire.Conductor }) {
			continue
		}
		f, _ := w.Function(wiring.Wire{Cable: c.Name, Conductor: k.Wire.Conductor})
		r, ok := map[wiring.FunctionKind]role{wiring.Hot: roleHot, wiring.Traveler: roleTraveler, wiring.SwitchLeg: roleLeg}[f.Kind]
		if !ok {
			continue
		}
		if count[r] == nil {
			count[r] = map[conductor.Colour]int{}
		}
		count[r][k.As]++
	}
	m.marked = map[role]conductor.Colour{}
	for r, by := range count {
		best := 0
		for _, c := range pal.line {
			if by[c] > best {
				best, m.marked[r] = by[c], c
			}
		}
	}
}
