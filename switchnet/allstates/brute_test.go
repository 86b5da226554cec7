package allstates_test

import (
	"context"
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// brute holds what one-state solving says about every state of a net.
type brute struct {
	net    *switchnet.Net
	states []switchnet.State
	status map[switchnet.Ref][]switchnet.LoadStatus
	kind   map[switchnet.Terminal][]switchnet.ConditionKind
	short  []bool
}

func bruteOf(net *switchnet.Net, opt *switchnet.StatesOptions) *brute {
	b := &brute{net: net, status: map[switchnet.Ref][]switchnet.LoadStatus{}, kind: map[switchnet.Terminal][]switchnet.ConditionKind{}}
	states, _, err := net.States(opt)
	if err != nil {
		panic(err)
	}
	solver := net.NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			panic(err)
		}
		b.states = append(b.states, s)
		for r, sup := range v.Supplies() {
			b.status[r] = append(b.status[r], sup.Status)
		}
		for t, c := range v.Conditions() {
			b.kind[t] = append(b.kind[t], c.Kind())
		}
		b.short = append(b.short, v.Shorted())
	}
	return b
}

// key is a state as a map key.
func key(s switchnet.State) string { return string(s.Indices()) }

// moves counts the devices that stand differently.
func moves(s, t switchnet.State) int {
	n := 0
	for d, p := range s.Indices() {
		if p != t.Indices()[d] {
			n++
		}
	}
	return n
}

// before compares states in the order of a sequence.
func before(seq []switchnet.Ref, s, t switchnet.State) int {
	for _, r := range seq {
		d, _ := s.Net().DeviceIndex(r)
		if c := int(s.Indices()[d]) - int(t.Indices()[d]); c != 0 {
			return c
		}
	}
	return 0
}

// checkSet compares a set with the states it should hold.
func checkSet(s *allstates.Set, want []switchnet.State, all []switchnet.State, rng *rand.Rand) error {
	if s.Empty() != (len(want) == 0) {
		return fmt.Errorf("Empty() = %v, %d states expected", s.Empty(), len(want))
	}
	if s.Count().Cmp(big.NewInt(int64(len(want)))) != 0 {
		return fmt.Errorf("Count() = %v, want %d", s.Count(), len(want))
	}
	in := map[string]bool{}
	for _, w := range want {
		in[key(w)] = true
	}
	for _, st := range all {
		if s.Has(st) != in[key(st)] {
			return fmt.Errorf("Has(%v) = %v", st, s.Has(st))
		}
	}
	seq := s.Sequence()
	sorted := slices.Clone(want)
	slices.SortFunc(sorted, func(x, y switchnet.State) int { return before(seq, x, y) })
	if got := slices.Collect(s.All()); !slices.EqualFunc(got, sorted, switchnet.State.Equal) {
		return fmt.Errorf("All() = %v, want %v", got, sorted)
	}
	w, ok := s.Witness()
	if ok != (len(want) > 0) || ok && !w.Equal(sorted[0]) {
		return fmt.Errorf("Witness() = %v, %v", w, ok)
	}
	from := all[rng.IntN(len(all))]
	near, n, ok, err := s.Nearest(from)
	if err != nil || ok != (len(want) > 0) {
		return fmt.Errorf("Nearest(%v): %v, %v", from, ok, err)
	}
	if ok {
		best := slices.MinFunc(sorted, func(x, y switchnet.State) int { return moves(x, from) - moves(y, from) })
		if !near.Equal(best) || n != moves(best, from) {
			return fmt.Errorf("Nearest(%v) = %v, %d; want %v, %d", from, near, n, best, moves(best, from))
		}
	}
	for seed := range uint64(3) {
		st, ok := s.Random(seed)
		if ok != (len(want) > 0) || ok && !in[key(st)] {
			return fmt.Errorf("Random(%d) = %v, %v", seed, st, ok)
		}
	}
	return nil
}

// checkEverything compares every answer about a net with what solving each state
// says. It is what the tests, the laws and the fuzz target share.
func checkEverything(net *switchnet.Net, opt *allstates.Options, seed uint64) error {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(seed, 3))
	a, err := allstates.Analyze(ctx, net, opt)
	if err != nil {
		return err
	}
	so := &switchnet.StatesOptions{Vary: a.Devices(), Hold: net.Rest()}
	if opt != nil && opt.Hold.Net() != nil {
		so.Hold = opt.Hold
	}
	if len(so.Vary) == 0 {
		so.Vary = []switchnet.Ref{}
	}
	b := bruteOf(net, so)
	if a.States().Cmp(big.NewInt(int64(len(b.states)))) != 0 {
		return fmt.Errorf("States() = %v, want %d", a.States(), len(b.states))
	}
	filter := func(ok func(i int) bool) []switchnet.State {
		var out []switchnet.State
		for i, s := range b.states {
			if ok(i) {
				out = append(out, s)
			}
		}
		return out
	}
	check := func(what string, want func(i int) bool, claims ...allstates.Claim) error {
		s, err := a.Find(ctx, claims...)
		if err == nil {
			err = checkSet(s, filter(want), b.states, rng)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", what, err)
		}
		return nil
	}
	if err := check("shorted", func(i int) bool { return b.short[i] }, allstates.Shorted()); err != nil {
		return err
	}
	if err := check("not shorted", func(i int) bool { return !b.short[i] }, allstates.NotShorted()); err != nil {
		return err
	}
	var loads []switchnet.Ref
	for ld := range net.Loads() {
		loads = append(loads, ld.Ref)
		if err := checkLoad(ctx, a, b, ld, filter, rng); err != nil {
			return fmt.Errorf("%v: %w", ld.Ref, err)
		}
	}
	// Conjunctions of a few claims.
	terms := slices.Collect(net.Terminals())
	for range 6 {
		var claims []allstates.Claim
		var tests []func(i int) bool
		var words []string
		for range 1 + rng.IntN(3) {
			switch kind := rng.IntN(5); {
			case kind < 2 && len(loads) > 0:
				r, s := loads[rng.IntN(len(loads))], switchnet.LoadStatus(1+rng.IntN(4))
				s2 := switchnet.LoadStatus(1 + rng.IntN(4))
				claims = append(claims, allstates.LoadIs(r, s, s2))
				tests = append(tests, func(i int) bool { return b.status[r][i] == s || b.status[r][i] == s2 })
				words = append(words, fmt.Sprint(r, " ", s, " or ", s2))
			case kind < 4:
				t := terms[rng.IntN(len(terms))]
				k := switchnet.ConditionKind(1 + rng.IntN(6))
				claims = append(claims, allstates.TerminalIs(t, k))
				tests = append(tests, func(i int) bool { return b.kind[t][i] == k })
				words = append(words, fmt.Sprint(t, " ", k))
			default:
				switch n := rng.IntN(3); {
				case n == 0:
					claims = append(claims, allstates.Shorted())
					tests = append(tests, func(i int) bool { return b.short[i] })
					words = append(words, "shorted")
				case n == 1:
					claims = append(claims, allstates.NotShorted())
					tests = append(tests, func(i int) bool { return !b.short[i] })
					words = append(words, "not shorted")
				case len(so.Vary) > 0:
					d := so.Vary[rng.IntN(len(so.Vary))]
					dev, _ := net.Device(d)
					p := dev.Kind.Positions[rng.IntN(len(dev.Kind.Positions))].Name
					claims = append(claims, allstates.Positioned(d, p))
					tests = append(tests, func(i int) bool { q, _ := b.states[i].Position(d); return p == q })
					words = append(words, fmt.Sprint(d, " ", p))
				}
			}
		}
		all := func(i int) bool { return !slices.ContainsFunc(tests, func(f func(int) bool) bool { return !f(i) }) }
		if err := check(strings.Join(words, " and "), all, claims...); err != nil {
			return err
		}
	}
	if len(loads) == 0 {
		return nil
	}
	return checkLive(ctx, a, b, loads[rng.IntN(len(loads))], filter, rng)
}

func checkLive(ctx context.Context, a *allstates.Analysis, b *brute, load switchnet.Ref, filter func(func(int) bool) []switchnet.State, rng *rand.Rand) error {
	l, err := a.Load(ctx, load)
	if err != nil {
		return err
	}
	live, err := l.LiveWhenUnlit(ctx)
	if err != nil {
		return err
	}
	hazard := func(t switchnet.Terminal, i int) bool {
		k := b.kind[t][i]
		return k == switchnet.Live || k == switchnet.LiveThroughLoad || k == switchnet.Shorted
	}
	listed := map[switchnet.Terminal]bool{}
	for i, m := range live {
		if i > 0 && live[i-1].Terminals[0].Compare(m.Terminals[0]) >= 0 {
			return fmt.Errorf("live metal out of order at %v", m.Terminals[0])
		}
		for _, t := range m.Terminals {
			listed[t] = true
			want := filter(func(i int) bool { return b.status[load][i] == switchnet.Unlit && hazard(t, i) })
			if err := checkSet(m.States, want, b.states, rng); err != nil {
				return fmt.Errorf("%v live while %v is unlit: %w", t, load, err)
			}
		}
	}
	for t := range a.Net().Terminals() {
		want := filter(func(i int) bool { return b.status[load][i] == switchnet.Unlit && hazard(t, i) })
		if listed[t] != (len(want) > 0) {
			return fmt.Errorf("%v live while %v is unlit: listed %v, in %d states", t, load, listed[t], len(want))
		}
	}
	return nil
}
