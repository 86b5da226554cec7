package plan

import (
	"slices"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// terminals puts the terminals of switches and lights on their nets, and notes on which
// nets there is a need in a box.
func (w *writer) terminals(ci int, l *layout, shapes []shape, classes []map[int]int) {
	in := w.m.in
	put := func(v int32, id netID, t terminal) {
		j := w.joint(l.t.box[v], id)
		j.terms = append(j.terms, t)
	}
	for g := range l.groups {
		gr, sh := &l.groups[g], shapes[g]
		name := in.Controls[gr.control].Name
		tour := l.tourOf(g, sh)
		n := len(tour)
		hot := func(v int32) netID { return netID{circuit: ci, role: roleHot, class: classes[v][g]} }
		leg := netID{circuit: ci, role: roleLeg, client: g}
		traveler := func(i, which int) netID {
			return netID{circuit: ci, role: roleTraveler, client: g, section: i, which: which}
		}
		for i, v := range tour {
			on := func(id netID, terminalName string) { put(v, id, terminal{device: name, name: terminalName}) }
			switch {
			case n == 1:
				on(hot(v), "line")
				on(leg, "load")
			case sh.scheme == intent.JoinedCommons:
				on(netID{circuit: ci, role: roleCommon, client: g}, "common")
				on(hot(v), "traveler 1")
				on(leg, "traveler 2")
			case i == 0:
				on(hot(v), "common")
				on(traveler(0, 0), "traveler 1")
				on(traveler(0, 1), "traveler 2")
			case i == n-1:
				on(leg, "common")
				on(traveler(i-1, 0), "traveler 1")
				on(traveler(i-1, 1), "traveler 2")
			default:
				on(traveler(i-1, 0), "pair 1 first")
				on(traveler(i-1, 1), "pair 1 second")
				on(traveler(i, 0), "pair 2 first")
				on(traveler(i, 1), "pair 2 second")
			}
		}
		for k, v := range l.light[g] {
			light := in.Lights[gr.lights[k]].Name
			w.lit[l.t.box[v]] = append(w.lit[l.t.box[v]], light)
			put(v, leg, terminal{light, "hot", true})
			put(v, netID{circuit: ci, role: roleNeutral, class: classes[v][g]}, terminal{light, "neutral", true})
		}
	}
	for i, n := range l.needs {
		client, v := len(l.groups)+i, l.needAt[i]
		use := func(id netID) { w.joint(l.t.box[v], id).used = true }
		switch n.kind {
		case intent.UnswitchedPower:
			use(netID{circuit: ci, role: roleHot, class: classes[v][client]})
			use(netID{circuit: ci, role: roleNeutral, class: classes[v][client]})
		case intent.NeutralOnly:
			use(netID{circuit: ci, role: roleNeutral, class: classes[v][client]})
		}
	}
}

// box writes the splices, landings, caps and tags of one box.
func (w *writer) box(b int32) {
	s := &w.sites[b]
	box := w.m.in.Boxes[b].Name
	joints := make([]*joint, 0, len(s.joints))
	for _, j := range s.joints {
		joints = append(joints, j)
	}
	slices.SortFunc(joints, func(a, b *joint) int { return a.id.compare(b.id) })
	panel := w.m.in.Boxes[b].Kind == wiring.Panel
	for _, j := range joints {
		w.join(box, panel, j)
	}
	w.ground(b, panel)
	for _, wire := range s.unused {
		w.spec.Caps = append(w.spec.Caps, wiring.Cap{Box: box, Wire: wire})
	}
	w.tags(b, joints)
}

// join writes what becomes of one net in one box.
func (w *writer) join(box string, panel bool, j *joint) {
	wires, terms := len(j.wires), len(j.terms)
	bar := panel && j.id.role == roleNeutral && terms == 1 && wires > 0
	switch {
	case bar || wires == 1 && terms == 1 && !j.terms[0].lead:
		// A bar of a panel has a screw for each neutral.
		for _, e := range j.wires {
			w.spec.Landings = append(w.spec.Landings, wiring.Landing{Box: box, Device: j.terms[0].device, Terminal: j.terms[0].name, Wire: e.wire})
		}
	case wires == 1 && terms == 0:
		w.spec.Caps = append(w.spec.Caps, wiring.Cap{Box: box, Wire: j.wires[0].wire})
	case wires+terms > 1:
		var all []wiring.Joint
		for _, e := range j.wires {
			all = append(all, wiring.Joint{Wire: e.wire})
		}
		for _, t := range j.terms {
			all = append(all, wiring.Joint{Device: t.device, Terminal: t.name})
		}
		w.spec.Splices = append(w.spec.Splices, wiring.Splice{Box: box, Join: all})
	}
}

// ground joins the grounds of a box with everything in it that is to be grounded.
func (w *writer) ground(b int32, panel bool) {
	box := &w.m.in.Boxes[b]
	wires := w.sites[b].grounds
	var all []wiring.Joint
	var feeds []string
	for _, wire := range wires {
		all = append(all, wiring.Joint{Wire: wire})
	}
	used := len(wires) > 0
	for i := range w.m.in.Feeds {
		if f := &w.m.in.Feeds[i]; f.Box == box.Name && w.m.circuits[i].clients() > 0 {
			feeds = append(feeds, f.Name)
			used = true
		}
	}
	if !used {
		return
	}
	if panel && len(feeds) > 0 && len(wires) > 0 {
		// Every cable brings its ground to the bar beside the feed it is of.
		for _, wire := range wires {
			w.spec.Landings = append(w.spec.Landings, wiring.Landing{Box: box.Name, Device: w.feedOf(wire.Cable, feeds), Terminal: "ground", Wire: wire})
		}
		if rest := w.grounded(b); len(rest) > 0 {
			w.spec.Splices = append(w.spec.Splices, wiring.Splice{Box: box.Name, Join: append([]wiring.Joint{{Device: feeds[0], Terminal: "ground"}}, rest...)})
		}
		return
	}
	for _, f := range feeds {
		all = append(all, wiring.Joint{Device: f, Terminal: "ground"})
	}
	all = append(all, w.grounded(b)...)
	switch {
	case len(all) == 1 && len(wires) == 1:
		w.spec.Caps = append(w.spec.Caps, wiring.Cap{Box: box.Name, Wire: wires[0]})
	case len(all) > 1:
		w.spec.Splices = append(w.spec.Splices, wiring.Splice{Box: box.Name, Join: all})
	}
}

// grounded returns what is to be grounded in a box beside its cables.
func (w *writer) grounded(b int32) []wiring.Joint {
	var all []wiring.Joint
	for _, d := range w.devices[b] {
		all = append(all, wiring.Joint{Device: d.Name, Terminal: "ground"})
	}
	for _, l := range w.lit[b] {
		all = append(all, wiring.Joint{Device: l, Terminal: "ground"})
	}
	if w.m.in.Boxes[b].Metal {
		all = append(all, wiring.Joint{Device: "box", Terminal: "ground"})
	}
	return all
}

// feedOf returns the feed of a planned cable, if it is one of those given, or the
// first of them.
func (w *writer) feedOf(cable string, feeds []string) string {
	if f := w.of[cable]; slices.Contains(feeds, f) {
		return f
	}
	return feeds[0]
}
