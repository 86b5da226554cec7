package plan

import (
	"context"
	"maps"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// router looks for the best tree of runs for one circuit.
type router struct {
	m       *maker
	ci      int
	c       *circuit
	store   *store
	shared  *sharedSplits
	left    budget
	wanted  map[int32]bool
	ways    ways // without dead ends
	runs    []int32
	weights []rules.Amount // by run of the intent, when they were asked for
	boxes   []int32        // that are left, in the order of their numbers
	best    found
	ok      bool
	trees   int // that were tried
}

// route finds the best tree of runs for a circuit and the best shapes on it.
func (m *maker) route(ctx context.Context, ci int, st *store) (found, error) {
	r := &router{m: m, ci: ci, c: &m.circuits[ci], store: st, shared: newSharedSplits(), left: m.share(ci)}
	asked := st.asked
	defer func() { m.left.prices -= st.asked - asked }()
	r.wanted = r.c.wanted()
	r.prune()
	if m.kept != nil {
		if f, ok, err := r.keep(ctx, m.kept[ci]); err != nil || ok {
			return f, err
		}
	}
	var err error
	switch {
	case len(r.runs) < len(r.boxes):
		_, err = r.try(ctx, nil)
	default:
		err = r.graph(ctx)
	}
	return r.best, err
}

// prune takes away what no tree needs: boxes that are not reached, and dead ends
// without a wanted box.
func (r *router) prune() {
	all := r.m.ways
	reached := map[int32]bool{r.c.root: true}
	queue := []int32{r.c.root}
	for len(queue) > 0 {
		b := queue[0]
		queue = queue[1:]
		for _, s := range all[b] {
			if !reached[s.to] {
				reached[s.to] = true
				queue = append(queue, s.to)
			}
		}
	}
	degree := map[int32]int{}
	for b := range reached {
		degree[b] = len(all[b])
		if degree[b] == 1 && !r.wanted[b] {
			queue = append(queue, b)
		}
	}
	slices.Sort(queue)
	for len(queue) > 0 {
		b := queue[0]
		queue = queue[1:]
		delete(reached, b)
		for _, s := range all[b] {
			if !reached[s.to] {
				continue
			}
			if degree[s.to]--; degree[s.to] == 1 && !r.wanted[s.to] {
				queue = append(queue, s.to)
			}
		}
	}
	r.ways = make(ways, len(all))
	for b := range reached {
		r.boxes = append(r.boxes, b)
		for _, s := range all[b] {
			if reached[s.to] {
				r.ways[b] = append(r.ways[b], s)
				if b < s.to {
					r.runs = append(r.runs, s.run)
				}
			}
		}
	}
	slices.Sort(r.boxes)
	slices.Sort(r.runs)
}

func (r *router) searcher(t *tree) *searcher {
	s := &searcher{store: r.store, runs: r.m.in.Runs, shared: r.shared, limit: r.m.opt.limit()}
	if t != nil {
		s.l = newLayout(r.c, t)
	}
	return s
}

// try searches the tree that the runs used make, all of them if use is nil, and keeps
// what it finds if it is better than what was found before. It reports whether it is.
func (r *router) try(ctx context.Context, use map[int32]bool) (bool, error) {
	var beat *score
	if r.ok {
		beat = &r.best.score
	}
	_, better, err := r.look(ctx, use, beat, false)
	return better, err
}

// look searches the tree that the runs used make for what is better than a score, and
// keeps what it finds if it is better than what was found before.
func (r *router) look(ctx context.Context, use map[int32]bool, beat *score, quick bool) (found, bool, error) {
	if err := ctx.Err(); err != nil {
		return found{}, false, err
	}
	r.trees++
	if p := r.m.opt; p != nil && p.Progress != nil && r.trees%100 == 0 {
		p.Progress(Progress{Circuit: r.ci + 1, Circuits: len(r.m.circuits), Trees: r.trees})
	}
	r.store.asked += len(r.boxes) // it takes about as long
	t := treeOf(r.ways, r.c.root, func(run int32) bool { return use == nil || use[run] }, func(b int32) bool { return r.wanted[b] })
	s := r.searcher(t)
	s.quick = quick
	f, better, err := s.search(ctx, beat)
	if err != nil || !better {
		return found{}, false, err
	}
	if !r.ok || f.score.less(r.best.score) {
		r.best, r.ok = f, true
	}
	return f, true, nil
}

// graph finds the best tree where runs close rings: exactly by dynamic programming,
// where that is not too much; by trying all trees, where they are few; otherwise it
// improves several trees to begin with by exchanging one run at a time.
func (r *router) graph(ctx context.Context) error {
	bound, exact := score{}, false
	if r.subsetWork() <= r.left.steps && r.c.clients() <= maxParted {
		var err error
		if bound, err = r.subsets(ctx); err != nil {
			return err
		}
		exact = r.ok && !bound.less(r.best.score) && !r.best.bound.less(r.best.score)
	}
	if exact {
		return nil
	}
	if r.few() {
		// One good tree lets most of the others be passed over.
		if _, err := r.try(ctx, r.near()); err != nil {
			return err
		}
		whole, err := r.every(ctx)
		if err != nil {
			return err
		}
		if whole && r.exact() {
			r.best.bound = r.best.score
			return nil
		}
	}
	if err := r.improve(ctx); err != nil {
		return err
	}
	r.best.bound = bound
	if f := r.floor(); bound.less(f) {
		r.best.bound = f
	}
	if r.best.score.less(r.best.bound) {
		r.best.bound = r.best.score
	}
	return nil
}

// exact reports whether the search on each tree is exhaustive.
func (r *router) exact() bool {
	shapes := 1
	for g := range r.c.groups {
		shapes = min(shapes*len(r.c.groups[g].shapes()), r.m.opt.limit()+1)
	}
	return r.c.clients() <= maxParted && shapes <= r.m.opt.limit()
}

// subsets tries the trees that the dynamic programming finds under each choice of
// schemes, and returns a bound below every tree.
func (r *router) subsets(ctx context.Context) (score, error) {
	choices := [][]intent.Scheme{nil}
	for g := range r.c.groups {
		can := schemesOf(r.c.groups[g].shapes())
		var next [][]intent.Scheme
		for _, ch := range choices {
			for _, s := range can {
				next = append(next, append(slices.Clone(ch), s))
			}
		}
		choices = next
	}
	at := map[int32]int32{}
	for i, b := range r.boxes {
		at[b] = int32(i)
	}
	var goals []int32
	for i, b := range r.boxes {
		if b != r.c.root && r.wanted[b] {
			goals = append(goals, int32(i))
		}
	}
	// Choices of schemes, and runs that are forbidden so that a ring opens, by the
	// bound that they have; the best is looked into first.
	type branch struct {
		schemes []intent.Scheme
		out     map[int32]bool
		used    map[int32]bool
		bound   score
	}
	s := r.searcher(nil)
	parts := r.parts(s)
	var open, seen []branch // seen are those that were open once
	look := func(b branch) error {
		x := &subsets{c: r.c, s: s, w: r.ways, boxes: r.boxes, at: at, goals: goals, schemes: b.schemes, out: b.out, parts: parts}
		var err error
		if b.bound, b.used, err = x.run(ctx); err == nil && b.bound.lack < never.lack {
			open = append(open, b)
			seen = append(seen, b)
		}
		return err
	}
	for _, schemes := range choices {
		if err := look(branch{schemes: schemes}); err != nil {
			return score{}, err
		}
	}
	for tries := max(1, r.left.steps/max(1, r.subsetWork()*len(parts))); len(open) > 0; tries-- {
		k := 0
		for i := range open {
			if open[i].bound.less(open[k].bound) {
				k = i
			}
		}
		b := open[k]
		if r.ok && !b.bound.less(r.best.score) {
			return r.best.score, nil
		}
		if tries <= 0 {
			return b.bound, nil
		}
		open = slices.Delete(open, k, k+1)
		if _, err := r.try(ctx, b.used); err != nil {
			return score{}, err
		}
		ring := r.ring(b.used)
		if len(ring) == 0 && (!r.ok || b.bound.less(r.best.score)) {
			return b.bound, nil
		}
		for _, run := range ring {
			out := cloned(b.out)
			out[run] = true
			if slices.ContainsFunc(seen, func(o branch) bool { return slices.Equal(o.schemes, b.schemes) && maps.Equal(o.out, out) }) {
				continue
			}
			if err := look(branch{schemes: b.schemes, out: out}); err != nil {
				return score{}, err
			}
		}
	}
	return r.best.score, nil
}

// ring returns the runs of a shortest ring among those used, in their order, or nil.
func (r *router) ring(used map[int32]bool) []int32 {
	var best []int32
	for _, run := range r.runs {
		if !used[run] {
			continue
		}
		// The shortest way between its ends without it.
		a, b := r.ends(run)
		back := map[int32]step{a: {-1, -1}}
		for queue := []int32{a}; len(queue) > 0; queue = queue[1:] {
			for _, s := range r.ways[queue[0]] {
				if _, seen := back[s.to]; !seen && s.run != run && used[s.run] {
					back[s.to] = step{s.run, queue[0]}
					queue = append(queue, s.to)
				}
			}
		}
		if _, closed := back[b]; !closed {
			continue
		}
		ring := []int32{run}
		for v := b; v != a; v = back[v].to {
			ring = append(ring, back[v].run)
		}
		if best == nil || len(ring) < len(best) {
			best = ring
		}
	}
	slices.Sort(best)
	return best
}
