package boxfill

import (
	"cmp"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// A Result is what the rules say about one space: every line of the count,
// every line of the room there is, and how they compare.
type Result struct {
	Region string `json:"region"`
	Column Column `json:"column"` // the column whose figures were used
	Status Status `json:"status"`

	// Lines are what is counted, things that count nothing included. They are
	// merged and sorted by item, then size (largest first), then name, so they
	// do not depend on the order of the contents.
	Lines []Line `json:"lines"`
	// Room is what makes up the available volume: boxes, additions, barriers
	// (negative), the share; sorted the same way. It is empty where a part of
	// the box is not known or refused.
	Room []Line `json:"room,omitempty"`

	// Allowances is the number of allowances counted, whatever their size: the
	// conductor equivalents.
	Allowances Weight          `json:"allowances"`
	Required   quantity.Volume `json:"required"`  // zero where the count was refused
	Available  quantity.Volume `json:"available"` // zero where unknown or refused
	// Spare is Available less Required, negative where it does not fit; zero
	// where either is missing.
	Spare quantity.Volume `json:"spare"`

	// Other is the same box by the other column of the tables, for information:
	// it never changes the status.
	Other OtherColumn `json:"other_column"`

	// Refusals are the figures the answer would need and the region does not
	// have surely enough, sorted by item, then text. Only Refused has any.
	Refusals []Refusal `json:"refusals,omitempty"`
	// Cautions are to be read with the answer, sorted by code, then item, then
	// text.
	Cautions []Caution `json:"cautions,omitempty"`
}

// A Line is one line of a result. In Room only Item, Name, Count, Each, Total
// and Source are used.
type Line struct {
	Item  Item           `json:"item"`
	Name  string         `json:"name,omitempty"` // of the device, fitting, box type or addition
	Count int            `json:"count"`          // how many there are
	Size  conductor.Size `json:"size,omitzero"`  // whose allowance is taken; none for a box
	// Weight is the number of allowances the line takes, all together.
	Weight Weight          `json:"weight"`
	Each   quantity.Volume `json:"each"`  // one allowance, one box; of a deep device, the volume of one
	Total  quantity.Volume `json:"total"` // Weight of Each, or Count times Each where there is no weight

	Source       conductor.Source `json:"source"`                 // of the rule
	VolumeSource conductor.Source `json:"volume_source,omitzero"` // of Each, where that is another place
}

// OtherColumn is a box by the other column of the tables. Status is unset, and
// the volumes are zero, where a figure it needs is missing there.
type OtherColumn struct {
	Status    Status          `json:"status,omitzero"`
	Required  quantity.Volume `json:"required,omitzero"`
	Available quantity.Volume `json:"available,omitzero"`
}

// A CautionCode says what kind of caution it is. The zero CautionCode is unset.
type CautionCode int

// The caution codes, in the order in which a result lists them.
const (
	// LowConfidence: a figure was used that is not well verified. Ask the
	// inspector before relying on it.
	LowConfidence CautionCode = iota + 1
	// UnmarkedAddition: a ring or cover without a marked volume adds nothing.
	UnmarkedAddition
	// TooManyFixtureWires: more small fixture wires come out of a canopy than
	// may be omitted, so all of them were counted. Another reading counts only
	// the ones beyond the limit.
	TooManyFixtureWires
	// DepthNotGiven: the region charges deep devices by depth, and a device's
	// depth was not given; it was taken as not deep.
	DepthNotGiven
	// DeepInPlace: a deep device was charged by depth in place of its
	// allowances, not on top of them.
	DeepInPlace
)

var cautionWords = []string{"", "low confidence", "unmarked addition", "too many fixture wires", "depth not given", "deep in place"}

func (c CautionCode) String() string                   { return word(cautionWords, c) }
func (c CautionCode) MarshalText() ([]byte, error)     { return marshalWord(cautionWords, c) }
func (c *CautionCode) UnmarshalText(text []byte) error { return unmarshalWord(cautionWords, c, text) }

// A Caution is a reservation about a result. Code and Item are stable, the text
// is not.
type Caution struct {
	Code   CautionCode      `json:"code"`
	Item   Item             `json:"item"`
	Text   string           `json:"text"`
	Source conductor.Source `json:"source,omitzero"`
}

// sortResult puts every slice of the result in the order it promises.
func sortResult(r *Result) {
	sortLines(r.Lines)
	sortLines(r.Room)
	if len(r.Refusals) > 1 {
		slices.SortFunc(r.Refusals, func(a, b Refusal) int {
			return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.Why, b.Why), compareSources(&a.Source, &b.Source))
		})
	}
	if len(r.Cautions) > 1 {
		slices.SortFunc(r.Cautions, func(a, b Caution) int {
			return cmp.Or(cmp.Compare(a.Code, b.Code), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Text, b.Text),
				compareSources(&a.Source, &b.Source))
		})
	}
}

// sortLines sorts by insertion, because lines are few, large, and nearly always
// sorted already: they are counted in the order of their items.
func sortLines(lines []Line) {
	for i := 1; i < len(lines); i++ {
		for j := i; j > 0 && compareLines(&lines[j], &lines[j-1]) < 0; j-- {
			lines[j], lines[j-1] = lines[j-1], lines[j]
		}
	}
}

func compareLines(a, b *Line) int {
	if a.Item != b.Item {
		return cmp.Compare(a.Item, b.Item)
	}
	if a.Size != b.Size {
		return b.Size.Compare(a.Size)
	}
	return cmp.Or(strings.Compare(a.Name, b.Name), cmp.Compare(b.Each, a.Each), compareSources(&a.Source, &b.Source))
}

func compareSources(a, b *conductor.Source) int {
	return cmp.Or(cmp.Compare(a.Section, b.Section), cmp.Compare(a.Edition, b.Edition), cmp.Compare(a.Confidence, b.Confidence))
}
