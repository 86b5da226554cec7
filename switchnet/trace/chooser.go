package trace

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"
)

// choose goes through all tests.
func (n *chooser) choose(ahead bool) error {
	noDead, noLive := n.s.c.opt.NoDead, n.s.c.opt.NoLive
	n.closed()
	if !noDead {
		if err := n.dead(); err != nil {
			return err
		}
	}
	if !noLive && (noDead || !n.deadServes) {
		if err := n.live(); err != nil {
			return err
		}
	}
	if ahead && len(n.promising) > 1 && n.best.Kind != LiveReading && n.best.Kind != TryReference {
		return n.ahead()
	}
	return nil
}

// chooser looks for the best test.
type chooser struct {
	s       *Session
	r       *rest
	ctx     context.Context
	risk    map[int]*Class // by setting: the class that makes it a bolted fault, or nil
	refused []Refusal
	work    int
	cut     bool
	tally   *tally

	groups        []group
	looked        map[int][]Saw
	every         func(Test, float64) // is told each test and what it tells; nil for none
	best, enabler Test
	promising     []Test             // with all boxes closed, the best first
	deadServes    bool               // some test with the circuit dead tells something of the class
	made          []outlet           // readings that were made on a tester that loads the circuit
	threads       map[[2]int]threads // what they were made through, by class and sense
	firm          bool               // no look or reading with several outcomes for one possibility
	reckless      bool               // what could be a bolted fault counts as if it could not
}

// little is how many bits are none.
const little = 1e-9

// rate is what a test tells for its effort.
func rate(bits float64, effort time.Duration) float64 { return bits / max(effort, 1).Seconds() }

// offer takes a test if it is better than what there is.
func (n *chooser) offer(t Test, class, any float64) {
	if n.every != nil {
		n.every(t, any)
		return
	}
	better := func(old Test, bits float64) bool {
		if old.Kind == 0 {
			return true
		}
		a, b := rate(bits, t.Effort), rate(old.Bits, old.Effort)
		if math.Abs(a-b) > 1e-9*b {
			return a > b
		}
		return cmp.Or(cmp.Compare(t.Effort, old.Effort), cmp.Compare(t.Kind, old.Kind), slices.Compare(t.order[:], old.order[:])) < 0
	}
	if (t.Kind.closed() || t.Kind == DeadTest) && class > little && len(n.r.classes) <= aheadClasses {
		n.promise(t, class)
	}
	switch {
	case class > little && better(n.best, class):
		n.best = t
		n.best.Bits = class
	case any > little && better(n.enabler, any):
		n.enabler = t
		n.enabler.Bits = any
	}
}

// hopeless reports whether no test of that effort with that many outcomes can be better
// than what there is.
func (n *chooser) hopeless(effort time.Duration, outcomes float64) bool {
	return n.every == nil && n.best.Kind != 0 && rate(min(math.Log2(outcomes), n.r.bits), effort) < rate(n.best.Bits, n.best.Effort)
}

// risky returns the class for which a setting is a bolted fault, the likeliest if there
// are several, nil if there is none. However unlikely it is, it counts as long as it
// remains. It is a class without causes where something may remain that was never weighed.
func (n *chooser) risky(x int) *Class {
	if n.reckless {
		return nil
	}
	if c, ok := n.risk[x]; ok {
		return c
	}
	var worst *Class
	most := 0.0
	for _, p := range n.r.classes {
		k := &n.s.c.classes[p.class]
		if !k.Trips {
			continue
		}
		mass := 0.0
		for i, sense := range p.senses {
			if n.s.c.sights[k.looks[x^int(sense)]].trip {
				mass += p.w[i]
			}
		}
		if mass > most {
			worst, most = &k.Class, mass
		}
	}
	if worst == nil && n.s.dread != nil {
		worst = n.s.dread(x)
	}
	n.risk[x] = worst
	return worst
}

// spend takes work off the budget, and reports whether there is any left.
func (n *chooser) spend(work int) (bool, error) {
	if err := n.ctx.Err(); err != nil {
		return false, err
	}
	if n.work <= 0 {
		n.cut = true
		return false, nil
	}
	n.work -= work
	return true, nil
}
