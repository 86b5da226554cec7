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
// group are. The state is a box, a set and these flags. It takes time of n 3^k 9^g
// for n boxes of which k are wanted and g groups.

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
	local  [][]int   // flags that each goal can bring; the root's last
	value  [][]score // by set and flags: by box
	back   [][]backStep
}

// backStep says where a value comes from: nothing, two sets at one box, or the same
// set over a run.
type backStep struct {
	set, flags int32 // of the one part of two
	run, from  int32
	kind       uint8
}

const (
	backNone uint8 = iota
	backMeet
	backRun
)

// work estimates the work of a search, by its boxes, goals and groups.
func subsetWork(boxes, goals, groups int) int {
	work := boxes
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
	never := score{lack: 1 << 40}
	x.value = make([][]score, sets*x.flags)
	x.back = make([][]backStep, sets*x.flags)
	for i := range x.value {
		x.value[i] = make([]score, n)
		for v := range x.value[i] {
			x.value[i][v] = never
		}
		x.back[i] = make([]backStep, n)
	}
	for set := 1; set < sets; set++ {
		if err := ctx.Err(); err != nil {
			return score{}, nil, err
		}
		x.meetSets(set)
		for flags := range x.flags {
			x.spread(set, flags)
		}
	}
	root := x.at[x.c.root]
	all := sets - 1
	best, bestFlags := never, -1
	for _, f := range x.localFlags(x.c.root) {
		if k == 0 {
			return score{}, map[int32]bool{}, nil
		}
		if v := x.value[all*x.flags+(x.flags-1)^f][root]; v.less(best) {
			best, bestFlags = v, (x.flags-1)^f
		}
	}
	used := map[int32]bool{}
	if bestFlags >= 0 {
		x.collect(all, bestFlags, root, used)
	}
	return best, used, nil
}

// meetSets joins, at each box, two parts of a set that hang there.
func (x *subsets) meetSets(set int) {
	if set&(set-1) == 0 {
		j := 0
		for set>>j != 1 {
			j++
		}
		for _, f := range x.local[j] {
			x.value[set*x.flags+f][x.goals[j]] = score{}
		}
		return
	}
	low := set & -set
	rest := set ^ low
	for part := rest; ; part = (part - 1) & rest {
		one, two := low|part, rest^part
		if two != 0 {
			for f1 := range x.flags {
				a := x.value[one*x.flags+f1]
				free := (x.flags - 1) ^ f1
				for f2 := free; ; f2 = (f2 - 1) & free {
					b, out := x.value[two*x.flags+f2], x.value[set*x.flags+(f1|f2)]
					back := x.back[set*x.flags+(f1|f2)]
					for v := range out {
						if sum := a[v].add(b[v]); sum.less(out[v]) {
							out[v] = sum
							back[v] = backStep{set: int32(one), flags: int32(f1), kind: backMeet}
						}
					}
					if f2 == 0 {
						break
					}
				}
			}
		}
		if part == 0 {
			break
		}
	}
}

// spread carries a set from the boxes where it hangs over the runs, nearest first.
func (x *subsets) spread(set, flags int) {
	value, back := x.value[set*x.flags+flags], x.back[set*x.flags+flags]
	if !slices.ContainsFunc(value, func(s score) bool { return s.lack < 1<<40 }) {
		return
	}
	wants := x.wants(set, flags)
	options := x.s.parted(wants)
	done := make([]bool, len(value))
	for range value {
		v := -1
		for u := range value {
			if !done[u] && value[u].lack < 1<<40 && (v < 0 || value[u].less(value[v])) {
				v = u
			}
		}
		if v < 0 {
			return
		}
		done[v] = true
		for _, step := range x.w[x.boxes[v]] {
			u := x.at[step.to]
			if done[u] {
				continue
			}
			if sum := value[v].add(x.s.least(step.run, options)); sum.less(value[u]) {
				value[u] = sum
				back[u] = backStep{run: step.run, from: int32(v), kind: backRun}
			}
		}
	}
}

// collect gathers the runs of a value.
func (x *subsets) collect(set, flags int, v int32, used map[int32]bool) {
	for {
		b := x.back[set*x.flags+flags][v]
		switch b.kind {
		case backNone:
			return
		case backRun:
			used[b.run] = true
			v = b.from
		case backMeet:
			x.collect(int(b.set), int(b.flags), v, used)
			set, flags = set^int(b.set), flags^int(b.flags)
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
