package trace

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"
)

// Weight returns how likely a class is.
func (s *Session) Weight(class int) (sum float64) {
	senses := 1 << s.c.f.sp.bits
	for _, w := range s.weight[class*senses : (class+1)*senses] {
		sum += w
	}
	return sum
}

// every returns all tests that a session may make now and that tell anything, in the order
// in which they come up: of those that have the same outcomes for every possibility and
// leave the session in the same place the one with least effort.
func (s *Session) every() ([]Test, error) {
	v, err := s.Verdict()
	if err != nil || v.Status != Searching {
		return nil, err
	}
	n := &chooser{s: s, r: s.remaining(), ctx: context.Background(), risk: map[int]*Class{}, work: math.MaxInt}
	var out []Test
	at := map[string]int{}
	n.every = func(t Test, any float64) {
		if any <= little {
			return
		}
		t.At = s.c.f.sp.setting(t.setting)
		key := fmt.Sprint(t.Kind, t.setting, t.Box, t.Lifted, t.Before, t.Between)
		if t.Kind == DeadTest {
			// Two points of one piece of metal tell the same.
			key = fmt.Sprint(t.Kind, t.setting, t.Box, t.Lifted, t.Before)
			for _, p := range n.r.classes {
				for _, sense := range p.senses {
					f, err2 := s.fact(p.class, t.setting^int(sense))
					if err2 != nil {
						err = err2
						return
					}
					a, b := s.pointsOf(t)
					key += string('0' + f.dead[lift(t.Lifted)].finds(a, b))
				}
			}
		}
		if k, ok := at[key]; !ok {
			at[key] = len(out)
			out = append(out, t)
		} else if t.Effort < out[k].Effort {
			out[k] = t
		}
	}
	n.closed()
	if !s.c.opt.NoDead {
		if err := n.dead(); err != nil {
			return nil, err
		}
	}
	return out, err
}

// A Tree is what a way of choosing tests takes.
type Tree struct {
	Effort time.Duration // expected
	Nodes  int
}

// tree returns the expected effort from where a session is, if a way of choosing says
// which tests to weigh at each point.
func (s *Session) tree(choose func(*Session) ([]Test, error), limit int) (Tree, error) {
	type value struct{ effort float64 }
	memo := map[string]value{}
	nodes := 0
	var walk func(s *Session) (float64, error)
	walk = func(s *Session) (float64, error) {
		key := s.state()
		if v, ok := memo[key]; ok {
			return v.effort, nil
		}
		if nodes++; nodes > limit {
			return 0, fmt.Errorf("more than %d states", limit)
		}
		tests, err := choose(s)
		if err != nil {
			return 0, err
		}
		best := 0.0
		for i, t := range tests {
			answers, err := s.Answers(t)
			if err != nil {
				return 0, err
			}
			sum := t.Effort.Seconds()
			for _, a := range answers {
				if i > 0 && sum >= best {
					break // it is no better already
				}
				next := s.Clone()
				next.facts = s.facts
				if err := next.Answer(t, a.Of, 0); err != nil {
					return 0, err
				}
				v, err := walk(next)
				if err != nil {
					return 0, err
				}
				sum += a.share * v
			}
			if i == 0 || sum < best {
				best = sum
			}
		}
		memo[key] = value{best}
		return best, nil
	}
	v, err := walk(s)
	return Tree{time.Duration(v * float64(time.Second)), nodes}, err
}

// Optimum returns the least expected effort of any way of choosing tests: the whole tree
// of them is tried, each state once. More states than the limit is an error.
func (s *Session) Optimum(limit int) (Tree, error) {
	return s.tree(func(s *Session) ([]Test, error) {
		tests, err := s.every()
		// The promising first, so that others are left early.
		if a, err := s.Next(context.Background()); err == nil && a.Status == Searching {
			tests = append([]Test{a.Test}, tests...)
		}
		return tests, err
	}, limit)
}

// Chosen returns the expected effort of what Next advises.
func (s *Session) Chosen(limit int) (Tree, error) {
	return s.tree(func(s *Session) ([]Test, error) {
		a, err := s.Next(context.Background())
		if err != nil || a.Status != Searching {
			return nil, err
		}
		return []Test{a.Test}, nil
	}, limit)
}

// Fixed returns the expected effort of a fixed order: the first test that tells anything,
// looks before dead tests and these box after box.
func (s *Session) Fixed(limit int) (Tree, error) {
	return s.tree(func(s *Session) ([]Test, error) {
		tests, err := s.every()
		if err != nil || len(tests) == 0 {
			return nil, err
		}
		first := slices.IndexFunc(tests, func(t Test) bool { return t.Kind != DeadTest })
		if first < 0 {
			first = 0
			for i, t := range tests {
				if slices.Compare(t.order[:], tests[first].order[:]) < 0 {
					first = i
				}
			}
		}
		return tests[first : first+1], nil
	}, limit)
}

// EntropyBound returns an expected effort that no way of choosing tests can be below: the
// bits that are not known about the class, each at what the quickest of all tests that
// there are now or later would take for as many bits as it has outcomes.
func (s *Session) EntropyBound() time.Duration {
	e := s.c.travel.effort
	outcomes := 1.0
	for _, k := range s.remaining().classes {
		seen := map[uint16]bool{}
		for _, n := range s.c.classes[k.class].looks {
			seen[n] = true
		}
		outcomes += float64(len(seen))
	}
	best := math.Log2(min(outcomes, float64(len(s.c.sights)))) / e.Look.Seconds()
	best = max(best, math.Log2(3)/e.Continuity.Seconds(), 1/e.Ask.Seconds())
	return time.Duration(s.remaining().bits / best * float64(time.Second))
}

// Table returns what a class does: in how many settings light i is lit and the breaker
// opens, of how many; and the switches that have a position in which nothing the others do
// matters, by number.
func (c *Case) Table(class, light int) (lit, trips, of int, masters []int) {
	sp := c.f.sp
	looks := c.classes[class].looks
	for _, n := range looks {
		s := c.sights[n]
		switch {
		case s.trip:
			trips++
		case Glow(s.look[light]) == Lit:
			lit++
		}
	}
	for i := range sp.switches {
		for p := range sp.radix[i] {
			first, same := -1, true
			for y, n := range looks {
				if sp.at(y, i) != p {
					continue
				}
				if first < 0 {
					first = int(n)
				}
				same = same && int(n) == first
			}
			if same && len(sp.switches) > 1 {
				masters = append(masters, i)
				break
			}
		}
	}
	return lit, trips, len(looks), masters
}
