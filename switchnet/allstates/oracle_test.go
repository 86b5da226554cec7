package allstates

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/switchnet"
)

// randomNet builds a net of a few devices landed anywhere.
func randomNet(seed uint64, maxDevices int) *switchnet.Net {
	rng := rand.New(rand.NewPCG(seed, 1))
	var b switchnet.Builder
	sys := []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}[rng.IntN(3)]
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: sys}
	b.Source(src)
	kinds := switchnet.Kinds()
	selector := switchnet.Kind{Name: "selector", Terminals: []string{"c", "1", "2", "3"}, Positions: []switchnet.Position{
		{Name: "one", Joins: [][]string{{"c", "1"}}}, {Name: "two", Joins: [][]string{{"c", "2"}}}, {Name: "three", Joins: [][]string{{"c", "3"}, {"1", "2"}}}}}
	three := switchnet.ThreeWay()
	kinds = append(kinds, selector, switchnet.SinglePole(), three, three, three, three.WithTransit(switchnet.MakeBeforeBreak), switchnet.FourWay(), switchnet.FourWay())
	points := 2 + rng.IntN(7)
	var metal []switchnet.Terminal
	for i := range points {
		t := switchnet.Terminal{Place: "box", Device: "point", Name: fmt.Sprint(i)}
		b.Point(t)
		metal = append(metal, t)
	}
	for r := range switchnet.Rails() {
		if sys.Has(r) && (r == switchnet.LineA || r == switchnet.Neutral || rng.IntN(3) == 0) {
			metal = append(metal, src.Rail(r))
		}
	}
	wire := 0
	land := func(t switchnet.Terminal) {
		if rng.IntN(12) == 0 {
			return
		}
		b.Conductor(fmt.Sprint("w", wire), t, metal[rng.IntN(len(metal))])
		wire++
	}
	n := 1 + rng.IntN(maxDevices)
	states := 1
	for i := range n {
		k := kinds[rng.IntN(len(kinds))]
		if states *= len(k.Positions); states > 4096 {
			break
		}
		name := fmt.Sprint("d", i)
		b.Device("box", name, k)
		for _, t := range k.Terminals {
			land(switchnet.Terminal{Place: "box", Device: name, Name: t})
		}
	}
	for i := range 1 + rng.IntN(5) {
		l := switchnet.Load{Ref: switchnet.Ref{Place: "room", Name: fmt.Sprint("lamp", i)}}
		b.Load(l)
		ends := l.Terminals()
		land(ends[0])
		if rng.IntN(3) > 0 {
			b.Conductor(fmt.Sprint("n", i), ends[1], src.Rail(switchnet.Neutral))
		} else {
			land(ends[1])
		}
	}
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}

func frameOf(net *switchnet.Net, breakers bool) *frame {
	g := net.Dense()
	varied := make([]bool, g.Devices())
	for d := range varied {
		k := g.Kind(d)
		varied[d] = len(k.Blocks) > 1 && (breakers || !k.Breaker)
	}
	return newFrame(net, make([]uint8, g.Devices()), varied)
}

func (d *diagram) walk(pos []uint8) uint8 {
	node := uint32(0)
	for i, dev := range d.device {
		t := &d.trans[d.layer[i]]
		node = d.child[t.off+node*uint32(t.arity)+uint32(pos[dev])]
	}
	return d.out[node]
}

func TestDiagramsAgainstSolver(t *testing.T) {
	nets := 2000
	for seed := range uint64(nets) {
		net := randomNet(seed, 7)
		f := frameOf(net, seed%2 == 0)
		w := newWalker(f)
		solver := net.NewSolver()
		states, _, _ := net.States(&switchnet.StatesOptions{Breakers: seed%2 == 0})
		ctx := context.Background()
		run := func(q *query) *diagram {
			q.f = f
			q.prepare(w)
			d, err := q.sweep(ctx, 1<<22)
			if err != nil {
				t.Fatal(seed, err)
			}
			return d
		}
		var loads []*diagram
		for i := range f.loads {
			loads = append(loads, run(&query{classify: true, targets: []target{{load: int32(i)}}}))
		}
		type tk struct {
			d *diagram
			t switchnet.Terminal
			k switchnet.ConditionKind
		}
		var terms []tk
		for tm := range net.Terminals() {
			x, _ := net.NetIndex(tm)
			for k := switchnet.Isolated; k <= switchnet.Shorted; k++ {
				terms = append(terms, tk{run(&query{targets: []target{{load: -1, mask: 1 << (k - 1), ends: [2]end{end(f.netOf(int32(x)))}}}}), tm, k})
			}
		}
		short := run(&query{short: 1})
		safe := run(&query{short: -1})
		for st := range states {
			v, _ := solver.Solve(st)
			for i, d := range loads {
				s, _ := v.Supply(net.LoadAt(i).Ref)
				if got := switchnet.LoadStatus(d.walk(st.Indices()) + 1); got != s.Status {
					t.Fatalf("seed %d, %v, load %d: %v, want %v", seed, st, i, got, s.Status)
				}
			}
			for _, k := range terms {
				c, _ := v.Condition(k.t)
				if got := k.d.walk(st.Indices()) == 1; got != (c.Kind() == k.k) {
					t.Fatalf("seed %d, %v, %v: %v is %v, kind is %v", seed, st, k.t, k.k, got, c.Kind())
				}
			}
			if got := short.walk(st.Indices()) == 1; got != v.Shorted() {
				t.Fatalf("seed %d, %v: shorted %v, want %v", seed, st, got, v.Shorted())
			}
			if got := safe.walk(st.Indices()) == 1; got == v.Shorted() {
				t.Fatalf("seed %d, %v: safe %v", seed, st, got)
			}
		}
	}
}
