package trace

import (
	"fmt"
	"math"
	"math/bits"
)

// three is a tally of three outcomes, as a value.
type three struct{ left, prob, byOne, byAny [3]float64 }

func (t *three) bits(r *rest) (class, any float64) {
	return (&tally{left: t.left[:], prob: t.prob[:], byOne: t.byOne[:], byAny: t.byAny[:]}).bits(r)
}

// part is what a class of weight one gives: what each outcome leaves of it and how likely
// it is, and the sums of xlog of the former and of what is left of each sense.
type part struct{ left, prob, byOne, byAny [3]float64 }

// sum adds a part for classes that weigh w together, log being the sum of xlog of their
// weights.
func (t *three) sum(p *part, w, log float64) {
	for o, f := range p.left {
		t.left[o] += w * f
		t.prob[o] += w * p.prob[o]
		t.byOne[o] += f*log + w*p.byOne[o]
		t.byAny[o] += f*log + w*p.byAny[o]
	}
}

// cells are what the classes that remain give in continuity tests, kept for the patterns
// that come again. Classes whose senses are as likely, one to the other, are alike.
type cells struct {
	r       *rest
	driver  float64
	of      []int // kind of senses, by class
	log     []float64
	senses  []likes
	moves   []moved // scratch
	present [finds]bool
}

// likes are senses and how likely each is, to a sum of one.
type likes struct {
	senses []int32
	w      []float64
	whole  [finds]*part
	parts  map[*pattern][]part
	sums   map[int][]mark // by mask
}

// mark is a key of senses that have some likelihood.
type mark struct {
	key    uint32
	w, log float64
}

// moved are classes with alike senses that come to the same.
type moved struct {
	like   int
	p      *pattern
	w, log float64
	parts  []part
}

func newCells(r *rest, driver float64) *cells {
	c := &cells{r: r, driver: driver}
	at := map[string]int{}
	for i := range r.classes {
		p := &r.classes[i]
		var key []byte
		w := make([]float64, len(p.w))
		for k := range p.w {
			w[k] = p.w[k] / p.sum
			key = fmt.Append(key, p.senses[k], " ", int64(math.Round(w[k]*1e12)), " ")
		}
		n, ok := at[string(key)]
		if !ok {
			n = len(c.senses)
			at[string(key)] = n
			c.senses = append(c.senses, likes{senses: p.senses, w: w, parts: map[*pattern][]part{}, sums: map[int][]mark{}})
		}
		c.of = append(c.of, n)
		c.log = append(c.log, xlog(p.sum))
	}
	return c
}

// combine adds up what no setting changes in a pair's test, and returns the rest: the
// classes put together, and on which switches they depend.
func (c *cells) combine(tables []table, lifted, pair int) (still three, moving []moved, mask int, high bool) {
	all := c.moves[:0]
	for i := range tables {
		p, like := tables[i][lifted][pair], c.of[i]
		k := len(all) - 1
		for k >= 0 && (all[k].p != p || all[k].like != like) {
			k--
		}
		if k < 0 {
			k = len(all)
			all = append(all, moved{like: like, p: p})
		}
		all[k].w += c.r.classes[i].sum
		all[k].log += c.log[i]
	}
	c.present = [finds]bool{}
	moving = all[:0]
	for _, m := range all {
		if m.p.one {
			c.present[m.p.kinds[0]] = true
			still.sum(c.senses[m.like].one(m.p.kinds[0], c.driver), m.w, m.log)
			continue
		}
		for _, kind := range m.p.at {
			c.present[kind] = true
		}
		m.parts = c.senses[m.like].of(m.p, c.driver)
		mask |= m.p.mask
		high = high || m.p.high
		moving = append(moving, m)
	}
	c.moves = all
	return still, moving, mask, high
}

// outcomes returns how many outcomes the test that was combined last may have.
func (c *cells) outcomes() float64 {
	n := 0.0
	for o, kind := range [3]int{findsOpen, findsThrough, findsJoined} {
		if c.present[kind] || o < 2 && c.present[findsEither] {
			n++
		}
	}
	return n
}

// one returns what a class gives that comes to one kind of finding in every setting.
func (l *likes) one(kind byte, driver float64) *part {
	if l.whole[kind] == nil {
		var mass, log [finds]float64
		for _, w := range l.w {
			mass[kind] += w
			log[kind] += xlog(w)
		}
		p := partOf(mass, log, driver)
		l.whole[kind] = &p
	}
	return l.whole[kind]
}

// of returns what a class gives with a pattern, by the key of the setting.
func (l *likes) of(p *pattern, driver float64) []part {
	if out := l.parts[p]; out != nil {
		return out
	}
	sums, ok := l.sums[p.mask]
	if !ok {
		by := make([]mark, 1<<bits.OnesCount(uint(p.mask)))
		for k, sense := range l.senses {
			m := &by[p.key[sense]]
			m.key = p.key[sense]
			m.w += l.w[k]
			m.log += xlog(l.w[k])
		}
		for _, m := range by {
			if m.w > 0 {
				sums = append(sums, m)
			}
		}
		l.sums[p.mask] = sums
	}
	out := make([]part, p.keys)
	for key := range out {
		var mass, log [finds]float64
		for _, m := range sums {
			kind := p.at[uint32(key)^m.key]
			mass[kind] += m.w
			log[kind] += m.log
		}
		out[key] = partOf(mass, log, driver)
	}
	l.parts[p] = out
	return out
}

// partOf returns what a class gives that has some mass and some xlog for each kind of
// finding. How likely a driver reads as a resistance is given; either finding leaves it
// possible.
func partOf(mass, log [finds]float64, driver float64) part {
	either := mass[findsEither]
	t := part{
		left:  [3]float64{mass[findsOpen] + either, mass[findsThrough] + either, mass[findsJoined]},
		prob:  [3]float64{mass[findsOpen] + either*(1-driver), mass[findsThrough] + either*driver, mass[findsJoined]},
		byAny: [3]float64{log[findsOpen] + log[findsEither], log[findsThrough] + log[findsEither], log[findsJoined]},
	}
	for o, m := range t.left {
		t.byOne[o] = xlog(m)
	}
	return t
}
