package packet

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/spreadsheet"
)

// Ruled is a take-off with the region by whose rules it was counted.
type Ruled struct {
	Rules   string   `json:"rules"`
	TakeOff *TakeOff `json:"take_off"`
}

// WriteTakeOffCSV writes the take-off of a packet as a table for spreadsheets, whose
// first row has the names of the columns: group, item, quantity, unit, pieces and cut
// length of cable, price and cost where something has a price, labor and effort where
// something has a figure for it, and the rule of the count. Cables are first, in the
// unit of the take-off and rounded up to a hundredth of it; a row of totals is last
// where there are prices or labor. Texts are guarded against being taken for formulas
// or dates: see the section on CSV in the package's documentation.
func WriteTakeOffCSV(w io.Writer, d *Document) error {
	if d == nil {
		return errNoDocument
	}
	return writeTable(w, []Ruled{{d.Region.ID, &d.TakeOff}}, false)
}

// WriteSumCSV writes sums of take-offs (see [SumTakeOffs]) as one table like that of
// [WriteTakeOffCSV], in the order in which they are given, with two columns more: the
// rules first, and before the prices the number of jobs that have the line.
func WriteSumCSV(w io.Writer, sums []Ruled) error { return writeTable(w, sums, true) }

// lines writes lines of take-offs.
type lines struct {
	*spreadsheet.Writer
	sum, priced, labored bool
}

// row writes a line: what is in every table, and what is in some.
func (t *lines) row(rules string, cells [6]spreadsheet.Cell, jobs spreadsheet.Cell, price, cost, labor, effort spreadsheet.Cell, rule string) {
	var out []spreadsheet.Cell
	if t.sum {
		out = append(out, spreadsheet.Text(rules))
	}
	out = append(out, cells[:]...)
	if t.sum {
		out = append(out, jobs)
	}
	if t.priced {
		out = append(out, price, cost)
	}
	if t.labored {
		out = append(out, labor, effort)
	}
	t.Row(append(out, spreadsheet.Text(rule))...)
}

func writeTable(w io.Writer, parts []Ruled, sum bool) error {
	t := &lines{Writer: spreadsheet.NewWriter(w), sum: sum}
	for _, p := range parts {
		t.priced = t.priced || slices.ContainsFunc(p.TakeOff.Cables, func(c CableTotal) bool { return c.Price.Known() }) ||
			slices.ContainsFunc(p.TakeOff.Items, func(i Item) bool { return i.Price > 0 })
		t.labored = t.labored || slices.ContainsFunc(p.TakeOff.Cables, func(c CableTotal) bool { return c.Labor.Known() }) ||
			slices.ContainsFunc(p.TakeOff.Items, func(i Item) bool { return i.Labor > 0 })
	}
	text := spreadsheet.Text
	none := spreadsheet.Cell{}
	t.row("rules", [6]spreadsheet.Cell{text("group"), text("item"), text("quantity"), text("unit"), text("pieces"), text("cut")},
		text("jobs"), text("price"), text("cost"), text("labor"), text("effort"), "rule")
	var cost, effort rules.Amount
	unpriced := 0
	for _, p := range parts {
		o := p.TakeOff
		for _, c := range o.Cables {
			t.row(p.Rules, [6]spreadsheet.Cell{text("cable"), text(c.Type + " cable"), number(c.Buy, o.Unit), text(unitName(o.Unit)), count(c.Pieces), number(c.Cut, o.Unit)},
				count(c.Jobs), rate(c.Price, o.Unit), amount(c.Cost, c.Price.Known()), rate(c.Labor, o.Unit), amount(c.Effort, c.Labor.Known()), c.Rule)
		}
		for _, w := range o.Wires {
			t.row(p.Rules, [6]spreadsheet.Cell{text("wire"), text(w.Name), number(w.Buy, o.Unit), text(unitName(o.Unit)), none, number(w.Cut, o.Unit)},
				count(w.Jobs), none, none, none, none, wireRule)
		}
		for _, i := range o.Items {
			t.row(p.Rules, [6]spreadsheet.Cell{text(i.Kind.String()), text(i.Name), count(i.Count), text("each"), none, none},
				count(i.Jobs), amount(i.Price, i.Price > 0), amount(i.Cost, i.Price > 0), amount(i.Labor, i.Labor > 0), amount(i.Effort, i.Labor > 0), i.Rule)
		}
		if !add(&cost, o.Cost) || !add(&effort, o.Effort) {
			return errCost
		}
		unpriced += o.Unpriced
	}
	if t.priced || t.labored {
		t.row("", [6]spreadsheet.Cell{text("total"), text("of what has a figure"), none, none, none, none}, none,
			none, amount(cost, true), none, amount(effort, true), plural(unpriced, "line")+" without a price")
	}
	return t.Flush()
}

// WriteCablesCSV writes the cable schedule of a packet as a table for spreadsheets:
// name, type, ends, length of the run, what is allowed at either end, cut length, unit
// and what each conductor is for, in the order of the job. Lengths that are not known
// are left empty. Texts are guarded as in [WriteTakeOffCSV].
func WriteCablesCSV(w io.Writer, d *Document) error {
	if d == nil {
		return errNoDocument
	}
	table := spreadsheet.NewWriter(w)
	text := spreadsheet.Text
	table.Row(text("cable"), text("type"), text("from"), text("to"), text("run"), text("at from"), text("at to"), text("cut"), text("unit"),
		text("in place"), text("conductors"))
	cuts := map[string]*Cut{}
	for i := range d.TakeOff.Cuts {
		cuts[d.TakeOff.Cuts[i].Cable] = &d.TakeOff.Cuts[i]
	}
	unit := d.TakeOff.Unit
	known := func(l quantity.Length) spreadsheet.Cell {
		if l == 0 {
			return spreadsheet.Cell{}
		}
		return number(l, unit)
	}
	for _, c := range d.Cables {
		var cut Cut
		if found := cuts[c.Name]; found != nil {
			cut = *found
		}
		there := ""
		if cut.InPlace {
			there = "in place"
		}
		var conductors []string
		for _, k := range c.Conductors {
			says := k.Colour + ": " + k.Says
			if k.Open {
				says += " (open along the run)"
			}
			conductors = append(conductors, says)
		}
		table.Row(text(c.Name), text(c.Type+" cable"), text(c.From), text(c.To), known(c.Length), number(cut.From, unit), number(cut.To, unit),
			known(cut.Length), text(unitName(unit)), text(there), text(strings.Join(conductors, "; ")))
	}
	return table.Flush()
}

// number writes a length as a number of units, rounded up to a hundredth.
func number(l, unit quantity.Length) spreadsheet.Cell {
	n, _, _ := strings.Cut(printed(l, unit), " ")
	return spreadsheet.Number(n)
}

func count(n int) spreadsheet.Cell { return spreadsheet.Number(strconv.Itoa(n)) }

func amount(a rules.Amount, known bool) spreadsheet.Cell {
	if !known {
		return spreadsheet.Cell{}
	}
	return spreadsheet.Number(a.String())
}

// rate writes what one unit of length costs.
func rate(r rules.Rate, unit quantity.Length) spreadsheet.Cell {
	a, ok := r.For(unit)
	return amount(a, ok)
}

// unitName returns "ft" or "m".
func unitName(unit quantity.Length) string {
	_, name, _ := strings.Cut(unit.String(), " ")
	return name
}
