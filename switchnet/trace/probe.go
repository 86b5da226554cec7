package trace

import (
	"cmp"
	"slices"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// pair is two points by number.
type pair struct{ p, q int }

// station is where probes can be put in one go: the pairs within a box, or the two ends
// of each wire of a cable.
type station struct {
	boxes []string
	pairs []pair
}

// stations returns every station: boxes in name order, then cables.
func (c *Case) stations() []station {
	var out []station
	at := map[string][]int{}
	for i, t := range c.f.points {
		at[t.Place] = append(at[t.Place], i)
	}
	for _, box := range c.travel.names {
		st := station{boxes: []string{box}}
		for i, p := range at[box] {
			for _, q := range at[box][i+1:] {
				st.pairs = append(st.pairs, pair{p, q})
			}
		}
		if len(st.pairs) > 0 {
			out = append(out, st)
		}
	}
	cables := c.w.Spec().Cables
	slices.SortFunc(cables, func(a, b wiring.Cable) int { return cmp.Compare(a.Name, b.Name) })
	for _, x := range cables {
		if x.To == "" {
			continue
		}
		st := station{boxes: []string{x.From, x.To}}
		slices.Sort(st.boxes)
		for _, core := range x.Type.Cores {
			w := wiring.Wire{Cable: x.Name, Conductor: core.Colour.String()}
			p, _ := c.f.point(w.In(st.boxes[0]))
			q, _ := c.f.point(w.In(st.boxes[1]))
			st.pairs = append(st.pairs, pair{p, q})
		}
		out = append(out, st)
	}
	return out
}

// spot is a station with handles and neutrals in some way, and what it takes to get
// there.
type spot struct {
	station
	group
	lifted bool
	before []Action
	cost   time.Duration
}

// dead offers tests with everything locked out. Handles are moved freely.
func (n *chooser) dead() error {
	s := n.s
	e := s.c.travel.effort
	stations := s.c.stations()
	var spots []spot
	groups := append([]group{{setting: s.at}}, n.flips()...)
	for _, g := range groups {
		for _, st := range stations {
			for _, lifted := range []bool{false, true} {
				before, cost := s.toDead(st.boxes, lifted)
				cost += g.effort
				if len(st.boxes) == 2 {
					cost += e.Lead
				}
				spots = append(spots, spot{st, g, lifted, before, cost + e.Continuity})
			}
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	var acc []three
	for _, sp := range spots {
		if n.hopeless(sp.cost, 3) {
			break
		}
		if ok, err := n.spend(n.r.count * len(sp.pairs)); !ok {
			return err
		}
		acc = slices.Grow(acc[:0], len(sp.pairs))[:len(sp.pairs)]
		clear(acc)
		k := lift(sp.lifted)
		for _, p := range n.r.classes {
			for i, sense := range p.senses {
				f, err := s.fact(p.class, sp.setting^int(sense))
				if err != nil {
					return err
				}
				w := &f.dead[k]
				for j, at := range sp.pairs {
					a := &acc[j]
					switch {
					case w.metal[at.p] == w.metal[at.q]:
						a.add(2, p.w[i], p.log[i], 1)
					case w.loads[at.p] != w.loads[at.q]:
						a.add(0, p.w[i], p.log[i], 1)
					case w.lamps[at.p] == w.lamps[at.q]:
						a.add(1, p.w[i], p.log[i], 1)
					default:
						a.add(0, p.w[i], p.log[i], 0.5)
						a.add(1, p.w[i], p.log[i], 0.5)
					}
				}
			}
			for j := range acc {
				acc[j].close()
			}
		}
		for j := range acc {
			class, any := acc[j].bits(n.r)
			n.deadServes = n.deadServes || class > little
			n.offer(Test{Kind: DeadTest, Box: sp.boxes[len(sp.boxes)-1], Before: sp.before, Flips: sp.flips,
				At: s.c.f.sp.setting(sp.setting), setting: sp.setting, Lifted: sp.lifted,
				Between: [2]switchnet.Terminal{s.c.f.points[sp.pairs[j].p], s.c.f.points[sp.pairs[j].q]},
				Effort:  sp.cost}, class, any)
		}
	}
	return nil
}

// toDead returns what has to be done before probes are put on points of some boxes with
// the circuit dead, and what it takes with the walks to them.
func (s *Session) toDead(boxes []string, lifted bool) (before []Action, cost time.Duration) {
	t := s.c.travel
	where := s.where
	walk := func(box string) {
		cost += t.trip(where, box)
		where = box
	}
	prove := func(box string) {
		walk(box)
		if !s.dead[box] && !slices.Contains(before, Action{Do: ProveDead, Box: box}) {
			before = append(before, Action{Do: ProveDead, Box: box})
			cost += t.effort.Open + t.effort.ProveDead
		}
	}
	if !s.locked {
		if len(t.panels) > 0 {
			walk(t.panels[0])
		}
		before = append(before, Action{Do: LockOut})
		cost += t.effort.LockOut
	}
	if lifted != s.lifted {
		for _, p := range t.panels {
			prove(p)
		}
		do := LandNeutrals
		if lifted {
			do = LiftNeutrals
		}
		before = append(before, Action{Do: do})
		cost += t.effort.Lift
	}
	for _, b := range boxes {
		prove(b)
	}
	return before, cost
}

// live offers readings with the circuit energized, where no setting on the way and none
// to read in would be a bolted fault.
func (n *chooser) live() error {
	s := n.s
	if s.tripped {
		return nil
	}
	e := s.c.travel.effort
	before, cost := s.toLive()
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
		if f := s.c.meant[q]; f != wiring.NeutralConductor && f != wiring.GroundConductor {
			continue // no reference to read over
		}
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

// three is a tally of three outcomes, as a value, so that there can be many at once.
type three struct{ class, left, prob, byOne, byAny [3]float64 }

func (t *three) add(o int, w, log, prob float64) {
	t.class[o] += w
	t.prob[o] += w * prob
	t.byAny[o] += log
}

func (t *three) close() {
	for o, m := range t.class {
		if m > 0 {
			t.left[o] += m
			t.byOne[o] += xlog(m)
			t.class[o] = 0
		}
	}
}

func (t *three) bits(r *rest) (class, any float64) {
	return (&tally{left: t.left[:], prob: t.prob[:], byOne: t.byOne[:], byAny: t.byAny[:]}).bits(r)
}
