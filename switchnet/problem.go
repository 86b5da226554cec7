package switchnet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/enum"
)

// A Code says which sort of mistake a Problem is. Codes are only ever added.
type Code uint8

// The codes.
const (
	Unnamed       Code = iota + 1 // a thing that needs a name has none
	Duplicate                     // two things have one name
	Unknown                       // a name that nothing was declared under
	BadKind                       // a device kind that contradicts itself
	BadSource                     // two sources, or an impossible system
	BadConductor                  // a conductor from a terminal to itself
	BadSplice                     // a splice of nothing, or of one terminal twice
	BadLoad                       // a load with both ends on one terminal
	TooLarge                      // beyond the stated limits
	ForeignState                  // a state of another net
	MissingSource                 // no source was declared
)

var codeNames = [...]string{"", "unnamed", "duplicate", "unknown", "bad-kind", "bad-source", "bad-conductor",
	"bad-splice", "bad-load", "too-large", "foreign-state", "missing-source"}

// String returns the word.
func (c Code) String() string {
	return enum.Word(codeNames[:], c, "Code")
}

// MarshalText writes the word.
func (c Code) MarshalText() ([]byte, error) {
	return marshalWord(codeNames[:], uint8(c), "problem code")
}

// UnmarshalText reads the word.
func (c *Code) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(codeNames[:], text, "problem code")
	if err == nil {
		*c = Code(n)
	}
	return err
}

// A Problem is one mistake in what was declared.
type Problem struct {
	Code    Code
	Subject string // the thing that is wrong, "conductor C4 red"
	Detail  string // what is wrong and what was expected; the text is not stable
}

// Error returns the problem as one line.
func (p *Problem) Error() string { return p.Subject + " " + p.Detail }

// Problems are all mistakes found at once, in order of subject, then code, then
// detail.
type Problems []*Problem

// Error returns one line a problem.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return "switchnet: " + strings.Join(lines, "\nswitchnet: ")
}

// Unwrap lets errors.As find a *Problem.
func (ps Problems) Unwrap() []error {
	errs := make([]error, len(ps))
	for i, p := range ps {
		errs[i] = p
	}
	return errs
}

type problemList struct{ list Problems }

func (l *problemList) add(code Code, subject, format string, args ...any) {
	l.list = append(l.list, &Problem{code, subject, fmt.Sprintf(format, args...)})
}

func (l *problemList) sorted() Problems {
	slices.SortStableFunc(l.list, func(a, b *Problem) int {
		return cmp.Or(strings.Compare(a.Subject, b.Subject), cmp.Compare(a.Code, b.Code), strings.Compare(a.Detail, b.Detail))
	})
	return l.list
}
