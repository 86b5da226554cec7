package steady

import (
	"cmp"
	"iter"
	"math/cmplx"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Solution is the steady state of a problem in one state of its switches. It is
// immutable and safe for concurrent use.
//
// Where the status has no figures every question about them is answered with
// false, or with nothing.
type Solution struct {
	p        *Problem
	state    switchnet.State
	status   Status
	notes    []Note
	hi, lo   []complex128
	y        []complex128 // of the branches that depend on the state
	on       []bool
	floating []bool // by node; nil when none does
}

// solution runs the solver and keeps what it found.
func (s *solver) solution(state switchnet.State) *Solution {
	p := s.p
	out := &Solution{p: p, state: state, status: Converged, notes: slices.Clone(p.notes)}
	for _, n := range p.notes {
		out.status = max(out.status, n.Status)
	}
	if p.refused {
		return out
	}
	ended := s.run(state)
	if !s.refine() {
		out.status = Unsound
		out.notes = append(out.notes, Note{Status: Unsound, Detail: "the resistances, lengths and capacitances given lie too far apart for the arithmetic, or resonate without resistance"})
		return out
	}
	if ended.status != Converged {
		note := Note{Status: ended.status, Detail: map[Status]string{
			MultipleSolutions: "is off and would stay on if it once were",
			Collapsed:         "pulls its own supply down",
			Unsettled:         "does not come to rest",
		}[ended.status]}
		for _, l := range ended.loads {
			note.Loads = append(note.Loads, p.nw.loads[l].ref)
		}
		out.notes = append(out.notes, note)
		out.status = max(out.status, ended.status)
	}
	if s.factor.Loose() {
		out.floats(s)
	}
	slices.SortStableFunc(out.notes, func(a, b Note) int { return cmp.Compare(b.Status, a.Status) })
	out.hi, out.lo, out.y, out.on = slices.Clone(s.hi), slices.Clone(s.lo), slices.Clone(s.y), slices.Clone(s.on)
	return out
}

// floats notes the terminals without any way to a known potential.
func (out *Solution) floats(s *solver) {
	nw := s.p.nw
	out.floating = make([]bool, len(s.hi))
	for i := range nw.n {
		out.floating[i] = s.factor.Floating(int32(i))
	}
	note := Note{Status: Floating, Detail: "no way to the supply or to earth, not even through a capacitance"}
	for t, node := range nw.node {
		if out.floating[node] && nw.matters[node] {
			note.Terminals = append(note.Terminals, nw.terms[t])
		}
	}
	if len(note.Terminals) > 0 {
		out.notes = append(out.notes, note)
		out.status = max(out.status, Floating)
	}
}

// Status says what became of the question.
func (s *Solution) Status() Status { return s.status }

// Notes says why, the gravest first. A converged solution has none.
func (s *Solution) Notes() []Note { return slices.Clone(s.notes) }

// State returns the state that was solved.
func (s *Solution) State() switchnet.State { return s.state }

// Problem returns the problem that was solved.
func (s *Solution) Problem() *Problem { return s.p }

func (s *Solution) nodeOf(t switchnet.Terminal) (int32, bool) {
	i, ok := s.p.nw.number[t]
	if !ok {
		return 0, false
	}
	return s.p.nw.node[i], true
}

func (s *Solution) across(i, j int32) complex128 {
	return (s.hi[i] - s.hi[j]) + (s.lo[i] - s.lo[j])
}

func (s *Solution) admittance(k int32) complex128 {
	if int(k) < s.p.nw.fixed {
		return s.p.nw.branches[k].y
	}
	return s.y[int(k)-s.p.nw.fixed]
}

func (s *Solution) through(k int32) complex128 {
	b := &s.p.nw.branches[k]
	return s.admittance(k) * (s.across(b.i, b.j) - b.emf)
}

// floatsAt reports whether a node floats.
func (s *Solution) floatsAt(node int32) bool { return s.floating != nil && s.floating[node] }

// Volts returns the voltage of one terminal over another with no instrument
// between them; false if the wiring lacks either, if either floats, or if there
// are no figures. What a meter shows is [Solution.Read]'s business.
func (s *Solution) Volts(of, over switchnet.Terminal) (VoltagePhasor, bool) {
	i, ok := s.nodeOf(of)
	j, ok2 := s.nodeOf(over)
	if !ok || !ok2 || s.hi == nil || s.floatsAt(i) || s.floatsAt(j) {
		return 0, false
	}
	return VoltagePhasor(s.across(i, j)), true
}

// Floating yields the terminals whose potential is undefined, in name order: lone
// screws too, which are no reason for a status.
func (s *Solution) Floating() iter.Seq[switchnet.Terminal] {
	return func(yield func(switchnet.Terminal) bool) {
		if s.floating == nil {
			return
		}
		for t, node := range s.p.nw.node {
			if s.floating[node] && !yield(s.p.nw.terms[t]) {
				return
			}
		}
	}
}

// A LoadResult is what a load gets and does.
type LoadResult struct {
	// Volts across it, its first terminal over its second.
	Volts VoltagePhasor
	// Current into its first terminal.
	Current CurrentPhasor
	// Power it uses.
	Power quantity.Power
	// Share is the size of Volts over its rated voltage.
	Share quantity.Ratio
	State LoadState
}

// Load returns what a load gets; false if the wiring has no such load, or it
// floats, or there are no figures.
func (s *Solution) Load(ref switchnet.Ref) (LoadResult, bool) {
	nw := s.p.nw
	l, ok := slices.BinarySearchFunc(nw.loads, ref, func(p loadPart, r switchnet.Ref) int { return p.ref.Compare(r) })
	if !ok || s.hi == nil {
		return LoadResult{}, false
	}
	return s.load(l)
}

func (s *Solution) load(l int) (LoadResult, bool) {
	part := &s.p.nw.loads[l]
	b := &s.p.nw.branches[part.branch]
	if s.floatsAt(b.i) || s.floatsAt(b.j) {
		return LoadResult{}, false
	}
	v, c := s.across(b.i, b.j), s.through(part.branch)
	size := cmplx.Abs(v)
	return LoadResult{Volts: VoltagePhasor(v), Current: CurrentPhasor(c), Power: watts(real(v * cmplx.Conj(c))),
		Share: share(size, part.model.rated), State: part.model.state(size, s.on[l])}, true
}

// Loads yields every load that does not float, in name order.
func (s *Solution) Loads() iter.Seq2[switchnet.Ref, LoadResult] {
	return func(yield func(switchnet.Ref, LoadResult) bool) {
		if s.hi == nil {
			return
		}
		for l := range s.p.nw.loads {
			if r, ok := s.load(l); ok && !yield(s.p.nw.loads[l].ref, r) {
				return
			}
		}
	}
}

// Current returns the current of a wire, from the From box of its cable to the
// other end, in the middle of its run: what a clamp finds there. It is 0 for an
// open wire; false if there is no such wire or there are no figures.
func (s *Solution) Current(w wiring.Wire) (CurrentPhasor, bool) {
	i, ok := s.p.nw.wireOf[w]
	if !ok || s.hi == nil {
		return 0, false
	}
	return s.wire(i), true
}

func (s *Solution) wire(i int) CurrentPhasor {
	k := s.p.nw.wires[i].branch
	if k < 0 {
		return 0
	}
	return CurrentPhasor(s.through(k))
}

// Currents yields the current of every wire, in the order of cable and conductor
// names.
func (s *Solution) Currents() iter.Seq2[wiring.Wire, CurrentPhasor] {
	return func(yield func(wiring.Wire, CurrentPhasor) bool) {
		if s.hi == nil {
			return
		}
		for i := range s.p.nw.wires {
			if !yield(s.p.nw.wires[i].wire, s.wire(i)) {
				return
			}
		}
	}
}

// CableNet returns the sum of the currents of all conductors of a cable: what a
// clamp round the whole sheath finds, and what warms metal around it. It is false
// if there is no such cable or there are no figures.
func (s *Solution) CableNet(cable string) (CurrentPhasor, bool) {
	for name, sum := range s.CableNets() {
		if name == cable {
			return sum, true
		}
	}
	return 0, false
}

// CableNets yields the net current of every cable, in name order.
func (s *Solution) CableNets() iter.Seq2[string, CurrentPhasor] {
	return func(yield func(string, CurrentPhasor) bool) {
		if s.hi == nil {
			return
		}
		wires := s.p.nw.wires
		for i := 0; i < len(wires); {
			name := wires[i].cable
			var sum CurrentPhasor
			for ; i < len(wires) && wires[i].cable == name; i++ {
				sum += s.wire(i)
			}
			if !yield(name, sum) {
				return
			}
		}
	}
}
