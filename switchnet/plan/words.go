package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// does are the words for roles.
var does = [...]string{roleHot: "hot", roleNeutral: "neutral", roleLeg: "switch leg", roleCommon: "common", roleTraveler: "traveler", roleSpare: "spare"}

// listed joins words that say why something is so, of many the first and how many more.
func listed(words []string) string {
	const most = 4
	if len(words) > most {
		words = append(slices.Clone(words[:most-1]), fmt.Sprintf("%d more", len(words)-most+1))
	}
	return joined(words)
}

// many says how many of something there are.
func many(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// joined joins words that somebody goes by, and so all of them.
func joined(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// needName says what a need is for.
func (m *maker) needName(n need) string {
	if f := m.in.Needs[n.index].For; f != "" {
		return f
	}
	return n.kind.String() + " in " + m.in.Boxes[n.box].Name
}

// why says why a conductor is on the run from node v to its parent, with the clients
// of its cable.
func (w *writer) why(l *layout, v int32, id netID, inside map[int]bool) string {
	m, t := w.m, l.t
	box := func(n int32) string { return m.in.Boxes[t.box[n]].Name }
	shapes := w.m.found[id.circuit].shapes
	var words []string
	switch id.role {
	case roleHot:
		for _, c := range w.class[id.class].clients {
			if !inside[c] || !l.want(c, v, shapes).hot {
				continue
			}
			if c >= len(l.groups) {
				words = append(words, m.needName(l.needs[c-len(l.groups)]))
				continue
			}
			name, tour := m.in.Controls[l.groups[c].control].Name, l.tourOf(c, shapes[c])
			if shapes[c].scheme == intent.JoinedCommons {
				words = append(words, fmt.Sprintf("the travelers of %s in %s", name, listed([]string{box(tour[0]), box(tour[1])})))
			} else {
				words = append(words, fmt.Sprintf("%s in %s", name, box(tour[0])))
			}
		}
		return "unswitched hot to " + listed(words)
	case roleNeutral:
		var kept []string
		for _, c := range w.class[id.class].clients {
			if !inside[c] || !l.want(c, v, shapes).neutral {
				continue
			}
			if c >= len(l.groups) {
				words = append(words, m.needName(l.needs[c-len(l.groups)]))
				continue
			}
			for k, n := range l.light[c] {
				if t.within(n, v) {
					words = append(words, m.in.Lights[l.groups[c].lights[k]].Name)
				}
			}
			for k, n := range l.end[c] {
				if l.groups[c].keep[k] && t.within(n, v) && !slices.Contains(kept, box(n)) {
					kept = append(kept, box(n))
				}
			}
		}
		switch {
		case len(words) == 0:
			return "neutral kept for controls at " + listed(kept) + " (" + w.neutralSection() + ")"
		case len(kept) == 0:
			return "neutral of " + listed(words)
		}
		return "neutral of " + listed(words) + ", and for controls at " + listed(kept) + " (" + w.neutralSection() + ")"
	case roleLeg:
		// Below the run is either the last switch, so that the leg comes back
		// from there, or only lights.
		for k, n := range l.light[id.client] {
			if t.within(n, v) {
				words = append(words, m.in.Lights[l.groups[id.client].lights[k]].Name)
			}
		}
		name := m.in.Controls[l.groups[id.client].control].Name
		if sh := shapes[id.client]; t.within(l.end[id.client][sh.b], v) {
			return fmt.Sprintf("switch leg of %s back from %s", name, box(l.end[id.client][sh.b]))
		}
		if len(words) == 0 {
			return fmt.Sprintf("switch leg of %s", name)
		}
		return fmt.Sprintf("switch leg of %s to %s", name, listed(words))
	case roleCommon:
		tour := l.tourOf(id.client, shapes[id.client])
		return fmt.Sprintf("joins the commons of %s in %s and %s", m.in.Controls[l.groups[id.client].control].Name, box(tour[0]), box(tour[1]))
	case roleTraveler:
		tour := l.tourOf(id.client, shapes[id.client])
		return fmt.Sprintf("traveler of %s from %s to %s", m.in.Controls[l.groups[id.client].control].Name, box(tour[id.section]), box(tour[id.section+1]))
	}
	return m.needName(l.needs[id.client-len(l.groups)])
}

// neutralSection cites the rule for a neutral at switches.
func (w *writer) neutralSection() string {
	return w.m.region.Wiring.Neutral.Rule.Source.Section
}

// whyCable says why a cable is the one it is.
func (w *writer) whyCable(ci int, sp *splitter, v int32, inside map[int]bool, l load, ch choice, typ conductor.CableType) string {
	need := fmt.Sprintf("%d conductors and a ground", l.total())
	if l.total() == 1 {
		need = "1 conductor and a ground"
	}
	shared := ""
	if len(inside) < len(sp.clients[v]) {
		var names []string
		for _, c := range sp.clients[v] {
			if name := w.clientName(ci, c); inside[c] && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		shared = ", for " + listed(names) + " alone"
		if l.neutrals > 0 {
			shared += ", with a neutral of its own, so that it carries back what it carries out"
		}
	}
	switch ch.product {
	case looseProduct:
		return "a raceway: " + need + shared
	case ownProduct:
		if w.m.in.Runs[sp.l.t.run[v]].Existing {
			return "the cable that lies there: it is to hold " + need + shared
		}
		return "the only cable that fits the run: it is to hold " + need + shared
	}
	return "the cheapest cable for " + need + shared
}

// clientName names a client of a circuit.
func (w *writer) clientName(ci, client int) string {
	c := &w.m.circuits[ci]
	if client < len(c.groups) {
		return w.m.in.Controls[c.groups[client].control].Name
	}
	return w.m.needName(c.needs[client-len(c.groups)])
}

// tags writes what stands on the tags of the ends in a box: of a traveler its pair
// and where it goes or comes from, so that whoever trims the box out can land any
// pair by what the device on hand is metered to be; of a hot which way it comes; of
// a leg its control; of a neutral whose it is, where there are several.
func (w *writer) tags(b int32, joints []*joint) {
	box := w.m.in.Boxes[b].Name
	count := map[role]int{}
	circuits := map[int]bool{}
	for _, j := range joints {
		if len(j.wires) > 0 {
			count[j.id.role]++
			circuits[j.id.circuit] = true
		}
	}
	for _, j := range joints {
		for _, e := range j.wires {
			if text := w.tag(box, j, e, count, len(circuits) > 1); text != "" {
				w.spec.Tags = append(w.spec.Tags, wiring.Tag{Box: box, Wire: e.wire, Text: text})
			}
		}
	}
}

// other returns the box at the other end of a cable.
func (w *writer) other(cable, box string) string {
	c := &w.spec.Cables[w.number[cable]]
	if c.From == box {
		return c.To
	}
	return c.From
}

func (w *writer) tag(box string, j *joint, e wireEnd, count map[role]int, several bool) string {
	id := j.id
	feed := w.m.in.Feeds[w.m.circuits[id.circuit].feed].Name
	whose := func() string {
		cl := w.class[id.class]
		if len(cl.clients) == w.m.circuits[id.circuit].clients() {
			return feed
		}
		var names []string
		for _, c := range cl.clients {
			names = append(names, w.clientName(id.circuit, c))
		}
		text := listed(names)
		if several {
			text += " of " + feed
		}
		return text
	}
	switch id.role {
	case roleHot:
		text := "hot in"
		if e.near {
			text = "hot on to " + w.other(e.wire.Cable, box)
		}
		if !e.near && len(j.wires) == 1 && len(j.terms) == 0 {
			text = "hot, kept"
		}
		if count[roleHot] > 1 || several {
			text += ", " + whose()
		}
		return text
	case roleNeutral:
		if count[roleNeutral] > 1 {
			return whose() + " neutral"
		}
		if !e.near && len(j.wires) == 1 && len(j.terms) == 0 {
			return "neutral, kept for a control"
		}
		return ""
	case roleSpare:
		if n := w.m.in.Needs[w.m.circuits[id.circuit].needs[id.client-len(w.m.circuits[id.circuit].groups)].index]; n.For != "" {
			return "spare to " + n.Box + " for " + n.For
		}
		return "spare"
	}
	name := w.clientName(id.circuit, id.client)
	switch id.role {
	case roleLeg:
		return name + " leg"
	case roleCommon:
		return name + " commons"
	}
	order := w.plan.Controls[w.m.circuits[id.circuit].groups[id.client].control].Order
	from, to := order[id.section], order[id.section+1]
	switch box {
	case from:
		return fmt.Sprintf("%s pair to %s", name, to)
	case to:
		return fmt.Sprintf("%s pair from %s", name, from)
	}
	return fmt.Sprintf("%s pair from %s to %s", name, from, to)
}
