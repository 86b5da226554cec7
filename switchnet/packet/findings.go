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
	// Boxes are those whose sheets name it: the box of its place and those of the places
	// that have to do with it, of a cable both its ends; none where what is there may stay.
	Boxes []string `json:"boxes,omitempty"`
	// Witness are the settings that show it, in words.
	Witness []string `json:"witness,omitempty"`
}

// findings asks all the suites of the region, the worst first. It returns what the rules
// cannot tell of the job, in sentences, how many rules the region has no figures for, and
// why the check has no answer, if it has none.
func findings(ctx context.Context, in Input) (out []Finding, doubts []string, notAsked int, problem string) {
	out = []Finding{}
	suite := check.Everything(in.Region)
	notAsked = len(suite.LeftOut)
	all, err := check.Run(ctx, check.Job{Wiring: in.Wiring, Intent: in.Intent}, suite, &check.Options{NoFixes: true, Doubt: func(d check.Doubt) {
		says := d.Place.String() + ": " + d.Message
		if !d.Section.Absent() {
			says += " (" + d.Section.String() + ")"
		}
		doubts = append(doubts, says)
	}})
	if err != nil {
		return out, nil, notAsked, err.Error()
	}
	slices.SortStableFunc(all, func(a, b check.Finding) int { return int(a.Standing) - int(b.Standing) })
	ends := map[string][2]string{} // of cables
	for _, c := range in.Wiring.Spec().Cables {
		ends[c.Name] = [2]string{c.From, c.To}
	}
	for _, f := range all {
		x := Finding{Code: string(f.Code), Standing: f.Standing.String(), Place: f.Place.String(), Message: f.Message, Hazard: f.Standing == check.Hazardous}
		if f.Standing != check.UnlawfulOnlyIfNew {
			x.Boxes = boxesOf(ends, &f)
		}
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
	return out, doubts, notAsked, ""
}

// boxesOf lists the boxes of the places of a finding, in that order, each once.
func boxesOf(ends map[string][2]string, f *check.Finding) []string {
	var out []string
	add := func(box string) {
		if box != "" && !slices.Contains(out, box) {
			out = append(out, box)
		}
	}
	for _, p := range append([]check.Place{f.Place}, f.Related...) {
		if add(p.Box); p.Box != "" || p.Cable == "" {
			continue
		}
		add(ends[p.Cable][0])
		add(ends[p.Cable][1])
	}
	return out
}

// foundIn returns the findings that the sheet of a box names.
func foundIn(box string, all []Finding) []Finding {
	var out []Finding
	for _, f := range all {
		if slices.Contains(f.Boxes, box) {
			out = append(out, f)
		}
	}
	return out
}

// wrongHere stands above the findings of a box on its sheet.
const wrongHere = "WRONG HERE, AS DRAWN: the sheet says how it is drawn, not how it should be. Have these cleared up before anything is landed by it."

// find puts the findings on the page; the end of ctx is noticed by NewPage.
func (v *page) find(ctx context.Context, in Input) {
	if p := v.Proving; p != nil {
		v.Found, v.Doubts, v.NotAsked, v.FoundProblem = p.Findings, p.Doubts, p.NotAsked, p.FindingsProblem
	} else {
		v.Found, v.Doubts, v.NotAsked, v.FoundProblem = findings(ctx, in)
	}
	if said := hazards(v.Found); said != "" && v.Has(FindingsPart) {
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

// inDoubt stands above what the rules cannot tell.
const inDoubt = "In doubt; ask the inspector:"

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
	if len(v.Doubts) > 0 {
		p.wrap("", inDoubt)
	}
	for _, d := range v.Doubts {
		p.wrap("  - ", d)
	}
	if v.NotAsked > 0 {
		p.wrap("", fmt.Sprintf("Not asked: %d things, which the program check lists with reasons.", v.NotAsked))
	}
}

// notChecked stands on the sheet of a box where the check has no answer.
const notChecked = "NOT CHECKED: whether anything here is wrong as drawn was not answered. Have it checked before anything is landed by it."

// wrong writes what was found in a box, or that it was not found out.
func (p *printer) wrong(all []Finding, problem string) {
	if problem != "" {
		p.wrap("", notChecked)
		p.wrap("  > ", problem)
	}
	if len(all) == 0 {
		return
	}
	p.wrap("", wrongHere)
	for _, f := range all {
		p.wrap("  > ", f.Message+" ("+f.Standing+")")
	}
}
