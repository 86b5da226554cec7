package trace

import (
	"time"

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
	n.made, n.threads = s.outlets(), map[[2]int]threads{}
	for _, g := range append([]group{{setting: s.at}}, n.flips()...) {
		if n.hopeless(cost+g.effort+e.Reading, 4) {
			break
		}
		if n.passes(g) != nil || n.risky(g.setting) != nil {
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
		class, any, err := n.weighs(g.setting, -1, q, true)
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
			class, any, err := n.weighs(g.setting, p, q, t.Prove)
			if err != nil {
				return err
			}
			n.offer(t, class, any)
		}
	}
	return nil
}

// outcomes are how likely a reading is to be dead, ambiguous and hot, and the reference not
// to be shown.
type outcomes [4]float64

// reading returns the outcomes of a reading, a known live source over the second point if
// the first is below zero; with the second to be proven first or not.
func reading(x *facts, p, q int, prove bool) (w outcomes) {
	shown := 1.0
	if prove {
		shown = referenceWeight(x, q, true)
	}
	w[3] = 1 - shown
	switch {
	case p < 0:
		w[2] = shown
	case shown > 0:
		for i, v := range []Volts{Dead, Ambiguous, Hot} {
			w[i] = shown * voltsWeight(x.cond[p], x.cond[q], true, v)
		}
	}
	return w
}

// several reports whether a reading may come out in one of several ways.
func (w outcomes) several() bool { return w[0] < 1 && w[1] < 1 && w[2] < 1 && w[3] < 1 }

// weighs returns what a reading tells, as reading has it.
func (n *chooser) weighs(x, p, q int, prove bool) (class, any float64, err error) {
	a := newTally(4)
	for _, k := range n.r.classes {
		for i, sense := range k.senses {
			y := x ^ int(sense)
			f, err := n.s.fact(k.class, y)
			if err != nil {
				return 0, 0, err
			}
			if f.trip {
				continue // too unlikely to count, or the setting would be refused
			}
			may := reading(f, p, q, prove)
			is := may
			if may.several() {
				if n.firm {
					return 0, 0, nil
				}
				var doubtful bool
				if is, doubtful, err = n.as(k.class, int(sense), y, p, q, prove, may); err != nil || doubtful {
					return 0, 0, err
				}
			}
			for o, v := range may {
				if v > 0 {
					a.add(o, k.w[i], k.log[i], is[o])
				}
			}
		}
		a.close()
	}
	class, any = a.bits(n.r)
	return class, any, nil
}

// as returns the outcomes of a reading that is made through loads, by what readings through
// the same have come to before; and whether these came out in different ways.
func (n *chooser) as(class, sense, y, p, q int, prove bool, w outcomes) (_ outcomes, doubtful bool, err error) {
	key := [2]int{class, sense}
	k, ok := n.threads[key]
	if !ok {
		if k, err = n.s.threads(class, sense, n.made); err != nil {
			return w, false, err
		}
		n.threads[key] = k
	}
	if len(k.of) == 0 {
		return w, false, nil
	}
	if prove && w[3] > 0 && w[3] < 1 {
		t, err := n.s.through(class, y, -1, q)
		hot, not := k.before(t)
		if err != nil || hot > 0 && not > 0 {
			return w, true, err
		}
		w = w.without(not > 0, 0, 1, 2).without(hot > 0, 3)
	}
	if p >= 0 && w[3] < 1 {
		t, err := n.s.through(class, y, p, q)
		hot, not := k.before(t)
		if err != nil || hot > 0 && not > 0 {
			return w, true, err
		}
		w = w.without(not > 0, 2).without(hot > 0, 0, 1)
	}
	return w, false, nil
}

// without returns outcomes but for some of them, if that is so and leaves any.
func (w outcomes) without(so bool, some ...int) outcomes {
	if !so {
		return w
	}
	out, sum := w, 0.0
	for _, o := range some {
		out[o] = 0
	}
	for _, v := range out {
		sum += v
	}
	if sum == 0 {
		return w
	}
	for o := range out {
		out[o] /= sum
	}
	return out
}
