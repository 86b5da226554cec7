package plan

import (
	"cmp"
	"container/heap"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// tryOpening opens the runs that are there only if needed, one and then all.
func (m *maker) tryOpening(try tryFunc) {
	all := *m.in
	all.Runs = slices.Clone(all.Runs)
	var names []string
	for i, r := range m.in.Runs {
		if !r.IfNeeded {
			continue
		}
		all.Runs[i].IfNeeded = false
		names = append(names, fmt.Sprintf("from %s to %s", r.From, r.To))
		one := *m.in
		one.Runs = slices.Clone(one.Runs)
		one.Runs[i].IfNeeded = false
		try(Change{Kind: OpenRun, Says: fmt.Sprintf("open the run %s, %v", names[len(names)-1], r.Length), Intent: one})
	}
	if len(names) > 1 {
		try(Change{Kind: OpenRun, Says: "open the runs " + joined(names), Intent: all})
	}
}

// tryBreakers gives feeds whose given cables are too small for them the largest smaller
// breaker with which they would do.
func (m *maker) tryBreakers(p *Plan, try tryFunc) {
	for i := range m.circuits {
		f := m.circuits[i].feed
		small := slices.ContainsFunc(p.Lacks, func(l Lack) bool {
			r := &m.in.Runs[l.Run]
			return l.Feed == m.in.Feeds[f].Name && r.Cable.Name != "" && m.stores[i].lawful(r.Cable) != nil
		})
		if !small {
			continue
		}
		var ratings []quantity.Current
		for _, o := range m.region.Conductor.Overcurrent {
			if o.Kind != conductor.FuseOnly && o.Rating < m.in.Feeds[f].Breaker {
				ratings = append(ratings, o.Rating)
			}
		}
		slices.SortFunc(ratings, func(a, b quantity.Current) int { return cmp.Compare(b, a) })
		for _, rating := range ratings {
			in := *m.in
			in.Feeds = slices.Clone(in.Feeds)
			in.Feeds[f].Breaker = rating
			before := len(p.Changes)
			try(Change{Kind: OtherBreaker, Says: fmt.Sprintf("put feed %s on a breaker of %v", in.Feeds[f].Name, rating), Intent: in})
			if len(p.Changes) > before {
				break
			}
		}
	}
}

// tryFeeds brings the feed of a circuit that lacks something into other boxes, each time
// by a cable of its own that passes by the boxes on its way.
func (m *maker) tryFeeds(p *Plan, try tryFunc) {
	for i := range m.circuits {
		if m.circuits[i].clients() == 0 || m.found[i].score.lack == 0 {
			continue
		}
		tries := 0
		far, all := m.ways.far(m.circuits[i].root, m.in.Runs), m.open.far(m.circuits[i].root, m.in.Runs)
		for k, b := range m.in.Boxes {
			f := m.circuits[i].feed
			if b.Name == m.in.Feeds[f].Box || tries == maxFeedTries || b.Kind == wiring.Panel {
				continue
			}
			tries++
			c := Change{Kind: OtherFeed, Intent: *m.in}
			c.Intent.Feeds = slices.Clone(c.Intent.Feeds)
			c.Intent.Feeds[f].Box = b.Name
			product := &m.stores[i].products[m.stores[i].pick(load{neutrals: 1, lines: 1})]
			length, open := far[int32(k)]
			only := ""
			if !open {
				length, open = all[int32(k)]
				only = ", of which some are there only if needed"
			}
			cost, ok := product.rate.For(length)
			if open && ok && product.lack(load{neutrals: 1, lines: 1}) == 0 {
				c.Beside = cost
				c.Says = fmt.Sprintf("bring feed %s in at %s by a cable of its own, %s, %v along the runs from %s%s", m.in.Feeds[f].Name, b.Name, product.cable.Name, length, m.in.Feeds[f].Box, only)
			} else {
				c.Unknown = true
				c.Says = fmt.Sprintf("bring feed %s in at %s, whose own cable to there is not counted", m.in.Feeds[f].Name, b.Name)
			}
			try(c)
		}
	}
}

// far returns how far it is from a box to each other box along runs in which any cable can
// be laid.
func (w ways) far(from int32, runs []intent.Run) map[int32]quantity.Length {
	far := map[int32]quantity.Length{}
	q := &frontiers{{box: from}}
	for q.Len() > 0 {
		at := heap.Pop(q).(frontier)
		if _, done := far[at.box]; done {
			continue
		}
		far[at.box] = quantity.Length(at.cost)
		for _, s := range w[at.box] {
			if r := &runs[s.run]; r.Cable.Name == "" && !r.Raceway {
				heap.Push(q, frontier{s.to, at.cost + rules.Amount(r.Length)})
			}
		}
	}
	return far
}
