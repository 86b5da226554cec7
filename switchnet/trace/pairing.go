package trace

import (
	"cmp"
	"container/heap"
	"context"
	"runtime"
	"slices"
	"sync"

	"example.com/switchleg/switchnet/wiring"
)

// item is one of two things that may be wrong at once.
type item struct {
	cause Cause
	edits []wiring.Edit
	share float64
}

// pairing goes through all pairs of some items, those before that are likelier together, one
// times the other, and of equals those that come first: a sorted list of partners for each
// item, and a heap of the next pair of each.
type pairing struct {
	items []item
	order []int // of the items, the likeliest first
	heads heads
	of    int // pairs in all
	tried int
}

// head is the next pair of a row.
type head struct {
	row, at int // places in the order
	share   float64
	a, b    int // items, the first first
}

// heads are a heap of them.
type heads []head

func (h heads) Len() int { return len(h) }
func (h heads) Less(i, k int) bool {
	p, q := h[i], h[k]
	return cmp.Or(cmp.Compare(q.share, p.share), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b)) < 0
}
func (h heads) Swap(i, k int) { h[i], h[k] = h[k], h[i] }
func (h *heads) Push(x any)   { *h = append(*h, x.(head)) }
func (h *heads) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

func newPairing(items []item) *pairing {
	p := &pairing{items: items, of: len(items) * (len(items) - 1) / 2}
	for i := range items {
		p.order = append(p.order, i)
	}
	slices.SortStableFunc(p.order, func(a, b int) int { return cmp.Compare(items[b].share, items[a].share) })
	for row := range max(0, len(items)-1) {
		p.heads = append(p.heads, p.head(row, row+1))
	}
	heap.Init(&p.heads)
	return p
}

func (p *pairing) head(row, at int) head {
	a, b := p.order[row], p.order[at]
	return head{row, at, p.items[a].share * p.items[b].share, min(a, b), max(a, b)}
}

// next returns the next pair, false if there is none.
func (p *pairing) next() (head, bool) {
	if len(p.heads) == 0 {
		return head{}, false
	}
	out := p.heads[0]
	if out.at+1 < len(p.order) {
		p.heads[0] = p.head(out.row, out.at+1)
		heap.Fix(&p.heads, 0)
	} else {
		heap.Pop(&p.heads)
	}
	return out, true
}

// fitting is a pair that reports leave something of.
type fitting struct {
	a, b  int
	share float64 // before anything was known
	fits  float64 // what the reports leave of it
	edits []wiring.Edit
}

// pairBatch is how many pairs are tried before one is asked whether that is enough.
const pairBatch = 64

// search tries pairs, as many as there are up to a number in all, and yields those that fit
// in their order until that returns false. What a batch has tried beyond is tried again by
// the next who asks.
func (p *pairing) search(ctx context.Context, c *Case, reports []weighed, tries int, yield func(fitting) bool) error {
	for p.tried < tries && len(p.heads) > 0 {
		if err := ctx.Err(); err != nil {
			return err
		}
		before := slices.Clone(p.heads)
		batch := make([]head, 0, pairBatch)
		for len(batch) < min(pairBatch, tries-p.tried) {
			h, ok := p.next()
			if !ok {
				break
			}
			batch = append(batch, h)
		}
		fits, err := p.weigh(c, reports, batch)
		if err != nil {
			return err
		}
		for i := range batch {
			if fits[i].fits > 0 && !yield(fits[i]) {
				// Go back to behind this one.
				p.heads = before
				for range i + 1 {
					p.next()
				}
				p.tried += i + 1
				return nil
			}
		}
		p.tried += len(batch)
	}
	return nil
}

// weigh returns pairs with what reports leave of each, several worked out at a time.
func (p *pairing) weigh(c *Case, reports []weighed, batch []head) ([]fitting, error) {
	out := make([]fitting, len(batch))
	errs := make([]error, len(batch))
	lifts := slices.ContainsFunc(reports, func(r weighed) bool { return r.ohms != nil && r.lifted == 1 })
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(batch)) {
		wg.Go(func() {
			for i := range next {
				out[i], errs[i] = p.weighOne(c, reports, lifts, batch[i])
			}
		})
	}
	for i := range batch {
		next <- i
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// weighOne returns a pair with what reports leave of it, nothing if it cannot be made: the
// one after the other, or the other way round if it is possible only so.
func (p *pairing) weighOne(c *Case, reports []weighed, lifts bool, h head) (fitting, error) {
	out := fitting{a: h.a, b: h.b, share: h.share, edits: slices.Concat(p.items[h.a].edits, p.items[h.b].edits)}
	m, err := c.made(out.edits, lifts)
	if err != nil {
		out.edits = slices.Concat(p.items[h.b].edits, p.items[h.a].edits)
		if m, err = c.made(out.edits, lifts); err != nil {
			return out, nil
		}
	}
	out.fits, err = c.weighDouble(m, reports)
	return out, err
}
