package plan

import (
	"encoding/binary"
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// The best tree of runs on a graph is found by dynamic programming over the sets of
// boxes that hang on a run, as for the smallest connecting tree (Dreyfus and Wagner
// 1971), but with the cost of a run depending on the set: what a cable has to hold
// follows from which places and lights are beyond it, whether the ends of each group
// are, and which clients have been parted on the way. The state is a box, the run by
// which it is come to, a set, these flags and a partition of the clients. No run is taken twice at a box, a box that is wanted is always a goal where
// it is come to, and the feed's box is come to only once, at the top. So the same box
// can be in what is found twice only if it is not wanted, and then the two ways to it
// make a ring: every run of the ring is forbidden in turn, best first. Each such
// search takes time of 3^k 9^g for every two runs that meet at a box and every
// partition, with k wanted boxes and g groups. Where that is too much, each run is
// taken as if nothing had been parted before, which gives a bound.

// tooMuch is more work than any budget.
const tooMuch = 1 << 60

// maxStates is the most states that it keeps, of some 80 bytes each.
const maxStates = 6_000_000

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
	from    [][]int32 // by hang and state: that by which all of it comes, as hang and partition, and 1 more
	hanging [][]score // by hang: the same without the run
	prices  map[string][][]parting
	unknown bool // whether some box is not a goal

	parts []partition    // of all clients; one alone if they are not told apart
	part  map[string]int // index of each
}

// parting is one way in which clients that come to a run parted in some way can go
// on beyond it.
type parting struct {
	beyond int     // index of the partition
	costs  []score // by run
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

// subsetWork estimates the work of a search without partitions, in steps; it is tooMuch
// where that is too much for the tables.
func (r *router) subsetWork() int {
	goals, groups := len(r.wanted)-1, len(r.c.groups)
	if goals > 20 || groups > 6 {
		return tooMuch
	}
	states := 1 << (goals + 2*groups)
	merges, hangs := 0, 1
	for _, b := range r.boxes {
		d := len(r.ways[b])
		merges += d * max(1, d-1)
		hangs += d
	}
	if states > maxStates/hangs {
		return tooMuch
	}
	for range goals - 1 { // a set always holds the goal of its box
		merges *= 3
	}
	for range groups {
		merges *= 9
	}
	return merges + 16*states*hangs
}

// parts returns the partitions of clients that a search can tell apart.
func (r *router) parts(s *searcher) []partition {
	all := s.shared.of(r.c.clients())
	hangs := 1
	for _, b := range r.boxes {
		hangs += len(r.ways[b])
	}
	if states := len(all) << (len(r.wanted) - 1 + 2*len(r.c.groups)); r.subsetWork() > r.left.steps/len(all) || states > maxStates/hangs {
		return all[:1]
	}
	return all
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

// wants returns what the clients beyond a run with a set of goals want, and who they are.
func (x *subsets) wants(set, flags int) (out []want, clients []int) {
	for g := range x.c.groups {
		f := flags >> (2 * g) & 3
		if w := x.c.groups[g].want(x.counts[set][g], x.schemes[g], f&1 != 0, f&2 != 0); !w.none() {
			out, clients = append(out, w), append(clients, g)
		}
	}
	for i := range x.c.needs {
		n := &x.c.needs[i]
		if j := x.goal[x.at[n.box]]; set&j != 0 {
			out, clients = append(out, n.want()), append(clients, len(x.c.groups)+i)
		}
	}
	return out, clients
}

// price returns, by the partition in which clients come to a run with a set of goals
// beyond it, the ways in which they can go on, with the costs of every run by its
// number in the intent.
func (x *subsets) price(set, flags int) [][]parting {
	wants, clients := x.wants(set, flags)
	key := make([]byte, 0, 5*len(wants))
	for i, w := range wants {
		b := uint32(w.lines)<<2 | uint32(w.legs)<<16 | uint32(w.spare)<<24
		if w.hot {
			b |= 1
		}
		if w.neutral {
			b |= 2
		}
		key = binary.LittleEndian.AppendUint32(append(key, byte(clients[i])), b)
	}
	if known, ok := x.prices[string(key)]; ok {
		return known
	}
	out := make([][]parting, len(x.parts))
	for p := range x.parts {
		out[p] = x.partings(p, wants, clients)
	}
	x.prices[string(key)] = out
	return out
}

// partings returns the ways in which clients that come parted in a given way can go on.
func (x *subsets) partings(p int, wants []want, clients []int) []parting {
	var out []parting
	apart := make(partition, len(clients))
	told := len(x.parts) > 1
	if told {
		labels := make([]uint16, len(clients))
		for i, c := range clients {
			labels[i] = uint16(x.parts[p][c])
		}
		apart = normal(labels)
	}
	for k, cables := range x.s.shared.of(len(clients)) {
		together, beyond := cables, 0
		if told {
			together = meet(apart, cables)
			// Who is not here stays as it is.
			all := make(partition, x.c.clients())
			for i, c := range clients {
				all[c] = cables[i]
			}
			beyond = x.part[string(meet(x.parts[p], all))]
		}
		at := slices.IndexFunc(out, func(o parting) bool { return o.beyond == beyond })
		if at < 0 {
			at = len(out)
			out = append(out, parting{beyond, slices.Repeat([]score{never}, len(x.s.runs))})
		}
		held := loads(nil, wants, together, cables)
		for i := range x.hangs {
			run := x.hangs[i].run
			if run < 0 {
				continue
			}
			if r := &x.s.runs[run]; k > 0 && (r.Raceway || r.Cable.Name != "") {
				continue // it holds them all
			}
			var sum score
			for _, l := range held {
				sum = sum.add(x.s.store.price(x.s.runs, run, l).score)
			}
			if sum.less(out[at].costs[run]) {
				out[at].costs[run] = sum
			}
		}
	}
	return out
}

// prepare makes the tables.
func (x *subsets) prepare() {
	n, sets := len(x.boxes), 1<<len(x.goals)
	groups := len(x.c.groups)
	x.flags = 1 << (2 * groups)
	x.prices = map[string][][]parting{}
	x.part = map[string]int{}
	for i, p := range x.parts {
		x.part[string(p)] = i
	}
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
	states := sets * x.flags * len(x.parts)
	for i := range x.hangs {
		h := &x.hangs[i]
		if h.box == root && h.run >= 0 {
			// Nothing comes by way of the root.
			x.brought, x.hanging, x.from = append(x.brought, nil), append(x.hanging, nil), append(x.from, nil)
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
		for p := range x.parts {
			if j := x.goal[h.box]; j != 0 {
				for _, f := range x.local[slices.Index(x.goals, h.box)] {
					h.merged[0][x.state(j, f, p)] = score{}
				}
				continue
			}
			// Nothing, to which what comes by the runs is added.
			for k := range h.merged {
				h.merged[k][x.state(0, 0, p)] = score{}
			}
		}
		x.brought = append(x.brought, slices.Repeat([]score{never}, states))
		x.hanging = append(x.hanging, slices.Repeat([]score{never}, states))
		x.from = append(x.from, make([]int32, states))
	}
}

// state numbers a set, flags and a partition.
func (x *subsets) state(set, flags, part int) int { return (set*x.flags+flags)*len(x.parts) + part }

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
