package conductor

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

func TestParseCableType(t *testing.T) {
	tests := []struct {
		text    string
		name    string // canonical
		colours string
		build   Construction
		rating  quantity.Temperature
		ground  Size
		why     string
	}{
		{"14/3", "14/3", "black white red bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(14), "the cable between two switches"},
		{"14/2 with ground", "14/2", "black white bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(14), "said in full"},
		{"14/4", "14/4", "black white red blue bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(14), "four conductors"},
		{"14/2/2", "14/2/2", "black white red white/red bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(14), "two circuits, told apart by a stripe"},
		{"12/2 MC", "12/2 metal-clad", "black white green", MetalClad, 90 * quantity.Celsius, AWG(12), "insulated green ground"},
		{"14/2 without ground, 60 C", "14/2 without ground 60 C", "black white", NonmetallicSheath, 60 * quantity.Celsius, Size{}, "as found in an old wall"},
		{"12/2 aluminium", "12/2 aluminum", "black white bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(12), "old aluminum cable"},
		{"8/3", "8/3", "black white red bare", NonmetallicSheath, 90 * quantity.Celsius, AWG(10), "ground by Table 250.122"},
		{"1.5 mm2 twin and earth", "1.5 mm2 twin and earth", "brown blue bare", FlatTwinAndEarth, 70 * quantity.Celsius, Metric(1_000_000), "earth a size smaller"},
		{"2.5 mm2 twin and earth, old colours", "2.5 mm2 twin and earth, old colours", "red black bare", FlatTwinAndEarth, 70 * quantity.Celsius, Metric(1_500_000), "before harmonisation"},
		{"1.0 mm2 three-core and earth", "1 mm2 three-core and earth", "brown black gray bare", FlatTwinAndEarth, 70 * quantity.Celsius, Metric(1_000_000), "strappers"},
		{"loose 14 AWG 90 C black white white/red green", "loose 14 AWG 90 C black white white/red green", "black white white/red green", Loose, 90 * quantity.Celsius, AWG(14), "conductors in a raceway"},
	}
	for _, tt := range tests {
		c, err := ParseCableType(tt.text)
		if err != nil {
			t.Errorf("%q: %v (%s)", tt.text, err, tt.why)
			continue
		}
		var colours []string
		for _, core := range c.Cores {
			colours = append(colours, core.Colour.String())
		}
		if got := strings.Join(colours, " "); got != tt.colours || c.Name != tt.name || c.Construction != tt.build || c.Rating != tt.rating || c.GroundingSize() != tt.ground {
			t.Errorf("%q = %+v (%s)", tt.text, c, tt.why)
		}
		if err := c.Check(); err != nil {
			t.Errorf("%q is unsound: %v", tt.text, err)
		}
		if back, err := ParseCableType(c.Name); err != nil || !back.equal(c) {
			t.Errorf("%q: its name reads as %+v, %v", tt.text, back, err)
		}
	}
}

func TestParseCableTypeRefuses(t *testing.T) {
	tests := []struct{ text, message, why string }{
		{"", "it is empty", "nothing"},
		{"14/5", "no cable", "not sold"},
		{"15/2", "no cable", "no such gauge"},
		{"14", "no cable", "how many conductors?"},
		{"14/3 shielded", `does not know "shielded"`, "unknown word"},
		{"14/3 x C", "temperature", "broken rating"},
		{"14/3 -5 C", "makes no sense", "a rating below freezing"},
		{"6 mm2 twin and earth", "1, 1.5, 2.5 and 4", "earth size unknown"},
		{"1.5 mm2 two-core", "neither twin", "unknown make-up"},
		{"loose 14 AWG black white", "insulation rating", "rating decides the column"},
		{"loose 14 AWG 90 C", "no conductors", "none named"},
		{"loose 14 AWG 90 C black black", "are both black", "cannot be told apart"},
		{"loose 14 AWG 90 C teal", "not a colour", "unknown colour"},
		{"loose 14 AWG 90 C MC black", "no sheath", "contradiction"},
		{"loose", "need a size", "no size"},
		{strings.Repeat("x ", 200), "longer than", "bounded"},
	}
	for _, tt := range tests {
		if c, err := ParseCableType(tt.text); err == nil || !strings.Contains(err.Error(), tt.message) {
			t.Errorf("%q = %+v, %v; want an error with %q (%s)", tt.text, c, err, tt.message, tt.why)
		}
	}
}

func TestCableCheckReportsEverything(t *testing.T) {
	err := CableType{Cores: []Core{{}, {Colour: Plain(Red)}, {Colour: Plain(Red), Size: AWG(14)}}}.Check()
	for _, want := range []string{"without a name", "unset construction", "unset material", "no conductor size", "temperature rating",
		"conductor 1: unset is not a colour", "conductor 2 (red): no size", "conductors 2 and 3 are both red"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in %v", want, err)
		}
	}
}

func TestColours(t *testing.T) {
	tests := []struct {
		text, canonical string
		want            Colour
		why             string
	}{
		{"bare", "bare", Plain(Bare), "no insulation"},
		{"grey", "gray", Plain(Gray), "either spelling"},
		{"white/red", "white/red", Colour{White, Red}, "short form"},
		{"white with red stripe", "white/red", Colour{White, Red}, "as said"},
		{"white with a red stripe", "white/red", Colour{White, Red}, "as said"},
		{"green/yellow", "green/yellow", Colour{Green, Yellow}, "protective conductor"},
	}
	for _, tt := range tests {
		got, err := ParseColour(tt.text)
		if err != nil || got != tt.want || got.String() != tt.canonical {
			t.Errorf("ParseColour(%q) = %v, %v (%s)", tt.text, got, err, tt.why)
		}
	}
	for _, bad := range []string{"", "teal", "white/", "/red", "white/white", "bare/red", "red/bare", "white/red/blue", "Red"} {
		if c, err := ParseColour(bad); err == nil {
			t.Errorf("ParseColour(%q) = %v", bad, c)
		}
	}
	if _, err := (Colour{}).MarshalText(); err == nil {
		t.Error("the zero colour has a text")
	}
}

func TestCableParts(t *testing.T) {
	cable, err := ParseCableType("14/2/2")
	if err != nil {
		t.Fatal(err)
	}
	if n := cable.Circuit(); n != 4 {
		t.Errorf("%d circuit conductors, want 4: the ground is none", n)
	}
	if core, ok := cable.Core(Colour{White, Red}); !ok || !core.Insulated() || core.Grounding {
		t.Errorf("white/red is %+v, %v", core, ok)
	}
	if core, ok := cable.Core(Plain(Bare)); !ok || core.Insulated() || !core.Grounding {
		t.Errorf("bare is %+v, %v", core, ok)
	}
	if core, ok := cable.Core(Plain(Blue)); ok {
		t.Errorf("there is a blue one: %+v", core)
	}
	mixed := LooseConductors(Aluminum, AWG(10), 75*quantity.Celsius, Plain(Black), Plain(Green))
	if mixed.Name != "loose 10 AWG aluminum 75 C black green" || mixed.GroundingSize() != AWG(10) || mixed.Check() != nil {
		t.Errorf("loose: %+v", mixed)
	}
}
