package boxfill

import (
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor"
)

// Lookups in a table. Tables are small, so each is a scan.

// other returns the column that c is not.
func (c Column) other() Column {
	if c == InchColumn {
		return MetricColumn
	}
	return InchColumn
}

// covers reports whether the volume method deals with a size at all.
func (t *Table) covers(size conductor.Size) bool {
	return size.Valid() && (!t.Largest.Size.Valid() || size == t.Largest.Size || size.Compare(t.Largest.Size) <= 0)
}

// allowance returns the row of a size, nil if there is none.
func (t *Table) allowance(size conductor.Size) *Allowance {
	for i := range t.Allowances {
		if t.Allowances[i].Size == size {
			return &t.Allowances[i]
		}
	}
	return nil
}

// sizes lists the sizes of the table for a message, smallest first.
func (t *Table) sizes() string {
	var sizes []conductor.Size
	for _, a := range t.Allowances {
		sizes = append(sizes, a.Size)
	}
	slices.SortFunc(sizes, conductor.Size.Compare)
	var names []string
	for _, s := range sizes {
		names = append(names, s.String())
	}
	return listOr(names, "no size")
}

// fitting returns the rule of a kind of fitting, nil if there is none.
func (t *Table) fitting(kind string) *Rule {
	for i := range t.Fittings {
		if t.Fittings[i].Kind == kind {
			return &t.Fittings[i].Rule
		}
	}
	return nil
}

func (t *Table) fittingKinds() string {
	var kinds []string
	for _, f := range t.Fittings {
		kinds = append(kinds, strconv.Quote(f.Kind))
	}
	slices.Sort(kinds)
	return listOr(kinds, "none")
}

// BoxType returns the box type of that name and whether there is one.
func (t *Table) BoxType(name string) (BoxType, bool) {
	if b := t.boxType(name); b != nil {
		return *b, true
	}
	return BoxType{}, false
}

func (t *Table) boxType(name string) *BoxType {
	for i := range t.Boxes {
		if t.Boxes[i].Name == name {
			return &t.Boxes[i]
		}
	}
	return nil
}

// refusal returns what the region refuses to give for an item, nil if nothing.
func (t *Table) refusal(item Item) *Refusal {
	for i := range t.Refusals {
		if t.Refusals[i].Item == item {
			return &t.Refusals[i]
		}
	}
	return nil
}

// lacks says that the region has no rule for an item, and which one has.
func (t *Table) lacks(item Item) string {
	for _, e := range t.Elsewhere {
		if e.Item == item && len(e.Regions) > 0 {
			return "the rule for the " + item.String() + " is valid in " + strings.Join(e.Regions, ", ") + ", not in " + t.Region
		}
	}
	return "there is no rule for the " + item.String() + " in " + t.Region
}

func listOr(names []string, none string) string {
	if len(names) == 0 {
		return none
	}
	return strings.Join(names, ", ")
}
