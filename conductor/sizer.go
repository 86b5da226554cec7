package conductor

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// Sizer answers questions about circuits by one region's table. It is immutable
// and safe for concurrent use; make one per region and keep it.
type Sizer struct {
	t         Table     // lists copied and sorted; never written after NewSizer
	sizes     []SizeRow // smallest first
	columns   []column
	dc        []resistances
	ac        []impedances
	rates     []*DropRate // by index into sizes
	small     []smalls
	grounding [countMaterials + 1][]GroundingRow // by material, least device first
}

const countMaterials = int(CopperCladAluminum)

// column is the ampacities of one material, rating and method by size.
type column struct {
	material Material
	rating   quantity.Temperature
	method   string
	rows     []*Ampacity // by index into sizes, nil where the table has none
}

type resistances struct {
	material  Material
	stranding Stranding
	hot, cold []*Resistance // by size: in service (the hottest row above the ambient base), and the coldest row
}

type impedances struct {
	material Material
	raceway  Raceway
	rows     []*Impedance
}

type smalls struct {
	material Material
	rows     []*SmallConductor
}

// NewSizer returns a sizer for the table, or the table's errors. The table may
// be changed afterwards without effect on the sizer.
func NewSizer(table Table) (*Sizer, error) {
	if err := table.Check(); err != nil {
		return nil, err
	}
	s := &Sizer{t: table}
	s.t.Ambient = slices.SortedFunc(slices.Values(table.Ambient), func(a, b AmbientRow) int { return cmp.Compare(a.UpTo, b.UpTo) })
	s.t.Bundling = slices.SortedFunc(slices.Values(table.Bundling), func(a, b BundlingRow) int { return cmp.Compare(a.From, b.From) })
	s.t.Overcurrent = slices.SortedFunc(slices.Values(table.Overcurrent), func(a, b OvercurrentSize) int { return cmp.Compare(a.Rating, b.Rating) })
	s.t.Protections = slices.SortedFunc(slices.Values(table.Protections), func(a, b Protection) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Location, b.Location))
	})
	s.t.Methods = slices.SortedFunc(slices.Values(table.Methods), func(a, b Method) int { return cmp.Compare(a.Name, b.Name) })
	s.t.DropLimits = slices.SortedFunc(slices.Values(table.DropLimits), func(a, b DropLimit) int { return cmp.Compare(a.Use, b.Use) })
	s.t.FaultLoop.Curves = slices.SortedFunc(slices.Values(table.FaultLoop.Curves), func(a, b TripCurve) int { return cmp.Compare(a.Name, b.Name) })
	s.t.Constants = slices.Clone(table.Constants)
	s.t.Refusals = slices.Clone(table.Refusals)
	s.t.Elsewhere = slices.Clone(table.Elsewhere)
	for i := range s.t.Elsewhere {
		s.t.Elsewhere[i].Regions = slices.Clone(s.t.Elsewhere[i].Regions)
	}
	s.sizes = slices.SortedFunc(slices.Values(table.Sizes), func(a, b SizeRow) int { return a.Size.Compare(b.Size) })
	s.t.Sizes = s.sizes
	s.indexAmpacities(slices.Clone(table.Ampacities))
	s.indexResistances(slices.Clone(table.Resistances))
	for _, row := range table.Grounding {
		s.grounding[row.Material] = append(s.grounding[row.Material], row)
	}
	for _, rows := range s.grounding {
		slices.SortFunc(rows, func(a, b GroundingRow) int { return cmp.Compare(a.UpTo, b.UpTo) })
	}
	return s, nil
}

func (s *Sizer) indexAmpacities(rows []Ampacity) {
	// Sorted, so that the order of columns depends on no order of rows.
	slices.SortFunc(rows, func(a, b Ampacity) int {
		return cmp.Or(cmp.Compare(a.Material, b.Material), cmp.Compare(a.Rating, b.Rating), cmp.Compare(a.Method, b.Method))
	})
	for i := range rows {
		row := &rows[i]
		c := s.column(row.Material, row.Rating, row.Method)
		if c == nil {
			s.columns = append(s.columns, column{row.Material, row.Rating, row.Method, make([]*Ampacity, len(s.sizes))})
			c = &s.columns[len(s.columns)-1]
		}
		c.rows[s.index(row.Size)] = row
	}
	caps := slices.Clone(s.t.SmallConductors)
	for i := range caps {
		row := &caps[i]
		at := s.index(row.Size)
		if at < 0 {
			continue // a cap on a size the region does not list is never asked for
		}
		k := slices.IndexFunc(s.small, func(m smalls) bool { return m.material == row.Material })
		if k < 0 {
			k = len(s.small)
			s.small = append(s.small, smalls{row.Material, make([]*SmallConductor, len(s.sizes))})
		}
		s.small[k].rows[at] = row
	}
}

func (s *Sizer) indexResistances(rows []Resistance) {
	for i := range rows {
		row := &rows[i]
		k := slices.IndexFunc(s.dc, func(r resistances) bool { return r.material == row.Material && r.stranding == row.Stranding })
		if k < 0 {
			k = len(s.dc)
			s.dc = append(s.dc, resistances{row.Material, row.Stranding, make([]*Resistance, len(s.sizes)), make([]*Resistance, len(s.sizes))})
		}
		at := s.index(row.Size)
		if hot := &s.dc[k].hot[at]; row.At > s.t.AmbientBase && (*hot == nil || (*hot).At < row.At) {
			*hot = row
		}
		if cold := &s.dc[k].cold[at]; *cold == nil || (*cold).At > row.At {
			*cold = row
		}
	}
	ac := slices.Clone(s.t.Impedances)
	for i := range ac {
		row := &ac[i]
		k := slices.IndexFunc(s.ac, func(r impedances) bool { return r.material == row.Material && r.raceway == row.Raceway })
		if k < 0 {
			k = len(s.ac)
			s.ac = append(s.ac, impedances{row.Material, row.Raceway, make([]*Impedance, len(s.sizes))})
		}
		s.ac[k].rows[s.index(row.Size)] = row
	}
	rates := slices.Clone(s.t.DropRates)
	s.rates = make([]*DropRate, len(s.sizes))
	for i := range rates {
		s.rates[s.index(rates[i].Size)] = &rates[i]
	}
}

// Region returns the name of the region the sizer answers for.
func (s *Sizer) Region() string { return s.t.Region }

// Sizes returns the sizes of the region's table, smallest first.
func (s *Sizer) Sizes() []Size {
	all := make([]Size, len(s.sizes))
	for i, row := range s.sizes {
		all[i] = row.Size
	}
	return all
}

// index returns the place of size in s.sizes, or -1.
func (s *Sizer) index(size Size) int {
	for i := range s.sizes {
		if s.sizes[i].Size == size {
			return i
		}
	}
	return -1
}

// column returns the column of ampacities, or nil.
func (s *Sizer) column(m Material, rating quantity.Temperature, method string) *column {
	for i := range s.columns {
		if c := &s.columns[i]; c.material == m && c.rating == rating && c.method == method {
			return c
		}
	}
	return nil
}

// leastColumn returns the coolest column of a material and method that is not
// cooler than from, or nil.
func (s *Sizer) leastColumn(m Material, from quantity.Temperature, method string) *column {
	var least *column
	for i := range s.columns {
		c := &s.columns[i]
		if c.material == m && c.method == method && c.rating >= from && (least == nil || c.rating < least.rating) {
			least = c
		}
	}
	return least
}

// hottestColumn returns the hottest column of a material and method that is not
// hotter than upTo, or nil: insulation rated between two columns uses the lower.
func (s *Sizer) hottestColumn(m Material, upTo quantity.Temperature, method string) *column {
	var hottest *column
	for i := range s.columns {
		c := &s.columns[i]
		if c.material == m && c.method == method && c.rating <= upTo && (hottest == nil || c.rating > hottest.rating) {
			hottest = c
		}
	}
	return hottest
}

func (s *Sizer) smallLimit(m Material, at int) *SmallConductor {
	for i := range s.small {
		if s.small[i].material == m {
			return s.small[i].rows[at]
		}
	}
	return nil
}

// missing returns the error for a rule or figure the table does not have.
func (s *Sizer) missing(rule Rule, format string, args ...any) error {
	e := &MissingRuleError{Region: s.t.Region, Rule: rule, Needed: fmt.Sprintf(format, args...)}
	for _, r := range s.t.Refusals {
		if r.Rule == rule {
			e.Why = r.Why
		}
	}
	for _, r := range s.t.Elsewhere {
		if r.Rule == rule {
			e.Elsewhere = slices.Clone(r.Regions)
		}
	}
	return e
}

// unlisted returns the error for a size the table does not list.
func (s *Sizer) unlisted(size Size) error {
	return fmt.Errorf("%w: %s has no %s; it lists %v", ErrNoSuchSize, s.t.Region, size, s.Sizes())
}
