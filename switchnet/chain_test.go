package switchnet_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// chain builds a plain chain: breaker, three-way, four-ways, three-way, lamp.
// Places are p000000, p000001 and so on.
func chain(tb testing.TB, places int) *switchnet.Net {
	tb.Helper()
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Device("panel", "breaker", switchnet.Breaker(1))
	b.Load(switchnet.Load{Ref: switchnet.Ref{Place: "aisle", Name: "lamp"}, Rated: 120 * quantity.Volt})
	t := func(place, device, name string) switchnet.Terminal {
		return switchnet.Terminal{Place: place, Device: device, Name: name}
	}
	b.Conductor("bus", src.Rail(switchnet.LineA), t("panel", "breaker", "line"))
	b.Conductor("neutral", src.Rail(switchnet.Neutral), t("aisle", "lamp", "neutral"))
	three, four := switchnet.ThreeWay(), switchnet.FourWay()
	place := func(i int) string { return fmt.Sprintf("p%06d", i) }
	var out [2]switchnet.Terminal
	for i := range places {
		p := place(i)
		var in [2]switchnet.Terminal
		switch i {
		case 0:
			b.Device(p, "aisle", three)
			b.Conductor("hot", t("panel", "breaker", "load"), t(p, "aisle", "common"))
			out = [2]switchnet.Terminal{t(p, "aisle", "traveler 1"), t(p, "aisle", "traveler 2")}
			continue
		case places - 1:
			b.Device(p, "aisle", three)
			in = [2]switchnet.Terminal{t(p, "aisle", "traveler 1"), t(p, "aisle", "traveler 2")}
			b.Conductor("leg", t(p, "aisle", "common"), t("aisle", "lamp", "hot"))
		default:
			b.Device(p, "aisle", four)
			in = [2]switchnet.Terminal{t(p, "aisle", "pair 1 first"), t(p, "aisle", "pair 1 second")}
		}
		b.Conductor(p+" first", out[0], in[0])
		b.Conductor(p+" second", out[1], in[1])
		out = [2]switchnet.Terminal{t(p, "aisle", "pair 2 first"), t(p, "aisle", "pair 2 second")}
	}
	net, err := b.Build()
	if err != nil {
		tb.Fatal(err)
	}
	return net
}

var lamp = switchnet.Ref{Place: "aisle", Name: "lamp"}

func TestChainToggles(t *testing.T) {
	for _, places := range []int{2, 3, 4, 7} {
		net := chain(t, places)
		solver := net.NewSolver()
		states, count, err := net.States(&switchnet.StatesOptions{Order: switchnet.Gray})
		if err != nil {
			t.Fatal(err)
		}
		lit, visited := -1, 0
		for s := range states {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			sup, _ := v.Supply(lamp)
			now := 0
			if sup.Status == switchnet.Lit {
				now = 1
			}
			if now == lit {
				t.Fatalf("%d places: the flip to %v did not change the lamp", places, s)
			}
			lit = now
			visited++
			paths, err := v.Paths(lamp, nil)
			if err != nil || len(paths.List) != lit || paths.Truncated {
				t.Fatalf("%v: %d paths (truncated %v, %v), want %d", s, len(paths.List), paths.Truncated, err, lit)
			}
			if v.Shorted() {
				t.Fatalf("%v: shorted", s)
			}
		}
		if count.Int64() != 1<<places || visited != 1<<places {
			t.Errorf("%d places: %d of %v states visited, want %d", places, visited, count, 1<<places)
		}
	}
}

func BenchmarkViewChain(b *testing.B) {
	for _, places := range []int{6, 1_000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("places=%d", places), func(b *testing.B) {
			net := chain(b, places)
			solver := net.NewSolver()
			rest := net.Rest()
			last, err := rest.Flip(switchnet.Ref{Place: fmt.Sprintf("p%06d", places-1), Name: "aisle"})
			if err != nil {
				b.Fatal(err)
			}
			states := [2]switchnet.State{rest, last}
			i, live := 0, 0
			b.ReportAllocs()
			for b.Loop() {
				v, err := solver.Solve(states[i&1])
				if err != nil {
					b.Fatal(err)
				}
				i++
				for _, c := range v.Conditions() {
					if !c.Rails.Empty() {
						live++
					}
				}
			}
			if live == 0 {
				b.Fatal("nothing was live")
			}
		})
	}
}

func BenchmarkBuildChain(b *testing.B) {
	for _, places := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("places=%d", places), func(b *testing.B) {
			nb := chain(b, places).Builder()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := nb.Build(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
