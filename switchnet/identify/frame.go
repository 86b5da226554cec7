package identify

import (
	"slices"

	"example.com/switchleg/switchnet"
)

// A node is metal that the finished wiring joins for good, in all boxes together.
type node struct {
	role Role
	kind nodeKind
	of   int    // the feed or control
	need uint64 // the places that it has to reach
	runs uint64 // the runs that it takes
	twin int    // the other traveler of its section, -1 for what has none
}

type nodeKind uint8

const (
	hotNode nodeKind = iota
	neutralNode
	otherNode // among them neutrals that are kept apart, which do not reach the feed
)

// A plan is how one control is wired.
type plan struct {
	scheme  Scheme
	feed    int
	neutral int   // the feed whose neutral its lights have, -1 if it comes another way
	order   []int // places, from the hot to the leg
	// common and throws are the nodes on the terminals of each place of order.
	common []int
	throws [][]int
	lamps  [2]int // the nodes on both ends of its lights; -1: a neutral that comes another way
	branch int    // the neutral that is kept apart for it, where the frame has one
}

// A frame is a layout with what every conductor of each run has to do, but not which
// conductor does it.
type frame struct {
	lay     *layout
	feedAt  []int  // place of each feed, -1 if it reaches none of these boxes
	shares  []int  // of each feed: the earlier one that has the same neutral, or -1
	line    phases // of each feed
	hot     []int  // the node of each feed's hot, and of its neutral; -1 if it reaches none
	neutral []int
	way     neutralWay
	plans   []plan
	onward  []int // the feed that goes on, for each of the layout's onward; -1: nothing does
	nodes   []node
	at      []uint64 // the places that each node is in
	weight  float64
	odds    int   // how many unusual things it has
	joint   []int // of each node in each place: its vertex in a circuit
	size    int   // how many vertices there are
}

// frames calls yield with every frame of a layout: where each feed comes in, how each
// control is wired, what goes onward, and how far neutrals and hots go beside.
func (g *generator) frames(lay *layout, yield func(*frame) error) error {
	f := &frame{lay: lay, feedAt: make([]int, len(g.feeds)), shares: make([]int, len(g.feeds)), plans: make([]plan, len(g.control)), onward: make([]int, len(lay.onward)), weight: lay.weight, odds: lay.odds}
	for i := range g.feeds {
		f.line = f.line.with(i, int(g.feeds[i].line-switchnet.LineA))
	}
	used := map[int]bool{}
	for _, r := range lay.runs {
		used[r.a], used[r.b] = true, true
	}
	var feeds func(i int) error
	feeds = func(i int) error {
		if i == len(g.feeds) {
			return g.lines(f, 0, func() error { return g.controls(f, 0, yield) })
		}
		f.shares[i] = -1
		if lay.feedAt[i] {
			f.feedAt[i] = g.leaf(i)
			if err := feeds(i + 1); err != nil {
				return err
			}
			return g.shared(f, i, feeds)
		}
		f.feedAt[i] = -1
		if err := feeds(i + 1); err != nil {
			return err
		}
		for _, p := range g.feeds[i].mayBe {
			if used[p] {
				f.feedAt[i], f.shares[i] = p, -1
				if err := feeds(i + 1); err != nil {
					return err
				}
				if err := g.shared(f, i, feeds); err != nil {
					return err
				}
			}
		}
		f.feedAt[i] = -1
		return g.shared(f, i, feeds)
	}
	return feeds(0)
}

// controls chooses the plans of the controls from the i-th on.
func (g *generator) controls(f *frame, i int, yield func(*frame) error) error {
	if i == len(g.control) {
		return g.onwards(f, 0, yield)
	}
	c := &g.control[i]
	was, odds := f.weight, f.odds
	defer func() { f.weight, f.odds = was, odds }()
	together := placeSet(c.places[0])
	for _, l := range c.lights {
		together |= placeSet(g.lights[l].place)
	}
	for feed, at := range f.feedAt {
		if at < 0 || c.feed >= 0 && c.feed != feed {
			continue
		}
		for _, scheme := range g.schemes {
			orders := orders(scheme, c.places)
			for _, order := range orders {
				all := together | placeSet(at)
				for _, p := range order {
					all |= placeSet(p)
				}
				if scheme == OnePlace {
					all = all&^placeSet(c.places[0]) | placeSet(order[0])
				}
				if _, ok := f.lay.along(all); !ok {
					continue
				}
				more := odds
				if scheme != Chain {
					more++
				}
				w := was * g.pr.scheme(scheme) / float64(len(orders))
				for neutral := -1; neutral < len(g.feeds); neutral++ {
					nw, no := w, more
					switch {
					case scheme == HotNeutralThrows || scheme == SwitchedNeutral:
						if neutral != feed {
							continue
						}
					case neutral < 0:
						nw *= part(g.pr.OtherWay)
						no++
					case neutral != feed:
						if f.feedAt[neutral] < 0 || f.root(neutral) == f.root(feed) || f.shares[neutral] >= 0 {
							continue
						}
						nw *= part(g.pr.Borrowed)
						no++
					}
					if nw == 0 || no > g.odd {
						continue
					}
					f.weight, f.odds = nw, no
					f.plans[i] = plan{scheme: scheme, feed: feed, neutral: neutral, order: order}
					if err := g.controls(f, i+1, yield); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// orders returns the orders of the places that make a difference in a scheme, none if it
// is no scheme for so many places.
func orders(s Scheme, places []int) [][]int {
	switch s {
	case JoinedCommons, HotNeutralThrows:
		if len(places) != 2 {
			return nil
		}
		return [][]int{places}
	case OnePlace:
		if len(places) == 1 {
			return nil // that is a chain of one
		}
		var out [][]int
		for _, p := range places {
			out = append(out, []int{p})
		}
		return out
	}
	var out [][]int
	var walk func(have, left []int)
	walk = func(have, left []int) {
		if len(left) == 0 {
			out = append(out, slices.Clone(have))
			return
		}
		for i := range left {
			rest := slices.Delete(slices.Clone(left), i, i+1)
			walk(append(slices.Clone(have), left[i]), rest)
		}
	}
	walk(nil, places)
	return out
}

// onwards chooses which feed goes on in each cable that goes onward, from the i-th.
func (g *generator) onwards(f *frame, i int, yield func(*frame) error) error {
	if i == len(f.onward) {
		return g.wire(f, yield)
	}
	was, odds := f.weight, f.odds
	defer func() { f.weight, f.odds = was, odds }()
	p := f.lay.onward[i]
	loose := p >= g.far(0) && g.units[p-g.far(0)].loose
	if loose {
		f.odds++
		f.weight = was * part(g.pr.Onward)
		if f.odds > g.odd {
			return nil
		}
	}
	for feed, at := range f.feedAt {
		if at >= 0 && f.lay.comp[at]&placeSet(p) != 0 {
			f.onward[i] = feed
			if err := g.onwards(f, i+1, yield); err != nil {
				return err
			}
		}
	}
	if loose {
		f.onward[i] = -1
		f.weight = was * part(g.pr.Abandoned)
		return g.onwards(f, i+1, yield)
	}
	return nil
}

// wire makes the nodes of a frame, and yields it with every way to keep its neutrals
// apart or to join them, and every reach of its neutrals and hots, that its runs have
// conductors for.
func (g *generator) wire(f *frame, yield func(*frame) error) error {
	was, had := f.weight, f.odds
	defer func() { f.weight, f.odds = was, had }()
	for _, way := range g.neutralWays(f) {
		f.weight, f.odds = was*way.weight, had+way.odds
		f.way = way
		if f.odds > g.odd || f.weight == 0 || !g.nodes(f) {
			continue
		}
		spare := make([]int, len(f.lay.runs))
		for i, r := range f.lay.runs {
			spare[i] = len(r.conds)
			if r.hidden {
				spare[i] = len(f.nodes)
			}
		}
		fits := true
		for i := range f.nodes {
			runs, ok := f.lay.along(f.nodes[i].need)
			if !ok || !take(spare, runs, 0) {
				fits = false
				break
			}
			f.nodes[i].runs = runs
		}
		if !fits || f.odds > g.odd {
			continue
		}
		if err := g.reach(f, 0, spare, yield); err != nil {
			return err
		}
	}
	return nil
}

// nodes makes the nodes of a frame, and reports false if that is no frame of its own.
func (g *generator) nodes(f *frame) bool {
	inUse := make([]bool, len(g.feeds))
	for _, p := range f.plans {
		inUse[p.feed] = true
		if p.neutral >= 0 {
			inUse[p.neutral] = true
		}
	}
	for _, x := range f.onward {
		if x >= 0 {
			inUse[x] = true
		}
	}
	for _, x := range f.way.tied {
		if f.feedAt[x] < g.leaf(0) {
			inUse[x] = true // its neutral is joined with another's, which is all that there is of it
		}
	}
	f.nodes = nil
	f.hot, f.neutral = make([]int, len(g.feeds)), make([]int, len(g.feeds))
	for i, at := range f.feedAt {
		f.hot[i], f.neutral[i] = -1, -1
		if at < 0 {
			continue
		}
		need, line := placeSet(at), placeSet(at)
		// A cable of its own brings the hot.
		for u, p := range f.lay.far {
			if p == at && at >= g.leaf(0) {
				line |= placeSet(g.units[u].box)
			}
		}
		if !inUse[i] {
			if at < g.leaf(0) {
				return false // that it is not there has been reckoned with
			}
			// It comes in and serves nothing here.
			f.weight *= part(g.pr.Onward)
			f.odds++
			need = line
		}
		name := g.feeds[i].ref.Name
		f.hot[i] = len(f.nodes)
		f.nodes = append(f.nodes, node{role: Role{Function: ConstantHot, Of: name}, kind: hotNode, of: i, need: line, twin: -1})
		if j := f.shares[i]; j >= 0 {
			n := f.neutral[j]
			f.neutral[i] = n
			f.nodes[n].role.Of += " and " + name
			f.nodes[n].need |= need &^ placeSet(at)
			continue
		}
		f.neutral[i] = len(f.nodes)
		f.nodes = append(f.nodes, node{role: Role{Function: Neutral, Of: name}, kind: neutralNode, of: i, need: need, twin: -1})
	}
	for i, x := range f.onward {
		if x >= 0 {
			f.nodes[f.hot[x]].need |= placeSet(f.lay.onward[i])
			f.nodes[f.neutral[x]].need |= placeSet(f.lay.onward[i])
		}
	}
	g.branch(f)
	for i := range f.plans {
		g.plan(f, i)
	}
	return true
}
