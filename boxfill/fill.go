package boxfill

import (
	"fmt"
	"strconv"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Limits of what one question may hold; beyond them it is refused with
// [ErrLimit].
const (
	// MaxCount is the largest count of one entry.
	MaxCount = 10_000
	// MaxEntries is the most entries of one slice.
	MaxEntries = 1000
	// maxVolume keeps every sum of this package within a quantity.Volume.
	maxVolume = 1_000_000 * quantity.Liter
	// maxDepth keeps a volume by depth within one too.
	maxDepth = 10 * quantity.Meter
)

// Fill returns what the rules of the table say about the contents: each line of
// the count, the room there is, and a status. The volumes are exact.
//
// The error means that the question or the table is malformed, so there is no
// result: negative counts, a size or name that is not in the table, devices the
// gangs do not hold, a rule the region does not have. It is a [Problems] with
// all of them. A box that is too small, a box of unknown volume, and a figure
// the region refuses to give are no errors but a [Status].
//
// The lines are sorted, so the result does not depend on the order of entries.
// Fill allocates only the slices it returns and takes time in proportion to the
// entries times the distinct lines. It does not change or keep its arguments.
func Fill(table *Table, contents Contents) (Result, error) {
	f, err := begin(table)
	if err != nil {
		return Result{}, err
	}
	if f.entries(&contents) {
		f.makeLines(&contents)
		f.count(&contents)
		f.room(&contents)
	}
	if len(f.problems) > 0 {
		return Result{}, f.problems
	}
	f.conclude()
	return f.result, nil
}

// filler is the work of one Fill.
type filler struct {
	t        *Table
	column   Column
	problems Problems
	result   Result

	inBox, insulated conductor.Size // largest conductors present

	countRefused  bool // a counted item was refused: no required volume
	roomRefused   bool // a part of the box was refused
	roomUnknown   bool // a part of the box has no volume
	other         OtherColumn
	otherRequired bool // the other column has every figure of the count
	otherRoom     bool // and of the room
}

func begin(table *Table) (filler, error) {
	switch {
	case table == nil:
		return filler{}, Problems{{"Table", ErrNoRule, "no table: the region has no box-fill rules"}}
	case !known(columnWords, table.Column):
		return filler{}, Problems{{"Table.Column", ErrTable, "not set: say whether the inch or the metric column rules"}}
	}
	f := filler{t: table, column: table.Column, otherRequired: true, otherRoom: true}
	f.result.Region, f.result.Column = table.Region, table.Column
	return f, nil
}

// problem notes one problem. Most questions have none, so the text is only made
// here.
func (f *filler) problem(kind error, path path, format string, args ...any) {
	f.problems = append(f.problems, &Problem{path.String(), kind, fmt.Sprintf(format, args...)})
}

// path is where in the question a problem is: a field, or field[index].sub.
type path struct {
	field string
	index int // -1: none
	sub   string
}

func (p path) String() string {
	s := p.field
	if p.index >= 0 {
		s += "[" + strconv.Itoa(p.index) + "]"
	}
	if p.sub != "" {
		s += "." + p.sub
	}
	return s
}

var inTable = path{field: "Table", index: -1}

// entries checks that no slice of the question is too long.
func (f *filler) entries(c *Contents) bool {
	within := true
	check := func(n int, field string) {
		if n > MaxEntries {
			within = false
			f.problem(ErrLimit, path{field: field, index: -1}, "%d entries: more than %d", n, MaxEntries)
		}
	}
	check(len(c.Box.Sections), "Box.Sections")
	check(len(c.Box.Additions), "Box.Additions")
	check(len(c.Box.Barriers), "Box.Barriers")
	check(len(c.Conductors), "Conductors")
	check(len(c.Grounds), "Grounds")
	check(len(c.Fittings), "Fittings")
	check(len(c.Devices), "Devices")
	check(len(c.Blocks), "Blocks")
	check(len(c.Connectors), "Connectors")
	return within
}

// makeLines makes room for the lines in one piece. There may be fewer, where
// entries repeat.
func (f *filler) makeLines(c *Contents) {
	count := len(c.Conductors) + len(c.Grounds) + len(c.Fittings) + len(c.Devices) + len(c.Blocks) + min(len(c.Connectors), 1)
	grounds := 0
	for i := range c.Grounds {
		grounds += c.Grounds[i].Count
	}
	if first := f.t.Grounds.First; 0 < first && first < grounds {
		count++ // for those beyond the first
	}
	if c.Clamps.Internal > 0 {
		count++
	}
	if c.Clamps.External > 0 {
		count++
	}
	room := len(c.Box.Sections) + len(c.Box.Additions) + len(c.Box.Barriers)
	if len(c.Box.Barriers) > 0 {
		room++ // for the share
	}
	lines := make([]Line, count+room)
	f.result.Lines, f.result.Room = lines[:0:count], lines[count:count]
}

// counted checks a count and reports whether there is anything to count.
func (f *filler) counted(n int, at path) bool {
	switch {
	case n < 0:
		f.problem(ErrNegative, at, "%d: a count is zero or more", n)
	case n > MaxCount:
		f.problem(ErrLimit, at, "%d: more than %d in one entry", n, MaxCount)
	default:
		return n > 0
	}
	return false
}

// sized checks that a size is one the volume method covers at all. Whether the
// table has a volume for it matters only where it takes an allowance.
func (f *filler) sized(size conductor.Size, at path) bool {
	if f.t.covers(size) {
		return true
	}
	if !size.Valid() {
		f.problem(ErrUnset, at, "no conductor size: give one, such as 14 AWG")
	} else {
		f.problem(ErrSize, at, "%v: in %s box fill by volume covers conductors up to %v; for larger ones see %s",
			size, f.t.Region, f.t.Largest.Size, f.t.Largest.Beyond)
	}
	return false
}

// allows reports whether the region has the rule for an item. Where it refuses
// to give one that becomes a refusal, and where it has none a problem.
func (f *filler) allows(absent bool, item Item, at path) bool {
	if refusal := f.t.refusal(item); refusal != nil {
		f.refuse(*refusal)
		if item < ItemBox {
			f.countRefused = true
		} else {
			f.roomRefused = true
		}
		return false
	}
	if absent {
		f.problem(ErrNoRule, at, "%s", f.t.lacks(item))
	}
	return !absent
}

func (f *filler) refuse(r Refusal) {
	for i := range f.result.Refusals {
		if f.result.Refusals[i] == r {
			return
		}
	}
	f.result.Refusals = append(f.result.Refusals, r)
}

func (f *filler) caution(c Caution) {
	for i := range f.result.Cautions {
		if f.result.Cautions[i] == c {
			return
		}
	}
	f.result.Cautions = append(f.result.Cautions, c)
}

// trust adds a caution if a figure that was used is of low confidence.
func (f *filler) trust(source *conductor.Source, item Item) {
	if source.Confidence == conductor.LowConfidence {
		f.caution(Caution{LowConfidence, item, "the figure for the " + item.String() + " is not well verified", *source})
	}
}

// thing is what a rule is applied to.
type thing struct {
	item  Item
	name  string
	count int
	gangs int            // of a device; zero for anything else
	size  conductor.Size // its own; may be unset where the rule does not need it
}

// apply charges a thing under a rule.
func (f *filler) apply(rule *Rule, what thing, at path) {
	if weight, size, ok := f.weigh(rule, &what, at); ok {
		f.charge(Line{Item: what.item, Name: what.name, Count: what.count, Size: size, Weight: weight, Source: rule.Source}, at)
	}
}

// weighty checks a weight of the table.
func (f *filler) weighty(weight Weight, item Item) bool {
	if 0 <= weight && weight <= maxWeight {
		return true
	}
	f.problem(ErrTable, inTable, "rule for the %v: weight %v is not between 0 and %v", item, weight, maxWeight)
	return false
}

// weigh returns how many allowances of which size a thing takes under a rule.
func (f *filler) weigh(rule *Rule, what *thing, at path) (weight Weight, size conductor.Size, ok bool) {
	if !f.allows(rule.Absent(), what.item, at) {
		return 0, size, false
	}
	times := what.count
	switch rule.Per {
	case Each:
	case EachGang:
		times *= what.gangs
	case EachKind, EachSet, OncePerBox:
		times = 1
	case EachPair:
		times = what.count / 2
	default:
		f.problem(ErrTable, inTable, "rule for the %v: cannot be taken %v", what.item, rule.Per)
		return 0, size, false
	}
	if !f.weighty(rule.Weight, what.item) {
		return 0, size, false
	}
	weight = rule.Weight * Weight(times)
	switch rule.Of {
	case OwnSize:
		size = what.size
		if weight > 0 && !f.sized(size, at) {
			return 0, size, false
		}
	case LargestInBox:
		size = f.inBox
	case LargestInsulated:
		size = f.insulated
	default:
		f.problem(ErrTable, inTable, "rule for the %v: does not say whose allowance it takes", what.item)
		return 0, size, false
	}
	if !size.Valid() {
		weight = 0 // no conductor in the box, so no allowance to take
	}
	return weight, size, true
}

// charge finishes a line, whose Weight is that of the whole line, and adds it
// to the count.
func (f *filler) charge(line Line, at path) {
	if line.Weight > 0 {
		allowance := f.t.allowance(line.Size)
		if allowance == nil {
			f.problem(ErrSize, at, "%v: %s has volumes for %s", line.Size, f.t.Region, f.t.sizes())
			return
		}
		each, source := allowance.Volume.In(f.column)
		if each <= 0 {
			f.problem(ErrSize, at, "%v: %s has no %v volume for it", line.Size, f.t.Region, f.column)
			return
		}
		total, ok := line.Weight.of(each)
		if !ok {
			f.problem(ErrLimit, at, "%v allowances of %v are more than a box can need", line.Weight, each)
			return
		}
		line.Each, line.Total, line.VolumeSource = each, total, *source
		f.trust(source, ItemAllowance)
		if second, _ := allowance.Volume.In(f.column.other()); second > 0 {
			total, ok := line.Weight.of(second)
			f.other.Required += total
			f.otherRequired = f.otherRequired && ok && f.other.Required <= maxVolume
		} else {
			f.otherRequired = false
		}
	}
	f.trust(&line.Source, line.Item)
	f.result.Allowances += line.Weight
	f.result.Required += line.Total
	if f.result.Required > maxVolume || f.result.Allowances > maxAllowances {
		f.problem(ErrLimit, at, "the contents need more than %v or %v allowances", maxVolume, maxAllowances)
		f.result.Required, f.result.Allowances = 0, 0
	}
	f.result.Lines = merge(f.result.Lines, line)
}

// merge adds a line to lines, into the one it only repeats if there is one.
func merge(lines []Line, line Line) []Line {
	for i := range lines {
		same := &lines[i]
		if same.Item == line.Item && same.Size == line.Size && same.Each == line.Each &&
			same.Name == line.Name && same.Source == line.Source {
			same.Count += line.Count
			same.Weight += line.Weight
			same.Total += line.Total
			return lines
		}
	}
	return append(lines, line)
}
