package conductor

import (
	"time"

	"example.com/switchleg/conductor/quantity"
)

// Table is everything a region's rules say about conductors, as plain values: a
// program may fill one by hand, or take it from a rule file. Every row carries
// its [Source]. A list may be empty and a rule may be absent (its Source zero):
// a question that needs what is absent is refused by name, never answered by a
// guess. Rows may stand in any order; no result depends on it.
//
// Call [Table.Check] after filling one in; [NewSizer] does it too.
type Table struct {
	Region string // "us-2023", as messages name it

	// What conductors there are and what they carry.
	Sizes      []SizeRow
	LeastSize  LeastSize
	Ampacities []Ampacity
	Methods    []Method // reference methods the Ampacities name; none where they name none

	// Corrections and adjustments to what they carry.
	AmbientBase    quantity.Temperature // ambient for which Ampacities are stated
	Ambient        []AmbientRow
	Bundling       []BundlingRow
	BundlingExempt LengthRule // bundles no longer than this are not adjusted
	Terminations   TerminationRule
	Nonmetallic    NonmetallicRule

	// Overcurrent protection.
	Continuous      ContinuousRule
	AtAmpacity      Source // the rule that a conductor is protected at its ampacity
	Overcurrent     []OvercurrentSize
	MinimumRating   MinimumRating
	NextSizeUp      NextSizeUpRule
	SmallConductors []SmallConductor

	// The equipment grounding (protective) conductor.
	Grounding         []GroundingRow
	GroundingIncrease GroundingIncrease

	// Voltage drop.
	Resistances []Resistance
	Impedances  []Impedance
	Constants   []DropConstant
	DropRates   []DropRate
	DropMethod  DropMethod // used unless the question asks for another
	DropLimits  []DropLimit
	DropUse     string // the use of DropLimits meant unless the question names another

	// Fault loop and added protection.
	FaultLoop   FaultLoopRule
	Protections []Protection

	// Refusals name what the region rules on but has no figure sure enough for;
	// Elsewhere names the regions that have a rule which this one lacks. Both
	// only serve the error that refuses a question.
	Refusals  []Refusal
	Elsewhere []Elsewhere
}

// Refusal says why the table has no figures for a rule.
type Refusal struct {
	Rule   Rule
	Why    string
	Source Source // may be absent
}

// Elsewhere names the regions, in the order to be printed, that have the rule.
type Elsewhere struct {
	Rule    Rule
	Regions []string
}

// SizeRow is a size the region's tables list. Sizes absent here are never chosen.
type SizeRow struct {
	Size   Size
	Area   quantity.CircularMils // as the region's table states it; 0 for metric sizes
	Source Source
}

// LeastSize is the smallest conductor a branch circuit may have, whatever its
// load; a local amendment may raise it. Conductors that are larger for its sake
// count as increased where a [GroundingIncrease] looks at them.
type LeastSize struct {
	Size   Size
	Source Source
}

// Ampacity is the current one conductor may carry at its rated temperature in
// the base ambient, no more than the usual number of conductors together.
type Ampacity struct {
	Material Material
	Size     Size
	Rating   quantity.Temperature // column of the table: 60, 70, 75 or 90 C
	Method   string               // reference method, "" where the table has none
	Current  quantity.Current
	Source   Source
}

// Method is a way of installing a cable that the ampacity table distinguishes.
type Method struct {
	Name   string // "C", "101", as questions give it
	Words  string // "clipped direct"
	Source Source
}

// AmbientRow is the correction for an ambient up to and including UpTo, above
// the next lower row's UpTo. An ambient above the highest row of its rating is
// not allowed for conductors of that rating.
type AmbientRow struct {
	UpTo   quantity.Temperature
	Rating quantity.Temperature // of the conductor
	Factor quantity.Ratio
	Source Source
}

// BundlingRow is the adjustment for a number of current-carrying conductors
// together.
type BundlingRow struct {
	From, UpTo int // inclusive; UpTo 0 is without end
	Factor     quantity.Ratio
	Source     Source
}

// LengthRule is a length with its section.
type LengthRule struct {
	Length quantity.Length
	Source Source
}

// TerminationRule limits the ampacity column to what the terminations stand.
type TerminationRule struct {
	Default         quantity.Temperature // column up to the thresholds
	ThresholdRating quantity.Current     // circuit rating up to which Default holds
	ThresholdSize   Size                 // largest conductor up to which Default holds
	Above           quantity.Temperature // column beyond them
	Source          Source
}

// NonmetallicRule limits nonmetallic-sheathed cable: correction and adjustment
// may start from one column, and the result is capped by another.
type NonmetallicRule struct {
	Limit         quantity.Temperature // final column
	Start         quantity.Temperature // column that adjustment starts from
	TogetherAbove int                  // more cables than this through one sealed opening, or unspaced in insulation, are adjusted at any length
	MinCarrying   int                  // cables with at least this many current-carrying conductors count
	Source        Source
}

// ContinuousRule raises continuous load before it is compared.
type ContinuousRule struct {
	Conductor   quantity.Ratio // 1.25, before correction and adjustment
	Overcurrent quantity.Ratio // 1.25
	MinDuration time.Duration  // a load on this long is continuous; 0 where none is raised

	Source            Source // of Conductor
	OvercurrentSource Source
}

// OvercurrentSize is a standard rating.
type OvercurrentSize struct {
	Rating quantity.Current
	Kind   OvercurrentKind
	Source Source
}

// MinimumRating is the least rating a lighting branch circuit may have, the least
// that is proposed unless the least is asked for, and the least of a circuit that
// supplies receptacles (0 for the same as Rating).
type MinimumRating struct {
	Rating          quantity.Current
	Suggested       quantity.Current
	WithReceptacles quantity.Current
	Source          Source
}

// NextSizeUpRule permits the next larger standard rating where the ampacity is
// not itself a standard rating.
type NextSizeUpRule struct {
	UpTo              quantity.Current // largest rating to which it applies
	NotForReceptacles bool             // circuits of several receptacles are excluded
	Source            Source
}

// SmallConductor caps the overcurrent device of a small conductor whatever its
// ampacity. MaxContinuous, where not zero, caps continuous load too.
type SmallConductor struct {
	Material      Material
	Size          Size
	MaxRating     quantity.Current
	MaxContinuous quantity.Current
	Source        Source
}

// GroundingRow is the least grounding conductor behind an overcurrent device
// rated up to UpTo (or, by the ampacity basis, beside a conductor of that
// ampacity).
type GroundingRow struct {
	UpTo     quantity.Current
	Material Material
	Size     Size
	Source   Source
}

// GroundingIncrease says how the grounding conductor grows when the circuit
// conductors are larger than they need be.
type GroundingIncrease struct {
	Basis             GroundingBasis
	Baseline          GroundingBaseline // for ByArea
	NeverAboveCircuit bool              // never required larger than the circuit conductors
	Source            Source
}

// Resistance is the direct-current resistance of a conductor. A row at or below
// the ambient base is the resistance cold: it serves the fault loop, which has
// its own allowance for heat, and no voltage drop.
type Resistance struct {
	Material   Material
	Size       Size
	Stranding  Stranding
	Resistance quantity.ResistancePerLength
	At         quantity.Temperature // of the conductor
	Source     Source
}

// Impedance is the alternating-current resistance and reactance to neutral of a
// conductor in a raceway, and the effective impedance the table prints for a
// power factor of 0.85 (0 where it prints none).
type Impedance struct {
	Material    Material
	Size        Size
	Raceway     Raceway
	Resistance  quantity.ResistancePerLength
	Reactance   quantity.ResistancePerLength
	Effective85 quantity.ResistancePerLength
	Source      Source
}

// DropConstant is the trade's K: the resistance of one circular mil of the
// metal, per length.
type DropConstant struct {
	Material Material
	K        quantity.ResistancePerLength
	Source   Source
}

// DropRate is the voltage lost per ampere and meter of run, out and back.
type DropRate struct {
	Size   Size
	Rate   quantity.VoltDropRate
	Source Source
}

// DropLimit is the largest voltage drop for a use, as a share of the supply
// voltage. Where LongRun is set, each meter of run beyond it adds PerMeter, up
// to MostAdded.
type DropLimit struct {
	Use       string // "branch circuit", "lighting", as questions give it
	Limit     quantity.Ratio
	Force     Force
	LongRun   quantity.Length
	PerMeter  quantity.Ratio
	MostAdded quantity.Ratio
	Source    Source
}

// FaultLoopRule limits the impedance of the loop a fault current takes, so that
// the overcurrent device opens at once.
type FaultLoopRule struct {
	Curves        []TripCurve
	VoltageFactor quantity.Ratio // least supply voltage over nominal
	Rise          quantity.Ratio // resistance at the fault over resistance tabulated
	Source        Source
}

// TripCurve is a breaker's instantaneous trip, as a multiple of its rating.
type TripCurve struct {
	Name     string // "B"
	Multiple quantity.Ratio
	Source   Source
}

// Protection is what a location demands of the circuit that serves it.
type Protection struct {
	Location string         `json:"location"` // "bedroom", as questions give it; "" for every location
	Kind     ProtectionKind `json:"kind"`
	Demand   Demand         `json:"demand"`
	Outlets  OutletKind     `json:"outlets,omitzero"` // of which outlets it is demanded; zero: of all, and of switches
	// Breaker and Volts are the largest overcurrent device and the highest nominal
	// voltage of the circuits of which it is demanded; 0: of any.
	Breaker quantity.Current `json:"breaker,omitzero"`
	Volts   quantity.Voltage `json:"volts,omitzero"`
	Since   int              `json:"since,omitzero"` // the first edition that demands it; 0: not known
	Note    string           `json:"note,omitempty"` // what it covers, in plain words
	Source  Source           `json:"source,omitzero"`
}
