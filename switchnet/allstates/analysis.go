package allstates

import (
	"context"
	"errors"
	"math/big"
	"slices"
	"sync"

	"example.com/switchleg/switchnet"
)

// Options says which devices move. The zero value, or nil, means every switch, all
// other devices at rest, and the default budget.
type Options struct {
	// Hold is the state that the devices that do not move are in. The zero
	// State means Net.Rest, in which breakers are on.
	Hold switchnet.State
	// Vary are the devices that move, each with more than one position. Nil
	// means every such device that is not a breaker.
	Vary []switchnet.Ref
	// Breakers adds the breakers to the devices that move if Vary is nil.
	Breakers bool
	// Budget is the greatest number of diagram nodes that one question may
	// make; 0 means DefaultBudget. A node takes some 50 to 100 bytes.
	Budget int
}

// DefaultBudget is the number of nodes that one question may make.
const DefaultBudget = 4_000_000

// An Analysis answers questions about every state of one net. It is immutable and
// safe for concurrent use. [Analyze] makes one; the zero value answers nothing.
type Analysis struct {
	f      *frame
	budget int

	mu    sync.Mutex
	spare []*scratch // not in use
}

// Analyze prepares a net for questions: it contracts the devices that are held and
// parts what cannot touch. Mistakes in the options are all reported, as [Error]
// values joined. Time and memory are linear in the net.
func Analyze(ctx context.Context, net *switchnet.Net, opt *Options) (*Analysis, error) {
	var o Options
	if opt != nil {
		o = *opt
	}
	if net == nil || net.Dense() == nil {
		return nil, &Error{BadValue, "net", "is none; switchnet.Builder makes one"}
	}
	if err := alive(ctx); err != nil {
		return nil, err
	}
	var errs []error
	g := net.Dense()
	pos := make([]uint8, g.Devices())
	switch o.Hold.Net() {
	case nil:
	case net:
		copy(pos, o.Hold.Indices())
	default:
		errs = append(errs, &Error{ForeignState, "Options.Hold", "is a state of another net; carry it over with State.On"})
	}
	varied := make([]bool, g.Devices())
	if o.Vary == nil {
		for d := range varied {
			k := g.Kind(d)
			varied[d] = len(k.Blocks) > 1 && (o.Breakers || !k.Breaker)
		}
	}
	for _, r := range o.Vary {
		d, ok := net.DeviceIndex(r)
		switch {
		case !ok:
			errs = append(errs, fail(UnknownDevice, r, "is not in the net"))
		case len(g.Kind(d).Blocks) < 2:
			errs = append(errs, fail(BadValue, r, "has one position and cannot be varied"))
		case varied[d]:
			errs = append(errs, fail(Repeated, r, "is to be varied twice"))
		default:
			varied[d] = true
		}
	}
	if o.Budget < 0 {
		errs = append(errs, &Error{BadValue, "Options.Budget", "is negative; give the greatest number of nodes, or 0 for the default"})
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	a := &Analysis{f: newFrame(net, g, pos, varied, false), budget: o.Budget}
	if a.budget == 0 {
		a.budget = DefaultBudget
	}
	return a, nil
}

// Net returns the net.
func (a *Analysis) Net() *switchnet.Net { return a.f.net }

// Devices returns the devices that move, in name order.
func (a *Analysis) Devices() []switchnet.Ref { return a.refs(a.f.order) }

// States returns the number of states: the product of the positions of the devices
// that move.
func (a *Analysis) States() *big.Int { return a.f.product(a.f.order).value() }

func (a *Analysis) refs(devices []int32) []switchnet.Ref {
	out := make([]switchnet.Ref, len(devices))
	for i, d := range devices {
		out[i] = a.f.net.DeviceAt(int(d)).Ref
	}
	return out
}

// scratch is memory that questions leave to each other.
type scratch struct {
	walker  *walker
	sweep   sweep
	reducer reducer
}

// keptKeys is the size up to which scratch memory is kept for the next question.
const keptKeys = 1 << 14

func (a *Analysis) take() *scratch {
	a.mu.Lock()
	defer a.mu.Unlock()
	if n := len(a.spare); n > 0 {
		s := a.spare[n-1]
		a.spare = a.spare[:n-1]
		return s
	}
	return &scratch{walker: newWalker(a.f)}
}

func (a *Analysis) give(s *scratch) {
	if s.sweep.keys.len() > keptKeys || len(s.reducer.level) > keptKeys || len(s.reducer.slots) > keptKeys {
		s = &scratch{walker: s.walker}
	}
	s.sweep.q, s.sweep.ctx = nil, nil
	a.mu.Lock()
	defer a.mu.Unlock()
	a.spare = append(a.spare, s)
}

// ready returns an error where there is nothing to ask, or no context to ask it in.
func (a *Analysis) ready(ctx context.Context) error {
	if a == nil || a.f == nil {
		return &Error{BadValue, "analysis", "is none; Analyze makes one"}
	}
	return alive(ctx)
}

// alive returns why a context ended, and an error for none.
func alive(ctx context.Context) error {
	if ctx == nil {
		return &Error{BadValue, "context", "is nil; context.Background() is one that never ends"}
	}
	return ctx.Err()
}

// run answers a query with a diagram.
func (a *Analysis) run(ctx context.Context, q *query) (*diagram, error) {
	q.f = a.f
	s := a.take()
	defer a.give(s)
	q.prepare(s.walker)
	s.sweep.reset(q, ctx, a.budget)
	return s.sweep.run()
}

// reduce returns the least diagram of a function of a diagram's outcomes.
func (a *Analysis) reduce(d *diagram, terminal [outcomes]ref) *reduced {
	s := a.take()
	defer a.give(s)
	return s.reducer.reduce(d, terminal)
}

// free returns the varied devices that are not in a sorted-out list, in name order.
func (a *Analysis) free(swept []int32) []int32 {
	if len(swept) == len(a.f.order) {
		return nil
	}
	in := make([]bool, a.f.g.Devices())
	for _, d := range swept {
		in[d] = true
	}
	return slices.DeleteFunc(slices.Clone(a.f.order), func(d int32) bool { return in[d] })
}
