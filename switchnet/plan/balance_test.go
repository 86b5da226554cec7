package plan_test

import (
	"fmt"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// unbalanced returns the cables that could carry out more than they carry back. With a
// cable taken away nothing may lead from its one end to its other any more: by no
// wire, switch, light or feed, grounds left out. Whatever flows through such a cable
// comes back in it, in every state and whatever the lights draw, for it has no other
// way.
func unbalanced(w *wiring.Wiring) []string {
	var out []string
	spec := w.Spec()
	number := map[switchnet.Terminal]int32{}
	for t := range w.Net().Terminals() {
		number[t] = int32(len(number))
	}
	// Pairs that are joined or could be, those of cables first.
	type pair struct{ a, b int32 }
	var always []pair
	join := func(a, b switchnet.Terminal) {
		// A pigtail to a grounding screw is ground, and so is what lands there.
		if a.Name != "ground" && b.Name != "ground" {
			always = append(always, pair{number[a], number[b]})
		}
	}
	at := map[switchnet.Ref]switchnet.Terminal{} // a terminal of each device, light and feed
	glue := func(ts ...switchnet.Terminal) {
		for _, t := range ts {
			if first, ok := at[t.Owner()]; ok {
				join(first, t)
			} else {
				at[t.Owner()] = t
			}
		}
	}
	for _, f := range spec.Feeds {
		ref := switchnet.Ref{Place: f.Box, Name: f.Name}
		glue(ref.Terminal("hot"), ref.Terminal("neutral"))
	}
	for _, l := range spec.Lights {
		ref := switchnet.Ref{Place: l.Box, Name: l.Name}
		glue(ref.Terminal("hot"), ref.Terminal("neutral"))
	}
	for _, d := range spec.Devices {
		for _, t := range d.Kind.Terminals {
			glue(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: t})
		}
	}
	grounds := map[wiring.Wire]bool{}
	for _, c := range spec.Cables {
		for _, core := range c.Type.Cores {
			grounds[wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}] = core.Grounding
		}
	}
	in := func(box string, j wiring.Joint) switchnet.Terminal {
		if j.Device != "" {
			return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
		}
		return j.Wire.In(box)
	}
	for _, s := range spec.Splices {
		for _, j := range s.Join[1:] {
			if !grounds[s.Join[0].Wire] && !grounds[j.Wire] {
				join(in(s.Box, s.Join[0]), in(s.Box, j))
			}
		}
	}
	for _, l := range spec.Landings {
		join(l.Wire.In(l.Box), switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal})
	}
	for i, without := range spec.Cables {
		sets := unionfind.New(len(number))
		for _, p := range always {
			sets.Union(p.a, p.b)
		}
		var near, far []int32
		for k, c := range spec.Cables {
			for _, core := range c.Type.Cores {
				if core.Grounding {
					continue
				}
				wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
				a, b := number[wire.In(c.From)], number[wire.In(c.To)]
				if k != i {
					sets.Union(a, b)
					continue
				}
				near, far = append(near, a), append(far, b)
			}
		}
		for _, a := range near {
			for _, b := range far {
				if sets.Find(a) == sets.Find(b) {
					out = append(out, fmt.Sprintf("cable %s: there is another way from %s to %s", without.Name, without.From, without.To))
				}
			}
		}
	}
	return out
}
