package steady

import (
	"example.com/switchleg/switchnet"
)

// hangs returns a load whose electronics bring a line, alone or with other loads, to
// the metal of a terminal from which no way leads on to neutral or ground; false if
// there is none. One with an end on the line goes before others, and then the nearer
// one and the first in the order of the loads.
//
// Linear figures are no evidence there. A driver that is off lets its leakage pass, and
// a voltage so made vanishes under load as a ghost does; but the load that makes it
// vanish, or a hand, closes the driver's circuit: it starts, and passes what it draws,
// in bursts if it cannot run.
func (s *Solution) hangs(t switchnet.Terminal) (switchnet.Ref, bool) {
	if t == (switchnet.Terminal{}) || !s.p.nw.drivers {
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
	// The metal it is on, and what hangs on that through further loads.
	loads, island := s.p.nw.loads, []switchnet.Terminal{t}
	taken := make([]bool, len(loads))
	between := -1 // a driver with no end on the line itself
	for k := 0; k < len(island); k++ {
		for i := range loads {
			l := &loads[i]
			for e, end := range l.ends {
				if taken[i] || !view.Joined(island[k], end) {
					continue
				}
				taken[i] = true
				from, _ := view.Condition(l.ends[1-e])
				switch {
				case l.driver && !from.Rails.Empty():
					return l.ref, true
				case l.driver && between < 0:
					between = i
				}
				if from.Rails.Empty() {
					island = append(island, l.ends[1-e])
				}
			}
		}
	}
	if between < 0 {
		return switchnet.Ref{}, false
	}
	return loads[between].ref, true
}
