package plan

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
)

// Limits of the search for a plan with room in its boxes.
const (
	maxLeft      = 4  // runs that are left alone for it
	maxRoomTries = 24 // runs that are left alone on trial, for each of them
)

// missing returns by how much the boxes of a plan are too small, all together.
func (p *Plan) missing() quantity.Volume {
	var sum quantity.Volume
	for _, f := range p.Full {
		sum += f.Required - f.Available
	}
	return sum
}

// roomier looks for a plan with more room in its boxes, where some are too small: the
// cheapest cable may lead everything through the smallest box. Run by run it leaves that
// one alone without which least room is missing, of equals at the least cost and of these
// the first, as long as less is missing than before; what it comes to is a change of the
// plan.
func (m *maker) roomier(ctx context.Context, p *Plan) error {
	left := m.opt.budget().prices / 2
	opt := Options{Plain: true, Limit: min(m.opt.limit(), 512), prices: max(1, left/8)}
	if m.opt != nil {
		opt.Labor = m.opt.Labor
	}
	without := func(in intent.Intent, run int) intent.Intent {
		in.Runs = slices.Clone(in.Runs)
		in.Runs[run].IfNeeded = true
		return in
	}
	in, best := *m.in, p
	var names []string
	for len(best.Full) > 0 && len(names) < maxLeft {
		var next *Plan
		run := -1
		for _, r := range best.crowding(&in) {
			if left <= 0 {
				break
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			q, err := New(ctx, without(in, r), m.region, &opt)
			if q != nil {
				left -= q.work
			}
			if err != nil || !q.Status.OK() || q.missing() >= best.missing() {
				continue // without it something is not reached, or nothing is gained
			}
			if next == nil || q.missing() < next.missing() || q.missing() == next.missing() && q.Cost < next.Cost {
				next, run = q, r
			}
		}
		if next == nil {
			break
		}
		best, in = next, without(in, run)
		names = append(names, fmt.Sprintf("from %s to %s", in.Runs[run].From, in.Runs[run].To))
	}
	if len(names) == 0 {
		return nil
	}
	what := "no box is too small"
	switch n := len(best.Full); {
	case n == 1:
		what = fmt.Sprintf("only %s is too small, by %v", best.Full[0].Box, best.missing())
	case n > 1:
		what = fmt.Sprintf("%d boxes are too small, by %v in all", n, best.missing())
	}
	p.Changes = append(p.Changes, Change{Kind: LeaveRun, Says: fmt.Sprintf("leave the way %s alone, and %s", joined(names), what), Cost: best.Cost, Intent: in})
	return nil
}

// crowding returns the runs whose cables come into boxes that are too small, in the order
// of the cables. A cable that lies there takes its room whether it is used or not.
func (p *Plan) crowding(in *intent.Intent) []int {
	var out []int
	for i, c := range p.Cables {
		spec := &p.Spec.Cables[i]
		if !in.Runs[c.Run].Existing && slices.ContainsFunc(p.Full, func(f FullBox) bool { return f.Box == spec.From || f.Box == spec.To }) && !slices.Contains(out, c.Run) && len(out) < maxRoomTries {
			out = append(out, c.Run)
		}
	}
	return out
}
