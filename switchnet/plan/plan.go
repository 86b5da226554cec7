package plan

import (
	"context"
	"errors"
	"fmt"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// Status says what a plan is.
type Status uint8

// What a plan is. The zero Status is unset.
const (
	// Optimal: no plan of the family costs less.
	Optimal Status = iota + 1
	// BestFound: the search was not exhaustive. No plan costs less than Bound.
	BestFound
	// Infeasible: some run has room for too few conductors, whatever the order.
	Infeasible
	// NoneFound: the search was not exhaustive, and in all that it tried some run
	// has room for too few conductors. There may be a plan all the same.
	NoneFound
)

var statusWords = [...]string{"unset", "optimal", "best found", "infeasible", "none found"}

// OK reports whether there is a plan: its wiring is in Spec.
func (s Status) OK() bool { return s == Optimal || s == BestFound }

// String returns the word, "unset" for a status that has none.
func (s Status) String() string {
	if int(s) >= len(statusWords) {
		s = 0
	}
	return statusWords[s]
}

// MarshalText writes the word; a status that has none is an error.
func (s Status) MarshalText() ([]byte, error) {
	if s < Optimal || s > NoneFound {
		return nil, fmt.Errorf("plan: status %d has no word", uint8(s))
	}
	return []byte(s.String()), nil
}

// Options says how to plan. Nil, like the zero value, means the defaults.
type Options struct {
	// Labor adds the region's figures for pulling cable to its prices.
	Labor bool
	// Limit is the number of combinations of shapes, and the number of trees of
	// runs, that are tried for one circuit; 0 means 4096. Beyond it the plan is
	// the best found and its gap is stated.
	Limit int
	// Plain asks for the wiring, what it costs and which boxes are too small for it, or for
	// what it lacks, and for nothing of what else could be done.
	Plain bool
	// Progress, if it is not nil, is called before each circuit is planned, and
	// for each hundred trees of runs tried, from the goroutine of New.
	Progress func(Progress)
	// noChanges looks for no changes. Within the search for changes a trial is asked
	// for, which has a status and a cost and no more, and prices is the budget for it;
	// 0 means that of a plan.
	noChanges, trial bool
	prices           int
}

// Progress is how far a plan has come.
type Progress struct {
	Circuit, Circuits int // the circuit being planned, from 1, of how many
	Trees             int // of runs tried for it
}

const defaultLimit = 4096

func (o *Options) limit() int {
	if o == nil || o.Limit <= 0 {
		return defaultLimit
	}
	return o.Limit
}

// A Plan is the answer to an intent.
type Plan struct {
	Status Status `json:"status"`
	// Cost is what its cable costs, in Unit. Bound is a cost that no plan of the
	// family goes below; it is Cost if the plan is optimal.
	Cost  rules.Amount `json:"-"`
	Bound rules.Amount `json:"-"`
	Unit  string       `json:"unit"`
	// Spec is the wiring, with the boxes, lights and feeds of the intent. It has
	// cables only if the status is OK.
	Spec wiring.Spec `json:"-"`
	// Cables are the cables in the order of Spec.
	Cables []Cable `json:"cables"`
	// Controls are the controls in the order of the intent.
	Controls []Control `json:"controls"`
	// Lacks says, if the status is not OK, what there is no room for, in the order
	// of circuits and of runs from the feed.
	Lacks []Lack `json:"lacks,omitempty"`
	// Changes are then the nearest changes that would make the request feasible,
	// cheapest first, and those whose cost is not known whole last. Where a plan has
	// boxes that are too small they hold the one with more room in them that was
	// found, if one was.
	Changes []Change `json:"changes,omitempty"`
	// Full are the boxes that are too small for what is planned, in their order.
	Full []FullBox `json:"full,omitempty"`
	// Passing are the cables that only pass through boxes, in the order of the first of
	// each. Notes say the same.
	Passing []Passing `json:"passing,omitempty"`
	// Notes are what the reader of the plan must know, in sentences.
	Notes []string `json:"notes,omitempty"`

	work int // prices asked for
}

// A Cable is a cable of a plan.
type Cable struct {
	Name string `json:"name"`
	Run  int    `json:"run"` // of the intent
	Type string `json:"type"`
	// Why says why it is this one.
	Why  string       `json:"why"`
	Cost rules.Amount `json:"-"`
	// Conductors are all of its conductors, in the order of its make-up.
	Conductors []Conductor `json:"conductors"`
}

// A Conductor is a conductor of a planned cable.
type Conductor struct {
	Colour string `json:"colour"`
	// Does is what it is: "hot", "neutral", "switch leg", "traveler", "common",
	// "spare", "ground" or "unused".
	Does string `json:"does"`
	// Marked is the colour it is marked with at both ends, or empty. On cores of a
	// neutral's colour all hots of a plan are marked alike, and all travelers, as long
	// as the line colours of the region go round.
	Marked string `json:"marked,omitzero"`
	// Why says what it is there for.
	Why string `json:"why"`
}

// A Control is how a control is wired.
type Control struct {
	Name   string        `json:"name"`
	Scheme intent.Scheme `json:"scheme"`
	// Order are its places from the hot end to the leg end.
	Order []string `json:"order"`
	// Next are the two next best orders, with what they would cost more.
	Next []Alternative `json:"next,omitempty"`
}

// An Alternative is another way to wire a control, everything else as planned but
// for the cables.
type Alternative struct {
	Scheme intent.Scheme `json:"scheme"`
	Order  []string      `json:"order"`
	More   rules.Amount  `json:"-"` // cost beyond the plan's
	// Lacks is for how many conductors there would be no room.
	Lacks int `json:"lacks,omitzero"`
}

// Check returns everything that is wrong with a request, as [wiring.Problems]: what
// [intent.Intent.Check] finds, a light or place that no run reaches, a control of which it
// is not clear on which feed it is, a switch in a box that holds none. It plans nothing.
func Check(in intent.Intent, region *rules.Region) error {
	if region == nil {
		return errNoRegion
	}
	_, err := newMaker(&in, region, nil)
	return err
}

var errNoRegion = errors.New("plan: the rules of a region are needed")

// New plans what is wanted under the rules of a region. The error is that of [Check] for
// a request that is malformed. A request that is sound and cannot be met is no error but
// [Infeasible].
//
// One group on a tree of n boxes with k places takes time of n times its clients and
// k squared. Memory is linear in the boxes, runs and conductors.
func New(ctx context.Context, in intent.Intent, region *rules.Region, opt *Options) (*Plan, error) {
	if region == nil {
		return nil, errNoRegion
	}
	m, err := newMaker(&in, region, opt)
	if err != nil {
		return nil, err
	}
	if err := m.search(ctx); err != nil {
		return nil, err
	}
	p, err := m.finish(ctx)
	if err == nil {
		m.tellPassing(p)
	}
	return p, err
}
