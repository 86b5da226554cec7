package allstates_test

import (
	"context"
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

func checkLoad(ctx context.Context, a *allstates.Analysis, b *brute, ld switchnet.Load, filter func(func(int) bool) []switchnet.State, rng *rand.Rand) error {
	l, err := a.Load(ctx, ld.Ref)
	if err != nil {
		return err
	}
	status := b.status[ld.Ref]
	sum := new(big.Int)
	for s := switchnet.Unlit; s <= switchnet.Faulted; s++ {
		want := filter(func(i int) bool { return status[i] == s })
		if got := l.Count(s); got.Cmp(big.NewInt(int64(len(want)))) != 0 {
			return fmt.Errorf("Count(%v) = %v, want %d", s, got, len(want))
		}
		sum.Add(sum, l.Count(s))
		if l.Can(s) != (len(want) > 0) || l.Always(s) != (len(want) == len(b.states)) {
			return fmt.Errorf("Can(%v) = %v, Always = %v, in %d of %d states", s, l.Can(s), l.Always(s), len(want), len(b.states))
		}
		if err := checkSet(l.States(s), want, b.states, rng); err != nil {
			return fmt.Errorf("States(%v): %w", s, err)
		}
		if s == switchnet.Lit {
			if err := checkLaw(a, l, want, b.states); err != nil {
				return err
			}
		}
	}
	if sum.Cmp(a.States()) != 0 {
		return fmt.Errorf("counts add up to %v of %v states", sum, a.States())
	}
	index := map[string]int{}
	for i, s := range b.states {
		index[key(s)] = i
		if l.Status(s) != status[i] {
			return fmt.Errorf("Status(%v) = %v, want %v", s, l.Status(s), status[i])
		}
	}
	idle := map[switchnet.Ref]*big.Int{}
	for r, n := range l.WithoutEffect() {
		idle[r] = n
	}
	matters := l.Matters()
	toggling, err := l.Toggles()
	if err != nil {
		return err
	}
	allProven := true
	for _, r := range a.Devices() {
		dev, _ := a.Net().Device(r)
		k := len(dev.Kind.Positions)
		d, _ := a.Net().DeviceIndex(r)
		without := 0
		type move struct{ from, to string }
		want := map[move]bool{}
		for i, s := range b.states {
			same := true
			for p := range k {
				pos := slices.Clone(s.Indices())
				pos[d] = uint8(p)
				t, _ := a.Net().StateOf(pos)
				j := index[key(t)]
				same = same && status[i] == status[j]
				if p == int(s.Indices()[d])+1 {
					x, y := status[i], status[j]
					if !(x == switchnet.Lit && y == switchnet.Unlit || x == switchnet.Unlit && y == switchnet.Lit) {
						want[move{key(s), key(t)}] = true
					}
				}
			}
			if same {
				without++
			}
		}
		if idle[r] == nil || idle[r].Cmp(big.NewInt(int64(without))) != 0 {
			return fmt.Errorf("%v is without effect in %v states, want %d", r, idle[r], without)
		}
		if slices.Contains(matters, r) != (without < len(b.states)) {
			return fmt.Errorf("%v matters: %v, without effect in %d of %d", r, slices.Contains(matters, r), without, len(b.states))
		}
		tg, err := l.Toggles(r)
		if err != nil {
			return err
		}
		if tg.Proven() != (len(want) == 0) {
			return fmt.Errorf("Toggles(%v) proven %v, %d exceptions expected: %v", r, tg.Proven(), len(want), want)
		}
		if without < len(b.states) && !dev.Kind.Breaker {
			allProven = allProven && len(want) == 0
		}
		found := 0
		var last allstates.Exception
		for e := range tg.Exceptions() {
			if !want[move{key(e.From), key(e.To)}] || e.Switch != r {
				return fmt.Errorf("exception %v: %v to %v not expected", r, e.From, e.To)
			}
			if e.Before != status[index[key(e.From)]] || e.After != status[index[key(e.To)]] {
				return fmt.Errorf("exception %v to %v: %v, %v", e.From, e.To, e.Before, e.After)
			}
			if found > 0 {
				x, y := last.From.Indices()[d], e.From.Indices()[d]
				if x > y || x == y && before(l.States(switchnet.Lit).Sequence(), last.From, e.From) >= 0 {
					return fmt.Errorf("exceptions of %v out of order at %v", r, e.From)
				}
			}
			last = e
			found++
		}
		if found != len(want) {
			return fmt.Errorf("%d exceptions of %v, want %d", found, r, len(want))
		}
	}
	if toggling.Proven() != allProven {
		return fmt.Errorf("Toggles() proven %v, want %v", toggling.Proven(), allProven)
	}
	unclean, err := l.CleanWhenOff(ctx)
	if err != nil {
		return err
	}
	for _, t := range ld.Terminals() {
		want := filter(func(i int) bool {
			k := b.kind[t][i]
			return status[i] == switchnet.Unlit && (k == switchnet.Live || k == switchnet.LiveThroughLoad || k == switchnet.Shorted)
		})
		i := slices.IndexFunc(unclean, func(u allstates.Unclean) bool { return u.Terminal == t })
		if (i >= 0) != (len(want) > 0) {
			return fmt.Errorf("%v unclean: %v, in %d states", t, i >= 0, len(want))
		}
		if i >= 0 {
			if err := checkSet(unclean[i].States, want, b.states, rng); err != nil {
				return fmt.Errorf("%v unclean: %w", t, err)
			}
		}
	}
	return nil
}

func checkLaw(a *allstates.Analysis, l *allstates.Load, lit, all []switchnet.State) error {
	law := l.Law()
	var needs []allstates.Need
	free := 1
	for _, r := range a.Devices() {
		dev, _ := a.Net().Device(r)
		var names []string
		for _, p := range dev.Kind.Positions {
			if slices.ContainsFunc(lit, func(s switchnet.State) bool { q, _ := s.Position(r); return q == p.Name }) {
				names = append(names, p.Name)
			}
		}
		free *= len(names)
		if len(names) < len(dev.Kind.Positions) {
			needs = append(needs, allstates.Need{Device: r, Positions: names})
		}
	}
	kind := allstates.Depends
	switch {
	case len(lit) == 0:
		kind, needs = allstates.NeverLit, nil
	case len(lit) == len(all):
		kind = allstates.AlwaysLit
	case len(law.Toggle) == len(law.Matter):
		kind = allstates.TogglesWithEach
	case len(needs) > 0:
		kind = allstates.LitOnlyWhen
	}
	if law.Kind != kind || !slices.EqualFunc(law.Needs, needs, func(x, y allstates.Need) bool { return x.Device == y.Device && slices.Equal(x.Positions, y.Positions) }) {
		return fmt.Errorf("law %v %v %v, want %v %v", law.Kind, law.Needs, law, kind, needs)
	}
	if len(lit) > 0 && law.Enough != (free == len(lit)) {
		return fmt.Errorf("law %v: Enough is %v; %d of %d", law, law.Enough, len(lit), free)
	}
	return nil
}
