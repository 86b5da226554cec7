package plan

import (
	"context"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// kept is what an old wiring has of a circuit that can be kept.
type kept struct {
	runs   map[int32]bool
	shapes []*shape // by group; nil where there is none to be kept
}

// readKept finds, for every circuit, the runs and shapes that an old wiring has.
func (m *maker) readKept(w *wiring.Wiring) []kept {
	out := make([]kept, len(m.circuits))
	of := map[string]int{} // the circuit of each feed, control and light, by what it is and its name
	for ci := range m.circuits {
		c := &m.circuits[ci]
		out[ci].runs = map[int32]bool{}
		feed := &m.in.Feeds[c.feed]
		of["feed "+feed.Name] = ci
		for g := range c.groups {
			control := &m.in.Controls[c.groups[g].control]
			of["control "+control.Name] = ci
			for _, l := range control.Lights {
				of["light "+l] = ci
			}
			out[ci].shapes = append(out[ci].shapes, keptShape(w, control, feed))
		}
	}
	spec := w.Spec()
	var spares []int32
	for i := range spec.Cables {
		c := &spec.Cables[i]
		run := m.runOf(c)
		if ci, ok := circuitOf(w, c, of); ok && run >= 0 {
			out[ci].runs[run] = true
		} else if run >= 0 {
			spares = append(spares, run)
		}
	}
	m.keepSpares(out, spares)
	return out
}

// keepSpares gives runs whose cables hold spare conductors alone to circuits that want
// spares: each to the first that comes to one of its ends, until none does.
func (m *maker) keepSpares(out []kept, spares []int32) {
	for again := true; again; {
		again = false
		for i, run := range spares {
			if run < 0 {
				continue
			}
			r := &m.in.Runs[run]
			from, to := m.boxes[r.From], m.boxes[r.To]
			for ci := range m.circuits {
				c := &m.circuits[ci]
				if !slices.ContainsFunc(c.needs, func(n need) bool { return n.kind == intent.SpareConductor }) {
					continue
				}
				comes := c.root == from || c.root == to
				for k := range out[ci].runs {
					o := &m.in.Runs[k]
					a, b := m.boxes[o.From], m.boxes[o.To]
					comes = comes || a == from || a == to || b == from || b == to
				}
				if comes {
					out[ci].runs[run] = true
					spares[i], again = -1, true
					break
				}
			}
		}
	}
}

// circuitOf returns the circuit that a cable is for, by what its conductors do.
func circuitOf(w *wiring.Wiring, c *wiring.Cable, of map[string]int) (int, bool) {
	for _, core := range c.Type.Cores {
		f, _ := w.Function(wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()})
		if f.Kind == wiring.GroundConductor {
			continue
		}
		for _, by := range []struct {
			what string
			refs []switchnet.Ref
		}{{"feed ", f.Feeds}, {"light ", f.Lights}, {"control ", f.Devices}} {
			if len(by.refs) > 0 {
				if ci, ok := of[by.what+by.refs[0].Name]; ok {
					return ci, true
				}
			}
		}
	}
	return 0, false
}

// runOf returns the run along which an old cable goes: between its boxes, of several
// the one that is most like it, or -1.
func (m *maker) runOf(c *wiring.Cable) int32 {
	best, most := int32(-1), -1
	b, ok := m.boxes[c.From]
	if !ok {
		return -1
	}
	for _, s := range m.ways[b] {
		r := &m.in.Runs[s.run]
		if m.in.Boxes[s.to].Name != c.To {
			continue
		}
		like := 0
		if r.Length == c.Length {
			like += 2
		}
		if r.Raceway == (c.Type.Construction == conductor.Loose) {
			like++
		}
		if like > most {
			best, most = s.run, like
		}
	}
	return best
}

// keptShape returns how a control is wired, or nil if it is not as a plan would wire it.
func keptShape(w *wiring.Wiring, c *intent.Control, feed *wiring.Feed) *shape {
	refs, missing := c.Switches(w)
	if len(missing) > 0 || len(refs) == 0 {
		return nil
	}
	for _, d := range w.Spec().Devices {
		if d.Name == c.Name && !slices.Contains(c.Places, d.Box) {
			return nil // it had a place more
		}
	}
	if len(refs) == 1 {
		return &shape{intent.Chain, 0, 0}
	}
	hot := switchnet.Terminal{Place: feed.Box, Device: feed.Name, Name: "hot"}
	net := w.Net()
	ends := make([]int, 0, 2)
	hotEnd, throws := -1, 0
	for i, r := range refs {
		d, _ := net.Device(r)
		if !slices.Contains(d.Kind.Terminals, "common") {
			continue
		}
		ends = append(ends, i)
		if net.Joined(hot, r.Terminal("common")) {
			hotEnd = i
		}
		if net.Joined(hot, r.Terminal("traveler 1")) || net.Joined(hot, r.Terminal("traveler 2")) {
			throws++
		}
	}
	switch {
	case len(ends) != 2:
		return nil
	case throws == 2 && len(refs) == 2:
		return &shape{intent.JoinedCommons, 0, 1}
	case hotEnd < 0:
		return nil
	case hotEnd == ends[0]:
		return &shape{intent.Chain, ends[0], ends[1]}
	}
	return &shape{intent.Chain, ends[1], ends[0]}
}

// keep finds the plan of the circuit that keeps most of an old one, if one with room
// for everything keeps its runs.
func (r *router) keep(ctx context.Context, k kept) (found, bool, error) {
	use, boxes := map[int32]bool{}, map[int32]bool{r.c.root: true}
	for queue := []int32{r.c.root}; len(queue) > 0; queue = queue[1:] {
		for _, s := range r.ways[queue[0]] {
			if k.runs[s.run] && !boxes[s.to] {
				use[s.run], boxes[s.to] = true, true
				queue = append(queue, s.to)
			}
		}
	}
	r.grow(use, boxes)
	t := treeOf(r.ways, r.c.root, func(run int32) bool { return use[run] }, func(b int32) bool { return r.wanted[b] })
	s := r.searcher(t)
	var free []int // groups that have no shape to keep
	all := make([][]shape, len(r.c.groups))
	for g := range all {
		all[g] = r.c.groups[g].shapes()
		if k.shapes[g] != nil && slices.Contains(all[g], *k.shapes[g]) {
			all[g] = []shape{*k.shapes[g]}
		} else {
			free = append(free, g)
		}
	}
	f, ok, err := s.among(ctx, all, nil)
	if err != nil || ok && f.score.lack == 0 {
		return f, ok, err
	}
	// One control more.
	var best found
	some := false
	for g := range all {
		if slices.Contains(free, g) {
			continue
		}
		now := slices.Clone(all)
		now[g] = r.c.groups[g].shapes()
		var beat *score
		if some {
			beat = &best.score
		}
		f, better, err := s.among(ctx, now, beat)
		if err != nil {
			return found{}, false, err
		}
		if better && f.score.lack == 0 {
			best, some = f, true
		}
	}
	if some {
		return best, true, nil
	}
	f, ok, err = s.search(ctx, nil)
	return f, ok && f.score.lack == 0, err
}
