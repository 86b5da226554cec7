package identify

import "math"

// weigh returns how likely each circuit of a view is, by what remains.
func (n *next) weigh(v *view) []float64 {
	for _, i := range n.left {
		v.number(i)
	}
	out := make([]float64, len(v.circuits))
	total := 0.0
	for _, i := range n.left {
		out[v.index[i]] += n.s.weight[i]
		total += n.s.weight[i]
	}
	for k := range out {
		out[k] /= total
	}
	return out
}

// gain returns how many bits an answer tells about the circuit: the entropy of the
// answer less what is left of it when the circuit is known. likely is how likely an
// answer is for an outcome.
func gain[A ~uint8](v *view, weights []float64, answers []A, likely func(outcome, A) float64, comes func(*circuit) outcome) float64 {
	var sums [allLevel + 1]float64
	for k, c := range v.circuits {
		if weights[k] != 0 {
			sums[comes(c)] += weights[k]
		}
	}
	bits := 0.0
	for _, a := range answers {
		total := 0.0
		for o, w := range sums {
			if w > 0 {
				p := likely(outcome(o), a)
				total += w * p
				bits -= w * entropy(p)
			}
		}
		bits += entropy(total)
	}
	return bits
}

// entropy returns the entropy of some likelihoods in bits.
func entropy(p ...float64) float64 {
	h := 0.0
	for _, x := range p {
		if x > 0 && x < 1 {
			h -= x * math.Log2(x)
		}
	}
	return h
}

// sum returns how likely something is.
func (n *next) sum(holds func(i int) bool) float64 {
	some, total := 0.0, 0.0
	for _, i := range n.left {
		total += n.s.weight[i]
		if holds(i) {
			some += n.s.weight[i]
		}
	}
	return some / total
}

// spread returns the entropy of what an answer may be.
func (n *next) spread(answer func(i int) string) float64 {
	sums, order := map[string]float64{}, []string{}
	total := 0.0
	for _, i := range n.left {
		k := answer(i)
		if _, ok := sums[k]; !ok {
			order = append(order, k)
		}
		sums[k] += n.s.weight[i]
		total += n.s.weight[i]
	}
	h := 0.0
	for _, k := range order {
		h += entropy(sums[k] / total)
	}
	return h
}
