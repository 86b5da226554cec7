package switchnet_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/switchnet"
)

// permutations yields the orders of 0..n-1.
func permutations(n int) (all [][]int) {
	if n == 0 {
		return [][]int{nil}
	}
	for _, p := range permutations(n - 1) {
		for i := range n {
			q := append(append(append([]int(nil), p[:i]...), n-1), p[i:]...)
			all = append(all, q)
		}
	}
	return all
}

// blind is a net whose switches have every order of landings tried on them.
type blind struct {
	places []string
	kinds  []switchnet.Kind
	wires  [][]switchnet.Terminal // far ends of the conductors at each place
	base   func(b *switchnet.Builder)
}

// each calls f with the net of every landing and its signature.
func (x blind) each(t *testing.T, f func(orders [][]int, sig signature)) {
	t.Helper()
	var walk func(orders [][]int)
	walk = func(orders [][]int) {
		if i := len(orders); i < len(x.places) {
			for _, p := range permutations(len(x.wires[i])) {
				walk(append(orders[:i:i], p))
			}
			return
		}
		var b switchnet.Builder
		x.base(&b)
		for i, k := range x.kinds {
			b.Device(x.places[i], "aisle", k)
			for screw, wire := range orders[i] {
				if screw < len(k.Terminals) { // else the conductor is capped
					b.Conductor(fmt.Sprint(x.places[i], wire), x.wires[i][wire], term(x.places[i], "aisle", k.Terminals[screw]))
				}
			}
		}
		net, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		f(orders, signatureOf(t, net, lamp))
	}
	walk(nil)
}

// runs declares a supply, a lamp and the far ends of conductors: points that stand
// for the joint at which a conductor ends that is not landed blindly.
func runs(b *switchnet.Builder) (hot, leg switchnet.Terminal) {
	src := service()
	b.Source(src)
	b.Load(switchnet.Load{Ref: lamp})
	b.Conductor("neutral", src.Rail(switchnet.Neutral), lamp.Terminal("neutral"))
	return src.Rail(switchnet.LineA), hotLeg
}

// TestBlindLandings counts what comes of landing the conductors of each switch box
// in any order: the odds of guessing, and that no guess shorts.
func TestBlindLandings(t *testing.T) {
	three, four := switchnet.ThreeWay(), switchnet.FourWay()
	point := func(name string) switchnet.Terminal { return term("wall", "cable", name) }
	hot, leg := service().Rail(switchnet.LineA), hotLeg
	chainBase := func(travelers int) func(b *switchnet.Builder) {
		return func(b *switchnet.Builder) {
			runs(b)
			for i := range travelers {
				b.Point(point(fmt.Sprint("traveler ", i)))
			}
		}
	}
	tr := func(i int) switchnet.Terminal { return point(fmt.Sprint("traveler ", i)) }
	tests := []struct {
		why  string
		net  blind
		want map[string]int // signature to number of landings
	}{
		{"two places: 4 of 36 right", blind{
			places: []string{"a", "b"}, kinds: []switchnet.Kind{three, three},
			wires: [][]switchnet.Terminal{{hot, tr(0), tr(1)}, {leg, tr(0), tr(1)}}, base: chainBase(2),
		}, map[string]int{
			`lit 2, dim 0, trips 0, masters ""`:   4,
			`lit 1, dim 0, trips 0, masters "AB"`: 24,
			`lit 0, dim 0, trips 0, masters ""`:   8,
		}},
		{"three places: 32 of 864 right, 64 with one switch wrong for each of the three", blind{
			places: []string{"a", "b", "c"}, kinds: []switchnet.Kind{three, four, three},
			wires: [][]switchnet.Terminal{{hot, tr(0), tr(1)}, {tr(0), tr(1), tr(2), tr(3)}, {leg, tr(2), tr(3)}}, base: chainBase(4),
		}, map[string]int{
			`lit 4, dim 0, trips 0, masters ""`:    32,
			`lit 2, dim 0, trips 0, masters "A"`:   64,
			`lit 2, dim 0, trips 0, masters "B"`:   64,
			`lit 2, dim 0, trips 0, masters "C"`:   64,
			`lit 1, dim 0, trips 0, masters "ABC"`: 512,
			`lit 0, dim 0, trips 0, masters ""`:    128,
		}},
		{"joined commons: 4 of 36 right, and the wrong ones stay on", blind{
			places: []string{"a", "b"}, kinds: []switchnet.Kind{three, three},
			wires: [][]switchnet.Terminal{{hot, leg, tr(0)}, {hot, leg, tr(0)}}, base: chainBase(1),
		}, map[string]int{
			`lit 2, dim 0, trips 0, masters ""`:   4,
			`lit 3, dim 0, trips 0, masters "AB"`: 24,
			`lit 4, dim 0, trips 0, masters ""`:   8,
		}},
	}
	for _, test := range tests {
		got := map[string]int{}
		test.net.each(t, func(_ [][]int, sig signature) { got[sig.String()]++ })
		if fmt.Sprint(got) != fmt.Sprint(test.want) {
			t.Errorf("%s:\n%v\nwant\n%v", test.why, got, test.want)
		}
	}
}

// TestThreeWayForAFourWay lands the four travelers of a middle box on the three
// screws of a three-way, one capped: 24 ways. A right four-way beyond it doubles the
// states in which the lamp burns and changes nothing else.
func TestThreeWayForAFourWay(t *testing.T) {
	three, four := switchnet.ThreeWay(), switchnet.FourWay()
	point := func(i int) switchnet.Terminal { return term("wall", "cable", fmt.Sprint("traveler ", i)) }
	for _, test := range []struct {
		beyond bool
		want   map[int]int // lit states to landings
	}{
		{false, map[int]int{2: 8, 1: 16}},
		{true, map[int]int{4: 8, 2: 16}},
	} {
		base := func(b *switchnet.Builder) {
			hot, leg := runs(b)
			b.Device("a", "aisle", three)
			b.Device("d", "aisle", three)
			for i := range 4 {
				b.Point(point(i))
			}
			b.Conductor("hot", hot, term("a", "aisle", "common"))
			b.Conductor("leg", leg, term("d", "aisle", "common"))
			for i := range 2 {
				throw := fmt.Sprint("traveler ", i+1)
				end := term("d", "aisle", throw)
				if test.beyond {
					if i == 0 {
						b.Device("c", "aisle", four)
					}
					which := []string{"first", "second"}[i]
					b.Conductor("last section "+which, term("c", "aisle", "pair 2 "+which), end)
					end = term("c", "aisle", "pair 1 "+which)
				}
				b.Conductor(fmt.Sprint("section ", i), point(i), term("a", "aisle", throw))
				b.Conductor(fmt.Sprint("section ", i+2), point(i+2), end)
			}
		}
		got := map[int]int{}
		blind{places: []string{"b"}, kinds: []switchnet.Kind{three},
			wires: [][]switchnet.Terminal{{point(0), point(1), point(2), point(3)}}, base: base,
		}.each(t, func(_ [][]int, sig signature) {
			if sig.trips+sig.dim > 0 {
				t.Errorf("a landing gives %v", sig)
			}
			got[sig.lit]++
		})
		if fmt.Sprint(got) != fmt.Sprint(test.want) {
			t.Errorf("a four-way beyond: %v: lit in so many states by %v landings, want %v", test.beyond, got, test.want)
		}
	}
}
