package plan

import (
	"context"
	"slices"
)

// answer is what was found for a circuit, with the store that its runs were priced by.
type answer struct {
	found
	store *store
}

// deal says which circuits do without the cable of which runs.
type deal struct {
	taken   map[int]map[int32]bool // by circuit
	answers []answer
	score   score
	bound   score
}

// maxDeals is the most ways to deal out cables that are tried.
const maxDeals = 64

// search finds the trees and shapes of all circuits. A cable that is given is for one
// circuit. Each circuit is planned as if it were alone; where two want one cable, it
// is withheld from one and then from the other, and the better of all such deals is
// taken, of equals that in which the earlier circuit has it.
func (m *maker) search(ctx context.Context) error {
	m.found = make([]found, len(m.circuits))
	first := deal{taken: map[int]map[int32]bool{}}
	for i := range m.circuits {
		var a answer
		if m.circuits[i].clients() > 0 {
			if p := m.opt; p != nil && p.Progress != nil {
				p.Progress(Progress{Circuit: i + 1, Circuits: len(m.circuits)})
			}
			var err error
			if a, err = m.alone(ctx, i, nil); err != nil {
				return err
			}
		}
		first.answers = append(first.answers, a)
		first.score, first.bound = first.score.add(a.score), first.bound.add(a.bound)
	}
	open := []deal{first}
	cut := false // not every deal is tried
	for n := 0; ; n++ {
		k := 0
		for i := range open {
			if open[i].score.less(open[k].score) {
				k = i
			}
		}
		d := open[k]
		run, a, b := m.contended(d.answers)
		if run < 0 {
			m.bound = d.bound
			for _, o := range open {
				if o.bound.less(m.bound) {
					m.bound = o.bound
				}
			}
			m.take(d)
			return nil
		}
		open = slices.Delete(open, k, k+1)
		for _, without := range []int{b, a} {
			next, err := m.withhold(ctx, d, without, run)
			if err != nil {
				return err
			}
			open = append(open, next)
			if n >= maxDeals {
				// Whoever comes first has it, as far as the deals tried leave open.
				open = open[len(open)-1:]
				cut = true
				break
			}
		}
		if cut {
			// What was not looked into is bounded by the first deal only.
			open[0].bound = first.bound
		}
	}
}

// take makes a deal the plan.
func (m *maker) take(d deal) {
	for i := range d.answers {
		if d.answers[i].store != nil {
			m.found[i], m.stores[i] = d.answers[i].found, d.answers[i].store
		}
	}
}

// alone plans one circuit without the cables of the runs that are taken.
func (m *maker) alone(ctx context.Context, ci int, taken map[int32]bool) (answer, error) {
	fresh := *m.stores[ci]
	fresh.known, fresh.taken = map[priced]choice{}, taken
	f, err := m.route(ctx, ci, &fresh)
	return answer{f, &fresh}, err
}

// withhold plans one circuit of a deal again, without one cable more.
func (m *maker) withhold(ctx context.Context, d deal, ci int, run int32) (deal, error) {
	next := deal{taken: map[int]map[int32]bool{}, answers: slices.Clone(d.answers)}
	for i, t := range d.taken {
		next.taken[i] = t
	}
	t := cloned(d.taken[ci])
	t[run] = true
	next.taken[ci] = t
	a, err := m.alone(ctx, ci, t)
	if err != nil {
		return next, err
	}
	old := d.answers[ci]
	next.answers[ci] = a
	next.score, next.bound = d.score.sub(old.score).add(a.score), d.bound.sub(old.bound).add(a.bound)
	return next, nil
}

// contended returns the first run whose given cable two circuits use, with the first
// two of them, or -1.
func (m *maker) contended(answers []answer) (run int32, a, b int) {
	user := map[int32]int{}
	for ci := range answers {
		f := &answers[ci].found
		if f.t == nil {
			continue
		}
		for v := int32(1); int(v) < f.t.size(); v++ {
			run := f.t.run[v]
			if m.in.Runs[run].Cable.Name == "" || answers[ci].store.taken[run] {
				continue
			}
			if first, ok := user[run]; ok && first != ci {
				return run, first, ci
			}
			user[run] = ci
		}
	}
	return -1, 0, 0
}
