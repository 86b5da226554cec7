package ldlt

// A Factor is the factored network of one set of values. It is for one goroutine.
type Factor struct {
	s     *Symbolic
	low   []complex128 // L below its diagonal, signs reversed: all parts of currents
	recip []complex128 // 1/D, 0 where D is 0
	earth []complex128 // admittance to known potentials left at each place
	part  []complex128
	work  []complex128
	loose bool
	float []bool // by place
}

// NewFactor returns memory for factors.
func (s *Symbolic) NewFactor() *Factor {
	return &Factor{s: s, low: make([]complex128, len(s.rows)), recip: make([]complex128, s.n), earth: make([]complex128, s.n),
		part: make([]complex128, s.widest), work: make([]complex128, s.n), float: make([]bool, s.n)}
}

// Factor takes the admittance between the nodes of each pair and from each node
// to known potentials. It allocates nothing. Time is the sum of the squares of the
// column counts.
func (f *Factor) Factor(between, shunt []complex128) {
	s := f.s
	low, rows, start := f.low, s.rows, s.start
	clear(low)
	for i, y := range between {
		low[s.slot[i]] += y
	}
	for k, node := range s.order {
		f.earth[k] = shunt[node]
	}
	f.loose = false
	for k := range s.n {
		from, to := start[k], start[k+1]
		col, below := low[from:to], rows[from:to]
		own := f.earth[k]
		d := own
		for _, y := range col {
			d += y
		}
		if d == 0 {
			f.recip[k] = 0
			f.loose = true
			continue
		}
		r := reciprocal(d)
		f.recip[k] = r
		part := f.part[:len(col)]
		for p, y := range col {
			part[p] = y * r
		}
		for p, y := range col {
			if y == 0 {
				continue
			}
			i := below[p]
			f.earth[i] += own * part[p]
			// The nodes below p are all in the column of p's node, in
			// the same order.
			target := rows[start[i]:start[i+1]]
			into := low[start[i]:start[i+1]]
			t := 0
			for q := p + 1; q < len(below); q++ {
				j := below[q]
				for target[t] != j {
					t++
				}
				into[t] += y * part[q]
				t++
			}
		}
		copy(col, part)
	}
	f.markFloating()
}

// markFloating finds the nodes with no way to a known potential: the islands
// whose last pivot is zero.
func (f *Factor) markFloating() {
	clear(f.float)
	if !f.loose {
		return
	}
	s := f.s
	for k := s.n - 1; k >= 0; k-- {
		if f.recip[k] == 0 {
			f.float[k] = true
			continue
		}
		for p := s.start[k]; p < s.start[k+1]; p++ {
			if f.low[p] != 0 && f.float[s.rows[p]] {
				f.float[k] = true
				break
			}
		}
	}
}

// Loose reports whether some node floats.
func (f *Factor) Loose() bool { return f.loose }

// Floating reports whether a node has no way to a known potential. Solve gives
// such a node a potential relative to one node of its island only.
func (f *Factor) Floating(node int32) bool { return f.float[f.s.place[node]] }

// Solve sets the potentials that the injected currents make; both are by node and
// may be the same slice.
func (f *Factor) Solve(volts, injected []complex128) {
	s, w := f.s, f.work
	if s.inOrder {
		w = volts
		copy(w, injected)
	} else {
		for k, node := range s.order {
			w[k] = injected[node]
		}
	}
	for k := range s.n {
		x := w[k]
		if x == 0 {
			continue
		}
		from, to := s.start[k], s.start[k+1]
		low := f.low[from:to]
		for p, i := range s.rows[from:to] {
			w[i] += low[p] * x
		}
	}
	for k := s.n - 1; k >= 0; k-- {
		v := w[k] * f.recip[k]
		from, to := s.start[k], s.start[k+1]
		low := f.low[from:to]
		for p, i := range s.rows[from:to] {
			v += low[p] * w[i]
		}
		w[k] = v
	}
	if s.inOrder {
		return
	}
	for k, node := range s.order {
		volts[node] = w[k]
	}
}

func reciprocal(d complex128) complex128 {
	re, im := real(d), imag(d)
	m := re*re + im*im
	return complex(re/m, -im/m)
}
