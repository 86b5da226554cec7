package lab

import (
	"context"
	"fmt"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// A Solver answers the exercises of this package's tasks as a student would: from the
// sheet and the practice wiring alone. It shows that an exercise can be solved, and how
// much it takes.
type Solver struct {
	// Region returns the region that a sheet's job file names; nil means those that come
	// with package rules. Reading one takes longer than most exercises.
	Region func(id string) (*rules.Region, error)
}

// Solve returns an answer to a sheet. Practice is fresh practice wiring of the exercise,
// or nil where it has none; what the solver did is in its log, and it does nothing
// dangerous. A sheet of a task that the package does not have, one that is not as its
// task makes it, and a context that ends are errors.
func (s Solver) Solve(ctx context.Context, sheet Sheet, practice *Practice) (Answer, error) {
	solve, ok := map[string]func(context.Context, Sheet, *Job, *Practice) (Answer, error){
		"wire it":                 solveWireIt,
		"complete it":             solveComplete,
		"find the fault":          solveFault,
		"identify the conductors": solveIdentify,
		"plan it":                 solvePlan,
		"prove it":                solveProof,
		"inspect it":              solveInspection,
		"predict lights":          solveLights,
		"predict readings":        solveReadings,
		"predict box fill":        solveFill,
		"predict size":            solveSize,
	}[sheet.Task]
	if !ok {
		return nil, fmt.Errorf("lab: no way is known to solve %q", sheet.Task)
	}
	if err := sheet.Check(); err != nil {
		return nil, err
	}
	f, err := job.Parse("sheet.yaml", sheet.Job, &job.Options{Region: s.Region})
	if err != nil {
		return nil, fmt.Errorf("lab: the job file of the sheet: %w", err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		return nil, fmt.Errorf("lab: the job file of the sheet: %w", err)
	}
	return solve(ctx, sheet, &Job{Region: f.Region, Title: f.Title, Intent: f.Intent, Wiring: w, Kinds: f.Kinds}, practice)
}
