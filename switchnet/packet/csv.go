package packet

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/spreadsheet"
)

// WriteTakeOffCSV writes the take-off of a packet as a table for spreadsheets, whose
// first row has the names of the columns: group, item, quantity, unit, pieces and cut
// length of cable, price and cost and labor and effort where the stock has any, and
// the rule of the count. Cables are first, in the unit of the take-off and rounded up
// to a hundredth of it; a row of totals is last where there are costs. Texts are
// guarded against being taken for formulas or dates: see the section on CSV in the
// package's documentation.
func WriteTakeOffCSV(w io.Writer, d *Document) error {
	t := &d.TakeOff
	table := spreadsheet.NewWriter(w)
	priced := t.Cost > 0 || slices.ContainsFunc(t.Cables, func(c CableTotal) bool { return c.Price.Known() })
	labored := t.Effort > 0 || slices.ContainsFunc(t.Cables, func(c CableTotal) bool { return c.Labor.Known() })
	row := func(cells []spreadsheet.Cell, price, cost, labor, effort spreadsheet.Cell, rule string) {
		if priced {
			cells = append(cells, price, cost)
		}
		if labored {
			cells = append(cells, labor, effort)
		}
		table.Row(append(cells, spreadsheet.Text(rule))...)
	}
	text := spreadsheet.Text
	row([]spreadsheet.Cell{text("group"), text("item"), text("quantity"), text("unit"), text("pieces"), text("cut")},
		text("price"), text("cost"), text("labor"), text("effort"), "rule")
	unit := unitName(t.Unit)
	for _, c := range t.Cables {
		row([]spreadsheet.Cell{text("cable"), text(c.Type + " cable"), number(c.Buy, t.Unit), text(unit), count(c.Pieces), number(c.Cut, t.Unit)},
			rate(c.Price, t.Unit), amount(c.Cost, c.Price.Known()), rate(c.Labor, t.Unit), amount(c.Effort, c.Labor.Known()), c.Rule)
	}
	for _, i := range t.Items {
		row([]spreadsheet.Cell{text(i.Kind.String()), text(i.Name), count(i.Count), text("each"), {}, {}},
			amount(i.Price, i.Price > 0), amount(i.Cost, i.Price > 0), amount(i.Labor, i.Labor > 0), amount(i.Effort, i.Labor > 0), i.Rule)
	}
	if priced || labored {
		row([]spreadsheet.Cell{text("total"), text("of what has a figure"), {}, {}, {}, {}},
			spreadsheet.Cell{}, amount(t.Cost, true), spreadsheet.Cell{}, amount(t.Effort, true), fmt.Sprintf("%s without a price", plural(t.Unpriced, "line")))
	}
	return table.Flush()
}

// WriteCablesCSV writes the cable schedule of a packet as a table for spreadsheets:
// name, type, ends, length of the run, what is allowed at either end, cut length, unit
// and what each conductor is for, in the order of the job. Lengths that are not known
// are left empty. Texts are guarded as in [WriteTakeOffCSV].
func WriteCablesCSV(w io.Writer, d *Document) error {
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
