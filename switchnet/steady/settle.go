package steady

import (
	"math/cmplx"
	"slices"

	"example.com/switchleg/switchnet"
)

// Limits of the iteration over loads.
const (
	mostRounds    = 400   // refactorings for one set of running loads
	settledWithin = 1e-13 // relative change of the voltage of every load
)

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
