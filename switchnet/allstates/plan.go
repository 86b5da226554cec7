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

	// claimedDevice marks the signature of a device that a claim is about,
	// which has a plan of its own.
	claimedDevice = 0x8000
)

// plan returns the plan of the next device. A key is laid out as the open nets,
// one flag for shorts, and the pins; nets that open come after.
func (s *sweep) plan(local int32, slot, left, open []int32) int32 {
	q, f := s.q, s.q.f
	r := q.r
	d := r.devices[local]
	live := len(open)
	kind := f.g.DeviceKind[d]
	sig := append(s.buf[:0], uint16(kind), uint16(kind>>16), uint16(live), uint16(s.pinned))
	if q.allowed != nil && q.allowed[d] != nil {
		sig[1] |= claimedDevice
		sig = append(sig, uint16(d), uint16(d>>16))
	}
	if q.deep {
		sig = append(sig, uint16(s.deep.layout), uint16(s.deep.layout>>16))
	}
	named := len(sig)
	place := live + 1 + s.pinned
	seen := 0
	nets := r.termsOf(local)
	for _, l := range nets {
		code := uint16(codeIgnored)
		switch {
		case l <= termSame:
			code = sig[named+int(termSame-l)]
		case l <= termRail:
			code = codeRail | uint16(termRail-l)
		case l >= 0:
			if slot[l] < 0 {
				slot[l] = int32(place + seen)
				seen++
			}
			code = uint16(slot[l])
		}
		sig = append(sig, code)
	}
	if q.loose {
		s.side, s.places = sidesOf(r.termsOf(local), sig[named:])
		s.sides = append(s.sides, s.side)
	}
	sig = append(sig, uint16(seen))
	for _, l := range nets {
		if l >= 0 && slot[l] >= int32(place) {
			sig = append(sig, uint16(slot[l]), labelOf(f.base[r.nets[l]]))
		}
	}
	for _, l := range nets {
		if l >= 0 {
			left[l]--
		}
	}
	for i, l := range open {
		if left[l] > 0 {
			sig = append(sig, uint16(i))
		}
	}
	for _, l := range nets {
		if l >= 0 && slot[l] >= int32(place) && left[l] > 0 {
			sig = append(sig, uint16(slot[l]))
		}
	}
	if q.head != nil {
		sig = append(sig, codeIgnored)
		for _, l := range nets {
			if l >= 0 && left[l] == 0 {
				for p := q.head[l]; p >= 0; p = q.pins[p].next {
					sig = append(sig, uint16(slot[l]))
				}
			}
		}
	}
	s.buf, s.place = sig, int32(place)
	if q.head != nil {
		for _, l := range r.termsOf(local) {
			if l >= 0 && left[l] == 0 {
				for p := q.head[l]; p >= 0; p = q.pins[p].next {
					s.reveal(p)
				}
			}
		}
	}
	id, fresh := s.sigs.intern(sig)
	if fresh {
		s.plans = append(s.plans, s.compile(d, sig[2], sig[3], sig[named:]))
	}
	return id
}

// reveal gives a pin its column, the last.
func (s *sweep) reveal(p int32) {
	s.columns[p] = int32(s.pinned)
	s.pinned++
	if s.q.deep {
		s.deep.reveal(s, p)
	}
}

// compile makes the plan of a device from its signature: the places of its
// terminals and what follows.
func (s *sweep) compile(d int32, live, pinned uint16, sig []uint16) plan {
	q := s.q
	arity := q.f.g.Kind(int(d)).Arity
	terms, rest := sig[:arity], sig[arity:]
	p := plan{live: int(live), pins: int(pinned), bases: s.places16.take(int(rest[0]))}
	place := live + 1 + pinned
	for i := range p.bases {
		p.bases[rest[1+2*i]-place] = rest[2+2*i]
	}
	rest = rest[1+2*len(p.bases):]
	stay := 0
	for stay < len(rest) && rest[stay] != codeIgnored {
		stay++
	}
	p.keep = s.places16.copy(rest[:stay])
	if stay < len(rest) {
		p.newPins = s.places16.copy(rest[stay+1:])
	}
	kind := q.f.g.Kind(int(d))
	if q.loose && loosened(kind.Arity) {
		side, places := s.side, s.places
		for _, j := range joints(int(side.nets), int(side.rails), side.conflict()) {
			p.pos = append(p.pos, side.groups(j, places[:side.nets]))
		}
		p.arity = len(p.pos)
		return p
	}
	p.pos = s.positions.take(len(kind.Blocks))
	for i, blocks := range kind.Blocks {
		if ok := q.allowed[d]; ok == nil || ok[i] {
			p.pos[i] = s.groupsOf(terms, blocks)
		}
	}
	p.arity = len(p.pos)
	return p
}

// groupsOf returns what a partition of the terminals joins, given their places. It
// is not nil.
func (s *sweep) groupsOf(terms []uint16, blocks []uint8) []group {
	list := s.list[:0]
	for b := range uint8(len(terms)) {
		var gr group
		rails := 0
		at := s.at[:0]
		for t, c := range terms {
			switch {
			case blocks[t] != b || c == codeIgnored:
			case c&codeRail != 0:
				gr.label = join(gr.label, c&^codeRail)
				rails++
			case !slices.Contains(at, c):
				at = append(at, c)
			}
		}
		s.at = at
		if len(at) > 1 || len(at) == 1 && rails > 0 || rails > 1 && gr.label == shorted {
			gr.at = s.places16.copy(at)
			list = append(list, gr)
		}
	}
	s.list = list
	return s.groups.copy(list)
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
	for _, l := range r.termsOf(local) {
		if l >= 0 && slot[l] >= s.place && left[l] > 0 {
			spare = append(spare, l)
		}
	}
	for i, l := range spare {
		slot[l] = int32(i)
	}
	return spare, open
}
