package trace

import (
	"context"
	"crypto/sha256"
	"fmt"
	"math"
	"runtime"
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
	causes := []Cause{{}}
	edits := [][]wiring.Edit{nil}
	shares := []float64{float64(c.opt.Priors.Right)}
	for i, share := range c.opt.Priors.weights(c.opt.Faults) {
		if share > 0 {
			causes = append(causes, Cause{Fault: c.opt.Faults[i]})
			edits = append(edits, c.opt.Faults[i].Edits)
			shares = append(shares, share)
		}
	}
	total := 0.0
	for _, s := range shares {
		total += s
	}
	if total <= 0 {
		return nil, Errors{{"Options.Priors", "everything has weight zero; something must be possible"}}
	}
	for i := range causes {
		causes[i].share = shares[i] / total
		causes[i].Share = ratio(causes[i].share)
	}
	var err error
	if c.f, err = newFrame(w, edits, &c.opt); err != nil {
		return nil, err
	}
	if c.travel, err = newTravel(w, c.f, &c.opt); err != nil {
		return nil, err
	}
	rows, of, err := c.rows(ctx, edits)
	if err != nil {
		return nil, err
	}
	c.sort(causes, edits, rows, of)
	c.view()
	c.mean()
	c.patterns = newPatterns(c)
	return c, nil
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

// row is what one model shows in every true setting.
type row struct {
	once  sync.Once
	looks []sight
	sums  []uint64
	err   error
}

// rows returns the distinct rows, in the order of the causes that have them first, and
// which row each cause has. Causes that come to the same metal share theirs.
func (c *Case) rows(ctx context.Context, edits [][]wiring.Edit) ([]*row, []int, error) {
	all := make([]*row, len(edits))
	errs := make([]error, len(edits))
	byPrint := map[[sha256.Size]byte]*row{}
	var mu sync.Mutex
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(edits)) {
		wg.Go(func() {
			for i := range next {
				m, err := c.model(edits[i])
				if err != nil {
					errs[i] = err
					continue
				}
				print := m.print()
				mu.Lock()
				r := byPrint[print]
				if r == nil {
					r = &row{}
					byPrint[print] = r
				}
				mu.Unlock()
				r.once.Do(func() { r.err = r.fill(ctx, c, m) })
				all[i], errs[i] = r, r.err
			}
		})
	}
	for i := range edits {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	var rows []*row
	at := map[*row]int{}
	of := make([]int, len(edits))
	for i, r := range all {
		n, ok := at[r]
		if !ok {
			n = len(rows)
			at[r] = n
			rows = append(rows, r)
		}
		of[i] = n
	}
	return rows, of, nil
}

// model returns the job with edits made, as metal.
func (c *Case) model(edits []wiring.Edit) (*model, error) {
	w := c.w
	if len(edits) > 0 {
		var err error
		if w, err = w.Apply(edits...); err != nil {
			return nil, &Error{"Options.Faults", err.Error()}
		}
	}
	return c.f.model(w)
}

// modelOf returns the first cause of a class as metal, and keeps it for the next who asks.
func (c *Case) modelOf(class int) (*model, error) {
	c.mu.Lock()
	m := c.models[class]
	c.mu.Unlock()
	if m != nil {
		return m, nil
	}
	m, err := c.model(c.classes[class].edits)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.models == nil || len(c.models) >= maxModels {
		c.models = map[int]*model{}
	}
	c.models[class] = m
	return m, nil
}

// maxModels is how many models a case keeps.
const maxModels = 1000

func (r *row) fill(ctx context.Context, c *Case, m *model) error {
	rd := c.f.reader(m)
	r.looks = make([]sight, c.f.sp.size)
	r.sums = make([]uint64, c.f.sp.size)
	first := make([]uint16, max(m.whole.net.Dense().Nets(), m.lifted.net.Dense().Nets()))
	for y := range r.looks {
		if y%64 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		x, err := rd.read(y, true)
		if err != nil {
			return err
		}
		r.looks[y] = sight{string(x.look), x.trip}
		r.sums[y] = x.hash(first, &c.opt)
	}
	return nil
}

// sort puts the causes into classes: those whose rows are the same but for which way
// handles are up.
func (c *Case) sort(causes []Cause, edits [][]wiring.Edit, rows []*row, of []int) {
	// What every row has in common with those it may be turned into.
	key := make([]uint64, len(rows))
	for i, r := range rows {
		for y, h := range r.sums {
			h ^= uint64(y>>c.f.sp.bits) * 0x9E3779B97F4A7C15
			h *= 0xFF51AFD7ED558CCD
			key[i] += h ^ h>>32
		}
	}
	class0 := map[uint64][]int{} // classes by key
	classOf := make([]int, len(rows))
	for i := range classOf {
		classOf[i] = -1
	}
	number := map[sight]uint16{}
	rep := []*row{}
	for i, cause := range causes {
		r := rows[of[i]]
		n := classOf[of[i]]
		if n < 0 {
			for _, m := range class0[key[of[i]]] {
				if c.turned(rep[m], r) {
					n = m
					break
				}
			}
		}
		if n < 0 {
			n = len(c.classes)
			class0[key[of[i]]] = append(class0[key[of[i]]], n)
			rep = append(rep, r)
			looks := make([]uint16, len(r.looks))
			trips := false
			for y, s := range r.looks {
				trips = trips || s.trip
				k, ok := number[s]
				if !ok {
					k = uint16(len(c.sights))
					number[s] = k
					c.sights = append(c.sights, s)
				}
				looks[y] = k
			}
			c.classes = append(c.classes, class{edits: edits[i], looks: looks, Class: Class{Trips: trips}})
		}
		classOf[of[i]] = n
		k := &c.classes[n]
		k.Causes = append(k.Causes, cause)
		k.share += cause.share
		if cause.Nothing() {
			k.Sound = true
			c.sound = n
		}
	}
	for i := range c.classes {
		c.classes[i].Seen = !c.sameLooks(&c.classes[i], &c.classes[c.sound])
	}
}

// turned reports whether one row is the other with some handles the other way up.
func (c *Case) turned(a, b *row) bool {
	for s := range 1 << c.f.sp.bits {
		same := true
		for y := range a.sums {
			if a.sums[y] != b.sums[y^s] {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// sameLooks reports whether no light and no breaker tells one class from another.
func (c *Case) sameLooks(a, b *class) bool {
	for s := range 1 << c.f.sp.bits {
		same := true
		for y := range a.looks {
			if a.looks[y] != b.looks[y^s] {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

func ratio(share float64) quantity.Ratio {
	return quantity.Ratio(math.Round(share * float64(quantity.Whole)))
}

// Points returns where a probe can be put, in name order: wires' ends in boxes, and the
// screws and leads that are there under every possibility. Where a fault puts another
// device in the place of one, its screws are none; the ends of the wires on them are.
func (c *Case) Points() []switchnet.Terminal { return slices.Clone(c.f.points) }
