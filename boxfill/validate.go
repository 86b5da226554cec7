package boxfill

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Validate returns a [Problems] with every mistake in the table, in the order
// of its fields, or nil: what is not set, a figure without a source, a weight
// or volume out of range, a name or size twice, a rule taken in a way that makes
// no sense for its item, a larger conductor with a smaller volume.
func (t *Table) Validate() error {
	v := &validator{t: t}
	if t.Region == "" {
		v.problem("Region", "empty: name the region and edition")
	}
	if !known(columnWords, t.Column) {
		v.problem("Column", "not set: say whether the inch or the metric column rules")
		return v.problems.err()
	}
	v.allowances()
	if t.Largest.Size.Valid() {
		v.source("Largest.Source", &t.Largest.Source)
		if t.Largest.Beyond == "" {
			v.problem("Largest.Beyond", "empty: say where larger conductors are dealt with")
		}
	}
	v.rules()
	v.grounds()
	v.room()
	for i := range t.Refusals {
		at := fmt.Sprintf("Refusals[%d]", i)
		if !known(itemWords, t.Refusals[i].Item) || t.Refusals[i].Why == "" {
			v.problem(at, "wants an item and why it is refused")
		}
	}
	for i := range t.Elsewhere {
		at := fmt.Sprintf("Elsewhere[%d]", i)
		if !known(itemWords, t.Elsewhere[i].Item) || len(t.Elsewhere[i].Regions) == 0 {
			v.problem(at, "wants an item and the regions that have its rule")
		}
	}
	return v.problems.err()
}

type validator struct {
	t        *Table
	problems Problems
}

func (v *validator) problem(at, format string, args ...any) {
	v.problems = append(v.problems, &Problem{at, ErrTable, fmt.Sprintf(format, args...)})
}

func (v *validator) source(at string, s *conductor.Source) {
	if s.Section == "" || s.Confidence < conductor.HighConfidence || s.Confidence > conductor.LowConfidence {
		v.problem(at, "a figure without its section and confidence")
	}
}

// figure checks a figure that the ruling column must have.
func (v *validator) figure(at string, f *Figure) {
	v.volume(at+".Inches", f.Inches, &f.InchSource, v.t.Column == InchColumn)
	v.volume(at+".Metric", f.Metric, &f.MetricSource, v.t.Column == MetricColumn)
}

func (v *validator) volume(at string, volume quantity.Volume, source *conductor.Source, wanted bool) {
	switch {
	case volume < 0 || volume > maxVolume/MaxCount:
		v.problem(at, "%v is not between zero and %v", volume, maxVolume/MaxCount)
	case volume == 0 && wanted:
		v.problem(at, "missing, and the %v column rules", v.t.Column)
	case volume > 0:
		v.source(at, source)
	}
}

func (v *validator) allowances() {
	for i := range v.t.Allowances {
		a := &v.t.Allowances[i]
		at := fmt.Sprintf("Allowances[%d]", i)
		if !v.t.covers(a.Size) {
			v.problem(at+".Size", "%v is no size the table covers", a.Size)
		}
		v.figure(at+".Volume", &a.Volume)
		for j := range i {
			b := &v.t.Allowances[j]
			larger, smaller := a, b
			if a.Size.Compare(b.Size) < 0 {
				larger, smaller = b, a
			}
			of, _ := larger.Volume.In(v.t.Column)
			under, _ := smaller.Volume.In(v.t.Column)
			if a.Size == b.Size {
				v.problem(at+".Size", "%v stands there twice", a.Size)
			} else if of < under {
				v.problem(at+".Volume", "%v needs less than the smaller %v", larger.Size, smaller.Size)
			}
		}
	}
}

// rule checks a rule, which may be absent.
func (v *validator) rule(at string, r *Rule, per []Per, of ...Basis) {
	switch {
	case r.Absent():
		if *r != (Rule{}) {
			v.problem(at+".Per", "not set, though the rule is there")
		}
		return
	case !slices.Contains(per, r.Per):
		v.problem(at+".Per", "%v makes no sense here", r.Per)
	case r.Per != WithOthers && !slices.Contains(of, r.Of):
		v.problem(at+".Of", "%v makes no sense here", r.Of)
	case r.Weight < 0 || r.Weight > maxWeight:
		v.problem(at+".Weight", "%v is not between 0 and %v", r.Weight, maxWeight)
	}
	v.source(at+".Source", &r.Source)
}

func (v *validator) rules() {
	t, each := v.t, []Per{Each}
	c := &t.Conductors
	v.rule("Conductors.Spliced", &c.Spliced, each, OwnSize)
	v.rule("Conductors.Landed", &c.Landed, each, OwnSize)
	v.rule("Conductors.PassingThrough", &c.PassingThrough, each, OwnSize)
	v.rule("Conductors.Looped", &c.Looped, each, OwnSize)
	v.rule("Conductors.Pigtail", &c.Pigtail, each, OwnSize)
	switch {
	case c.LoopAtLeast < 0:
		v.problem("Conductors.LoopAtLeast", "%v is below zero", c.LoopAtLeast)
	case (c.LoopAtLeast > 0) == c.Looped.Absent():
		v.problem("Conductors.Looped", "a rule for looped conductors goes with the length from which they count as looped")
	case c.LoopAtLeast > 0:
		v.source("Conductors.LoopSource", &c.LoopSource)
	}
	v.rule("FixtureWires.Counted", &t.FixtureWires.Counted, each, OwnSize)
	if t.FixtureWires.SmallerThan.Valid() || t.FixtureWires.Grounds {
		v.source("FixtureWires.OmitSource", &t.FixtureWires.OmitSource)
	}
	if t.FixtureWires.AtMost < 0 {
		v.problem("FixtureWires.AtMost", "%d is below zero", t.FixtureWires.AtMost)
	}
	together := []Per{Each, OncePerBox}
	v.rule("Clamps", &t.Clamps, together, LargestInBox, LargestInsulated)
	v.rule("ExternalClamps", &t.ExternalClamps, together, LargestInBox, LargestInsulated)
	for i := range t.Fittings {
		at := fmt.Sprintf("Fittings[%d]", i)
		if kind := t.Fittings[i].Kind; kind == "" || t.fitting(kind) != &t.Fittings[i].Rule {
			v.problem(at+".Kind", "%q is empty or stands there twice", kind)
		}
		v.rule(at+".Rule", &t.Fittings[i].Rule, []Per{Each, EachKind}, LargestInBox, LargestInsulated)
		if t.Fittings[i].Rule.Absent() {
			v.problem(at+".Rule", "not set")
		}
	}
	own := []Basis{OwnSize, LargestInBox, LargestInsulated}
	v.rule("Devices.Yoke", &t.Devices.Yoke, each, own...)
	v.rule("Devices.Wide", &t.Devices.Wide, []Per{Each, EachGang}, own...)
	if !t.Devices.Wide.Absent() {
		v.source("Devices.WideSource", &t.Devices.WideSource)
	}
	if deep := &t.Devices.Deep; *deep != (DeepRule{}) {
		v.source("Devices.Deep.Source", &deep.Source)
		v.source("Devices.Deep.OverSource", &deep.OverSource)
		if deep.Over <= 0 || deep.Over > maxDepth || deep.PerCentimeter <= 0 || deep.PerCentimeter > maxVolume/MaxCount {
			v.problem("Devices.Deep", "wants a depth and a volume for each centimeter")
		}
	}
	v.rule("TerminalBlocks", &t.TerminalBlocks, each, own...)
	v.rule("Connectors", &t.Connectors, []Per{Each, EachPair}, own...)
}

func (v *validator) grounds() {
	g := &v.t.Grounds
	if !g.Absent() {
		v.source("Grounds.Source", &g.Source)
		if g.First < 0 {
			v.problem("Grounds.First", "%d is below zero", g.First)
		}
		if g.FirstWeight < 0 || g.FirstWeight > maxWeight || g.Beyond < 0 || g.Beyond > maxWeight {
			v.problem("Grounds", "a weight is not between 0 and %v", maxWeight)
		}
		if g.First > 0 {
			v.source("Grounds.BeyondSource", &g.BeyondSource)
		}
	}
	v.rule("Grounds.Insulated", &g.Insulated, []Per{Each}, OwnSize)
	v.rule("Grounds.Isolated", &g.Isolated, []Per{EachSet, Each, WithOthers}, OwnSize)
}

func (v *validator) room() {
	t := v.t
	for i := range t.Boxes {
		b := &t.Boxes[i]
		at := fmt.Sprintf("Boxes[%d]", i)
		if b.Name == "" || t.boxType(b.Name) != b {
			v.problem(at+".Name", "%q is empty or stands there twice", b.Name)
		}
		if b.Refused == "" {
			v.figure(at+".Volume", &b.Volume)
		}
		if b.Gangs < 0 || b.Gangs > MaxCount || b.PerGang && b.Gangs != 1 {
			v.problem(at+".Gangs", "%d: want zero or more, and 1 for a box measured by the gang", b.Gangs)
		}
		if b.Width < 0 || b.Second < 0 || b.Depth < 0 {
			v.problem(at, "a dimension is below zero")
		}
	}
	if !t.Marked.Source.Absent() {
		v.source("Marked.Source", &t.Marked.Source)
	}
	if t.Additions != (AdditionRule{}) {
		v.source("Additions.Source", &t.Additions.Source)
		if t.Additions.ByType {
			v.source("Additions.ByTypeSource", &t.Additions.ByTypeSource)
		}
	}
	if t.Barriers != (BarrierRule{}) {
		v.source("Barriers.Source", &t.Barriers.Source)
		v.figure("Barriers.Metal", &t.Barriers.Metal)
		v.figure("Barriers.Nonmetallic", &t.Barriers.Nonmetallic)
	}
}
