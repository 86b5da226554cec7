package plan

import (
	"container/heap"
	"context"
)

// run finds the least cost, with runs costing what splitter.relaxed counts, and the
// runs that give it.
func (x *subsets) run(ctx context.Context) (score, map[int32]bool, error) {
	used := map[int32]bool{}
	if len(x.goals) == 0 {
		return score{}, used, nil
	}
	x.prepare()
	sets := 1 << len(x.goals)
	for set := 1; set < sets; set++ {
		if err := ctx.Err(); err != nil {
			return score{}, nil, err
		}
		for _, flags := range x.lawful[set] {
			x.spread(set, flags)
		}
	}
	// At the root there is no run above, and its own place brings the flags left.
	top := &x.hangs[x.top]
	best, bestFlags := never, -1
	for _, f := range x.localFlags(x.c.root) {
		flags := (x.flags - 1) ^ f
		if v := top.merged[len(top.others)][x.state(sets-1, flags, 0)]; v.less(best) {
			best, bestFlags = v, flags
		}
	}
	if bestFlags >= 0 {
		x.collectBy(x.top, len(top.others), sets-1, bestFlags, 0, used)
	}
	return best, used, nil
}

// merge finds what a hang costs with a set that is parted over several of its runs
// and what is at its box, each part smaller. What comes by one run alone is added
// by spread.
func (x *subsets) merge(i int32, set, flags, p int) score {
	h := &x.hangs[i]
	at := x.state(set, flags, p)
	own := x.goal[h.box]
	parts := len(x.parts)
	for k, other := range h.others {
		less, brought := h.merged[k], x.brought[other]
		best := less[at]
		// Of a box that is a goal, its own part is in what is merged already.
		for part := set &^ own; part > 0; part = (part - 1) & (set &^ own) {
			rest := set ^ part
			if rest == 0 && h.run >= 0 || k == 0 && rest != own {
				continue // all of it by one run; or what nothing before it brings
			}
			of, with := part*x.flags, rest*x.flags+flags
			for _, f := range x.lawful[part] {
				if f&^flags != 0 {
					continue
				}
				b := brought[(of+f)*parts+p]
				if b.lack >= never.lack {
					continue
				}
				if sum := less[(with-f)*parts+p].add(b); sum.less(best) {
					best = sum
				}
			}
		}
		h.merged[k+1][at] = best
	}
	return h.merged[len(h.others)][at]
}

// spread finds what every hang costs with a set: first what is parted over several
// runs, then what comes by one run alone from the next box, nearest first.
func (x *subsets) spread(set, flags int) {
	parts := len(x.parts)
	costs := x.price(set, flags)
	now := make([]score, len(x.hangs)*parts)
	for i := range x.hangs {
		h := &x.hangs[i]
		own := x.goal[h.box]
		for p := range parts {
			now[i*parts+p] = never
			if h.run >= 0 && x.brought[i] != nil && own&^set == 0 && !x.out[h.run] {
				now[i*parts+p] = x.merge(int32(i), set, flags, p)
			}
		}
	}
	if x.unknown {
		x.pass(set, flags, costs, now)
	}
	for i := range x.hangs {
		h := &x.hangs[i]
		if h.run < 0 || x.brought[i] == nil {
			continue
		}
		for p := range parts {
			at := x.state(set, flags, p)
			x.hanging[i][at] = now[i*parts+p]
			for _, way := range costs[p] {
				if b := now[i*parts+way.beyond]; b.lack < never.lack {
					if sum := b.add(way.costs[h.run]); sum.less(x.brought[i][at]) {
						x.brought[i][at] = sum
					}
				}
			}
		}
	}
	for p := range parts {
		if x.unknown {
			x.alone(x.state(set, flags, p))
		}
		x.merge(x.top, set, flags, p)
	}
}

// alone lets what comes by one run alone to a box that is no goal be merged with what
// comes by later ones.
func (x *subsets) alone(at int) {
	for i := range x.hangs {
		h := &x.hangs[i]
		if x.goal[h.box] != 0 || h.run < 0 || h.merged == nil {
			continue
		}
		for k, other := range h.others {
			for _, can := range []score{h.merged[k][at], x.brought[other][at]} {
				if can.less(h.merged[k+1][at]) {
					h.merged[k+1][at] = can
				}
			}
		}
	}
}

// queued is a hang and partition, as one number, with what it costs.
type queued struct {
	score
	n int
}

// nearest is a heap of what is queued.
type nearest []queued

func (q nearest) Len() int { return len(q) }
func (q nearest) Less(i, j int) bool {
	return q[i].less(q[j].score) || q[i].score == q[j].score && q[i].n < q[j].n
}
func (q nearest) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *nearest) Push(x any)   { *q = append(*q, x.(queued)) }
func (q *nearest) Pop() any {
	last := len(*q) - 1
	x := (*q)[last]
	*q = (*q)[:last]
	return x
}

// pass lets all of a set come through boxes that are no goals.
func (x *subsets) pass(set, flags int, costs [][]parting, now []score) {
	parts := len(x.parts)
	queue := nearest{}
	for n := range now {
		if now[n].lack < never.lack {
			queue = append(queue, queued{now[n], n})
		}
	}
	heap.Init(&queue)
	for len(queue) > 0 {
		q := heap.Pop(&queue).(queued)
		if q.score != now[q.n] {
			continue // it has come down since
		}
		h := &x.hangs[q.n/parts]
		v := h.to
		if x.goal[v] != 0 || v == x.hangs[x.top].box {
			continue
		}
		for p := range parts {
			for _, way := range costs[p] {
				if way.beyond != q.n%parts {
					continue
				}
				sum := q.add(way.costs[h.run])
				for k, step := range x.w[x.boxes[v]] {
					j := int(x.first[v]) + k
					if at := j*parts + p; step.run != h.run && !x.out[step.run] && sum.less(now[at]) {
						now[at] = sum
						x.from[j][x.state(set, flags, p)] = int32(q.n) + 1
						heap.Push(&queue, queued{sum, at})
					}
				}
			}
		}
	}
}
