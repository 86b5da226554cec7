package main

import (
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
)

// answered is the answer, in the shape of its JSON.
type answered struct {
	Region       program.Rules          `json:"region"`
	Feed         string                 `json:"feed,omitempty"`
	Notes        []string               `json:"notes,omitempty"`
	Sizing       *conductor.Sizing      `json:"sizing,omitempty"`
	Verdict      *conductor.Verdict     `json:"verdict,omitempty"`
	LargestLoad  *conductor.LargestLoad `json:"largest_load,omitempty"`
	LongestRun   *conductor.Reach       `json:"longest_run,omitempty"`
	LeastForDrop *leastSize             `json:"least_for_drop,omitempty"`
	Explanation  []string               `json:"explanation,omitempty"`
	Cautions     []string               `json:"cautions,omitempty"`
	BeforeWork   []string               `json:"before_work"`

	done  bool // it can be done, or is lawful
	lines []string
	steps []conductor.Step
}

// leastSize is the least size for voltage drop alone.
type leastSize struct {
	Status conductor.Status `json:"status"`
	Size   conductor.Size   `json:"size,omitzero"`
}

func (a *answered) say(format string, args ...any) {
	a.lines = append(a.lines, fmt.Sprintf(format, args...))
}

func answer(q *question) (*answered, error) {
	sizer, err := conductor.NewSizer(q.region.Conductor)
	if err != nil {
		return nil, err
	}
	a := &answered{
		Region:     program.RulesOf(q.region),
		Feed:       q.feed,
		Notes:      q.notes,
		BeforeWork: cautions.Work(),
	}
	switch q.kind {
	case sizeIt:
		err = a.size(sizer, q)
	case judgeIt:
		err = a.judge(sizer, q)
	case largestLoad:
		err = a.largest(sizer, q)
	case longestRun:
		err = a.longest(sizer, q)
	case leastForDrop:
		err = a.least(sizer, q)
	}
	if err != nil {
		return nil, fmt.Errorf("size: %w", err)
	}
	for i := range a.steps {
		a.Explanation = append(a.Explanation, explain(&a.steps[i]))
	}
	return a, nil
}

// explain returns a step in words, after its section.
func explain(step *conductor.Step) string {
	if step.Source.Absent() {
		return "no section: " + step.String()
	}
	return step.Source.String() + ": " + step.String()
}

func (a *answered) size(sizer *conductor.Sizer, q *question) error {
	z, err := sizer.Size(q.circuit)
	if err != nil {
		return err
	}
	a.Sizing, a.steps, a.Cautions, a.done = &z, z.Steps, z.Cautions(), z.Status == conductor.Fits
	switch z.Status {
	case conductor.Fits:
		a.say("%s behind %s%s.", z.Size, z.Breaker, grounding(z.Grounding))
		switch {
		case len(z.Binding) == 0:
			a.say("It is the smallest size of the region.")
		default:
			a.say("A size smaller is passed over for: %s.", join(z.Binding))
		}
		if z.Least != z.Size && z.Least.Valid() {
			a.say("For load and protection alone %s would do.", z.Least)
		}
		a.say("As installed it may carry %s, behind at most %s.", amps(z.Ampacity), z.MaxBreaker)
		a.drop(z.Drop, z.DropShare, z.DropLimit, z.AtLoad)
	default:
		a.say("It cannot be done: %s. What stands against it: %s.", z.Status, join(z.Binding))
		if z.Least.Valid() {
			a.say("For load and protection alone %s would do.", z.Least)
		}
	}
	a.protect(z.Protections)
	return nil
}

// amps returns a current to the milliampere.
func amps(c quantity.Current) string { return c.Format(quantity.Ampere, 3) }

// thousandths is amps rounded down, for a load rounded up would be too much.
func thousandths(c quantity.Current) string {
	return amps(c / quantity.Milliampere * quantity.Milliampere)
}

func grounding(size conductor.Size) string {
	if !size.Valid() {
		return ""
	}
	return ", grounding conductor " + size.String()
}

func (a *answered) drop(drop quantity.Voltage, share, limit quantity.Ratio, atLoad quantity.Voltage) {
	if drop == 0 {
		return
	}
	text := "no limit"
	if limit > 0 {
		text = "limit " + limit.String()
	}
	a.say("Voltage drop %s, %s (%s): %s at the load.", drop.Format(quantity.Volt, 2), share.FormatPercent(2), text, atLoad.Format(quantity.Volt, 2))
}

func (a *answered) protect(all []conductor.Protection) {
	for _, p := range all {
		note := ""
		if covers := p.Covers(); covers != "" {
			note = " (" + covers + ")"
		}
		a.say("%s protection in %s: %s%s.", capital(p.Kind.String()), p.Location, p.Demand, note)
	}
}

func (a *answered) judge(sizer *conductor.Sizer, q *question) error {
	v, err := sizer.Judge(q.circuit, q.size)
	if err != nil {
		return err
	}
	a.Verdict, a.steps, a.Cautions, a.done = &v, v.Steps, v.Cautions(), v.Status == conductor.Fits
	if a.done {
		a.say("%s behind %s is lawful for %s.", q.size, q.circuit.Breaker, amps(q.circuit.Load.Total()))
	} else {
		a.say("%s behind %s is not lawful for %s. It breaks: %s.", q.size, q.circuit.Breaker, amps(q.circuit.Load.Total()), join(v.Faults))
	}
	if len(v.Advice) > 0 {
		a.say("It does not follow advice on: %s.", join(v.Advice))
	}
	if v.MaxBreaker > 0 {
		a.say("As installed it may carry %s, behind at most %s.", amps(v.Ampacity), v.MaxBreaker)
	}
	if v.Grounding.Valid() {
		a.say("Its grounding conductor is to be %s at least.", v.Grounding)
	}
	a.drop(v.Drop, v.DropShare, v.DropLimit, v.AtLoad)
	a.protect(v.Protections)
	return nil
}

func (a *answered) largest(sizer *conductor.Sizer, q *question) error {
	most, err := sizer.LargestLoad(q.circuit, q.size, q.continuous)
	if err != nil {
		return err
	}
	a.LargestLoad, a.steps, a.Cautions, a.done = &most, most.Steps, most.Cautions(), most.Status == conductor.Fits
	if !a.done {
		a.say("It may carry nothing: %s. What stands against it: %s.", most.Status, join(most.Binding))
		return nil
	}
	duration := "not continuous"
	if q.continuous {
		duration = "continuous"
	}
	a.say("%s may carry %s (%s) behind %s.", q.size, thousandths(most.Load), duration, most.Breaker)
	a.say("What bounds it: %s.", join(most.Binding))
	return nil
}

func (a *answered) longest(sizer *conductor.Sizer, q *question) error {
	reach, err := sizer.LongestRun(q.circuit, q.size)
	if err != nil {
		return err
	}
	a.LongestRun, a.steps, a.Cautions, a.done = &reach, reach.Steps, reach.Cautions(), true
	// Rounded down, for a run rounded up would be too long.
	a.say("%s carries %s as far as %s or %s one way within %s.", q.size, amps(q.circuit.Load.Total()),
		tenths(reach.Run, quantity.Foot), tenths(reach.Run, quantity.Meter), reach.Limit)
	a.say("Whether it may carry the load is another question.")
	return nil
}

// tenths returns the length in tenths of the unit, rounded down.
func tenths(l, unit quantity.Length) string {
	tenth := unit / 10
	return (l / tenth * tenth).Format(unit, 1)
}

func (a *answered) least(sizer *conductor.Sizer, q *question) error {
	size, status, err := sizer.LeastForDrop(q.circuit)
	if err != nil {
		return err
	}
	a.LeastForDrop, a.done = &leastSize{status, size}, status == conductor.Fits
	if !a.done {
		a.say("No size of the region is large enough for the limit on voltage drop.")
		return nil
	}
	a.say("%s is enough for voltage drop. Whether it may carry the load is another question.", size)
	return nil
}

func join(all []conductor.Rule) string {
	words := make([]string, len(all))
	for i, rule := range all {
		words[i] = rule.String()
	}
	return strings.Join(words, ", ")
}

func capital(word string) string { return strings.ToUpper(word[:1]) + word[1:] }

func (a *answered) write(out io.Writer, f *flagged) error {
	if f.json {
		return program.WriteJSON(out, a)
	}
	var b strings.Builder
	for _, line := range a.lines {
		b.WriteString(line + "\n")
	}
	if f.explain {
		a.explained(&b)
	}
	for _, note := range a.Notes {
		b.WriteString("Note: " + note + "\n")
	}
	for _, caution := range a.Cautions {
		b.WriteString("Caution: " + caution + "\n")
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

// explained writes the steps, those that failed marked.
func (a *answered) explained(b *strings.Builder) {
	if len(a.steps) == 0 {
		return
	}
	b.WriteString("\nStep by step (- does not pass):\n")
	for i := range a.steps {
		mark := " "
		if a.steps[i].Failed {
			mark = "-"
		}
		fmt.Fprintf(b, "%s %s\n", mark, a.Explanation[i])
	}
	b.WriteByte('\n')
}
