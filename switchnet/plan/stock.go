package plan

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// score is what a plan is judged by: first how many conductors there is no room for,
// then what the cable costs.
type score struct {
	lack int
	cost rules.Amount
}

func (s score) add(t score) score { return score{s.lack + t.lack, s.cost + t.cost} }
func (s score) sub(t score) score { return score{s.lack - t.lack, s.cost - t.cost} }
func (s score) less(t score) bool { return s.compare(t) < 0 }
func (s score) compare(t score) int {
	return cmp.Or(cmp.Compare(s.lack, t.lack), cmp.Compare(s.cost, t.cost))
}

// load is what one cable has to hold.
type load struct {
	neutrals int
	lines    int // hots, legs, commons and travelers
	legs     int // of those, legs
	spares   int
}

func (l load) total() int { return l.neutrals + l.lines + l.spares }

// product is a cable that can be bought, or lies there.
type product struct {
	cable conductor.CableType
	rate  rules.Rate

	line, neutral, either int
	remark, remarkReturn  bool
	bare                  bool // without a grounding conductor
}

func newProduct(p *palette, t conductor.CableType, rate rules.Rate) product {
	out := product{cable: t, rate: rate, remark: p.remark && t.Construction != conductor.Loose, remarkReturn: p.remarkReturn, bare: !t.GroundingSize().Valid()}
	for _, u := range p.uses(&t) {
		switch u {
		case useLine:
			out.line++
		case useNeutral:
			out.neutral++
		case useEither:
			out.either++
		}
	}
	return out
}

// lack returns how many conductors of the load, and the ground, the cable has no core
// for.
func (p *product) lack(l load) int {
	either := p.either
	missing := 0
	if p.bare {
		missing = 1
	}
	neutral := p.neutral - l.neutrals
	if neutral < 0 {
		n := min(-neutral, either)
		either -= n
		missing += -neutral - n
		neutral = 0
	}
	line := p.line + either - l.lines
	if line < 0 {
		n := 0
		if p.remark {
			able := l.lines - l.legs
			if p.remarkReturn {
				able = l.lines
			}
			n = min(-line, neutral, able)
		}
		neutral -= n
		missing += -line - n
		line = 0
	}
	return missing + max(0, l.spares-line-neutral)
}

// store is what can be had for a circuit.
type store struct {
	pal      palette
	products []product  // cheapest first; see sortProducts
	loose    rules.Rate // of one loose conductor
	least    rules.Rate // no conductor of any cable costs less
	size     conductor.Size
	unit     string
	notes    []string
	fixed    map[string]*product // by name of the cable
	lawful   func(conductor.CableType) error
	// among reports whether a cable may still be behind the breaker among what lies
	// together with it, as far as the rules can tell.
	among func(conductor.CableType, conductor.Bundle) bool
	taken map[int32]bool // runs whose own cable another circuit uses

	known map[priced]choice
	picks []int32 // by packed load: the product for it, and 1 more; 0 if not asked for yet
	asked int     // prices asked for, by which long searches are cut off
}

// priced is a question of price.
type priced struct {
	run  int32
	load load
}

// choice is the cheapest cable for a load on a run. Product is -1 for the loose
// conductors of a raceway, -2 for the run's own cable.
type choice struct {
	score   score
	product int
}

const (
	looseProduct = -1
	ownProduct   = -2
)

// counted is the cost of cable without a price: every conductor counts 1 for each unit of
// length.
func counted(n int, unit quantity.Length) rules.Rate {
	return rules.Rate{Amount: rules.Amount(n) * 1_000_000, Per: unit}
}

// measure returns the unit of length of a stock, by how its conductors are sized, and what
// cost is then counted in.
func measure(all []product) (quantity.Length, string) {
	for i := range all {
		if _, gauge := all[i].cable.Size.CircularMils(); gauge {
			return quantity.Foot, "conductor-feet"
		}
	}
	return quantity.Meter, "conductor-meters"
}

// maxPerRun keeps every sum of costs within its type: ten kilometers of a cable cost
// no more millionths.
const maxPerRun = rules.Amount(1) << 46

// newStore returns what can be had for a circuit with that breaker and load.
func newStore(region *rules.Region, in *intent.Intent, labor bool, lawful func(conductor.CableType) error) (*store, error) {
	s := &store{pal: paletteOf(&region.Wiring), known: map[priced]choice{}, picks: make([]int32, packs), fixed: map[string]*product{}, lawful: lawful, taken: map[int32]bool{}}
	var all []product
	priced, bare := 0, 0
	rateOf := map[string]rules.Rate{}
	for _, c := range region.Stock.Cables {
		r := c.Price
		if labor && r.Known() && c.Labor.Known() && c.Labor.Per == r.Per {
			r.Amount += c.Labor.Amount
		}
		rateOf[c.Type.Name] = r
	}
	add := func(t conductor.CableType, r rules.Rate) {
		if r.Known() {
			priced++
		} else {
			bare++
		}
		all = append(all, newProduct(&s.pal, t, r))
	}
	if len(in.Stock) > 0 {
		for _, k := range in.Stock {
			if k.Weight > 0 {
				add(k.Cable, rules.Rate{Amount: rules.Amount(k.Weight / (quantity.Whole / 1_000_000)), Per: quantity.Foot})
			} else {
				add(k.Cable, rateOf[k.Cable.Name])
			}
		}
	} else {
		for _, c := range region.Stock.Cables {
			add(c.Type, rateOf[c.Type.Name])
		}
	}
	var unit quantity.Length
	unit, s.unit = measure(all)
	if priced > 0 {
		s.unit = "the unit of the prices"
		if bare > 0 {
			s.notes = append(s.notes, fmt.Sprintf("%d cables of the stock have no price and were not considered", bare))
		}
	}
	var refused []string
	for _, p := range all {
		if priced > 0 && !p.rate.Known() {
			continue
		}
		if priced == 0 {
			p.rate = counted(len(p.cable.Cores), unit)
		}
		if !p.cable.GroundingSize().Valid() {
			refused = append(refused, p.cable.Name+" has no grounding conductor")
			continue
		}
		if err := lawful(p.cable); err != nil {
			if text := err.Error(); !slices.Contains(refused, text) {
				refused = append(refused, text)
			}
			continue
		}
		if c, ok := p.rate.For(10 * quantity.Kilometer); !ok || c > maxPerRun {
			refused = append(refused, p.cable.Name+" has a price beyond any sum")
			continue
		}
		s.products = append(s.products, p)
	}
	if len(s.products) == 0 {
		return nil, fmt.Errorf("no cable of the stock may be used: %s", strings.Join(refused, "; "))
	}
	sortProducts(s.products)
	s.size = s.products[0].cable.Size
	for i := range s.products {
		p := &s.products[i]
		per := rules.Rate{Amount: (p.rate.Amount + rules.Amount(len(p.cable.Cores)) - 1) / rules.Amount(len(p.cable.Cores)), Per: p.rate.Per}
		if !s.loose.Known() || cheaper(per, s.loose) < 0 {
			s.loose = per
			s.least = rules.Rate{Amount: p.rate.Amount / rules.Amount(len(p.cable.Cores)), Per: p.rate.Per}
		}
		if p.cable.Size.Compare(s.size) < 0 {
			s.size = p.cable.Size
		}
	}
	return s, nil
}

// cheaper compares two rates.
func cheaper(a, b rules.Rate) int {
	ah, al := bits.Mul64(uint64(a.Amount), uint64(b.Per))
	bh, bl := bits.Mul64(uint64(b.Amount), uint64(a.Per))
	return cmp.Or(cmp.Compare(ah, bh), cmp.Compare(al, bl))
}

// sortProducts puts the cheapest first; of equals the one with fewer conductors, fewer
// striped ones, the smaller size, the name first.
func sortProducts(ps []product) {
	striped := func(p *product) int {
		n := 0
		for _, c := range p.cable.Cores {
			if c.Colour.Stripe != 0 && !c.Grounding {
				n++
			}
		}
		return n
	}
	slices.SortFunc(ps, func(a, b product) int {
		return cmp.Or(cheaper(a.rate, b.rate), cmp.Compare(len(a.cable.Cores), len(b.cable.Cores)), cmp.Compare(striped(&a), striped(&b)),
			a.cable.Size.Compare(b.cable.Size), strings.Compare(a.cable.Name, b.cable.Name))
	})
}

// price returns the cheapest cable for a load on a run. With room for too few
// conductors it is the one that lacks fewest.
func (s *store) price(runs []intent.Run, run int32, l load) choice {
	if l == (load{}) {
		return choice{product: 0}
	}
	s.asked++
	r := &runs[run]
	if !r.Raceway && r.Cable.Name == "" {
		k := s.pick(l)
		p := &s.products[k]
		cost, _ := p.rate.For(r.Length)
		return choice{score{p.lack(l), cost}, k}
	}
	key := priced{run, l}
	if c, ok := s.known[key]; ok {
		return c
	}
	best := choice{score: score{lack: 1 << 30}}
	switch {
	case r.Raceway:
		best = choice{product: looseProduct}
		cost, ok := s.loose.For(r.Length)
		n := l.total() + 1
		if _, fits := s.pal.loose(l.neutrals, l.lines+l.spares); !fits || !ok {
			best.score.lack = max(1, l.neutrals-len(s.pal.neutral))
		}
		best.score.cost = cost * rules.Amount(n)
	case r.Cable.Name != "":
		p := s.own(r)
		if s.taken[run] {
			p = &product{}
		}
		best = choice{score{p.lack(l), 0}, ownProduct}
		if !r.Existing {
			best.score.cost, _ = p.rate.For(r.Length)
		}
	}
	s.known[key] = best
	return best
}

// packs is how many loads there are that pack numbers.
const packs = 8 * 16 * 4 * 2

// pack numbers a load, unless there is more of anything than a cable of the trade holds.
func (l load) pack() (int, bool) {
	if uint(l.neutrals) >= 8 || uint(l.lines) >= 16 || uint(l.legs) >= 4 || uint(l.spares) >= 2 {
		return 0, false
	}
	return ((l.neutrals*16+l.lines)*4+l.legs)*2 + l.spares, true
}

// pick returns the product for a load: that which lacks fewest conductors, of those the
// first, which is the cheapest on any run.
func (s *store) pick(l load) int {
	n, ok := l.pack()
	if ok && s.picks[n] > 0 {
		return int(s.picks[n] - 1)
	}
	best := 0
	for i := range s.products {
		if s.products[i].lack(l) < s.products[best].lack(l) {
			best = i
		}
	}
	if ok {
		s.picks[n] = int32(best + 1)
	}
	return best
}

// own returns the product that the run's own cable is, with room for nothing if it
// may not be behind the breaker of the circuit. It is at what the stock says it
// costs; a cable that is not in the stock costs as many conductors as it has, each
// at the price of a loose one.
func (s *store) own(r *intent.Run) *product {
	if p, ok := s.fixed[r.Cable.Name]; ok {
		return p
	}
	rate := rules.Rate{Amount: s.loose.Amount * rules.Amount(len(r.Cable.Cores)), Per: s.loose.Per}
	for i := range s.products {
		if s.products[i].cable.Name == r.Cable.Name {
			rate = s.products[i].rate
		}
	}
	p := newProduct(&s.pal, r.Cable, rate)
	if s.lawful(r.Cable) != nil {
		p = product{cable: r.Cable, rate: rate} // it has room for nothing
	}
	s.fixed[r.Cable.Name] = &p
	return &p
}
