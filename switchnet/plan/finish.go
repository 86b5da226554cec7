package plan

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// A Lack is a run that has room for too few conductors, in the plan that lacks
// fewest.
type Lack struct {
	Run  int    `json:"run"` // of the intent
	From string `json:"from"`
	To   string `json:"to"`
	Feed string `json:"feed"`
	// Conductors are what the run would have to carry for the feed, each with its
	// reason, the grounding conductor left out.
	Conductors []Conductor `json:"conductors"`
	// Short is how many of them there is no room for.
	Short int `json:"short"`
	// Unusable says that there is room for none because the cable of the run may not be
	// used, or because another circuit uses it.
	Unusable bool `json:"unusable,omitzero"`
	// Why says it in a sentence.
	Why string `json:"why"`
}

func cloned(m map[int32]bool) map[int32]bool {
	out := make(map[int32]bool, len(m)+1)
	for k, v := range m {
		out[k] = v
	}
	return out
}

// finish makes the plan of what was found.
func (m *maker) finish(ctx context.Context) (*Plan, error) {
	p := &Plan{Status: Optimal, Unit: "conductor-feet", Notes: m.notes}
	var sum score
	bound := m.bound
	for i := range m.circuits {
		if m.circuits[i].clients() == 0 {
			continue
		}
		p.Unit = m.stores[i].unit
		sum = sum.add(m.found[i].score)
	}
	p.Cost, p.Bound = sum.cost, bound.cost
	for _, st := range m.stores {
		if st != nil {
			p.work += st.asked
		}
	}
	switch {
	case sum.lack > 0 && bound.lack > 0:
		p.Status = Infeasible
	case sum.lack > 0:
		p.Status = NoneFound
	case bound.less(sum):
		p.Status = BestFound
	}
	if m.opt != nil && m.opt.trial {
		return p, nil
	}
	if sum.lack > 0 {
		p.Cost, p.Bound = 0, 0
		m.lacks(p)
		if !m.unlawful(p) {
			p.Notes = append(p.Notes, m.parting())
		}
		if m.opt == nil || !m.opt.noChanges && !m.opt.Plain {
			if err := m.changes(ctx, p); err != nil {
				return nil, err
			}
		}
		p.Spec = wiring.Spec{Supply: m.in.Supply, Feeds: m.in.Feeds, Boxes: m.in.Boxes, Lights: m.in.Lights}.Clone()
		return p, nil
	}
	if err := m.write(p); err != nil {
		return nil, err
	}
	w, err := wiring.New(p.Spec)
	if err != nil {
		return nil, fmt.Errorf("plan: the wiring made contradicts itself: %w", err)
	}
	m.fill(p, w)
	if m.opt != nil && m.opt.Plain {
		return p, nil
	}
	if err := m.compare(ctx, p); err != nil {
		return nil, err
	}
	if len(p.Full) > 0 && (m.opt == nil || !m.opt.noChanges) {
		if err := m.roomier(ctx, p); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// Gap returns by how much the plan may cost more than the best of the family.
func (p *Plan) Gap() rules.Amount { return p.Cost - p.Bound }

// unlawful reports whether all that is lacking is a cable that may be used at all.
func (m *maker) unlawful(p *Plan) bool {
	return !slices.ContainsFunc(p.Lacks, func(l Lack) bool {
		c := &m.in.Runs[l.Run].Cable
		of := slices.IndexFunc(m.circuits, func(c circuit) bool { return m.in.Feeds[c.feed].Name == l.Feed })
		return c.Name == "" || m.stores[of].lawful(*c) == nil
	})
}

// parting says that no plan parts what goes out and comes back over two cables, and what
// the rules say of it.
func (m *maker) parting() string {
	text := "no plan parts what goes out and what comes back over two cables, which then do not balance"
	may, permitted := m.region.Wiring.Rule(rules.SplitInNonmetallic)
	must, required := m.region.Wiring.Rule(rules.CircuitTogether)
	switch {
	case permitted && may.Says == rules.Permitted:
		text += fmt.Sprintf("; %v lets it be done where cables, boxes and whatever they pass through are not of magnetic metal, so ask the inspector before you think of it", may.Source)
	case required && must.Says == rules.Required:
		text += fmt.Sprintf("; %v wants the conductors of a circuit together", must.Source)
	}
	return text
}

// lacks names the runs of the plan that lacks fewest.
func (m *maker) lacks(p *Plan) {
	p.Controls = make([]Control, len(m.in.Controls))
	for i := range p.Controls {
		p.Controls[i].Name = m.in.Controls[i].Name
	}
	w := &writer{m: m, plan: p, sites: make([]site, len(m.in.Boxes)), class: map[int]*classOf{},
		devices: make([][]wiring.Device, len(m.in.Boxes)), lit: make([][]string, len(m.in.Boxes))}
	for ci := range m.circuits {
		if m.circuits[ci].clients() == 0 {
			continue
		}
		f := &m.found[ci]
		l := newLayout(&m.circuits[ci], f.t)
		private := w.private(ci, l, f.shapes, w.devices)
		if f.score.lack == 0 {
			continue
		}
		sp := newSplitter(l, m.stores[ci], m.in.Runs, f.shapes, newSharedSplits())
		parts := make([]partition, f.t.size())
		for v := int32(1); int(v) < f.t.size(); v++ {
			if len(sp.clients[v]) == 0 {
				continue
			}
			apart := sp.shared.together(len(sp.clients[v]))
			if u := f.t.parent[v]; u > 0 {
				apart = sp.beyond(u, v, parts[u])
			}
			cables := sp.best(v, apart).cables
			parts[v] = meet(apart, cables)
			short := sp.cost(v, parts[v], cables).lack
			if short == 0 {
				continue
			}
			p.Lacks = append(p.Lacks, w.lack(ci, sp, v, short, private[v]))
		}
	}
}

// lack says what the run from node v to its parent has no room for.
func (w *writer) lack(ci int, sp *splitter, v int32, short int, private []netID) Lack {
	m, t := w.m, sp.l.t
	run := t.run[v]
	r := &m.in.Runs[run]
	out := Lack{Run: int(run), From: m.in.Boxes[t.box[t.parent[v]]].Name, To: m.in.Boxes[t.box[v]].Name,
		Feed: m.in.Feeds[sp.l.feed].Name, Short: short}
	inside := map[int]bool{}
	hot, neutral := false, false
	for i, c := range sp.clients[v] {
		inside[c] = true
		hot, neutral = hot || sp.wants[v][i].hot, neutral || sp.wants[v][i].neutral
	}
	class := w.newClass(ci, sp.clients[v])
	var ids []netID
	if hot {
		ids = append(ids, netID{circuit: ci, role: roleHot, class: class})
	}
	if neutral {
		ids = append(ids, netID{circuit: ci, role: roleNeutral, class: class})
	}
	for _, id := range append(ids, private...) {
		out.Conductors = append(out.Conductors, Conductor{Does: does[id.role], Why: w.why(sp.l, v, id, inside)})
	}
	n := len(out.Conductors)
	out.Unusable = r.Cable.Name != "" && (m.stores[ci].taken[run] || m.stores[ci].lawful(r.Cable) != nil)
	switch {
	case r.Cable.Name != "" && m.stores[ci].taken[run]:
		out.Why = fmt.Sprintf("the run from %s to %s has one cable, %s, and another circuit uses it", out.From, out.To, r.Cable.Name)
	case r.Cable.Name != "" && m.stores[ci].lawful(r.Cable) != nil:
		out.Why = fmt.Sprintf("the cable from %s to %s may not be used: %v", out.From, out.To, m.stores[ci].lawful(r.Cable))
	case r.Cable.Name != "" && !r.Cable.GroundingSize().Valid():
		out.Why = fmt.Sprintf("from %s to %s %d conductors and a ground are needed, and %s has room for %d conductors and has no ground; nothing else may stand in for it",
			out.From, out.To, n, r.Cable.Name, n+1-short)
	case r.Cable.Name != "":
		out.Why = fmt.Sprintf("from %s to %s %d conductors are needed beside the ground, and %s has room for %d of them; the ground carries nothing else, and a neutral's colour only what the rules let it be marked for",
			out.From, out.To, n, r.Cable.Name, n-short)
	case r.Raceway:
		out.Why = fmt.Sprintf("from %s to %s there are not enough colours for %d conductors", out.From, out.To, n)
	default:
		out.Why = fmt.Sprintf("from %s to %s %d conductors are needed beside the ground, and no cable of the stock, nor several that balance, has room for more than %d of them", out.From, out.To, n, n-short)
	}
	return out
}
