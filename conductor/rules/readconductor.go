package rules

import (
	"regexp"
	"strconv"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
)

const (
	aSize     = "a conductor size such as 14 AWG or 1.5 mm2"
	aCurrent  = "a current such as 15 A"
	aRating   = "a temperature rating such as 60 C"
	aFactor   = "a factor such as 0.8"
	aShare    = "a share such as 3 %"
	aMaterial = "a conductor material"
	perLength = "a resistance per length such as 3.07 ohm/kft"
)

// conductors reads the conductor table. Its keys are the fields of
// [conductor.Table] in the words of the trade.
func (r *reader) conductors(m *strict.Map) {
	r.sizes(m)
	r.carrying(m)
	r.corrections(m)
	r.overcurrent(m)
	r.grounding(m)
	r.drop(m)
	r.protection(m)
	r.lacking(m)
}

func (r *reader) sizes(m *strict.Map) {
	t := &r.region.Conductor
	r.groups(m.Get("sizes"), "a group of sizes", func(_ *strict.Node, m *strict.Map, s cited) {
		figures(r, m.Get("areas"), "sizes with their circular mils, such as 14 AWG: 4110 cmil", s, conductor.ParseSize, quantity.ParseCircularMils,
			func(size conductor.Size, area quantity.CircularMils, s conductor.Source) {
				t.Sizes = append(t.Sizes, conductor.SizeRow{Size: size, Area: area, Source: s})
			})
		for _, size := range each(m.Get("metric sizes"), "a metric cross-section such as 1.5 mm2", conductor.ParseSize) {
			t.Sizes = append(t.Sizes, conductor.SizeRow{Size: size, Source: s.Source})
		}
	})
	r.rule(m, "least size", "the least size of a branch circuit", func(m *strict.Map, s cited) {
		t.LeastSize.Source = s.Source
		set(m, "size", aSize, conductor.ParseSize, &t.LeastSize.Size)
	})
}

func (r *reader) carrying(m *strict.Map) {
	t := &r.region.Conductor
	r.groups(m.Get("methods"), "a method of installing cable", func(name *strict.Node, m *strict.Map, s cited) {
		row := conductor.Method{Name: name.Raw(), Source: s.Source}
		text(m, "words", "the method in words", &row.Words)
		t.Methods = append(t.Methods, row)
	})
	r.groups(m.Get("ampacities"), "a column of ampacities", func(_ *strict.Node, m *strict.Map, s cited) {
		row := conductor.Ampacity{Source: s.Source}
		metals := materials(m)
		set(m, "rating", aRating, quantity.ParseTemperature, &row.Rating)
		optionalText(m, "method", "the name of a method", &row.Method)
		figures(r, m.Need("currents", "sizes with their currents"), "sizes with their currents, such as 14 AWG: 15 A", s, conductor.ParseSize, quantity.ParseCurrent,
			func(size conductor.Size, current quantity.Current, s conductor.Source) {
				for _, row.Material = range metals {
					row.Size, row.Current, row.Source = size, current, s
					t.Ampacities = append(t.Ampacities, row)
				}
			})
	})
}

func (r *reader) corrections(m *strict.Map) {
	t := &r.region.Conductor
	if a := m.Get("ambient").Map("the ambient correction"); a != nil {
		set(a, "base", "the ambient of the ampacities, such as 30 C", quantity.ParseTemperature, &t.AmbientBase)
		r.groups(a.Get("factors"), "a column of factors", func(_ *strict.Node, m *strict.Map, s cited) {
			row := conductor.AmbientRow{Source: s.Source}
			set(m, "rating", aRating, quantity.ParseTemperature, &row.Rating)
			figures(r, m.Need("up to", "ambients with their factors"), "ambients with their factors, such as 35 C: 0.91", s, quantity.ParseTemperature, quantity.ParseFactor,
				func(t2 quantity.Temperature, factor quantity.Ratio, s conductor.Source) {
					row.UpTo, row.Factor, row.Source = t2, factor, s
					t.Ambient = append(t.Ambient, row)
				})
		})
		a.Done()
	}
	r.groups(m.Get("bundling"), "a group of factors", func(_ *strict.Node, m *strict.Map, s cited) {
		figures(r, m.Need("factors", "numbers of conductors with their factors"), "numbers of conductors with their factors, such as 4 to 6: 0.8", s, parseSpan, quantity.ParseFactor,
			func(n span, factor quantity.Ratio, s conductor.Source) {
				t.Bundling = append(t.Bundling, conductor.BundlingRow{From: n.from, UpTo: n.to, Factor: factor, Source: s})
			})
	})
	r.rule(m, "bundling exempt", "the length of bundles that need no adjustment", func(m *strict.Map, s cited) {
		t.BundlingExempt.Source = s.Source
		set(m, "length", "a length such as 24 in", quantity.ParseLength, &t.BundlingExempt.Length)
	})
	r.rule(m, "terminations", "the rule of terminations", func(m *strict.Map, s cited) {
		rule := &t.Terminations
		rule.Source = s.Source
		set(m, "default", aRating, quantity.ParseTemperature, &rule.Default)
		set(m, "up to rating", aCurrent, quantity.ParseCurrent, &rule.ThresholdRating)
		set(m, "up to size", aSize, conductor.ParseSize, &rule.ThresholdSize)
		set(m, "above", aRating, quantity.ParseTemperature, &rule.Above)
	})
	r.rule(m, "nonmetallic cable", "the rule of nonmetallic cable", func(m *strict.Map, s cited) {
		rule := &t.Nonmetallic
		rule.Source = s.Source
		set(m, "limit", aRating, quantity.ParseTemperature, &rule.Limit)
		set(m, "start", aRating, quantity.ParseTemperature, &rule.Start)
		set(m, "together above", "a number of cables", parseCount, &rule.TogetherAbove)
		set(m, "carrying at least", "a number of conductors", parseCount, &rule.MinCarrying)
	})
}

// span is an inclusive range of counts; to is 0 without end.
type span struct{ from, to int }

var spanText = regexp.MustCompile(`^([0-9]{1,5})(?: to ([0-9]{1,5})| or more)$`)

func parseSpan(text string) (span, error) {
	m := spanText.FindStringSubmatch(text)
	if m == nil {
		return span{}, problem("%q is not a range such as 4 to 6 or 41 or more", text)
	}
	from, _ := strconv.Atoi(m[1])
	to, _ := strconv.Atoi("0" + m[2])
	if m[2] != "" && to < from {
		return span{}, problem("%q ends before it begins", text)
	}
	return span{from, to}, nil
}

func (r *reader) overcurrent(m *strict.Map) {
	t := &r.region.Conductor
	part(m, "continuous load", "the rule of continuous load", func(m *strict.Map) {
		rule := &t.Continuous
		setOptional(m, "lasts", "a duration such as 3 h", parseDuration, &rule.MinDuration)
		factor := func(key string, factor *quantity.Ratio, source *conductor.Source) {
			m.Need(key, "a factor with its section")
			r.rule(m, key, "a factor with its section", func(m *strict.Map, s cited) {
				*source = s.Source
				set(m, "factor", aFactor, quantity.ParseFactor, factor)
			})
		}
		factor("conductor", &rule.Conductor, &rule.Source)
		factor("overcurrent", &rule.Overcurrent, &rule.OvercurrentSource)
	})
	r.rule(m, "protection at ampacity", "the rule of protection at ampacity", func(_ *strict.Map, s cited) { t.AtAmpacity = s.Source })
	r.groups(m.Get("standard ratings"), "a group of ratings", func(_ *strict.Node, m *strict.Map, s cited) {
		row := conductor.OvercurrentSize{Source: s.Source}
		set(m, "kind", "breaker or fuse, or fuse only", conductor.ParseOvercurrentKind, &row.Kind)
		for _, row.Rating = range each(m.Need("ratings", "a list of currents"), aCurrent, quantity.ParseCurrent) {
			t.Overcurrent = append(t.Overcurrent, row)
		}
	})
	r.rule(m, "minimum rating", "the least rating of a lighting circuit", func(m *strict.Map, s cited) {
		rule := &t.MinimumRating
		rule.Source = s.Source
		set(m, "rating", aCurrent, quantity.ParseCurrent, &rule.Rating)
		set(m, "suggested", aCurrent, quantity.ParseCurrent, &rule.Suggested)
		setOptional(m, "with receptacles", aCurrent, quantity.ParseCurrent, &rule.WithReceptacles)
	})
	r.rule(m, "next size up", "the rule of the next size up", func(m *strict.Map, s cited) {
		rule := &t.NextSizeUp
		rule.Source = s.Source
		set(m, "up to", aCurrent, quantity.ParseCurrent, &rule.UpTo)
		yes(m, "not for several receptacles", &rule.NotForReceptacles)
	})
	r.groups(m.Get("small conductors"), "a group of small conductors", func(_ *strict.Node, m *strict.Map, s cited) {
		metals, from := materials(m), len(t.SmallConductors)
		figures(r, m.Need("ratings", "sizes with the largest overcurrent device"), "sizes with the largest overcurrent device, such as 14 AWG: 15 A", s, conductor.ParseSize, quantity.ParseCurrent,
			func(size conductor.Size, current quantity.Current, s conductor.Source) {
				for _, metal := range metals {
					t.SmallConductors = append(t.SmallConductors, conductor.SmallConductor{Material: metal, Size: size, MaxRating: current, Source: s})
				}
			})
		rows := t.SmallConductors[from:]
		entries(m.Get("continuous"), "sizes with the largest continuous load, such as 16 AWG: 8 A", func(k, v *strict.Node) {
			size, ok := value(k, aSize, conductor.ParseSize)
			current, okCurrent := value(v, aCurrent, quantity.ParseCurrent)
			if !ok || !okCurrent {
				return
			}
			found := false
			for i := range rows {
				if rows[i].Size == size {
					rows[i].MaxContinuous, found = current, true
					if amended := s.of(r, v); amended != s.Source {
						rows[i].Source = amended
					}
				}
			}
			if !found {
				k.Report(strict.Report{Found: size.String() + " has no rating in this group", Expected: "a size that stands under ratings"})
			}
		})
	})
}

func (r *reader) grounding(m *strict.Map) {
	t := &r.region.Conductor
	r.groups(m.Get("grounding"), "a column of grounding conductors", func(_ *strict.Node, m *strict.Map, s cited) {
		metals := materials(m)
		figures(r, m.Need("sizes", "ratings with the least size"), "ratings with the least size, such as 20 A: 12 AWG", s, quantity.ParseCurrent, conductor.ParseSize,
			func(upTo quantity.Current, size conductor.Size, s conductor.Source) {
				for _, metal := range metals {
					t.Grounding = append(t.Grounding, conductor.GroundingRow{UpTo: upTo, Material: metal, Size: size, Source: s})
				}
			})
	})
	r.rule(m, "grounding increase", "how the grounding conductor grows", func(m *strict.Map, s cited) {
		rule := &t.GroundingIncrease
		rule.Source = s.Source
		set(m, "basis", "area or ampacity", conductor.ParseGroundingBasis, &rule.Basis)
		setOptional(m, "baseline", "before correction or after correction", conductor.ParseGroundingBaseline, &rule.Baseline)
		yes(m, "never above the circuit", &rule.NeverAboveCircuit)
	})
}

func (r *reader) drop(m *strict.Map) {
	t := &r.region.Conductor
	r.groups(m.Get("resistances"), "a column of resistances", func(_ *strict.Node, m *strict.Map, s cited) {
		row := conductor.Resistance{Source: s.Source}
		set(m, "material", aMaterial, conductor.ParseMaterial, &row.Material)
		set(m, "stranding", "solid or stranded", conductor.ParseStranding, &row.Stranding)
		set(m, "at", "a temperature such as 75 C", quantity.ParseTemperature, &row.At)
		figures(r, m.Need("per length", "sizes with their resistance"), perLength, s, conductor.ParseSize, quantity.ParseResistancePerLength,
			func(size conductor.Size, v quantity.ResistancePerLength, s conductor.Source) {
				row.Size, row.Resistance, row.Source = size, v, s
				t.Resistances = append(t.Resistances, row)
			})
	})
	r.impedances(m.Get("impedances"))
	r.groups(m.Get("drop constants"), "a group of constants", func(_ *strict.Node, m *strict.Map, s cited) {
		figures(r, m.Need("constants", "materials with their constant"), "materials with the resistance of one circular mil, such as copper: 12900 ohm/kft", s, conductor.ParseMaterial, quantity.ParseResistancePerLength,
			func(metal conductor.Material, k quantity.ResistancePerLength, s conductor.Source) {
				t.Constants = append(t.Constants, conductor.DropConstant{Material: metal, K: k, Source: s})
			})
	})
	r.groups(m.Get("drop rates"), "a column of drop rates", func(_ *strict.Node, m *strict.Map, s cited) {
		figures(r, m.Need("rates", "sizes with their rate"), "sizes with their rate, such as 1.5 mm2: 29 mV/A/m", s, conductor.ParseSize, quantity.ParseVoltDropRate,
			func(size conductor.Size, rate quantity.VoltDropRate, s conductor.Source) {
				t.DropRates = append(t.DropRates, conductor.DropRate{Size: size, Rate: rate, Source: s})
			})
	})
	setOptional(m, "drop method", "resistance, impedance, constant or rate", conductor.ParseDropMethod, &t.DropMethod)
	optionalText(m, "drop use", "the use whose limit applies unless another is asked for", &t.DropUse)
	r.groups(m.Get("drop limits"), "a limit of voltage drop", func(name *strict.Node, m *strict.Map, s cited) {
		row := conductor.DropLimit{Use: name.Raw(), Source: s.Source}
		set(m, "limit", aShare, quantity.ParseRatio, &row.Limit)
		set(m, "force", "advice or rule", conductor.ParseForce, &row.Force)
		setOptional(m, "long run", "a length such as 100 m", quantity.ParseLength, &row.LongRun)
		setOptional(m, "each meter beyond", aShare, quantity.ParseRatio, &row.PerMeter)
		setOptional(m, "at most", aShare, quantity.ParseRatio, &row.MostAdded)
		t.DropLimits = append(t.DropLimits, row)
	})
}

func (r *reader) impedances(n *strict.Node) {
	t := &r.region.Conductor
	r.groups(n, "a column of impedances", func(_ *strict.Node, m *strict.Map, s cited) {
		row := conductor.Impedance{Source: s.Source}
		set(m, "material", aMaterial, conductor.ParseMaterial, &row.Material)
		set(m, "raceway", "pvc, aluminum or steel", conductor.ParseRaceway, &row.Raceway)
		const what = "sizes with resistance, reactance and, if there is one, the effective impedance"
		entries(m.Need("resistance, reactance, effective", what), what, func(k, v *strict.Node) {
			size, ok := value(k, aSize, conductor.ParseSize)
			list := each(v, perLength, quantity.ParseResistancePerLength)
			if !ok || len(list) != len(v.List(what)) {
				return
			}
			if len(list) != 2 && len(list) != 3 {
				v.Report(strict.Report{Found: "found " + strconv.Itoa(len(list)) + " figures", Expected: what})
				return
			}
			row.Size, row.Resistance, row.Reactance, row.Effective85, row.Source = size, list[0], list[1], 0, s.of(r, v)
			if len(list) == 3 {
				row.Effective85 = list[2]
			}
			t.Impedances = append(t.Impedances, row)
		})
	})
}

func (r *reader) protection(m *strict.Map) {
	t := &r.region.Conductor
	r.rule(m, "fault loop", "the limit of the fault loop", func(m *strict.Map, s cited) {
		rule := &t.FaultLoop
		rule.Source = s.Source
		set(m, "voltage factor", aFactor, quantity.ParseFactor, &rule.VoltageFactor)
		set(m, "resistance rise", aFactor, quantity.ParseFactor, &rule.Rise)
		r.groups(m.Need("curves", "the trip curves of breakers"), "a trip curve", func(name *strict.Node, m *strict.Map, s cited) {
			curve := conductor.TripCurve{Name: name.Raw(), Source: s.Source}
			set(m, "multiple", aFactor, quantity.ParseFactor, &curve.Multiple)
			rule.Curves = append(rule.Curves, curve)
		})
	})
	r.groups(m.Get("protection"), "a demand for protection", func(_ *strict.Node, m *strict.Map, s cited) {
		row := conductor.Protection{Source: s.Source}
		set(m, "kind", "arc-fault, ground-fault or residual-current", conductor.ParseProtectionKind, &row.Kind)
		set(m, "demand", "required, not required, or 'unverified, ask the inspector'", conductor.ParseDemand, &row.Demand)
		setOptional(m, "outlets", "receptacles or lights", conductor.ParseOutletKind, &row.Outlets)
		setOptional(m, "breakers up to", aCurrent, quantity.ParseCurrent, &row.Breaker)
		setOptional(m, "volts up to", "a voltage such as 125 V", quantity.ParseVoltage, &row.Volts)
		setOptional(m, "since", aYear, parseYear, &row.Since)
		optionalText(m, "note", "what it covers", &row.Note)
		for _, row.Location = range each(m.Need("locations", "a list of locations"), "a location such as bedroom", plainText) {
			t.Protections = append(t.Protections, row)
		}
	})
}

// lacking reads what the region rules on without a sure figure, and what other
// regions have.
func (r *reader) lacking(m *strict.Map) {
	t := &r.region.Conductor
	const aRule = "a rule of sizing, such as fault loop"
	entries(m.Get("refused"), "rules whose figures are not sure enough", func(k, v *strict.Node) {
		m := v.Map("a refusal")
		if m == nil {
			return
		}
		row := conductor.Refusal{}
		if m.Get("section") != nil {
			row.Source = r.source(m).Source
		}
		rule, ok := value(k, aRule, conductor.ParseRule)
		text(m, "why", "why the figures are not given", &row.Why)
		m.Done()
		if row.Rule = rule; ok {
			t.Refusals = append(t.Refusals, row)
		}
	})
	entries(m.Get("elsewhere"), "rules with the regions that have them", func(k, v *strict.Node) {
		if rule, ok := value(k, aRule, conductor.ParseRule); ok {
			t.Elsewhere = append(t.Elsewhere, conductor.Elsewhere{Rule: rule, Regions: each(v, "the id of a region", plainText)})
		}
	})
}
