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
