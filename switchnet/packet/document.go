package packet

import (
	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// FormatVersion is the version of the JSON form of a Document. 0 means
// experimental: fields may still change.
const FormatVersion = 0

// A Document is a job packet as data.
type Document struct {
	Format   int       `json:"format"`
	Title    string    `json:"title"`
	Region   Region    `json:"region"`
	Cautions []string  `json:"cautions"`
	Notes    []string  `json:"notes,omitempty"`
	Cables   []Cable   `json:"cables"`
	Boxes    []Box     `json:"boxes"`
	TakeOff  TakeOff   `json:"take_off"`
	Controls []Control `json:"controls"`
	Shorts   Shorts    `json:"shorts"`
	Circuits []Circuit `json:"circuits"`
	// Proving is there if [Input] asks for it.
	Proving *Proving `json:"proving,omitempty"`
}

// Region says by which rules the figures were made.
type Region struct {
	ID       string   `json:"id"`
	Title    string   `json:"title"`
	Source   string   `json:"source"`
	Cautions []string `json:"cautions"`
}

// Cable is a line of the cable schedule.
type Cable struct {
	Name   string          `json:"name"`
	Type   string          `json:"type"`
	From   string          `json:"from"`
	To     string          `json:"to"`     // empty: not known
	Length quantity.Length `json:"length"` // 0: not known
	// Conductors are in the order of the make-up of the cable.
	Conductors []Conductor `json:"conductors"`
}

// Conductor says what one conductor of a cable is for.
type Conductor struct {
	Colour   string              `json:"colour"`
	Function wiring.FunctionKind `json:"function"`
	// Says is the function in words; of a wire that is broken along its run, of
	// both ends where they differ.
	Says string `json:"says"`
	// Marked says how its ends are re-marked, in words.
	Marked string `json:"marked,omitzero"`
	Open   bool   `json:"open,omitzero"`
}

// Box is the sheet of one box.
type Box struct {
	Name     string `json:"name"`
	Kind     string `json:"kind"`
	Gangs    int    `json:"gangs,omitzero"`
	Room     string `json:"room"` // the box's type or marked volume, in words
	Location string `json:"location,omitzero"`
	// At is where it is, along, across and up; nil where it is not placed.
	At []quantity.Length `json:"at,omitempty"`
	// NailSide is the side on which it is fixed to the framing, as one faces it; Door
	// is the side of a door that it stands beside, and DoorOpens which way that door
	// swings. Each is absent if not stated.
	NailSide  wiring.Side      `json:"nail_side,omitzero"`
	Door      wiring.DoorSide  `json:"door,omitzero"`
	DoorOpens wiring.DoorSwing `json:"door_opens,omitzero"`
	// BehindDoor reports that an open door covers it.
	BehindDoor bool `json:"behind_door,omitzero"`
	// Breakers are the feeds, each with its box, whose breakers must be off before
	// the box is opened: those that are in it, those of circuits with a cable in it,
	// and those whose line can reach metal in it through contacts in any position and
	// through lights. They are in the order of the job. It is a statement about the
	// drawing: prove the box dead all the same.
	Breakers []string `json:"breakers"`
	// Danger says what stays live in the box with these breakers off.
	Danger  string     `json:"danger,omitzero"`
	Cables  []BoxCable `json:"cables"`
	Splices []Splice   `json:"splices"`
	// Apart says which splices look alike and are not to be joined.
	Apart   []string `json:"apart,omitempty"`
	Devices []Device `json:"devices"`
	// Stands are its gangs from the left, as one faces the box in the room, with the
	// devices in each; nil for a box of one gang and for one without devices.
	Stands []Stand     `json:"stands,omitempty"`
	Unused []UnusedEnd `json:"unused"`
	// Ties are things that touch although nobody meant to join them.
	Ties []string `json:"ties,omitempty"`
	// Fill is the box fill, nil for a panel; FillProblem says why there is none.
	Fill        *boxfill.Result `json:"fill,omitempty"`
	FillProblem string          `json:"fill_problem,omitzero"`
	// Unstated are things the job does not say that would take room.
	Unstated []string `json:"unstated,omitempty"`
}

// Stand is a gang of a box with what stands in it.
type Stand struct {
	Gang int `json:"gang"`
	// Devices are the devices that reach into the gang.
	Devices []string `json:"devices,omitempty"`
	// Open reports that the gang may hold a device of which the job does not say where it
	// stands; otherwise a gang without devices is blank.
	Open bool `json:"open,omitzero"`
}

// BoxCable is a cable that enters a box.
type BoxCable struct {
	Name   string `json:"name"`
	Type   string `json:"type"`
	Toward string `json:"toward"` // the box at its other end; empty: not known
	// NailPlates is how many nail plates shield it on its way, by the rules of the
	// region, as far as the job states holes and notches.
	NailPlates int `json:"nail_plates,omitzero"`
}

// End is a wire's end as its box sheet lists it.
type End struct {
	Wire   string `json:"wire"` // "C4.red"
	Says   string `json:"says"` // its function in words
	Marked string `json:"marked,omitzero"`
	Tag    string `json:"tag,omitzero"`
}

// Splice is a splice of a box. Splices are numbered from 1 in each box.
type Splice struct {
	Number int   `json:"number"`
	Ends   []End `json:"ends"`
	// Leads are the pigtails and leads in it, as "pigtail to aisle common".
	Leads []string `json:"leads"`
	Says  string   `json:"says"`
}

// Device is a device, light or feed of a box, with what lands on it.
type Device struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Yoke string `json:"yoke,omitzero"`
	// Gang is the gang in which it stands, of a wide one the first, counted from 1 at the
	// left as one faces the box in the room; 0 where the job does not say.
	Gang int `json:"gang,omitzero"`
	// Terminals are in the order of the kind, those with nothing on them
	// included, but for the grounding screw, which is last.
	Terminals []Terminal `json:"terminals"`
	// Find tells how to find the terminals on the device in hand.
	Find []string `json:"find,omitempty"`
}

// Terminal is a terminal with what lands on it.
type Terminal struct {
	Name string `json:"name"`
	Ends []End  `json:"ends"`
	// Pigtails are the numbers of the splices from which a pigtail or lead
	// comes.
	Pigtails []int `json:"pigtails"`
}

// UnusedEnd is an end that is capped, or of which nothing is known.
type UnusedEnd struct {
	End
	Use wiring.EndUse `json:"use"`
}

// Control says what one control group does.
type Control struct {
	Name   string   `json:"name"`
	Lights []string `json:"lights"`
	// Places are the boxes the lights are switched from, each with the kind of
	// device that stands there; the kind is empty where there is none.
	Places []Place `json:"places"`
	// Results are what becomes of each light.
	Results []Result `json:"results"`
	// Sense says how to turn round which way the handles stand when the lights
	// burn; empty for a control of one place or one that does not work.
	Sense string `json:"sense,omitzero"`
	// Table lists every setting of the handles; it is left out for more than
	// [TableLimit] settings.
	Table []Setting `json:"table,omitempty"`
}

// Place is a place a control is worked from.
type Place struct {
	Box  string `json:"box"`
	Kind string `json:"kind"`
}

// Result says what becomes of one light over every setting of the switches that
// matter to it and of those of its control, all others at rest and breakers on.
type Result struct {
	Light string `json:"light"`
	// Says is the law in a sentence.
	Says string `json:"says"`
	// Lit and States are numbers of settings, decimal: they may be larger than
	// any machine number.
	Lit    string `json:"lit"`
	States string `json:"states"`
	// EveryPlace reports that every place of the control changes this light from
	// every setting, and that no other switch matters to it.
	EveryPlace bool `json:"every_place"`
	// Exception are two settings that differ in one handle and leave the light
	// as it was; empty if there are none.
	Exception []string `json:"exception,omitempty"`
	// LiveWhenOff are the ends of the light that are on a line in some setting
	// in which it is unlit, each with such a setting.
	LiveWhenOff []string `json:"live_when_off,omitempty"`
	// Problem says why the question could not be answered.
	Problem string `json:"problem,omitzero"`
}

// Shorts says whether rails that must be apart are joined in any setting of all
// switches, breakers on.
type Shorts struct {
	// Settings is the number of settings with a short, of States; decimal.
	Settings string `json:"settings"`
	States   string `json:"states"`
	// Example is a setting with a short, and Path how the rails meet in it;
	// empty if there are none.
	Example string `json:"example,omitzero"`
	Path    string `json:"path,omitzero"`
	Problem string `json:"problem,omitzero"`
}

// Setting is a line of a truth table.
type Setting struct {
	Handles []string `json:"handles"` // positions in the order of Places
	Lights  []string `json:"lights"`  // "lit", "unlit", "dim" or "faulted" in the order of Lights
}

// Circuit is a circuit with its size.
type Circuit struct {
	Feed     string           `json:"feed"`
	Breaker  quantity.Current `json:"breaker"`
	Volts    quantity.Voltage `json:"volts"`
	Load     quantity.Power   `json:"load"`
	Lights   []string         `json:"lights"`
	Cables   []string         `json:"cables"`
	Smallest string           `json:"smallest"` // size and metal of its smallest conductor
	Farthest string           `json:"farthest,omitzero"`
	// Length is the length of conductor to the farthest light and back.
	Length quantity.Length `json:"length,omitzero"`
	Status string          `json:"status"`
	// Advice is what the code advises and the circuit does not follow, in sentences: the
	// status does not hang on it.
	Advice  []string `json:"advice,omitempty"`
	Steps   []string `json:"steps"`           // each with its section
	Notes   []string `json:"notes,omitempty"` // what is left out, and why
	Problem string   `json:"problem,omitzero"`
}
