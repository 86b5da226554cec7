package plan

import "fmt"

// passing says which cables only pass through boxes: of one type, with every conductor of
// the one spliced to one of the other and to nothing else, nor to be joined to anything by
// what is wanted there, but for the grounds. Where the way lets it, one cable can go by
// uncut, and the boxes hold nothing of it; a plan does not count on that, since only the
// site can tell. What else is in a box has its ground from the other cables there.
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
		names, boxes := []string{w.spec.Cables[i].Name}, []string{}
		last := i
		for ; ok; next, ok = after[next] {
			boxes = append(boxes, w.spec.Cables[last].To)
			names = append(names, w.spec.Cables[next].Name)
			last = next
		}
		first := &w.spec.Cables[i]
		w.plan.Notes = append(w.plan.Notes, fmt.Sprintf("%s only pass through %s: where the way lets a cable go by them, one %s can be pulled uncut from %s to %s",
			joined(names), joined(boxes), first.Type.Name, first.From, w.spec.Cables[last].To))
	}
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
