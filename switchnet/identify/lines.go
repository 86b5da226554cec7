package identify

import (
	"math/bits"
	"slices"

	"example.com/switchleg/switchnet"
)

// A phases says on which line each feed is, two bits for each: 0 for line A.
type phases uint16

func (p phases) at(feed int) int { return int(p>>(2*feed)) & 3 }

func (p phases) with(feed, line int) phases { return p&^(3<<(2*feed)) | phases(line)<<(2*feed) }

// differ reports whether feeds of a set are on different lines.
func (p phases) differ(feeds uint16) bool {
	first := -1
	for rest := feeds; rest != 0; rest &= rest - 1 {
		line := p.at(bits.TrailingZeros16(rest))
		if first >= 0 && line != first {
			return true
		}
		first = line
	}
	return false
}

// alike numbers the lines of a set of feeds in the order in which they come, two bits for
// each feed: a meter tells whether two are on one line, and not on which.
func (p phases) alike(feeds uint16) phases {
	var out phases
	var seen []int
	for rest := feeds; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros16(rest)
		k := slices.Index(seen, p.at(i))
		if k < 0 {
			k = len(seen)
			seen = append(seen, p.at(i))
		}
		out = out.with(i, k)
	}
	return out
}

// shared goes on with a feed that shares the neutral of an earlier one: where that comes
// in, or, in a raceway, with a hot of its own from the panel.
func (g *generator) shared(f *frame, i int, next func(int) error) error {
	at, was, odds := f.feedAt[i], f.weight, f.odds
	defer func() { f.feedAt[i], f.shares[i], f.weight, f.odds = at, -1, was, odds }()
	f.weight, f.odds = was*part(g.pr.Shared), odds+1
	if f.odds > g.odd || f.weight == 0 {
		return nil
	}
	for j := range i {
		if f.feedAt[j] < 0 || f.shares[j] >= 0 || g.feeds[i].panel != g.feeds[j].panel {
			continue
		}
		switch {
		case at < 0 && f.feedAt[j] >= g.leaf(0): // both hots in one cable
			f.feedAt[i] = f.feedAt[j]
		case at >= g.leaf(0):
			if !g.looseAt(f.lay, at) || !g.looseAt(f.lay, f.feedAt[j]) {
				continue
			}
		case at < 0 || at != f.feedAt[j]:
			continue
		}
		f.shares[i] = j
		if err := next(i + 1); err != nil {
			return err
		}
		f.feedAt[i] = at
	}
	return nil
}

// looseAt reports whether what comes from the cable of a feed is loose conductors.
func (g *generator) looseAt(lay *layout, at int) bool {
	for u, p := range lay.far {
		if p == at && !g.units[u].loose {
			return false
		}
	}
	return at >= g.leaf(0)
}

// lines chooses the line of every feed whose line is not stated, from the i-th on: one of
// those on which another is, or the first of all others, among which nobody could tell.
func (g *generator) lines(f *frame, i int, next func() error) error {
	was, line := f.weight, f.line
	defer func() { f.weight, f.line = was, line }()
	if i == len(g.feeds) {
		for k, j := range f.shares {
			if j >= 0 && f.oneLine(k) {
				f.weight *= part(g.pr.SharedOneLine)
			}
		}
		if f.weight == 0 {
			return nil
		}
		return next()
	}
	if !g.feeds[i].free || f.feedAt[i] < 0 {
		return g.lines(f, i+1, next)
	}
	taken := make([]bool, g.supply)
	for k := range g.feeds {
		if f.feedAt[k] >= 0 && (k < i || !g.feeds[k].free) {
			taken[f.line.at(k)] = true
		}
	}
	others := g.supply
	for _, x := range taken {
		if x {
			others--
		}
	}
	for l, x := range taken {
		n := 1
		if !x {
			n, others = others, 0
		}
		if n == 0 {
			continue
		}
		f.weight, f.line = was*float64(n)/float64(g.supply), line.with(i, l)
		if err := g.lines(f, i+1, next); err != nil {
			return err
		}
	}
	return nil
}

// oneLine reports whether a feed that shares its neutral is on the line of another that
// has the same one.
func (f *frame) oneLine(feed int) bool {
	for k := range f.shares {
		if k != feed && f.feedAt[k] >= 0 && f.root(k) == f.root(feed) && f.line.at(k) == f.line.at(feed) {
			return true
		}
	}
	return false
}

// free reports whether the line of a feed is not stated and may be one of several.
func free(lines []switchnet.Rail, supply switchnet.System) bool {
	return len(lines) == 0 && supply.Lines > 1
}
