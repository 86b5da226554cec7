package switchnet_test

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// selector returns a kind with the given number of positions.
func selector(positions int) switchnet.Kind {
	k := switchnet.Kind{Name: fmt.Sprintf("%d-position selector", positions), Terminals: []string{"common"}}
	for p := range positions {
		out := fmt.Sprintf("out %d", p+1)
		k.Terminals = append(k.Terminals, out)
		k.Positions = append(k.Positions, switchnet.Position{Name: fmt.Sprintf("%d", p+1), Joins: [][]string{{"common", out}}})
	}
	return k
}

// bank builds devices of the given numbers of positions, named d0, d1 and so on,
// behind a breaker named to come last.
func bank(tb testing.TB, positions ...int) *switchnet.Net {
	tb.Helper()
	var b switchnet.Builder
	b.Source(service())
	for i, p := range positions {
		b.Device("wall", fmt.Sprintf("d%d", i), selector(p))
	}
	b.Device("zz", "breaker", switchnet.Breaker(1))
	net, err := b.Build()
	if err != nil {
		tb.Fatal(err)
	}
	return net
}

// digits returns the positions of a state as a string.
func digits(s switchnet.State) string {
	var b strings.Builder
	for _, p := range s.Indices() {
		fmt.Fprint(&b, p)
	}
	return b.String()
}

func TestStatesOrder(t *testing.T) {
	mixed := bank(t, 2, 3)
	hold := func(net *switchnet.Net, device, position string) switchnet.State {
		s, err := net.Rest().With(ref("wall", device), position)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	tests := []struct {
		why  string
		net  *switchnet.Net
		opt  *switchnet.StatesOptions
		want string // positions of d0, d1, ..., breaker
	}{
		{"nil counts, the last device fastest, breakers on", mixed, nil, "000 010 020 100 110 120"},
		{"the zero options are nil", mixed, &switchnet.StatesOptions{}, "000 010 020 100 110 120"},
		{"Gray turns back instead of starting again", mixed, &switchnet.StatesOptions{Order: switchnet.Gray}, "000 010 020 120 110 100"},
		{"Gray in base 3 and 2", bank(t, 3, 2), &switchnet.StatesOptions{Order: switchnet.Gray}, "000 010 110 100 200 210"},
		{"Gray with three digits", bank(t, 2, 2, 2), &switchnet.StatesOptions{Order: switchnet.Gray},
			"0000 0010 0110 0100 1100 1110 1010 1000"},
		{"breakers on request", bank(t, 2), &switchnet.StatesOptions{Breakers: true}, "00 01 10 11"},
		{"one device, the others as held", mixed, &switchnet.StatesOptions{Vary: []switchnet.Ref{ref("wall", "d0")}, Hold: hold(mixed, "d1", "3")}, "020 120"},
		{"a varied device starts from its first position whatever is held", mixed,
			&switchnet.StatesOptions{Vary: []switchnet.Ref{ref("wall", "d1")}, Hold: hold(mixed, "d1", "3")}, "000 010 020"},
		{"the order of Vary does not matter", mixed,
			&switchnet.StatesOptions{Vary: []switchnet.Ref{ref("wall", "d1"), ref("wall", "d0")}}, "000 010 020 100 110 120"},
		{"a breaker may be named in Vary", mixed, &switchnet.StatesOptions{Vary: []switchnet.Ref{ref("zz", "breaker")}}, "000 001"},
		{"Breakers has no effect beside Vary", mixed,
			&switchnet.StatesOptions{Breakers: true, Vary: []switchnet.Ref{ref("wall", "d0")}}, "000 100"},
		{"nothing to vary leaves the state that is held", mixed,
			&switchnet.StatesOptions{Vary: []switchnet.Ref{}, Hold: hold(mixed, "d1", "2")}, "010"},
		{"a net without switches has one state", bank(t), nil, "0"},
		{"a device with one position does not move", bank(t, 1, 2), nil, "000 010"},
	}
	for _, test := range tests {
		states, count, err := test.net.States(test.opt)
		if err != nil {
			t.Errorf("%s: %v", test.why, err)
			continue
		}
		var got []string
		for s := range states {
			got = append(got, digits(s))
		}
		if g := strings.Join(got, " "); g != test.want || count.Int64() != int64(len(got)) {
			t.Errorf("%s: %v states: %s, want %s", test.why, count, g, test.want)
		}
		// An iterator may be run again, and stopped.
		again := 0
		for s := range states {
			if again++; digits(s) != got[0] || again > 1 {
				t.Errorf("%s: run again, the first state is %s", test.why, digits(s))
			}
			break
		}
	}
}

// TestStatesLaws checks on random nets that both orders visit every state once,
// that Gray moves one device one position at a time, and that the count is right.
func TestStatesLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(small).Draw(t, "net")
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		breakers := rapid.Bool().Draw(t, "breakers")
		want := 1
		for d := range net.Devices() {
			if breakers || !d.Kind.Breaker {
				want *= len(d.Kind.Positions)
			}
		}
		seen := map[switchnet.Order]map[string]bool{}
		for _, order := range []switchnet.Order{switchnet.Counting, switchnet.Gray} {
			states, count, err := net.States(&switchnet.StatesOptions{Order: order, Breakers: breakers})
			if err != nil {
				t.Fatal(err)
			}
			seen[order] = map[string]bool{}
			var last []uint8
			for s := range states {
				pos := s.Indices()
				if seen[order][digits(s)] {
					t.Fatalf("%v comes twice", s)
				}
				seen[order][digits(s)] = true
				if order == switchnet.Gray && last != nil {
					steps := 0
					for i := range pos {
						steps += max(int(pos[i])-int(last[i]), int(last[i])-int(pos[i]))
					}
					if steps != 1 {
						t.Fatalf("from %v to %v is not one step", last, pos)
					}
				}
				if order == switchnet.Counting && last != nil && slices.Compare(last, pos) >= 0 {
					t.Fatalf("%v comes before %v", last, pos)
				}
				last = pos
			}
			if len(seen[order]) != want || count.Cmp(big.NewInt(int64(want))) != 0 {
				t.Fatalf("%d states and count %v, want %d", len(seen[order]), count, want)
			}
		}
	})
}

// A net with more states than anybody can visit still gives a count and the first
// states.
func TestStatesOfManyDevices(t *testing.T) {
	net := chain(t, 200)
	states, count, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := new(big.Int).Lsh(big.NewInt(1), 200); count.Cmp(want) != 0 {
		t.Errorf("count %v, want 2^200", count)
	}
	n := 0
	for range states {
		if n++; n == 100 {
			break
		}
	}
	if n != 100 {
		t.Errorf("%d states before the stop, want 100", n)
	}
}

func TestStateMoves(t *testing.T) {
	net := bank(t, 2, 3)
	rest := net.Rest()
	d1 := ref("wall", "d1")
	s, err := rest.With(d1, "3")
	if err != nil {
		t.Fatal(err)
	}
	if digits(rest) != "000" || digits(s) != "020" {
		t.Errorf("With moved %s to %s, want 000 to 020", digits(rest), digits(s))
	}
	if p, ok := s.Position(d1); p != "3" || !ok {
		t.Errorf("Position is %q, %v", p, ok)
	}
	round, err := s.Flip(d1)
	if err != nil || !round.Equal(rest) || round.Equal(s) {
		t.Errorf("Flip after the last position gives %s, %v; want rest", digits(round), err)
	}
	var list []string
	for r, p := range s.Positions() {
		list = append(list, r.Name+"="+p)
	}
	if got := strings.Join(list, " "); got != "d0=1 d1=3 breaker=on" {
		t.Errorf("Positions yields %s", got)
	}
	for range s.Positions() {
		break // an iterator may be stopped
	}
	if got := s.String(); got != "d0 at wall 1, d1 at wall 3, breaker at zz on" {
		t.Errorf("String is %q", got)
	}
	if s.Net() != net || (switchnet.State{}).Net() != nil {
		t.Error("Net is not the state's net")
	}
	if _, ok := s.Position(ref("wall", "d9")); ok {
		t.Error("a device that is not there has a position")
	}
	if _, ok := (switchnet.State{}).Position(d1); ok {
		t.Error("the zero state has a position")
	}
	back, err := net.StateOf(s.Indices())
	if err != nil || !back.Equal(s) {
		t.Errorf("StateOf(Indices) = %v, %v", back, err)
	}
}

func TestStateOn(t *testing.T) {
	net := bank(t, 2, 3)
	s, err := net.Rest().With(ref("wall", "d1"), "2")
	if err != nil {
		t.Fatal(err)
	}
	// Matched by names: the other net's kinds may differ, and its further
	// devices stay at rest.
	more, err := s.On(bank(t, 2, 4, 5))
	if err != nil || digits(more) != "0100" {
		t.Errorf("carried over: %s, %v; want 0100", digits(more), err)
	}
	zero, err := (switchnet.State{}).On(net)
	if err != nil || !zero.Equal(net.Rest()) {
		t.Errorf("the zero state carried over is %v, %v; want rest", zero, err)
	}
}

// stateRows is one row for each way in which a state is refused.
var stateRows = []struct {
	why  string
	code switchnet.Code
	do   func(t *testing.T) error
	want string
}{
	{"the zero state is of no net", switchnet.ForeignState, func(*testing.T) error {
		_, err := switchnet.State{}.With(ref("wall", "d0"), "1")
		return err
	}, `state belongs to no net; start from Net.Rest`},
	{"nor can it be flipped", switchnet.ForeignState, func(*testing.T) error {
		_, err := switchnet.State{}.Flip(ref("wall", "d0"))
		return err
	}, `state belongs to no net; start from Net.Rest`},
	{"nor solved", switchnet.ForeignState, func(t *testing.T) error {
		_, err := bank(t, 2).NewSolver().Solve(switchnet.State{})
		return err
	}, `state is of another net; carry it over with State.On`},
	{"a state of an equal net is still of another", switchnet.ForeignState, func(t *testing.T) error {
		_, err := bank(t, 2).NewSolver().Solve(bank(t, 2).Rest())
		return err
	}, `state is of another net; carry it over with State.On`},
	{"a state to hold must be of the net", switchnet.ForeignState, func(t *testing.T) error {
		_, _, err := bank(t, 2).States(&switchnet.StatesOptions{Hold: bank(t, 2).Rest()})
		return err
	}, `Hold is a state of another net`},
	{"too few numbers", switchnet.ForeignState, func(t *testing.T) error {
		_, err := bank(t, 2).StateOf([]uint8{0})
		return err
	}, `state has 1 positions; the net has 2 devices`},
	{"a number beyond the positions", switchnet.Unknown, func(t *testing.T) error {
		_, err := bank(t, 2).StateOf([]uint8{2, 0})
		return err
	}, `device "d0 at wall" has no position 2; it has 2`},
	{"no such device", switchnet.Unknown, func(t *testing.T) error {
		_, err := bank(t, 2).Rest().With(ref("wall", "d7"), "1")
		return err
	}, `device "d7 at wall" is not in the net`},
	{"no such device to flip", switchnet.Unknown, func(t *testing.T) error {
		_, err := bank(t, 2).Rest().Flip(ref("wall", "d7"))
		return err
	}, `device "d7 at wall" is not in the net`},
	{"no such position; say which there are", switchnet.Unknown, func(t *testing.T) error {
		_, err := bank(t, 2).Rest().With(ref("wall", "d0"), "up")
		return err
	}, `device "d0 at wall" has no position "up"; its positions are: 1, 2`},
	{"no such device to vary", switchnet.Unknown, func(t *testing.T) error {
		_, _, err := bank(t, 2).States(&switchnet.StatesOptions{Vary: []switchnet.Ref{ref("wall", "d7")}})
		return err
	}, `device "d7 at wall" is not in the net`},
	{"a device to vary named twice would be visited twice", switchnet.Duplicate, func(t *testing.T) error {
		d := ref("wall", "d0")
		_, _, err := bank(t, 2).States(&switchnet.StatesOptions{Vary: []switchnet.Ref{d, d}})
		return err
	}, `device "d0 at wall" is to be varied twice`},
	{"no such order", switchnet.Unknown, func(t *testing.T) error {
		_, _, err := bank(t, 2).States(&switchnet.StatesOptions{Order: 77})
		return err
	}, `Order is neither Counting nor Gray`},
	{"a device that the other net lacks", switchnet.Unknown, func(t *testing.T) error {
		_, err := bank(t, 2, 2).Rest().On(bank(t, 2))
		return err
	}, `device "d1 at wall" is not in the net`},
	{"a position that the other net's device lacks", switchnet.Unknown, func(t *testing.T) error {
		s, err := bank(t, 3).Rest().With(ref("wall", "d0"), "3")
		if err != nil {
			t.Fatal(err)
		}
		_, err = s.On(bank(t, 2))
		return err
	}, `device "d0 at wall" has no position "3"`},
	{"paths of a load that is not there", switchnet.Unknown, func(t *testing.T) error {
		_, err := solve(t, bank(t, 2).Rest()).Paths(ref("yard", "flood"), nil)
		return err
	}, `load "flood at yard" is not in the net`},
}

func TestStateErrors(t *testing.T) {
	for _, row := range stateRows {
		err := row.do(t)
		var p *switchnet.Problem
		if !errors.As(err, &p) || p.Error() != row.want || p.Code != row.code {
			t.Errorf("%s: %v, want %v: %s", row.why, err, row.code, row.want)
		}
	}
}
