package trace

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// Touching returns the job with each two of its conductors touching along their runs, as
// where a staple or a nail goes through both: what WalkOptions.Also takes to have a walk
// prove that no two sections touch, those included that share no box, which no single fault
// of package miswire does. Conductors that are one piece of metal are taken once, by the
// first of them, and of two that touch there is one variant. They are in the order of cables
// and conductors. It takes the time to build a net for each; a context that
// ends is an error.
func Touching(ctx context.Context, w *wiring.Wiring) ([]Variant, error) {
	type run struct {
		wire wiring.Wire
		at   switchnet.Terminal
		net  int
	}
	var runs []run
	net := w.Net()
	for _, c := range w.Spec().Cables {
		for _, core := range c.Type.Cores {
			x := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			at := x.In(c.From)
			if n, ok := net.NetIndex(at); ok {
				runs = append(runs, run{x, at, n})
			}
		}
	}
	slices.SortFunc(runs, func(a, b run) int {
		return cmp.Or(cmp.Compare(a.wire.Cable, b.wire.Cable), cmp.Compare(a.wire.Conductor, b.wire.Conductor))
	})
	seen := map[int]bool{}
	runs = slices.DeleteFunc(runs, func(r run) bool {
		before := seen[r.net]
		seen[r.net] = true
		return before
	})
	var out []Variant
	for i, p := range runs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, q := range runs[i+1:] {
			b := net.Builder()
			b.Splice(p.at.Place, fmt.Sprintf("where %s and %s touch", p.wire, q.wire), p.at, q.at)
			touching, err := b.Build()
			if err != nil {
				return nil, fmt.Errorf("trace: %s and %s: %w", p.wire, q.wire, err)
			}
			out = append(out, Variant{fmt.Sprintf("%s and %s touch along their runs", p.wire, q.wire), touching})
		}
	}
	return out, nil
}
