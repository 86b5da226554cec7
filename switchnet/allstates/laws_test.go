package allstates_test

import (
	"context"
	"fmt"
	"math/big"
	"slices"
	"testing"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"pgregory.net/rapid"
)

// answers are what the laws compare: everything that can be said in names.
type answers struct {
	states  string
	shorted string
	loads   map[switchnet.Ref]string
}

func answersOf(tb rapid.TB, net *switchnet.Net) answers {
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, net, &allstates.Options{Breakers: true})
	if err != nil {
		tb.Fatal(err)
	}
	short, err := a.Find(ctx, allstates.Shorted())
	if err != nil {
		tb.Fatal(err)
	}
	out := answers{states: a.States().String(), shorted: short.Count().String(), loads: map[switchnet.Ref]string{}}
	for ld := range net.Loads() {
		l, err := a.Load(ctx, ld.Ref)
		if err != nil {
			tb.Fatal(err)
		}
		text := fmt.Sprintln(l.Law(), l.Count(switchnet.Lit), l.Count(switchnet.Dim), l.Count(switchnet.Faulted))
		for r, n := range l.WithoutEffect() {
			text += fmt.Sprintln(r, n)
		}
		lit := l.States(switchnet.Lit)
		text += fmt.Sprintln(lit.Sequence())
		n := 0
		for st := range lit.All() {
			if text += fmt.Sprintln(st); n == 4 {
				break
			}
			n++
		}
		if st, ok := lit.Random(7); ok {
			text += fmt.Sprintln(st)
		}
		toggling, err := l.Toggles()
		if err != nil {
			tb.Fatal(err)
		}
		n = 0
		for e := range toggling.Exceptions() {
			if text += fmt.Sprintln(e.Switch, e.From, e.Before, e.After); n == 4 {
				break
			}
			n++
		}
		live, err := l.LiveWhenUnlit(ctx)
		if err != nil {
			tb.Fatal(err)
		}
		for _, m := range live {
			text += fmt.Sprintln(m.Terminals, m.States.Count())
		}
		out.loads[ld.Ref] = text
	}
	return out
}

func (a answers) diff(b answers) string {
	if a.states != b.states || a.shorted != b.shorted {
		return fmt.Sprintf("%s states, %s shorted; %s states, %s shorted", a.states, a.shorted, b.states, b.shorted)
	}
	for r, text := range a.loads {
		if b.loads[r] != text {
			return fmt.Sprintf("%v:\n%s\n%s", r, text, b.loads[r])
		}
	}
	return ""
}

// TestLawOrder: the order of declaration, conductors turned end for end, and
// conductors doubled in parallel change no answer.
func TestLawOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{Devices: 8}).Draw(t, "net")
		plain, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		b := spec.Builder(1 + rapid.Uint64().Draw(t, "order")>>1)
		for i, c := range spec.Conductors {
			if rapid.Bool().Draw(t, "doubled") {
				b.Conductor(fmt.Sprintf("double %d", i), c.To, c.From)
			}
		}
		other, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		if d := answersOf(t, plain).diff(answersOf(t, other)); d != "" {
			t.Fatal(d)
		}
	})
}

// TestLawRenaming: names only name. Places are renamed so that their order is
// turned round; counts stay.
func TestLawRenaming(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{Devices: 8}).Draw(t, "net")
		plain, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		rename := func(s string) string {
			out := []byte("q")
			for _, c := range []byte(s) {
				out = append(out, 255-c)
			}
			return string(out)
		}
		ref := func(r switchnet.Ref) switchnet.Ref { return switchnet.Ref{Place: rename(r.Place), Name: r.Name} }
		term := func(x switchnet.Terminal) switchnet.Terminal { x.Place = rename(x.Place); return x }
		var b switchnet.Builder
		source := spec.Source
		source.Ref = ref(source.Ref)
		b.Source(source)
		for _, d := range spec.Devices {
			b.Device(rename(d.Place), d.Name, d.Kind)
		}
		for _, l := range spec.Loads {
			l.Ref = ref(l.Ref)
			b.Load(l)
		}
		for _, p := range spec.Points {
			b.Point(term(p))
		}
		for i, c := range slices.Backward(spec.Conductors) {
			b.Conductor(fmt.Sprint("w", 1000-i), term(c.From), term(c.To))
		}
		for _, s := range spec.Splices {
			var joins []switchnet.Terminal
			for _, j := range s.Joins {
				joins = append(joins, term(j))
			}
			b.Splice(rename(s.Place), s.Name, joins...)
		}
		other, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		x, err := allstates.Analyze(ctx, plain, nil)
		if err != nil {
			t.Fatal(err)
		}
		y, err := allstates.Analyze(ctx, other, nil)
		if err != nil {
			t.Fatal(err)
		}
		for ld := range plain.Loads() {
			l, err := x.Load(ctx, ld.Ref)
			if err != nil {
				t.Fatal(err)
			}
			m, err := y.Load(ctx, ref(ld.Ref))
			if err != nil {
				t.Fatal(err)
			}
			for s := switchnet.Unlit; s <= switchnet.Faulted; s++ {
				if l.Count(s).Cmp(m.Count(s)) != 0 {
					t.Fatalf("%v is %v in %v states, renamed in %v", ld.Ref, s, l.Count(s), m.Count(s))
				}
			}
			if a, b := l.Law().Kind, m.Law().Kind; a != b {
				t.Fatalf("%v: %v, renamed %v", ld.Ref, a, b)
			}
		}
	})
}

// TestLawHandleSense: turning a switch upside down permutes the states and no
// more.
func TestLawHandleSense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{Devices: 8}).Draw(t, "net")
		plain, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		turned := *spec
		turned.Devices = slices.Clone(spec.Devices)
		upside := map[switchnet.Ref]bool{}
		for i, d := range turned.Devices {
			if !d.Kind.Breaker && rapid.Bool().Draw(t, "turned") {
				k := d.Kind.Clone()
				k.Name += " upside down"
				slices.Reverse(k.Positions)
				turned.Devices[i].Kind = k
				upside[d.Ref] = true
			}
		}
		other, err := turned.Build()
		if err != nil {
			t.Fatal(err)
		}
		// Positions keep their names, so the wirings are equal by name.
		ctx := context.Background()
		a, err := allstates.Analyze(ctx, plain, nil)
		if err != nil {
			t.Fatal(err)
		}
		b, err := allstates.Analyze(ctx, other, nil)
		if err != nil {
			t.Fatal(err)
		}
		diff, err := allstates.Equal(ctx, a, b)
		if err != nil {
			t.Fatal(err)
		}
		if diff != nil {
			t.Fatalf("%v turned: %v of %v in %v", upside, diff.Kind, diff.Subject, diff.States[0])
		}
		for ld := range plain.Loads() {
			l, _ := a.Load(ctx, ld.Ref)
			m, _ := b.Load(ctx, ld.Ref)
			if l.Count(switchnet.Lit).Cmp(m.Count(switchnet.Lit)) != 0 || l.Law().Kind != m.Law().Kind {
				t.Fatalf("%v: %v, turned %v", ld.Ref, l.Law(), m.Law())
			}
		}
	})
}

// TestLawSums: the counts of all statuses of a load, of all conditions of a
// terminal, and of shorted and not shorted add up to the product of positions; and
// each count is the number that another method of counting gives modulo a prime.
func TestLawSums(t *testing.T) {
	prime := new(big.Int).SetUint64(1<<61 - 1)
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{Devices: 12, States: 4096}).Draw(t, "net")
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		a, err := allstates.Analyze(ctx, net, nil)
		if err != nil {
			t.Fatal(err)
		}
		product := big.NewInt(1)
		for _, r := range a.Devices() {
			d, _ := net.Device(r)
			product.Mul(product, big.NewInt(int64(len(d.Kind.Positions))))
		}
		if a.States().Cmp(product) != 0 {
			t.Fatalf("%v states, the product of positions is %v", a.States(), product)
		}
		sum := func(what string, sets ...*allstates.Set) {
			total := new(big.Int)
			for _, s := range sets {
				n := s.Count()
				total.Add(total, n)
				if got, want := new(big.Int).Mod(n, prime), allstates.CountModulo(s); got.Uint64() != want {
					t.Fatalf("%s: %v states, modulo 2^61-1 %v; counted modulo it %v", what, n, got, want)
				}
			}
			if total.Cmp(product) != 0 {
				t.Fatalf("%s: %v of %v states", what, total, product)
			}
		}
		find := func(c allstates.Claim) *allstates.Set {
			s, err := a.Find(ctx, c)
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		sum("shorted", find(allstates.Shorted()), find(allstates.NotShorted()))
		for ld := range net.Loads() {
			var sets []*allstates.Set
			for s := switchnet.Unlit; s <= switchnet.Faulted; s++ {
				sets = append(sets, find(allstates.LoadIs(ld.Ref, s)))
			}
			sum(ld.Ref.String(), sets...)
			l, err := a.Load(ctx, ld.Ref)
			if err != nil {
				t.Fatal(err)
			}
			sum(ld.Ref.String(), l.States(switchnet.Unlit), l.States(switchnet.Lit, switchnet.Dim), l.States(switchnet.Faulted))
		}
		for x := range net.Terminals() {
			var sets []*allstates.Set
			for k := switchnet.Isolated; k <= switchnet.Shorted; k++ {
				sets = append(sets, find(allstates.TerminalIs(x, k)))
			}
			sum(x.String(), sets...)
			break
		}
	})
}

// TestRandomIsUniform draws from sets and wants every state about as often.
func TestRandomIsUniform(t *testing.T) {
	ctx := context.Background()
	for seed := range uint64(30) {
		a, err := allstates.Analyze(ctx, newWild(seed, 5).build(), nil)
		if err != nil {
			t.Fatal(err)
		}
		s, err := a.Find(ctx, allstates.NotShorted())
		if err != nil {
			t.Fatal(err)
		}
		n := int(s.Count().Int64())
		if n == 0 || n > 64 {
			continue
		}
		const draws = 100
		seen := map[string]int{}
		for i := range uint64(n * draws) {
			st, _ := s.Random(i)
			seen[key(st)]++
		}
		for st, k := range seen {
			// Six standard deviations of a Poisson count.
			if k < draws-60 || k > draws+60 {
				t.Errorf("seed %d: state %v drawn %d times, expected about %d", seed, []byte(st), k, draws)
			}
		}
		if len(seen) != n {
			t.Errorf("seed %d: %d of %d states drawn", seed, len(seen), n)
		}
	}
}
