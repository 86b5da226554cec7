package steady

import (
	"math"

	"example.com/switchleg/switchnet/steady/internal/ldlt"
)

// unsound is the largest current left over at a node, as a share of the largest
// current there is, that is let pass.
const unsound = 1e-9

// noCurrent is a current in amperes, six electrons a second, below which what is
// left over is nothing: where nothing flows at all, rounding is the largest current
// there is.
const noCurrent = 1e-18

// solver is the memory to solve one problem, for one goroutine.
type solver struct {
	p      *Problem
	factor *ldlt.Factor
	v      values
	y      []complex128 // of the branches that depend on the state
	// Potentials of all nodes as the sum of two numbers, so that the small
	// difference of two near 120 V keeps its accuracy: what it is times the
	// conductance of a wire is a current.
	hi, lo []complex128
	rest   []complex128 // current left over at each node
	on     []bool       // electronic loads that run
	before []complex128 // voltage of each load, last round
	probe  *probe
	reach  []complex128 // what one ampere through the probe does
}

// probe is an instrument between two nodes.
type probe struct {
	i, j int32
	y    complex128
}

func newSolver(p *Problem) *solver {
	nw := p.nw
	all := nw.n + len(nw.known)
	s := &solver{p: p, factor: nw.symbolic.NewFactor(), v: newValues(len(nw.pairs), nw.n), y: make([]complex128, len(nw.branches)-nw.fixed),
		hi: make([]complex128, all), lo: make([]complex128, all), rest: make([]complex128, nw.n),
		on: make([]bool, len(nw.loads)), before: make([]complex128, len(nw.loads)), reach: make([]complex128, all)}
	copy(s.hi[nw.n:], nw.known)
	return s
}

// admittance returns the admittance of a branch in the present state.
func (s *solver) admittance(k int32) complex128 {
	if int(k) < s.p.nw.fixed {
		return s.p.nw.branches[k].y
	}
	return s.y[int(k)-s.p.nw.fixed]
}

// across returns the voltage between two nodes.
func (s *solver) across(i, j int32) complex128 {
	return (s.hi[i] - s.hi[j]) + (s.lo[i] - s.lo[j])
}

// through returns the current of a branch from its i to its j.
func (s *solver) through(k int32) complex128 {
	b := &s.p.nw.branches[k]
	return s.admittance(k) * (s.across(b.i, b.j) - b.emf)
}

// throw sets the contacts as a state has them.
func (s *solver) throw(positions []uint8) {
	nw := s.p.nw
	for d := range nw.devices {
		part := &nw.devices[d]
		c := &nw.contacts[part.kind]
		at := int(part.first) - nw.fixed
		for i, closed := range c.closed[positions[d]] {
			if closed {
				s.y[at+i] = c.y
			} else {
				s.y[at+i] = c.leak
			}
		}
	}
}

// assemble factors the network as it stands.
func (s *solver) assemble() {
	nw := s.p.nw
	s.v.copyFrom(&nw.base)
	for k := nw.fixed; k < len(nw.branches); k++ {
		y := s.y[k-nw.fixed]
		if y == 0 {
			continue
		}
		b := &nw.branches[k]
		switch b.slot {
		case toKnown:
			s.v.shunt[b.i] += y
			s.v.injected[b.i] += y * nw.known[int(b.j)-nw.n]
		case fromKnown:
			s.v.shunt[b.j] += y
			s.v.injected[b.j] += y * nw.known[int(b.i)-nw.n]
		case idle:
		default:
			s.v.between[b.slot] += y
		}
	}
	s.factor.Factor(s.v.between, s.v.shunt)
	if s.probe != nil {
		s.reachOf(s.probe)
	}
}

// reachOf finds the potentials that one ampere into i and out of j of a probe
// makes; between them they show the impedance there.
func (s *solver) reachOf(p *probe) {
	n := s.p.nw.n
	clear(s.reach)
	if int(p.i) < n {
		s.reach[p.i]++
	}
	if int(p.j) < n {
		s.reach[p.j]--
	}
	s.factor.Solve(s.reach[:n], s.reach[:n])
}

// respond turns currents into potentials, in place, the probe included (Sherman
// and Morrison, 1950).
func (s *solver) respond(x []complex128) {
	n := s.p.nw.n
	s.factor.Solve(x, x)
	if s.probe == nil {
		return
	}
	at := func(i int32) complex128 {
		if int(i) < n {
			return x[i]
		}
		return 0
	}
	p := s.probe
	y := p.y / (1 + p.y*(s.reach[p.i]-s.reach[p.j]))
	drawn := y * (at(p.i) - at(p.j))
	for k := range x {
		x[k] -= drawn * s.reach[k]
	}
}

// potentials solves the assembled network.
func (s *solver) potentials() {
	n := s.p.nw.n
	copy(s.hi[:n], s.v.injected)
	clear(s.lo)
	if p := s.probe; p != nil {
		// A probe on a known node draws from it.
		if int(p.i) >= n && int(p.j) < n {
			s.hi[p.j] += p.y * s.hi[p.i]
		}
		if int(p.j) >= n && int(p.i) < n {
			s.hi[p.i] += p.y * s.hi[p.j]
		}
	}
	s.respond(s.hi[:n])
}

// refine corrects the potentials by what Kirchhoff's current law finds left over,
// and reports whether nothing worth mention remains. One correction is always
// made: it gives the small currents of coupling their accuracy beside the large
// ones of loads.
func (s *solver) refine() bool {
	for round := 0; ; round++ {
		left, largest := s.leftover()
		if math.IsNaN(left) || math.IsInf(left, 0) || math.IsInf(largest, 0) {
			return false
		}
		if round > 0 && left <= max(settledWithin*largest, noCurrent) {
			return true
		}
		if round == 3 {
			return left <= max(unsound*largest, noCurrent)
		}
		s.respond(s.rest)
		for k, d := range s.rest {
			s.lo[k] += d
		}
	}
}

// leftover sets rest to the current that does not leave each node, and returns the
// largest of it and the largest current there is.
func (s *solver) leftover() (left, largest float64) {
	nw := s.p.nw
	clear(s.rest)
	n := int32(nw.n)
	// By comparing, not by max: what is no number is found in what is left over.
	note := func(c complex128) {
		if re := math.Abs(real(c)); re > largest {
			largest = re
		}
		if im := math.Abs(imag(c)); im > largest {
			largest = im
		}
	}
	for k, p := range nw.pairs {
		if y := s.v.between[k]; y != 0 {
			c := y * s.across(p.I, p.J)
			note(c)
			s.rest[p.I] -= c
			s.rest[p.J] += c
		}
	}
	for _, k := range nw.special {
		b := &nw.branches[k]
		switch b.slot {
		case toKnown:
			c := s.through(k)
			note(c)
			s.rest[b.i] -= c
		case fromKnown:
			c := s.through(k)
			note(c)
			s.rest[b.j] += c
		default: // the force that the pair leaves out
			c := s.admittance(k) * b.emf
			s.rest[b.i] += c
			s.rest[b.j] -= c
		}
	}
	if p := s.probe; p != nil {
		c := p.y * s.across(p.i, p.j)
		if p.i < n {
			s.rest[p.i] -= c
		}
		if p.j < n {
			s.rest[p.j] += c
		}
	}
	for _, r := range s.rest {
		left = max(left, math.Abs(real(r)), math.Abs(imag(r))) // NaN if any is
	}
	return left, largest
}
