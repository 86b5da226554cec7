package boxfill

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Contents is what one space holds: a whole box, or one side of a barrier (see
// [Share]). The zero Contents is an empty box of unknown volume. Entries of
// count zero are allowed and ignored; entries of the same kind may be split or
// joined freely, and order does not matter to any volume.
type Contents struct {
	Box        Box
	Conductors []Conductors
	Grounds    []Grounds
	Clamps     Clamps
	Fittings   []Fittings
	Devices    []Device
	Blocks     []TerminalBlock
	Connectors []Connectors
	// Canopy says that the luminaire on this box has a dome or canopy its wires
	// come out of.
	Canopy bool
}

// Conductors are insulated conductors of one size and role. A conductor that
// passes unbroken counts once, not for each end; a spare under a cap is Spliced.
type Conductors struct {
	Size  conductor.Size
	Count int
	Role  Role
	// Loop is the free length left in the box of each conductor PassingThrough,
	// coil or loop included; zero where none is left. For other roles it is zero.
	Loop quantity.Length
}

// Grounds are equipment grounding (bonding) conductors of one size and kind
// that enter the box. Pigtails to a device or to the box are not counted.
type Grounds struct {
	Size  conductor.Size
	Count int
	Kind  GroundKind
}

// Clamps are cable clamps by where the clamp is.
type Clamps struct {
	Internal int
	External int
}

// Fittings are support fittings of one kind, named as in the table: "stud",
// "hickey".
type Fittings struct {
	Kind  string
	Count int
}

// A Device is a device or piece of equipment on one yoke or strap.
type Device struct {
	Name    string         // for the result's lines; may be empty
	Largest conductor.Size // largest conductor landed on it, pigtails included
	Gangs   int            // gangs it needs for mounting; zero means one
	// Width is the width of the device behind the face where it is known; zero
	// where it is not. One wider than the region's limit must give its Gangs.
	Width quantity.Length
	Depth quantity.Length // from the strap to its back; zero where not known
}

// A TerminalBlock is one terminal block assembly.
type TerminalBlock struct {
	Largest conductor.Size // largest conductor terminated on it
}

// Connectors are wire connectors with insulating caps.
type Connectors struct {
	Largest conductor.Size // largest conductor under them
	Count   int
}

// A Box is where the contents are. The zero Box has an unknown volume.
type Box struct {
	// Sections are the boxes of a sectional (ganged) box; a plain box is one
	// section. None at all means that the box is not known.
	Sections  []Section
	Additions []Addition
	Barriers  []Barrier
	Share     Share // the share of this space, where barriers split the box
	// Gangs is how many device gangs the box takes. Zero leaves it to the box
	// types; where those say nothing either, gangs are not checked.
	Gangs int
}

// A Section is one box, or Count alike ganged together. With neither type nor
// marking it is a box of unknown volume.
type Section struct {
	Type   string          `json:"type,omitempty"`  // a BoxType of the table by name; may be empty
	Marked quantity.Volume `json:"marked,omitzero"` // volume marked on each, which overrides the type's; zero if none
	Count  int             `json:"count,omitzero"`  // zero means one; of a type measured by the gang, the gangs
}

// An Addition is a ring or cover on the box. Without a marked volume or, for an
// extension ring, a type, it adds nothing.
type Addition struct {
	Kind   AdditionKind
	Marked quantity.Volume // volume marked on it; zero if none
	Type   string          // box type an extension ring is made from; may be empty
}

// A Barrier is a securely installed barrier in the box.
type Barrier struct {
	Kind   BarrierKind
	Marked quantity.Volume // volume marked on it; zero if none
}

// A Share is the part of a box on one side of its barriers: Parts of Whole of
// what the barriers leave, as in one of two gangs. The zero Share is the whole
// box and is refused where there is a barrier. A share that is no whole number
// of picoliters is rounded down.
type Share struct {
	Parts, Whole int
}

// MarkedBox returns a plain box marked with a volume.
func MarkedBox(volume quantity.Volume) Box {
	return Box{Sections: []Section{{Marked: volume}}}
}

// BoxOfType returns a plain box of a type in the table.
func BoxOfType(name string) Box {
	return Box{Sections: []Section{{Type: name}}}
}
