package check

import (
	"cmp"
	"iter"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// How far pairs of steps are looked for.
const (
	mostHalves = 8  // steps that cure a finding and bring others
	mostAfter  = 40 // steps tried after each of them
)

// pair gives a finding that no single step near it cures what cured another finding
// already, then pairs of steps: steps that cure it together with one that undoes what they bring,
// then, if it is about what the wiring does, two steps of which neither does. Those that
// leave the least to be found come first.
func (m *mender) pair(f *Finding, share int) error {
	stop := m.pairs - share
	left := func(fixes iter.Seq[Fix]) iter.Seq[Fix] {
		return func(yield func(Fix) bool) {
			for x := range fixes {
				if m.pairs <= stop {
					return
				}
				m.pairs--
				if !yield(x) {
					return
				}
			}
		}
	}
	singles := slices.Concat(f.propose, m.p.general(f))
	ways := []iter.Seq[Fix]{m.given(), left(m.undone(f.key(), singles))}
	if m.works(f.Code) {
		ways = append(ways, left(twice(singles)))
	}
	for _, fixes := range ways {
		if err := m.give(f, fixes); err != nil {
			return err
		}
	}
	slices.SortStableFunc(f.Fixes, func(a, b Fix) int { return cmp.Compare(a.left, b.left) })
	return nil
}

// works reports whether a rule is about what a wiring does, so that it can take two faults
// to break it and two steps to mend it. Most others are mended by one step or none.
func (m *mender) works(c Code) bool {
	return c == "short" || slices.ContainsFunc(m.guard.Rules, func(r Rule) bool { return r.Code == c && r.Topic == Function })
}

// whole reports whether what a wiring does is right when two steps are made: that of the
// light that a finding of the sort is about, or of all. Two steps that cure one of several
// findings by making a fault of another sort are no cure.
func (m *mender) whole(c *change, f *Finding) bool {
	none := switchnet.Ref{}
	all := f.About == none || !m.works(f.Code)
	for k := range c.after.all {
		if m.works(k.code) && (all || k.about == f.About || k.code == "short") {
			return false
		}
	}
	return true
}

// given yields what other findings have been given.
func (m *mender) given() iter.Seq[Fix] {
	return func(yield func(Fix) bool) {
		for i := range m.p.findings {
			for _, x := range m.p.findings[i].Fixes {
				if !yield(x) {
					return
				}
			}
		}
	}
}

// undone yields the steps that cure a finding and bring others, each with steps for what
// it brings.
func (m *mender) undone(k key, singles []Fix) iter.Seq[Fix] {
	return func(yield func(Fix) bool) {
		halves := 0
		for _, x := range singles {
			if c := m.changes[asked{x.Does, k.code}]; c == nil || !c.less[k] {
				continue
			}
			if halves++; halves > mostHalves {
				return
			}
			for _, y := range m.after(x) {
				if !twiceMoved(&x, &y) && !yield(pairOf(x, y)) {
					return
				}
			}
		}
	}
}

// after returns steps against what a fix brings.
func (m *mender) after(x Fix) []Fix {
	w, err := m.p.job.Wiring.Apply(x.Edits...)
	if err != nil {
		return nil
	}
	job := m.p.job
	job.Wiring = w
	p, err := ask(m.p.ctx, job, &m.guard, true)
	if err != nil {
		return nil
	}
	var proposed, other []Fix
	counts := map[key]int{}
	for i := range p.findings {
		f := &p.findings[i]
		if counts[f.key()]++; counts[f.key()] > m.before.all[f.key()] {
			proposed = append(proposed, f.propose...)
			other = append(other, p.general(f)...)
		}
	}
	out := append(proposed, other...)
	return out[:min(len(out), mostAfter)]
}

// twice yields every two of some steps, those first that come early.
func twice(singles []Fix) iter.Seq[Fix] {
	return func(yield func(Fix) bool) {
		for sum := 1; sum < 2*len(singles)-2; sum++ {
			for i := max(0, sum-len(singles)+1); 2*i < sum; i++ {
				if x, y := &singles[i], &singles[sum-i]; !twiceMoved(x, y) && !yield(pairOf(*x, *y)) {
					return
				}
			}
		}
	}
}

// twiceMoved reports whether two fixes each move one wire end or lead: the first move would
// be in vain, and may join what must never be joined.
func twiceMoved(x, y *Fix) bool {
	type moved struct {
		box string
		wiring.Joint
	}
	of := func(f *Fix) map[moved]bool {
		out := map[moved]bool{}
		for _, e := range f.Edits {
			switch e := e.(type) {
			case wiring.MoveLanding:
				out[moved{e.End.Box, wiring.Joint{Wire: e.End.Wire}}] = true
			case wiring.JoinSplice:
				for _, j := range e.Join[min(1, len(e.Join)):] {
					out[moved{e.Box, j}] = true
				}
			}
		}
		return out
	}
	first := of(x)
	for m := range of(y) {
		if first[m] {
			return true
		}
	}
	return false
}

// pairOf returns two fixes as one.
func pairOf(x, y Fix) Fix {
	parts := []string{x.Does, y.Does}
	slices.Sort(parts)
	return Fix{x.Does + ", then " + y.Does, slices.Concat(x.Edits, y.Edits), parts, 0}
}
