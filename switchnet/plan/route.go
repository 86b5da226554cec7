package plan

import (
	"context"
)

// route finds the best tree of runs for a circuit and the best shapes on it.
func (m *maker) route(ctx context.Context, ci int) error {
	c := &m.circuits[ci]
	wanted := c.wanted()
	t := treeOf(m.ways, c.root, func(int32) bool { return true }, func(b int32) bool { return wanted[b] })
	s := &searcher{l: newLayout(c, t), store: m.stores[ci], runs: m.in.Runs, shared: newSharedSplits(), limit: m.opt.limit()}
	f, _, err := s.search(ctx, nil)
	if err != nil {
		return err
	}
	m.found[ci] = f
	return nil
}
