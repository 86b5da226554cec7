package boxfill

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
)

// A Choice is a box of the stock that the contents fit into.
type Choice struct {
	Box    StockBox `json:"box"`
	Result Result   `json:"result"`
}

// Pick returns the boxes of the stock that the contents fit into, smallest
// first: by available volume, then by gangs, then by name, then by place in the
// stock. The sections and gangs of contents.Box are replaced; its additions,
// barriers and share stay. A box with fewer gangs than the devices need, or of a
// volume that is unknown or refused, is no choice; none at all is an empty
// slice, not an error. A choice may carry cautions.
//
// The error is a [Problems]: malformed contents, or a box of the stock that the
// table does not know, with paths under "Stock[i]".
func Pick(table *Table, stock []StockBox, contents Contents) ([]Choice, error) {
	bare := contents
	bare.Box.Sections, bare.Box.Gangs = nil, 0
	if _, err := Fill(table, bare); err != nil {
		return nil, err
	}
	var choices []Choice
	var problems Problems
	needed := gangsNeeded(contents.Devices)
	for i := range stock {
		box := &stock[i]
		if gangs := table.gangsOf(box); gangs > 0 && gangs < needed {
			continue
		}
		if box.Clamps != 0 && !known(clampingWords, box.Clamps) {
			problems = append(problems, &Problem{fmt.Sprintf("Stock[%d].Clamps", i), ErrUnset,
				fmt.Sprintf("%v: want one of %s", box.Clamps, wordList(clampingWords))})
			continue
		}
		result, err := Fill(table, box.holding(contents))
		if problem, ok := err.(Problems); ok && len(problem) == 1 && problem[0].Kind == ErrMismatch {
			continue // smaller than its barriers, for the contents are sound
		}
		if err != nil {
			problems = append(problems, under(fmt.Sprintf("Stock[%d].", i), err)...)
			continue
		}
		if result.Status.OK() {
			choices = append(choices, Choice{*box, result})
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	slices.SortStableFunc(choices, func(a, b Choice) int {
		return cmp.Or(
			cmp.Compare(a.Result.Available, b.Result.Available),
			cmp.Compare(table.gangsOf(&a.Box), table.gangsOf(&b.Box)),
			cmp.Compare(a.Box.Name, b.Box.Name))
	})
	return choices, nil
}

// Stock returns the table's own box types as a stock, in the order of the
// table, without those whose volume is refused. Types measured by the gang get
// the given number of gangs.
func (t *Table) Stock(gangs int) []StockBox {
	var stock []StockBox
	for i := range t.Boxes {
		b := &t.Boxes[i]
		if b.Refused != "" {
			continue
		}
		box := StockBox{Name: b.Name, Section: Section{Type: b.Name}}
		if b.PerGang {
			box.Section.Count = gangs
		}
		stock = append(stock, box)
	}
	return stock
}

// gangsOf returns the gangs of a box of the stock, zero where they are not known.
func (t *Table) gangsOf(box *StockBox) int {
	if box.Gangs != 0 {
		return box.Gangs
	}
	if kind := t.boxType(box.Section.Type); kind != nil {
		return kind.Gangs * max(box.Section.Count, 1)
	}
	return 0
}

// holding returns the contents in this box, with the clamps it holds cables by.
func (b *StockBox) holding(contents Contents) Contents {
	contents.Box.Sections, contents.Box.Gangs = []Section{b.Section}, b.Gangs
	clamps := &contents.Clamps
	switch b.Clamps {
	case InternalClamps:
		*clamps = Clamps{Internal: max(1, clamps.Internal+clamps.External)}
	case ExternalClamps:
		*clamps = Clamps{External: clamps.Internal + clamps.External}
	case NoClamps:
		*clamps = Clamps{}
	}
	return contents
}

// under returns the problems of an error with a prefix to their paths.
func under(prefix string, err error) Problems {
	problems, _ := err.(Problems) // Fill returns no other error
	for _, p := range problems {
		p.Path = prefix + p.Path
	}
	return problems
}

// More returns how many more conductors of one size could come in and be
// spliced before the box is full, rounded down to whole conductors, and the
// status of the box as it is. Where that is not a success there is room for
// none. The error is that of [Fill].
func More(table *Table, contents Contents, size conductor.Size) (int, Status, error) {
	with := func(n int) (Result, error) {
		more := contents
		more.Conductors = append(slices.Clip(contents.Conductors), Conductors{size, n, Spliced, 0})
		return Fill(table, more)
	}
	now, err := with(0)
	if err != nil {
		return 0, 0, err
	}
	one, err := with(1)
	if err != nil {
		return 0, 0, err
	}
	two, err := with(2)
	if err != nil {
		return 0, 0, err
	}
	// The first may also raise what is charged at the largest size; from then on
	// each takes the same.
	each := two.Required - one.Required
	switch {
	case !now.Status.OK() || !one.Status.OK():
		return 0, now.Status, nil
	case each <= 0:
		return 0, 0, Problems{{"Table", ErrTable, "a spliced conductor takes no room"}}
	}
	return 1 + int(one.Spare/each), now.Status, nil
}
