package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

const everything = "everything"

// checked is a job with the suite that it is checked by.
type checked struct {
	job    *program.Job
	wiring *wiring.Wiring
	region *rules.Region
	suite  check.Suite
}

// report is what the program says of a job.
type report struct {
	Title      string        `json:"title"`
	Job        string        `json:"job"`
	Rules      program.Rules `json:"rules"`
	Suite      asked         `json:"suite"`
	Findings   []placed      `json:"findings"`
	Doubts     []doubted     `json:"doubts,omitempty"` // for the inspector
	LeftOut    []leftOut     `json:"left_out"`
	Proposal   *proposal     `json:"proposal,omitempty"`
	BeforeWork []string      `json:"before_work"`

	found []check.Finding
	quick bool
}

type asked struct {
	Name  string `json:"name"`
	Rules int    `json:"rules"`
}

// placed is a finding with the places of the file that it is about.
type placed struct {
	At        at            `json:"at"`
	RelatedAt []at          `json:"related_at,omitempty"` // as the related places of the finding
	Finding   check.Finding `json:"finding"`
}

// doubted is what the rules cannot tell of the job, and where the file says what it is
// about.
type doubted struct {
	At      at                `json:"at"`
	Code    check.Code        `json:"code"`
	Message string            `json:"message"`
	Section *conductor.Source `json:"section,omitempty"`
}

type at struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

func (a at) String() string { return fmt.Sprintf("%s:%d:%d", a.File, a.Line, a.Column) }

type leftOut struct {
	Code string `json:"code,omitempty"`
	What string `json:"what"`
	Why  string `json:"why"`
}

// region returns the rules to go by where no wiring is needed.
func (f *flagged) region() (*rules.Region, error) {
	if f.rules != "" {
		return program.Region(f.rules, f.amend)
	}
	j, err := program.ReadJob(f.job, f.amend)
	if err != nil {
		return nil, err
	}
	return j.Region, nil
}

// read reads the job and chooses the suite.
func (f *flagged) read() (*checked, error) {
	amend := f.amend
	if f.rules != "" {
		amend = "" // it is laid over that region
	}
	j, w, err := program.WiredJob(f.job, amend)
	if err != nil {
		return nil, err
	}
	c := &checked{job: j, wiring: w, region: j.Region}
	if f.rules != "" {
		if c.region, err = program.Region(f.rules, f.amend); err != nil {
			return nil, err
		}
	}
	c.suite, err = choose(c.region, f.suite)
	return c, err
}

// choose returns the suites of some names, with commas between, as one.
func choose(region *rules.Region, names string) (check.Suite, error) {
	all := check.Everything(region)
	suites := append(check.Suites(region), all)
	var chosen []check.Suite
	for _, name := range strings.Split(names, ",") {
		name = strings.TrimSpace(name)
		i := slices.IndexFunc(suites, func(s check.Suite) bool { return s.Name == name })
		if i < 0 {
			var known []string
			for _, s := range suites {
				known = append(known, s.Name)
			}
			var m program.Mistakes
			m.Add("suite", "there is no suite %q; there are %s; -list tells what they ask", name, strings.Join(known, ", "))
			return check.Suite{}, m.Err()
		}
		chosen = append(chosen, suites[i])
	}
	if len(chosen) == 1 {
		return chosen[0], nil
	}
	// One suite asks all of it, so that rules that yield to others do.
	var not []check.Code
	for _, r := range all.Rules {
		if !slices.ContainsFunc(chosen, func(s check.Suite) bool { return asks(&s, r.Code) }) {
			not = append(not, r.Code)
		}
	}
	s := all.Without("none of the suites chosen asks it", not...)
	s.Name = names
	return s, nil
}

func asks(s *check.Suite, c check.Code) bool {
	return slices.ContainsFunc(s.Rules, func(r check.Rule) bool { return r.Code == c })
}

// byStanding puts what can hurt first, and what is unlawful before what is poor work.
func byStanding(found []check.Finding) {
	slices.SortStableFunc(found, func(a, b check.Finding) int { return cmp.Compare(a.Standing, b.Standing) })
}

func (c *checked) report(ctx context.Context, f *flagged) (*report, error) {
	var doubts []doubted
	note := func(d check.Doubt) {
		v := doubted{At: c.at(d.Place), Code: d.Code, Message: d.Message}
		if !d.Section.Absent() {
			v.Section = &d.Section
		}
		doubts = append(doubts, v)
	}
	found, err := check.Run(ctx, check.Job{Wiring: c.wiring, Intent: c.job.Intent}, c.suite, &check.Options{NoFixes: f.quick, Doubt: note})
	if err != nil {
		return nil, err
	}
	byStanding(found)
	r := &report{Title: c.job.Title, Job: c.job.Name, Rules: program.RulesOf(c.region), Suite: asked{c.suite.Name, len(c.suite.Rules)},
		Findings: []placed{}, Doubts: doubts, LeftOut: omitted(&c.suite), BeforeWork: cautions.Work(), found: found, quick: f.quick}
	for _, x := range found {
		v := placed{At: c.at(x.Place), Finding: x}
		for _, other := range x.Related {
			v.RelatedAt = append(v.RelatedAt, c.at(other))
		}
		r.Findings = append(r.Findings, v)
	}
	return r, nil
}

// at returns where the job file says what is in a place.
func (c *checked) at(p check.Place) at {
	pos, _ := c.job.Position(p.At)
	return at{c.job.Name, pos.Line, pos.Column}
}

func omitted(s *check.Suite) []leftOut {
	out := []leftOut{}
	for _, l := range s.LeftOut {
		out = append(out, leftOut{string(l.Code), l.What, l.Why})
	}
	return out
}
