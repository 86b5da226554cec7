package identify

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/trace"
)

// heard is what a meter found between two points, and under which possibilities that hung
// on something of which nobody knows what it is: a load of the feed elsewhere, a switch
// that stands in its box, a box in which somebody worked.
type heard[A ~uint8] struct {
	found A
	loose func(i int) bool
}

// A meter is a sort of meter: what it may answer, how likely an answer is for an outcome,
// and of which outcomes nobody knows what they come to.
type meter[A ~uint8] struct {
	answers []A
	likely  func(outcome, A) float64
	unknown func(outcome) bool
}

// ohmmeter and voltmeter return the two that there are.
func ohmmeter() meter[trace.Path] {
	return meter[trace.Path]{
		answers: []trace.Path{trace.Open, trace.Through, trace.Joined},
		likely:  pathLikely,
		unknown: func(x outcome) bool { return x == anyPath },
	}
}

func voltmeter() meter[Level] {
	return meter[Level]{
		answers: []Level{None, OneLine, TwoLines, Between},
		likely:  levelLikely,
		unknown: func(x outcome) bool { return x == anyLevel || x == allLevel },
	}
}

// A lain is what a meter lay between, with the boxes as they are and some feeds off, and
// what of it stays as it is for other points: whatever was twisted together meanwhile, what
// nobody knows was the same.
type lain struct{ points, boxes string }

// between returns what an ohmmeter lies between, in a setup.
func between(o Continuity, stage []Stage) lain {
	a, b := o.Between[0].String(), o.Between[1].String()
	boxes := fmt.Sprint("ohms ", stage)
	return lain{fmt.Sprint(boxes, min(a, b), " ", max(a, b)), boxes}
}

// across returns what a voltmeter lies between, two vertices with a set of feeds off: one
// reference is as good as another. A breaker moves no switch.
func across(a, b int, off uint16, stage []Stage) lain {
	boxes := fmt.Sprint("volts ", stage)
	return lain{fmt.Sprint(boxes, min(a, b), " ", max(a, b), " ", off), boxes}
}

// still is how likely a meter is to find what it found, where that hangs on something
// of which nobody knows what it is, and on which something hung before with the boxes as they
// are: a switch stands as it stood, and what lies in a circuit lies there still. Of what is
// found first each answer is as likely; were each that follows taken for news of its own, a
// true possibility would lose two thirds of its weight with every test, and one that
// foretells the answers for a wrong reason would seem all but certain.
const still = 0.9

// again returns how likely an answer is once more between two points, of which nobody knows
// what it comes to, and which was another or the same before.
func (m meter[A]) again(x outcome, found, last A) float64 {
	p := m.likely(x, found)
	switch {
	case p == 0 || m.likely(x, last) == 0:
		return p
	case found == last:
		return still
	}
	return (1 - still) * p / (1 - p)
}

// looseLikely returns how likely it is that a meter finds this under a possibility under
// which that is an outcome of which nobody knows what it comes to.
func looseLikely[A ~uint8](s *Session, m meter[A], last map[string]heard[A], at lain, found A) func(i int, x outcome) float64 {
	was, again := last[at.points]
	before := slices.Clone(s.hung[at.boxes])
	return func(i int, x outcome) float64 {
		p := m.likely(x, found)
		switch {
		case p == 0:
			return 0
		case again && was.loose(i):
			return m.again(x, found, was.found)
		case slices.ContainsFunc(before, func(loose func(int) bool) bool { return loose(i) }):
			return still
		}
		return p
	}
}

// hear notes what a meter found.
func hear[A ~uint8](s *Session, last map[string]heard[A], at lain, found A, loose func(i int) bool) {
	last[at.points] = heard[A]{found, loose}
	for i := range s.weight {
		if s.remains(i) && loose(i) {
			s.hung[at.boxes] = append(s.hung[at.boxes], loose)
			return
		}
	}
}

// unsure is how much of what a test would tell counts, where something hung on what
// nobody knows already: it tells little, and is better than nothing.
const unsure = 0.2

// tells returns how many bits a test is expected to tell. Where something hung on what
// nobody knows already, that is what those know under which it is known to
// come out, or a fifth of what it would be by chance if that serves.
func tells[A ~uint8](s *Session, m meter[A], last map[string]heard[A], v *view, weights []float64, at lain, comes func(*circuit) outcome) float64 {
	likely := m.likely
	if was, ok := last[at.points]; ok {
		likely = func(x outcome, found A) float64 {
			if m.unknown(x) {
				return m.again(x, found, was.found)
			}
			return m.likely(x, found)
		}
	}
	all := gain(v, weights, m.answers, likely, comes)
	if len(s.hung[at.boxes]) == 0 {
		return all
	}
	known, sum := slices.Clone(weights), 0.0
	for k, c := range v.circuits {
		if m.unknown(comes(c)) {
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
	bits := sum * gain(v, known, m.answers, m.likely, comes)
	if x := unsure * all; x >= serves {
		return max(bits, x)
	}
	return bits
}
