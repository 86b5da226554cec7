package trace

import (
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// live offers readings with the circuit energized, where no setting on the way and none
// to read in would be a bolted fault.
func (n *chooser) live() error {
	s := n.s
	if s.tripped {
		return nil
	}
	e := s.c.travel.effort
	before, cost := s.toLive()
	var err error
	if n.vague, err = n.inVain(); err != nil {
		return err
	}
	for _, g := range append([]group{{setting: s.at}}, n.flips()...) {
		if n.hopeless(cost+g.effort+e.Reading, 4) {
			break
		}
		if n.passes(g) >= 0 || n.risky(g.setting) >= 0 {
			continue
		}
		for _, box := range s.c.travel.names {
			where := s.where
			if len(g.flips) > 0 {
				where = g.flips[len(g.flips)-1].Place
			}
			walk := cost + g.effort + s.c.travel.trip(where, box) + e.Open
			if err := n.readings(g, box, before, walk); err != nil {
				return err
			}
			if n.cut {
				return nil
			}
		}
	}
	return nil
}

// inVain reports whether as many readings as there are lights have come out in one of
// several ways that were possible: what a light lets through the next will not tell either.
func (n *chooser) inVain() (bool, error) {
	open := 0
	for _, e := range n.s.log {
		if e.Report == nil || e.Report.Confidence != 0 && e.Report.Confidence != quantity.Whole {
			continue
		}
		switch e.Report.Of.(type) {
		case Reading, Reference:
		default:
			continue
		}
		var errs Errors
		x := e.Report.Of.compile(n.s.c, &errs)
		if len(x.settings) != 1 {
			continue
		}
		several := false
		for _, p := range n.r.classes {
			for _, sense := range p.senses {
				f, err := n.s.fact(p.class, x.settings[0]^int(sense))
				if err != nil {
					return false, err
				}
				w := x.read(f)
				several = several || w > 0 && w < 1
			}
		}
		if several {
			open++
		}
	}
	return open >= len(n.s.c.f.lights), nil
}

// readings offers the readings and the references of one box in one setting.
func (n *chooser) readings(g group, box string, before []Action, cost time.Duration) error {
	s := n.s
	e := s.c.travel.effort
	var points []int
	for i, t := range s.c.f.points {
		if t.Place == box {
			points = append(points, i)
		}
	}
	base := Test{Box: box, Before: before, Flips: g.flips, At: s.c.f.sp.setting(g.setting), setting: g.setting}
	for _, q := range points {
		point := s.c.f.points[q]
		if s.bonded(point) && !s.otherReference() {
			continue // rule ProvenBond
		}
		if ok, err := n.spend(n.r.count * (len(points) + 1)); !ok {
			return err
		}
		if f := s.c.meant[q]; f != wiring.NeutralConductor && f != wiring.GroundConductor {
			continue // no reference to read over
		}
		t := base
		t.Kind, t.Between[1], t.Effort = TryReference, point, cost+e.Prove
		class, any, err := n.weighs(g.setting, func(x *facts) (w [4]float64) {
			w[1] = referenceWeight(x, q, true)
			w[0] = 1 - w[1]
			return w
		})
		if err != nil {
			return err
		}
		n.offer(t, class, any)
		for _, p := range points {
			if p == q {
				continue
			}
			t := base
			t.Kind, t.Between, t.Prove, t.Effort = LiveReading, [2]switchnet.Terminal{s.c.f.points[p], point}, !s.proven[q], cost+e.Reading
			if t.Prove {
				t.Effort += e.Prove
			}
			class, any, err := n.weighs(g.setting, func(x *facts) (w [4]float64) {
				shown := 1.0
				if t.Prove {
					shown = referenceWeight(x, q, true)
				}
				w[3] = 1 - shown
				for i, v := range []Volts{Dead, Ambiguous, Hot} {
					if shown > 0 {
						w[i] = shown * voltsWeight(x.cond[p], x.cond[q], true, v)
					}
				}
				return w
			})
			if err != nil {
				return err
			}
			n.offer(t, class, any)
		}
	}
	return nil
}

// weighs returns what a test with up to four outcomes tells.
func (n *chooser) weighs(x int, outcome func(*facts) [4]float64) (class, any float64, err error) {
	a := newTally(4)
	for _, p := range n.r.classes {
		for i, sense := range p.senses {
			f, err := n.s.fact(p.class, x^int(sense))
			if err != nil {
				return 0, 0, err
			}
			if f.trip {
				continue // too unlikely to count, or the setting would be refused
			}
			for o, v := range outcome(f) {
				if (n.firm || n.vague) && v > 0 && v < 1 {
					return 0, 0, nil
				}
				if v > 0 {
					a.add(o, p.w[i], p.log[i], v)
				}
			}
		}
		a.close()
	}
	class, any = a.bits(n.r)
	return class, any, nil
}
