package conductor

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// Check reports everything that is wrong with the table, joined, or nil. It
// finds rows without source, confidence or figures, doubled rows, rows that name
// a size or method the table does not list, and figures that fall where they
// must rise: a larger size that carries less or resists more, a correction that
// grows with the ambient. A list left empty or a rule left absent is sound.
func (t *Table) Check() error {
	c := checker{table: t, sizes: map[Size]bool{}, methods: map[string]bool{}}
	c.errs.unless(t.Region != "", "table: no region name")
	for _, row := range t.Sizes {
		c.sizes[row.Size] = true
	}
	for _, row := range t.Methods {
		c.methods[row.Name] = true
	}
	c.carrying()
	c.corrections()
	c.overcurrent()
	c.grounding()
	c.drop()
	c.protection()
	if err := c.errs.join(); err != nil {
		return fmt.Errorf("conductor table %q is unsound:\n%w", t.Region, err)
	}
	return nil
}

type checker struct {
	table   *Table
	errs    errorList
	sizes   map[Size]bool
	methods map[string]bool
}

// row checks what every row has: a source, and that its key is not doubled.
func (c *checker) row(seen map[any]bool, name string, key any, source Source) {
	c.source(name, source)
	c.errs.unless(!seen[key], "%s: stands twice", name)
	seen[key] = true
}

func (c *checker) source(name string, s Source) {
	c.errs.unless(s.Section != "", "%s: no section", name)
	c.errs.unless(confidences.valid(uint8(s.Confidence)), "%s: confidence %s; write high, medium or low", name, s.Confidence)
}

// rule checks a rule that may be absent: absent means all of it is zero.
func (c *checker) rule(name string, s Source, isZero bool) bool {
	if s.Absent() {
		c.errs.unless(isZero, "%s: has figures but no source", name)
		return false
	}
	c.source(name, s)
	return true
}

func (c *checker) material(name string, m Material) {
	c.errs.unless(materials.valid(uint8(m)), "%s: material %s", name, m)
}

func (c *checker) size(name string, s Size) {
	c.errs.unless(c.sizes[s], "%s: %s is not among the table's sizes", name, s)
}

func (c *checker) carrying() {
	t, seen := c.table, map[any]bool{}
	for _, r := range t.Sizes {
		name := fmt.Sprintf("size %s", r.Size)
		c.row(seen, name, r.Size, r.Source)
		c.errs.unless(r.Size.Valid(), "%s: not a size", name)
		_, round := r.Size.CircularMils()
		c.errs.unless(r.Area > 0 == round, "%s: area %s; a gauge or kcmil size has one in circular mils, a metric size none", name, r.Area)
	}
	byArea := slices.Clone(t.Sizes)
	slices.SortFunc(byArea, func(a, b SizeRow) int { return a.Size.Compare(b.Size) })
	for i := 1; i < len(byArea); i++ {
		a, b := byArea[i-1], byArea[i]
		c.errs.unless(a.Area < b.Area || a.Area == 0 || b.Area == 0, "size %s: area %s is not above that of %s, %s", b.Size, b.Area, a.Size, a.Area)
	}
	if r := t.LeastSize; c.rule("least size", r.Source, r == LeastSize{}) {
		c.size("least size", r.Size)
	}
	seen = map[any]bool{}
	for _, r := range t.Methods {
		name := fmt.Sprintf("method %q", r.Name)
		c.row(seen, name, r.Name, r.Source)
		c.errs.unless(r.Name != "" && r.Words != "", "%s: needs a name and words", name)
	}
	seen = map[any]bool{}
	type column struct {
		material Material
		rating   quantity.Temperature
		method   string
	}
	var rows []rising[column]
	for _, r := range t.Ampacities {
		name := fmt.Sprintf("ampacity of %s %s at %s", r.Size, r.Material, r.Rating.InCelsius())
		if r.Method != "" {
			name += " by method " + r.Method
		}
		key := r
		key.Current, key.Source = 0, Source{}
		c.row(seen, name, key, r.Source)
		c.material(name, r.Material)
		c.size(name, r.Size)
		c.errs.unless(r.Rating > 0 && r.Current > 0, "%s: rating %s and current %s must be above zero", name, r.Rating, r.Current)
		c.errs.unless(c.methods[r.Method] || r.Method == "" && len(t.Methods) == 0, "%s: method %q is not among the table's methods", name, r.Method)
		rows = append(rows, rising[column]{column{r.Material, r.Rating, r.Method}, r.Size, int64(r.Current), name})
	}
	mustRise(c, rows, "is below that of a smaller size")
}

// rising is a figure that must not fall as the size grows, within its group.
type rising[G comparable] struct {
	group G
	size  Size
	value int64
	name  string
}

// mustRise reports each figure below that of the next smaller size of its group.
func mustRise[G comparable](c *checker, rows []rising[G], complaint string) {
	slices.SortStableFunc(rows, func(a, b rising[G]) int { return a.size.Compare(b.size) })
	last := map[G]int64{}
	for _, r := range rows {
		if v, ok := last[r.group]; ok && r.value < v {
			c.errs.add("%s: %s", r.name, complaint)
		}
		last[r.group] = r.value
	}
}

func (c *checker) corrections() {
	t, seen := c.table, map[any]bool{}
	ambient := slices.Clone(t.Ambient)
	slices.SortStableFunc(ambient, func(a, b AmbientRow) int {
		return cmp.Or(cmp.Compare(a.Rating, b.Rating), cmp.Compare(a.UpTo, b.UpTo))
	})
	for i, r := range ambient {
		name := fmt.Sprintf("ambient up to %s, rating %s", r.UpTo.InCelsius(), r.Rating.InCelsius())
		c.row(seen, name, [2]quantity.Temperature{r.UpTo, r.Rating}, r.Source)
		c.errs.unless(r.Factor > 0, "%s: factor %s must be above zero", name, r.Factor.Factor())
		c.errs.unless(r.UpTo < r.Rating, "%s: an ambient at or above the rating cannot be allowed", name)
		c.errs.unless(i == 0 || ambient[i-1].Rating != r.Rating || ambient[i-1].Factor >= r.Factor, "%s: factor %s is above that of a colder ambient", name, r.Factor.Factor())
	}
	c.errs.unless(len(t.Ambient) == 0 || t.AmbientBase > 0, "ambient rows without the ambient base of the ampacities")
	bundling := slices.Clone(t.Bundling)
	slices.SortStableFunc(bundling, func(a, b BundlingRow) int { return cmp.Compare(a.From, b.From) })
	for i, r := range bundling {
		name := fmt.Sprintf("bundling from %d conductors", r.From)
		c.source(name, r.Source)
		c.errs.unless(r.Factor > 0 && r.Factor <= quantity.Whole, "%s: factor %s must be above 0 and not above 1", name, r.Factor.Factor())
		c.errs.unless(r.UpTo == 0 || r.UpTo >= r.From, "%s: ends at %d", name, r.UpTo)
		if i == 0 {
			c.errs.unless(r.From == 1, "%s: the first row must start at 1", name)
			continue
		}
		c.errs.unless(r.From == bundling[i-1].UpTo+1, "%s: does not follow the row that ends at %d", name, bundling[i-1].UpTo)
		c.errs.unless(r.Factor <= bundling[i-1].Factor, "%s: factor %s is above that of fewer conductors", name, r.Factor.Factor())
	}
	if n := len(bundling); n > 0 {
		c.errs.unless(bundling[n-1].UpTo == 0, "bundling: the last row must be without end (up to 0)")
	}
	if r := t.BundlingExempt; c.rule("bundling exemption", r.Source, r == LengthRule{}) {
		c.errs.unless(r.Length > 0, "bundling exemption: length %s", r.Length)
	}
	if r := t.Terminations; c.rule("terminations", r.Source, r == TerminationRule{}) {
		c.errs.unless(r.Default > 0 && r.Above >= r.Default, "terminations: columns %s and %s", r.Default.InCelsius(), r.Above.InCelsius())
		c.errs.unless(r.ThresholdRating > 0, "terminations: no threshold rating")
		c.errs.unless(r.ThresholdSize.Valid(), "terminations: no threshold size")
	}
	if r := t.Nonmetallic; c.rule("nonmetallic cable", r.Source, r == NonmetallicRule{}) {
		c.errs.unless(r.Limit > 0 && r.Start >= r.Limit, "nonmetallic cable: columns %s and %s", r.Limit.InCelsius(), r.Start.InCelsius())
		c.errs.unless(r.TogetherAbove > 0 && r.MinCarrying > 0, "nonmetallic cable: counts of cables and conductors must be above zero")
	}
}

func (c *checker) overcurrent() {
	t, seen := c.table, map[any]bool{}
	if r := t.Continuous; c.rule("continuous load", r.Source, r == ContinuousRule{}) {
		c.errs.unless(r.Conductor >= quantity.Whole && r.Overcurrent >= quantity.Whole, "continuous load: factors below 1")
		raised := r.Conductor > quantity.Whole || r.Overcurrent > quantity.Whole
		c.errs.unless(r.MinDuration > 0 || !raised, "continuous load: no duration")
		c.source("continuous load, overcurrent", r.OvercurrentSource)
	}
	if !t.AtAmpacity.Absent() {
		c.source("protection at ampacity", t.AtAmpacity)
	}
	for _, r := range t.Overcurrent {
		name := fmt.Sprintf("standard rating %s", r.Rating)
		c.row(seen, name, r.Rating, r.Source)
		c.errs.unless(r.Rating > 0, "%s: must be above zero", name)
		c.errs.unless(overcurrentKinds.valid(uint8(r.Kind)), "%s: device kind %s", name, r.Kind)
	}
	if r := t.MinimumRating; c.rule("minimum rating", r.Source, r == MinimumRating{}) {
		c.errs.unless(r.Rating > 0 && r.Suggested >= r.Rating, "minimum rating: %s, suggested %s", r.Rating, r.Suggested)
		c.errs.unless(r.WithReceptacles == 0 || r.WithReceptacles >= r.Rating, "minimum rating: %s, with receptacles %s", r.Rating, r.WithReceptacles)
	}
	if r := t.NextSizeUp; c.rule("next size up", r.Source, r == NextSizeUpRule{}) {
		c.errs.unless(r.UpTo > 0, "next size up: no largest rating")
	}
	seen = map[any]bool{}
	var rows []rising[Material]
	for _, r := range t.SmallConductors {
		name := fmt.Sprintf("small conductor %s %s", r.Size, r.Material)
		c.row(seen, name, SmallConductor{Material: r.Material, Size: r.Size}, r.Source)
		c.material(name, r.Material)
		c.errs.unless(r.Size.Valid(), "%s: no size", name)
		c.errs.unless(r.MaxRating > 0 && r.MaxContinuous >= 0, "%s: limits %s and %s", name, r.MaxRating, r.MaxContinuous)
		rows = append(rows, rising[Material]{r.Material, r.Size, int64(r.MaxRating), name})
	}
	mustRise(c, rows, "limit is below that of a smaller size")
}

func (c *checker) grounding() {
	t, seen := c.table, map[any]bool{}
	rows := slices.Clone(t.Grounding)
	slices.SortStableFunc(rows, func(a, b GroundingRow) int {
		return cmp.Or(cmp.Compare(a.Material, b.Material), cmp.Compare(a.UpTo, b.UpTo))
	})
	for i, r := range rows {
		name := fmt.Sprintf("grounding up to %s, %s", r.UpTo, r.Material)
		c.row(seen, name, GroundingRow{UpTo: r.UpTo, Material: r.Material}, r.Source)
		c.material(name, r.Material)
		c.size(name, r.Size)
		c.errs.unless(r.UpTo > 0, "%s: must be above zero", name)
		c.errs.unless(i == 0 || rows[i-1].Material != r.Material || rows[i-1].Size.Compare(r.Size) <= 0, "%s: %s is smaller than behind a smaller device", name, r.Size)
	}
	if r := t.GroundingIncrease; c.rule("grounding increase", r.Source, r == GroundingIncrease{}) {
		c.errs.unless(groundingBases.valid(uint8(r.Basis)), "grounding increase: basis %s", r.Basis)
		c.errs.unless(groundingBaselines.valid(uint8(r.Baseline)) == (r.Basis == ByArea), "grounding increase: baseline %s; by area there is one, by ampacity none", r.Baseline)
	}
}

func (c *checker) drop() {
	t, seen := c.table, map[any]bool{}
	type layout struct {
		material Material
		stranded Stranding
		at       quantity.Temperature
	}
	var dc []rising[layout]
	for _, r := range t.Resistances {
		name := fmt.Sprintf("resistance of %s %s %s", r.Size, r.Stranding, r.Material)
		key := r
		key.Resistance, key.Source = 0, Source{}
		c.row(seen, name, key, r.Source)
		c.material(name, r.Material)
		c.size(name, r.Size)
		c.errs.unless(strandings.valid(uint8(r.Stranding)), "%s: stranding %s", name, r.Stranding)
		c.errs.unless(r.Resistance > 0 && r.At > 0, "%s: %s at %s", name, r.Resistance, r.At)
		dc = append(dc, rising[layout]{layout{r.Material, r.Stranding, r.At}, r.Size, -int64(r.Resistance), name})
	}
	mustRise(c, dc, "is above that of a smaller size")
	type conduit struct {
		material Material
		raceway  Raceway
	}
	var ac []rising[conduit]
	seen = map[any]bool{}
	for _, r := range t.Impedances {
		name := fmt.Sprintf("impedance of %s %s in %s", r.Size, r.Material, r.Raceway)
		c.row(seen, name, Impedance{Material: r.Material, Size: r.Size, Raceway: r.Raceway}, r.Source)
		c.material(name, r.Material)
		c.size(name, r.Size)
		c.errs.unless(raceways.valid(uint8(r.Raceway)), "%s: raceway %s", name, r.Raceway)
		c.errs.unless(r.Resistance > 0 && r.Reactance > 0 && r.Effective85 >= 0, "%s: figures must be above zero", name)
		ac = append(ac, rising[conduit]{conduit{r.Material, r.Raceway}, r.Size, -int64(r.Resistance), name})
	}
	mustRise(c, ac, "resistance is above that of a smaller size")
	seen = map[any]bool{}
	for _, r := range t.Constants {
		name := fmt.Sprintf("drop constant of %s", r.Material)
		c.row(seen, name, r.Material, r.Source)
		c.material(name, r.Material)
		c.errs.unless(r.K > 0, "%s: %s", name, r.K)
	}
	seen = map[any]bool{}
	var rates []rising[bool]
	for _, r := range t.DropRates {
		name := fmt.Sprintf("drop rate of %s", r.Size)
		c.row(seen, name, r.Size, r.Source)
		c.size(name, r.Size)
		c.errs.unless(r.Rate > 0, "%s: %s", name, r.Rate)
		rates = append(rates, rising[bool]{true, r.Size, -int64(r.Rate), name})
	}
	mustRise(c, rates, "is above that of a smaller size")
	c.errs.unless(t.DropMethod == 0 || dropMethods.valid(uint8(t.DropMethod)), "voltage drop method %s", t.DropMethod)
	seen = map[any]bool{}
	known := t.DropUse == ""
	for _, r := range t.DropLimits {
		name := fmt.Sprintf("drop limit for %q", r.Use)
		c.row(seen, name, r.Use, r.Source)
		c.errs.unless(r.Use != "", "%s: no use", name)
		c.errs.unless(r.Limit > 0 && r.Limit < quantity.Whole, "%s: limit %s", name, r.Limit)
		c.errs.unless(forces.valid(uint8(r.Force)), "%s: force %s", name, r.Force)
		known = known || r.Use == t.DropUse
		set := r.LongRun > 0 && r.PerMeter > 0 && r.MostAdded > 0
		c.errs.unless(set || r.LongRun == 0 && r.PerMeter == 0 && r.MostAdded == 0, "%s: the long-run allowance needs all three of its figures", name)
	}
	c.errs.unless(known, "drop use %q has no drop limit", t.DropUse)
}

func (c *checker) protection() {
	t, seen := c.table, map[any]bool{}
	if r := t.FaultLoop; c.rule("fault loop", r.Source, len(r.Curves) == 0 && r.VoltageFactor == 0 && r.Rise == 0) {
		c.errs.unless(r.VoltageFactor > 0 && r.VoltageFactor <= quantity.Whole, "fault loop: voltage factor %s", r.VoltageFactor.Factor())
		c.errs.unless(r.Rise >= quantity.Whole, "fault loop: resistance rise %s is below 1", r.Rise.Factor())
		c.errs.unless(len(r.Curves) > 0, "fault loop: no trip curves")
		for _, curve := range r.Curves {
			name := fmt.Sprintf("trip curve %q", curve.Name)
			c.row(seen, name, curve.Name, curve.Source)
			c.errs.unless(curve.Name != "" && curve.Multiple > 0, "%s: needs a name and a multiple above zero", name)
		}
	}
	seen = map[any]bool{}
	for _, r := range t.Protections {
		name := fmt.Sprintf("%s protection in %q", r.Kind, r.Location)
		c.row(seen, name, Protection{Location: r.Location, Kind: r.Kind, Outlets: r.Outlets}, r.Source)
		c.errs.unless(r.Outlets == 0 || outletKinds.valid(uint8(r.Outlets)), "%s: outlets %s", name, r.Outlets)
		c.errs.unless(r.Breaker >= 0 && r.Volts >= 0 && r.Since >= 0, "%s: a limit or year below zero", name)
		c.errs.unless(protectionKinds.valid(uint8(r.Kind)), "%s: kind %s", name, r.Kind)
		c.errs.unless(demands.valid(uint8(r.Demand)), "%s: demand %s", name, r.Demand)
	}
	for _, r := range t.Refusals {
		c.errs.unless(ruleWords.valid(uint8(r.Rule)) && r.Why != "", "refusal of %s: needs a rule and a reason", r.Rule)
	}
	for _, r := range t.Elsewhere {
		c.errs.unless(ruleWords.valid(uint8(r.Rule)) && len(r.Regions) > 0, "elsewhere for %s: needs a rule and regions", r.Rule)
	}
}
