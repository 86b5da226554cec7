package identify

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/trace"
)

// heard is what an ohmmeter found between two points, and under which possibilities that
// hung on something of which nobody knows what it is: a load of the feed elsewhere, a
// switch that stands in its box, a box in which somebody worked.
type heard struct {
	found trace.Path
	loose func(i int) bool
}

// between returns what an ohmmeter lay between, with the boxes as they are: whatever was
// twisted together meanwhile, what nobody knows was the same.
func between(o Continuity, stage []Stage) string {
	a, b := o.Between[0].String(), o.Between[1].String()
	return fmt.Sprint(min(a, b), " ", max(a, b), stage)
}

// still is how likely an ohmmeter is to find what it found, where that hangs on something
// of which nobody knows what it is, and on which something hung before with the boxes as they
// are: a switch stands as it stood, and what lies in a circuit lies there still. Of what is
// found first each answer is as likely; were each that follows taken for news of its own, a
// true possibility would lose two thirds of its weight with every test, and one that
// foretells the answers for a wrong reason would seem all but certain.
const still = 0.9

// stillLikely returns how likely it is to find the same once more between two points, or
// something else.
func stillLikely(same bool) float64 {
	if same {
		return still
	}
	return (1 - still) / 2
}

// looseLikely returns how likely it is that an ohmmeter finds this under a possibility under
// which that hangs on something unknown.
func (s *Session) looseLikely(o Continuity) func(i int) float64 {
	last, again := s.heard[between(o, s.stage)]
	before := slices.Clone(s.hung[fmt.Sprint(s.stage)])
	return func(i int) float64 {
		switch {
		case again && last.loose(i):
			return stillLikely(o.Found == last.found)
		case slices.ContainsFunc(before, func(loose func(int) bool) bool { return loose(i) }):
			return still
		}
		return perhaps
	}
}

// hear notes what an ohmmeter found.
func (s *Session) hear(o Continuity, loose func(i int) bool) {
	s.heard[between(o, s.stage)] = heard{o.Found, loose}
	for i := range s.weight {
		if s.remains(i) && loose(i) {
			key := fmt.Sprint(s.stage)
			s.hung[key] = append(s.hung[key], loose)
			return
		}
	}
}

// unsure is how much of what a dead test would tell counts, where something hung on what
// nobody knows already: it tells little, and is better than nothing.
const unsure = 0.2

// tells returns how many bits a dead test in a setup is expected to tell. Where something
// hung on what nobody knows already, that is what those know under which it is known to
// come out, or a fifth of what it would be by chance if that serves.
func (n *next) tells(v *view, weights []float64, o Continuity, stage []Stage, a, b int) float64 {
	comes := func(c *circuit) outcome { return c.path(a, b) }
	all := gain(v, weights, paths(), n.s.pathAgain(o, stage), comes)
	if len(n.s.hung[fmt.Sprint(stage)]) == 0 {
		return all
	}
	known, sum := slices.Clone(weights), 0.0
	for k, c := range v.circuits {
		if comes(c) == anyPath {
			known[k] = 0
		}
		sum += known[k]
	}
	switch sum {
	case 0:
		return 0
	case 1:
		return all
	}
	for k := range known {
		known[k] /= sum
	}
	bits := sum * gain(v, known, paths(), pathLikely, comes)
	if x := unsure * all; x >= serves {
		return max(bits, x)
	}
	return bits
}

// pathAgain is pathLikely of a test in a setup, where the two points may have been measured
// before.
func (s *Session) pathAgain(o Continuity, stage []Stage) func(outcome, trace.Path) float64 {
	last, again := s.heard[between(o, stage)]
	if !again {
		return pathLikely
	}
	return func(x outcome, p trace.Path) float64 {
		if x == anyPath {
			return stillLikely(p == last.found)
		}
		return pathLikely(x, p)
	}
}
