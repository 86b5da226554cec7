package wiring

import (
	"testing"

	"example.com/switchleg/switchnet"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func terminal(device, name string) Joint { return Joint{Device: device, Terminal: name} }

// TestTerminalEdits edits a box in which a feed's hot is spliced to a pigtail and one
// traveler is landed.
func TestTerminalEdits(t *testing.T) {
	base := Spec{
		Splices: []Splice{
			{"A", []Joint{WireJoint("C1", "black"), terminal("hall", "common")}},
			{"A", []Joint{WireJoint("C1", "white"), WireJoint("C2", "white")}},
			{"B", []Joint{WireJoint("C2", "black"), terminal("hall", "common")}},
		},
		Landings: []Landing{
			{"A", "hall", "traveler 1", Wire{"C2", "black"}, false},
			{"A", "hall", "traveler 2", Wire{"C2", "red"}, false},
		},
		Caps: []Cap{{"A", Wire{"C3", "red"}}},
	}
	for _, c := range []struct {
		name, why string
		edit      Edit
		want      func(*Spec)
		refused   bool
	}{
		{"pigtail and landing", "the splice gets the other screw, the wire the first; box B is another box",
			SwapTerminals{"A", terminal("hall", "common"), terminal("hall", "traveler 1")}, func(s *Spec) {
				s.Splices[0].Join[1].Terminal = "traveler 1"
				s.Landings[0].Terminal = "common"
			}, false},
		{"empty screw", "what is on the used one moves", SwapTerminals{"A", terminal("hall", "traveler 1"), terminal("fan", "line")},
			func(s *Spec) { s.Landings[0].Device, s.Landings[0].Terminal = "fan", "line" }, false},
		{"both empty", "nothing is to be done", SwapTerminals{"A", terminal("fan", "load"), terminal("fan", "line")}, nil, true},
		{"one terminal", "an exchange needs two", SwapTerminals{"A", terminal("hall", "common"), terminal("hall", "common")}, nil, true},
		{"a wire", "wires are exchanged by another edit", SwapTerminals{"A", WireJoint("C1", "black"), terminal("hall", "common")}, nil, true},
		{"pigtail moved", "it leaves the common free", MovePigtail{"A", terminal("hall", "common"), terminal("hall", "traveler 1")},
			func(s *Spec) { s.Splices[0].Join[1].Terminal = "traveler 1" }, false},
		{"pigtail of nothing", "nothing is on it", MovePigtail{"A", terminal("fan", "line"), terminal("hall", "common")}, nil, true},
		{"pigtail to itself", "a move needs two", MovePigtail{"A", terminal("hall", "common"), terminal("hall", "common")}, nil, true},
		{"pigtail to a wire", "a pigtail ends on a screw", MovePigtail{"A", terminal("hall", "common"), WireJoint("C1", "black")}, nil, true},
		{"cleared landing", "the wire hangs", ClearTerminal{switchnet.Ref{Place: "A", Name: "hall"}, "traveler 2"},
			func(s *Spec) { s.Landings = s.Landings[:1] }, false},
		{"cleared pigtail", "the splice loses it", ClearTerminal{switchnet.Ref{Place: "A", Name: "hall"}, "common"},
			func(s *Spec) { s.Splices[0].Join = s.Splices[0].Join[:1] }, false},
		{"cleared nothing", "nothing is on it", ClearTerminal{switchnet.Ref{Place: "A", Name: "fan"}, "line"}, nil, true},
		{"spliced and landed", "the neutral goes on the screw and the traveler in the splice", SwapWires{"A", Wire{"C2", "white"}, Wire{"C2", "red"}},
			func(s *Spec) {
				s.Splices[1].Join[1].Wire.Conductor = "red"
				s.Landings[1].Wire.Conductor = "white"
			}, false},
		{"capped and landed", "a cap is a place like another", SwapWires{"A", Wire{"C3", "red"}, Wire{"C2", "red"}},
			func(s *Spec) {
				s.Caps[0].Wire.Cable = "C2"
				s.Landings[1].Wire.Cable = "C3"
			}, false},
		{"hanging and landed", "the one is left hanging", SwapWires{"A", Wire{"C4", "red"}, Wire{"C2", "red"}},
			func(s *Spec) { s.Landings[1].Wire.Cable = "C4" }, false},
		{"both hanging", "nothing is to be done", SwapWires{"A", Wire{"C4", "red"}, Wire{"C4", "black"}}, nil, true},
		{"one wire", "an exchange needs two", SwapWires{"A", Wire{"C2", "red"}, Wire{"C2", "red"}}, nil, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, want := base.Clone(), base.Clone()
			err := c.edit.apply(&got)
			if c.refused {
				if err == nil {
					t.Fatalf("was made: %s", c.why)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			c.want(&want)
			if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("%s: %s (-want +got)\n%s", c.edit, c.why, diff)
			}
		})
	}
}
