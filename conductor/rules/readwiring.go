package rules

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
)

const (
	aYear   = "the year of an edition, such as 2017"
	aRoom   = "a kind of room such as bedroom"
	aColour = "a colour such as white or green/yellow"
	aPrice  = "a number such as 4.25"
	aRate   = "a rate such as 0.62 per ft"
)

// wiring reads the rules of how lights are switched.
func (r *reader) wiring(m *strict.Map) {
	w := &r.region.Wiring
	r.rule(m, "terms", "the words of the trade", r.terms)
	r.groups(m.Get("systems"), "a system of supply", func(name *strict.Node, m *strict.Map, s cited) {
		row := System{Name: name.Raw(), Source: s.Source}
		set(m, "lines", theCount, parseCount, &row.Lines)
		set(m, "volts", "a voltage such as 120 V", quantity.ParseVoltage, &row.Volts)
		setOptional(m, "between lines", "a voltage such as 240 V", quantity.ParseVoltage, &row.Between)
		set(m, "hertz", theCount, parseCount, &row.Hertz)
		w.Systems = append(w.Systems, row)
	})
	part(m, "colours", "the rules for colours", r.colours)
	r.rule(m, "neutral at switches", "the rule for a neutral at switches", r.neutral)
	r.groups(m.Get("rules"), "a rule", func(name *strict.Node, m *strict.Map, s cited) {
		n, ok := own[Name](name, "the name of a rule", nameWords)
		if rule := r.wiringRule(m, s); ok {
			rule.Name = n
			w.Rules = append(w.Rules, rule)
		}
	})
	slices.SortFunc(w.Rules, func(a, b Rule) int { return cmp.Compare(a.Name, b.Name) })
}

func (r *reader) wiringRule(m *strict.Map, s cited) Rule {
	rule := Rule{Source: s.Source}
	const says = "what a rule says"
	rule.Says, _ = own[Says](m.Need("says", says), says, saysWords)
	setOptional(m, "count", theCount, parseCount, &rule.Count)
	rule.Length, rule.Metric = lengths(m.Get("length"), aLength)
	setOptional(m, "size", "the size of a conductor such as 14 AWG or 1.5 mm2", conductor.ParseSize, &rule.Size)
	rule.During = during(m)
	setOptional(m, "takes effect", aYear, parseYear, &rule.Effect)
	optionalText(m, "note", "more in plain words", &rule.Note)
	return rule
}

// during reads the editions that have a rule.
func during(m *strict.Map) Span {
	var s Span
	setOptional(m, "since", aYear, parseYear, &s.Since)
	setOptional(m, "until", aYear, parseYear, &s.Until)
	if s.Until != 0 && s.Until < s.Since {
		m.Get("until").Report(strict.Report{Found: "it ends before it begins", Expected: "a year from since on",
			Other: m.Get("since"), Note: "begins here"})
	}
	return s
}

func (r *reader) terms(m *strict.Map, s cited) {
	t := &r.region.Wiring.Terms
	t.Source = s.Source
	device := func(key string, d *Device) {
		part(m, key, "a kind of switch", func(m *strict.Map) {
			text(m, "word", "what the trade calls it", &d.Word)
			set(m, "terminals", theCount, parseCount, &d.Terminals)
		})
	}
	device("single-pole", &t.SinglePole)
	device("three-way", &t.ThreeWay)
	device("four-way", &t.FourWay)
	for _, f := range []struct {
		key   string
		field *string
	}{{"traveler", &t.Traveler}, {"common", &t.Common}, {"switch leg", &t.SwitchLeg}, {"ground", &t.Ground}} {
		text(m, f.key, "what the trade calls it", f.field)
	}
	set(m, "ends of a chain", theCount, parseCount, &t.Ends)
	set(m, "travelers", theCount, parseCount, &t.Travelers)
}

func (r *reader) colours(m *strict.Map) {
	w := &r.region.Wiring
	entries(m.Get("schemes"), "schemes of colours by name", func(name, v *strict.Node) {
		m := v.Map("a scheme of colours")
		scheme := ColourScheme{Name: name.Raw()}
		setOptional(m, "from", "a day such as 2004-03-31", ParseDate, &scheme.From)
		setOptional(m, "until", "a day such as 2006-03-31", ParseDate, &scheme.Until)
		r.groups(m.Need("palettes", "colours by function"), "the colours of a function", func(name *strict.Node, m *strict.Map, s cited) {
			f, ok := own[Function](name, "the function of a conductor", functionWords)
			p := r.palette(m, s)
			if p.Function = f; ok {
				scheme.Palettes = append(scheme.Palettes, p)
			}
		})
		slices.SortFunc(scheme.Palettes, func(a, b Palette) int { return cmp.Compare(a.Function, b.Function) })
		m.Done()
		w.Schemes = append(w.Schemes, scheme)
	})
	r.rule(m, "never line", "the colours a line conductor may not have", func(m *strict.Map, s cited) {
		w.NeverLine = r.palette(m, s)
		w.NeverLine.Function = Line
	})
}

func (r *reader) palette(m *strict.Map, s cited) Palette {
	return Palette{Colours: each(m.Need("colours", "a list of colours"), aColour, conductor.ParseColour), Source: s.Source}
}

func (r *reader) neutral(m *strict.Map, s cited) {
	n := &r.region.Wiring.Neutral
	r.groups(m.Get("places"), "a kind of room", func(name *strict.Node, m *strict.Map, s cited) {
		n.Places = append(n.Places, Place{Name: name.Raw(), Rooms: each(m.Get("rooms"), aRoom, plainText), During: during(m), Source: s.Source})
	})
	n.Outside = each(m.Get("outside"), aRoom, plainText)
	r.groups(m.Get("exemptions"), "an exemption", func(name *strict.Node, m *strict.Map, s cited) {
		e, ok := own[Exemption](name, "an exemption", exemptionWords)
		row := ExemptionBy{Exemption: e, During: during(m), Source: s.Source}
		if ok {
			n.Exemptions = append(n.Exemptions, row)
		}
	})
	slices.SortFunc(n.Exemptions, func(a, b ExemptionBy) int { return cmp.Compare(a.Exemption, b.Exemption) })
	n.Rule = r.wiringRule(m, s)
}

// stock reads what can be had.
func (r *reader) stock(m *strict.Map) {
	s := &r.region.Stock
	cables := make(map[string]*strict.Node)
	entries(m.Get("cables"), "cables by name, such as 14/3: {price: 0.62 per ft}", func(name, v *strict.Node) {
		row := CableStock{}
		if m := v.Map("a cable"); m != nil {
			setOptional(m, "price", aRate, ParseRate, &row.Price)
			setOptional(m, "labor", aRate, ParseRate, &row.Labor)
			m.Done()
		}
		cable, ok := value(name, "a cable such as 14/3 or 1.5 mm2 twin and earth", conductor.ParseCableType)
		if first := cables[cable.Name]; first != nil {
			name.Report(strict.Report{Found: fmt.Sprintf("the cable %s is there twice", cable.Name), Expected: "each cable once",
				Fix: "keep one of the two", Other: first, Note: "first here"})
		} else if row.Type = cable; ok {
			cables[cable.Name] = name
			s.Cables = append(s.Cables, row)
		}
	})
	entries(m.Get("boxes"), "boxes by name", func(name, v *strict.Node) {
		m := v.Map("a box")
		row := BoxStock{Box: boxfill.StockBox{Name: name.Raw()}}
		section := &row.Box.Section
		r.boxType(m, &section.Type)
		setOptional(m, "marked", aVolume, quantity.ParseVolume, &section.Marked)
		setOptional(m, "count", theCount, parseCount, &section.Count)
		setOptional(m, "gangs", theCount, parseCount, &row.Box.Gangs)
		if clamps, ok := wordOf[boxfill.Clamping](m.Get("clamps"), "internal, external or none"); ok {
			row.Box.Clamps = clamps
		}
		setOptional(m, "price", aPrice, ParseAmount, &row.Price)
		setOptional(m, "labor", aPrice, ParseAmount, &row.Labor)
		if m != nil && m.Get("type") == nil && m.Get("marked") == nil {
			v.Report(strict.Report{Found: "the box has no volume", Expected: "a type of the region's table, or marked: 20.3 in3"})
		}
		m.Done()
		s.Boxes = append(s.Boxes, row)
	})
	entries(m.Get("additions"), "rings and covers by name", func(name, v *strict.Node) {
		m := v.Map("a ring or cover")
		row := AdditionStock{Addition: boxfill.StockAddition{Name: name.Raw()}}
		setWord(m, "kind", "extension ring, plaster ring or domed cover", &row.Addition.Addition.Kind)
		r.boxType(m, &row.Addition.Addition.Type)
		setOptional(m, "marked", aVolume, quantity.ParseVolume, &row.Addition.Addition.Marked)
		setOptional(m, "price", aPrice, ParseAmount, &row.Price)
		setOptional(m, "labor", aPrice, ParseAmount, &row.Labor)
		m.Done()
		s.Additions = append(s.Additions, row)
	})
	entries(m.Get("supplies"), "what is counted by the piece, by name", func(name, v *strict.Node) {
		m := v.Map("a supply")
		row := SupplyStock{Name: name.Raw()}
		setOptional(m, "price", aPrice, ParseAmount, &row.Price)
		setOptional(m, "labor", aPrice, ParseAmount, &row.Labor)
		m.Done()
		s.Supplies = append(s.Supplies, row)
	})
	sortedBy(s.Cables, func(c CableStock) string { return c.Type.Name })
	sortedBy(s.Boxes, func(b BoxStock) string { return b.Box.Name })
	sortedBy(s.Additions, func(a AdditionStock) string { return a.Addition.Name })
	sortedBy(s.Supplies, func(s SupplyStock) string { return s.Name })
}

// boxType reads the name of a box type of the region's table.
func (r *reader) boxType(m *strict.Map, field *string) {
	n := m.Get("type")
	if n == nil {
		return
	}
	names := make([]string, len(r.region.Box.Boxes))
	for i, b := range r.region.Box.Boxes {
		names[i] = b.Name
	}
	if name, ok := n.OneOf("a box type of the region", names...); ok {
		*field = name
	}
}
