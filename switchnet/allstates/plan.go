package allstates

import "slices"

// plan is what a device does to a key, with its nets replaced by their places in
// the key. Equal plans on equal keys have equal results.
type plan struct {
	live, pins int       // slots and pins before
	bases      []uint16  // labels of the nets that open
	pos        [][]group // by position; nil for one that is not allowed
	arity      int
	keep       []uint16 // places of the slots after
	newPins    []uint16 // places of the pins that appear
	used       int
	memo       []uint32 // key*arity+position -> key+1
}

// group is a set of places that a position joins, with the rails it lands on.
type group struct {
	at    []uint16
	label label
}

// Codes of terminals in the signature of a plan.
const (
	codeIgnored = 0xffff
	codeRail    = 0x8000 // | label
)

// plan returns the plan of the next device. A key is laid out as the open nets,
// one flag for shorts, and the pins; nets that open come after.
func (s *sweep) plan(local int32, slot, left, open []int32) int32 {
	q, f := s.q, s.q.f
	r := q.r
	d := r.devices[local]
	live := len(open)
	sig := append(s.buf[:0], uint16(f.g.DeviceKind[d]), uint16(live), uint16(s.pinned), 0)
	if q.allowed != nil {
		if ok := q.allowed[d]; ok != nil {
			sig[3] = uint16(local) + 1
		}
	}
	touches := f.kinds[f.g.DeviceKind[d]].touches
	place := live + 1 + s.pinned
	w := r.devNet[r.devStart[local]:]
	nets := f.terms(d)
	seen := 0
	for t, x := range nets {
		code := uint16(codeIgnored)
		if touches[t] {
			if b := f.bound[x]; b != 0 {
				code = codeRail | labelOf(b)
			} else if l := s.localNet(x, w[:r.devStart[local+1]-r.devStart[local]]); l >= 0 {
				if slot[l] < 0 {
					slot[l] = int32(place + seen)
					seen++
				}
				code = uint16(slot[l])
			}
		}
		sig = append(sig, code)
	}
	sig = append(sig, uint16(seen))
	for _, l := range r.netsOf(local) {
		if slot[l] >= int32(place) {
			sig = append(sig, uint16(slot[l]), labelOf(f.base[r.nets[l]]))
		}
	}
	for _, l := range r.netsOf(local) {
		left[l]--
	}
	for i, l := range open {
		if left[l] > 0 {
			sig = append(sig, uint16(i))
		}
	}
	for _, l := range r.netsOf(local) {
		if slot[l] >= int32(place) && left[l] > 0 {
			sig = append(sig, uint16(slot[l]))
		}
	}
	if q.head != nil {
		sig = append(sig, codeIgnored)
		for _, l := range r.netsOf(local) {
			if left[l] == 0 {
				for p := q.head[l]; p >= 0; p = q.pins[p].next {
					sig = append(sig, uint16(slot[l]))
				}
			}
		}
	}
	s.buf, s.place = sig, int32(place)
	if q.head != nil {
		for _, l := range r.netsOf(local) {
			if left[l] == 0 {
				for p := q.head[l]; p >= 0; p = q.pins[p].next {
					s.columns[p] = int32(s.pinned)
					s.pinned++
				}
			}
		}
	}
	id, fresh := s.sigs.intern(sig)
	if fresh {
		s.plans = append(s.plans, s.compile(d, sig))
	}
	return id
}

// localNet returns which of the nets of a device in the region net x is.
func (s *sweep) localNet(x int32, nets []int32) int32 {
	for _, l := range nets {
		if s.q.r.nets[l] == x {
			return l
		}
	}
	return -1
}

// compile turns a signature into a plan.
func (s *sweep) compile(d int32, sig []uint16) plan {
	q := s.q
	g := q.f.g
	kind := g.Kind(int(d))
	live, pinned := int(sig[1]), int(sig[2])
	terms := sig[4 : 4+kind.Arity]
	rest := sig[4+kind.Arity:]
	p := plan{live: live, pins: pinned, arity: len(kind.Blocks), bases: make([]uint16, rest[0])}
	place := uint16(live + 1 + pinned)
	for i := range p.bases {
		p.bases[rest[1+2*i]-place] = rest[2+2*i]
	}
	rest = rest[1+2*len(p.bases):]
	for len(rest) > 0 && rest[0] != codeIgnored {
		p.keep = append(p.keep, rest[0])
		rest = rest[1:]
	}
	if len(rest) > 0 {
		p.newPins = slices.Clone(rest[1:])
	}
	p.pos = make([][]group, p.arity)
	for i, blocks := range kind.Blocks {
		if sig[3] != 0 && !q.allowed[d][i] {
			continue
		}
		p.pos[i] = []group{}
		for b := range uint8(kind.Arity) {
			var gr group
			rails := 0
			for t, c := range terms {
				switch {
				case blocks[t] != b || c == codeIgnored:
				case c&codeRail != 0:
					gr.label = join(gr.label, c&^codeRail)
					rails++
				case !slices.Contains(gr.at, c):
					gr.at = append(gr.at, c)
				}
			}
			if len(gr.at) > 1 || len(gr.at) == 1 && rails > 0 || rails > 1 && gr.label == shorted {
				p.pos[i] = append(p.pos[i], gr)
			}
		}
	}
	return p
}

// advance closes the nets that the device was the last to touch.
func (s *sweep) advance(local int32, slot, left, open, spare []int32) ([]int32, []int32) {
	r := s.q.r
	spare = spare[:0]
	for _, l := range open {
		if left[l] > 0 {
			spare = append(spare, l)
		}
	}
	for _, l := range r.netsOf(local) {
		if slot[l] >= s.place && left[l] > 0 {
			spare = append(spare, l)
		}
	}
	for i, l := range spare {
		slot[l] = int32(i)
	}
	return spare, open
}
