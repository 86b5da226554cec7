package trace

import "math"

// rest is what remains of the possibilities, as far as it counts for choosing a test.
type rest struct {
	classes []possible
	total   float64
	bits    float64 // how much is not known about which class it is
	anyBits float64 // and with which senses
	count   int     // possibilities
}

// possible is a class that remains, with the senses in which it does.
type possible struct {
	class  int
	senses []int32
	w      []float64
	log    []float64 // xlog of w
	sum    float64
}

// remaining returns what remains; nothing in a contradiction.
func (s *Session) remaining() *rest {
	r := &rest{}
	senses := 1 << s.c.f.sp.bits
	best := s.best()
	if !s.believable() {
		return r
	}
	for _, i := range s.alive {
		p := possible{class: i}
		for sense := range senses {
			if n := i*senses + sense; s.credit[n]*remains >= best {
				p.senses = append(p.senses, int32(sense))
				p.w = append(p.w, s.weight[n])
				p.log = append(p.log, xlog(s.weight[n]))
				p.sum += s.weight[n]
			}
		}
		if p.sum > 0 {
			r.classes = append(r.classes, p)
			r.total += p.sum
			r.count += len(p.senses)
		}
	}
	r.reckon()
	return r
}

// reckon works out how much is not known.
func (r *rest) reckon() {
	r.bits, r.anyBits = 0, 0
	for _, p := range r.classes {
		r.bits -= xlog(p.sum)
		for _, l := range p.log {
			r.anyBits -= l
		}
	}
	if r.total > 0 {
		r.bits = r.bits/r.total + math.Log2(r.total)
		r.anyBits = r.anyBits/r.total + math.Log2(r.total)
	}
}

// alike returns what remains with every class as likely as another, and so is every sense
// of each.
func (r *rest) alike() *rest {
	out := &rest{total: float64(len(r.classes)), count: r.count}
	for _, p := range r.classes {
		q := possible{class: p.class, senses: p.senses, sum: 1}
		for range p.senses {
			w := 1 / float64(len(p.senses))
			q.w = append(q.w, w)
			q.log = append(q.log, xlog(w))
		}
		out.classes = append(out.classes, q)
	}
	out.reckon()
	return out
}

// A test tells what it rules out. A possibility under which an outcome may be one of
// several is ruled out by none of these, and counts in full after each: that is what
// keeps a session from making the same doubtful test again and again. Where every
// possibility has one outcome the gain is the mutual information of outcome and class.

// xlog is x log2 x, and 0 at 0.
func xlog(x float64) float64 {
	if x <= 0 {
		return 0
	}
	return x * math.Log2(x)
}

// tally adds up the outcomes of one test, one class after the other.
type tally struct {
	class []float64 // of the class: mass that an outcome leaves
	left  []float64 // in all
	prob  []float64 // mass that has the outcome
	byOne []float64 // sum of xlog over classes
	byAny []float64 // sum of xlog over possibilities
}

func newTally(outcomes int) *tally {
	b := make([]float64, 5*outcomes)
	cut := func(i int) []float64 { return b[i*outcomes : (i+1)*outcomes] }
	return &tally{cut(0), cut(1), cut(2), cut(3), cut(4)}
}

func (t *tally) reset() {
	clear(t.left)
	clear(t.prob)
	clear(t.byOne)
	clear(t.byAny)
}

// add counts a possibility that has an outcome with a probability, and its xlog.
func (t *tally) add(o int, w, log, prob float64) {
	t.class[o] += w
	t.prob[o] += w * prob
	t.byAny[o] += log
}

func (t *tally) close() {
	for o, m := range t.class {
		if m > 0 {
			t.left[o] += m
			t.byOne[o] += xlog(m)
			t.class[o] = 0
		}
	}
}

// bits returns what the test tells of the class, and of anything, handles included.
func (t *tally) bits(r *rest) (class, any float64) {
	total := 0.0
	for _, p := range t.prob {
		total += p
	}
	if total == 0 {
		return 0, 0
	}
	class, any = r.bits, r.anyBits
	for o, m := range t.left {
		if m > 0 {
			p := t.prob[o] / total
			class -= p * (math.Log2(m) - t.byOne[o]/m)
			any -= p * (math.Log2(m) - t.byAny[o]/m)
		}
	}
	return max(0, class), max(0, any)
}
