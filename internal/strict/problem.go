package strict

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A Problem is one complaint about a file: where, what was found, what was
// expected and what to do. Fields are the contract; the text of Error is not.
type Problem struct {
	File string `json:"file"`
	Pos
	Found    string `json:"found"`              // what was found, or what is missing
	Expected string `json:"expected,omitempty"` // what would be right
	Fix      string `json:"fix,omitempty"`      // what to do
	Excerpt  string `json:"excerpt,omitempty"`  // the line, cut when very long
	Caret    int    `json:"caret,omitempty"`    // runes of the excerpt before the place
	Other    *Place `json:"other,omitempty"`    // the second place, when two disagree
}

// A Place is the second place of a problem, with what it has to do with it.
type Place struct {
	File string `json:"file"`
	Pos
	Note    string `json:"note"`
	Excerpt string `json:"excerpt,omitempty"`
	Caret   int    `json:"caret,omitempty"`
}

// Error returns the problem over several lines: file:line:column and the
// message, the excerpt with a caret below the place, and the second place.
func (p Problem) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d:%d: %s", p.File, p.Line, p.Column, p.Found)
	if p.Expected != "" {
		b.WriteString("; expected " + p.Expected)
	}
	if p.Fix != "" {
		b.WriteString("; " + p.Fix)
	}
	writeExcerpt(&b, p.Line, p.Excerpt, p.Caret)
	if p.Other != nil {
		fmt.Fprintf(&b, "\n%s:%d:%d: %s", p.Other.File, p.Other.Line, p.Other.Column, p.Other.Note)
		writeExcerpt(&b, p.Other.Line, p.Other.Excerpt, p.Other.Caret)
	}
	return b.String()
}

func writeExcerpt(b *strings.Builder, line int, excerpt string, caret int) {
	if strings.TrimSpace(excerpt) == "" {
		return
	}
	// A problem may be filled in by hand or read from JSON.
	caret = min(max(caret, 0), len(excerpt))
	fmt.Fprintf(b, "\n%6d | %s\n       | %s^", line, excerpt, strings.Repeat(" ", caret))
}

// Errors is the problems of one file in file order. More is how many beyond
// the limit are not listed.
type Errors struct {
	File string    `json:"file"`
	List []Problem `json:"problems"`
	More int       `json:"more,omitempty"`
}

// Error returns all problems, one after the other, and 'and N more' last.
func (e *Errors) Error() string {
	parts := make([]string, 0, len(e.List)+1)
	for _, p := range e.List {
		parts = append(parts, p.Error())
	}
	if e.More > 0 {
		parts = append(parts, fmt.Sprintf("%s: and %d more", e.File, e.More))
	}
	return strings.Join(parts, "\n")
}

// Unwrap returns the problems as errors, so that errors.As finds a Problem.
func (e *Errors) Unwrap() []error {
	out := make([]error, len(e.List))
	for i, p := range e.List {
		out[i] = p
	}
	return out
}

// collector keeps the first problems of a file, by position, up to a limit.
type collector struct {
	src   *source
	other map[*Place]*source // where the second places are, when in another file
	limit int
	list  []Problem
	more  int
	full  bool
	last  Pos // when full: a problem after this place is only counted
}

func comparePos(a, b Pos) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}

func compareProblems(a, b Problem) int {
	return cmp.Or(comparePos(a.Pos, b.Pos),
		cmp.Compare(a.Found, b.Found), cmp.Compare(a.Expected, b.Expected), cmp.Compare(a.Fix, b.Fix))
}

// counts reports whether a problem at p can still be among those listed; if
// not it has been counted, and the caller need not word it.
func (c *collector) counts(p Pos) bool {
	if c.full && c.last.Before(p) {
		c.more++
		return false
	}
	return true
}

func (c *collector) add(p Problem) {
	if !c.counts(p.Pos) {
		return
	}
	p.File = c.src.name
	c.list = append(c.list, p)
	if len(c.list) >= 2*c.limit {
		c.trim()
	}
}

func (c *collector) trim() {
	slices.SortStableFunc(c.list, compareProblems)
	if len(c.list) > c.limit {
		c.more += len(c.list) - c.limit
		c.list = c.list[:c.limit]
		c.full = true
		c.last = c.list[c.limit-1].Pos
	}
}

// errors returns what was collected, sorted, with excerpts; nil when nothing.
func (c *collector) errors() error {
	if len(c.list) == 0 {
		return nil
	}
	c.trim()
	e := &Errors{File: c.src.name, List: slices.Clone(c.list), More: c.more}
	for i := range e.List {
		p := &e.List[i]
		p.Excerpt, p.Caret = c.src.excerpt(p.Pos)
		if p.Other != nil {
			other, src := *p.Other, c.src
			if s := c.other[p.Other]; s != nil {
				src = s
			}
			other.File = src.name
			other.Excerpt, other.Caret = src.excerpt(other.Pos)
			p.Other = &other
		}
	}
	return e
}
