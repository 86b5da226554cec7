package allstates

// table is an open-addressed hash table from hashes to numbers; the caller compares
// what the numbers stand for. It never shrinks.
type table struct {
	entries []entry
	used    int
}

type entry struct {
	number int32 // plus 1
	hash   uint32
}

// insert adds a number that is not in the table.
func (t *table) insert(h uint64, n int32, hashOf func(int32) uint64) {
	if 4*(t.used+1) > 3*len(t.entries) {
		old := t.entries
		t.entries = make([]entry, max(32, 2*len(t.entries)))
		for _, e := range old {
			if e.number != 0 {
				t.place(hashOf(e.number-1), e.number)
			}
		}
	}
	t.place(h, n+1)
	t.used++
}

func (t *table) place(h uint64, number int32) {
	mask := len(t.entries) - 1
	i := int(h>>32) & mask
	for t.entries[i].number != 0 {
		i = (i + 1) & mask
	}
	t.entries[i] = entry{number, uint32(h)}
}

// interner gives equal strings of numbers equal ids, in order of first sight.
type interner[T uint16 | uint32] struct {
	data  []T
	start []uint32 // one more than there are ids
	t     table
}

func (in *interner[T]) len() int { return max(0, len(in.start)-1) }

func (in *interner[T]) at(id int32) []T { return in.data[in.start[id]:in.start[id+1]] }

func (in *interner[T]) hashOf(id int32) uint64 { return hash(in.at(id)) }

// reset empties the interner and keeps its memory.
func (in *interner[T]) reset() {
	in.data, in.start = in.data[:0], in.start[:min(1, len(in.start))]
	clear(in.t.entries)
	in.t.used = 0
}

// intern returns the id of a string and whether it is new.
func (in *interner[T]) intern(s []T) (int32, bool) {
	h := hash(s)
	t := &in.t
	if len(t.entries) > 0 {
		mask := len(t.entries) - 1
	probe:
		for i := int(h>>32) & mask; t.entries[i].number != 0; i = (i + 1) & mask {
			if t.entries[i].hash != uint32(h) {
				continue
			}
			id := t.entries[i].number - 1
			have := in.data[in.start[id]:in.start[id+1]]
			if len(have) != len(s) {
				continue
			}
			for j, v := range have {
				if v != s[j] {
					continue probe
				}
			}
			return id, false
		}
	}
	if len(in.start) == 0 {
		in.start = append(make([]uint32, 0, 16), 0)
		in.data = make([]T, 0, 128)
	}
	id := int32(in.len())
	in.data = append(in.data, s...)
	in.start = append(in.start, uint32(len(in.data)))
	t.insert(h, id, in.hashOf)
	return id, true
}

// hash mixes four numbers at a time, so that long strings do not wait for one
// multiplication after the other. It only places strings in tables: nothing that is
// returned depends on it.
func hash[T uint16 | uint32](s []T) uint64 {
	const a, b = 0x9e3779b97f4a7c15, 0xff51afd7ed558ccd
	h := uint64(len(s)) * a
	for len(s) >= 4 {
		x := uint64(s[0]) | uint64(s[1])<<32
		y := uint64(s[2]) | uint64(s[3])<<32
		h = (h^x)*a ^ (y^b)*b
		h ^= h >> 29
		s = s[4:]
	}
	for _, v := range s {
		h = (h ^ uint64(v)) * b
		h ^= h >> 32
	}
	h *= a
	return h ^ h>>32
}

// memo maps pairs of small numbers to a pair of numbers.
type memo struct {
	entries []memoEntry
	used    int
}

type memoEntry struct {
	key  uint64 // plus 1
	a, b int32
}

// reset empties the memo and keeps its memory.
func (m *memo) reset() {
	clear(m.entries)
	m.used = 0
}

func mix(k uint64) uint64 {
	k *= 0x9e3779b97f4a7c15
	return k ^ k>>32
}

func (m *memo) get(x, y int32) (int32, int32, bool) {
	if len(m.entries) == 0 {
		return 0, 0, false
	}
	k := uint64(uint32(x))<<32 | uint64(uint32(y)) + 1
	mask := uint64(len(m.entries) - 1)
	for i := mix(k) & mask; m.entries[i].key != 0; i = (i + 1) & mask {
		if e := &m.entries[i]; e.key == k {
			return e.a, e.b, true
		}
	}
	return 0, 0, false
}

func (m *memo) put(x, y, a, b int32) {
	if 4*(m.used+1) > 3*len(m.entries) {
		old := m.entries
		m.entries = make([]memoEntry, max(32, 2*len(m.entries)))
		for _, e := range old {
			if e.key != 0 {
				m.place(e)
			}
		}
	}
	m.place(memoEntry{uint64(uint32(x))<<32 | uint64(uint32(y)) + 1, a, b})
	m.used++
}

func (m *memo) place(e memoEntry) {
	mask := uint64(len(m.entries) - 1)
	i := mix(e.key) & mask
	for m.entries[i].key != 0 {
		i = (i + 1) & mask
	}
	m.entries[i] = e
}

// block hands out slices from larger ones, for many small things that live as long
// as each other.
type block[T any] struct {
	chunk []T
	used  int
}

// take returns a slice of n zero elements; it is never nil.
func (b *block[T]) take(n int) []T {
	if n == 0 {
		return []T{}
	}
	if b.used+n > len(b.chunk) {
		b.chunk = make([]T, max(n, min(1024, max(64, 2*len(b.chunk)))))
		b.used = 0
	}
	s := b.chunk[b.used : b.used+n : b.used+n]
	b.used += n
	clear(s)
	return s
}

func (b *block[T]) copy(list []T) []T {
	s := b.take(len(list))
	copy(s, list)
	return s
}

// reset takes back everything that was handed out.
func (b *block[T]) reset() { b.used = 0 }
