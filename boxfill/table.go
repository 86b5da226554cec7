package boxfill

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// A Table holds the box-fill rules of one region and edition: a plain value,
// filled by hand or by a rule file, and only read by this package. What a
// region does not have stays zero, and a question that needs it is refused with
// an error naming the region; nothing is filled in from another region.
type Table struct {
	Region string // name of the region and edition, as results and errors give it: "us-2023"
	Column Column // which column of the region's tables rules where they disagree

	// Allowances are the volumes one conductor of each size needs. Order is free.
	Allowances []Allowance
	Largest    Limit // the largest size the volume method covers

	Conductors   ConductorRules
	FixtureWires FixtureWireRule
	Grounds      GroundRules

	Clamps         Rule // clamps inside the box
	ExternalClamps Rule // connectors whose clamp is outside the box
	Fittings       []FittingRule
	Devices        DeviceRules
	TerminalBlocks Rule
	Connectors     Rule // wire connectors with insulating caps

	Boxes     []BoxType // box types with a volume of their own; order is free
	Marked    MarkedRule
	Additions AdditionRule
	Barriers  BarrierRule

	// Refusals name what the region has a rule for but no figure sure enough to
	// sign. A question that needs one gets the status [Refused], not a number.
	Refusals []Refusal

	// Elsewhere says where a rule that this region lacks is valid, for the error:
	// "valid in us-2023, not in ca". It may be empty.
	Elsewhere []Elsewhere
}

// A Figure is one cell of the code's tables: the same volume in the inch and
// the metric column, which are rounded separately and now and then disagree.
// A column that is not known is zero.
type Figure struct {
	Inches quantity.Volume // as the cubic-inch column prints it
	Metric quantity.Volume // as the milliliter column prints it

	InchSource   conductor.Source
	MetricSource conductor.Source
}

// In returns the figure and its source in the given column; the volume is zero
// where that column is not known.
func (f *Figure) In(column Column) (quantity.Volume, *conductor.Source) {
	if column == MetricColumn {
		return f.Metric, &f.MetricSource
	}
	return f.Inches, &f.InchSource
}

// An Allowance is the volume one conductor of a size needs.
type Allowance struct {
	Size   conductor.Size
	Volume Figure
}

// A Limit is the largest size the volume method covers. A larger conductor is
// refused with Beyond in the error. The zero Limit leaves it to Allowances.
type Limit struct {
	Size   conductor.Size
	Beyond string // where larger conductors are dealt with: "NEC 314.28"
	Source conductor.Source
}

// A Rule says how many allowances of which size something takes. The zero Rule
// means the region has no such rule; a rule that counts nothing has Weight zero
// and Per, Of and Source set.
type Rule struct {
	Weight Weight // allowances, a pure number: One is one allowance
	Per    Per    // what the weight is taken for
	Of     Basis  // whose allowance it is
	Source conductor.Source
}

// Absent reports whether r is no rule at all.
func (r *Rule) Absent() bool { return r.Per == 0 }

// ConductorRules count insulated conductors by what becomes of them in the box.
type ConductorRules struct {
	Spliced        Rule // enters and ends in a splice, a cap included
	Landed         Rule // enters and ends on a terminal
	PassingThrough Rule // unbroken, with less free length than LoopAtLeast
	Looped         Rule // unbroken, with LoopAtLeast of free length or more
	Pigtail        Rule // no part leaves the box

	// LoopAtLeast is the free length from which an unbroken conductor is Looped;
	// zero where the region does not distinguish.
	LoopAtLeast quantity.Length
	LoopSource  conductor.Source
}

// FixtureWireRule counts the wires of a luminaire mounted on the box.
type FixtureWireRule struct {
	Counted Rule // what a wire takes that the omission does not cover

	// Wires are omitted when they are smaller than SmallerThan, no more than
	// AtMost in number (zero: any number) and, where CanopyOnly is set, the
	// luminaire has a domed canopy. Above AtMost the omission is lost for all of
	// them, the reading that never understates the fill; the result says so.
	SmallerThan conductor.Size // unset: nothing is omitted
	AtMost      int
	CanopyOnly  bool
	Grounds     bool // the luminaire's own grounding conductors are omitted too
	OmitSource  conductor.Source
}

// GroundRules count equipment grounding (bonding) conductors. The zero value
// means the region has no such rule.
type GroundRules struct {
	// Of all grounding conductors, the first First (zero: however many there
	// are) take FirstWeight together, and each one beyond takes Beyond, all of
	// the largest grounding conductor in the box.
	First        int
	FirstWeight  Weight
	Source       conductor.Source
	Beyond       Weight
	BeyondSource conductor.Source

	// Insulated, if not zero, counts insulated grounding conductors one by one
	// and takes them out of the group above.
	Insulated Rule

	// Isolated counts the separate set of isolated (insulated, not bonded to the
	// box) grounding conductors. If its Per is [EachSet], the set takes Weight of
	// the largest in the set. If its Per is [WithOthers], they are counted among
	// the others and Weight is not used. If zero, the region has no such rule.
	Isolated Rule
}

// Absent reports whether g is no rule at all.
func (g *GroundRules) Absent() bool { return g.Source.Absent() }

// A FittingRule counts one kind of support fitting, named by the trade's word.
type FittingRule struct {
	Kind string // "stud", "hickey"
	Rule Rule
}

// DeviceRules count devices and equipment on a yoke or strap.
type DeviceRules struct {
	Yoke Rule // a device one gang wide

	// Wide counts a device wider than WideOver by the gangs it needs. The zero
	// Rule means the region does not distinguish and Yoke counts every device.
	Wide       Rule
	WideOver   quantity.Length
	WideSource conductor.Source

	Deep DeepRule
}

// A DeepRule charges a device by its depth: PerCentimeter for each centimeter
// from strap to back, when that is more than Over. It takes the place of the
// yoke's allowances but never falls below them. The zero DeepRule means depth
// does not count.
type DeepRule struct {
	Over          quantity.Length
	PerCentimeter quantity.Volume
	Source        conductor.Source
	OverSource    conductor.Source
}

// A BoxType is a box whose volume the region's table gives.
type BoxType struct {
	Name    string // unique in the table: "device-3x2x3-1/2"
	Shape   string // the trade's word: "device", "square", "octagon", "masonry"
	Width   quantity.Length
	Second  quantity.Length // the other face dimension; zero for a round or octagonal box
	Depth   quantity.Length
	Gangs   int  // device gangs of one box; zero where devices mount on its cover
	PerGang bool // Volume is for each gang
	Volume  Figure

	// Refused, if not empty, says why Volume is not used: the box then needs a
	// marked volume.
	Refused string
}

// A MarkedRule says that a volume marked on a box or ring overrides the table.
type MarkedRule struct {
	Source    conductor.Source
	SumSource conductor.Source // volumes of boxes ganged together add up
}

// An AdditionRule says what extension rings, plaster rings and domed covers
// add. The zero value means the region has no such rule.
type AdditionRule struct {
	Source conductor.Source // that a marked volume counts
	// ByType says that a ring made from a box type of the table counts with
	// that volume too.
	ByType       bool
	ByTypeSource conductor.Source
}

// A BarrierRule says what an unmarked barrier takes away. The zero value means
// the region has no such rule.
type BarrierRule struct {
	Metal       Figure
	Nonmetallic Figure
	Source      conductor.Source // that the volume is apportioned to the spaces
}

// A Refusal names a rule or figure that is not sure enough to be used.
type Refusal struct {
	Item   Item             `json:"item"`
	Why    string           `json:"why"`
	Source conductor.Source `json:"source,omitzero"`
}

// Elsewhere names the regions, in the order to be printed, that have a rule
// which this one lacks.
type Elsewhere struct {
	Item    Item
	Regions []string
}
