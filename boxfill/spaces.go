package boxfill

import (
	"fmt"
	"math/big"
	"slices"
)

// FillSpaces returns the result of each space of one box split by barriers, in
// the order given. The contents must agree in their Box but for its Share, there
// may be one space more than there are barriers, and the shares together may not
// exceed the box. The error is a [Problems] with paths under "Spaces[i]".
func FillSpaces(table *Table, spaces []Contents) ([]Result, error) {
	var problems Problems
	results := make([]Result, len(spaces))
	sum := new(big.Rat)
	for i, space := range spaces {
		at := fmt.Sprintf("Spaces[%d]", i)
		result, err := Fill(table, space)
		if err != nil {
			problems = append(problems, under(at+".", err)...)
			continue
		}
		results[i] = result
		box, first := space.Box, spaces[0].Box
		if len(box.Barriers) > 0 {
			sum.Add(sum, big.NewRat(int64(box.Share.Parts), int64(box.Share.Whole)))
		} else if len(spaces) > 1 {
			problems = append(problems, &Problem{at + ".Box.Barriers", ErrShare, "more than one space, but no barrier"})
		}
		if !sameBox(&box, &first) {
			problems = append(problems, &Problem{at + ".Box", ErrMismatch, "not the same box as the first space"})
		}
	}
	if len(spaces) > 0 && len(spaces) > len(spaces[0].Box.Barriers)+1 {
		problems = append(problems, &Problem{"Spaces", ErrShare,
			fmt.Sprintf("%d spaces, but %d barriers make at most %d", len(spaces), len(spaces[0].Box.Barriers), len(spaces[0].Box.Barriers)+1)})
	}
	if sum.Cmp(big.NewRat(1, 1)) > 0 {
		problems = append(problems, &Problem{"Spaces", ErrShare, "the shares together are " + sum.RatString() + " of the box"})
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return results, nil
}

// sameBox reports whether two boxes are the same but for the share.
func sameBox(a, b *Box) bool {
	return a.Gangs == b.Gangs && slices.Equal(a.Sections, b.Sections) &&
		slices.Equal(a.Additions, b.Additions) && slices.Equal(a.Barriers, b.Barriers)
}
