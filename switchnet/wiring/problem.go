package wiring

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A Ref says which entry of which list of a Spec, or of an intent, a problem is
// about.
type Ref struct {
	List  string // "feeds", "boxes", "lights", "devices", "cables", "splices", "landings", ...; or "supply"
	Index int    // counted from 0
	Field string // "name", "box", "wire", ...; "join 2" counts from 0
}

// String returns "landings[3].wire".
func (r Ref) String() string {
	s := r.List
	if r.List != "supply" {
		s = fmt.Sprintf("%s[%d]", r.List, r.Index)
	}
	if r.Field != "" {
		s += "." + r.Field
	}
	return s
}

// A Problem is one contradiction in a Spec.
type Problem struct {
	At     Ref
	Also   *Ref // the other place, when two disagree
	Detail string
	// Candidates are the names that would have been right, in name order, when
	// a name is unknown.
	Candidates []string
}

// Error returns the problem as one line.
func (p *Problem) Error() string {
	s := p.At.String() + ": " + p.Detail
	if p.Also != nil {
		s += " (see " + p.Also.String() + ")"
	}
	if len(p.Candidates) > 0 {
		s += "; known: " + strings.Join(p.Candidates, ", ")
	}
	return s
}

// Problems are all problems of a Spec, in the order of its lists and entries.
type Problems []*Problem

// Error returns one line a problem.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = "wiring: " + p.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find a *Problem.
func (ps Problems) Unwrap() []error {
	errs := make([]error, len(ps))
	for i, p := range ps {
		errs[i] = p
	}
	return errs
}

// lists is the order of the lists of a job: first those that an intent has, then
// those of a wiring.
var lists = []string{"supply", "feeds", "boxes", "lights", "runs", "controls", "needs",
	"devices", "cables", "splices", "landings", "caps", "marks", "tags", "opens", "ties"}

// Sort puts the problems in the order of their lists and entries.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b *Problem) int {
		return cmp.Or(cmp.Compare(slices.Index(lists, a.At.List), slices.Index(lists, b.At.List)), cmp.Compare(a.At.Index, b.At.Index))
	})
}
