package main

import (
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/check"
)

// write prints the report for a person.
func (r *report) write(out io.Writer) error {
	var b strings.Builder
	title := r.Title
	if title == "" {
		title = r.Job
	}
	fmt.Fprintf(&b, "%s: %s (suite %s, %s)", title, count(len(r.found), "finding", "findings"), r.Suite.Name, count(r.Suite.Rules, "rule", "rules"))
	if n := hazardous(r.found); n > 0 {
		fmt.Fprintf(&b, ", %d HAZARDOUS", n)
	}
	b.WriteString(".\n")
	if len(r.found) == 0 {
		b.WriteString("What is written down is right as far as these rules ask; the wiring may be wrong all the same.\n")
	}
	for i := range r.Findings {
		b.WriteByte('\n')
		r.Findings[i].write(&b, r.quick)
	}
	if len(r.Doubts) > 0 {
		b.WriteString("\nIn doubt; ask the inspector:\n")
	}
	for _, d := range r.Doubts {
		fmt.Fprintf(&b, "%v: %s\n", d.At, d.Message)
		if d.Section != nil {
			fmt.Fprintf(&b, "  rule: %v\n", *d.Section)
		}
	}
	b.WriteByte('\n')
	if len(r.found) > 0 && !r.quick {
		b.WriteString("Each fix was made in a copy of the job, which was checked again; none was tried on metal.\n")
	}
	if r.Proposal != nil {
		r.Proposal.write(&b)
	}
	if n := len(r.LeftOut); n > 0 {
		fmt.Fprintf(&b, "Not asked: %s; -list names them and says why.\n", count(n, "thing", "things"))
	}
	if err := r.Rules.Write(&b, true); err != nil {
		return err
	}
	b.WriteByte('\n')
	if err := cautions.Write(&b, 78); err != nil {
		return err
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func hazardous(found []check.Finding) int {
	n := 0
	for i := range found {
		if found[i].Standing == check.Hazardous {
			n++
		}
	}
	return n
}

func (p *placed) write(b *strings.Builder, quick bool) {
	f := &p.Finding
	fmt.Fprintf(b, "%v: %s\n", p.At, f.Message)
	fmt.Fprintf(b, "  %s, %v; %v\n", f.Code, f.Standing, f.Place)
	for i, w := range f.Witness {
		lead := "shown with"
		if i > 0 {
			lead = "   and with"
		}
		if w.Says != "" {
			fmt.Fprintf(b, "  %s %s\n", lead, w.Says)
		}
	}
	for i, other := range f.Related {
		fmt.Fprintf(b, "  see %v: %v\n", p.RelatedAt[i], other)
	}
	if !f.Section.Absent() {
		fmt.Fprintf(b, "  rule: %v\n", f.Section)
	}
	for i, x := range f.Fixes {
		lead := "fix:"
		if i > 0 {
			lead = " or:"
		}
		fmt.Fprintf(b, "  %s %s\n", lead, x.Does)
	}
	switch {
	case len(f.Fixes) > 0 || quick:
	case f.ByHand:
		b.WriteString("  fix: by hand, for no step on the wiring alone cures it; then state it in the file\n")
	default:
		b.WriteString("  fix: no step or pair of steps that was tried cures it and does no other harm\n")
	}
}

func count(n int, one, many string) string {
	switch n {
	case 0:
		return "no " + many
	case 1:
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
