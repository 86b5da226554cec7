package main

import (
	"context"
	"fmt"
	"strings"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/job"
)

// mark begins the title of every proposal, where whatever reads the file meets it.
const mark = "PROPOSAL, not as found"

// proposal is what -fix did.
type proposal struct {
	File  string `json:"file,omitempty"` // absent where no step was found and nothing written
	Steps []step `json:"steps"`
	Left  []left `json:"left"`
}

// step is a fix that was made, and the finding it was made for.
type step struct {
	Does string `json:"does"`
	For  string `json:"for"`
}

// left is a finding that remains when all steps are made.
type left struct {
	Code    string `json:"code"`
	Place   string `json:"place"`
	Message string `json:"message"`
}

// propose makes the fixes, one after the other, and writes the job as it would be then.
func (c *checked) propose(ctx context.Context, r *report, name string) error {
	p := &proposal{Steps: []step{}, Left: []left{}}
	r.Proposal = p
	made, err := check.Propose(ctx, check.Job{Wiring: c.wiring, Intent: c.job.Intent}, c.suite, r.found, nil)
	if err != nil {
		return err
	}
	for _, s := range made.Steps {
		p.Steps = append(p.Steps, step{s.Fix.Does, fmt.Sprintf("%s: %v", s.For.Code, s.For.Place)})
	}
	byStanding(made.Left)
	for _, f := range made.Left {
		p.Left = append(p.Left, left{string(f.Code), f.Place.String(), f.Message})
	}
	if len(p.Steps) == 0 {
		return nil
	}
	file := *c.job.File
	file.Wiring = made.Wiring.Spec()
	file.Title = mark
	if t := strings.TrimPrefix(strings.TrimPrefix(c.job.Title, mark), ": "); t != "" {
		file.Title += ": " + t
	}
	text, err := job.Marshal(&file, nil)
	if err != nil {
		return err
	}
	if text, err = job.Format(name, append(p.heading(c), text...), nil); err != nil {
		return err
	}
	p.File = name
	return atomicfile.Write(name, text)
}

// heading returns the comment above a proposal.
func (p *proposal) heading(c *checked) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%s. Nothing in this file has been done, seen or measured.\nIt is %s as it would be if a person carried out these steps and verified each:\n", mark, c.job.Name)
	for i, s := range p.Steps {
		fmt.Fprintf(&b, "  %d. %s (for %s)\n", i+1, s.Does, s.For)
	}
	fmt.Fprintf(&b, "Checked by %s, by the rules of %s.\n", c.suite.Name, c.region.Title)
	p.remains(&b)
	_ = cautions.Write(&b, 80) // a strings.Builder takes everything
	var out strings.Builder
	for _, line := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		out.WriteString(strings.TrimRight("# "+line, " ") + "\n")
	}
	out.WriteString("\n")
	return []byte(out.String())
}

// remains says what is left to find after the steps.
func (p *proposal) remains(b *strings.Builder) {
	if len(p.Left) == 0 {
		b.WriteString("The same rules then find nothing more.\n")
		return
	}
	b.WriteString("What is found then, and no step that was tried cures:\n")
	for _, l := range p.Left {
		fmt.Fprintf(b, "  %s: %s\n", l.Code, l.Message)
	}
}

// write tells a person what was written.
func (p *proposal) write(b *strings.Builder) {
	if p.File == "" {
		b.WriteString("No step that was tried cures any of it; no proposal is written.\n")
		return
	}
	fmt.Fprintf(b, "A PROPOSAL for a person to carry out and verify is written to %s:\n", p.File)
	for i, s := range p.Steps {
		fmt.Fprintf(b, "  %d. %s\n", i+1, s.Does)
	}
	p.remains(b)
}
