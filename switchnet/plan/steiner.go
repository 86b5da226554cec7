package plan

import (
	"context"
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// The best tree of runs on a graph is found by dynamic programming over the sets of
// boxes that hang on a run, as for the smallest connecting tree (Dreyfus and Wagner
// 1971), but with the cost of a run depending on the set: what a cable has to hold
// follows from which places and lights are beyond it and whether the ends of each
// group are. The state is a box, a set and these flags. Each run that leaves a box is
// used once at most. A box may still come twice in what is found, by two ways that
// make a ring; then every run of the ring is forbidden in turn, best first. It takes
// time of m 3^k 9^g for m runs, k wanted boxes and g groups, for each such search.

// maxSubsets is the most work that the dynamic programming is used for.
const maxSubsets = 200_000_000

// subsets is one such search, under given schemes.
type subsets struct {
	c       *circuit
	s       *searcher
	w       ways
	boxes   []int32         // that can be reached, in the order of their numbers
	at      map[int32]int32 // index of each
	goals   []int32         // wanted boxes but for the root, as indices
	schemes []intent.Scheme // by group
	flags   int             // 4^groups

	counts [][]below // by set and group
	local  [][]int   // flags that each goal can bring
	out    map[int32]bool

	// By box, by the number of its runs that are taken into account, and by set and
	// flags: the least cost of what hangs on the box.
	value [][][]score
	back  [][][]backStep
	// By box, run, set and flags: the least cost of what comes by the run.
	brought [][][]score
	from    [][]int32 // by box, set and flags: the run by which all of it comes, and 1 more
}

// backStep says where a value comes from: from one run less, from the last run
// alone, or from both, the set and flags being those of the part without the last run.
type backStep struct {
	set, flags int32
	kind       uint8
}

const (
	backLess uint8 = iota
	backRun
	backBoth
)

// subsetWork estimates the work of a search, by its runs, goals and groups.
func subsetWork(runs, goals, groups int) int {
	work := 2 * runs
	for range goals {
		if work *= 3; work > maxSubsets {
			return work
		}
	}
	for range groups {
		if work *= 9; work > maxSubsets {
			return work
		}
	}
	return work
}

// localFlags returns the flags that a box can bring: of each group with a place
// there, that the place is no end, the first or the last.
func (x *subsets) localFlags(box int32) []int {
	out := []int{0}
	for g := range x.c.groups {
		gr := &x.c.groups[g]
		k := slices.Index(gr.places, box)
		if k < 0 {
			continue
		}
		var can []int
		switch {
		case len(gr.places) == 1:
			can = []int{3}
		case x.schemes[g] == intent.JoinedCommons:
			can = []int{1 + k}
		default:
			can = []int{0, 1, 2}
		}
		var next []int
		for _, f := range out {
			for _, c := range can {
				next = append(next, f|c<<(2*g))
			}
		}
		out = next
	}
	return out
}

// wants returns what the clients beyond a run with a set of goals want.
func (x *subsets) wants(set, flags int) []want {
	var out []want
	for g := range x.c.groups {
		f := flags >> (2 * g) & 3
		if w := x.c.groups[g].want(x.counts[set][g], x.schemes[g], f&1 != 0, f&2 != 0); !w.none() {
			out = append(out, w)
		}
	}
	for i := range x.c.needs {
		n := &x.c.needs[i]
		if k := slices.Index(x.goals, x.at[n.box]); k >= 0 && set>>k&1 != 0 {
			out = append(out, n.want())
		}
	}
	return out
}

// run finds the least cost, with runs costing what splitter.relaxed counts, and the
// runs that give it.
func (x *subsets) run(ctx context.Context) (score, map[int32]bool, error) {
	n, k := len(x.boxes), len(x.goals)
	sets := 1 << k
	groups := len(x.c.groups)
	x.flags = 1 << (2 * groups)
	x.counts = make([][]below, sets)
	for set := range sets {
		x.counts[set] = make([]below, groups)
		for j, goal := range x.goals {
			if set>>j&1 == 0 {
				continue
			}
			for g := range groups {
				gr, c := &x.c.groups[g], &x.counts[set][g]
				for i, b := range gr.places {
					if x.at[b] == goal {
						c.places++
						if gr.keep[i] {
							c.keep++
						}
					}
				}
				for _, b := range gr.at {
					if x.at[b] == goal {
						c.lights++
					}
				}
			}
		}
	}
	for _, goal := range x.goals {
		x.local = append(x.local, x.localFlags(x.boxes[goal]))
	}
	x.value, x.back, x.from = make([][][]score, n), make([][][]backStep, n), make([][]int32, n)
	for v := range n {
		x.from[v] = make([]int32, sets*x.flags)
		x.brought = append(x.brought, nil)
		for range x.w[x.boxes[v]] {
			x.brought[v] = append(x.brought[v], slices.Repeat([]score{never}, sets*x.flags))
		}
		for range len(x.w[x.boxes[v]]) + 1 {
			value := make([]score, sets*x.flags)
			for i := range value {
				value[i] = never
			}
			x.value[v] = append(x.value[v], value)
			x.back[v] = append(x.back[v], make([]backStep, sets*x.flags))
		}
	}
	for j, goal := range x.goals {
		for _, f := range x.local[j] {
			x.value[goal][0][1<<j*x.flags+f] = score{}
		}
	}
	for set := 1; set < sets; set++ {
		if err := ctx.Err(); err != nil {
			return score{}, nil, err
		}
		for flags := range x.flags {
			x.spread(set, flags)
		}
	}
	root := x.at[x.c.root]
	all := sets - 1
	if k == 0 {
		return score{}, map[int32]bool{}, nil
	}
	best, bestFlags := never, -1
	for _, f := range x.localFlags(x.c.root) {
		if v := x.total(root)[all*x.flags+(x.flags-1)^f]; v.less(best) {
			best, bestFlags = v, (x.flags-1)^f
		}
	}
	used := map[int32]bool{}
	if bestFlags >= 0 {
		x.collect(all, bestFlags, root, used)
	}
	return best, used, nil
}

var never = score{lack: 1 << 40}

// total is the values of a box with all its runs.
func (x *subsets) total(v int32) []score { return x.value[v][len(x.value[v])-1] }

// spread finds the values of a set: first what comes to a box by several runs, each
// with a smaller set, then what comes by one run from the next box, nearest first.
func (x *subsets) spread(set, flags int) {
	at := set*x.flags + flags
	wants := x.wants(set, flags)
	options := x.s.parted(wants)
	cost := map[int32]score{}
	price := func(run int32) score {
		c, ok := cost[run]
		if !ok {
			c = x.s.least(run, options)
			cost[run] = c
		}
		return c
	}
	// What the last run brings of a smaller set costs what hangs on the box at its
	// other end, and the run.
	for v := range x.value {
		for i, step := range x.w[x.boxes[v]] {
			less, value, back := x.value[v][i], x.value[v][i+1], x.back[v][i+1]
			value[at] = less[at]
			if x.out[step.run] {
				continue
			}
			brought := x.brought[v][i]
			for part := (set - 1) & set; part > 0; part = (part - 1) & set {
				for f := flags; ; f = (f - 1) & flags {
					a := less[part*x.flags+f]
					if a.lack < never.lack {
						if sum := a.add(brought[(set^part)*x.flags+(flags^f)]); sum.less(value[at]) {
							value[at] = sum
							back[at] = backStep{int32(part), int32(f), backBoth}
						}
					}
					if f == 0 {
						break
					}
				}
			}
		}
	}
	n := len(x.value)
	now := make([]score, n)
	for v := range n {
		now[v] = x.total(int32(v))[at]
	}
	done := make([]bool, n)
	for range n {
		v := -1
		for u := range n {
			if !done[u] && now[u].lack < never.lack && (v < 0 || now[u].less(now[v])) {
				v = u
			}
		}
		if v < 0 {
			break
		}
		done[v] = true
		for _, step := range x.w[x.boxes[v]] {
			u := x.at[step.to]
			if done[u] || x.out[step.run] {
				continue
			}
			if sum := now[v].add(price(step.run)); sum.less(now[u]) {
				now[u] = sum
				x.from[u][at] = step.run + 1
			}
		}
	}
	for v := range n {
		for i, step := range x.w[x.boxes[v]] {
			value := x.value[v][i+1]
			u := x.at[step.to]
			b := never
			// A box whose all comes from here does not bring it back.
			if !x.out[step.run] && now[u].lack < never.lack && x.from[u][at] != step.run+1 {
				b = now[u].add(price(step.run))
			}
			x.brought[v][i][at] = b
			if less := x.value[v][i][at]; less.less(value[at]) {
				value[at] = less
				x.back[v][i+1][at] = backStep{}
			}
			if b.less(value[at]) {
				value[at] = b
				x.back[v][i+1][at] = backStep{kind: backRun}
			}
		}
	}
}

// collect gathers the runs of all that hangs on a box.
func (x *subsets) collect(set, flags int, v int32, used map[int32]bool) {
	at := set*x.flags + flags
	if run := x.from[v][at] - 1; run >= 0 {
		used[run] = true
		for _, step := range x.w[x.boxes[v]] {
			if step.run == run {
				x.collect(set, flags, x.at[step.to], used)
			}
		}
		return
	}
	x.collectBy(set, flags, v, len(x.w[x.boxes[v]]), used)
}

// collectBy gathers the runs of what comes to a box by the first of its runs.
func (x *subsets) collectBy(set, flags int, v int32, runs int, used map[int32]bool) {
	for ; runs > 0; runs-- {
		b := x.back[v][runs][set*x.flags+flags]
		step := x.w[x.boxes[v]][runs-1]
		switch b.kind {
		case backRun:
			used[step.run] = true
			x.collect(set, flags, x.at[step.to], used)
			return
		case backBoth:
			used[step.run] = true
			x.collect(set^int(b.set), flags^int(b.flags), x.at[step.to], used)
			set, flags = int(b.set), int(b.flags)
		}
	}
}

// parted returns what the cables of a run can have to hold for clients that come
// together: all in one, and the loads of every partition of them that can be better.
func (s *searcher) parted(wants []want) [][]load {
	k := len(wants)
	if k == 0 {
		return nil
	}
	one := s.shared.together(k)
	out := [][]load{loads(wants, one, one)}
	if k == 1 || k > maxParted {
		return out
	}
	for _, p := range s.shared.of(k)[1:] {
		out = append(out, loads(wants, p, p))
	}
	return out
}

// least returns the cost of the cheapest of several ways to share out a run.
func (s *searcher) least(run int32, options [][]load) score {
	if len(options) == 0 {
		return score{}
	}
	r := &s.runs[run]
	best := score{lack: 1 << 30}
	for _, o := range options {
		var sum score
		for _, l := range o {
			sum = sum.add(s.store.price(s.runs, run, l).score)
		}
		if sum.less(best) {
			best = sum
		}
		if r.Raceway || r.Cable.Name != "" {
			break
		}
	}
	return best
}
