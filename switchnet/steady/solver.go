package steady

import (
	"math"
	"math/cmplx"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady/internal/ldlt"
)

// Limits of the iteration over loads.
const (
	mostRounds    = 400   // refactorings for one set of running loads
	settledWithin = 1e-13 // relative change of the voltage of every load
	// unsound is the largest current left over at a node, as a share of the
	// largest current there is.
	unsound = 1e-9
)

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
		if round > 0 && left <= settledWithin*largest {
			return true
		}
		if round == 3 {
			return left <= unsound*largest
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
	note := func(c complex128) { largest = max(largest, math.Abs(real(c)), math.Abs(imag(c))) }
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

// outcome is how the iteration over loads ended.
type outcome struct {
	status Status // Converged, MultipleSolutions, Collapsed or Unsettled
	loads  []int  // those to blame
}

// run solves the network in a state, loads and all: electronic loads start from
// all off, as when the power comes on.
func (s *solver) run(state switchnet.State) outcome {
	s.throw(state.Indices())
	clear(s.on)
	var held []bool // electronic loads that cannot come to rest, taken as off
	seen := map[string]bool{}
	for {
		if !s.settle() {
			return outcome{Unsettled, s.moving()}
		}
		key := s.running()
		if seen[key] {
			if held == nil {
				held = make([]bool, len(s.on))
			}
			// Each time round holds one more, so this ends.
			s.circle(held)
			clear(seen)
			continue
		}
		seen[key] = true
		if !s.toggle(held) {
			break
		}
	}
	out := outcome{status: Converged, loads: s.stalled()}
	for l, h := range held {
		if h {
			out.loads = append(out.loads, l)
		}
	}
	if len(out.loads) > 0 {
		slices.Sort(out.loads)
		out.status = Collapsed
	} else if out.loads = s.couldRun(); len(out.loads) > 0 {
		out.status = MultipleSolutions
	}
	return out
}

// circle goes once round the circle of states that the electronic loads are in,
// and holds off those that moved.
func (s *solver) circle(held []bool) {
	first := s.running()
	was := slices.Clone(s.on)
	moved := make([]bool, len(s.on))
	for {
		s.toggle(held)
		s.settle()
		for l := range was {
			moved[l] = moved[l] || s.on[l] != was[l]
			was[l] = s.on[l]
		}
		if s.running() == first {
			break
		}
	}
	for l, m := range moved {
		if m {
			held[l], s.on[l] = true, false
		}
	}
}

// voltage returns the voltage across a load.
func (s *solver) voltage(l int) complex128 {
	b := &s.p.nw.branches[s.p.nw.loads[l].branch]
	return s.across(b.i, b.j)
}

// settle iterates the admittances of the loads until their voltages rest, and
// reports whether they do.
func (s *solver) settle() bool {
	nw := s.p.nw
	nonlinear := false
	for l := range nw.loads {
		m := &nw.loads[l].model
		s.y[int(nw.loads[l].branch)-nw.fixed] = m.at(m.rated, s.on[l])
		nonlinear = nonlinear || m.nonlinear && (m.kind != Electronic || s.on[l])
	}
	s.assemble()
	s.potentials()
	if !nonlinear {
		return true
	}
	for range mostRounds {
		for l := range nw.loads {
			s.before[l] = s.voltage(l)
			m := &nw.loads[l].model
			if m.nonlinear {
				s.y[int(nw.loads[l].branch)-nw.fixed] = m.at(cmplx.Abs(s.before[l]), s.on[l])
			}
		}
		s.assemble()
		s.potentials()
		if len(s.moving()) == 0 {
			return true
		}
	}
	return false
}

// moving returns the loads whose voltage changed in the last round.
func (s *solver) moving() []int {
	var out []int
	for l := range s.before {
		m := &s.p.nw.loads[l].model
		now := s.voltage(l)
		if m.nonlinear && cmplx.Abs(now-s.before[l]) > settledWithin*max(cmplx.Abs(now), m.rated/1000) {
			out = append(out, l)
		}
	}
	return out
}

// running returns which electronic loads run, as a key.
func (s *solver) running() string {
	b := make([]byte, len(s.on))
	for l, on := range s.on {
		if on {
			b[l] = 1
		}
	}
	return string(b)
}

// toggle starts the electronic loads that have their turn-on voltage and stops
// those below drop-out, but for those held off, and reports whether any moved.
func (s *solver) toggle(held []bool) bool {
	moved := false
	for l := range s.on {
		m := &s.p.nw.loads[l].model
		if m.kind != Electronic || held != nil && held[l] {
			continue
		}
		v := cmplx.Abs(s.voltage(l))
		switch {
		case !s.on[l] && v >= m.turnOn:
			s.on[l], moved = true, true
		case s.on[l] && v < m.dropOut:
			s.on[l], moved = false, true
		}
	}
	return moved
}

// stalled returns the motors that have some voltage and less than half of theirs.
func (s *solver) stalled() []int {
	var out []int
	for l := range s.p.nw.loads {
		m := &s.p.nw.loads[l].model
		if v := cmplx.Abs(s.voltage(l)); m.kind == Motor && v < m.rated/2 && v > m.rated/20 {
			out = append(out, l)
		}
	}
	return out
}

// couldRun returns the electronic loads that are off and would stay on if they
// were. The solution stays as it was.
func (s *solver) couldRun() []int {
	var try []int
	for l := range s.on {
		m := &s.p.nw.loads[l].model
		if m.kind == Electronic && !s.on[l] && cmplx.Abs(s.voltage(l)) >= m.dropOut {
			try = append(try, l)
		}
	}
	if len(try) == 0 {
		return nil
	}
	was := slices.Clone(s.on)
	for _, l := range try {
		s.on[l] = true
	}
	var out []int
	if s.settle() {
		for _, l := range try {
			if cmplx.Abs(s.voltage(l)) >= s.p.nw.loads[l].model.dropOut {
				out = append(out, l)
			}
		}
	}
	copy(s.on, was)
	s.settle()
	return out
}
