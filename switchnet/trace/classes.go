package trace

import (
	"context"
	"crypto/sha256"
	"runtime"
	"sync"

	"example.com/switchleg/switchnet/wiring"
)

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
func (c *Case) model(edits []wiring.Edit) (*model, error) { return c.made(edits, !c.f.noDead) }

// made returns the job with edits made, as metal, with the neutrals lifted or not as well.
func (c *Case) made(edits []wiring.Edit, lifts bool) (*model, error) {
	w := c.w
	if len(edits) > 0 {
		var err error
		if w, err = w.Apply(edits...); err != nil {
			return nil, &Error{"Options.Faults", err.Error()}
		}
	}
	return c.f.modelOf(w, lifts)
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
