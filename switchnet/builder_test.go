package switchnet_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// TestNetBuilderRoundTrip builds a net again from itself and wants every answer
// the same.
func TestNetBuilderRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{States: 32}).Draw(t, "net")
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		again, err := net.Builder().Build()
		if err != nil {
			t.Fatal(err)
		}
		sameText(t, writeUp(t, net, 6), writeUp(t, again, 6))
	})
}

// TestVariationKeepsTheNet changes a copy and wants the net as it was; taking away
// what was added gives the net again.
func TestVariationKeepsTheNet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		net, err := netgen.Nets(netgen.Limits{States: 16}).Draw(t, "net").Build()
		if err != nil {
			t.Fatal(err)
		}
		before := writeUp(t, net, 4)
		b := net.Builder()
		b.Device("added", "switch", switchnet.ThreeWay())
		b.Load(switchnet.Load{Ref: ref("added", "lamp")})
		b.Point(term("added", "cable", "spare"))
		b.Conductor("added 1", net.Source().Rail(switchnet.LineA), term("added", "switch", "common"))
		b.Conductor("added 2", term("added", "switch", "traveler 1"), term("added", "lamp", "hot"))
		b.Splice("added", "neutral", net.Source().Rail(switchnet.Neutral), term("added", "lamp", "neutral"))
		more, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		if sup, _ := solve(t, more.Rest()).Supply(ref("added", "lamp")); sup.Status == switchnet.Unlit {
			t.Errorf("the added lamp is %v at rest", sup.Status)
		}
		sameText(t, before, writeUp(t, net, 4))
		b = more.Builder()
		b.RemoveDevice("added", "switch")
		b.RemoveLoad("added", "lamp")
		b.RemoveConductor("added 1")
		b.RemoveConductor("added 2")
		b.RemoveSplice("added", "neutral")
		b.RemovePoint(term("added", "cable", "spare"))
		less, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		sameText(t, before, writeUp(t, less, 4))
	})
}

func TestRemoveErrors(t *testing.T) {
	tests := []struct {
		why  string
		do   func(b *switchnet.Builder)
		want []string
	}{
		{"each of them says what was never declared", func(b *switchnet.Builder) {
			b.RemoveConductor("C9")
			b.RemoveDevice("yard", "flood")
			b.RemoveLoad("yard", "lamp")
			b.RemoveSplice("yard", "hot")
			b.RemovePoint(term("yard", "cable", "white"))
		}, []string{
			`conductor "C9" is to be removed and was never declared`,
			`device "flood at yard" is to be removed and was never declared`,
			`load "lamp at yard" is to be removed and was never declared`,
			`point "cable white at yard" is to be removed and was never declared`,
			`splice "hot at yard" is to be removed and was never declared`,
		}},
		{"what was landed on a device stays, and now lands on nothing", func(b *switchnet.Builder) {
			b.RemoveDevice("loft", "stair")
		}, []string{
			`conductor "C1 black" lands on "stair line at loft", and nothing called "stair at loft" is declared`,
			`conductor "C2 black" lands on "stair load at loft", and nothing called "stair at loft" is declared`,
		}},
		{"a name is removed once, and was not declared the second time", func(b *switchnet.Builder) {
			b.RemoveConductor("bus")
			b.RemoveConductor("bus")
		}, []string{`conductor "bus" is to be removed and was never declared`}},
		{"the load inside a device goes with the device", func(b *switchnet.Builder) {
			b.Device("yard", "flood", switchnet.PilotSinglePole())
			b.RemoveLoad("yard", "flood pilot")
		}, []string{`load "flood pilot at yard" is to be removed and was never declared`}},
	}
	for _, test := range tests {
		b := wired()
		test.do(b)
		_, err := b.Build()
		var all switchnet.Problems
		if !errors.As(err, &all) {
			t.Errorf("%s: Build says %v", test.why, err)
			continue
		}
		var got []string
		for _, p := range all {
			got = append(got, p.Error())
		}
		if g, w := strings.Join(got, "\n"), strings.Join(test.want, "\n"); g != w {
			t.Errorf("%s: got\n%s\nwant\n%s", test.why, g, w)
		}
	}
}

// A device replaced by one of another kind keeps what is landed on terminals of
// the same name.
func TestReplaceADevice(t *testing.T) {
	b := wired()
	b.RemoveDevice("loft", "stair")
	b.Device("loft", "stair", switchnet.LocatorSinglePole())
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	v := solve(t, net.Rest())
	for _, load := range []switchnet.Ref{ref("loft", "lamp"), ref("loft", "stair locator")} {
		if sup, _ := v.Supply(load); sup.Status != switchnet.Dim {
			t.Errorf("with the switch off %v is %v, want dim: the locator is in line with the lamp", load, sup.Status)
		}
	}
}

// What is handed to a builder, and what a net hands out, may be changed without
// changing the net.
func TestNetKeepsItsOwnCopies(t *testing.T) {
	b := wired()
	k := switchnet.ThreeWay()
	b.Device("yard", "flood", k)
	joins := []switchnet.Terminal{term("yard", "flood", "common"), term("loft", "stair", "line")}
	b.Splice("yard", "hot", joins...)
	joins[0] = term("", "", "nonsense")
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	before := writeUp(t, net, 8)
	k.Terminals[0] = "nonsense"
	k.Positions[0].Joins[0][0] = "nonsense"
	for s := range net.Splices() {
		s.Joins[0] = term("", "", "nonsense")
	}
	spoil := func(d switchnet.Device) {
		d.Kind.Terminals[0] = "nonsense"
		d.Kind.Positions[0].Name = "nonsense"
		d.Kind.Positions[0].Joins[0][0] = "nonsense"
	}
	flood, _ := net.Device(ref("yard", "flood"))
	spoil(flood)
	for d := range net.Devices() {
		if d.Ref == flood.Ref {
			spoil(d)
		}
	}
	b.RemoveConductor("bus")
	sameText(t, before, writeUp(t, net, 8))
}
