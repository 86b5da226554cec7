package plan

import (
	"context"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// A Revision is a plan made again after something has changed.
type Revision struct {
	// Plan is the plan as it is now. What it keeps may cost more than a plan made
	// anew, so that it is [BestFound] where that is so.
	Plan *Plan
	// Boxes are the boxes whose sheets change, in the order of the intent, and then
	// those that are no more, in the order of the old wiring.
	Boxes []BoxChange
	// Anew is the plan that [New] makes, which keeps nothing.
	Anew *Plan
}

// Saving returns by how much a plan made anew would cost less.
func (r *Revision) Saving() rules.Amount { return r.Plan.Cost - r.Anew.Cost }

// A BoxChange is what changes on the sheet of a box, in sentences that the old sheet
// or the new one has and the other has not. The text is for reading and not stable.
type BoxChange struct {
	Box string   `json:"box"`
	Was []string `json:"was,omitempty"`
	Is  []string `json:"is,omitempty"`
}

// Revise plans what is wanted again, after an old plan, and keeps of that what it can:
// a cable was pulled otherwise than planned (say so with [intent.Run]), a light came
// or went, the feed moved. Old is the wiring of the old plan, from its Spec or from a
// job file; the intent is what is wanted now, the same but for what has changed.
//
// A circuit keeps the first of these that has room for everything: its runs, schemes,
// hot ends and leg ends, with the runs to a box that is new by the cheapest way; the
// same but for the controls that are new; and but for one control more, at the least
// cost; its runs alone; nothing. Cables are chosen for it anew and come out as they
// were where nothing has changed. A cable keeps its name as long as one goes along
// its run for its circuit, and a name that is given up is not used again, since it may
// stand on a tag. A box whose sheet says what it said keeps its entries in the wiring
// as they were, tags included; all others are in Boxes.
//
// The error is that of [New], or [wiring.Problems] of the old wiring. A request that
// cannot be met any more gives New's answer and no Boxes. What the old wiring has
// beyond a plan, such as a tie or a broken wire, is not taken over.
func Revise(ctx context.Context, old wiring.Spec, in intent.Intent, region *rules.Region, opt *Options) (*Revision, error) {
	was, err := wiring.New(old)
	if err != nil {
		return nil, err
	}
	anew, err := New(ctx, in, region, opt)
	if err != nil || anew.Status == Infeasible {
		return &Revision{Plan: anew, Anew: anew}, err
	}
	quiet := Options{noChanges: true}
	if opt != nil {
		quiet.Labor, quiet.Limit, quiet.Plain = opt.Labor, opt.Limit, opt.Plain
	}
	m, err := newMaker(&in, region, &quiet)
	if err != nil {
		return nil, err
	}
	m.kept = m.readKept(was)
	m.readMarked(was)
	if err := m.search(ctx); err != nil {
		return nil, err
	}
	m.bound = score{cost: anew.Bound}
	p, err := m.finish(ctx)
	if err != nil {
		return nil, err
	}
	if !p.Status.OK() {
		return &Revision{Plan: anew, Anew: anew}, nil
	}
	r := &Revision{Plan: p, Anew: anew}
	is, err := p.rename(was)
	if err != nil {
		return nil, err
	}
	r.Boxes = p.restore(was, is)
	m.tellPassing(p)
	return r, nil
}
