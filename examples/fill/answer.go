package main

import (
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
)

// answered is the answer, in the shape of its JSON.
type answered struct {
	Region     program.Rules  `json:"region"`
	Box        string         `json:"box,omitempty"`
	Notes      []string       `json:"notes,omitempty"`
	Result     boxfill.Result `json:"result"`
	Picks      []pick         `json:"picks,omitempty"`
	Remedies   []remedy       `json:"remedies,omitempty"`
	BeforeWork []string       `json:"before_work"`
}

// pick is a box of the stock that holds it.
type pick struct {
	Box       boxfill.StockBox  `json:"box"`
	Status    boxfill.Status    `json:"status"`
	Available quantity.Volume   `json:"available"`
	Spare     quantity.Volume   `json:"spare"`
	Cautions  []boxfill.Caution `json:"cautions,omitempty"`
}

// remedy is what would help, and how the box stands afterwards.
type remedy struct {
	Steps     []boxfill.Step    `json:"steps"`
	Frees     quantity.Volume   `json:"frees"`
	Status    boxfill.Status    `json:"status"`
	Required  quantity.Volume   `json:"required"`
	Available quantity.Volume   `json:"available"`
	Spare     quantity.Volume   `json:"spare"`
	Cautions  []boxfill.Caution `json:"cautions,omitempty"`
}

func answer(q *question, f *flagged) (*answered, error) {
	table := &q.region.Box
	a := &answered{
		Region:     program.RulesOf(q.region),
		Box:        q.box,
		Notes:      q.notes,
		BeforeWork: cautions.Work(),
	}
	var err error
	if a.Result, err = boxfill.Fill(table, q.contents); err != nil {
		return nil, err
	}
	if f.pick {
		choices, err := boxfill.Pick(table, q.options.Stock, q.contents)
		if err != nil {
			return nil, err
		}
		for i := range choices {
			r := &choices[i].Result
			a.Picks = append(a.Picks, pick{choices[i].Box, r.Status, r.Available, r.Spare, r.Cautions})
		}
	}
	remedies, err := boxfill.Remedies(table, q.contents, q.options)
	for i := range remedies {
		m, r := &remedies[i], &remedies[i].Result
		a.Remedies = append(a.Remedies, remedy{m.Steps, m.Frees, r.Status, r.Required, r.Available, r.Spare, r.Cautions})
	}
	return a, err
}

func (a *answered) write(out io.Writer, f *flagged) error {
	if f.json {
		return program.WriteJSON(out, a)
	}
	var b strings.Builder
	if f.explain {
		b.WriteString(a.Result.Explain())
	} else {
		b.WriteString(a.Result.Summary())
	}
	for _, note := range a.Notes {
		b.WriteString("Note: " + note + "\n")
	}
	a.remedies(&b)
	if f.pick {
		a.picks(&b)
	}
	b.WriteByte('\n')
	if err := a.Region.Write(&b, f.explain); err != nil {
		return err
	}
	b.WriteByte('\n')
	if err := cautions.Write(&b, 78); err != nil {
		return err
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// remedies tells what cures, and where nothing does, what helps.
func (a *answered) remedies(b *strings.Builder) {
	if a.Result.Status != boxfill.DoesNotFit {
		return
	}
	unit := a.Result.Column.Unit()
	cured := len(a.Remedies) > 0 && a.Remedies[0].Status.OK()
	switch {
	case cured:
		b.WriteString("What would make it fit, least work first:\n")
	case len(a.Remedies) > 0:
		b.WriteString("Nothing known makes it fit by itself or together. What helps:\n")
	default:
		b.WriteString("Nothing known helps.\n")
	}
	for i := range a.Remedies {
		r := &a.Remedies[i]
		if cured && !r.Status.OK() {
			continue
		}
		var steps []string
		for _, s := range r.Steps {
			steps = append(steps, s.Text)
		}
		rest := "then " + r.Status.String()
		if r.Status == boxfill.Fits {
			rest = "then " + r.Spare.In(unit) + " to spare"
		}
		fmt.Fprintf(b, "  - %s: frees %s, %s", strings.Join(steps, ", and "), r.Frees.In(unit), rest)
		aboutBox(b, r.Cautions)
		b.WriteByte('\n')
	}
}

// picks lists the boxes it fits into.
func (a *answered) picks(b *strings.Builder) {
	if len(a.Picks) == 0 {
		b.WriteString("No box of the region's stock holds it.\n")
		return
	}
	b.WriteString("Boxes of the region's stock that hold it, smallest first:\n")
	unit := a.Result.Column.Unit()
	for i := range a.Picks {
		r := &a.Picks[i]
		fmt.Fprintf(b, "  - %s: %s, %s to spare", r.Box.Name, r.Available.In(unit), r.Spare.In(unit))
		aboutBox(b, r.Cautions)
		b.WriteByte('\n')
	}
}

// aboutBox writes the cautions about the box; those about what is in it were told
// with the answer.
func aboutBox(b *strings.Builder, list []boxfill.Caution) {
	for _, c := range list {
		if c.Item >= boxfill.ItemBox {
			b.WriteString("; caution: " + c.Text)
		}
	}
}
