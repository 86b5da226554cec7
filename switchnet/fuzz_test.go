package switchnet_test

import (
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// garbage declares parts with names drawn from so few that some of them fit: most
// of it is wrong, and some of it builds. pick returns a number from 0 to n-1.
func garbage(pick func(n int) int) *switchnet.Builder {
	name := func() string { return []string{"a", "b", "line A", "line", "load", "", "neutral", "\xff\n"}[pick(8)] }
	terminal := func() switchnet.Terminal { return switchnet.Terminal{Place: name(), Device: name(), Name: name()} }
	list := func() (out []switchnet.Terminal) {
		for range pick(4) {
			out = append(out, terminal())
		}
		return out
	}
	names := func() (out []string) {
		for range pick(4) {
			out = append(out, name())
		}
		return out
	}
	kind := func() switchnet.Kind {
		if pick(2) == 0 {
			kinds := switchnet.Kinds()
			return kinds[pick(len(kinds))]
		}
		k := switchnet.Kind{Name: name(), Terminals: names(), Breaker: pick(5) == 0}
		for range pick(4) {
			k.Positions = append(k.Positions, switchnet.Position{Name: name(), Joins: [][]string{names(), names()}[:pick(3)]})
		}
		for range pick(2) {
			k.Internal = append(k.Internal, switchnet.InternalLoad{Name: name(), From: name(), To: name()})
		}
		return k
	}
	var b switchnet.Builder
	if pick(8) > 0 {
		b.Source(switchnet.Source{Ref: ref("a", "line A"), System: switchnet.SplitPhase()})
	}
	for range pick(12) {
		switch pick(12) {
		case 0:
			b.Source(switchnet.Source{Ref: ref(name(), name()), System: switchnet.System{
				Lines: pick(5) - 1, LineToNeutral: quantity.Voltage(pick(3) - 1), LineToLine: quantity.Voltage(pick(3) - 1)}})
		case 1:
			b.Point(list()...)
		case 2:
			b.Splice(name(), name(), list()...)
		case 3:
			b.RemoveConductor(name())
		case 4:
			b.RemoveDevice(name(), name())
		case 5, 6:
			b.Load(switchnet.Load{Ref: ref(name(), name()), On: name(), Ends: [2]string{name(), name()}, Rated: quantity.Voltage(pick(3) - 1)})
		case 7, 8:
			b.Conductor(fmt.Sprint(name(), pick(9)), terminal(), terminal())
		default:
			b.Device(name(), name(), kind())
		}
	}
	return &b
}

// checkGarbage builds, and wants either Problems, the same each time, or a net that
// answers.
func checkGarbage(t rapid.TB, b *switchnet.Builder) (built bool) {
	t.Helper()
	net, err := b.Build()
	if err == nil {
		sameText(t, writeUp(t, net, 8), writeUp(t, net, 8))
		return true
	}
	var all switchnet.Problems
	if net != nil || !errors.As(err, &all) || len(all) == 0 {
		t.Fatalf("Build gives %v, %v", net, err)
	}
	for _, p := range all {
		if _, err := p.Code.MarshalText(); err != nil || p.Subject == "" || p.Detail == "" {
			t.Errorf("problem %+v says too little", p)
		}
	}
	if _, again := b.Build(); again == nil || again.Error() != err.Error() {
		t.Errorf("built again: %v\nfirst: %v", again, err)
	}
	return false
}

func TestBuildGarbage(t *testing.T) {
	built, tried := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		for range 10 {
			tried++
			b := garbage(func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "choice") })
			if checkGarbage(t, b) {
				built++
			}
		}
	})
	t.Logf("%d of %d garbage nets build", built, tried)
	if built == 0 {
		t.Error("no garbage net builds: the test sees only one half")
	}
}

// FuzzBuild looks for declarations that make Build panic or answer two ways.
func FuzzBuild(f *testing.F) {
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		checkGarbage(t, garbage(func(n int) int {
			if len(data) == 0 {
				return 0
			}
			b := data[0]
			data = data[1:]
			return int(b) % n
		}))
	})
}

// FuzzView looks for a net and a state in which the solver and the search over the
// declared parts differ. The first bytes are the positions of the devices.
func FuzzView(f *testing.F) {
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		head := data[:min(len(data), small.Devices)]
		spec := netgen.FromBytes(data[len(head):], small)
		net, err := spec.Build()
		if err != nil {
			t.Fatalf("%v\n%v", err, spec)
		}
		var pos []uint8
		for d := range net.Devices() {
			pos = append(pos, 0)
			if i := len(pos) - 1; i < len(head) {
				pos[i] = head[i] % uint8(len(d.Kind.Positions))
			}
		}
		s, err := net.StateOf(pos)
		if err != nil {
			t.Fatal(err)
		}
		v := solve(t, s)
		var seen tally
		compareConditions(t, v, newOracle(net, s))
		compareSupplies(t, v, newOracle(net, s), 2, &seen)
		compareShorts(t, v, newOracle(net, s), &seen)
		if t.Failed() {
			t.Logf("\n%v", spec)
		}
	})
}
