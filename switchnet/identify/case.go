package identify

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A Case is open boxes with cables that go nobody knows where, and everything that they
// may be. It is immutable and safe for concurrent use. Make one with [New].
type Case struct {
	sp      *space
	g       *generator
	opt     Options
	effort  trace.Effort
	all     []possibility
	class   []int // of each possibility
	classes int
	nominal quantity.Voltage
	landed  [][]Screw // of each end: the screws that the wiring says it is on
}

// New returns the case of a job: its boxes, the cables in them, of which some have an
// unknown end, its lights, its switches and its feeds. Every way to run the cables, to
// wire the controls and to use each conductor that agrees with it is a possibility.
//
// What the wiring states as landed, spliced or capped in an open box is taken as seen in
// it while the lights obeyed, unless the box is in Options.Disturbed; devices without
// landings are switches of which nothing is known but that they are there. A device
// belongs to the control of its name, or to the one there is. A cable that has both its
// boxes is known to run between them. Bare and green conductors are grounds.
//
// Unknown names, too many boxes, more possibilities than Options.Limit, a wiring that
// agrees with no scheme (a [NoScheme], which says in which boxes it does not), and a
// context that ends are errors. It takes time in proportion
// to the ways to run the cables and to the possibilities.
func New(ctx context.Context, w *wiring.Wiring, opt *Options) (*Case, error) {
	if err := w.Check(); err != nil {
		return nil, fmt.Errorf("identify: %w", err)
	}
	c := &Case{}
	if opt != nil {
		c.opt = *opt
	}
	sp, err := newSpace(w, &c.opt)
	if err != nil {
		return nil, err
	}
	c.sp = sp
	c.landed = sp.landings(c.opt.Disturbed)
	pr := DefaultPriors()
	if c.opt.Priors != nil {
		pr = *c.opt.Priors
	}
	var errs trace.Errors
	pr.check(&errs)
	c.effort = trace.DefaultEffort()
	if c.opt.Effort != nil {
		c.effort = *c.opt.Effort
	}
	schemes := slices.Clone(c.opt.Schemes)
	if schemes == nil {
		schemes = Schemes()
	}
	slices.Sort(schemes)
	schemes = slices.Compact(schemes)
	for _, s := range schemes {
		if _, err := s.MarshalText(); err != nil {
			add(&errs, "Options.Schemes", "has %v, which is no scheme", s)
		}
	}
	if c.opt.Limit < 0 || c.opt.Layouts < 0 {
		add(&errs, "Options.Limit", "and Layouts are %d and %d; neither is below zero", c.opt.Limit, c.opt.Layouts)
	}
	if len(errs) > 0 {
		return nil, errs
	}
	c.g = &generator{space: sp, pr: &pr, schemes: schemes, known: sp.facts(w.Spec(), c.opt.Disturbed),
		limit: c.opt.Limit, layMost: c.opt.Layouts}
	if c.g.limit == 0 {
		c.g.limit = DefaultLimit
	}
	if c.g.layMost == 0 {
		c.g.layMost = DefaultLayouts
	}
	c.g.odd = max(c.opt.Unusual, 0)
	if c.opt.Unusual == 0 {
		c.g.odd = DefaultUnusual
	}
	var many error
	for {
		c.all, err = c.g.all(ctx)
		if errors.Is(err, errMany) && c.opt.Unusual == 0 && c.g.odd > 0 {
			many = err
			c.g.odd--
			continue
		}
		if err != nil {
			return nil, err
		}
		break
	}
	if len(c.all) == 0 && many != nil {
		return nil, many // what fits has more unusual things than can be gone through
	}
	sum := 0.0
	for _, h := range c.all {
		sum += h.share
	}
	if sum == 0 {
		return nil, c.noScheme(ctx, w.Spec())
	}
	for i := range c.all {
		c.all[i].share /= sum
	}
	for _, f := range w.Spec().Feeds {
		if c.nominal = f.Volts; c.nominal != 0 {
			break
		}
	}
	if c.nominal == 0 {
		for _, x := range w.Circuits() {
			c.nominal = x.Volts
			break
		}
	}
	return c, c.sort(ctx)
}

// sort sorts the possibilities into classes by all that any allowed test can show: what
// is joined to what as the boxes are now, devices off, and with all of them apart; what
// is spliced and on which screw where that has not been disturbed; and whether the
// lights obey.
func (c *Case) sort(ctx context.Context) error {
	now, apart := slices.Clone(c.sp.stage), slices.Clone(c.sp.stage)
	for i := range now {
		now[i], apart[i] = max(now[i], Released), Parted
	}
	number := map[string]int{}
	c.class = make([]int, len(c.all))
	for i := range c.all {
		if i%1024 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		h := &c.all[i]
		key := c.sp.circuit(h, setup{stage: apart}).appendTo(nil)
		if !slices.Equal(now, apart) {
			key = c.sp.circuit(h, setup{stage: now}).appendTo(key)
			for p, stage := range c.sp.stage {
				key = append(key, c.look(h, p, stage)...)
			}
		}
		if slices.Contains(c.sp.stage, Found) {
			for k, p := range h.frame.plans {
				for _, at := range c.sp.control[k].places {
					key = append(key, map[bool]byte{true: 1}[slices.Contains(p.order, at)])
				}
			}
		}
		n, ok := number[string(key)]
		if !ok {
			n = len(number)
			number[string(key)] = n
		}
		c.class[i] = n
	}
	c.classes = len(number)
	return nil
}

// appendTo appends what a circuit is to a key.
func (c *circuit) appendTo(key []byte) []byte {
	for i := range c.comp {
		key = append(key, byte(c.comp[i]), byte(c.group[i]))
	}
	for _, x := range c.hot {
		key = append(key, byte(x), byte(x>>8))
	}
	for _, x := range c.loose {
		key = append(key, map[bool]byte{true: 1}[x])
	}
	for _, x := range c.reach {
		key = append(key, byte(x), byte(x>>8))
	}
	for _, h := range c.hangs {
		for k, x := range h.hot {
			key = append(key, byte(x), byte(x>>8), map[bool]byte{true: 1}[h.bar[k]])
		}
	}
	shown := uint16(0)
	for _, set := range [][]uint16{c.hot, c.reach, c.hangs[0].hot} {
		for _, x := range set {
			shown |= x
		}
	}
	x := c.line.alike(shown)
	return append(key, byte(x), byte(x>>8))
}

// Nominal returns the volts of a line to neutral, 0 if the job states none.
func (c *Case) Nominal() quantity.Voltage { return c.nominal }

// between returns the volts between two lines where one has the nominal volts to neutral.
func (c *Case) between() quantity.Voltage {
	if s := c.sp.spec.Supply; s.LineToLine > 0 && s.LineToNeutral > 0 {
		return c.nominal * s.LineToLine / s.LineToNeutral
	}
	return 2 * c.nominal
}

// Wiring returns the job.
func (c *Case) Wiring() *wiring.Wiring { return c.sp.w }

// Size returns how many possibilities there are, and in how many classes of such as
// behave alike in every test that is allowed.
func (c *Case) Size() (possibilities, classes int) { return len(c.all), c.classes }

// Unusual returns how many unusual things a possibility may have at once. What has more
// was not reckoned with.
func (c *Case) Unusual() int { return c.g.odd }

// Open returns the open boxes in name order.
func (c *Case) Open() []string { return slices.Clone(c.sp.open) }

// Ends returns the insulated conductors of the open boxes, by box, cable, and as the
// cable is made up.
func (c *Case) Ends() []wiring.End { return slices.Clone(c.sp.ends) }

// Controls returns the controls in name order.
func (c *Case) Controls() []Control {
	out := make([]Control, len(c.sp.control))
	for i, x := range c.sp.control {
		out[i].Name = x.name
		for _, l := range x.lights {
			out[i].Lights = append(out[i].Lights, c.sp.lights[l].name)
		}
		for _, p := range x.places {
			out[i].Places = append(out[i].Places, c.sp.place(p))
		}
		if x.feed >= 0 {
			out[i].Feed = c.sp.feeds[x.feed].ref.Name
		}
	}
	return out
}

// place returns the box of a place, "" for what is none.
func (sp *space) place(p int) string {
	switch {
	case p < len(sp.open):
		return sp.open[p]
	case p < sp.leaf(0):
		return sp.closed[p-len(sp.open)]
	}
	return ""
}

// A view is the circuits of all possibilities in one setup, each distinct one once.
type view struct {
	circuits []*circuit
	index    []int32 // of each possibility, -1 until it is asked for
	make     func(i int) int32
}

func (v *view) of(i int) *circuit { return v.circuits[v.number(i)] }

func (v *view) number(i int) int32 {
	if v.index[i] < 0 {
		v.index[i] = v.make(i)
	}
	return v.index[i]
}

// view returns the view of the boxes as they are now, with ends twisted together.
func (s *Session) view(ties [][2]int) *view { return s.viewOf(setup{slices.Clone(s.stage), ties}) }

func (s *Session) viewOf(at setup) *view {
	key := fmt.Sprint(at.stage, at.ties)
	if v, ok := s.views[key]; ok {
		return v
	}
	v := &view{index: make([]int32, len(s.c.all))}
	for i := range v.index {
		v.index[i] = -1
	}
	number := map[string]int32{}
	v.make = func(i int) int32 {
		c := s.c.sp.circuit(&s.c.all[i], at)
		key := string(c.appendTo(nil))
		n, ok := number[key]
		if !ok {
			n = int32(len(v.circuits))
			number[key] = n
			v.circuits = append(v.circuits, c)
		}
		return n
	}
	s.views[key] = v
	return v
}

// references returns the points that are proven, in their order.
func (s *Session) references() []switchnet.Terminal {
	var out []switchnet.Terminal
	for _, p := range s.c.grounds() {
		if s.proven[p.String()] {
			out = append(out, p)
		}
	}
	return out
}

// grounds returns the points that may serve as references: the one outside first, then
// those of the open boxes.
func (c *Case) grounds() []switchnet.Terminal {
	out := []switchnet.Terminal{Outside()}
	for _, b := range c.sp.open {
		if c.sp.box[b].Metal {
			out = append(out, switchnet.Terminal{Place: b, Device: "box", Name: "ground"})
		}
		for _, g := range c.sp.grounds {
			if g.Box == b {
				out = append(out, g.Wire.In(b))
			}
		}
	}
	return out
}
