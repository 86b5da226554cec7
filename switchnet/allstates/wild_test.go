package allstates_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"

	"example.com/switchleg/switchnet"
)

// wild is a net of a few devices landed anywhere: less like a building than the
// nets of package netgen, so that combinations nobody would wire are met too. Each
// terminal has one landing at most.
type wild struct {
	system  switchnet.System
	points  []switchnet.Terminal
	devices []switchnet.Device
	loads   []switchnet.Load
	metal   []switchnet.Terminal // points and rails to land on
	landing map[switchnet.Terminal]switchnet.Terminal
}

func newWild(seed uint64, most int) *wild {
	rng := rand.New(rand.NewPCG(seed, 1))
	w := &wild{landing: map[switchnet.Terminal]switchnet.Terminal{}}
	w.system = []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}[rng.IntN(3)]
	selector := switchnet.Kind{Name: "selector", Terminals: []string{"c", "1", "2", "3"}, Positions: []switchnet.Position{
		{Name: "one", Joins: [][]string{{"c", "1"}}}, {Name: "two", Joins: [][]string{{"c", "2"}}}, {Name: "three", Joins: [][]string{{"c", "3"}, {"1", "2"}}}}}
	three := switchnet.ThreeWay()
	kinds := append(switchnet.Kinds(), selector, switchnet.SinglePole(), three, three, three,
		three.WithTransit(switchnet.MakeBeforeBreak), switchnet.FourWay(), switchnet.FourWay())
	for i := range 2 + rng.IntN(7) {
		w.points = append(w.points, switchnet.Terminal{Place: "box", Device: "point", Name: fmt.Sprint(i)})
	}
	w.metal = slices.Clone(w.points)
	for r := range switchnet.Rails() {
		if w.system.Has(r) && (r == switchnet.LineA || r == switchnet.Neutral || rng.IntN(3) == 0) {
			w.metal = append(w.metal, w.source().Rail(r))
		}
	}
	land := func(t switchnet.Terminal) {
		if rng.IntN(12) > 0 {
			w.landing[t] = w.metal[rng.IntN(len(w.metal))]
		}
	}
	states := 1
	for i := range 1 + rng.IntN(most) {
		k := kinds[rng.IntN(len(kinds))]
		if states *= len(k.Positions); states > 4096 {
			break
		}
		d := switchnet.Device{Ref: switchnet.Ref{Place: "box", Name: fmt.Sprint("d", i)}, Kind: k}
		w.devices = append(w.devices, d)
		for _, t := range k.Terminals {
			land(d.Terminal(t))
		}
	}
	for i := range 1 + rng.IntN(5) {
		l := switchnet.Load{Ref: switchnet.Ref{Place: "room", Name: fmt.Sprint("lamp", i)}}
		w.loads = append(w.loads, l)
		ends := l.Terminals()
		land(ends[0])
		if rng.IntN(3) > 0 {
			w.landing[ends[1]] = w.source().Rail(switchnet.Neutral)
		} else {
			land(ends[1])
		}
	}
	return w
}

func (w *wild) source() switchnet.Source {
	return switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: w.system}
}

// clone returns a copy whose devices and landings may be changed.
func (w *wild) clone() *wild {
	c := *w
	c.devices, c.landing = slices.Clone(w.devices), maps.Clone(w.landing)
	return &c
}

func (w *wild) build() *switchnet.Net {
	var b switchnet.Builder
	b.Source(w.source())
	b.Point(w.points...)
	for _, d := range w.devices {
		b.Device(d.Place, d.Name, d.Kind)
	}
	for _, l := range w.loads {
		b.Load(l)
	}
	for t, on := range w.landing {
		b.Conductor(t.String(), t, on)
	}
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}
