package trace

import (
	"cmp"
	"slices"
	"time"

	"example.com/switchleg/conductor/quantity"
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
	first int // number of the first pair among those of all stations
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

// spot is a station with the neutrals in some way, and what it takes to get there.
type spot struct {
	station
	number int
	lifted bool
	before []Action
	cost   time.Duration
}

// dead offers tests with everything locked out. Handles are moved freely.
func (n *chooser) dead() error {
	s := n.s
	e := s.c.travel.effort
	var spots []spot
	for i, st := range s.c.patterns.stations {
		for _, lifted := range []bool{false, true} {
			before, cost := s.toDead(st.boxes, lifted)
			if len(st.boxes) == 2 {
				cost += e.Lead
			}
			spots = append(spots, spot{st, i, lifted, before, cost + e.Continuity})
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	if len(spots) == 0 {
		return nil
	}
	if n.hopeless(spots[0].cost, 3) {
		// A look tells more for less than any of these could. Nobody reads a live
		// circuit then either.
		n.deadServes = true
		return nil
	}
	classes := make([]int, len(n.r.classes))
	for i, p := range n.r.classes {
		classes[i] = p.class
	}
	tables, err := s.c.deadTables(n.ctx, classes)
	if err != nil {
		return err
	}
	groups := append([]group{{setting: s.at}}, n.flips()...)
	low := 1<<s.c.f.sp.bits - 1
	seen := make([]int, s.c.f.sp.size)
	round := 0
	made := s.made()
	cells := newCells(n.r, s.driver(made, n.r, tables))
	for _, sp := range spots {
		if n.deadServes && n.hopeless(sp.cost, 3) {
			break
		}
		k := lift(sp.lifted)
		for j, at := range sp.pairs {
			if ok, err := n.spend(len(tables)); !ok {
				return err
			}
			// Classes whose senses are alike and that come to the same are taken as one;
			// what no setting changes is added up once.
			still, moving, mask, high := cells.combine(tables, k, sp.first+j)
			if n.deadServes && n.hopeless(sp.cost, cells.outcomes()) {
				continue
			}
			round++
			keyOf := func(y int) int {
				if high {
					return y & (mask | ^low)
				}
				return y & mask
			}
			for _, y := range made[ohmed{sp.first + j, k}] {
				seen[keyOf(y.setting)] = round // it would be the same again
			}
			for gi, g := range groups {
				key := keyOf(g.setting)
				if seen[key] == round {
					continue // as with less effort
				}
				seen[key] = round
				cost := sp.cost + g.effort
				if n.deadServes && n.hopeless(cost, cells.outcomes()) {
					break
				}
				n.work -= len(moving)
				t := still
				for i := range moving {
					m := &moving[i]
					t.sum(&m.parts[m.p.key[g.setting]], m.w, m.log)
				}
				class, any := t.bits(n.r)
				n.deadServes = n.deadServes || class > little || any > little
				n.offerDead(Test{Kind: DeadTest, Box: sp.boxes[len(sp.boxes)-1], Before: sp.before, Flips: g.flips,
					setting: g.setting, Lifted: sp.lifted,
					Between: [2]switchnet.Terminal{s.c.f.points[at.p], s.c.f.points[at.q]},
					Effort:  cost}, class, any, [4]int{gi, sp.number, k, j})
			}
		}
	}
	return nil
}

// ohmed is a pair, by its number, with the neutrals in some way.
type ohmed struct{ pair, lifted int }

// finding is what an ohmmeter found in a setting.
type finding struct {
	setting int
	found   Path
}

// made returns the continuity tests that were made and are not doubted.
func (s *Session) made() map[ohmed][]finding {
	out := map[ohmed][]finding{}
	for _, e := range s.log {
		if e.Report == nil || e.Report.Confidence != 0 && e.Report.Confidence != quantity.Whole {
			continue
		}
		o, ok := e.Report.Of.(Continuity)
		if !ok {
			continue
		}
		var errs Errors
		x := o.compile(s.c, &errs)
		if n, ok := s.c.patterns.number[*x.ohms]; ok && len(x.settings) == 1 {
			key := ohmed{n, x.lifted}
			out[key] = append(out[key], finding{x.settings[0], o.Found})
		}
	}
	return out
}

// driver returns how likely the driver of a light is to read as a resistance, as far as
// that counts for choosing a test: one that was read so once is again, and where as many
// tests as there are lights have found nothing, the next will not either. It enters no
// verdict: of two lights one may read and the other not.
func (s *Session) driver(made map[ohmed][]finding, r *rest, tables []table) float64 {
	open := 0
	for at, fs := range made {
		for _, f := range fs {
			either := false
			for i, p := range r.classes {
				pat := tables[i][at.lifted][at.pair]
				either = either || slices.ContainsFunc(p.senses, func(sense int32) bool { return pat.kinds[f.setting^int(sense)] == findsEither })
			}
			switch {
			case either && f.found == Through:
				return 1
			case either:
				open++
			}
		}
	}
	if open >= len(s.c.f.lights) {
		return 0
	}
	return 0.5
}

// offerDead offers a dead test; of equals it is the first in an order that is given.
func (n *chooser) offerDead(t Test, class, any float64, order [4]int) {
	t.order = order
	n.offer(t, class, any)
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
