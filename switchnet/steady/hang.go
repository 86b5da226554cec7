package steady

import (
	"example.com/switchleg/switchnet"
)

// hangs returns the first electronic load, in the order of the loads, through which a
// terminal hangs on a line with no way on to neutral or ground; false if there is none.
//
// Linear figures are no evidence there. A driver that is off lets its leakage pass, and
// a voltage so made vanishes under load as a ghost does; but the load that makes it
// vanish, or a hand, closes the driver's circuit: it starts, and passes what it draws,
// in bursts if it cannot run.
func (s *Solution) hangs(t switchnet.Terminal) (switchnet.Ref, bool) {
	if t == (switchnet.Terminal{}) || !s.p.nw.electronic() {
		return switchnet.Ref{}, false
	}
	view, err := s.p.net.NewSolver().Solve(s.state)
	if err != nil {
		return switchnet.Ref{}, false // the state was solved, so it is of this net
	}
	c, _ := view.Condition(t)
	if c.Kind() != switchnet.LiveThroughLoad || c.Through.Has(switchnet.Neutral) || c.Through.Has(switchnet.Ground) {
		return switchnet.Ref{}, false
	}
	for i := range s.p.nw.loads {
		l := &s.p.nw.loads[i]
		if l.model.kind != Electronic {
			continue
		}
		for _, end := range l.ends {
			if view.Joined(t, end) {
				return l.ref, true
			}
		}
	}
	return switchnet.Ref{}, false
}

// electronic reports whether any load is.
func (nw *network) electronic() bool {
	for i := range nw.loads {
		if nw.loads[i].model.kind == Electronic {
			return true
		}
	}
	return false
}
