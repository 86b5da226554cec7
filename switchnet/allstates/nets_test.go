package allstates

import (
	"fmt"
	"math/rand/v2"

	"example.com/switchleg/switchnet"
)

// chainNet builds a chain of places with the devices turned at random: which
// traveler goes to which screw, which side of a four-way faces the feed. With a
// seed of 0 nothing is turned and the chain is periodic.
func chainNet(places int, seed uint64, shuffled bool) *switchnet.Net {
	rng := rand.New(rand.NewPCG(seed, 7))
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Device("panel", "breaker", switchnet.Breaker(1))
	b.Load(switchnet.Load{Ref: chainLamp})
	number := make([]int, places)
	for i := range number {
		number[i] = i
	}
	if shuffled {
		rng.Shuffle(places, func(i, j int) { number[i], number[j] = number[j], number[i] })
	}
	at := func(i int, name string) switchnet.Terminal {
		return switchnet.Terminal{Place: fmt.Sprintf("p%06d", number[i]), Device: "aisle", Name: name}
	}
	turn := func(pair [2]string) [2]string {
		if seed != 0 && rng.IntN(2) == 1 {
			return [2]string{pair[1], pair[0]}
		}
		return pair
	}
	lamp := chainLamp.Terminal("hot")
	b.Conductor("bus", src.Rail(switchnet.LineA), switchnet.Terminal{Place: "panel", Device: "breaker", Name: "line"})
	b.Conductor("neutral", src.Rail(switchnet.Neutral), chainLamp.Terminal("neutral"))
	three, four := switchnet.ThreeWay(), switchnet.FourWay()
	var out [2]switchnet.Terminal
	for i := range places {
		var in [2]string
		switch i {
		case 0, places - 1:
			b.Device(at(i, "").Place, "aisle", three)
			tr := turn([2]string{"traveler 1", "traveler 2"})
			if i == 0 {
				b.Conductor("hot", switchnet.Terminal{Place: "panel", Device: "breaker", Name: "load"}, at(0, "common"))
				out = [2]switchnet.Terminal{at(0, tr[0]), at(0, tr[1])}
				continue
			}
			in = tr
			b.Conductor("leg", at(i, "common"), lamp)
		default:
			b.Device(at(i, "").Place, "aisle", four)
			sides := turn([2]string{"pair 1", "pair 2"})
			a, c := turn([2]string{" first", " second"}), turn([2]string{" first", " second"})
			in = [2]string{sides[0] + a[0], sides[0] + a[1]}
			b.Conductor(fmt.Sprintf("c%06d first", i), out[0], at(i, in[0]))
			b.Conductor(fmt.Sprintf("c%06d second", i), out[1], at(i, in[1]))
			out = [2]switchnet.Terminal{at(i, sides[1]+c[0]), at(i, sides[1]+c[1])}
			continue
		}
		b.Conductor(fmt.Sprintf("c%06d first", i), out[0], at(i, in[0]))
		b.Conductor(fmt.Sprintf("c%06d second", i), out[1], at(i, in[1]))
	}
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}

var chainLamp = switchnet.Ref{Place: "aisle", Name: "lamp"}

// gridNet is a grid of points with single-pole switches between neighbours, fed
// at one corner, with a lamp at the opposite one.
func gridNet(rows, columns int) *switchnet.Net {
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Load(switchnet.Load{Ref: chainLamp})
	point := func(r, c int) switchnet.Terminal {
		return switchnet.Terminal{Place: fmt.Sprintf("r%02d c%02d", r, c), Device: "joint", Name: "x"}
	}
	add := func(p, q switchnet.Terminal, name string) {
		b.Device(p.Place, name, switchnet.SinglePole())
		b.Conductor(p.Place+name+"a", p, switchnet.Terminal{Place: p.Place, Device: name, Name: "line"})
		b.Conductor(p.Place+name+"b", q, switchnet.Terminal{Place: p.Place, Device: name, Name: "load"})
	}
	for c := range columns {
		for r := range rows {
			b.Point(point(r, c))
			if r+1 < rows {
				add(point(r, c), point(r+1, c), "down")
			}
			if c+1 < columns {
				add(point(r, c), point(r, c+1), "right")
			}
		}
	}
	b.Conductor("feed", src.Rail(switchnet.LineA), point(0, 0))
	b.Conductor("leg", point(rows-1, columns-1), chainLamp.Terminal("hot"))
	b.Conductor("neutral", src.Rail(switchnet.Neutral), chainLamp.Terminal("neutral"))
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}

// treeNet is a tree of boxes in which every run carries a pair of travelers through
// a four-way, two runs on from each box, the pairs of neighbouring leaves tied
// together. It is fed at the first leaf and has its lamp at the last.
func treeNet(depth int) *switchnet.Net {
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Load(switchnet.Load{Ref: chainLamp})
	boxes, wires := 0, 0
	box := func() [2]switchnet.Terminal {
		boxes++
		place := fmt.Sprintf("box %05d", boxes)
		pair := [2]switchnet.Terminal{{Place: place, Device: "pair", Name: "first"}, {Place: place, Device: "pair", Name: "second"}}
		b.Point(pair[:]...)
		return pair
	}
	wire := func(x, y switchnet.Terminal) {
		wires++
		b.Conductor(fmt.Sprintf("w%06d", wires), x, y)
	}
	four := switchnet.FourWay()
	level := [][2]switchnet.Terminal{box()}
	for range depth {
		var next [][2]switchnet.Terminal
		for _, from := range level {
			for range 2 {
				to := box()
				r := switchnet.Ref{Place: to[0].Place, Name: "aisle"}
				b.Device(r.Place, r.Name, four)
				wire(from[0], r.Terminal("pair 1 first"))
				wire(from[1], r.Terminal("pair 1 second"))
				wire(to[0], r.Terminal("pair 2 first"))
				wire(to[1], r.Terminal("pair 2 second"))
				next = append(next, to)
			}
		}
		level = next
	}
	for i := 1; i < len(level); i += 2 {
		wire(level[i-1][1], level[i][1])
	}
	wire(level[0][0], src.Rail(switchnet.LineA))
	wire(level[len(level)-1][0], chainLamp.Terminal("hot"))
	b.Conductor("neutral", src.Rail(switchnet.Neutral), chainLamp.Terminal("neutral"))
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}
