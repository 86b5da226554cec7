package boxfill

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"unicode"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Unit returns the unit in which a column's figures are printed.
func (c Column) Unit() quantity.Volume {
	if c == MetricColumn {
		return quantity.Milliliter
	}
	return quantity.CubicInch
}

// Explain returns the result as text, a line for each figure with the section it
// comes from, then what the other column would say where it differs, then the
// [Result.Summary]. Volumes are
// exact where their decimals end and otherwise rounded to three places. The
// wording is for people and not stable.
func (r *Result) Explain() string {
	var table, b strings.Builder
	w := tabwriter.NewWriter(&table, 0, 0, 2, ' ', 0) // writing to a strings.Builder does not fail
	for i := range r.Lines {
		l := &r.Lines[i]
		fmt.Fprintf(w, "  %s\t%s\t%s\n", l.what(), l.sum(r.Column.Unit()), l.where())
	}
	if !r.countRefused() {
		fmt.Fprintf(w, "  required\t%s\t\n", r.Required.In(r.Column.Unit()))
	}
	for i := range r.Room {
		l := &r.Room[i]
		fmt.Fprintf(w, "  %s\t%s\t%s\n", l.what(), l.sum(r.Column.Unit()), l.where())
	}
	if len(r.Room) > 0 {
		fmt.Fprintf(w, "  available\t%s\t\n", r.Available.In(r.Column.Unit()))
	}
	w.Flush()
	fmt.Fprintf(&b, "Box fill in %s, by the %v column:\n", r.Region, r.Column)
	for line := range strings.Lines(table.String()) {
		b.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	if o := r.Other; o.Status != 0 && o.Status.OK() != r.Status.OK() {
		unit := r.Column.other().Unit()
		fmt.Fprintf(&b, "By the %v column: %v (%s needed, %s there); in %s the %v column rules.\n",
			r.Column.other(), o.Status, o.Required.In(unit), o.Available.In(unit), r.Region, r.Column)
	}
	b.WriteString(r.Summary())
	return b.String()
}

// Summary returns the verdict, the refusals and the cautions as text, a line for
// each. The wording is for people and not stable.
func (r *Result) Summary() string {
	var b strings.Builder
	b.WriteString(r.Verdict() + "\n")
	for i := range r.Refusals {
		refusal := &r.Refusals[i]
		fmt.Fprintf(&b, "Refused: %v: %s%s\n", refusal.Item, refusal.Why, after(&refusal.Source))
	}
	for i := range r.Cautions {
		caution := &r.Cautions[i]
		fmt.Fprintf(&b, "Caution: %s%s\n", caution.Text, after(&caution.Source))
	}
	return b.String()
}

// Verdict returns the status as one sentence with its figures.
func (r *Result) Verdict() string {
	unit := r.Column.Unit()
	switch r.Status {
	case Fits:
		return fmt.Sprintf("It fits: %s needed, %s there, %s to spare.", r.Required.In(unit), r.Available.In(unit), r.Spare.In(unit))
	case ExactlyFull:
		return fmt.Sprintf("It fits and is exactly full: %s needed and there.", r.Required.In(unit))
	case DoesNotFit:
		return fmt.Sprintf("It does not fit: %s needed, %s there, %s too little.", r.Required.In(unit), r.Available.In(unit), (-r.Spare).In(unit))
	case VolumeUnknown:
		return fmt.Sprintf("The volume of the box is not known; the contents need %s. Read the volume marked on the box.", r.Required.In(unit))
	case Refused:
		if r.countRefused() {
			return "No answer: the rules of the region are not sure enough for what is in the box."
		}
		return fmt.Sprintf("No answer: the contents need %s, but the region's figure for the box is not sure enough. Read the volume marked on the box.", r.Required.In(unit))
	}
	return "No answer."
}

// countRefused reports whether a refusal is about the count, not the box.
func (r *Result) countRefused() bool {
	return len(r.Refusals) > 0 && r.Refusals[0].Item < ItemBox // sorted by item
}

// oneLine returns a name with blanks for its control characters and line breaks, so
// that no name of a device can look like a line of the answer.
func oneLine(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, name)
}

// what names the line: "6 spliced conductors, 14 AWG".
func (l *Line) what() string {
	switch l.Item {
	case ItemBox, ItemMarked, ItemAddition:
		name := oneLine(l.Name)
		if name == "" {
			name = "box"
		}
		if l.Item == ItemMarked {
			name += ", as marked"
		}
		if l.Count > 1 {
			return fmt.Sprintf("%d of %s", l.Count, name)
		}
		return name
	case ItemShare:
		return "less the other spaces: share " + l.Name
	}
	text := countWords(l.Count, l.Item)
	if l.Name != "" {
		text += " (" + oneLine(l.Name) + ")"
	}
	if l.Size.Valid() {
		text += ", " + l.Size.String()
	}
	return text
}

// sum gives the arithmetic of the line: "6 x 2 in3 = 12 in3".
func (l *Line) sum(unit quantity.Volume) string {
	switch {
	case l.Total == 0:
		return quantity.Volume(0).In(unit)
	case l.Weight > 0 && l.Weight != One:
		return fmt.Sprintf("%v x %s = %s", l.Weight, l.Each.In(unit), l.Total.In(unit))
	case l.Weight == 0 && l.Count > 1:
		return fmt.Sprintf("%d x %s = %s", l.Count, l.Each.In(unit), l.Total.In(unit))
	}
	return l.Total.In(unit)
}

// where gives the sections of the line.
func (l *Line) where() string {
	text := l.Source.String()
	if !l.VolumeSource.Absent() {
		text += "; volume " + l.VolumeSource.String()
	}
	return text
}

// after gives a source to stand behind a text.
func after(s *conductor.Source) string {
	if s.Absent() {
		return ""
	}
	return ": " + s.String()
}

var itemPlurals = []string{"", "spliced conductors", "landed conductors", "conductors passing through", "looped conductors",
	"pigtails", "fixture wires", "grounding conductors", "further grounding conductors", "insulated grounding conductors",
	"isolated grounding conductors", "grounding conductors of a luminaire", "internal clamps", "external clamps",
	"support fittings", "devices", "wide devices", "deep devices", "terminal blocks", "wire connectors", "boxes",
	"marked boxes", "additions", "barriers", "shares", "conductor allowances"}

func countWords(n int, item Item) string {
	if n == 1 {
		return "1 " + word(itemWords, item)
	}
	return fmt.Sprintf("%d %s", n, word(itemPlurals, item))
}
