package plan

import (
	"context"
	"slices"
)

// maxCompared is the most shapes of a group for which the next best are looked for.
const maxCompared = 50_000

// compare finds, for each control, the two next best orders on the runs of the plan,
// the other controls as planned: by cost, then in the order of the shapes.
func (m *maker) compare(ctx context.Context, p *Plan) error {
	for ci := range m.circuits {
		c, f := &m.circuits[ci], &m.found[ci]
		if c.clients() == 0 {
			continue
		}
		s := &searcher{l: newLayout(c, f.t), store: m.stores[ci], runs: m.in.Runs, shared: newSharedSplits(), limit: m.opt.limit()}
		for g := range c.groups {
			if err := ctx.Err(); err != nil {
				return err
			}
			all := c.groups[g].shapes()
			if len(all) < 2 || len(all) > maxCompared {
				continue
			}
			next, err := s.next(ctx, g, all, f.shapes)
			if err != nil {
				return err
			}
			for _, n := range next {
				alt := Alternative{Scheme: n.shape.scheme, Lacks: n.score.lack, More: n.score.cost - f.score.cost}
				for _, v := range s.l.tourOf(g, n.shape) {
					alt.Order = append(alt.Order, m.in.Boxes[f.t.box[v]].Name)
				}
				control := &p.Controls[c.groups[g].control]
				control.Next = append(control.Next, alt)
			}
		}
	}
	return nil
}

type ranked struct {
	shape shape
	score score
}

// next returns the two best shapes of a group after the one it has.
func (s *searcher) next(ctx context.Context, g int, all, shapes []shape) ([]ranked, error) {
	bounds := s.ends(g, all, s.tables(g, all, shapes, nil))
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return bounds[a].compare(bounds[b]) })
	now := slices.Clone(shapes)
	var best []ranked
	tried := 0
	for _, i := range order {
		if all[i] == shapes[g] {
			continue
		}
		if len(best) == 2 && !bounds[i].less(best[1].score) || tried > s.limit {
			break
		}
		tried++
		now[g] = all[i]
		sum, _, _, err := s.value(ctx, now, nil)
		if err != nil {
			return nil, err
		}
		best = append(best, ranked{all[i], sum})
		slices.SortStableFunc(best, func(a, b ranked) int { return a.score.compare(b.score) })
		best = best[:min(len(best), 2)]
	}
	return best, nil
}
