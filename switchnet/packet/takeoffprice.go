package packet

import (
	"errors"
	"math"
	"math/bits"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

var errCost = errors.New("there is more than can be added up")

// price looks everything up in the stock of the region: a cable by its type, a piece
// by its [Item.Supply], and a box or ring that has no price there by what it is, the
// cheapest of those that fit.
func (t *taker) price() error {
	o := t.out
	cables := map[string]*rules.CableStock{}
	for i := range t.region.Stock.Cables {
		s := &t.region.Stock.Cables[i]
		cables[s.Type.Name] = s
	}
	for i := range o.Cables {
		c := &o.Cables[i]
		s := cables[c.Type]
		if s == nil {
			o.Unpriced++
			continue
		}
		c.Price, c.Labor = s.Price, s.Labor
		var ok1, ok2 bool
		c.Cost, ok1 = s.Price.For(c.Buy)
		c.Effort, ok2 = s.Labor.For(c.Cut)
		if s.Price.Known() && !ok1 || s.Labor.Known() && !ok2 || !add(&o.Cost, c.Cost) || !add(&o.Effort, c.Effort) {
			return errCost
		}
		if !s.Price.Known() {
			o.Unpriced++
		}
	}
	of := t.pieceStock()
	for i := range o.Items {
		item := &o.Items[i]
		s := of[itemKey{item.Kind, item.Name}]
		item.Price, item.Labor = s.Price, s.Labor
		var ok1, ok2 bool
		item.Cost, ok1 = times(s.Price, item.Count)
		item.Effort, ok2 = times(s.Labor, item.Count)
		if !ok1 || !ok2 || !add(&o.Cost, item.Cost) || !add(&o.Effort, item.Effort) {
			return errCost
		}
		if item.Price == 0 {
			o.Unpriced++
		}
	}
	return nil
}

// pieceStock returns the stock for each item.
func (t *taker) pieceStock() map[itemKey]rules.SupplyStock {
	supplies := map[string]rules.SupplyStock{}
	for _, s := range t.region.Stock.Supplies {
		supplies[s.Name] = s
	}
	out := map[itemKey]rules.SupplyStock{}
	offer := func(key itemKey, price, labor rules.Amount) {
		if now, ok := out[key]; price > 0 && (!ok || now.Price == 0 || price < now.Price) {
			out[key] = rules.SupplyStock{Price: price, Labor: labor}
		}
	}
	for i := range t.spec.Boxes {
		b := &t.spec.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		for _, a := range b.Volume.Additions {
			for _, s := range t.region.Stock.Additions {
				if s.Addition.Addition == a {
					offer(itemKey{AdditionItem, additionName(&a)}, s.Price, s.Labor)
				}
			}
		}
		if b.Volume.Share.Whole > 0 {
			continue
		}
		for _, s := range t.region.Stock.Boxes {
			if fits(b, &s.Box) {
				offer(itemKey{BoxItem, boxName(b)}, s.Price, s.Labor)
			}
		}
	}
	for key, item := range t.items {
		if s, ok := supplies[item.Supply()]; ok {
			out[key] = s
		}
	}
	return out
}

// fits reports whether a box of the stock is the box of the job: of the same type or
// marked volume, as many ganged together, as wide, and holding cables in the same
// way, as far as both say so.
func fits(b *wiring.Box, s *boxfill.StockBox) bool {
	if len(b.Volume.Sections) != 1 {
		return false
	}
	mine := b.Volume.Sections[0]
	return mine.Type == s.Section.Type && mine.Marked == s.Section.Marked && max(mine.Count, 1) == max(s.Section.Count, 1) &&
		(s.Gangs == 0 || gangs(b) == 0 || s.Gangs == gangs(b)) &&
		(s.Clamps == 0 || b.Clamps == 0 || s.Clamps.String() == b.Clamps.String())
}

// add adds what is not below zero, and reports whether the sum can be held.
func add[T ~int64](sum *T, a T) bool {
	if a > math.MaxInt64-*sum {
		return false
	}
	*sum += a
	return true
}

// times multiplies an amount, and reports whether the product can be held.
func times(a rules.Amount, n int) (rules.Amount, bool) {
	hi, lo := bits.Mul64(uint64(a), uint64(n))
	return rules.Amount(lo), hi == 0 && lo <= math.MaxInt64
}
