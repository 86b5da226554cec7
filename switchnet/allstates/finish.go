package allstates

// finish brings s.vals, a key as the joins left it, to canonical form and returns
// its number: blocks are numbered by first appearance, what has closed keeps no
// more than can still matter, and a key whose outcome is certain becomes a sink.
func (s *sweep) finish(live int) int32 {
	q, v := s.q, s.vals
	s.epoch++
	count := uint16(0)
	for _, x := range v[:live] {
		if x >= firstBlock {
			count = s.mark(x>>3, count)
		}
	}
	if len(v) > live+1 {
		pins := v[live+1:]
		for i, x := range pins {
			if x < firstBlock || s.marked(x>>3) {
				continue
			}
			switch l := x & 7; {
			case l != noRail:
				pins[i] = l
			case !q.deep:
				pins[i] = noRail
			}
		}
		if q.deep {
			s.deep.reduce(s, pins)
		}
		if k := s.judge(v[live], pins); k >= 0 {
			return k
		}
		for _, x := range pins {
			if x >= firstBlock {
				count = s.mark(x>>3, count)
			}
		}
	} else if k := s.judge(v[live], nil); k >= 0 {
		return k
	}
	for i, x := range v {
		if x >= firstBlock {
			v[i] = firstBlock + s.number[x>>3]<<3 | x&7
		}
	}
	id, _ := s.keys.intern(v)
	return id
}

// mark numbers a block if it has no number yet and returns the count of numbers.
func (s *sweep) mark(block, count uint16) uint16 {
	if int(block) >= len(s.fresh) {
		grow := max(32, 2*int(block)+1)
		s.fresh = append(s.fresh, make([]uint32, grow-len(s.fresh))...)
		s.number = append(s.number, make([]uint16, grow-len(s.number))...)
	}
	if s.fresh[block] != s.epoch {
		s.fresh[block] = s.epoch
		s.number[block] = count
		count++
	}
	return count
}

func (s *sweep) marked(block uint16) bool {
	return int(block) < len(s.fresh) && s.fresh[block] == s.epoch
}

// value returns the label or block at an end, or false if its pin has not
// appeared.
func (s *sweep) value(e end, pins []uint16) (uint16, bool) {
	if e.fixed() {
		return e.label(), true
	}
	switch c := s.columns[e]; {
	case c >= 0:
		return pins[c], true
	case c == gone:
		return settled, true
	}
	return 0, false
}

// judge looks for targets whose outcome has become certain. It returns the sink
// the key falls into, or -1.
func (s *sweep) judge(flag uint16, pins []uint16) int32 {
	q := s.q
	open := 0
	for i := range q.targets {
		t := &q.targets[i]
		a, ok := s.value(t.ends[0], pins)
		b := a
		if t.load >= 0 {
			var ok2 bool
			b, ok2 = s.value(t.ends[1], pins)
			ok = ok && ok2
		}
		if ok && (a == settled || b == settled) {
			continue
		}
		if !ok || a > settled || b > settled || q.deep && t.deep && (a == noRail || b == noRail) {
			open++
			continue
		}
		out := q.outcome(t, a, b)
		if q.classify {
			return int32(out)
		}
		if t.mask>>out&1 == 0 {
			return sinkFalse
		}
		for _, e := range t.ends {
			if (t.load >= 0 || e == t.ends[0]) && !e.fixed() {
				pins[s.columns[e]] = settled
			}
		}
	}
	if q.classify || open > 0 || q.allowed != nil {
		return -1
	}
	if q.short <= 0 && (q.short == 0 || s.quiet()) || flag == settled {
		return sinkTrue
	}
	for i := range pins {
		pins[i] = settled
	}
	return -1
}

// quiet reports whether nothing can be shorted any more. Whether that is so is
// not followed from layer to layer: it is only asked where no short is possible
// anywhere.
func (s *sweep) quiet() bool { return len(s.q.f.risky)+len(s.q.f.direct) == 0 }

// verdict returns the outcome of a key after the last device.
func (s *sweep) verdict(key int32) uint8 {
	if key < sinks {
		return uint8(key)
	}
	q := s.q
	v := s.keys.at(key)
	flag, pins := v[0], v[1:]
	for i := range q.targets {
		t := &q.targets[i]
		a, _ := s.value(t.ends[0], pins)
		b := a
		if t.load >= 0 {
			b, _ = s.value(t.ends[1], pins)
		}
		if a == settled || b == settled {
			continue
		}
		var out uint8
		if q.deep && t.deep {
			out = s.deep.outcome(s, i, a, b, pins)
		} else {
			out = q.outcome(t, strip(a), strip(b))
		}
		if q.classify {
			return out
		}
		if t.mask>>out&1 == 0 {
			return sinkFalse
		}
	}
	if q.short > 0 && flag != settled {
		return sinkFalse
	}
	return sinkTrue
}

// strip returns the label of a value that will not change.
func strip(v uint16) label { return v & 7 }
