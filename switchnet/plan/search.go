package plan

import (
	"context"
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// found is the best that a search of one circuit on one tree came upon.
type found struct {
	t      *tree
	shapes []shape
	score  score
	bound  score // no plan of the family has less
}

// searcher looks for the shapes of a circuit's groups on a tree.
type searcher struct {
	l      *layout
	store  *store
	runs   []intent.Run
	shared *sharedSplits
	limit  int // combinations of shapes, and partings, that are tried
	// quick leaves most combinations of shapes out, and states no bound: enough to tell
	// which of many trees are worth more.
	quick bool
}

// search returns the best shapes, or false if none is better than what must be
// beaten. Among equals the first in the order of the shapes is taken, the first
// control's before the second's.
func (s *searcher) search(ctx context.Context, beat *score) (found, bool, error) {
	all := make([][]shape, len(s.l.groups))
	for g := range all {
		all[g] = s.l.groups[g].shapes()
	}
	return s.among(ctx, all, beat)
}

// among searches among the shapes given for each group.
func (s *searcher) among(ctx context.Context, all [][]shape, beat *score) (found, bool, error) {
	product := 1
	for g := range all {
		product = min(product*len(all[g]), s.limit+1)
	}
	if len(all) == 1 && len(all[0]) > 60 {
		return s.one(ctx, all[0], beat)
	}
	if bound, shapes, ok := s.relax(all); ok && product > 1 {
		if beat != nil && !bound.less(*beat) {
			return found{}, false, nil
		}
		if bound.lack >= never.lack {
			return found{}, false, nil
		}
		sum, better, _, err := s.value(ctx, shapes, beat)
		switch {
		case err != nil:
			return found{}, false, err
		case s.quick || product > s.limit:
			return found{t: s.l.t, shapes: shapes, score: sum, bound: bound}, better, nil
		case !bound.less(sum):
			// Nothing costs less; the first that costs as little is wanted.
			beat = &score{sum.lack, sum.cost + 1}
		}
	}
	if product <= s.limit {
		return s.every(ctx, all, beat)
	}
	return s.descend(ctx, all, beat)
}

// value returns the cost of shapes, unless it is not less than what must be beaten.
func (s *searcher) value(ctx context.Context, shapes []shape, beat *score) (score, bool, bool, error) {
	sp := newSplitter(s.l, s.store, s.runs, shapes, s.shared)
	sp.quick = s.quick
	sum, whole := sp.relaxed()
	if beat != nil && !sum.less(*beat) {
		return sum, false, sp.exact, nil
	}
	if !whole {
		var err error
		if sum, err = sp.solve(ctx); err != nil {
			return score{}, false, false, err
		}
	}
	return sum, beat == nil || sum.less(*beat), sp.exact, nil
}

// every tries every combination of shapes.
func (s *searcher) every(ctx context.Context, all [][]shape, beat *score) (found, bool, error) {
	at := make([]int, len(all))
	shapes := make([]shape, len(all))
	var best found
	ok, exact := false, true
	for n := 0; ; n++ {
		if n%64 == 0 && ctx.Err() != nil {
			return found{}, false, ctx.Err()
		}
		for g := range all {
			shapes[g] = all[g][at[g]]
		}
		sum, better, whole, err := s.value(ctx, shapes, beat)
		if err != nil {
			return found{}, false, err
		}
		exact = exact && whole
		if better {
			best = found{t: s.l.t, shapes: slices.Clone(shapes), score: sum, bound: sum}
			ok = true
			beat = &best.score
		}
		g := len(all) - 1
		for ; g >= 0; g-- {
			if at[g]++; at[g] < len(all[g]) {
				break
			}
			at[g] = 0
		}
		if g < 0 {
			break
		}
	}
	if ok && !exact {
		best.bound = s.floor(all)
	}
	return best, ok, nil
}

// table is what the run of each node costs by where the ends of one group are: below
// the node or not. Parted clients are counted as in splitter.relaxed.
type table [][4]score

const (
	neither = iota
	onlyA
	onlyB
	both
)

// tableOf makes the table of a group under a scheme, the other groups being shaped
// as given; a group of shape zero is left out.
func (s *searcher) tableOf(g int, scheme intent.Scheme, shapes []shape, without map[int]bool) table {
	out := make(table, s.l.t.size())
	sp := &splitter{l: s.l, store: s.store, runs: s.runs, shared: s.shared, quick: s.quick,
		clients: make([][]int, s.l.t.size()), wants: make([][]want, s.l.t.size())}
	for v := int32(1); int(v) < s.l.t.size(); v++ {
		var clients []int
		var wants []want
		for c := range s.l.clients() {
			if c == g || without[c] {
				continue
			}
			if w := s.l.want(c, v, shapes); !w.none() {
				clients, wants = append(clients, c), append(wants, w)
			}
		}
		for k := range 4 {
			sp.clients[v], sp.wants[v] = clients, wants
			if w := s.l.groupWant(g, v, scheme, k == onlyA || k == both, k == onlyB || k == both); !w.none() {
				sp.clients[v], sp.wants[v] = append(slices.Clip(clients), g), append(slices.Clip(wants), w)
			}
			if len(sp.clients[v]) == 0 {
				continue
			}
			out[v][k] = sp.least(v)
		}
	}
	return out
}

// ends returns the cost of each pair of ends by a table, in the order of shapes.
func (s *searcher) ends(g int, shapes []shape, tables map[intent.Scheme]table) []score {
	t := s.l.t
	n := t.size()
	out := make([]score, len(shapes))
	type sums struct {
		base score
		down [4][]score // by node: from the root down, what it costs beyond neither
	}
	of := map[intent.Scheme]*sums{}
	for scheme, tab := range tables {
		m := &sums{}
		for k := onlyA; k <= both; k++ {
			m.down[k] = make([]score, n)
		}
		for v := 1; v < n; v++ {
			m.base = m.base.add(tab[v][neither])
			for k := onlyA; k <= both; k++ {
				m.down[k][v] = m.down[k][t.parent[v]].add(tab[v][k].sub(tab[v][neither]))
			}
		}
		of[scheme] = m
	}
	meetOf := make([]int32, n)
	on := make([]bool, n)
	last := -1
	for i, sh := range shapes {
		a, b := s.l.end[g][sh.a], s.l.end[g][sh.b]
		if sh.a != last {
			// Where the ways from the root to a and to each other node part.
			last = sh.a
			clear(on)
			for u := a; ; u = t.parent[u] {
				on[u] = true
				if u == 0 {
					break
				}
			}
			for v := range n {
				if meetOf[v] = int32(v); !on[v] {
					meetOf[v] = meetOf[t.parent[v]]
				}
			}
		}
		m := of[sh.scheme]
		fork := meetOf[b]
		out[i] = m.base.add(m.down[both][fork]).
			add(m.down[onlyA][a].sub(m.down[onlyA][fork])).
			add(m.down[onlyB][b].sub(m.down[onlyB][fork]))
	}
	return out
}

func (s *searcher) tables(g int, all []shape, shapes []shape, without map[int]bool) map[intent.Scheme]table {
	out := map[intent.Scheme]table{}
	for _, sh := range all {
		if out[sh.scheme] == nil {
			out[sh.scheme] = s.tableOf(g, sh.scheme, shapes, without)
		}
	}
	return out
}

// one finds the best ends of the only group of a circuit: the costs of all pairs
// follow from four figures for each run. Where the best has parted clients, pairs
// are tried in the order of their bounds until none can be better.
func (s *searcher) one(ctx context.Context, all []shape, beat *score) (found, bool, error) {
	shapes := make([]shape, 1)
	values := s.ends(0, all, s.tables(0, all, shapes, nil))
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return values[a].compare(values[b]) })
	var best found
	ok := false
	bound := values[order[0]]
	for n, i := range order {
		if beat != nil && !values[i].less(*beat) {
			break
		}
		if n >= s.limit {
			if ok {
				best.bound = bound
			}
			return best, ok, nil
		}
		shapes[0] = all[i]
		sum, better, exact, err := s.value(ctx, shapes, beat)
		if err != nil {
			return found{}, false, err
		}
		if better {
			best = found{t: s.l.t, shapes: slices.Clone(shapes), score: sum, bound: sum}
			ok = true
			beat = &best.score
			if !exact {
				best.bound = bound
			}
		}
	}
	return best, ok, nil
}

// descend improves one group after the other, from the best of each by itself, until
// no group alone can do better.
func (s *searcher) descend(ctx context.Context, all [][]shape, beat *score) (found, bool, error) {
	shapes := make([]shape, len(all))
	without := map[int]bool{}
	for g := range all {
		without[g] = true
	}
	pick := func(g int) bool {
		values := s.ends(g, all[g], s.tables(g, all[g], shapes, without))
		k := 0
		for i := range values {
			if values[i].less(values[k]) {
				k = i
			}
		}
		changed := shapes[g] != all[g][k]
		if !without[g] && changed {
			// Only for a gain, so that the descent ends.
			now := slices.Index(all[g], shapes[g])
			changed = values[k].less(values[now])
		}
		if changed || without[g] {
			shapes[g] = all[g][k]
		}
		delete(without, g)
		return changed
	}
	for g := range all {
		if err := ctx.Err(); err != nil {
			return found{}, false, err
		}
		pick(g)
	}
	for round := 0; round < 10; round++ {
		changed := false
		for g := range all {
			if err := ctx.Err(); err != nil {
				return found{}, false, err
			}
			changed = pick(g) || changed
		}
		if !changed {
			break
		}
	}
	sum, better, _, err := s.value(ctx, shapes, beat)
	if err != nil || !better {
		return found{}, false, err
	}
	best := found{t: s.l.t, shapes: shapes, score: sum}
	if s.quick {
		return best, true, nil
	}
	best.bound = s.floor(all)
	if best.bound.less(score{}) || best.score.less(best.bound) {
		best.bound = score{}
	}
	return best, true, nil
}
