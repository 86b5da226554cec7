package plan

import (
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// A bound below every plan of a circuit on a graph, for where no search is exhaustive.
// Conductors of different sorts are bounded apart and added up:
//
//   - a grounding conductor in every run of the tree, which joins the feed to all wanted
//     boxes;
//   - a neutral in every run on the way from the feed to a light and to a box that must
//     have the neutral;
//   - an unswitched hot on the way from the feed to the hot end of each control, which is
//     one of its places, and to each need of power (they may share one);
//   - for each section of a control, from a place to the next, two conductors in every run
//     on the way: a pair of travelers, or of joined commons a traveler and the common or
//     leg beside it;
//   - of a chain, a leg in every run that parts its lights from each other and from its leg
//     end, which is one of its places; of joined commons, also its places from each other,
//     but then it may be one of the two above.
//
// What each costs on a run is counted in two ways. A cable of n conductors costs at least
// n times what the cheapest conductor of any cable does; or else grounds and neutrals come
// with the cables and cost nothing, and a pair costs what is left of any cable that holds
// it once its other lines are paid for: where no cable holds two pairs, a second pair
// brings a second ground and a second neutral. The one is better where runs have one
// cable, the other where they have several, so that for each run either may be chosen, and
// the bound is the best of three choices: always the first, always the second, and the
// second where the best plan found has several cables.
//
// Each sort but the pairs is a smallest tree of the graph that joins some boxes, or joins
// them to any of some others, and each of these is bounded by dual ascent (Wong 1984): cuts
// that part a box to be joined from the feed are raised until an arc across each is paid
// for in full. For the pairs see walk.

// lines is a graph with a price for one conductor on each run.
type lines struct {
	ways  ways
	boxes int
	per   []rules.Amount // by run of the intent
}

// tariff is what the sorts of conductors cost at least, by run of the intent.
type tariff struct{ base, line, pair []rules.Amount }

// tariffs returns the two ways to count: by conductors, and by what cables hold.
func (r *router) tariffs() (counted, held tariff) {
	n := len(r.m.in.Runs)
	for _, t := range []*tariff{&counted, &held} {
		t.base, t.line, t.pair = make([]rules.Amount, n), make([]rules.Amount, n), make([]rules.Amount, n)
	}
	neutrals := 1 // in every cable with a line, if every place keeps the neutral
	for i := range r.c.groups {
		if slices.Contains(r.c.groups[i].keep, false) {
			neutrals = 0
		}
	}
	for _, run := range r.runs {
		in := &r.m.in.Runs[run]
		if in.Existing {
			continue
		}
		c, _ := r.store.least.For(in.Length)
		per := max(0, c-1) // For rounds up
		counted.base[run], counted.line[run], counted.pair[run] = per, per, 2*per
		held.line[run], held.pair[run] = per, 2*per
		switch {
		case in.Raceway:
		case in.Cable.Name != "":
			held.pair[run] = max(2*per, r.store.own(in).pair(in.Length, per, neutrals))
		default:
			least := rules.Amount(-1)
			for i := range r.store.products {
				if c := r.store.products[i].pair(in.Length, per, neutrals); c >= 0 && (least < 0 || c < least) {
					least = c
				}
			}
			held.pair[run] = max(2*per, least)
		}
	}
	return counted, held
}

// pair returns what a pair costs at least in a length of the cable, if what else it holds
// beside so many neutrals costs as much for each line; -1 if it holds no pair.
func (p *product) pair(length quantity.Length, line rules.Amount, neutrals int) rules.Amount {
	most := 0
	for p.lack(load{neutrals: neutrals, lines: most + 1}) == 0 {
		most++
	}
	cost, _ := p.rate.For(length)
	least := rules.Amount(-1)
	for n := 1; 2*n <= most; n++ {
		if c := (cost - 1 - line*rules.Amount(most-2*n)) / rules.Amount(n); least < 0 || c < least {
			least = max(0, c)
		}
	}
	return least
}

// floor returns a bound below every plan.
func (r *router) floor() score {
	counted, held := r.tariffs()
	best := max(r.floorBy(counted), r.floorBy(held))
	if !r.ok {
		return score{cost: best}
	}
	mixed := tariff{slices.Clone(counted.base), slices.Clone(counted.line), slices.Clone(counted.pair)}
	sp := newSplitter(newLayout(r.c, r.best.t), r.store, r.m.in.Runs, r.best.shapes, r.shared)
	for v := int32(1); int(v) < r.best.t.size(); v++ {
		if len(sp.clients[v]) == 0 {
			continue
		}
		one := r.shared.together(len(sp.clients[v]))
		run := r.best.t.run[v]
		if sp.least(v).less(sp.cost(v, one, one)) {
			mixed.base[run], mixed.line[run], mixed.pair[run] = held.base[run], held.line[run], held.pair[run]
		}
	}
	return score{cost: max(best, r.floorBy(mixed))}
}

// floorBy returns a bound below every plan by a tariff.
func (r *router) floorBy(t tariff) rules.Amount {
	graph := func(per []rules.Amount) *lines { return &lines{ways: r.ways, boxes: len(r.ways), per: per} }
	base, line, pair := graph(t.base), graph(t.line), graph(t.pair)
	root := []int32{r.c.root}
	var all, neutral, hot [][]int32
	for _, b := range r.boxes {
		if r.wanted[b] {
			all = append(all, []int32{b})
		}
	}
	var sum rules.Amount
	for i := range r.c.groups {
		gr := &r.c.groups[i]
		lights := each(gr.at)
		neutral, hot = append(neutral, lights...), append(hot, gr.places)
		for k, b := range gr.places {
			if gr.keep[k] {
				neutral = append(neutral, []int32{b})
			}
		}
		pairs := pair.walk(gr.places)
		least := rules.Amount(-1)
		if slices.Contains(gr.schemes, intent.Chain) {
			least = pairs + line.ascent(gr.at[:1], append(slices.Clone(lights), gr.places))
		}
		if slices.Contains(gr.schemes, intent.JoinedCommons) && len(gr.places) == 2 {
			// The common and the leg beside it are a pair; or a line each.
			if c := max(pairs, line.walk(gr.places)+line.ascent(gr.places[:1], append(each(gr.places), lights...))); least < 0 || c < least {
				least = c
			}
		}
		sum += least
	}
	for i := range r.c.needs {
		n := &r.c.needs[i]
		switch n.kind {
		case intent.UnswitchedPower:
			hot, neutral = append(hot, []int32{n.box}), append(neutral, []int32{n.box})
		case intent.NeutralOnly:
			neutral = append(neutral, []int32{n.box})
		}
	}
	return sum + base.ascent(root, all) + base.ascent(root, neutral) + line.ascent(root, hot)
}

// each returns boxes as goals, each by itself.
func each(boxes []int32) [][]int32 {
	out := make([][]int32, len(boxes))
	for i := range boxes {
		out[i] = boxes[i : i+1]
	}
	return out
}

// ascent returns a bound below every set of runs that joins one box of each goal to one of
// the roots, which count as joined: dual ascent, the smallest cut first, of equals that of
// the first goal. It takes time of the runs squared, times the goals at worst.
func (g *lines) ascent(roots []int32, goals [][]int32) rules.Amount {
	isRoot := make([]bool, g.boxes)
	for _, b := range roots {
		isRoot[b] = true
	}
	type goal struct {
		boxes []int32
		size  int // of its cut when it was last looked at; it only grows
	}
	var open []goal
	for _, b := range goals {
		if !slices.ContainsFunc(b, func(b int32) bool { return isRoot[b] }) && !slices.ContainsFunc(open, func(o goal) bool { return slices.Equal(o.boxes, b) }) {
			open = append(open, goal{b, len(b)})
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
	behind := func(boxes []int32) bool {
		for _, c := range cut {
			in[c] = false
		}
		cut = append(cut[:0], boxes...)
		for _, b := range boxes {
			in[b] = true
		}
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
		if behind(open[k].boxes) {
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
