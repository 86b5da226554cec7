package switchnet_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
)

// Terminals of the chain that chain builds: the hot common of the first switch A,
// the leg common of the last switch B, travelers between.
var (
	commonA = term("p000000", "aisle", "common")
	throwA1 = term("p000000", "aisle", "traveler 1")
	throwA2 = term("p000000", "aisle", "traveler 2")
	hotLeg  = lamp.Terminal("hot")
)

func place(i int) string { return fmt.Sprintf("p%06d", i) }

func endB(n int, name string) switchnet.Terminal { return term(place(n-1), "aisle", name) }

// entry returns the terminal on which a traveler into place i lands, first (0) or
// second (1).
func entry(i, n, which int) switchnet.Terminal {
	if i == n-1 {
		return endB(n, []string{"traveler 1", "traveler 2"}[which])
	}
	return term(place(i), "aisle", []string{"pair 1 first", "pair 1 second"}[which])
}

// reland returns the builder of a net in which what is landed on one terminal of
// each pair is landed on the other.
func reland(net *switchnet.Net, pairs ...[2]switchnet.Terminal) *switchnet.Builder {
	b := net.Builder()
	moved := func(t switchnet.Terminal) switchnet.Terminal {
		for _, p := range pairs {
			switch t {
			case p[0]:
				return p[1]
			case p[1]:
				return p[0]
			}
		}
		return t
	}
	for c := range net.Conductors() {
		b.RemoveConductor(c.Name)
		b.Conductor(c.Name, moved(c.From), moved(c.To))
	}
	return b
}

// exchangeDevice puts a device of another kind in the place of one. Names of the
// new kind's terminals must be those of the old.
func exchangeDevice(b *switchnet.Builder, place string, k switchnet.Kind) *switchnet.Builder {
	b.RemoveDevice(place, "aisle")
	b.Device(place, "aisle", k)
	return b
}

// fourWay returns a four-way with other joins for its second position.
func fourWay(name string, down ...[]string) switchnet.Kind {
	k := switchnet.FourWay()
	k.Name, k.Positions[1].Joins = name, down
	return k
}

// signature is what a net does over all states of its switches.
type signature struct {
	lit, dim, trips int
	masters         string // the switches with a position in which nothing the others do matters
}

func (s signature) String() string {
	return fmt.Sprintf("lit %d, dim %d, trips %d, masters %q", s.lit, s.dim, s.trips, s.masters)
}

// signatureOf visits every state. Switches are called A, B, C and so on in name
// order.
func signatureOf(tb testing.TB, net *switchnet.Net, load switchnet.Ref) signature {
	tb.Helper()
	states, _, err := net.States(nil)
	if err != nil {
		tb.Fatal(err)
	}
	var sig signature
	var devices []switchnet.Ref
	for d := range net.Devices() {
		if !d.Kind.Breaker && len(d.Kind.Positions) > 1 {
			devices = append(devices, d.Ref)
		}
	}
	// What the load did in each position of each switch.
	did := map[switchnet.Ref]map[string]map[switchnet.LoadStatus]bool{}
	all := map[switchnet.LoadStatus]bool{}
	solver := net.NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			tb.Fatal(err)
		}
		sup, _ := v.Supply(load)
		switch sup.Status {
		case switchnet.Lit:
			sig.lit++
		case switchnet.Dim:
			sig.dim++
		}
		if v.Shorted() {
			sig.trips++
		}
		all[sup.Status] = true
		for _, d := range devices {
			p, _ := s.Position(d)
			if did[d] == nil {
				did[d] = map[string]map[switchnet.LoadStatus]bool{}
			}
			if did[d][p] == nil {
				did[d][p] = map[switchnet.LoadStatus]bool{}
			}
			did[d][p][sup.Status] = true
		}
	}
	for i, d := range devices {
		for _, statuses := range did[d] {
			if len(statuses) == 1 && len(all) > 1 {
				sig.masters += string(rune('A' + i))
				break
			}
		}
	}
	return sig
}

// TestSignatures counts, for each mistake in a chain of 2, 3 and 4 places, in how
// many of the 2^n states the lamp burns and a breaker trips, and which switch is
// master. These are the tables by which a fault is told from its symptoms.
func TestSignatures(t *testing.T) {
	tie := func(from, to switchnet.Terminal) func(*switchnet.Net, int) *switchnet.Builder {
		return func(net *switchnet.Net, n int) *switchnet.Builder {
			b := net.Builder()
			b.Conductor("tie", from, to)
			return b
		}
	}
	pair1, pair2 := "pair 1 first", "pair 2 first"
	tests := []struct {
		name, why string
		do        func(net *switchnet.Net, n int) *switchnet.Builder
		want      map[int]string // by places: lit/trips, then the masters
	}{
		{"right", "every flip toggles: half of all states, and nobody is master",
			func(net *switchnet.Net, n int) *switchnet.Builder { return net.Builder() },
			map[int]string{2: "2/0 ", 3: "4/0 ", 4: "8/0 "}},
		{"travelers exchanged in the last section", "harmless: which of the two is which does not matter",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{entry(n-1, n, 0), entry(n-1, n, 1)})
			}, map[int]string{2: "2/0 ", 3: "4/0 ", 4: "8/0 "}},
		{"common and traveler exchanged at A", "in one position of A the hot goes nowhere",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{commonA, throwA1})
			}, map[int]string{2: "1/0 AB", 3: "2/0 A", 4: "4/0 A"}},
		{"common and traveler exchanged at B", "at two places the table is that of A: nobody can tell",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{endB(n, "common"), endB(n, "traveler 1")})
			}, map[int]string{2: "1/0 AB", 3: "2/0 C", 4: "4/0 D"}},
		{"dead throw at A", "one traveler is never fed",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				k := switchnet.ThreeWay()
				k.Name, k.Positions[1].Joins = "three-way, dead throw", nil
				return exchangeDevice(net.Builder(), place(0), k)
			}, map[int]string{2: "1/0 AB", 3: "2/0 A", 4: "4/0 A"}},
		{"dead throw at B", "one traveler is never heard",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				k := switchnet.ThreeWay()
				k.Name, k.Positions[1].Joins = "three-way, dead throw", nil
				return exchangeDevice(net.Builder(), place(n-1), k)
			}, map[int]string{2: "1/0 AB", 3: "2/0 C", 4: "4/0 D"}},
		{"single-pole at B", "it hears one traveler or none",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				k := switchnet.SinglePole()
				k.Name, k.Terminals = "single-pole for a three-way", []string{"common", "traveler 1", "traveler 2"}
				k.Positions[1].Joins = [][]string{{"common", "traveler 1"}}
				return exchangeDevice(net.Builder(), place(n-1), k)
			}, map[int]string{2: "1/0 AB", 3: "2/0 C", 4: "4/0 D"}},
		{"traveler open next to A", "as the dead throw",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				b := net.Builder()
				b.RemoveConductor(place(1) + " first")
				return b
			}, map[int]string{2: "1/0 AB", 3: "2/0 A", 4: "4/0 A"}},
		{"traveler open next to B", "as the dead throw at B",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				b := net.Builder()
				b.RemoveConductor(place(n-1) + " second")
				return b
			}, map[int]string{2: "1/0 AB", 3: "2/0 C", 4: "4/0 D"}},
		{"single-pole at A", "it feeds one traveler or none",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				k := switchnet.SinglePole()
				k.Name, k.Terminals = "single-pole for a three-way", []string{"common", "traveler 1", "traveler 2"}
				k.Positions[1].Joins = [][]string{{"common", "traveler 1"}}
				return exchangeDevice(net.Builder(), place(0), k)
			}, map[int]string{2: "1/0 AB", 3: "2/0 A", 4: "4/0 A"}},
		{"both travelers on one screw of a single-pole at A", "only A counts",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				k := switchnet.SinglePole()
				k.Name, k.Terminals = "single-pole, two on a screw", []string{"common", "traveler 1", "traveler 2"}
				k.Positions[0].Joins = [][]string{{"traveler 1", "traveler 2"}}
				k.Positions[1].Joins = [][]string{{"common", "traveler 1", "traveler 2"}}
				return exchangeDevice(net.Builder(), place(0), k)
			}, map[int]string{2: "2/0 A", 3: "4/0 A", 4: "8/0 A"}},
		{"pairs mixed at a four-way", "in one position it joins a section to itself",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{term(place(1), "aisle", "pair 1 second"), term(place(1), "aisle", "pair 2 first")})
			}, map[int]string{3: "2/0 B", 4: "4/0 B"}},
		{"pairs mixed at both four-ways", "each is a master, and the light wants both in one position",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{term(place(1), "aisle", "pair 1 second"), term(place(1), "aisle", "pair 2 first")},
					[2]switchnet.Terminal{term(place(2), "aisle", "pair 1 second"), term(place(2), "aisle", "pair 2 first")})
			}, map[int]string{4: "2/0 BC"}},
		{"common and traveler exchanged at A, pairs mixed at the next", "fewer still",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{commonA, throwA1}, [2]switchnet.Terminal{term(place(1), "aisle", "pair 1 second"), term(place(1), "aisle", "pair 2 first")})
			}, map[int]string{3: "1/0 ABC", 4: "2/0 AB"}},
		{"traveler open in the middle section", "both halves must fit: nobody is master",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				b := net.Builder()
				b.RemoveConductor(place(2) + " first")
				return b
			}, map[int]string{4: "4/0 "}},
		{"welded throw at A", "in one position of A both travelers are hot",
			tie(commonA, throwA1), map[int]string{2: "3/0 AB", 3: "6/0 A", 4: "12/0 A"}},
		{"welded throw at B", "in one position of B the leg hears both travelers",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return tie(endB(n, "common"), endB(n, "traveler 2"))(net, n)
			}, map[int]string{2: "3/0 AB", 3: "6/0 C", 4: "12/0 D"}},
		{"welded contact of a four-way", "in one position it ties all four",
			tie(term(place(1), "aisle", pair1), term(place(1), "aisle", pair2)), map[int]string{3: "6/0 B", 4: "12/0 B"}},
		{"contact of a four-way dead in one position", "one of the two ways through is gone in it",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return exchangeDevice(net.Builder(), place(1), fourWay("four-way, dead contact", []string{pair1, "pair 2 second"}))
			}, map[int]string{3: "3/0 ", 4: "6/0 "}},
		{"four-way stuck straight", "it never acts, and the others still toggle",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return exchangeDevice(net.Builder(), place(1), fourWay("four-way, stuck", []string{pair1, pair2}, []string{"pair 1 second", "pair 2 second"}))
			}, map[int]string{3: "4/0 ", 4: "8/0 "}},
		{"exchanged at both ends, on one traveler", "the ways that are left exclude each other, or one is left",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{commonA, throwA1}, [2]switchnet.Terminal{endB(n, "common"), endB(n, "traveler 1")})
			}, map[int]string{2: "1/0 AB", 3: "1/0 ABC", 4: "2/0 AD"}},
		{"exchanged at both ends, on different travelers", "at two places nothing is left",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				return reland(net, [2]switchnet.Terminal{commonA, throwA1}, [2]switchnet.Terminal{endB(n, "common"), endB(n, "traveler 2")})
			}, map[int]string{2: "0/0 ", 3: "1/0 ABC", 4: "2/0 AD"}},
		{"hot tied to a traveler next to A", "in one position of A both travelers are hot",
			tie(term("panel", "breaker", "load"), throwA2), map[int]string{2: "3/0 AB", 3: "6/0 A", 4: "12/0 A"}},
		{"leg tied to a traveler next to B", "in one position of B the leg hears both travelers",
			func(net *switchnet.Net, n int) *switchnet.Builder { return tie(hotLeg, entry(n-1, n, 0))(net, n) },
			map[int]string{2: "3/0 AB", 3: "6/0 C", 4: "12/0 D"}},
		{"hot tied to a traveler in the middle section", "nobody is master",
			tie(term("panel", "breaker", "load"), term(place(2), "aisle", "pair 1 first")), map[int]string{4: "12/0 "}},
		{"hot tied to the leg", "always on", tie(term("panel", "breaker", "load"), hotLeg), map[int]string{2: "4/0 ", 3: "8/0 ", 4: "16/0 "}},
		{"travelers of a section tied together", "always on",
			tie(throwA1, throwA2), map[int]string{2: "4/0 ", 3: "8/0 ", 4: "16/0 "}},
		{"chain in the neutral", "the light obeys every switch: nothing that it does betrays it",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				hot, neutral := term("panel", "breaker", "load"), lamp.Terminal("neutral")
				b := net.Builder()
				for c := range net.Conductors() {
					moved := func(t switchnet.Terminal) switchnet.Terminal {
						switch t {
						case hot:
							return service().Rail(switchnet.Neutral)
						case hotLeg:
							return neutral
						}
						return t
					}
					switch {
					case c.From == neutral || c.To == neutral:
						b.RemoveConductor(c.Name)
					case c.From.Place == "panel" && c.To.Place == "panel": // the breaker on its rail
					default:
						b.RemoveConductor(c.Name)
						b.Conductor(c.Name, moved(c.From), moved(c.To))
					}
				}
				b.Conductor("hot to the lamp", hot, hotLeg)
				return b
			}, map[int]string{2: "2/0 ", 3: "4/0 ", 4: "8/0 "}},
		{"neutral tied to a traveler", "when that traveler is driven the breaker trips; which switch clears it gives the section",
			tie(lamp.Terminal("neutral"), throwA1), map[int]string{2: "1/2", 3: "2/4", 4: "4/8"}},
		{"far common on the neutral", "it trips where it should light",
			func(net *switchnet.Net, n int) *switchnet.Builder {
				b := net.Builder()
				b.RemoveConductor("leg")
				b.Conductor("leg", endB(n, "common"), lamp.Terminal("neutral"))
				return b
			}, map[int]string{2: "0/2", 3: "0/4", 4: "0/8"}},
	}
	for _, test := range tests {
		for places := 2; places <= 4; places++ {
			want, ok := test.want[places]
			if !ok {
				continue
			}
			net, err := test.do(chain(t, places), places).Build()
			if err != nil {
				t.Fatalf("%s: %v", test.name, err)
			}
			sig := signatureOf(t, net, lamp)
			got := fmt.Sprintf("%d/%d %s", sig.lit, sig.trips, sig.masters)
			if !strings.Contains(want, " ") { // which state is Faulted says nothing of masters
				got, _, _ = strings.Cut(got, " ")
			}
			if got != want || sig.dim > 0 {
				t.Errorf("%d places, %s: %s, want %s (%s)", places, test.name, got, want, test.why)
			}
		}
	}
	names := map[string]bool{}
	for _, test := range tests {
		if names[test.name] {
			t.Errorf("two rows are called %q", test.name)
		}
		names[test.name] = true
	}
}
