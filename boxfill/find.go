package boxfill

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.com/switchleg/conductor/quantity"
)

// FindBox returns the box type that a text names: by its exact name, or by
// nominal dimensions in inches and words of its name or shape, in any order, as
// in "3x2x3.5 device" or "square 4 x 2-1/8". A square, round or octagonal box
// may leave out its second dimension; the words "box" and "in" are ignored. The
// error is a [Problems]: with [ErrName] it lists the nearest types, or the types
// the text could mean.
func (t *Table) FindBox(text string) (BoxType, error) {
	if b := t.boxType(text); b != nil {
		return *b, nil
	}
	words, numbers := boxWords(text)
	var found []*BoxType
	if len(words)+len(numbers) > 0 {
		for i := range t.Boxes {
			if t.Boxes[i].described(words, numbers) {
				found = append(found, &t.Boxes[i])
			}
		}
	}
	switch len(found) {
	case 0:
		return BoxType{}, Problems{{"box", ErrName, fmt.Sprintf("%q: %s", text, t.noBox(text))}}
	case 1:
		return *found[0], nil
	}
	var names []string
	for _, b := range found {
		names = append(names, strconv.Quote(b.Name))
	}
	slices.Sort(names)
	return BoxType{}, Problems{{"box", ErrName, fmt.Sprintf("%q could be %s: give the dimensions and the shape", text, strings.Join(names, ", "))}}
}

// boxWords splits a description into words, lower case, and nominal inches.
func boxWords(text string) (words []string, numbers []quantity.Length) {
	var b strings.Builder
	digit := false // the rune before was one
	for _, r := range strings.ToLower(text) {
		if r == 'x' && digit || strings.ContainsRune("×,_\"", r) {
			r = ' '
		}
		b.WriteRune(r)
		digit = unicode.IsDigit(r)
	}
	for _, field := range strings.Fields(b.String()) {
		if length, ok := nominalInches(field); ok {
			numbers = append(numbers, length)
		} else if field != "x" && field != "box" && field != "in" {
			words = append(words, field)
		}
	}
	return words, numbers
}

// nominalInches reads "3", "3.5", "3-1/2" or "1/2".
func nominalInches(text string) (quantity.Length, bool) {
	whole, fraction, both := strings.Cut(text, "-")
	if !both && strings.Contains(text, "/") {
		whole, fraction = "0", text
	}
	length, err := quantity.ParseLength(whole + " in")
	if err != nil || length < 0 {
		return 0, false
	}
	if fraction == "" {
		return length, !both
	}
	above, below, _ := strings.Cut(fraction, "/")
	n, err1 := strconv.ParseUint(above, 10, 8)
	d, err2 := strconv.ParseUint(below, 10, 8)
	if err1 != nil || err2 != nil || d == 0 || int64(quantity.Inch)*int64(n)%int64(d) != 0 {
		return 0, false
	}
	return length + quantity.Inch*quantity.Length(n)/quantity.Length(d), true
}

// described reports whether words and dimensions fit the box type.
func (b *BoxType) described(words []string, numbers []quantity.Length) bool {
	name := strings.ToLower(b.Name + " " + b.Shape)
	for _, w := range words {
		if !strings.Contains(name, w) {
			return false
		}
	}
	switch len(numbers) {
	case 0:
		return true
	case 2:
		return numbers[0] == b.Width && numbers[1] == b.Depth && (b.Second == 0 || b.Second == b.Width)
	case 3:
		return numbers[0] == b.Width && numbers[1] == b.Second && numbers[2] == b.Depth
	}
	return false
}

// noBox says that there is no such box type, and the nearest names.
func (t *Table) noBox(name string) string {
	if len(t.Boxes) == 0 {
		return "no box types in " + t.Region + ": give the volume marked on the box"
	}
	type near struct {
		name     string
		distance int
	}
	var all []near
	for i := range t.Boxes {
		all = append(all, near{t.Boxes[i].Name, distance(strings.ToLower(name), strings.ToLower(t.Boxes[i].Name))})
	}
	slices.SortFunc(all, func(a, b near) int {
		if a.distance != b.distance {
			return a.distance - b.distance
		}
		return strings.Compare(a.name, b.name)
	})
	var names []string
	for _, n := range all[:min(3, len(all))] {
		names = append(names, strconv.Quote(n.name))
	}
	return fmt.Sprintf("no such box type among the %d of %s; the nearest are %s", len(all), t.Region, strings.Join(names, ", "))
}

// distance is the edit distance of two texts, of which at most 64 bytes count.
func distance(a, b string) int {
	a, b = a[:min(len(a), 64)], b[:min(len(b), 64)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
