package plan

import (
	"context"
	"slices"

	"example.com/switchleg/switchnet/intent"
)

// Clients of a circuit that reach beyond a run may share one cable there, or be
// parted over several. Each cable then has the neutral and the hot of its own clients
// and these stay apart beyond it, so that whatever a client draws goes out and comes
// back in the same cable. A partition says which clients are together.

// partition is labels of a list of clients in restricted growth: the first is 0, and
// each next at most 1 more than the largest before.
type partition []uint8

// partitions returns all partitions of k things: those with fewer parts first, then
// in the order of their labels. Beyond maxParted things there are too many.
func partitions(k int) []partition {
	var all []partition
	var extend func(p partition, most uint8)
	extend = func(p partition, most uint8) {
		if len(p) == k {
			all = append(all, slices.Clone(p))
			return
		}
		for l := uint8(0); l <= most; l++ {
			extend(append(p, l), max(most, l+1))
		}
	}
	extend(make(partition, 0, k), 0)
	slices.SortStableFunc(all, func(a, b partition) int { return int(slices.Max(append(a, 0))) - int(slices.Max(append(b, 0))) })
	return all
}

// maxParted is the most clients on one run for which every partition is tried.
const maxParted = 6

// normal makes labels a partition: equal labels stay equal.
func normal(labels []uint16) partition {
	p := make(partition, len(labels))
	var seen []uint16
	for i, l := range labels {
		k := slices.Index(seen, l)
		if k < 0 {
			k = len(seen)
			seen = append(seen, l)
		}
		p[i] = uint8(k)
	}
	return p
}

// meet returns the partition in which things are together that are so in both.
func meet(p, q partition) partition {
	labels := make([]uint16, len(p))
	for i := range p {
		labels[i] = uint16(p[i])<<8 | uint16(q[i])
	}
	return normal(labels)
}

// splitter finds the best cables for given shapes: by dynamic programming over the
// tree, with the clients that were parted nearer the feed as the state.
type splitter struct {
	l      *layout
	store  *store
	runs   []intent.Run
	shapes []shape
	shared *sharedSplits

	clients [][]int // that reach beyond each node's run
	wants   [][]want
	memo    []map[string]splitAnswer
	exact   bool
	quick   bool // few ways to share out are looked at
}

// sharedSplits are what the searches of one circuit share: the partitions by how many
// there are, and the costs of runs, made once.
type sharedSplits struct {
	all    [maxParted + 1][]partition
	single [maxClients + 1]partition
	costs  map[wanted]score
	ends   arena
}

// wanted is what is wanted of a run, with nothing parted before.
type wanted struct {
	run   int32
	quick bool
	wants uint64 // six bits a client
}

// pack puts wants in a number, unless there are too many or too much of anything.
func pack(clients []int, wants []want) (uint64, bool) {
	var out uint64
	for i, w := range wants {
		var bits uint64
		switch {
		case clients[i] >= 10 || w.lines >= 7 || w.legs > 1 || w.spare > 1 || w.spare > 0 && w != want{spare: 1}:
			return 0, false
		case w.spare > 0:
			bits = 7 << 3
		default:
			bits = uint64(w.lines)<<3 | uint64(w.legs)<<2
			if w.hot {
				bits |= 2
			}
			if w.neutral {
				bits |= 1
			}
		}
		out |= bits << (6 * clients[i])
	}
	return out, true
}

// maxCosts is how many costs of runs are kept, of some 50 bytes each.
const maxCosts = 1 << 20

// maxClients is the most clients of one circuit.
const maxClients = 250

func newSharedSplits() *sharedSplits { return &sharedSplits{costs: map[wanted]score{}} }

func (s *sharedSplits) of(k int) []partition {
	if s.all[k] == nil {
		s.all[k] = partitions(k)
	}
	return s.all[k]
}

func (s *sharedSplits) together(k int) partition {
	if s.single[k] == nil {
		s.single[k] = make(partition, k)
	}
	return s.single[k]
}

type splitAnswer struct {
	score  score
	cables partition
}

func newSplitter(l *layout, st *store, runs []intent.Run, shapes []shape, shared *sharedSplits) *splitter {
	s := &splitter{l: l, store: st, runs: runs, shapes: shapes, shared: shared, exact: true,
		clients: make([][]int, l.t.size()), wants: make([][]want, l.t.size()), memo: make([]map[string]splitAnswer, l.t.size())}
	for v := 1; v < l.t.size(); v++ {
		for c := range l.clients() {
			if w := l.want(c, int32(v), shapes); !w.none() {
				s.clients[v] = append(s.clients[v], c)
				s.wants[v] = append(s.wants[v], w)
			}
		}
	}
	return s
}

// loads appends what each cable of a run has to hold, when clients that are together
// in cables share a cable, and those of them that are together in apart share its hot
// and its neutral. Clients that are together in apart are so in cables too.
func loads(out []load, wants []want, apart, cables partition) []load {
	var hot, neutral [256 / 64]uint64 // by part
	for i, w := range wants {
		for len(out) <= int(cables[i]) {
			out = append(out, load{})
		}
		l := &out[cables[i]]
		l.lines += w.lines
		l.legs += w.legs
		l.spares += w.spare
		word, bit := apart[i]/64, uint64(1)<<(apart[i]%64)
		if w.hot && hot[word]&bit == 0 {
			hot[word] |= bit
			l.lines++
		}
		if w.neutral && neutral[word]&bit == 0 {
			neutral[word] |= bit
			l.neutrals++
		}
	}
	return out
}

// cost returns what the cables of one run cost.
func (s *splitter) cost(v int32, apart, cables partition) score {
	var sum score
	var room [maxParted]load
	for _, l := range loads(room[:0], s.wants[v], apart, cables) {
		sum = sum.add(s.store.price(s.runs, s.l.t.run[v], l).score)
	}
	return sum
}

// options returns the ways to share out the clients of a run over cables, the best
// first among equals: fewer cables, then the order of partitions.
func (s *splitter) options(v int32) []partition {
	k := len(s.clients[v])
	r := &s.runs[s.l.t.run[v]]
	one := s.shared.together(k)
	if k == 1 || r.Raceway || r.Cable.Name != "" {
		return []partition{one}
	}
	if k <= maxParted && (!s.quick || k == 2) {
		return s.shared.of(k)
	}
	s.exact = false
	packed := s.packed(v)
	each := make(partition, k)
	for i := range each {
		each[i] = uint8(i)
	}
	return []partition{one, packed, each}
}

// packed puts each client into the first cable in which all still fit.
func (s *splitter) packed(v int32) partition {
	k := len(s.clients[v])
	p := make(partition, k)
	var held [][]int
	for i := range k {
		at := -1
		for c := range held {
			var ws []want
			for _, j := range append(slices.Clone(held[c]), i) {
				ws = append(ws, s.wants[v][j])
			}
			one := s.shared.together(len(ws))
			if s.store.price(s.runs, s.l.t.run[v], loads(nil, ws, one, one)[0]).score.lack == 0 {
				at = c
				break
			}
		}
		if at < 0 {
			at = len(held)
			held = append(held, nil)
		}
		held[at] = append(held[at], i)
		p[i] = uint8(at)
	}
	return p
}

// relaxed returns a bound below the cost: each run as if nothing had been parted
// before. It is the cost itself, and whole is true, if no run is better off with
// several cables.
func (s *splitter) relaxed() (sum score, whole bool) {
	whole = true
	for v := int32(1); int(v) < s.l.t.size(); v++ {
		k := len(s.clients[v])
		if k == 0 {
			continue
		}
		one := s.shared.together(k)
		best := s.least(v)
		whole = whole && !best.less(s.cost(v, one, one))
		sum = sum.add(best)
	}
	return sum, whole
}

// least returns what the run of a node costs at least, as if nothing had been parted before.
func (s *splitter) least(v int32) score {
	key := wanted{run: s.l.t.run[v], quick: s.quick}
	var ok bool
	if key.wants, ok = pack(s.clients[v], s.wants[v]); ok {
		if c, known := s.shared.costs[key]; known {
			s.store.asked++
			s.exact = s.exact && len(s.clients[v]) <= maxParted
			return c
		}
	}
	one := s.shared.together(len(s.clients[v]))
	best := s.cost(v, one, one)
	for _, cables := range s.options(v)[1:] {
		if c := s.cost(v, cables, cables); c.less(best) {
			best = c
		}
	}
	if ok {
		if len(s.shared.costs) >= maxCosts {
			clear(s.shared.costs)
		}
		s.shared.costs[key] = best
	}
	return best
}

// solve returns the cost of the best cables.
func (s *splitter) solve(ctx context.Context) (score, error) {
	var sum score
	for _, k := range s.l.t.kids[0] {
		if err := ctx.Err(); err != nil {
			return score{}, err
		}
		sum = sum.add(s.best(k, s.shared.together(len(s.clients[k]))).score)
	}
	return sum, nil
}

// best returns the best cables from node v's run on, if its clients come to it parted
// so.
func (s *splitter) best(v int32, apart partition) splitAnswer {
	if len(s.clients[v]) == 0 {
		return splitAnswer{}
	}
	if a, ok := s.memo[v][string(apart)]; ok {
		return a
	}
	best := splitAnswer{score: score{lack: 1 << 30}}
	for _, cables := range s.options(v) {
		together := meet(apart, cables)
		sum := s.cost(v, together, cables)
		for _, k := range s.l.t.kids[v] {
			sum = sum.add(s.best(k, s.beyond(v, k, together)).score)
		}
		if sum.less(best.score) {
			best = splitAnswer{sum, cables}
		}
	}
	if s.memo[v] == nil {
		s.memo[v] = map[string]splitAnswer{}
	}
	s.memo[v][string(apart)] = best
	return best
}

// beyond returns how the clients of child k come to its run, if those of v are
// together so.
func (s *splitter) beyond(v, k int32, together partition) partition {
	labels := make([]uint16, 0, len(s.clients[k]))
	for _, c := range s.clients[k] {
		// What reaches beyond k reaches beyond v: it is fed from there.
		i, _ := slices.BinarySearch(s.clients[v], c)
		labels = append(labels, uint16(together[i]))
	}
	return normal(labels)
}
