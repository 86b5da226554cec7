package rules

import (
	"fmt"
	"slices"
	"strings"
)

// Says is what a rule does with the thing it names. The zero Says is unset.
type Says uint8

// What a rule says.
const (
	Required    Says = iota + 1 // it must be so
	Permitted                   // it may be so
	Forbidden                   // it must not be so
	NotRequired                 // the code leaves it open where one might expect a demand
)

var saysWords = []string{"", "required", "permitted", "forbidden", "not required"}

// Function is what a conductor is for, as colour rules tell conductors apart.
// The zero Function is unset.
type Function uint8

// The functions of conductors.
const (
	Line       Function = iota + 1 // ungrounded, of a single-phase circuit
	Neutral                        // grounded
	Protective                     // equipment grounding, protective
	Phase1                         // of a three-phase circuit
	Phase2
	Phase3
	Core1 // of a cable of three cores, in the order they are counted
	Core2
	Core3
)

var functionWords = []string{"", "line", "neutral", "protective", "phase 1", "phase 2", "phase 3", "core 1", "core 2", "core 3"}

// Exemption is a reason why no neutral need be at a switch. The zero Exemption
// is unset.
type Exemption uint8

// The exemptions.
const (
	RacewayRoom        Exemption = iota + 1 // conductors come in a raceway with room for one more
	OpenCavity                              // the framing is open at top or bottom, or unfinished on one side
	AccessibleBox                           // a cable can be added without removing finish
	IntegralEnclosure                       // snap switch with its own enclosure
	AutomaticControl                        // lighting of the area is controlled automatically
	ControlsReceptacle                      // the switch controls a receptacle
	NotDwelledIn                            // not a habitable room or bathroom
	WholeAreaSeen                           // several switches that see the whole area: none needs one
	WholeAreaSeenOnce                       // several switches that see the whole area: one of them needs one
)

var exemptionWords = []string{"", "raceway with room", "open cavity", "accessible box", "integral enclosure", "automatic control",
	"controls a receptacle", "not dwelled in", "whole area seen", "whole area seen, one has it"}

// Name names a rule of wiring. The zero Name is unset. The set is closed, so
// that programs can ask for a rule; a region has those of its code.
type Name uint8

// The names of rules. Where the comment gives a figure, the rule carries it as
// its Count, Length or Size.
const (
	SwitchUngroundedOnly      Name = iota + 1 // three-way and four-way switching is done in the ungrounded conductor only
	NeutralNotSwitched                        // no switch opens the grounded conductor
	SwitchOpensAllTogether                    // a switch that opens all conductors at once, or the grounded one last
	NeutralInSwitchLoop                       // a grounded conductor with the switching conductors of a loop
	PolaritiesTogetherInMetal                 // both polarities together in metal enclosures
	CircuitTogether                           // all conductors of a circuit in one cable or raceway
	SplitInNonmetallic                        // conductors of a circuit in several nonmetallic cables
	ShellOnNeutral                            // a lampholder's screw shell on the grounded conductor

	StandbyThroughNeutral        // a control that draws standby current is on the neutral
	StandbyReplacementsPerBranch // count on one branch circuit
	StandbyReplacementsPerFeeder // count on one feeder

	RemarkedWhiteAsLine     // a white conductor of a cable, re-marked, as ungrounded conductor
	RemarkedWhiteAsReturn   // the same as return from a switch to the light
	RemarkEverywhere        // re-marking wherever it is visible and accessible
	RemarkedWhiteInRaceway  // re-marking of small white conductors in a raceway
	MixedSchemesNotice      // a notice where two colour schemes meet
	SharedNeutralDisconnect // all lines of a shared neutral disconnected together
	SharedNeutralGrouped    // the conductors of a shared neutral grouped
	SharedNeutralUnbroken   // the neutral not interrupted by removing a device
	NeutralOfOneCircuit     // a neutral serves one circuit, unless the lines that share it are on different ones
	YokeDisconnect          // the lines of circuits on one yoke disconnected together
	ParallelConductors      // conductors side by side between the same joints; size from which

	SwitchMarkedForAluminum     // a switch that aluminum lands on is marked for it
	ReceptacleMarkedForAluminum // the same of a receptacle
	DimmerFixedLights           // a dimmer controls permanently installed lights only
	SwitchWithinRating          // a switch or dimmer carries no more than it is marked for
	TerminalPolarity            // line and neutral on the terminals that are marked for them
	OneUnderATerminal           // one conductor under a terminal that is not marked for more
	FreeEndsCovered             // free ends of conductors covered

	SwitchBonded             // a switch on the grounding conductor, bonding a metal faceplate
	ReplacementWithoutGround // a replacement without grounding conductor, nonmetallic faceplate or ground-fault protection
	GroundsJoined            // grounding conductors joined in the box
	GroundsUnbroken          // grounding not interrupted by removing a device
	BondScrewAlone           // the bonding screw of a metal box used for nothing else
	NeutralNotGround         // no neutral grounds metal past the service
	GroundNotConductor       // a grounding conductor carries no current

	StairSwitchEachLevel  // a switch at each level; count of risers from which
	StairSwitchLanding    // a switch at a landing with an entry
	StairSingleSwitch     // one switch is enough; count of risers up to which
	StairSingleUnfinished // one switch is enough to an unfinished basement
	StairLight            // lights in a stairway, whatever the risers; count
	StairThreeWayByName   // three-way switches by that name
	StairDimmerFull       // dimmers that reach full brightness at each place
	StairWallControl      // a listed wall-mounted control in place of a switch
	StairBatteryFailsOn   // battery-only controls that fail on
	StairAutomatic        // remote, central or automatic control in place of switches

	FreeConductor             // length of free conductor in a box
	BeyondOpening             // length beyond the opening of a small box
	SmallOpening              // length of an opening below which BeyondOpening holds
	FreeConductorSpliced      // the free conductor may hold a splice
	UnbrokenNeedsNoFree       // conductors passing through unbroken need no free length
	SecuredFromBox            // length from a box within which nonmetallic cable is secured
	SecuredEvery              // length between supports of nonmetallic cable
	SecuredFromUnclampedBox   // length from a small nonmetallic box without clamps
	UnclampedBoxWidth         // width of the largest such box
	UnclampedBoxHeight        // height of the largest such box
	UnclampedSeveralCables    // several cables through one knockout of such a box
	SecuredAlongSheath        // SecuredFromUnclampedBox is measured along the sheath
	SecuredFromBoxAlongSheath // SecuredFromBox is measured along the sheath
	SheathInNonmetallicBox    // length of sheath inside a nonmetallic box
	SheathInMetalBox          // length of sheath inside a metal box
	SheathPastEntry           // length of sheath past any entry
	FirstSupport              // length of cable from entry to first support
	BendRadius                // count of cable diameters of the least bend
	SetbackNoncombustible     // length of setback in a noncombustible surface
	SetbackCombustible        // length of setback in a combustible surface
	TouchingDerates           // length from which cables in contact are derated

	MetalCladFromBox // length from a box within which metal-clad cable is secured
	MetalCladEvery   // length between supports of metal-clad cable
	TwinEarthEvery   // length between clips of flat twin and earth run level
	TwinEarthUpright // and run upright
	BoredFromEdge    // length from a bored hole to the nearest edge of the framing, below which cable is shielded
	NotchShielded    // cable in a notch is shielded

	TorqueTool     // terminals tightened with a calibrated tool
	TorqueApproved // terminals tightened by approved means
	PushInLargest  // push-in terminals; count is the gauge of the largest conductor
)

var nameWords = []string{"",
	"switching in the ungrounded conductor only", "switch in the neutral", "switch that opens all conductors together",
	"neutral in a switch loop", "both polarities together in metal", "conductors of a circuit together",
	"circuit split over nonmetallic cables", "screw shell on the neutral",
	"standby current through the neutral", "standby replacements on a branch circuit",
	"standby replacements on a feeder",
	"re-marked white as line", "re-marked white as return", "re-marking at every accessible point", "re-marked white in a raceway",
	"notice where colour schemes meet", "shared neutral disconnected together", "shared neutral grouped", "shared neutral unbroken",
	"neutral of one circuit", "circuits of a yoke disconnected together", "conductors in parallel",
	"switch marked for aluminum", "receptacle marked for aluminum", "dimmer on installed lights only", "switch within its rating", "polarity of terminals",
	"one conductor under a terminal", "free ends covered",
	"switch bonded", "replacement without grounding conductor", "grounding conductors joined", "grounding unbroken", "bonding screw alone",
	"neutral as grounding conductor", "grounding conductor as circuit conductor",
	"stair switch at each level", "stair switch at a landing with an entry", "single stair switch", "single switch to an unfinished basement",
	"light in a stairway", "three-way switches by name", "dimming to full at each stair switch", "wall control in place of a stair switch",
	"battery control that fails on", "automatic stair control",
	"free conductor", "conductor beyond the opening", "small opening", "splice in the free conductor", "free length of unbroken conductors",
	"cable secured from a box", "cable secured every", "cable secured from an unclamped box", "width of an unclamped box",
	"height of an unclamped box", "several cables in one knockout", "unclamped distance along the sheath", "box distance along the sheath",
	"sheath in a nonmetallic box", "sheath in a metal box", "sheath past an entry", "cable to the first support", "bend radius",
	"setback in noncombustible", "setback in combustible", "cables in contact",
	"metal-clad cable secured from a box", "metal-clad cable secured every", "flat twin and earth secured every", "flat twin and earth secured upright every",
	"bored hole from an edge", "notch shielded",
	"calibrated torque tool", "approved torque means", "largest conductor in a push-in terminal"}

// The enumerations travel as words. String gives the word, and a number for a
// value that is none; MarshalText refuses such a value, UnmarshalText refuses a
// text that is not one of the words and lists them.

func (s Says) String() string      { return word(saysWords, s) }
func (f Function) String() string  { return word(functionWords, f) }
func (e Exemption) String() string { return word(exemptionWords, e) }
func (n Name) String() string      { return word(nameWords, n) }

func (s Says) MarshalText() ([]byte, error)      { return marshalWord(saysWords, s) }
func (f Function) MarshalText() ([]byte, error)  { return marshalWord(functionWords, f) }
func (e Exemption) MarshalText() ([]byte, error) { return marshalWord(exemptionWords, e) }
func (n Name) MarshalText() ([]byte, error)      { return marshalWord(nameWords, n) }

func (s *Says) UnmarshalText(text []byte) error      { return unmarshalWord(saysWords, s, text) }
func (f *Function) UnmarshalText(text []byte) error  { return unmarshalWord(functionWords, f, text) }
func (e *Exemption) UnmarshalText(text []byte) error { return unmarshalWord(exemptionWords, e, text) }
func (n *Name) UnmarshalText(text []byte) error      { return unmarshalWord(nameWords, n, text) }

func word[E ~uint8](words []string, e E) string {
	switch {
	case e == 0:
		return "unset"
	case int(e) < len(words):
		return words[e]
	}
	return fmt.Sprintf("unknown(%d)", uint8(e))
}

func marshalWord[E ~uint8](words []string, e E) ([]byte, error) {
	if e == 0 || int(e) >= len(words) {
		return nil, fmt.Errorf("rules: %d is none of: %s", uint8(e), strings.Join(words[1:], ", "))
	}
	return []byte(words[e]), nil
}

func unmarshalWord[E ~uint8](words []string, e *E, text []byte) error {
	i := slices.Index(words[1:], string(text))
	if i < 0 {
		return fmt.Errorf("rules: %q is none of: %s", text, strings.Join(words[1:], ", "))
	}
	*e = E(i + 1)
	return nil
}
