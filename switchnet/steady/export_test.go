package steady

// System returns the linear system of a solution: the full nodal matrix with the
// loads as they settled, the injected currents and the potentials found, for an
// independent solver. It is for tests.
func (s *Solution) System() (matrix [][]complex128, injected, volts []complex128) {
	nw := s.p.nw
	matrix = make([][]complex128, nw.n)
	for i := range matrix {
		matrix[i] = make([]complex128, nw.n)
	}
	injected = make([]complex128, nw.n)
	for k := range nw.branches {
		b, y := nw.branches[k], s.admittance(int32(k))
		for _, end := range [2][2]int32{{b.i, b.j}, {b.j, b.i}} {
			a, o, emf := end[0], end[1], b.emf
			if a == b.j {
				emf = -emf
			}
			if b.i == b.j || int(a) >= nw.n {
				continue
			}
			matrix[a][a] += y
			injected[a] += y * emf
			if int(o) < nw.n {
				matrix[a][o] -= y
			} else {
				injected[a] += y * nw.known[int(o)-nw.n]
			}
		}
	}
	for i := range nw.n {
		volts = append(volts, s.hi[i]+s.lo[i])
	}
	return matrix, injected, volts
}

// Leftover returns, for each unknown node, the current that does not leave it, and
// the largest current of its branches. It is for tests.
func (s *Solution) Leftover() (left, largest []float64) {
	nw := s.p.nw
	rest := make([]complex128, nw.n)
	largest = make([]float64, nw.n)
	for k := range nw.branches {
		b := &nw.branches[k]
		if b.i == b.j {
			continue
		}
		c := s.through(int32(k))
		for _, end := range []struct {
			node int32
			sign complex128
		}{{b.i, -1}, {b.j, 1}} {
			if int(end.node) < nw.n {
				rest[end.node] += end.sign * c
				largest[end.node] = max(largest[end.node], abs(c))
			}
		}
	}
	for _, r := range rest {
		left = append(left, abs(r))
	}
	return left, largest
}

// Exact returns the three parts of the balance in watts. It is for tests.
func (s *Solution) Exact() (source, loads, lost float64) { return s.balance() }

// FloatingNode reports whether node i floats. It is for tests.
func (s *Solution) FloatingNode(i int) bool { return s.floatsAt(int32(i)) }

func abs(c complex128) float64 {
	re, im := real(c), imag(c)
	return max(max(re, -re), max(im, -im))
}
