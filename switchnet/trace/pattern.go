package trace

import (
	"context"
	"runtime"
	"sync"
)

// What an ohmmeter may find between two points, as far as one hypothesis knows.
const (
	findsOpen    = iota
	findsThrough // a light that reads as a resistance
	findsJoined
	findsEither // a light with a driver: open or through a load
	finds
)

// finds returns what a continuity test comes to.
func (x *ways) finds(p, q int) byte {
	switch {
	case x.metal[p] == x.metal[q]:
		return findsJoined
	case x.loads[p] != x.loads[q]:
		return findsOpen
	case x.lamps[p] == x.lamps[q]:
		return findsThrough
	}
	return findsEither
}

// findWeight says how likely each finding is.
func findWeight(kind byte, found Path) float64 {
	switch {
	case kind == findsEither && found != Joined:
		return 0.5
	case kind == findsOpen && found == Open, kind == findsThrough && found == Through, kind == findsJoined && found == Joined:
		return 1
	}
	return 0
}

// pattern is what one continuity test comes to in every true setting.
type pattern struct {
	kinds string // by true setting
	one   bool   // the same in all
	mask  int    // the switches of unknown sense that it depends on, by their bits
	high  bool   // whether it depends on any other switch
	// key numbers true settings that differ in nothing that it depends on, so that the
	// key of an exclusive or with a sense is that of the keys; at is what it comes to.
	key  []uint32
	keys int
	at   []byte
}

func (sp *space) pattern(kinds string) *pattern {
	p := &pattern{kinds: kinds, one: true}
	low := 1<<sp.bits - 1
	for y := range kinds {
		p.one = p.one && kinds[y] == kinds[0]
		p.high = p.high || kinds[y] != kinds[y&low]
		for b := range sp.bits {
			if kinds[y] != kinds[y^1<<b] {
				p.mask |= 1 << b
			}
		}
	}
	if p.one {
		return p
	}
	p.key = make([]uint32, len(kinds))
	width := 0
	for b := range sp.bits {
		if p.mask>>b&1 == 1 {
			for y := range p.key {
				p.key[y] |= uint32(y>>b&1) << width
			}
			width++
		}
	}
	p.keys = 1 << width
	if p.high {
		for y := range p.key {
			p.key[y] |= uint32(y>>sp.bits) << width
		}
		p.keys *= max(1, sp.size>>sp.bits)
	}
	p.at = make([]byte, p.keys)
	for y, k := range p.key {
		p.at[k] = kinds[y]
	}
	return p
}

// table is the patterns of one class: on the bar and with the neutrals lifted, by pair.
type table [2][]*pattern

// patterns keeps tables of classes, and each pattern once. It is safe for concurrent use.
type patterns struct {
	stations []station
	pairs    []pair // of all stations
	number   map[pair]int

	mu     sync.Mutex
	byKind map[string]*pattern
	tables map[int]table
}

func newPatterns(c *Case) *patterns {
	t := &patterns{stations: c.stations(), number: map[pair]int{}, byKind: map[string]*pattern{}, tables: map[int]table{}}
	for i := range t.stations {
		t.stations[i].first = len(t.pairs)
		for _, p := range t.stations[i].pairs {
			if _, ok := t.number[p]; !ok {
				t.number[p] = len(t.pairs)
				t.number[pair{p.q, p.p}] = len(t.pairs)
			}
			t.pairs = append(t.pairs, p)
		}
	}
	return t
}

// What a case keeps before it begins anew: patterns by pair and class, and settings of all
// patterns together.
const (
	maxPatterns = 5_000_000
	maxKinds    = 20_000_000
)

// deadTables returns the tables of classes, those that are not there made now. That takes
// time in proportion to the settings times the pairs of points, once for a class.
func (c *Case) deadTables(ctx context.Context, classes []int) ([]table, error) {
	t := c.patterns
	out := make([]table, len(classes))
	var missing []int
	t.mu.Lock()
	if len(t.tables)*2*len(t.pairs) > maxPatterns || len(t.byKind)*c.f.sp.size > maxKinds {
		clear(t.tables)
		clear(t.byKind)
	}
	for i, k := range classes {
		var ok bool
		if out[i], ok = t.tables[k]; !ok {
			missing = append(missing, i)
		}
	}
	t.mu.Unlock()
	if len(missing) == 0 {
		return out, ctx.Err()
	}
	errs := make([]error, len(classes))
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(missing)) {
		wg.Go(func() {
			for i := range next {
				out[i], errs[i] = c.deadTable(classes[i])
			}
		})
	}
	for _, i := range missing {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, i := range missing {
		t.tables[classes[i]] = out[i]
	}
	return out, nil
}

func (c *Case) deadTable(class int) (table, error) {
	m, err := c.modelOf(class)
	if err != nil {
		return table{}, err
	}
	t := c.patterns
	r := c.f.reader(m)
	size := c.f.sp.size
	var out table
	kinds := make([]byte, size*len(t.pairs))
	for k, circuit := range []*circuit{m.whole, m.lifted} {
		if k == 1 && circuit == m.whole {
			out[1] = out[0]
			break
		}
		for y := range size {
			w := r.ways(circuit, y)
			for i, at := range t.pairs {
				kinds[i*size+y] = w.finds(at.p, at.q)
			}
		}
		out[k] = make([]*pattern, len(t.pairs))
		t.mu.Lock()
		for i := range t.pairs {
			row := kinds[i*size : (i+1)*size]
			p := t.byKind[string(row)]
			if p == nil {
				p = c.f.sp.pattern(string(row))
				t.byKind[p.kinds] = p
			}
			out[k][i] = p
		}
		t.mu.Unlock()
	}
	return out, nil
}
