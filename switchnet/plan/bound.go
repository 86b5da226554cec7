package plan

import (
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// A bound below every plan of a circuit on a graph, for where no search is exhaustive.
//
// A cable of n conductors costs at least n times what the cheapest conductor of any
// cable does, so what conductors there are at least, each over its run's least price,
// bounds the cost; and conductors of different sorts are bounded apart and added up:
//
//   - a grounding conductor in every run of the tree, which joins the feed to all wanted
//     boxes;
//   - a neutral in every run on the way from the feed to a light and to a box that must
//     have the neutral;
//   - an unswitched hot on the way from the feed to the hot end of each control, which is
//     one of its places, and to each need of power (they may share one);
//   - two conductors in every run that parts two places of one control: a pair of
//     travelers, or of joined commons a traveler and the common or leg beside it;
//   - of a chain, a leg in every run that parts a light of the control from its leg end,
//     which is one of its places. Of joined commons the leg may be one of the two above.
//
// Each is a smallest tree of the graph that joins some boxes, or joins them to any of some
// others, and each of these is bounded by dual ascent (Wong 1984): cuts that part a box to
// be joined from the feed are raised until an arc across each is paid for in full.

// lines is a graph with a price for one conductor on each run.
type lines struct {
	ways  ways
	boxes int
	per   map[int32]rules.Amount // by run
}

// lineGraph returns the graph of a router with the least price of a conductor on each run.
func (r *router) lineGraph() *lines {
	g := &lines{ways: r.ways, boxes: len(r.ways), per: map[int32]rules.Amount{}}
	for _, run := range r.runs {
		if in := &r.m.in.Runs[run]; !in.Existing {
			c, _ := r.store.least.For(in.Length)
			g.per[run] = max(0, c-1) // For rounds up
		}
	}
	return g
}

// floor returns a bound below every plan.
func (r *router) floor() score {
	g := r.lineGraph()
	root := []int32{r.c.root}
	var all, neutral, powered []int32
	for _, b := range r.boxes {
		if r.wanted[b] {
			all = append(all, b)
		}
	}
	var hot, sum rules.Amount
	for i := range r.c.groups {
		gr := &r.c.groups[i]
		neutral = append(neutral, gr.at...)
		for k, b := range gr.places {
			if gr.keep[k] {
				neutral = append(neutral, b)
			}
		}
		hot = max(hot, g.nearest(r.c.root, gr.places))
		pairs := 2 * g.ascent(gr.places[:1], gr.places[1:])
		leg := g.ascent(gr.places, gr.at)
		if slices.Contains(gr.schemes, intent.JoinedCommons) && len(gr.places) == 2 {
			sum += max(pairs, pairs/2+leg) // each run that does either has one line at least
			continue
		}
		sum += pairs + leg
	}
	for i := range r.c.needs {
		n := &r.c.needs[i]
		switch n.kind {
		case intent.UnswitchedPower:
			powered, neutral = append(powered, n.box), append(neutral, n.box)
		case intent.NeutralOnly:
			neutral = append(neutral, n.box)
		}
	}
	sum += g.ascent(root, all) + g.ascent(root, neutral) + max(hot, g.ascent(root, powered))
	return score{cost: sum}
}

// nearest returns what one conductor costs at least from a box to the nearest of some.
func (g *lines) nearest(from int32, to []int32) rules.Amount {
	return g.ascent(to, []int32{from})
}

// ascent returns a bound below every set of runs that joins each of the goals to one of the
// roots, which count as joined: dual ascent, the smallest cut first, of equals that of the
// first goal. It takes time of the runs squared, times the goals at worst.
func (g *lines) ascent(roots, goals []int32) rules.Amount {
	isRoot := make([]bool, g.boxes)
	for _, b := range roots {
		isRoot[b] = true
	}
	type goal struct {
		box  int32
		size int // of its cut when it was last looked at; it only grows
	}
	var open []goal
	for _, b := range goals {
		if !isRoot[b] && !slices.ContainsFunc(open, func(o goal) bool { return o.box == b }) {
			open = append(open, goal{b, 1})
		}
	}
	// left is what an arc may still be raised by, by run and by the box that it leads to.
	left := map[step]rules.Amount{}
	for b := range g.ways {
		for _, s := range g.ways[b] {
			left[step{s.run, int32(b)}] = g.per[s.run]
		}
	}
	in := make([]bool, g.boxes)
	var cut []int32
	// behind finds the boxes from which a goal can be reached over arcs that are paid for,
	// and reports whether a root is among them.
	behind := func(b int32) bool {
		for _, c := range cut {
			in[c] = false
		}
		cut = append(cut[:0], b)
		in[b] = true
		for k := 0; k < len(cut); k++ {
			if isRoot[cut[k]] {
				return true
			}
			for _, s := range g.ways[cut[k]] {
				if !in[s.to] && left[step{s.run, cut[k]}] == 0 {
					in[s.to] = true
					cut = append(cut, s.to)
				}
			}
		}
		return false
	}
	var sum rules.Amount
	for len(open) > 0 {
		k := 0
		for i := range open {
			if open[i].size < open[k].size {
				k = i
			}
		}
		if behind(open[k].box) {
			open = slices.Delete(open, k, k+1)
			continue
		}
		if len(cut) > open[k].size {
			// It has grown since; another may be smaller now.
			open[k].size = len(cut)
			continue
		}
		least := rules.Amount(-1)
		for _, c := range cut {
			for _, s := range g.ways[c] {
				if a := left[step{s.run, c}]; !in[s.to] && (least < 0 || a < least) {
					least = a
				}
			}
		}
		if least < 0 {
			open = slices.Delete(open, k, k+1) // nothing leads to it
			continue
		}
		sum += least
		for _, c := range cut {
			for _, s := range g.ways[c] {
				if !in[s.to] {
					left[step{s.run, c}] -= least
				}
			}
		}
	}
	return sum
}
