package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/packet"
)

// sum is the estimate, in the shape of its JSON.
type sum struct {
	Rules []program.Rules `json:"rules"`
	Jobs  []counted       `json:"jobs"`
	// Sums are the take-offs added up by the rules they were counted by.
	Sums       []packet.Ruled `json:"sums"`
	Cost       rules.Amount   `json:"cost,omitzero"`
	Effort     rules.Amount   `json:"effort,omitzero"`
	Unpriced   int            `json:"unpriced"` // lines of the sums
	LeftOut    []left         `json:"left_out"`
	PassedOver []left         `json:"passed_over"`
}

// counted is a job that is in the sums.
type counted struct {
	File    string       `json:"file"`
	Title   string       `json:"title"`
	Rules   string       `json:"rules"`
	Planned bool         `json:"planned"`
	Cost    rules.Amount `json:"cost,omitzero"`
	Effort  rules.Amount `json:"effort,omitzero"`
	Notes   []string     `json:"notes"`
}

// left is a job that is not.
type left struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// newSum adds up the jobs, which are in the order of their files.
func newSum(jobs []job) (*sum, error) {
	s := &sum{Rules: []program.Rules{}, Jobs: []counted{}, Sums: []packet.Ruled{}, LeftOut: []left{}, PassedOver: []left{}}
	by := map[string][]*packet.TakeOff{}
	for _, j := range jobs {
		switch {
		case j.err != nil:
			s.LeftOut = append(s.LeftOut, left{j.file, j.err.Error()})
			continue
		case j.standing != "":
			s.PassedOver = append(s.PassedOver, left{j.file, j.standing})
			continue
		}
		id := j.region.ID
		if by[id] == nil {
			s.Rules = append(s.Rules, program.RulesOf(j.region))
		}
		by[id] = append(by[id], j.takeOff)
		s.Jobs = append(s.Jobs, counted{j.file, j.title, id, j.planned, j.takeOff.Cost, j.takeOff.Effort, append([]string{}, j.notes...)})
	}
	slices.SortFunc(s.Rules, func(a, b program.Rules) int { return strings.Compare(a.ID, b.ID) })
	for _, r := range s.Rules {
		t, err := packet.SumTakeOffs(by[r.ID])
		if err != nil {
			return nil, err
		}
		if t.Cost > math.MaxInt64-s.Cost || t.Effort > math.MaxInt64-s.Effort {
			return nil, errors.New("the cost is more than can be added up")
		}
		s.Sums = append(s.Sums, packet.Ruled{Rules: r.ID, TakeOff: t})
		s.Cost += t.Cost
		s.Effort += t.Effort
		s.Unpriced += t.Unpriced
	}
	return s, nil
}

// mostNotes and mostNames are how many notes are told, and how many lines without a
// price are named.
const mostNotes, mostNames = 20, 5

// tell says on errs what the table does not: which files are not in it, what the
// counts leave open, and what has no price.
func (s *sum) tell(errs io.Writer) {
	s.tellNotes(errs)
	for _, l := range s.PassedOver {
		fmt.Fprintf(errs, "passed over: %s: %s\n", l.File, l.Why)
	}
	s.tellPrices(errs)
	for _, l := range s.LeftOut {
		fmt.Fprintf(errs, "left out: %s\n", l.Why)
	}
	if n := len(s.LeftOut); n > 0 {
		fmt.Fprintf(errs, "%d of %d files could not be counted; the sums are those of the other %d:\n", n, n+len(s.Jobs)+len(s.PassedOver), len(s.Jobs))
		for _, l := range s.LeftOut {
			fmt.Fprintf(errs, "  %s\n", l.File)
		}
	}
}

// tellNotes tells each note once, with the jobs that have it.
func (s *sum) tellNotes(errs io.Writer) {
	var notes []string
	in := map[string][]string{}
	for _, j := range s.Jobs {
		for _, n := range j.Notes {
			if in[n] == nil {
				notes = append(notes, n)
			}
			in[n] = append(in[n], j.File)
		}
	}
	for i, n := range notes {
		if i == mostNotes {
			fmt.Fprintf(errs, "and %d notes more; -json has them all\n", len(notes)-i)
			return
		}
		files := in[n]
		names := files[0]
		if len(files) > 1 {
			names += fmt.Sprintf(" and %d more", len(files)-1)
		}
		fmt.Fprintf(errs, "note: %s: %s\n", names, n)
	}
}

func (s *sum) tellPrices(errs io.Writer) {
	lines, labored := 0, false
	var without []string
	for _, p := range s.Sums {
		lines += len(p.TakeOff.Cables) + len(p.TakeOff.Items)
		for _, c := range p.TakeOff.Cables {
			labored = labored || c.Labor.Known()
			if !c.Price.Known() {
				without = append(without, c.Type+" cable")
			}
		}
		for _, i := range p.TakeOff.Items {
			labored = labored || i.Labor > 0
			if i.Price == 0 {
				without = append(without, i.Supply())
			}
		}
	}
	switch {
	case lines == 0:
	case len(without) == lines && !labored:
		fmt.Fprintln(errs, "No price and no labor is known for any line, so there are no columns of cost; give a rule file with them: -amend FILE.")
	case len(without) > 0:
		named := without[:min(len(without), mostNames)]
		more := ""
		if n := len(without) - len(named); n > 0 {
			more = fmt.Sprintf(" and %d more", n)
		}
		fmt.Fprintf(errs, "No price is known for %d of %d lines, and the cost lacks them: %s%s.\n", len(without), lines, strings.Join(named, "; "), more)
	}
}
