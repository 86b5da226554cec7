package conductor

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

// dropPlan is how a circuit's voltage drop is computed and what limits it.
type dropPlan struct {
	c        *Circuit
	method   DropMethod
	load     quantity.Current
	limit    quantity.Ratio // 0 for none
	force    Force
	source   Source // of the limit; absent for one's own
	judge    bool   // sizes beyond the limit are passed over
	k        DropConstant
	sine     quantity.Ratio // of the power factor's angle
	constant fraction       // everything but the size's own figure
}

// perOhm converts microamperes times ohms per length times nanometers into
// microvolts, in two factors: base units of resistance per length in an ohm per
// meter, and nanometers in a meter.
const (
	perOhmMeter = int64(quantity.OhmPerMeter)
	perMeter    = int64(quantity.Meter)
)

// planDrop prepares the drop of a circuit that has a length.
func (s *Sizer) planDrop(c *Circuit) (*dropPlan, error) {
	p := &dropPlan{c: c, method: c.DropMethod, load: c.Load.Total()}
	if p.method == 0 {
		p.method = s.t.DropMethod
	}
	if err := s.limitDrop(p); err != nil {
		return nil, err
	}
	switch p.method {
	case ByRate:
		// Nanovolts per ampere and meter.
		p.constant.over(microPerUnit).over(1_000_000_000).over(1000)
	case ByResistance, ByImpedance, ByConstant:
		p.constant.over(perOhmMeter).over(perMeter)
	default:
		return nil, s.missing(RuleVoltageDrop, "usual way to compute voltage drop; name one")
	}
	if p.method == ByConstant {
		for _, row := range s.t.Constants {
			if row.Material == c.Material {
				p.k = row
			}
		}
		if p.k.K == 0 {
			return nil, s.missing(RuleVoltageDrop, "drop constant for %s", c.Material)
		}
	}
	p.sine = sineOf(c.powerFactor())
	p.constant.times(int64(p.load))
	p.along(&p.constant)
	return p, nil
}

// along multiplies by the length and by how many conductors of it count.
func (p *dropPlan) along(f *fraction) {
	switch c := p.c; {
	case c.phases() == 3 && p.method == ByRate:
		// A rate for a single-phase pair, which is two conductors.
		f.times(int64(c.Run)).times(rootThree).over(2 * perWhole)
	case c.phases() == 3:
		f.times(int64(c.Run)).times(rootThree).over(perWhole)
	case p.method == ByRate:
		f.times(c.outAndBack()).over(2)
	default:
		f.times(c.outAndBack())
	}
}

// outAndBack returns the length of conductor of a single-phase circuit, in
// nanometers.
func (c *Circuit) outAndBack() int64 {
	if c.Path > 0 {
		return int64(c.Path)
	}
	return 2 * int64(c.Run)
}

func (c *Circuit) powerFactor() quantity.Ratio {
	if c.PowerFactor == 0 {
		return quantity.Whole
	}
	return c.PowerFactor
}

// limitDrop finds the limit that applies, with its allowance for a long run.
func (s *Sizer) limitDrop(p *dropPlan) error {
	c := p.c
	if c.DropLimit > 0 {
		p.limit, p.force, p.judge = c.DropLimit, Advice, !c.LawOnly
		return nil
	}
	use := c.DropUse
	if use == "" {
		use = s.t.DropUse
	}
	if use == "" {
		return nil
	}
	for _, row := range s.t.DropLimits {
		if row.Use != use {
			continue
		}
		p.limit, p.force, p.source = row.Limit, row.Force, row.Source
		p.judge = row.Force == Binding || !c.LawOnly
		if run := quantity.Length(c.outAndBack() / 2); row.LongRun > 0 && run > row.LongRun {
			extra := new(fraction).times(int64(run - row.LongRun)).times(int64(row.PerMeter)).over(perMeter).round(down)
			p.limit += min(quantity.Ratio(extra), row.MostAdded)
		}
		return nil
	}
	uses := make([]string, len(s.t.DropLimits))
	for i, row := range s.t.DropLimits {
		uses[i] = row.Use
	}
	if len(uses) == 0 {
		return s.missing(RuleVoltageDrop, "voltage drop limit for %q", use)
	}
	return &UnknownNameError{s.t.Region, "use, for its limit on voltage drop", use, uses}
}

// sineOf returns the sine of the angle whose cosine is factor, rounded up.
func sineOf(factor quantity.Ratio) quantity.Ratio {
	return quantity.Ratio(root(perWhole*perWhole - int64(factor)*int64(factor)))
}

// figure is the size's own part of the drop.
type figure struct {
	per    quantity.ResistancePerLength
	mils   quantity.CircularMils // per is of one circular mil
	rate   quantity.VoltDropRate
	source Source
}

// figure returns the figure of the size at index at, or the error that the table
// has none.
func (s *Sizer) figure(p *dropPlan, at int) (figure, error) {
	c, size := p.c, s.sizes[at].Size
	switch p.method {
	case ByRate:
		if row := s.rates[at]; row != nil {
			return figure{rate: row.Rate, source: row.Source}, nil
		}
		return figure{}, s.missing(RuleVoltageDrop, "voltage drop per ampere and meter for %s", size)
	case ByConstant:
		if s.sizes[at].Area > 0 {
			return figure{per: p.k.K, mils: s.sizes[at].Area, source: p.k.Source}, nil
		}
		return figure{}, s.missing(RuleVoltageDrop, "area in circular mils for %s", size)
	case ByImpedance:
		return s.impedance(p, at)
	}
	worst := s.resistance(c.Material, c.Stranding, at, true)
	if worst == nil {
		return figure{}, s.missing(RuleVoltageDrop, "resistance for %s %s", size, c.Material)
	}
	return figure{per: worst.Resistance, source: worst.Source}, nil
}

// resistance returns the row of the stranding, or of the worse of the two, at
// the highest or lowest temperature tabulated; nil when there is none.
func (s *Sizer) resistance(m Material, stranding Stranding, at int, hot bool) *Resistance {
	var worst *Resistance
	for i := range s.dc {
		r := &s.dc[i]
		if r.material != m || stranding != 0 && r.stranding != stranding {
			continue
		}
		row := r.cold[at]
		if hot {
			row = r.hot[at]
		}
		if row != nil && (worst == nil || row.Resistance > worst.Resistance) {
			worst = row
		}
	}
	return worst
}

// impedance returns the effective impedance: the table's own figure at a power
// factor of 0.85, where it prints one, and otherwise R cos + X sin, rounded up.
func (s *Sizer) impedance(p *dropPlan, at int) (figure, error) {
	c := p.c
	raceway := c.Raceway
	if raceway == 0 {
		raceway = PVC
	}
	for i := range s.ac {
		row := s.ac[i].rows[at]
		if s.ac[i].material != c.Material || s.ac[i].raceway != raceway || row == nil {
			continue
		}
		f := figure{per: row.Effective85, source: row.Source}
		if f.per == 0 || c.powerFactor() != tabulatedFactor {
			real := new(fraction).times(int64(row.Resistance)).times(int64(c.powerFactor())).over(perWhole).round(up)
			reactive := new(fraction).times(int64(row.Reactance)).times(int64(p.sine)).over(perWhole).round(up)
			f.per = quantity.ResistancePerLength(real + reactive)
		}
		return f, nil
	}
	return figure{}, s.missing(RuleVoltageDrop, "impedance for %s %s in %s", s.sizes[at].Size, c.Material, raceway)
}

// tabulatedFactor is the power factor for which Chapter 9 Table 9 prints the
// effective impedance.
const tabulatedFactor = 85 * quantity.Percent

// drop returns the drop in microvolts with the figure, exactly.
func (p *dropPlan) drop(f figure) fraction {
	d := p.constant
	if p.method == ByRate {
		d.times(int64(f.rate))
		return d
	}
	d.times(int64(f.per))
	if f.mils > 0 {
		d.over(int64(f.mils))
	}
	return d
}

// allowed returns the largest drop in microvolts, exactly.
func (p *dropPlan) allowed() *fraction {
	return new(fraction).times(int64(p.c.Volts)).times(int64(p.limit)).over(perWhole)
}

// exceeds reports whether the size's drop is beyond the limit, if there is one.
func (p *dropPlan) exceeds(f figure) bool {
	if p.limit == 0 {
		return false
	}
	d := p.drop(f)
	return d.cmp(p.allowed()) > 0
}

// step explains the drop of a size.
func (p *dropPlan) step(size Size, f figure, failed bool) Step {
	d := p.drop(f)
	step := Step{Rule: RuleVoltageDrop, Source: f.source, Failed: failed, Size: size, Material: p.c.Material, Need: p.load,
		Length: p.c.Run, Path: p.c.Path > 0, Method: p.method, Per: f.per, Rate: f.rate, Count: p.c.phases(),
		Drop: quantity.Voltage(d.round(nearest)), Limit: p.limit, Force: p.force, LimitSource: p.source}
	if step.Path {
		step.Length = p.c.Path
	}
	if f.mils > 0 {
		step.Per = quantity.ResistancePerLength(new(fraction).times(int64(f.per)).over(int64(f.mils)).round(nearest))
	}
	step.Share = quantity.Ratio(d.times(perWhole).over(int64(p.c.Volts)).round(nearest))
	return step
}

// DropByResistance returns the voltage that a current loses along a length of
// conductor of the given resistance, rounded half to even to the microvolt. For
// a single-phase circuit the length is out and back.
func DropByResistance(per quantity.ResistancePerLength, path quantity.Length, load quantity.Current) (quantity.Voltage, error) {
	if err := positive(int64(per), int64(path), int64(load)); err != nil {
		return 0, fmt.Errorf("drop of %s along %s at %s: %w", load, path, per, err)
	}
	return quantity.Voltage(new(fraction).times(int64(per)).times(int64(path)).times(int64(load)).
		over(perOhmMeter).over(perMeter).round(nearest)), nil
}

// DropByConstant is DropByResistance with the trade's constant: k is the
// resistance of one circular mil of the metal, per length (for copper 12.9
// ohms per foot).
func DropByConstant(k quantity.ResistancePerLength, area quantity.CircularMils, path quantity.Length, load quantity.Current) (quantity.Voltage, error) {
	if err := positive(int64(k), int64(path), int64(load)); err != nil || area <= 0 {
		return 0, fmt.Errorf("drop of %s along %s of %s at %s: none may be below zero, the area must be above it", load, path, area, k)
	}
	return quantity.Voltage(new(fraction).times(int64(k)).times(int64(path)).times(int64(load)).
		over(perOhmMeter).over(perMeter).over(int64(area)).round(nearest)), nil
}

// DropByRate returns the voltage that a current loses over a one-way run of a
// cable with the given rate, rounded half to even to the microvolt.
func DropByRate(rate quantity.VoltDropRate, run quantity.Length, load quantity.Current) (quantity.Voltage, error) {
	if err := positive(int64(rate), int64(run), int64(load)); err != nil {
		return 0, fmt.Errorf("drop of %s over %s at %s: %w", load, run, rate, err)
	}
	return quantity.Voltage(new(fraction).times(int64(rate)).times(int64(run)).times(int64(load)).
		over(microPerUnit).over(1_000_000_000).over(1000).round(nearest)), nil
}

// ShareOf returns a voltage drop as a share of the supply voltage, rounded half
// to even to the billionth.
func ShareOf(drop, supply quantity.Voltage) (quantity.Ratio, error) {
	if drop < 0 || supply <= 0 {
		return 0, fmt.Errorf("share of %s in %s: the drop may not be below zero, the supply must be above it", drop, supply)
	}
	return quantity.Ratio(new(fraction).times(int64(drop)).times(perWhole).over(int64(supply)).round(nearest)), nil
}

func positive(values ...int64) error {
	for _, v := range values {
		if v < 0 {
			return fmt.Errorf("none may be below zero")
		}
	}
	return nil
}
