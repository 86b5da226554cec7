package trace

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// How far a session looks ahead: only at so many of the most promising tests, with so few
// classes left, and through so many tests in all; less far where boxes are open.
const (
	aheadTests       = 8
	aheadClasses     = 12
	aheadSteps       = 1200
	aheadOpening     = 100 // steps that it counts for to open the first box
	aheadDeadTests   = 4
	aheadDeadClasses = 6
	aheadDeadSteps   = 50
)

// promise keeps a test if it is one of the most promising.
func (n *chooser) promise(t Test, class float64) {
	t.Bits = class
	// Tests between other points of the same metal tell the same.
	same := func(o Test) bool {
		return o.Kind == DeadTest && t.Kind == DeadTest && o.Effort == t.Effort && o.Box == t.Box && math.Abs(o.Bits-t.Bits) < little
	}
	if slices.ContainsFunc(n.promising, same) {
		return
	}
	at, _ := slices.BinarySearchFunc(n.promising, t, func(a, t Test) int {
		// What came first of equals stays before.
		return cmp.Or(cmp.Compare(rate(t.Bits, t.Effort), rate(a.Bits, a.Effort)), -1)
	})
	if at < aheadTests {
		n.promising = slices.Insert(n.promising, at, t)
		n.promising = n.promising[:min(len(n.promising), aheadTests)]
	}
}

// ahead takes the promising test after which least effort is expected, if the session
// then goes on by what tells most for its effort. If there is too much to go through, the
// best stays what it was.
func (n *chooser) ahead() error {
	steps, classes := aheadSteps, aheadClasses
	if !n.best.Kind.closed() {
		steps, classes = aheadDeadSteps, aheadDeadClasses
	}
	if !n.best.Kind.closed() {
		n.promising = n.promising[:min(len(n.promising), aheadDeadTests)]
	}
	if len(n.r.classes) > classes {
		return nil
	}
	best, least := Test{}, 0.0
	known := map[string]float64{}
	for _, t := range n.promising {
		effort, err := n.s.expect(n.ctx, t, &steps, known)
		if err != nil {
			return err
		}
		if steps < 0 {
			return nil
		}
		if best.Kind == 0 || effort < least-1e-9*least {
			best, least = t, effort
		}
	}
	if best.Kind != 0 {
		n.best = best
	}
	return nil
}

// expect returns the effort that is expected if a test is made now, in seconds.
func (s *Session) expect(ctx context.Context, t Test, steps *int, known map[string]float64) (float64, error) {
	t.At = s.c.f.sp.setting(t.setting)
	answers, err := s.Answers(t)
	if err != nil {
		return 0, err
	}
	sum := t.Effort.Seconds()
	for _, a := range answers {
		next := s.Clone()
		next.facts = s.facts
		if err := next.Answer(t, a.Of, 0); err != nil {
			return 0, err
		}
		rest, err := next.onward(ctx, steps, known)
		if err != nil {
			return 0, err
		}
		sum += a.share * rest
	}
	return sum, nil
}

// onward returns the effort that is expected from here by what tells most for its effort.
func (s *Session) onward(ctx context.Context, steps *int, known map[string]float64) (float64, error) {
	if *steps--; *steps < 0 {
		return 0, nil
	}
	key := s.state()
	if v, ok := known[key]; ok {
		return v, nil
	}
	a, err := s.next(ctx, false)
	if err != nil || a.Status != Searching {
		return 0, err
	}
	if a.Test.Kind == DeadTest && !s.locked {
		*steps -= aheadOpening
	}
	v, err := s.expect(ctx, a.Test, steps, known)
	known[key] = v
	return v, err
}

// state says all that decides how a session goes on: what remains and how likely, and how
// things stand.
func (s *Session) state() string {
	r := s.remaining()
	var b []byte
	put := func(n int) { b = append(b, byte(n), byte(n>>8), byte(n>>16), byte(n>>24)) }
	for _, p := range r.classes {
		put(p.class)
		for i, sense := range p.senses {
			put(int(sense))
			put(int(1e9 * p.w[i] / r.total))
		}
		put(-1)
	}
	put(s.at)
	for _, f := range []bool{s.locked, s.lifted, s.capped, s.leads, s.tripped} {
		n := 0
		if f {
			n = 1
		}
		put(n)
	}
	for _, name := range append([]string{""}, s.c.travel.names...) {
		n := 0
		if s.where == name {
			n = 1
		}
		if s.dead[name] {
			n += 2
		}
		put(n)
	}
	return string(b)
}
