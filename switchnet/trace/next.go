package trace

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// An Advice is what to do next.
type Advice struct {
	// Status is Searching if there is a Test. Otherwise it says why there is none.
	Status Status
	Test   Test
	// Refused lists what a rule keeps from being done now: single handles in name
	// order, which could be a bolted fault; and where there is no test, for each rule
	// that keeps one from being made that would tell more, in the order of the rules, the
	// best of them. Where one class of several causes is left that is what Options leave
	// out and would tell these apart, if anything would.
	Refused []Refusal
	// Cut reports that the search for the test met Options.Work: there may be a
	// better one among those that take more effort.
	Cut bool
}

// Next returns the test that is expected to tell most about which class it is, for the
// effort it takes; and where few classes are left, the one of the most promising with which
// the session is expected to end with least effort, if it goes on by the former. Of equals
// it is the one with less effort, then the one that is less dangerous (in the order of the
// sorts of test), then the first in the order of settings, boxes and points.
//
// Information is exact, over all that remains and every sense of each handle, taking the
// answer to be right. Where no test is expected to tell anything because all but one of what
// remains is next to impossible, it is reckoned as if all were as likely, and only over looks
// and readings that come out in one way for each. A test that tells nothing about the class
// is proposed only if no test does, when it tells something of the handles that others then
// build on. Readings on a live circuit are proposed only if no test with the circuit dead
// tells anything; what a load that was read through once lets through, it is reckoned to let
// through again.
//
// An error means that the context ended or that a model could not be made.
func (s *Session) Next(ctx context.Context) (Advice, error) { return s.next(ctx, true) }

// next looks ahead or not: what is looked ahead with does not.
func (s *Session) next(ctx context.Context, ahead bool) (Advice, error) {
	v, err := s.verdict()
	if err != nil {
		return Advice{}, err
	}
	a := Advice{Status: v.Status}
	if v.Status != Searching {
		if ahead && (v.Status == Found || v.Status == NothingWrong) && len(v.Fits[0].Class.Causes) > 1 {
			a.Refused, err = s.leftOut(ctx)
		}
		return a, err
	}
	n := &chooser{s: s, r: s.remaining(), ctx: ctx, risk: map[int]*Class{}, work: s.c.opt.Work}
	if err := n.choose(ahead); err != nil {
		return Advice{}, err
	}
	a.Refused, a.Cut = n.refused, n.cut
	enabler := n.enabler
	if n.best.Kind == 0 && !n.cut {
		// All that is likely is one class, or cannot be told apart; what is left beside it
		// is so unlikely that no test is expected to tell anything, and nothing speaks
		// against it all the same.
		n = &chooser{s: s, r: n.r.alike(), ctx: ctx, risk: n.risk, work: n.work, firm: true}
		if err := n.choose(false); err != nil {
			return Advice{}, err
		}
		a.Cut = n.cut
		if enabler.Kind == 0 {
			enabler = n.enabler
		}
	}
	switch {
	case n.best.Kind != 0:
		a.Test = n.best
	case enabler.Kind != 0:
		a.Test = enabler
	default:
		a.Status = NoTest
		if ahead {
			barred, err := s.barred(ctx)
			if err != nil {
				return Advice{}, err
			}
			a.Refused = append(a.Refused, barred...)
		}
		return a, nil
	}
	a.Test.At = s.c.f.sp.setting(a.Test.setting)
	return a, nil
}

// closed offers what is done with all boxes closed: questions, looks and flips.
func (n *chooser) closed() {
	s := n.s
	e := s.c.travel.effort
	if s.tripped {
		return
	}
	asked := slices.ContainsFunc(s.log, func(l Entry) bool {
		if l.Report == nil {
			return false
		}
		_, ok := l.Report.Of.(InUse)
		return ok
	})
	if !asked {
		d := newTally(2)
		for _, p := range n.r.classes {
			o := 0
			if s.c.classes[p.class].Trips {
				o = 1
			}
			for i, w := range p.w {
				d.add(o, w, p.log[i], 1)
			}
			d.close()
		}
		class, any := d.bits(n.r)
		n.offer(Test{Kind: AskUse, Effort: e.Ask, At: s.Handles(), setting: s.at}, class, any)
	}
	before, cost := s.toLive()
	if !s.locked && !s.lifted || n.risky(s.at) == nil {
		for _, box := range n.lookouts() {
			t := Test{Kind: LookFrom, Box: box, Before: before, At: s.Handles(), setting: s.at,
				Effort: cost + s.c.travel.trip(s.where, box) + e.Look}
			n.look(t)
		}
	}
	for i, r := range s.c.f.sp.switches {
		y := s.c.f.sp.moved(s.at, i)
		if c := n.risky(y); c != nil {
			n.refused = append(n.refused, Refusal{BoltedFault, "moving " + r.String(), *c})
		}
	}
	for _, g := range n.flips() {
		if n.hopeless(cost+g.effort+e.Look, float64(len(s.c.sights))) {
			break
		}
		if n.passes(g) != nil {
			continue
		}
		t := Test{Kind: FlipAndLook, Box: g.flips[len(g.flips)-1].Place, Before: before, Flips: g.flips,
			At: s.c.f.sp.setting(g.setting), setting: g.setting, Effort: cost + g.effort + e.Look}
		n.look(t)
	}
}

// lookouts returns the boxes to look from: where the person is, and one for each
// different view.
func (n *chooser) lookouts() []string {
	s := n.s
	if s.c.travel.seen == nil {
		return []string{s.where}
	}
	var out []string
	for _, b := range append([]string{s.where}, s.c.travel.names...) {
		same := func(o string) bool { return slices.Equal(s.c.views[o], s.c.views[b]) }
		if b != "" && !slices.ContainsFunc(out, same) {
			out = append(out, b)
		}
	}
	return out
}

// looked returns the reports of all lights in whole settings that are not doubted, by
// setting.
func (s *Session) looked() map[int][]Saw {
	out := map[int][]Saw{}
	for _, e := range s.log {
		if e.Report == nil || e.Report.Confidence != 0 && e.Report.Confidence != quantity.Whole {
			continue
		}
		if o, ok := e.Report.Of.(Saw); ok {
			var errs Errors
			if ys, whole := s.c.f.sp.meant(&errs, "", o.At); whole {
				out[ys[0]] = append(out[ys[0]], o)
			}
		}
	}
	return out
}

// again reports whether all that is seen from a box in a setting was seen before: it would
// be the same again.
func (n *chooser) again(setting int, box string) bool {
	s := n.s
	if n.looked == nil {
		n.looked = s.looked()
	}
	sees := s.c.travel.sees(box)
	return slices.ContainsFunc(n.looked[setting], func(o Saw) bool {
		for i, l := range s.c.f.lights {
			if (sees == nil || sees[i]) && !slices.ContainsFunc(o.Lights, func(x Seen) bool { return x.Light == l.Ref }) {
				return false
			}
		}
		return true
	})
}

// look offers a look at the lights.
func (n *chooser) look(t Test) {
	s := n.s
	if n.again(t.setting, t.Box) {
		return
	}
	if n.tally == nil {
		n.tally = newTally(len(s.c.sights))
	}
	d := n.tally
	d.reset()
	view := s.c.views[t.Box]
	for _, p := range n.r.classes {
		looks := s.c.classes[p.class].looks
		for i, sense := range p.senses {
			k := looks[t.setting^int(sense)]
			if n.firm && !s.c.sights[k].trip && strings.IndexByte(s.c.sights[k].look, byte(Dim)) >= 0 {
				d.reset()
				clear(d.class)
				return
			}
			d.add(int(view[k]), p.w[i], p.log[i], 1)
		}
		d.close()
	}
	n.work -= n.r.count
	class, any := d.bits(n.r)
	n.offer(t, class, any)
}

// group is a setting to go to.
type group struct {
	setting int
	flips   []switchnet.Ref
	effort  time.Duration
}

// flips returns every other setting, the one with the least effort first.
func (n *chooser) flips() []group {
	if n.groups != nil {
		return n.groups
	}
	s := n.s
	sp := s.c.f.sp
	out := make([]group, 0, sp.size)
	for y := range sp.size {
		var refs []switchnet.Ref
		effort := time.Duration(0)
		for _, i := range sp.apart(s.at, y) {
			refs = append(refs, sp.switches[i])
			// One that has more positions than two is moved on until it is there.
			more := (sp.at(y, i) - sp.at(s.at, i) + sp.radix[i]) % sp.radix[i]
			effort += time.Duration(more-1) * s.c.travel.effort.Flip
		}
		if len(refs) == 0 {
			continue
		}
		way, cost := s.c.travel.way(s.where, refs)
		out = append(out, group{y, way, effort + cost})
	}
	slices.SortStableFunc(out, func(a, b group) int { return cmp.Compare(a.effort, b.effort) })
	n.groups = out
	return out
}

// passes returns the class for which a setting on the way would be a bolted fault, nil
// if there is none.
func (n *chooser) passes(g group) *Class {
	sp := n.s.c.f.sp
	y := n.s.at
	for _, r := range g.flips {
		i, _ := sp.find(r)
		for sp.at(y, i) != sp.at(g.setting, i) {
			y = sp.moved(y, i)
			if c := n.risky(y); c != nil {
				return c
			}
		}
	}
	return nil
}

// toLive returns what to do before lights are looked at, and what it takes.
func (s *Session) toLive() (before []Action, cost time.Duration) {
	e := s.c.travel.effort
	if s.locked && s.leads {
		before = append(before, Action{Do: TakeLeads})
		cost += e.Continuity
	}
	if s.lifted {
		if !s.locked { // energized with each end capped
			before = append(before, Action{Do: LockOut})
			cost += e.LockOut
		}
		for _, p := range s.c.travel.panels {
			if !s.dead[p] {
				before = append(before, Action{Do: ProveDead, Box: p})
				cost += e.Open + e.ProveDead
			}
		}
		before = append(before, Action{Do: LandNeutrals})
		cost += e.Lift
	}
	if s.locked || s.lifted {
		before = append(before, Action{Do: Energize})
		cost += e.Energize
	}
	return before, cost
}
