package allstates

// table is an open-addressed hash table from hashes to numbers; the caller
// compares what the numbers stand for. It never shrinks.
type table struct {
	slot []int32 // number + 1
	hash []uint32
	used int
}

// insert adds a number that is not in the table.
func (t *table) insert(h uint64, n int32, hashOf func(int32) uint64) {
	if 4*(t.used+1) > 3*len(t.slot) {
		size := max(16, 2*len(t.slot))
		old := t.slot
		t.slot, t.hash = make([]int32, size), make([]uint32, size)
		for _, s := range old {
			if s != 0 {
				t.place(hashOf(s-1), s)
			}
		}
	}
	t.place(h, n+1)
	t.used++
}

func (t *table) place(h uint64, s int32) {
	mask := len(t.slot) - 1
	i := int(h>>32) & mask
	for t.slot[i] != 0 {
		i = (i + 1) & mask
	}
	t.slot[i], t.hash[i] = s, uint32(h)
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

// intern returns the id of a string and whether it is new.
func (in *interner[T]) intern(s []T) (int32, bool) {
	h := hash(s)
	t := &in.t
	if len(t.slot) > 0 {
		mask := len(t.slot) - 1
	probe:
		for i := int(h>>32) & mask; t.slot[i] != 0; i = (i + 1) & mask {
			if t.hash[i] != uint32(h) {
				continue
			}
			id := t.slot[i] - 1
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
		in.start = append(in.start, 0)
	}
	id := int32(in.len())
	in.data = append(in.data, s...)
	in.start = append(in.start, uint32(len(in.data)))
	t.insert(h, id, in.hashOf)
	return id, true
}

func hash[T uint16 | uint32](s []T) uint64 {
	h := uint64(len(s))*0x9e3779b97f4a7c15 + 0x632be59bd9b4e019
	for _, v := range s {
		h = (h ^ uint64(v)) * 0xff51afd7ed558ccd
		h ^= h >> 32
	}
	h *= 0x9e3779b97f4a7c15
	return h ^ h>>29
}

// memo maps pairs of small numbers to a pair of numbers.
type memo struct {
	key  []uint64 // key + 1
	a, b []int32
	used int
}

func mix(k uint64) uint64 {
	k *= 0x9e3779b97f4a7c15
	return k ^ k>>32
}

func (m *memo) get(x, y int32) (int32, int32, bool) {
	if len(m.key) == 0 {
		return 0, 0, false
	}
	k := uint64(uint32(x))<<32 | uint64(uint32(y)) + 1
	mask := uint64(len(m.key) - 1)
	for i := mix(k) & mask; m.key[i] != 0; i = (i + 1) & mask {
		if m.key[i] == k {
			return m.a[i], m.b[i], true
		}
	}
	return 0, 0, false
}

func (m *memo) put(x, y, a, b int32) {
	if 4*(m.used+1) > 3*len(m.key) {
		old := *m
		size := max(16, 2*len(m.key))
		m.key, m.a, m.b = make([]uint64, size), make([]int32, size), make([]int32, size)
		for i, k := range old.key {
			if k != 0 {
				m.place(k, old.a[i], old.b[i])
			}
		}
	}
	m.place(uint64(uint32(x))<<32|uint64(uint32(y))+1, a, b)
	m.used++
}

func (m *memo) place(k uint64, a, b int32) {
	mask := uint64(len(m.key) - 1)
	i := mix(k) & mask
	for m.key[i] != 0 {
		i = (i + 1) & mask
	}
	m.key[i], m.a[i], m.b[i] = k, a, b
}
