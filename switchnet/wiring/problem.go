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
	List  string // "feeds", "boxes", "lights", "devices", "cables", "splices", "landings", ...; or "supply" or "installed", which are no lists
	Index int    // counted from 0; 0 for what is no list
	Field string // "name", "box", "wire", ...; "join 2" counts from 0
}

// String returns "landings[3].wire".
func (r Ref) String() string {
	s := r.List
	if r.List != "supply" && r.List != "installed" {
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
	// Candidates are names that would have been right when a name is unknown:
	// terminals and conductors in the order of their kind or cable, all others in
	// name order. Of more than [MaxCandidates] they are those nearest to the
	// unknown name, as [Names.Near] finds them.
	Candidates []string
	// More is how many names would have been right beside Candidates.
	More int
}

// propose fills in the candidates for an unknown name.
func (p *Problem) propose(known *Names, name string) {
	p.Candidates, p.More = known.Near(name)
}

// proposeOf fills in the candidates for an unknown terminal or conductor.
func (p *Problem) proposeOf(known []string, name string) {
	if len(known) <= MaxCandidates {
		p.Candidates = slices.Clone(known)
		return
	}
	p.propose(NewNames(slices.Values(known)), name)
}

// Error returns the problem as one line. The text is for reading and not stable;
// nor is Detail.
func (p *Problem) Error() string {
	s := p.At.String() + ": " + p.Detail
	if p.Also != nil {
		s += " (see " + p.Also.String() + ")"
	}
	if len(p.Candidates) > 0 {
		s += "; known: " + strings.Join(p.Candidates, ", ")
		if p.More > 0 {
			s += fmt.Sprintf(" and %d more", p.More)
		}
	}
	return s
}

// Problems are all problems of a Spec, in the order of its lists (supply, installed,
// feeds, boxes, lights, devices, cables, splices, landings, caps, marks, tags, opens,
// ties), then of the entries; those of one entry are in an order that depends on
// nothing else. Of two entries that disagree the later one has the problem, and Also
// is the earlier.
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
var lists = []string{"supply", "installed", "feeds", "boxes", "lights", "runs", "controls", "needs", "exemptions", "stairs", "stock",
	"devices", "cables", "splices", "landings", "caps", "marks", "tags", "opens", "ties"}

// Sort puts the problems in the order of their lists and entries; those of one entry
// stay as they are. What an intent has beside a wiring (runs, controls, needs,
// exemptions, stairs, stock) comes after the lights.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b *Problem) int {
		return cmp.Or(cmp.Compare(slices.Index(lists, a.At.List), slices.Index(lists, b.At.List)), cmp.Compare(a.At.Index, b.At.Index))
	})
}
