package wiring

import (
	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// A Spec is a job as plain data. The order of each list is the order in which it
// was written down; documents keep it, and no answer depends on it.
type Spec struct {
	// Supply is the system of the service.
	Supply switchnet.System
	// Installed is the year of an existing installation, 1880 or later, 0 if it is
	// new or not known. A cable may have its own.
	Installed int

	Feeds    []Feed
	Boxes    []Box
	Lights   []Light
	Devices  []Device
	Cables   []Cable
	Splices  []Splice
	Landings []Landing
	Caps     []Cap
	Marks    []Mark
	Tags     []Tag
	// Opens lists wires that are broken somewhere along their run.
	Opens []Wire
	// Ties lists what touches although nobody meant to join it.
	Ties []Tie
}

// A Feed is the beginning of a circuit: a breaker in a box, and the neutral and
// grounding terminals that go with it. Its terminals are "hot" (or "hot 1" and
// "hot 2" with two poles), "neutral" and "ground".
type Feed struct {
	Name string
	Box  string
	// Lines are the lines its poles stand on, one for each pole; empty means
	// line A, or lines A and B if Poles is 2.
	Lines []switchnet.Rail
	// Poles is 1, 2 or 3; 0 means as many as Lines has, or 1.
	Poles int
	// Breaker is the rating of its overcurrent device.
	Breaker quantity.Current
	// Volts is the nominal voltage of the circuit; 0 means what the supply
	// gives between its first pole and the neutral, or between its poles.
	Volts quantity.Voltage
	// HandleTie names the tie that its handle shares with feeds of the same box,
	// which it opens together with it; empty for none.
	HandleTie string
	// Protection lists the added protections that the whole circuit has.
	Protection []conductor.ProtectionKind
}

// A BoxKind says what a box is for.
type BoxKind uint8

// The kinds of box.
const (
	DeviceBox   BoxKind = iota + 1 // switches and receptacles
	CeilingBox                     // a light
	JunctionBox                    // splices only
	Panel                          // breakers
)

// A ClampKind says how cables are held in a box.
type ClampKind uint8

// The kinds of clamp. The zero value is not stated.
const (
	InternalClamps ClampKind = iota + 1
	ExternalClamps
	NoClamps
)

// A Box is an enclosure.
type Box struct {
	Name string
	Kind BoxKind
	// Gangs is how many devices wide it is; 0 means 1 for a device box.
	Gangs int
	// Volume is what package boxfill needs to know of the box itself: its type
	// or the volume marked on it, and what is added to it.
	Volume boxfill.Box
	// Metal marks a metal box, which needs bonding; its grounding screw is the
	// terminal "ground" of device "box".
	Metal bool
	// Clamps says how its cables are held. Where it is not stated, box fill
	// counts no clamps, which may be one allowance too few.
	Clamps ClampKind
	// At is its position, if Placed.
	At     [3]quantity.Length
	Placed bool
	// Location is free text: "behind the door, 48 in up".
	Location string
	// Room is the kind of room that it is in, in a word of the region's rules:
	// "bathroom"; empty means not stated.
	Room string
	// Notice says that a notice on it tells where two systems of colours meet.
	Notice bool
	// NailSide is the side on which it is nailed or screwed to the framing, as one
	// faces it; 0 means not stated.
	NailSide Side
	// Door is the side of a door that it stands beside; 0 means no door beside it.
	Door DoorSide
	// DoorOpens is which way that door swings; 0 means not stated.
	DoorOpens DoorSwing
}

// Unclamped reports whether it is one of those that a cable may enter unclamped: of one
// gang, not of metal and without clamps. How large it is, which codes limit as well, no
// wiring states.
func (b *Box) Unclamped() bool {
	return b.Kind == DeviceBox && b.Gangs <= 1 && !b.Metal && b.Clamps == NoClamps
}

// BehindDoor reports whether an open door covers the box.
func (b *Box) BehindDoor() bool { return b.Door == HingeSide && b.DoorOpens == TowardBox }

// A Light is a load: a light, a fan, whatever is plugged in somewhere. Its
// terminals are "hot", "neutral" and "ground".
type Light struct {
	Name  string
	Box   string
	Power quantity.Power // at most 1000 kW; 0: not stated
	// Volts is what it is made for; 0 means not stated.
	Volts quantity.Voltage
	// Kind says how its current goes with its voltage; 0 means not stated.
	Kind LoadKind
	// PowerFactor of a load that is not resistive; 0 means not stated, taken as 1.
	PowerFactor quantity.Ratio
	// Leakage is what an electronic load lets pass while it is off, and TurnOn the
	// voltage at which it starts; 0 means not stated.
	Leakage quantity.Current
	TurnOn  quantity.Voltage
	// On names a device of the same box into which it is plugged, and Ends the
	// two terminals of that device; both are empty for a light wired in.
	On   string
	Ends [2]string
	// Canopy marks a light whose domed canopy holds its leads.
	Canopy bool
	// Leads is the size of its two leads where they end in the box; the zero
	// size means not stated, and box fill then leaves them out.
	Leads conductor.Size
}

// A Device is a switch, a receptacle or a control. A breaker is none; it is a [Feed].
type Device struct {
	Name string // unique in its box; by custom the control group it serves
	Box  string
	Kind switchnet.Kind
	// Yoke names the strap it shares with other devices of its box; empty means
	// a strap of its own.
	Yoke string
	// Gangs is how many gangs wide it is; 0 means 1.
	Gangs int
	// Gang is where in its box it stands, of a wide one its first: 1 is the leftmost gang,
	// as one faces the box in the room. 0 means not stated.
	Gang int
	// Depth is measured from strap to back; 0 means not stated.
	Depth quantity.Length
	// Aluminum says that it is marked for aluminum conductors.
	Aluminum bool
	// Rating is the current that it is marked for, and LeastLoad and MostLoad the loads
	// between which it works, of a dimmer or electronic switch; 0 means not stated.
	Rating              quantity.Current
	LeastLoad, MostLoad quantity.Power
	// Protection lists the added protections that it has in itself, for what is
	// plugged into it and what it feeds through.
	Protection []conductor.ProtectionKind
}

// A Cable runs between two boxes.
type Cable struct {
	Name   string
	Type   conductor.CableType
	From   string
	To     string          // empty: not known
	Length quantity.Length // at most 10 km; 0: not known
	// Installed is the year it was put in, if it differs from the job's.
	Installed int
	// Bored lists the holes in the framing that it runs through, each as the distance
	// from the hole to the nearest edge of the member, and Notches counts those cut
	// into an edge. A hole or notch that several cables share is stated at one of them.
	Bored   []quantity.Length
	Notches int
	// Entries are what was measured where it comes into From and into To.
	Entries [2]Entry
	// Apart is the largest distance between two of its supports; 0 means not stated.
	Apart quantity.Length
}

// A Wire names one conductor of a cable by the word for its colour.
type Wire struct {
	Cable     string
	Conductor string
}

// String returns "C4.red".
func (w Wire) String() string { return w.Cable + "." + w.Conductor }

// A Joint is one thing in a splice: a wire, or a terminal of something in the
// same box.
type Joint struct {
	Wire     Wire   // or
	Device   string // a device, light or feed of the box, or "box"
	Terminal string
}

// WireJoint returns the joint of a wire.
func WireJoint(cable, conductor string) Joint { return Joint{Wire: Wire{cable, conductor}} }

// words returns what the joint is made of, for comparing.
func (j Joint) words() []string {
	return []string{j.Device, j.Terminal, j.Wire.Cable, j.Wire.Conductor}
}

// String returns "C4.red" or "aisle.common". The text is for reading and not
// stable.
func (j Joint) String() string {
	if j.Device != "" {
		return j.Device + "." + j.Terminal
	}
	return j.Wire.String()
}

// A Splice joins wires, pigtails and leads in a box. It has no name of its own: it
// is known by its box and its first wire in name order. A terminal may be in
// several splices. A splice without wires, such as a jumper from one screw to
// another, is known by all its terminals.
type Splice struct {
	Box  string
	Join []Joint
}

// A Tie says that two things in a box touch, wherever else they are: a nicked
// insulation, a bent terminal.
type Tie struct {
	Box  string
	A, B Joint
}

// A Landing puts a wire's end on a terminal of a device, light or feed of the box,
// or on the grounding screw ("ground" of "box").
type Landing struct {
	Box      string
	Device   string
	Terminal string
	Wire     Wire
	// PushIn says that a spring behind the device holds the wire, and not its screw.
	PushIn bool
}

// A Cap closes off the end of a wire that is not used.
type Cap struct {
	Box  string
	Wire Wire
}

// A Mark is the re-marking of a wire's insulation at one end.
type Mark struct {
	Box  string
	Wire Wire
	As   conductor.Colour
}

// A Tag is what is written on the tag of a wire's end.
type Tag struct {
	Box  string
	Wire Wire
	Text string
}
