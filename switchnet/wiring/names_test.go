package wiring_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

func TestNear(t *testing.T) {
	var many []string
	for i := range 500 {
		many = append(many, fmt.Sprintf("%03d stall", i))
	}
	many = append(many, "slip-door", "store-door", "yard-door", "loft")
	tests := []struct {
		why   string
		known []string
		name  string
		has   []string
		n     int
		more  int
	}{
		{"none are known", nil, "loft", nil, 0, 0},
		{"few are all proposed, in name order and each once", []string{"ridge", "loft", "", "loft", "panel"}, "lofft", []string{"loft", "panel", "ridge"}, 3, 0},
		{"of many, what begins alike", many, "slip-dore", []string{"slip-door"}, 20, 484},
		{"of many, what ends alike", many, "lip-door", []string{"slip-door", "store-door", "yard-door"}, 15, 489}, // five begin and end nearest
		{"before all", many, "", []string{"000 stall"}, 19, 485},
		{"after all", many, "~", []string{"yard-door"}, 15, 489},
	}
	for _, test := range tests {
		got, more := wiring.NewNames(slices.Values(test.known)).Near(test.name)
		if len(got) != test.n || more != test.more || !slices.IsSorted(got) {
			t.Errorf("%s: %d and %d more, want %d and %d more: %q", test.why, len(got), more, test.n, test.more, got)
		}
		for _, h := range test.has {
			if !slices.Contains(got, h) {
				t.Errorf("%s: %q is not among %q", test.why, h, got)
			}
		}
	}
}

// Whatever is proposed is known, sorted, and as much as is promised.
func TestNearLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SliceOfN(rapid.StringMatching("[ab]{0,6}"), 0, 80).Draw(t, "known")
		name := rapid.StringMatching("[abc]{0,6}").Draw(t, "name")
		got, more := wiring.NewNames(slices.Values(known)).Near(name)
		distinct := slices.Compact(slices.Sorted(slices.Values(known)))
		distinct = slices.DeleteFunc(distinct, func(s string) bool { return s == "" })
		if len(got)+more != len(distinct) || len(got) > wiring.MaxCandidates || len(got) < min(len(distinct), wiring.MaxCandidates/2) {
			t.Fatalf("%d and %d more of %d", len(got), more, len(distinct))
		}
		if !slices.IsSorted(got) || len(slices.Compact(slices.Clone(got))) != len(got) {
			t.Fatalf("not sorted, or not each once: %q", got)
		}
		for _, g := range got {
			if !slices.Contains(distinct, g) {
				t.Fatalf("%q is not known", g)
			}
		}
	})
}

// A job in which everything is wrong is refused with little to read for each
// mistake, in time linear in its size: at this size anything quadratic would not
// end.
func TestEverythingWrong(t *testing.T) {
	const n = 10_000
	s := wiring.Spec{Supply: switchnet.SplitPhase()}
	typ := cableType(t, "14/3")
	odd := switchnet.ThreeWay()
	odd.Terminals = append(odd.Terminals, "")
	big := wiring.Splice{Box: "b00000"}
	for i := range n {
		name := fmt.Sprintf("%05d", i)
		bad := wiring.Wire{Cable: "x" + name, Conductor: "red"}
		s.Boxes = append(s.Boxes, wiring.Box{Name: "b" + name, Kind: wiring.DeviceBox})
		s.Cables = append(s.Cables, wiring.Cable{Name: "c" + name, Type: typ, From: "b" + name, To: "y" + name})
		s.Devices = append(s.Devices, wiring.Device{Name: "d" + name, Box: "b00000", Kind: odd})
		s.Lights = append(s.Lights, wiring.Light{Name: "l" + name, Box: "b00001", On: "z" + name})
		s.Landings = append(s.Landings, wiring.Landing{Box: "b00001", Device: "d" + name, Terminal: "line", Wire: bad})
		s.Caps = append(s.Caps, wiring.Cap{Box: "z" + name, Wire: bad})
		s.Ties = append(s.Ties, wiring.Tie{Box: "b00000", A: wiring.Joint{Device: "e" + name, Terminal: "line"}, B: wiring.Joint{Wire: bad}})
		big.Join = append(big.Join, wiring.Joint{Wire: bad}, wiring.Joint{Device: "d" + name, Terminal: "no"})
	}
	s.Splices = append(s.Splices, big)
	_, err := wiring.New(s)
	var ps wiring.Problems
	if !errors.As(err, &ps) {
		t.Fatal(err)
	}
	if len(ps) < 7*n {
		t.Errorf("%d problems of %d mistakes", len(ps), 7*n)
	}
	for _, p := range ps {
		if len(p.Candidates) > wiring.MaxCandidates || len(p.Error()) > 1000 {
			t.Fatalf("%d candidates: %v", len(p.Candidates), p)
		}
	}
	if n := len(err.Error()); n > len(ps)*1000 {
		t.Errorf("%d bytes to read", n)
	}
}

// A kind may be as large as it likes and be used by every device: it is checked and
// copied once.
func TestSharedKind(t *testing.T) {
	big := switchnet.Kind{Name: "bank"}
	for i := range switchnet.MaxTerminals {
		big.Terminals = append(big.Terminals, fmt.Sprintf("terminal %d", i))
	}
	for i := range switchnet.MaxPositions {
		p := switchnet.Position{Name: fmt.Sprint(i)}
		for k := 0; k+1 < len(big.Terminals); k += 2 {
			p.Joins = append(p.Joins, big.Terminals[k:k+2])
		}
		big.Positions = append(big.Positions, p)
	}
	s := wiring.Spec{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "store", Kind: wiring.DeviceBox}}}
	for i := range 5_000 {
		s.Devices = append(s.Devices, wiring.Device{Name: fmt.Sprint(i), Box: "store", Kind: big})
	}
	w := build(t, s)
	if n := len(w.Spec().Devices); n != 5_000 {
		t.Errorf("%d devices", n)
	}
	if f := len(slices.Collect(w.Net().Terminals())); f < 5_000*65 {
		t.Errorf("%d terminals", f)
	}
}

// Words are what enums travel as, there and back; those that have none say so.
func TestWords(t *testing.T) {
	tests := []struct {
		why  string
		of   func(n uint8) word
		want []string
		zero string
		read func(text string) (word, error)
	}{
		{"boxes as the job file names them", func(n uint8) word { return wiring.BoxKind(n) }, []string{"device", "ceiling", "junction", "panel"}, "BoxKind(0)", read[wiring.BoxKind]},
		{"clamps as the job file names them", func(n uint8) word { return wiring.ClampKind(n) }, []string{"internal", "external", "none"}, "ClampKind(0)", read[wiring.ClampKind]},
		{"sides of a box as one faces it", func(n uint8) word { return wiring.Side(n) }, []string{"left", "right"}, "Side(0)", read[wiring.Side]},
		{"sides of a door by what is on them", func(n uint8) word { return wiring.DoorSide(n) }, []string{"hinge side", "latch side"}, "DoorSide(0)", read[wiring.DoorSide]},
		{"swings seen from the box", func(n uint8) word { return wiring.DoorSwing(n) }, []string{"toward", "away"}, "DoorSwing(0)", read[wiring.DoorSwing]},
		{"what an end is used for", func(n uint8) word { return wiring.EndUse(n) }, []string{"landed", "spliced", "capped", "hanging"}, "EndUse(0)", read[wiring.EndUse]},
		{"functions, new ones at the end", func(n uint8) word { return wiring.FunctionKind(n) },
			[]string{"hot", "neutral", "ground", "switch leg", "switched return", "traveler", "spare", "loose", "crossed", "series", "unknown"}, "FunctionKind(0)", read[wiring.FunctionKind]},
	}
	for _, test := range tests {
		for i, want := range test.want {
			w := test.of(uint8(i + 1))
			text, err := w.MarshalText()
			if w.String() != want || string(text) != want || err != nil {
				t.Errorf("%s: %d is %q, %q, %v and not %q", test.why, i+1, w, text, err, want)
			}
			if back, err := test.read(want); err != nil || back != w {
				t.Errorf("%s: %q is read as %v, %v", test.why, want, back, err)
			}
		}
		for _, n := range []uint8{0, uint8(len(test.want) + 1), 255} {
			if text, err := test.of(n).MarshalText(); err == nil {
				t.Errorf("%s: %d is written %q", test.why, n, text)
			}
		}
		if got := test.of(0).String(); got != test.zero {
			t.Errorf("%s: the zero is %q, want %q", test.why, got, test.zero)
		}
		for _, wrong := range []string{"", "Hot", " panel", test.zero} {
			if v, err := test.read(wrong); err == nil || v != test.of(0) {
				t.Errorf("%s: %q is read as %v, %v", test.why, wrong, v, err)
			}
		}
	}
}

type word interface {
	fmt.Stringer
	MarshalText() ([]byte, error)
}

// read reads a word into a zero value.
func read[E word, P interface {
	*E
	UnmarshalText([]byte) error
}](text string) (word, error) {
	var v E
	err := P(&v).UnmarshalText([]byte(text))
	return v, err
}

func TestRefString(t *testing.T) {
	tests := []struct {
		why  string
		ref  wiring.Ref
		want string
	}{
		{"a field of an entry", wiring.Ref{List: "landings", Index: 3, Field: "wire"}, "landings[3].wire"},
		{"an entry", wiring.Ref{List: "ties", Index: 0}, "ties[0]"},
		{"no list", wiring.Ref{List: "supply"}, "supply"},
		{"no list either", wiring.Ref{List: "installed"}, "installed"},
	}
	for _, test := range tests {
		if got := test.ref.String(); got != test.want {
			t.Errorf("%s: %q, want %q", test.why, got, test.want)
		}
	}
	if got := wiring.UnknownPlace("C4"); got != "unknown end of C4" {
		t.Errorf("an unknown place is %q", got)
	}
}
