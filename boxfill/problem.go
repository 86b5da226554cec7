package boxfill

import (
	"errors"
	"strings"
)

// What can be wrong with a question or a table; errors.Is finds them in the
// error of any function of this package.
var (
	ErrNegative = errors.New("negative")                   // a count, length or volume below zero
	ErrLimit    = errors.New("beyond the limit")           // more than this package takes, or a figure too large
	ErrUnset    = errors.New("not given")                  // an enumeration or size that the question needs
	ErrSize     = errors.New("size not in the table")      // a conductor size the region has no volume for
	ErrName     = errors.New("name not in the table")      // a box type or kind of fitting
	ErrGangs    = errors.New("gangs do not match")         // devices that the box's gangs do not hold
	ErrShare    = errors.New("share of the box")           // a space behind a barrier without a share that makes sense
	ErrMismatch = errors.New("parts contradict")           // two parts of the question that cannot both be true
	ErrNoRule   = errors.New("no such rule in the region") // valid elsewhere, perhaps, not in this region
	ErrTable    = errors.New("malformed table")            // a mistake in the table, not in the question
)

// A Problem is one thing wrong with a question or a table.
type Problem struct {
	Path string // where, in the words of the Go fields: "Devices[1].Largest"
	Kind error  // one of the Err values of this package
	Text string // what was wrong, what was expected, what to do
}

func (p *Problem) Error() string { return p.Path + ": " + p.Text }

// Unwrap returns the kind of problem.
func (p *Problem) Unwrap() error { return p.Kind }

// Problems are all the problems of one question or table, in the order of its
// fields. As an error it reads as one problem per line.
type Problems []*Problem

func (p Problems) Error() string {
	var b strings.Builder
	for i, problem := range p {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString("box fill: ")
		b.WriteString(problem.Error())
	}
	return b.String()
}

// Unwrap returns the problems.
func (p Problems) Unwrap() []error {
	errs := make([]error, len(p))
	for i, problem := range p {
		errs[i] = problem
	}
	return errs
}

// err returns p as an error, nil if there is no problem.
func (p Problems) err() error {
	if len(p) == 0 {
		return nil
	}
	return p
}
