package lab

import (
	"context"
	"fmt"
	"strings"
)

// A Task is a kind of exercise, such as finding a fault. It is immutable and safe for
// concurrent use. A program may have tasks of its own; package labtest checks them.
type Task interface {
	// Name is what exercise files call it: small letters and single blanks.
	Name() string
	// Make returns the exercise of a seed, its difficulty within the band. It depends
	// on its arguments alone. Where the base gives none of that difficulty the error
	// is a *BandError; where the base lacks what the task needs it is a *BaseError.
	Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error)
}

// An Exercise is one question with everything that belongs to it. It is immutable and
// safe for concurrent use.
type Exercise interface {
	// Sheet is all that the student sees. Nothing else may reach them. Its blocks are
	// shared and must not be changed.
	Sheet() Sheet
	// Difficulty is what was measured.
	Difficulty() Difficulty
	// Practice returns practice wiring as the student first meets it, fresh with each
	// call, or nil where there is none.
	Practice() *Practice
	// Mark marks an answer. It takes any answer whatever: fields that are missing,
	// unknown or full of nonsense cost marks and nothing else.
	Mark(Answer) Result
	// Key is a right answer. It is for the instructor alone.
	Key() Answer
}

// An Answer has a text for each field of a sheet, by the field's ID.
type Answer map[string]string

// A Result says how many marks an answer got.
type Result struct {
	// Points of Of; Of is the sum of the points of the sheet's fields.
	Points, Of int
	// Lost says where the others went, in the order of the sheet's fields. Their points
	// add up to Of less Points.
	Lost []Loss
}

// A Loss is marks that were lost in one field.
type Loss struct {
	Field  string
	Points int
	// Why says it to the student in a sentence. The text is for reading and not stable.
	Why string
}

// Check returns what is wrong with a result for a sheet: points that do not add up, or
// losses in fields that it does not have.
func (r Result) Check(s Sheet) error {
	var wrong []string
	points := map[string]int{}
	of := 0
	for _, f := range s.Fields {
		points[f.ID] = f.Points
		of += f.Points
	}
	if r.Of != of {
		wrong = append(wrong, fmt.Sprintf("it is out of %d, and the fields have %d", r.Of, of))
	}
	lost := 0
	for _, l := range r.Lost {
		most, ok := points[l.Field]
		switch {
		case !ok:
			wrong = append(wrong, fmt.Sprintf("marks are lost in field %q, which the sheet has not", l.Field))
		case l.Points < 1 || l.Points > most:
			wrong = append(wrong, fmt.Sprintf("%d of the %d marks of field %q are lost", l.Points, most, l.Field))
		}
		if strings.TrimSpace(l.Why) == "" {
			wrong = append(wrong, fmt.Sprintf("nothing says why marks are lost in field %q", l.Field))
		}
		points[l.Field] -= l.Points
		lost += l.Points
	}
	if r.Points != r.Of-lost {
		wrong = append(wrong, fmt.Sprintf("%d marks of %d are given and %d lost", r.Points, r.Of, lost))
	}
	if len(wrong) > 0 {
		return fmt.Errorf("lab: the result does not add up: %s", strings.Join(wrong, "; "))
	}
	return nil
}

// A BaseError says that a base cannot carry a task.
type BaseError struct {
	Task string
	// Lacks says what the base would have to have.
	Lacks string
}

// Error returns the task and what is missing.
func (e *BaseError) Error() string { return fmt.Sprintf("lab: %s: the base %s", e.Task, e.Lacks) }

// A BandError says that no exercise of the difficulty asked for was found.
type BandError struct {
	Task string
	Want Band
	// Tried is how many were made, and Nearest the difficulty of the one that came
	// nearest.
	Tried   int
	Nearest Difficulty
}

// Error says what was wanted and what there is.
func (e *BandError) Error() string {
	return fmt.Sprintf("lab: %s: none of %d exercises has a level of %s; the nearest has %d (%s): ask for another level, or widen the base",
		e.Task, e.Tried, e.Want, e.Nearest.Level(), e.Nearest)
}
