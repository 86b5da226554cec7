package netgen_test

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// traits says what a net does in some state.
type traits struct {
	lights, dependsOnTwo, shorts, series, lineToLine bool
}

// examine visits every state of a net, breakers included.
func examine(tb testing.TB, spec *netgen.Spec, lim netgen.Limits) traits {
	tb.Helper()
	net, err := spec.Build()
	if err != nil {
		tb.Fatalf("%v\n%v", err, spec)
	}
	states, count, err := net.States(&switchnet.StatesOptions{Order: switchnet.Gray, Breakers: true})
	if err != nil {
		tb.Fatal(err)
	}
	if count.Int64() > int64(lim.States) {
		tb.Fatalf("%v states, more than %d\n%v", count, lim.States, spec)
	}
	if n := len(spec.Devices); n > lim.Devices {
		tb.Fatalf("%d devices, more than %d\n%v", n, lim.Devices, spec)
	}
	loads := 0
	for range net.Loads() {
		loads++
	}
	if loads > lim.Loads {
		tb.Fatalf("%d loads, more than %d\n%v", loads, lim.Loads, spec)
	}
	var out traits
	solver := net.NewSolver()
	switches := map[switchnet.Ref]map[switchnet.Ref]bool{} // by load, the devices that change it
	var lastState switchnet.State
	last := map[switchnet.Ref]switchnet.LoadStatus{}
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			tb.Fatal(err)
		}
		out.shorts = out.shorts || v.Shorted()
		for r, sup := range v.Supplies() {
			out.lights = out.lights || sup.Status == switchnet.Lit
			out.series = out.series || sup.Status == switchnet.Dim
			out.lineToLine = out.lineToLine || sup.Volts == spec.Source.System.LineToLine && sup.Volts > 0
			if old, ok := last[r]; ok && (old == switchnet.Lit) != (sup.Status == switchnet.Lit) {
				for d, p := range s.Positions() {
					dev, _ := net.Device(d)
					if q, _ := lastState.Position(d); q != p && !dev.Kind.Breaker {
						if switches[r] == nil {
							switches[r] = map[switchnet.Ref]bool{}
						}
						switches[r][d] = true
					}
				}
			}
			last[r] = sup.Status
		}
		lastState = s
	}
	for _, ds := range switches {
		out.dependsOnTwo = out.dependsOnTwo || len(ds) >= 2
	}
	return out
}

// TestCoverage prints and enforces how alive the nets are, for each way of
// drawing them. Without the floor a property test over nets can pass for years on
// nets in which nothing happens.
func TestCoverage(t *testing.T) {
	const nets = 1500
	lim := netgen.Limits{Devices: 8, States: 128, Loads: 6}
	small := netgen.Limits{Devices: 5, States: 24, Loads: 4}
	rapidNets := netgen.Nets(lim)
	bytes := rand.New(rand.NewPCG(7, 7))
	draws := []struct {
		name string
		lim  netgen.Limits
		draw func(i int) *netgen.Spec
	}{
		{"rapid", lim, func(i int) *netgen.Spec { return rapidNets.Example(i) }},
		{"seeded", lim, func(i int) *netgen.Spec { return netgen.Seeded(uint64(i), lim) }},
		{"seeded, small", small, func(i int) *netgen.Spec { return netgen.Seeded(uint64(i), small) }},
		{"bytes", lim, func(i int) *netgen.Spec {
			data := make([]byte, 200)
			for j := range data {
				data[j] = byte(bytes.Uint32())
			}
			return netgen.FromBytes(data, lim)
		}},
	}
	for _, d := range draws {
		var lights, two, shorts, series, lineToLine int
		for i := range nets {
			tr := examine(t, d.draw(i), d.lim)
			for _, c := range []struct {
				has bool
				n   *int
			}{{tr.lights, &lights}, {tr.dependsOnTwo, &two}, {tr.shorts, &shorts}, {tr.series, &series}, {tr.lineToLine, &lineToLine}} {
				if c.has {
					*c.n++
				}
			}
		}
		t.Logf("%s: of %d nets %d light a load, %d depend on two or more switches, %d short, %d have loads in series, %d have a load between lines",
			d.name, nets, lights, two, shorts, series, lineToLine)
		for _, floor := range []struct {
			what      string
			got, want int
		}{
			{"light a load in some state", lights, nets / 3},
			{"depend on two or more switches", two, nets / 5},
			{"short somewhere", shorts, nets / 5},
			{"have loads in series", series, nets / 10},
			{"have a load between two lines", lineToLine, nets / 50},
		} {
			if floor.got < floor.want {
				t.Errorf("%s: %d of %d nets %s, want %d", d.name, floor.got, nets, floor.what, floor.want)
			}
		}
	}
}

func TestWithoutMutationsNothingShorts(t *testing.T) {
	// Real wirings as drawn, the banned ones included, never short, in any
	// state; only a custom device may, since its partition is anything.
	lim := netgen.Limits{Devices: 8, States: 64, Loads: 6, Mutations: -1}
	tried := 0
	for seed := range uint64(600) {
		spec := netgen.Seeded(seed, lim)
		custom := false
		for _, d := range spec.Devices {
			custom = custom || len(d.Kind.Name) > 6 && d.Kind.Name[:6] == "custom"
		}
		if custom {
			continue
		}
		tried++
		if examine(t, spec, lim).shorts {
			t.Errorf("seed %d shorts:\n%v", seed, spec)
		}
	}
	if tried < 200 {
		t.Errorf("only %d nets without a custom device", tried)
	}
}

func TestEveryOrderBuilds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{}).Draw(t, "net")
		seed := rapid.Uint64Range(1, 1<<32).Draw(t, "seed")
		a, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		b, err := spec.Builder(seed).Build()
		if err != nil {
			t.Fatal(err)
		}
		terms := map[switchnet.Terminal]bool{}
		for x := range a.Terminals() {
			terms[x] = true
		}
		for x := range b.Terminals() {
			if !terms[x] {
				t.Fatalf("%v appears only when shuffled", x)
			}
			delete(terms, x)
		}
		if len(terms) != 0 {
			t.Fatalf("%v are lost when shuffled", terms)
		}
	})
}

func TestBytesAreTotal(t *testing.T) {
	plain := netgen.FromBytes(nil, netgen.Limits{})
	net, err := plain.Build()
	if err != nil {
		t.Fatal(err)
	}
	solver := net.NewSolver()
	on, err := net.Rest().Flip(plain.Devices[1].Ref)
	if err != nil {
		t.Fatal(err)
	}
	v, err := solver.Solve(on)
	if err != nil {
		t.Fatal(err)
	}
	if sup, _ := v.Supply(plain.Loads[0].Ref); sup.Status != switchnet.Lit {
		t.Errorf("the net of no bytes is not a breaker, a switch and a lamp:\n%v", plain)
	}
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.FromBytes(rapid.SliceOf(rapid.Byte()).Draw(t, "data"), netgen.Limits{})
		if _, err := spec.Build(); err != nil {
			t.Fatalf("%v\n%v", err, spec)
		}
	})
}
