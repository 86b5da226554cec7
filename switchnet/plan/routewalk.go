package plan

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/unionfind"
)

// few reports whether the trees of all boxes are so few that every has a chance to try
// all. Their number is a determinant (Kirchhoff 1847), and no smaller than that of the trees
// whose every branch has a wanted box.
func (r *router) few() bool {
	n := len(r.boxes)
	if n < 2 {
		return true
	}
	at := map[int32]int{}
	for i, b := range r.boxes {
		at[b] = i - 1 // the first is left out
	}
	laplacian := mat.NewDense(n-1, n-1, nil)
	for _, run := range r.runs {
		from, to := r.ends(run)
		i, j := at[from], at[to]
		for _, d := range [][3]int{{i, i, 1}, {j, j, 1}, {i, j, -1}, {j, i, -1}} {
			if d[0] >= 0 && d[1] >= 0 {
				laplacian.Set(d[0], d[1], laplacian.At(d[0], d[1])+float64(d[2]))
			}
		}
	}
	log, _ := mat.LogDet(laplacian)
	return log < math.Log(16*float64(r.m.opt.limit()))
}

// every tries all trees, unless they are more than the limit, and reports whether it
// did.
func (r *router) every(ctx context.Context) (bool, error) {
	runs := slices.Clone(r.runs)
	slices.SortStableFunc(runs, func(a, b int32) int { return int(min(1, max(-1, r.weight(a)-r.weight(b)))) })
	w := walker{r: r, runs: runs, left: 64 * r.m.opt.limit(), asked: r.store.asked + r.left.prices/2, used: map[int32]bool{}}
	w.in, w.out, w.seen = make([]bool, len(r.m.in.Runs)), make([]bool, len(r.m.in.Runs)), make([]bool, len(r.ways))
	err := w.walk(ctx, 0, 0)
	return w.left > 0, err
}

// walker walks over the trees of a graph: each run is taken or left.
type walker struct {
	r     *router
	runs  []int32
	left  int // steps
	asked int // prices
	used  map[int32]bool
	in    []bool // runs that are taken
	out   []bool // runs that are left
	seen  []bool // boxes, for joined
	stack []int32
}

func (w *walker) walk(ctx context.Context, i int, cost rules.Amount) error {
	r := w.r
	if w.left--; w.left <= 0 || r.store.asked > w.asked {
		w.left = 0
		return nil
	}
	if r.ok && r.best.score.lack == 0 && cost >= r.best.score.cost {
		return nil
	}
	if !w.joined(false) {
		return nil // what was left out parts the wanted boxes
	}
	if w.joined(true) {
		_, err := r.try(ctx, w.used)
		return err
	}
	if i == len(w.runs) {
		return nil
	}
	run := w.runs[i]
	if !w.ring(run) {
		w.used[run], w.in[run] = true, true
		if err := w.walk(ctx, i+1, cost+r.weight(run)); err != nil {
			return err
		}
		delete(w.used, run)
		w.in[run] = false
	}
	w.out[run] = true
	err := w.walk(ctx, i+1, cost)
	w.out[run] = false
	return err
}

// joined reports whether the wanted boxes hang together by the runs taken, or by all
// that are not left.
func (w *walker) joined(taken bool) bool {
	r := w.r
	clear(w.seen)
	w.seen[r.c.root] = true
	w.stack = append(w.stack[:0], r.c.root)
	missing := len(r.wanted) - 1
	for len(w.stack) > 0 && missing > 0 {
		b := w.stack[len(w.stack)-1]
		w.stack = w.stack[:len(w.stack)-1]
		for _, s := range r.ways[b] {
			if w.seen[s.to] || w.out[s.run] || taken && !w.in[s.run] {
				continue
			}
			w.seen[s.to] = true
			if r.wanted[s.to] {
				missing--
			}
			w.stack = append(w.stack, s.to)
		}
	}
	return missing == 0
}

// ring reports whether a run closes a ring with those taken.
func (w *walker) ring(run int32) bool {
	r := w.r
	sets := unionfind.New(len(r.m.in.Boxes))
	in := r.m.in
	for used := range w.used {
		sets.Union(r.m.boxes[in.Runs[used].From], r.m.boxes[in.Runs[used].To])
	}
	return sets.Find(r.m.boxes[in.Runs[run].From]) == sets.Find(r.m.boxes[in.Runs[run].To])
}
