package steady

import (
	"iter"
	"math/cmplx"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A FeedResult is what one pole of a feed carries.
type FeedResult struct {
	Feed switchnet.Ref
	Pole int // counted from 1
	// Current out of the panel.
	Current CurrentPhasor
	// Rating of its breaker, and Over whether the current is above it. What is
	// above it flows only until the breaker opens.
	Rating quantity.Current
	Over   bool
}

// Feeds yields every pole of every feed, feeds in name order and poles in theirs.
func (s *Solution) Feeds() iter.Seq[FeedResult] {
	return func(yield func(FeedResult) bool) {
		if s.hi == nil {
			return
		}
		nw := s.p.nw
		for d := range nw.devices {
			part := &nw.devices[d]
			rating, ok := s.p.feeds[part.ref]
			if !ok {
				continue
			}
			for pole := range nw.contacts[part.kind].pairs {
				c := s.through(part.first + int32(pole))
				r := FeedResult{part.ref, pole + 1, CurrentPhasor(c), rating, current(cmplx.Abs(c)) > rating}
				if !yield(r) {
					return
				}
			}
		}
	}
}

// A JointResult is what one joint costs: a wire in a splice, or under a screw. With
// no resistance given for it, it costs nothing and is not listed; see
// [Options].Splice, Landing and Loose.
type JointResult struct {
	Box   string
	Joint wiring.Joint
	// Name says which splice or landing of the box it is in.
	Name    string
	Splice  bool
	Current CurrentPhasor
	Drop    VoltagePhasor
	Lost    quantity.Power
}

// Joints yields the joints with resistance: those of splices in the order of box
// and splice, then landings in the order of box and wire. A splice of two wires is
// one joint.
func (s *Solution) Joints() iter.Seq[JointResult] {
	return func(yield func(JointResult) bool) {
		if s.hi == nil {
			return
		}
		for i := range s.p.nw.joints {
			j := &s.p.nw.joints[i]
			b := &s.p.nw.branches[j.branch]
			v, c := s.across(b.i, b.j), s.through(j.branch)
			r := JointResult{j.box, j.joint, j.name, j.splice >= 0, CurrentPhasor(c), VoltagePhasor(v), watts(real(v * cmplx.Conj(c)))}
			if !yield(r) {
				return
			}
		}
	}
}

// A SpliceResult is what a splice costs.
type SpliceResult struct {
	Box  string
	Name string
	Lost quantity.Power
}

// Splices yields the power lost in each splice that has a joint with resistance,
// in the order of box and splice.
func (s *Solution) Splices() iter.Seq[SpliceResult] {
	return func(yield func(SpliceResult) bool) {
		var now SpliceResult
		any := false
		for j := range s.Joints() {
			if !j.Splice {
				break // landings come last
			}
			if any && (j.Box != now.Box || j.Name != now.Name) {
				if !yield(now) {
					return
				}
				any = false
			}
			if !any {
				now, any = SpliceResult{Box: j.Box, Name: j.Name}, true
			}
			now.Lost += j.Lost
		}
		if any {
			yield(now)
		}
	}
}

// A Balance is where the power goes.
type Balance struct {
	Source quantity.Power // out of all supplies
	Loads  quantity.Power
	Lost   quantity.Power // in wires, contacts, joints and the supply's own impedance
}

// Balance returns where the power goes; Source is Loads and Lost together to within
// rounding.
func (s *Solution) Balance() Balance {
	source, loads, lost := s.balance()
	return Balance{watts(source), watts(loads), watts(lost)}
}

func (s *Solution) balance() (source, loads, lost float64) {
	if s.hi == nil {
		return 0, 0, 0
	}
	nw := s.p.nw
	isLoad := map[int32]bool{}
	for _, l := range nw.loads {
		isLoad[l.branch] = true
	}
	for k := range nw.branches {
		b := &nw.branches[k]
		if s.admittance(int32(k)) == 0 {
			continue
		}
		c := s.through(int32(k))
		v := s.across(b.i, b.j)
		// A force in the branch gives emf*c; the rest is used in it.
		source -= real(b.emf * cmplx.Conj(c))
		used := real((v - b.emf) * cmplx.Conj(c))
		if isLoad[int32(k)] {
			loads += used
		} else {
			lost += used
		}
		// What a known node gives is its potential times what leaves it.
		if int(b.i) >= nw.n {
			source += real(s.hi[b.i] * cmplx.Conj(c))
		}
		if int(b.j) >= nw.n {
			source -= real(s.hi[b.j] * cmplx.Conj(c))
		}
	}
	return source, loads, lost
}
