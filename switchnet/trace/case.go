package trace

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// A Cause is one thing that may be the matter.
type Cause struct {
	// Fault is what is wrong; its Kind is zero if nothing is.
	Fault miswire.Fault
	// Share is how likely the cause was among all before anything was known.
	Share quantity.Ratio
	share float64
}

// Nothing reports that the cause is that nothing is wrong.
func (c Cause) Nothing() bool { return c.Fault.Kind == 0 }

// String returns the words. The text is for reading and not stable.
func (c Cause) String() string {
	if c.Nothing() {
		return "nothing is wrong"
	}
	return c.Fault.Says
}

// A Class is causes that behave alike in every test that is allowed, whichever way the
// handles whose sense is not known are up: no session can tell them apart.
type Class struct {
	// Causes are in the order of miswire.List, "nothing is wrong" before them.
	Causes []Cause
	// Sound reports that nothing being wrong is among them.
	Sound bool
	// Seen reports that the lights or the breaker betray it in some setting.
	Seen bool
	// Trips reports that there is a setting in which it is a bolted fault.
	Trips bool
}

// String returns the first cause, and how many there are beside it. The text is for
// reading and not stable.
func (c *Class) String() string {
	if len(c.Causes) == 0 {
		return "no cause"
	}
	if n := len(c.Causes) - 1; n > 0 {
		return fmt.Sprintf("%s (or %d more that no test here tells from it)", c.Causes[0], n)
	}
	return c.Causes[0].String()
}

// A Case is a job and everything that may be wrong with it, one thing at a time. It is
// immutable and safe for concurrent use. Make one with [New].
type Case struct {
	w       *wiring.Wiring
	opt     Options
	f       *frame
	classes []class
	sound   int // the class in which nothing is wrong
	sights  []sight
	travel  *travel
	// views gives for each box and sight the first sight that looks the same from it.
	views map[string][]uint16
	// meant is what each point is for in the job as it is meant to be.
	meant []wiring.FunctionKind

	patterns *patterns

	mu     sync.Mutex
	models map[int]*model // of classes, as they were asked for
}

// class is a class with what its first cause does.
type class struct {
	Class
	edits []wiring.Edit // that make the first cause
	looks []uint16      // number of the sight in every true setting
	share float64
}

// sight is what all lights do at once, and whether the breaker opens.
type sight struct {
	look string
	trip bool
}

// New returns the case of a job as it is meant to be: every single fault applied to
// it, walked through all settings of the switches, and sorted into classes. Options
// that name what the job has not, too many settings, and a context that ends are
// errors.
//
// It takes time in proportion to the faults times the settings. Whether two causes are
// one class is decided by a digest of all that any allowed test can show.
func New(ctx context.Context, w *wiring.Wiring, opt *Options) (*Case, error) {
	return newCase(ctx, w, opt, nil)
}

// newCase returns a case that has no points which a fault beside its own takes away.
func newCase(ctx context.Context, w *wiring.Wiring, opt *Options, beside []miswire.Fault) (*Case, error) {
	if err := w.Check(); err != nil {
		return nil, fmt.Errorf("trace: %w", err)
	}
	c := &Case{w: w}
	if opt != nil {
		c.opt = *opt
	}
	if c.opt.Faults == nil {
		c.opt.Faults = miswire.List(w)
	}
	if c.opt.Priors == nil {
		p := DefaultPriors()
		c.opt.Priors = &p
	}
	if c.opt.Effort == nil {
		e := DefaultEffort()
		c.opt.Effort = &e
	}
	if c.opt.Work == 0 {
		c.opt.Work = DefaultWork
	}
	h := hypotheses{}
	h.add(Cause{}, nil, float64(c.opt.Priors.Right))
	spec := c.w.Spec()
	for i, share := range c.opt.Priors.weights(&spec, c.opt.Faults) {
		if share > 0 {
			h.add(Cause{Fault: c.opt.Faults[i]}, c.opt.Faults[i].Edits, share)
		}
	}
	if err := c.weighs(ctx, &h, beside); err != nil {
		return nil, err
	}
	return c, nil
}

// hypotheses are causes, that nothing is wrong the first, with the edits that make each and
// how likely it is, in any measure.
type hypotheses struct {
	causes []Cause
	edits  [][]wiring.Edit
	shares []float64
}

func (h *hypotheses) add(x Cause, edits []wiring.Edit, share float64) {
	h.causes, h.edits, h.shares = append(h.causes, x), append(h.edits, edits), append(h.shares, share)
}

// weighs makes a case one of some hypotheses.
func (c *Case) weighs(ctx context.Context, h *hypotheses, beside []miswire.Fault) error {
	total := 0.0
	for _, s := range h.shares {
		total += s
	}
	if total <= 0 {
		return Errors{{"Options.Priors", "everything has weight zero; something must be possible"}}
	}
	for i := range h.causes {
		h.causes[i].share = h.shares[i] / total
		h.causes[i].Share = ratio(h.causes[i].share)
	}
	var err error
	all := slices.Clone(h.edits)
	for _, f := range beside {
		all = append(all, f.Edits)
	}
	if c.f, err = newFrame(c.w, all, &c.opt); err != nil {
		return err
	}
	if c.travel, err = newTravel(c.w, c.f, &c.opt); err != nil {
		return err
	}
	rows, of, err := c.rows(ctx, h.edits)
	if err != nil {
		return err
	}
	c.sort(h.causes, h.edits, rows, of)
	c.view()
	c.mean()
	c.patterns = newPatterns(c)
	return nil
}

// view works out what looks the same from each box.
func (c *Case) view() {
	c.views = map[string][]uint16{}
	for _, box := range append([]string{""}, c.travel.names...) {
		seen := c.travel.sees(box)
		first := map[sight]uint16{}
		view := make([]uint16, len(c.sights))
		for n, s := range c.sights {
			look := []byte(s.look)
			for i := range look {
				if s.trip || seen != nil && !seen[i] {
					look[i] = 0
				}
			}
			key := sight{string(look), s.trip}
			if _, ok := first[key]; !ok {
				first[key] = uint16(n)
			}
			view[n] = first[key]
		}
		c.views[box] = view
	}
}

// Wiring returns the job as it is meant to be.
func (c *Case) Wiring() *wiring.Wiring { return c.w }

// Classes returns every class, in the order of their first causes.
func (c *Case) Classes() []Class {
	out := make([]Class, len(c.classes))
	for i := range c.classes {
		out[i] = c.classes[i].Class
		out[i].Causes = slices.Clone(out[i].Causes)
	}
	return out
}

// mean works out what each point is for: what the wires are for that it is joined to.
func (c *Case) mean() {
	kinds := map[int]wiring.FunctionKind{}
	net := c.w.Net()
	for _, b := range c.travel.names {
		for _, e := range c.w.Ends(b) {
			n, _ := net.NetIndex(e.Wire.In(b))
			f, _ := c.w.FunctionAt(e)
			kinds[n] = f.Kind
		}
	}
	for _, t := range c.f.points {
		n, _ := net.NetIndex(t)
		c.meant = append(c.meant, kinds[n])
	}
}

func ratio(share float64) quantity.Ratio {
	return quantity.Ratio(math.Round(share * float64(quantity.Whole)))
}

// Points returns where a probe can be put, in name order: wires' ends in boxes, and the
// screws and leads that are there under every possibility. Where a fault puts another
// device in the place of one, its screws are none; the ends of the wires on them are.
func (c *Case) Points() []switchnet.Terminal { return slices.Clone(c.f.points) }
