package trace

import (
	"hash/fnv"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet/steady"
)

// What a load lets through to a tester that loads the circuit the drawing does not say: the
// volts of the circuit, or something between. It is the same, though, wherever that load is
// read through: whoever has read it once knows what the next reading through it comes to.

// outlet is a reading that is made through loads under some possibility: between two points
// in a setting, as the handles are called; q is over a known live source if p is below zero.
type outlet struct {
	x, p, q int
	hot     bool // the volts of the circuit came through
}

// outlets returns the readings on a tester that loads the circuit which were made and are
// not doubted, in order.
func (s *Session) outlets() []outlet {
	var out []outlet
	for _, e := range s.log {
		if e.Report == nil || e.Report.Confidence != 0 && e.Report.Confidence != quantity.Whole {
			continue
		}
		if o, ok := s.outlet(e.Report.Of); ok {
			out = append(out, o)
		}
	}
	return out
}

// outlet returns a reading on a tester that loads the circuit in one setting, and false if
// the observation is none.
func (s *Session) outlet(of Observation) (outlet, bool) {
	var errs Errors
	switch o := of.(type) {
	case Reading:
		ys, _ := s.c.f.sp.meant(&errs, "", o.At)
		at := s.c.probes(&errs, "", o.Red, o.Black)
		return outlet{ys[0], at[0], at[1], o.Comes(s.c.w.Net().Source().System.LineToNeutral) == Hot}, len(ys) == 1 && o.Meter == steady.LowImpedance
	case Reference:
		ys, _ := s.c.f.sp.meant(&errs, "", o.At)
		at := s.c.probes(&errs, "", o.Point)
		return outlet{ys[0], -1, at[0], o.Shown}, len(ys) == 1
	}
	return outlet{}, false
}

// through is the loads that a reading is made through, and how many outcomes it may have:
// readings for which both are the same come out alike. The zero through is no such reading.
type through struct {
	loads    uint64
	outcomes int
}

// through returns what a reading under a class in a true setting is made through.
func (s *Session) through(class, y, p, q int) (through, error) {
	f, err := s.fact(class, y)
	if err != nil || f.trip {
		return through{}, err
	}
	red := uint8(onA)
	if p >= 0 {
		red = f.cond[p]
	}
	t := through{}
	for v := Hot; v <= Ambiguous; v++ {
		if w := voltsWeight(red, f.cond[q], true, v); w > 0 && w < 1 {
			t.outcomes++
		}
	}
	if t.outcomes == 0 {
		return through{}, nil
	}
	near, err := s.near(class, y)
	if err != nil {
		return through{}, err
	}
	t.loads = near[q]
	if p >= 0 {
		t.loads ^= near[p]
	}
	return t, nil
}

// threads is what readings that were made are made through, if something is so.
type threads struct {
	of  []through
	hot []bool
}

// threads returns what readings were made through if a class is so, with a sense of the
// handles.
func (s *Session) threads(class, sense int, made []outlet) (threads, error) {
	var out threads
	for _, o := range made {
		t, err := s.through(class, o.x^sense, o.p, o.q)
		if err != nil {
			return threads{}, err
		}
		if t != (through{}) {
			out.of, out.hot = append(out.of, t), append(out.hot, o.hot)
		}
	}
	return out, nil
}

// before says of a reading that is made through loads how often those through the same that
// were made before were hot, and how often they were not.
func (k threads) before(t through) (hot, not int) {
	if t == (through{}) {
		return 0, 0
	}
	for i, u := range k.of {
		switch {
		case t == u && k.hot[i]:
			hot++
		case t == u:
			not++
		}
	}
	return hot, not
}

// again returns how likely a reading through loads is that came out as readings did which
// were made through the same before, or otherwise; 0 if there were none, or both.
func (s *Session) again(class, sense int, o outlet, made []outlet) (float64, error) {
	t, err := s.through(class, o.x^sense, o.p, o.q)
	if err != nil || t == (through{}) {
		return 0, err
	}
	k, err := s.threads(class, sense, made)
	if err != nil {
		return 0, err
	}
	switch hot, not := k.before(t); {
	case (hot > 0) == (not > 0):
		return 0, nil
	case o.hot != (hot > 0):
		return seldom, nil
	case !o.hot && t.outcomes > 2:
		return 0.5, nil // dead or ambiguous
	}
	return 1, nil
}

// near returns for each point which loads end on the metal that it is on, summed up in a
// number; 0 for points that are on a rail or on nothing.
func (s *Session) near(class, y int) ([]uint64, error) {
	key := [2]int{class, y}
	if n := s.facts.near[key]; n != nil {
		return n, nil
	}
	f, err := s.fact(class, y)
	if err != nil {
		return nil, err
	}
	if s.facts.near == nil || len(s.facts.near) >= maxFacts {
		s.facts.near = map[[2]int][]uint64{}
	}
	m, err := s.c.modelOf(class)
	if err != nil {
		return nil, err
	}
	n := s.c.f.near(m, y, f)
	s.facts.near[key] = n
	return n, nil
}

func (f *frame) near(m *model, y int, x *facts) []uint64 {
	c := m.whole
	g := c.net.Dense()
	pos := make([]int, g.Devices()) // breakers are on
	for i, d := range c.devices {
		pos[d] = f.sp.at(y, i)
	}
	sets := unionfind.New(g.Nets())
	for d := range g.Devices() {
		nets := g.Terminals(d)
		for _, j := range g.Kind(d).Joins[pos[d]] {
			sets.Union(nets[j[0]], nets[j[1]])
		}
	}
	loads := map[int32]uint64{}
	for l, ends := range g.LoadNets {
		h := fnv.New64a()
		h.Write([]byte{byte(l), byte(l >> 8), byte(l >> 16), byte(l >> 24)})
		a, b := sets.Find(ends[0]), sets.Find(ends[1])
		if a != b {
			loads[a] ^= h.Sum64()
			loads[b] ^= h.Sum64()
		}
	}
	out := make([]uint64, len(f.points))
	for p, n := range c.points {
		if k := x.cond[p]; k == throughEarth || k == throughLine {
			out[p] = loads[sets.Find(n)]
		}
	}
	return out
}
