package plan

import (
	"context"
	"slices"
)

// improve looks at the trees to begin with and improves one after the other, the best
// first, of equals the first, until half of what may be done is. Each after the first
// has half of what is left.
func (r *router) improve(ctx context.Context) error {
	end := r.store.asked + r.left.prices/2
	var from []found
	if r.ok {
		from = append(from, r.best)
	}
	for _, use := range r.starts() {
		if r.ok && r.store.asked > end {
			break
		}
		f, ok, err := r.look(ctx, use, nil, true)
		if err != nil {
			return err
		}
		if ok {
			from = append(from, f)
		}
	}
	slices.SortStableFunc(from, func(a, b found) int { return a.score.compare(b.score) })
	limit := r.trees + r.m.opt.limit()
	for _, f := range from {
		if r.store.asked >= end || r.trees >= limit {
			break
		}
		if err := r.exchange(ctx, f, limit, r.store.asked+(end-r.store.asked)/2); err != nil {
			return err
		}
	}
	// The best has all its combinations tried, and of equals the first taken.
	as := score{r.best.score.lack, r.best.score.cost + 1}
	f, ok, err := r.look(ctx, runsOf(r.best.t), &as, false)
	if ok && err == nil {
		r.best = f
	}
	return err
}

// exchange improves a tree by swaps and, where none gains, by hanging a branch on
// elsewhere, until neither gains or the number of trees or that of prices is reached.
func (r *router) exchange(ctx context.Context, f found, trees, asked int) error {
	x := &exchange{r: r, f: f, trees: trees, asked: asked}
	for {
		gained, err := x.swap(ctx)
		if err == nil && !gained {
			gained, err = x.rehang(ctx)
		}
		if err != nil || !gained {
			return err
		}
	}
}

// exchange is a tree that is being improved.
type exchange struct {
	r            *router
	f            found
	trees, asked int // at which it ends
}

func (x *exchange) over() bool { return x.r.trees >= x.trees || x.r.store.asked >= x.asked }

// runsOf returns the runs of a tree.
func runsOf(t *tree) map[int32]bool {
	out := map[int32]bool{}
	for _, run := range t.run[1:] {
		out[run] = true
	}
	return out
}

// take goes on from the tree that runs make if it is better.
func (x *exchange) take(ctx context.Context, use map[int32]bool) (bool, error) {
	g, better, err := x.r.look(ctx, use, &x.f.score, true)
	if better && err == nil {
		x.f = g
	}
	return better, err
}

// swap puts in runs between boxes of the tree, each for the first run of the ring it closes
// whose loss makes the tree better, once round the runs.
func (x *exchange) swap(ctx context.Context) (gained bool, err error) {
	for _, run := range x.r.runs {
		t := x.f.t
		now := runsOf(x.f.t)
		from, to := x.r.ends(run)
		a, okA := t.node[from]
		b, okB := t.node[to]
		if now[run] || !okA || !okB {
			continue
		}
		for _, v := range t.path(a, b) {
			if x.over() {
				return false, nil
			}
			use := cloned(now)
			use[run] = true
			delete(use, t.run[v])
			better, err := x.take(ctx, use)
			if err != nil {
				return false, err
			}
			if better {
				gained = true
				break
			}
		}
	}
	return gained, nil
}

// hangs is how many ways to hang a branch on elsewhere are looked at.
const hangs = 4

// rehang takes branches off, each with what hangs on it, and hangs them on another box by
// the cheapest way over boxes that are not in the tree, the nearest such boxes first, once
// round the tree.
func (x *exchange) rehang(ctx context.Context) (gained bool, err error) {
	for k := 1; k < x.f.t.size(); k++ {
		t := x.f.t
		v := int32(k)
		branch := map[int32]bool{}
		for u := v; u <= t.last[v]; u++ {
			branch[t.box[u]] = true
		}
		order, back := x.r.cheapest(branch, nil)
		tried := 0
		for _, b := range order {
			u, in := t.node[b]
			if !in || branch[b] {
				continue
			}
			use := runsOf(x.f.t)
			delete(use, t.run[v])
			for b != -1 && !branch[b] {
				if w, in := t.node[back[b].to]; in && w != u && !branch[back[b].to] {
					b = -1 // it comes through the tree
					break
				}
				use[back[b].run] = true
				b = back[b].to
			}
			if b == -1 || use[t.run[v]] {
				continue
			}
			if tried++; tried > hangs {
				break
			}
			if x.over() {
				return false, nil
			}
			better, err := x.take(ctx, use)
			if err != nil {
				return false, err
			}
			if better {
				gained = true
				break
			}
		}
	}
	return gained, nil
}
