package plan

// budget is how much may still be done where a search would otherwise go on: what is
// counted is work and not time, so that a plan is the same on every machine.
type budget struct {
	prices int // asked for on trees
	steps  int // of the dynamic programming
}

// budget returns what a plan may take in all.
func (o *Options) budget() budget {
	b := budget{prices: 5000 * o.limit(), steps: 60_000 * o.limit()}
	if o != nil && o.prices > 0 {
		b.prices, b.steps = o.prices, 20*o.prices
	}
	return b
}

// share returns what one circuit may take of what is left: as much as each of those
// that come after it, and enough for a few boxes in any case.
func (m *maker) share(ci int) budget {
	n := max(1, len(m.circuits)-ci)
	return budget{prices: max(m.left.prices/n, 2*m.opt.limit()), steps: max(m.left.steps/n, 500*m.opt.limit())}
}
