package rules

import (
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
)

const (
	aLength  = "a length such as 12 in or 150 mm"
	aVolume  = "a volume such as 20.3 in3 or 344 mL"
	aWeight  = "a number of allowances such as 2 or 0.25"
	volumes  = "a list of volumes, at most one in in3 and one in mL"
	anItem   = "what box fill counts, such as terminal block"
	theCount = "a whole number"
)

// boxFill reads the box-fill table. Its keys are the fields of
// [boxfill.Table] in the words of the trade.
func (r *reader) boxFill(m *strict.Map) {
	t := &r.region.Box
	setWord(m, "column", "the column that rules where they disagree: inch or metric", &t.Column)
	r.groups(m.Get("allowances"), "a column of allowances", func(_ *strict.Node, m *strict.Map, s cited) {
		metric := r.metricSource(m, s)
		entries(m.Need("volumes", "sizes with their volume"), "sizes with their volume, such as 14 AWG: [2 in3, 32.8 mL]", func(k, v *strict.Node) {
			size, ok := value(k, aSize, conductor.ParseSize)
			if figure, okFigure := r.figure(v, s, metric); ok && okFigure {
				t.Allowances = append(t.Allowances, boxfill.Allowance{Size: size, Volume: figure})
			}
		})
	})
	r.rule(m, "largest", "the largest size of the volume method", func(m *strict.Map, s cited) {
		t.Largest.Source = s.Source
		set(m, "size", aSize, conductor.ParseSize, &t.Largest.Size)
		text(m, "beyond", "where larger conductors are dealt with", &t.Largest.Beyond)
	})
	r.counting(m)
	r.boxTypes(m.Get("boxes"))
	r.rooms(m)
	entries(m.Get("refused"), "items whose figures are not sure enough", func(k, v *strict.Node) {
		m := v.Map("a refusal")
		if m == nil {
			return
		}
		row := boxfill.Refusal{}
		if m.Get("section") != nil {
			row.Source = r.source(m).Source
		}
		item, ok := wordOf[boxfill.Item](k, anItem)
		text(m, "why", "why the figure is not given", &row.Why)
		m.Done()
		if row.Item = item; ok {
			t.Refusals = append(t.Refusals, row)
		}
	})
	entries(m.Get("elsewhere"), "items with the regions that have a rule for them", func(k, v *strict.Node) {
		if item, ok := wordOf[boxfill.Item](k, anItem); ok {
			t.Elsewhere = append(t.Elsewhere, boxfill.Elsewhere{Item: item, Regions: each(v, "the id of a region", plainText)})
		}
	})
}

// metricSource returns the source of the metric column, which is the group's
// own unless it states another section or confidence.
func (r *reader) metricSource(m *strict.Map, s cited) cited {
	s.Section += ", metric column"
	optionalText(m, "metric section", "the section of the metric column", &s.Section)
	setOptional(m, "metric confidence", "high, medium or low", conductor.ParseConfidence, &s.Confidence)
	return s
}

// figure reads the volumes of the two columns, told apart by their units.
func (r *reader) figure(n *strict.Node, inch, metric cited) (f boxfill.Figure, ok bool) {
	list := n.List(volumes)
	ok = len(list) > 0
	for _, item := range list {
		v, okItem := value(item, aVolume, quantity.ParseVolume)
		text, isInch := item.Raw(), false
		for _, unit := range []string{"in3", "in³", "in^3", "cu in", "cubic inch"} {
			isInch = isInch || strings.Contains(text, unit)
		}
		switch {
		case !okItem:
			ok = false
		case v <= 0:
			item.Report(strict.Report{Found: text + " is no room", Expected: "a volume above zero"})
			ok = false
		case isInch && f.Inches == 0:
			f.Inches, f.InchSource = v, inch.of(r, item)
		case !isInch && f.Metric == 0:
			f.Metric, f.MetricSource = v, metric.of(r, item)
		default:
			item.Report(strict.Report{Found: "a second volume in the same column", Expected: volumes})
			ok = false
		}
	}
	if n.Sound() && len(list) == 0 && n.Kind() == strict.KindList {
		n.Report(strict.Report{Found: "found no volume", Expected: volumes})
	}
	return f, ok
}

// weighed reads the rule of what an item takes.
func (r *reader) weighed(m *strict.Map, key string, rule *boxfill.Rule) {
	r.rule(m, key, "a counting rule", func(m *strict.Map, s cited) {
		rule.Source = s.Source
		set(m, "weight", aWeight, parseWeight, &rule.Weight)
		setWord(m, "per", "what the weight is taken for", &rule.Per)
		if rule.Per != boxfill.WithOthers {
			setWord(m, "of", "whose allowance is taken", &rule.Of)
		}
	})
}

func parseWeight(text string) (boxfill.Weight, error) {
	r, err := quantity.ParseFactor(text)
	return boxfill.Weight(r), err
}

// part reads a group of rules that has no source of its own.
func part(m *strict.Map, key, what string, read func(m *strict.Map)) {
	if p := m.Get(key).Map(what); p != nil {
		read(p)
		p.Done()
	}
}

func (r *reader) counting(m *strict.Map) {
	t := &r.region.Box
	part(m, "conductors", "the rules for conductors", func(m *strict.Map) {
		c := &t.Conductors
		r.weighed(m, "spliced", &c.Spliced)
		r.weighed(m, "landed", &c.Landed)
		r.weighed(m, "passing through", &c.PassingThrough)
		r.weighed(m, "looped", &c.Looped)
		r.weighed(m, "pigtail", &c.Pigtail)
		r.length(m, "loop from", &c.LoopAtLeast, &c.LoopSource)
	})
	part(m, "fixture wires", "the rules for fixture wires", func(m *strict.Map) {
		f := &t.FixtureWires
		r.weighed(m, "counted", &f.Counted)
		r.rule(m, "omitted", "what is omitted", func(m *strict.Map, s cited) {
			f.OmitSource = s.Source
			setOptional(m, "smaller than", aSize, conductor.ParseSize, &f.SmallerThan)
			setOptional(m, "at most", theCount, parseCount, &f.AtMost)
			yes(m, "under a canopy only", &f.CanopyOnly)
			yes(m, "grounding too", &f.Grounds)
		})
	})
	part(m, "grounds", "the rules for grounding conductors", r.groundRules)
	part(m, "clamps", "the rules for clamps", func(m *strict.Map) {
		r.weighed(m, "internal", &t.Clamps)
		r.weighed(m, "external", &t.ExternalClamps)
	})
	if fittings := m.Get("fittings").Map("the rules for support fittings"); fittings != nil {
		for _, e := range fittings.Entries() {
			row := boxfill.FittingRule{Kind: e.Key.Raw()}
			r.weighed(fittings, row.Kind, &row.Rule)
			t.Fittings = append(t.Fittings, row)
		}
	}
	part(m, "devices", "the rules for devices", func(m *strict.Map) {
		d := &t.Devices
		r.weighed(m, "yoke", &d.Yoke)
		r.weighed(m, "wide", &d.Wide)
		r.length(m, "wide over", &d.WideOver, &d.WideSource)
		r.length(m, "deep over", &d.Deep.Over, &d.Deep.OverSource)
		r.rule(m, "each centimeter of depth", "the volume by depth", func(m *strict.Map, s cited) {
			d.Deep.Source = s.Source
			set(m, "volume", aVolume, quantity.ParseVolume, &d.Deep.PerCentimeter)
		})
	})
	r.weighed(m, "terminal blocks", &t.TerminalBlocks)
	r.weighed(m, "connectors", &t.Connectors)
}

func (r *reader) length(m *strict.Map, key string, length *quantity.Length, source *conductor.Source) {
	r.rule(m, key, "a length with its section", func(m *strict.Map, s cited) {
		*source = s.Source
		set(m, "length", aLength, quantity.ParseLength, length)
	})
}

func (r *reader) groundRules(m *strict.Map) {
	g := &r.region.Box.Grounds
	r.rule(m, "first", "the first grounding conductors", func(m *strict.Map, s cited) {
		g.Source = s.Source
		set(m, "count", "a whole number, or all", func(text string) (int, error) {
			if text == "all" {
				return 0, nil
			}
			n, err := parseCount(text)
			if err == nil && n == 0 {
				err = problem("0 is no group of grounding conductors; write all for however many there are")
			}
			return n, err
		}, &g.First)
		set(m, "weight", aWeight, parseWeight, &g.FirstWeight)
	})
	r.rule(m, "beyond", "each grounding conductor beyond the first", func(m *strict.Map, s cited) {
		g.BeyondSource = s.Source
		set(m, "weight", aWeight, parseWeight, &g.Beyond)
	})
	r.weighed(m, "insulated", &g.Insulated)
	r.weighed(m, "isolated", &g.Isolated)
}

func (r *reader) boxTypes(n *strict.Node) {
	t := &r.region.Box
	r.groups(n, "a group of box types", func(_ *strict.Node, m *strict.Map, s cited) {
		metric := r.metricSource(m, s)
		kind := boxfill.BoxType{}
		text(m, "shape", "the trade's word for the shape", &kind.Shape)
		setOptional(m, "gangs", theCount, parseCount, &kind.Gangs)
		yes(m, "measured by the gang", &kind.PerGang)
		optionalText(m, "refused", "why the volumes are not given", &kind.Refused)
		if kind.PerGang {
			kind.Gangs = 1
		}
		entries(m.Need("types", "box types by name"), "box types by name", func(name, v *strict.Node) {
			m := v.Map("a box type")
			row := kind
			row.Name = name.Raw()
			setOptional(m, "width", aLength, quantity.ParseLength, &row.Width)
			setOptional(m, "second", aLength, quantity.ParseLength, &row.Second)
			setOptional(m, "depth", aLength, quantity.ParseLength, &row.Depth)
			ok := m != nil
			if figure := m.Get("volume"); figure != nil || row.Refused == "" {
				if figure == nil {
					figure = m.Need("volume", volumes)
				}
				row.Volume, ok = r.figure(figure, s, metric)
			}
			m.Done()
			if ok {
				t.Boxes = append(t.Boxes, row)
			}
		})
	})
}

func (r *reader) rooms(m *strict.Map) {
	t := &r.region.Box
	r.rule(m, "marked", "the rule for marked volumes", func(m *strict.Map, s cited) {
		t.Marked.Source = s.Source
		r.rule(m, "ganged boxes add up", "the rule for boxes ganged together", func(_ *strict.Map, s cited) { t.Marked.SumSource = s.Source })
	})
	r.rule(m, "additions", "the rule for rings and covers", func(m *strict.Map, s cited) {
		t.Additions.Source = s.Source
		r.rule(m, "rings by type", "the rule for rings without a marked volume", func(_ *strict.Map, s cited) {
			t.Additions.ByType, t.Additions.ByTypeSource = true, s.Source
		})
	})
	r.rule(m, "barriers", "the rule for barriers", func(m *strict.Map, s cited) {
		t.Barriers.Source = s.Source
		t.Barriers.Metal, _ = r.figure(m.Need("metal", volumes), s, s)
		t.Barriers.Nonmetallic, _ = r.figure(m.Need("nonmetallic", volumes), s, s)
	})
}
