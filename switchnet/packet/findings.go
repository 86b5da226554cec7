package packet

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/check"
)

// Finding is what package check finds wrong in one place.
type Finding struct {
	Code     string `json:"code"`
	Standing string `json:"standing"`
	Place    string `json:"place"`
	Message  string `json:"message"`
	Section  string `json:"section,omitzero"`
	Hazard   bool   `json:"hazard,omitzero"`
	// Witness are the settings that show it, in words.
	Witness []string `json:"witness,omitempty"`
}

// findings asks all the suites of the region, the worst first. It returns how many rules
// the region has no figures for, and why the check has no answer, if it has none.
func findings(ctx context.Context, in Input) (out []Finding, notAsked int, problem string) {
	out = []Finding{}
	suite := check.Everything(in.Region)
	notAsked = len(suite.LeftOut)
	all, err := check.Run(ctx, check.Job{Wiring: in.Wiring, Intent: in.Intent}, suite, &check.Options{NoFixes: true})
	if err != nil {
		return out, notAsked, err.Error()
	}
	slices.SortStableFunc(all, func(a, b check.Finding) int { return int(a.Standing) - int(b.Standing) })
	for _, f := range all {
		x := Finding{Code: string(f.Code), Standing: f.Standing.String(), Place: f.Place.String(), Message: f.Message, Hazard: f.Standing == check.Hazardous}
		if !f.Section.Absent() {
			x.Section = f.Section.String()
		}
		for _, w := range f.Witness {
			if w.Says != "" {
				x.Witness = append(x.Witness, w.Says)
			}
		}
		out = append(out, x)
	}
	return out, notAsked, ""
}

// find puts the findings on the page; the end of ctx is noticed by NewPage.
func (v *page) find(ctx context.Context, in Input) {
	if p := v.Proving; p != nil {
		v.Found, v.NotAsked, v.FoundProblem = p.Findings, p.NotAsked, p.FindingsProblem
	} else {
		v.Found, v.NotAsked, v.FoundProblem = findings(ctx, in)
	}
	if said := hazards(v.Found); said != "" {
		v.Trouble = append([]string{said}, v.Trouble...)
	}
}

// hazards says how many findings are hazardous, nothing if none is.
func hazards(all []Finding) string {
	n := 0
	for _, f := range all {
		if f.Hazard {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("HAZARDOUS: %s, see findings", plural(n, "finding"))
}

// findings writes what was found.
func (p *printer) findings(v *Proving) {
	p.heading("FINDINGS")
	switch {
	case v.FindingsProblem != "":
		p.wrap("Not answered: ", v.FindingsProblem)
	case len(v.Findings) == 0:
		p.wrap("", "None. What is written down is right as far as these rules ask; the wiring may be wrong all the same.")
	}
	for i, f := range v.Findings {
		p.wrap(fmt.Sprintf("  %d  ", i+1), f.Message)
		is := f.Standing + "; " + f.Code + "; " + f.Place
		if f.Section != "" {
			is += "; rule: " + f.Section
		}
		p.wrap("     ", is)
		for _, w := range f.Witness {
			p.wrap("     shown with ", w)
		}
	}
	if v.NotAsked > 0 {
		p.wrap("", fmt.Sprintf("Not asked: %d things, which the program check lists with reasons.", v.NotAsked))
	}
}
