package allstates_test

import (
	"context"
	"math/big"
	"math/bits"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// words solves 64 states at a time: bit i of a word is state 64*block+i, and the
// devices are the binary digits of the state, the first the lowest. It knows
// nothing of frontiers and diagrams; each rail is spread over the contacts until
// nothing changes. Only devices of two positions may vary. Loads in series and
// metal live through loads are beyond it.
type words struct {
	g      *dense.Graph
	vary   []int // dense devices
	digit  []int // by device: its digit, -1 if held at rest
	reach  [5][]uint64
	closed []contact
}

type contact struct {
	digit    int // -1: always
	position uint
	x, y     int32
}

func newWords(net *switchnet.Net, vary []switchnet.Ref) *words {
	g := net.Dense()
	w := &words{g: g, digit: make([]int, g.Devices())}
	for d := range w.digit {
		w.digit[d] = -1
	}
	for i, r := range vary {
		d, _ := net.DeviceIndex(r)
		w.vary = append(w.vary, d)
		w.digit[d] = i
	}
	for r := range w.reach {
		w.reach[r] = make([]uint64, g.Nets())
	}
	for d, digit := range w.digit {
		terms := g.Terminals(d)
		for p, joins := range g.Kind(d).Joins {
			if digit < 0 && p > 0 {
				break
			}
			for _, j := range joins {
				if terms[j[0]] != terms[j[1]] {
					w.closed = append(w.closed, contact{digit, uint(p), terms[j[0]], terms[j[1]]})
				}
			}
		}
	}
	return w
}

var digits = [6]uint64{0xaaaaaaaaaaaaaaaa, 0xcccccccccccccccc, 0xf0f0f0f0f0f0f0f0, 0xff00ff00ff00ff00, 0xffff0000ffff0000, 0xffffffff00000000}

// when returns the states of a block in which a contact is closed.
func (c *contact) when(block uint64) uint64 {
	var up uint64
	switch {
	case c.digit < 0:
		return ^uint64(0)
	case c.digit < 6:
		up = digits[c.digit]
	case block>>(c.digit-6)&1 == 1:
		up = ^uint64(0)
	}
	if c.position == 0 {
		return ^up
	}
	return up
}

// solve spreads the rails over the states of a block and returns those that are
// shorted.
func (w *words) solve(block uint64) (short uint64) {
	for r := range w.reach {
		clear(w.reach[r])
		for x, rails := range w.g.NetRails {
			if rails>>r&1 == 1 {
				w.reach[r][x] = ^uint64(0)
			}
		}
	}
	for changed := true; changed; {
		changed = false
		for i := range w.closed {
			c := &w.closed[i]
			on := c.when(block)
			rx, ry := w.g.NetRails[c.x], w.g.NetRails[c.y]
			if rx != 0 && ry != 0 {
				if (rx | ry).Conflict() {
					short |= on
				}
				continue
			}
			for r := range w.reach {
				m := w.reach[r]
				x, y := m[c.x], m[c.y]
				if rx == 0 && y&on&^x != 0 {
					m[c.x] |= y & on
					changed = true
				}
				if ry == 0 && x&on&^y != 0 {
					m[c.y] |= x & on
					changed = true
				}
			}
		}
	}
	for x := range w.g.NetRails {
		short |= w.conflict(int32(x))
	}
	return short
}

// conflict returns the states in which rails of different potential are on a net.
func (w *words) conflict(x int32) uint64 {
	a, b, c := w.reach[0][x], w.reach[1][x], w.reach[2][x]
	e := w.reach[3][x] | w.reach[4][x]
	return a&b | a&c | a&e | b&c | b&e | c&e
}

// load returns the states of the block solved last in which a load is lit, and in
// which it is faulted.
func (w *words) load(l int) (lit, faulted uint64) {
	x, y := w.g.LoadNets[l][0], w.g.LoadNets[l][1]
	faulted = w.conflict(x) | w.conflict(y)
	held := func(x int32) uint64 {
		return w.reach[0][x] | w.reach[1][x] | w.reach[2][x] | w.reach[3][x] | w.reach[4][x]
	}
	same := ^uint64(0)
	for r := range 3 {
		same &= ^(w.reach[r][x] ^ w.reach[r][y])
	}
	same &= ^((w.reach[3][x] | w.reach[4][x]) ^ (w.reach[3][y] | w.reach[4][y]))
	return held(x) & held(y) &^ same &^ faulted, faulted
}

// count returns in how many states a load is lit and faulted, and how many are
// shorted, and calls lits, if it is not nil, with each block.
func (w *words) count(load int, lits func(block, lit uint64)) (lit, faulted, short int) {
	n := len(w.vary)
	use := ^uint64(0)
	if n < 6 {
		use = 1<<(1<<n) - 1
	}
	for block := range uint64(1) << max(0, n-6) {
		s := w.solve(block)
		l, f := w.load(load)
		lit, faulted, short = lit+bits.OnesCount64(l&use), faulted+bits.OnesCount64(f&use), short+bits.OnesCount64(s&use)
		if lits != nil {
			lits(block, l&use)
		}
	}
	return lit, faulted, short
}

// mess is a net of many switches of two positions, near enough to a lighting
// circuit that loads are lit and now and then something shorts.
func mess(seed uint64, switches int) *switchnet.Net {
	rng := rand.New(rand.NewPCG(seed, 21))
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Device("panel", "breaker", switchnet.Breaker(1))
	b.Conductor("bus", src.Rail(switchnet.LineA), switchnet.Terminal{Place: "panel", Device: "breaker", Name: "line"})
	// A window of open points slides along, so that the frontier stays small.
	points := []switchnet.Terminal{{Place: "panel", Device: "breaker", Name: "load"}}
	wires := 0
	land := func(t switchnet.Terminal) {
		wires++
		name := string(rune('a'+wires/676)) + string(rune('a'+wires/26%26)) + string(rune('a'+wires%26))
		switch {
		case rng.IntN(60) == 0:
			b.Conductor(name, t, src.Rail(switchnet.Neutral))
		case rng.IntN(3) == 0:
			p := switchnet.Terminal{Place: "box", Device: "joint", Name: name}
			b.Point(p)
			b.Conductor(name, t, p)
			points = append(points, p)
		default:
			b.Conductor(name, t, points[max(0, len(points)-5)+rng.IntN(min(5, len(points)))])
		}
	}
	kinds := []switchnet.Kind{switchnet.SinglePole(), switchnet.ThreeWay(), switchnet.ThreeWay(), switchnet.FourWay(), switchnet.DoublePole()}
	for i := range switches {
		k := kinds[rng.IntN(len(kinds))]
		ref := switchnet.Ref{Place: "box", Name: "s" + string(rune('a'+i))}
		b.Device(ref.Place, ref.Name, k)
		for _, t := range k.Terminals {
			land(ref.Terminal(t))
		}
	}
	for i := range 2 {
		l := switchnet.Load{Ref: switchnet.Ref{Place: "ceiling", Name: "light " + string(rune('a'+i))}}
		b.Load(l)
		ends := l.Terminals()
		b.Conductor("leg"+l.Name, ends[0], points[len(points)-1-i])
		b.Conductor("return"+l.Name, ends[1], src.Rail(switchnet.Neutral))
	}
	net, err := b.Build()
	if err != nil {
		panic(err)
	}
	return net
}

// TestAgainstWords compares counts with the second oracle, to 16 switches, and with
// -long to 24.
func TestAgainstWords(t *testing.T) {
	ctx := context.Background()
	check := func(name string, net *switchnet.Net) (lit bool) {
		t.Helper()
		a, err := allstates.Analyze(ctx, net, nil)
		if err != nil {
			t.Fatal(err)
		}
		w := newWords(net, a.Devices())
		i := 0
		for ld := range net.Loads() {
			l, err := a.Load(ctx, ld.Ref)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			s, err := a.Find(ctx, allstates.Shorted())
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			wantLit, wantFaulted, wantShort := w.count(i, nil)
			for _, c := range []struct {
				what string
				got  *big.Int
				want int
			}{{"lit", l.Count(switchnet.Lit), wantLit}, {"faulted", l.Count(switchnet.Faulted), wantFaulted}, {"shorted", s.Count(), wantShort}} {
				if c.got.Cmp(big.NewInt(int64(c.want))) != 0 {
					t.Errorf("%s, %v: %v states %s, want %d", name, ld.Ref, c.got, c.what, c.want)
				}
			}
			lit = lit || wantLit > 0
			i++
		}
		return lit
	}
	lit := 0
	for seed := range uint64(40) {
		if check("mess", mess(seed, 8+int(seed%7))) {
			lit++
		}
	}
	if lit < 12 {
		t.Errorf("a load can be lit in only %d of the nets", lit)
	}
	check("chain of 16", allstates.ChainNet(16, 5, true))
	if *long {
		check("mess of 20", mess(99, 20))
		check("chain of 24", allstates.ChainNet(24, 6, true))
	}
}
