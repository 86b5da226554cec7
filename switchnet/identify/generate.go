package identify

import (
	"context"
	"errors"
	"fmt"
	"slices"
)

// A generator makes the possibilities of a case.
type generator struct {
	*space
	pr      *Priors
	schemes []Scheme
	known   facts
	limit   int
	layMost int
	odd     int
}

// spareNode stands for a conductor that does nothing.
const spareNode = -1

// A possibility is a frame with what every conductor does.
type possibility struct {
	frame *frame
	node  []int8 // of each end: the node it is part of, or spareNode
	share float64
}

// all yields every possibility, with weights that are not yet shares.
func (g *generator) all(ctx context.Context) ([]possibility, error) {
	var out []possibility
	steps := 0
	err := g.layouts(ctx, g.pr, g.layMost, g.odd, func(lay *layout) error {
		return g.frames(lay, func(f *frame) error {
			// Weigh the ways to do a run against each other alone, so that a frame has its
			// weight however many there are.
			ways := make([][]way, len(f.lay.runs))
			for i := range f.lay.runs {
				ways[i] = g.ways(f, i)
				if len(ways[i]) == 0 {
					return nil
				}
			}
			node := make([]int8, len(g.ends))
			lie := part(g.pr.Lie)
			// How likely it is if colours say something, and if they say nothing.
			var fill func(i int, tell, say float64) error
			fill = func(i int, tell, say float64) error {
				if steps++; steps%4096 == 0 {
					if err := ctx.Err(); err != nil {
						return err
					}
				}
				if i == len(ways) {
					weight := f.weight * ((1-lie)*tell + lie*say)
					if weight == 0 {
						return nil
					}
					if len(out) == g.limit {
						return g.over()
					}
					out = append(out, possibility{f, slices.Clone(node), weight})
					return nil
				}
				for _, w := range ways[i] {
					for k, e := range f.lay.runs[i].conds {
						node[e] = w.node[k]
						if m := f.lay.mate[e]; m >= 0 {
							node[m] = w.node[k]
						}
					}
					if !g.known.hold(f, node, i) {
						continue
					}
					if err := fill(i+1, tell*w.weight, say*w.blind); err != nil {
						return err
					}
				}
				return nil
			}
			return fill(0, 1, 1)
		})
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// errMany is why a case has no possibilities: it has too many.
var errMany = errors.New("identify: too many to go through")

func (g *generator) over() error {
	return fmt.Errorf("%w: there are more than %d possibilities: say what is known (which sheath goes to which box, what is spliced or landed where, where the feed may come in), open fewer boxes at first, or raise Options.Limit", errMany, g.limit)
}

// A way is what each conductor of a run does.
type way struct {
	node   []int8
	weight float64 // among the ways of its run, by the colours
	blind  float64 // and whatever the colours
}

// ways returns the ways to spread the nodes of a run over its conductors that no single
// conductor speaks against, each with its weight among them. Of two travelers of one
// section the first is on the earlier conductor in the first run that has them: which of
// them is which means nothing.
func (g *generator) ways(f *frame, i int) []way {
	r := f.lay.runs[i]
	if r.hidden {
		return []way{{nil, 1, 1}}
	}
	var nodes []int
	for k := range f.nodes {
		if f.nodes[k].runs&(1<<i) != 0 {
			nodes = append(nodes, k)
		}
	}
	var out []way
	sum, count := 0.0, 0.0
	have := make([]int8, len(r.conds))
	for k := range have {
		have[k] = spareNode
	}
	var walk func(k int)
	walk = func(k int) {
		if k == len(nodes) {
			w := 1.0
			for c, e := range r.conds {
				fn := Spare
				if n := have[c]; n >= 0 {
					fn = f.nodes[n].role.Function
				}
				w *= g.pr.colour(g.stands[e], fn)
			}
			sum += w
			count++
			if g.unary(f, r, have) {
				out = append(out, way{slices.Clone(have), w, 1})
			}
			return
		}
		n := nodes[k]
		for c := range have {
			if have[c] != spareNode {
				continue
			}
			if t := f.nodes[n].twin; t >= 0 && t < n && f.nodes[n].runs&(1<<i-1) == 0 && slices.Index(have, int8(t)) > c {
				continue
			}
			have[c] = int8(n)
			walk(k + 1)
			have[c] = spareNode
		}
	}
	walk(0)
	for k := range out {
		if sum > 0 {
			out[k].weight /= sum
		}
		out[k].blind = 1 / count
	}
	return out
}
