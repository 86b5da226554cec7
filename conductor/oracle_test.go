package conductor

import (
	"math/big"
	"slices"

	"example.com/switchleg/conductor/quantity"
)

// oracle sizes a circuit the slow and obvious way: over the raw rows, in
// rationals, every rule written out once more. It knows the tables' rules for
// loose and nonmetallic conductors and drop by resistance or rate.
type oracle struct{ t Table }

func rat[N ~int64](n N) *big.Rat { return new(big.Rat).SetInt64(int64(n)) }

func share(r quantity.Ratio) *big.Rat { return big.NewRat(int64(r), int64(quantity.Whole)) }

func mul(all ...*big.Rat) *big.Rat {
	p := big.NewRat(1, 1)
	for _, r := range all {
		p.Mul(p, r)
	}
	return p
}

func (o oracle) ampacity(m Material, s Size, upTo quantity.Temperature, method string) (*big.Rat, quantity.Temperature) {
	var best *Ampacity
	for i := range o.t.Ampacities {
		r := &o.t.Ampacities[i]
		if r.Material == m && r.Size == s && r.Method == method && r.Rating <= upTo && (best == nil || r.Rating > best.Rating) {
			best = r
		}
	}
	if best == nil {
		return nil, 0
	}
	return rat(best.Current), best.Rating
}

// device is the largest standard rating for an ampacity.
func (o oracle) device(ampacity *big.Rat, receptacles bool) *big.Rat {
	below, above := new(big.Rat), (*big.Rat)(nil)
	for _, row := range o.t.Overcurrent {
		r := rat(row.Rating)
		if r.Cmp(ampacity) <= 0 && r.Cmp(below) > 0 {
			below = r
		}
		if r.Cmp(ampacity) > 0 && (above == nil || r.Cmp(above) < 0) {
			above = r
		}
	}
	rule := o.t.NextSizeUp
	if below.Cmp(ampacity) == 0 || above == nil || rule.Source.Absent() || above.Cmp(rat(rule.UpTo)) > 0 || receptacles && rule.NotForReceptacles {
		return below
	}
	return above
}

func (o oracle) breaker(c Circuit) *big.Rat {
	need := new(big.Rat).Add(rat(c.Load.Other), mul(rat(c.Load.Continuous), share(o.t.Continuous.Overcurrent)))
	if least := o.t.MinimumRating; !least.Source.Absent() {
		floor := rat(least.Suggested)
		if c.LeastRating {
			floor = rat(least.Rating)
			if c.Receptacles {
				floor = rat(least.WithReceptacles)
			}
		}
		if need.Cmp(floor) < 0 {
			need = floor
		}
	}
	var best *big.Rat
	for _, row := range o.t.Overcurrent {
		if r := rat(row.Rating); row.Kind == BreakerOrFuse && r.Cmp(need) >= 0 && (best == nil || r.Cmp(best) < 0) {
			best = r
		}
	}
	return best
}

// factors returns the correction and adjustment, or false where it is too hot.
func (o oracle) factors(c Circuit, rating quantity.Temperature) (*big.Rat, bool) {
	f := big.NewRat(1, 1)
	if c.Ambient != 0 && c.Ambient != o.t.AmbientBase {
		var best *AmbientRow
		for i := range o.t.Ambient {
			if r := &o.t.Ambient[i]; r.Rating == rating && c.Ambient <= r.UpTo && (best == nil || r.UpTo < best.UpTo) {
				best = r
			}
		}
		if best == nil {
			return f, false
		}
		f.Mul(f, share(best.Factor))
	}
	exempt := c.Bundle.Length > 0 && c.Bundle.Length <= o.t.BundlingExempt.Length
	if c.Bundle.Sealed >= 3 && c.Bundle.Carrying >= 6 && c.Construction == NonmetallicSheath {
		exempt = false
	}
	for _, r := range o.t.Bundling {
		if n := c.Bundle.Carrying; !exempt && n >= r.From && (n <= r.UpTo || r.UpTo == 0) {
			f.Mul(f, share(r.Factor))
		}
	}
	return f, true
}

// fits reports whether a size serves, by ampacity alone and with everything.
func (o oracle) fits(c Circuit, s Size, breaker *big.Rat) (byAmpacity, all bool) {
	terminations := o.t.Terminations.Default
	if breaker.Cmp(rat(o.t.Terminations.ThresholdRating)) > 0 {
		terminations = o.t.Terminations.Above
	}
	if c.Terminations > 0 {
		terminations = min(c.Terminations, o.t.Terminations.Above)
	}
	if o.t.Terminations.Source.Absent() {
		terminations = c.Insulation
	}
	ends, _ := o.ampacity(c.Material, s, min(terminations, c.Insulation), c.Method)
	start, rating := o.ampacity(c.Material, s, c.Insulation, c.Method)
	if ends == nil || start == nil {
		return false, false
	}
	f, _ := o.factors(c, rating)
	installed := mul(start, f)
	if c.Construction == NonmetallicSheath && !o.t.Nonmetallic.Source.Absent() {
		if limit, _ := o.ampacity(c.Material, s, min(o.t.Nonmetallic.Limit, c.Insulation), c.Method); limit.Cmp(installed) < 0 {
			installed = limit
		}
	}
	load := rat(c.Load.Total())
	need := new(big.Rat).Add(rat(c.Load.Other), mul(rat(c.Load.Continuous), share(o.t.Continuous.Conductor)))
	final := installed
	if ends.Cmp(final) < 0 {
		final = ends
	}
	byAmpacity = ends.Cmp(need) >= 0 && installed.Cmp(load) >= 0 && o.device(final, c.Receptacles).Cmp(breaker) >= 0
	for _, r := range o.t.SmallConductors {
		if r.Material == c.Material && r.Size == s {
			byAmpacity = byAmpacity && breaker.Cmp(rat(r.MaxRating)) <= 0 && (r.MaxContinuous == 0 || c.Load.Continuous <= r.MaxContinuous)
		}
	}
	if least := o.t.LeastSize; least.Size.Valid() && s.Area() < least.Size.Area() {
		byAmpacity = false
	}
	return byAmpacity, byAmpacity && (!c.AtLeast.Valid() || s.Area() >= c.AtLeast.Area()) && o.dropFits(c, s)
}

func (o oracle) dropFits(c Circuit, s Size) bool {
	limit, force := c.DropLimit, Advice
	for _, r := range o.t.DropLimits {
		if r.Use == o.t.DropUse && c.DropLimit == 0 {
			limit, force = r.Limit, r.Force
		}
	}
	if limit == 0 || c.LawOnly && force == Advice {
		return true
	}
	return o.drop(c, s).Cmp(mul(rat(c.Volts), share(limit))) <= 0
}

// drop is in microvolts.
func (o oracle) drop(c Circuit, s Size) *big.Rat {
	path := rat(c.Path)
	if c.Run > 0 {
		path = mul(rat(c.Run), big.NewRat(2, 1))
	}
	meters := mul(path, big.NewRat(1, int64(quantity.Meter)))
	load := rat(c.Load.Total())
	if o.t.DropMethod == ByRate {
		for _, r := range o.t.DropRates {
			if r.Size == s { // nanovolts per ampere and meter; two conductors
				return mul(big.NewRat(int64(r.Rate), 2000), meters, mul(load, big.NewRat(1, 1_000_000)))
			}
		}
	}
	worst := new(big.Rat)
	for _, r := range o.t.Resistances {
		perMeter := big.NewRat(int64(r.Resistance), int64(quantity.OhmPerMeter))
		if r.Material == c.Material && r.Size == s && (c.Stranding == 0 || c.Stranding == r.Stranding) && perMeter.Cmp(worst) > 0 {
			worst = perMeter
		}
	}
	return mul(worst, meters, load)
}

// size returns the answer: least by ampacity, least that serves, breaker.
func (o oracle) size(c Circuit) (least, size Size, breaker *big.Rat) {
	if breaker = o.breaker(c); breaker == nil {
		return Size{}, Size{}, nil
	}
	sizes := slices.Clone(o.t.Sizes)
	slices.SortFunc(sizes, func(a, b SizeRow) int { return a.Size.Compare(b.Size) })
	for _, row := range sizes {
		byAmpacity, all := o.fits(c, row.Size, breaker)
		if byAmpacity && !least.Valid() {
			least = row.Size
		}
		if all && !size.Valid() {
			size = row.Size
		}
	}
	return least, size, breaker
}
