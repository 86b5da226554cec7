package plan

import (
	"context"
	"encoding/binary"
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// The best tree of runs on a graph is found by dynamic programming over the sets of
// boxes that hang on a run, as for the smallest connecting tree (Dreyfus and Wagner
// 1971), but with the cost of a run depending on the set: what a cable has to hold
// follows from which places and lights are beyond it and whether the ends of each
// group are. The state is a box, the run by which it is come to, a set and these
// flags. No run is taken twice at a box, a box that is wanted is always a goal where
// it is come to, and the feed's box is come to only once, at the top. So the same box
// can be in what is found twice only if it is not wanted, and then the two ways to it
// make a ring: every run of the ring is forbidden in turn, best first. Each such
// search takes time of 3^k 9^g for every two runs that meet at a box, with k wanted
// boxes and g groups.

// maxSubsets is the most work that the dynamic programming is used for.
const maxSubsets = 250_000_000

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
	out     map[int32]bool  // runs that are forbidden

	goal   []int     // of each box: its bit as a goal, or 0
	local  [][]int   // flags that each goal can bring
	counts [][]below // by set and group
	lawful [][]int   // by set: the flags that can be

	hangs   []hang    // what hangs on a box but for one run, by box and run
	first   []int32   // of each box: its first hang
	top     int32     // the hang of the root, the last
	brought [][]score // by hang: what it costs at the other end of the run, by state
	from    [][]int16 // by hang and state: the hang by which all of it comes, and 1 more
	prices  map[string][]score
	unknown bool // whether some box is not a goal
}

// hang is what can hang on a box that is come to by one of its runs.
type hang struct {
	box    int32 // index
	run    int32 // by which it is come to; -1 at the root
	to     int32 // index of the box at the other end
	others []int32
	// merged are, by the number of the other runs that are taken into account and
	// by state, the least costs of what is at the box and comes by them.
	merged [][]score
}

// subsetWork estimates the work of a search.
func (r *router) subsetWork() int {
	goals := len(r.wanted) - 1
	work := 0
	for _, b := range r.boxes {
		if d := len(r.ways[b]); b == r.c.root {
			work += d
		} else {
			work += d * max(1, d-1)
		}
	}
	if goals > 24 {
		return maxSubsets + 1
	}
	for range goals {
		if work *= 3; work > maxSubsets*3 {
			return work
		}
	}
	work /= 3 // a set always holds the goal of its box
	for range r.c.groups {
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
		case len(gr.places) == 2:
			can = []int{1, 2}
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
		if j := x.goal[x.at[n.box]]; set&j != 0 {
			out = append(out, n.want())
		}
	}
	return out
}

// price returns the costs of every run with a set of goals beyond it, by the number
// of the run in the intent.
func (x *subsets) price(set, flags int) []score {
	wants := x.wants(set, flags)
	key := make([]byte, 0, 4*len(wants))
	for _, w := range wants {
		b := uint32(w.lines)<<2 | uint32(w.legs)<<16 | uint32(w.spare)<<24
		if w.hot {
			b |= 1
		}
		if w.neutral {
			b |= 2
		}
		key = binary.LittleEndian.AppendUint32(key, b)
	}
	if known, ok := x.prices[string(key)]; ok {
		return known
	}
	options := x.s.parted(wants)
	costs := make([]score, len(x.s.runs))
	for i := range x.hangs {
		if h := &x.hangs[i]; h.run >= 0 {
			costs[h.run] = x.s.least(h.run, options)
		}
	}
	x.prices[string(key)] = costs
	return costs
}

// prepare makes the tables.
func (x *subsets) prepare() {
	n, sets := len(x.boxes), 1<<len(x.goals)
	groups := len(x.c.groups)
	x.flags = 1 << (2 * groups)
	x.prices = map[string][]score{}
	x.goal = make([]int, n)
	for j, goal := range x.goals {
		x.goal[goal] = 1 << j
		x.local = append(x.local, x.localFlags(x.boxes[goal]))
	}
	root := x.at[x.c.root]
	for v := range n {
		x.unknown = x.unknown || x.goal[v] == 0 && int32(v) != root
	}
	x.counts, x.lawful = make([][]below, sets), make([][]int, sets)
	for set := range sets {
		x.counts[set] = make([]below, groups)
		for g := range groups {
			gr, c := &x.c.groups[g], &x.counts[set][g]
			for i, b := range gr.places {
				if x.goal[x.at[b]]&set != 0 {
					c.places++
					if gr.keep[i] {
						c.keep++
					}
				}
			}
			for _, b := range gr.at {
				if x.goal[x.at[b]]&set != 0 {
					c.lights++
				}
			}
		}
		for flags := range x.flags {
			if x.can(set, flags) {
				x.lawful[set] = append(x.lawful[set], flags)
			}
		}
	}
	for v := range n {
		x.first = append(x.first, int32(len(x.hangs)))
		for _, step := range x.w[x.boxes[v]] {
			x.hangs = append(x.hangs, hang{box: int32(v), run: step.run, to: x.at[step.to]})
		}
	}
	x.top = int32(len(x.hangs))
	x.hangs = append(x.hangs, hang{box: root, run: -1, to: -1})
	states := sets * x.flags
	for i := range x.hangs {
		h := &x.hangs[i]
		if h.box == root && h.run >= 0 {
			// Nothing comes by way of the root.
			x.brought, x.from = append(x.brought, nil), append(x.from, nil)
			continue
		}
		for k, step := range x.w[x.boxes[h.box]] {
			// The run at this box; what it brings is at its other end.
			if other := x.first[h.box] + int32(k); step.run != h.run && !x.out[step.run] && x.at[step.to] != root {
				h.others = append(h.others, x.back(other))
			}
		}
		for range len(h.others) + 1 {
			h.merged = append(h.merged, slices.Repeat([]score{never}, states))
		}
		start := h.merged[0]
		if j := x.goal[h.box]; j != 0 {
			for _, f := range x.local[slices.Index(x.goals, h.box)] {
				start[j*x.flags+f] = score{}
			}
		} else {
			start[0] = score{} // nothing, to which what comes by the runs is added
		}
		for k := range h.others {
			h.merged[k+1][0] = start[0]
		}
		x.brought = append(x.brought, slices.Repeat([]score{never}, states))
		x.from = append(x.from, make([]int16, states))
	}
}

// back returns the hang at the other end of a run that is come to by it.
func (x *subsets) back(i int32) int32 {
	h := &x.hangs[i]
	for k, step := range x.w[x.boxes[h.to]] {
		if step.run == h.run {
			return x.first[h.to] + int32(k)
		}
	}
	return -1 // not reached: ways hold every run at both ends
}

// can reports whether flags are possible for a set: an end of a group needs a place,
// and where all its places are, both ends are.
func (x *subsets) can(set, flags int) bool {
	for g := range x.c.groups {
		f := flags >> (2 * g) & 3
		places, all := int(x.counts[set][g].places), len(x.c.groups[g].places)
		switch {
		case places == 0 && f != 0, places == all && f != 3, f == 3 && places == 1 && all > 1:
			return false
		}
	}
	return true
}

var never = score{lack: 1 << 40}

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
		if v := top.merged[len(top.others)][(sets-1)*x.flags+flags]; v.less(best) {
			best, bestFlags = v, flags
		}
	}
	if bestFlags >= 0 {
		x.collectBy(x.top, len(top.others), sets-1, bestFlags, used)
	}
	return best, used, nil
}

// merge finds what a hang costs with a set that is parted over several of its runs
// and what is at its box, each part smaller. What comes by one run alone is added
// by spread.
func (x *subsets) merge(i int32, set, flags int) score {
	h := &x.hangs[i]
	at := set*x.flags + flags
	own := x.goal[h.box]
	for k, other := range h.others {
		less, more, brought := h.merged[k], h.merged[k+1], x.brought[other]
		best := less[at]
		// Of a box that is a goal, its own part is in what is merged already.
		for part := set &^ own; part > 0; part = (part - 1) & (set &^ own) {
			rest := set ^ part
			if rest == 0 && h.run >= 0 || k == 0 && rest != own {
				continue // all of it by one run; or what nothing before it brings
			}
			for _, f := range x.lawful[part] {
				if f&^flags != 0 {
					continue
				}
				b := brought[part*x.flags+f]
				if b.lack >= never.lack {
					continue
				}
				if sum := less[rest*x.flags+(flags^f)].add(b); sum.less(best) {
					best = sum
				}
			}
		}
		more[at] = best
	}
	return h.merged[len(h.others)][at]
}

// spread finds what every hang costs with a set: first what is parted over several
// runs, then what comes by one run alone from the next box, nearest first.
func (x *subsets) spread(set, flags int) {
	at := set*x.flags + flags
	costs := x.price(set, flags)
	now := make([]score, len(x.hangs))
	for i := range x.hangs {
		now[i] = never
		h := &x.hangs[i]
		if own := x.goal[h.box]; h.run < 0 || x.brought[i] == nil || own&^set != 0 || x.out[h.run] {
			continue
		}
		now[i] = x.merge(int32(i), set, flags)
	}
	if x.unknown {
		x.pass(at, costs, now)
	}
	for i := range x.hangs {
		if now[i].lack < never.lack {
			x.brought[i][at] = now[i].add(costs[x.hangs[i].run])
		}
	}
	if x.unknown {
		x.alone(at)
	}
	x.merge(x.top, set, flags)
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

// pass lets all of a set come through boxes that are no goals.
func (x *subsets) pass(at int, costs, now []score) {
	done := make([]bool, len(now))
	for {
		i := -1
		for j := range now {
			if !done[j] && now[j].lack < never.lack && (i < 0 || now[j].less(now[i])) {
				i = j
			}
		}
		if i < 0 {
			return
		}
		done[i] = true
		h := &x.hangs[i]
		v := h.to
		if x.goal[v] != 0 || v == x.hangs[len(x.hangs)-1].box {
			continue
		}
		sum := now[i].add(costs[h.run])
		for k, step := range x.w[x.boxes[v]] {
			j := x.first[v] + int32(k)
			if step.run != h.run && !done[j] && !x.out[step.run] && sum.less(now[j]) {
				now[j] = sum
				x.from[j][at] = int16(i) + 1
			}
		}
	}
}

// collect gathers the runs of all that hangs on a box in a state: what comes by one
// run alone, nearer to where it begins, or parts of it, each smaller.
func (x *subsets) collect(i int32, set, flags int, used map[int32]bool) {
	h, at := &x.hangs[i], set*x.flags+flags
	if j := x.from[i][at]; j > 0 {
		used[x.hangs[j-1].run] = true
		x.collect(int32(j-1), set, flags, used)
		return
	}
	if x.goal[h.box] != 0 {
		x.collectBy(i, len(h.others), set, flags, used)
		return
	}
	want := x.brought[i][at].sub(x.price(set, flags)[h.run])
	for k := range h.others {
		if part, f := x.parting(h, k, set, flags, want, false); part > 0 {
			used[x.hangs[h.others[k]].run] = true
			x.collect(h.others[k], part, f, used)
			x.collectBy(i, k, set^part, flags^f, used)
			return
		}
	}
}

// collectBy gathers the runs of what comes by the first of a hang's other runs.
func (x *subsets) collectBy(i int32, runs int, set, flags int, used map[int32]bool) {
	h := &x.hangs[i]
	for k := runs - 1; k >= 0; k-- {
		at := set*x.flags + flags
		want := h.merged[k+1][at]
		if h.merged[k][at] == want {
			continue // nothing comes by it
		}
		part, f := x.parting(h, k, set, flags, want, true)
		used[x.hangs[h.others[k]].run] = true
		x.collect(h.others[k], part, f, used)
		set, flags = set^part, flags^f
	}
}

// parting finds again how a cost came about: what of the set comes by one of the
// other runs, all of it only if that may be. Nothing is 0.
func (x *subsets) parting(h *hang, k, set, flags int, want score, whole bool) (part, f int) {
	less, brought := h.merged[k], x.brought[h.others[k]]
	for part = set; part > 0; part = (part - 1) & set {
		for _, f = range x.lawful[part] {
			if f&^flags != 0 || part == set && (!whole || f != flags) {
				continue
			}
			b, l := brought[part*x.flags+f], less[(set^part)*x.flags+(flags^f)]
			if b.lack < never.lack && l.lack < never.lack && l.add(b) == want {
				return part, f
			}
		}
	}
	return 0, 0
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
