package steady

// TestBranch is a branch for an independent solver: the admittance, as the loads
// settled, between two nodes and the force in it.
type TestBranch struct {
	I, J   int
	Y, EMF complex128
}

// Branches returns the network of a solution and the potentials found: the first
// len(volts)-known nodes are those that were sought, the others are given. It is for
// tests.
func (s *Solution) Branches() (branches []TestBranch, volts []complex128, known int) {
	for k := range s.p.nw.branches {
		b := &s.p.nw.branches[k]
		branches = append(branches, TestBranch{int(b.i), int(b.j), s.admittance(int32(k)), b.emf})
	}
	for i := range s.hi {
		volts = append(volts, s.hi[i]+s.lo[i])
	}
	return branches, volts, len(s.p.nw.known)
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
