package trace

import "example.com/switchleg/internal/enum"

// A Glow is what a light is seen to do. The zero Glow is unset.
type Glow uint8

// What a light does.
const (
	Dark    Glow = iota + 1
	Lit          // as it should be
	Dim          // neither dark nor as it should be
	Half         // about half as bright: a sort of Dim
	Flicker      // or strobes: a sort of Dim
	Bright       // far too bright: two lines where one should be
)

var glowWords = [...]string{"", "dark", "lit", "dim", "half", "flicker", "bright"}

// String returns the word.
func (g Glow) String() string { return enum.Word(glowWords[:], g, "Glow") }

// MarshalText writes the word; an unset value is an error.
func (g Glow) MarshalText() ([]byte, error) { return enum.Marshal("trace", glowWords[:], g, "glow") }

// UnmarshalText reads the word.
func (g *Glow) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", glowWords[:], text, "glow", g)
}

// A Path is what an ohmmeter finds between two points of a dead circuit. The zero Path
// is unset.
type Path uint8

// What an ohmmeter finds.
const (
	Open    Path = iota + 1 // nothing
	Through                 // a resistance: a load is in the way
	Joined                  // metal: a few ohms at most
)

var pathWords = [...]string{"", "open", "through a load", "joined"}

// String returns the words.
func (p Path) String() string { return enum.Word(pathWords[:], p, "Path") }

// MarshalText writes the words; an unset value is an error.
func (p Path) MarshalText() ([]byte, error) { return enum.Marshal("trace", pathWords[:], p, "path") }

// UnmarshalText reads the words.
func (p *Path) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", pathWords[:], text, "path", p)
}

// A Volts is what a reading between two points of a live circuit comes to. The zero
// Volts is unset.
type Volts uint8

// What a reading comes to.
const (
	Hot       Volts = iota + 1 // the volts of the circuit, or more
	Dead                       // none, under a load
	Ambiguous                  // neither: it counts for what it is, which is little
)

var voltsWords = [...]string{"", "hot", "dead", "ambiguous"}

// String returns the word.
func (v Volts) String() string { return enum.Word(voltsWords[:], v, "Volts") }

// MarshalText writes the word; an unset value is an error.
func (v Volts) MarshalText() ([]byte, error) {
	return enum.Marshal("trace", voltsWords[:], v, "reading")
}

// UnmarshalText reads the word.
func (v *Volts) UnmarshalText(text []byte) error {
	return enum.Unmarshal("trace", voltsWords[:], text, "reading", v)
}
