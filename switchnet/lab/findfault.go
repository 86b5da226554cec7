package lab

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// findFault asks which of some faults is in practice wiring, by flips and meters.
//
// Classes are the faults that what the sheet tells leaves. Steps are the looks and
// continuity tests that it takes to make the most telling one each time; none of them is
// a danger, and they single the fault out.
type findFault struct{}

func (findFault) Name() string { return "find the fault" }

func (t findFault) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, func(j *Job, s Seed) (*made, error) { return t.try(ctx, j, s) })
}

// The fewest and the most faults to choose from.
const (
	fewestFaults = 4
	mostFaults   = 14
)

// The words of the sheet that say what is known of the breaker.
const (
	toldTripped = "The breaker opened while the switches were used, and nobody has reset it."
	toldQuiet   = "All switches were used in all positions, and the breaker never opened."
)

func (t findFault) try(ctx context.Context, j *Job, seed Seed) (*made, error) {
	if err := j.sound(t.Name()); err != nil {
		return nil, err
	}
	rng := seed.Rand("find the fault")
	if c := frameOf(j); c.size > maxSearched {
		return nil, &BaseError{Task: t.Name(), Lacks: fmt.Sprintf("has more than %d settings of its switches, too many to search", maxSearched)}
	}
	list := j.list()
	says := map[string]int{}
	for _, f := range list {
		says[f.Says]++
	}
	if len(list) < fewestFaults {
		return nil, &BaseError{Task: t.Name(), Lacks: "has too little that can go wrong"}
	}
	for range tries {
		if x, err := t.pick(ctx, j, rng, list, says); !errors.Is(err, errAgain) {
			return x, err
		}
	}
	return nil, errAgain
}

// pick draws faults to choose from, and the one that is there.
func (t findFault) pick(ctx context.Context, j *Job, rng *rand.Rand, list []miswire.Fault, says map[string]int) (*made, error) {
	w := j.Wiring
	size := fewestFaults + rng.IntN(mostFaults-fewestFaults+1)
	var picked []miswire.Fault
	frame := frameOf(j)
	as := map[string]*wiring.Wiring{}
	for _, i := range rng.Perm(len(list)) {
		f := list[i]
		if says[f.Says] != 1 || len(picked) == size {
			continue
		}
		v, err := f.Apply(w)
		if err != nil {
			return nil, fmt.Errorf("lab: a fault of the list: %w", err)
		}
		if len(frame.lacks(v)) == 0 {
			picked, as[f.Says] = append(picked, f), v
		}
	}
	if len(picked) < 2 {
		return nil, errAgain
	}
	truth := picked[rng.IntN(len(picked))].Says
	// In the order of the list, which says nothing of which it is.
	slices.SortFunc(picked, func(a, b miswire.Fault) int { return slices.IndexFunc(list, same(a)) - slices.IndexFunc(list, same(b)) })
	told := ""
	if rng.IntN(3) > 0 {
		told = toldQuiet
	}
	x := &faulty{j: j, faults: picked, is: slices.IndexFunc(picked, func(f miswire.Fault) bool { return f.Says == truth })}
	for _, f := range picked {
		x.as = append(x.as, as[f.Says])
	}
	x.trips()
	if x.trip[x.is] && told != "" {
		told = toldTripped
	}
	x.told = told
	p, err := x.practice()
	if err != nil {
		return nil, err
	}
	q, err := x.begin(p)
	if err != nil {
		return nil, err
	}
	classes := len(q.left)
	if classes < 2 {
		return nil, errAgain // there is nothing to search
	}
	if err := q.run(ctx); err != nil {
		return nil, err
	}
	if len(q.left) != 1 || q.left[0].name != x.is || len(p.Dangers()) > 0 || x.harmless() {
		return nil, errAgain // no test tells it
	}
	return x.made(t.Name(), Difficulty{Classes: classes, Steps: q.tests, Places: mostPlaces(j), Gangs: ganged(w)})
}

func same(a miswire.Fault) func(miswire.Fault) bool {
	return func(b miswire.Fault) bool { return a.Says == b.Says }
}

// mostPlaces returns the most places from which a light of a job is switched.
func mostPlaces(j *Job) int {
	n := 0
	for _, g := range j.Controls() {
		n = max(n, len(g.Switches))
	}
	return n
}

// begin returns a search in practice wiring that knows what the sheet tells.
func (x *faulty) begin(p *Practice) (*search, error) {
	s := newSearch(x.j, x.as, p)
	if x.told != "" {
		s.told(x.told == toldTripped)
	}
	if x.told == toldTripped {
		return s, nil
	}
	var out Outcome
	if !p.Tripped() {
		var err error
		if out, err = p.Do(Move{Verb: Look}); err != nil {
			return nil, err
		}
	}
	s.saw(out, p.Tripped())
	return s, nil
}

// harmless reports that the wiring with its fault does what it should in every setting,
// and joins what it should.
func (x *faulty) harmless() bool {
	s := newSearch(x.j, []*wiring.Wiring{x.as[x.is], x.j.Wiring}, nil)
	if !slices.Equal(s.left[0].looks, s.left[1].looks) || !slices.Equal(s.left[0].trips, s.left[1].trips) {
		return false
	}
	pairs := pairsOf(slices.Collect(x.j.Wiring.Net().Terminals()))
	for n := range s.c.size {
		a, b := metal(x.as[x.is], s.c.handles(n)), metal(x.j.Wiring, s.c.handles(n))
		for _, p := range pairs {
			if x.as[x.is].Net().Has(p[0]) && x.as[x.is].Net().Has(p[1]) && (a(p[0]) == a(p[1])) != (b(p[0]) == b(p[1])) {
				return false
			}
		}
	}
	return true
}

// faulty is a job with one of some faults.
type faulty struct {
	j      *Job
	faults []miswire.Fault
	as     []*wiring.Wiring // the wiring with each
	is     int
	trip   []bool // whether each is a bolted fault in some setting
	told   string
}

// wirings makes the wiring of each fault.
func (x *faulty) wirings() error {
	x.as = nil
	for _, f := range x.faults {
		w, err := f.Apply(x.j.Wiring)
		if err != nil {
			return fmt.Errorf("lab: a fault of the list: %w", err)
		}
		x.as = append(x.as, w)
	}
	return nil
}

// trips notes which of the wirings are a bolted fault in some setting.
func (x *faulty) trips() {
	c := frameOf(x.j)
	x.trip = make([]bool, len(x.as))
	for i, w := range x.as {
		c.each(w, func(_ int, v *switchnet.View) { x.trip[i] = x.trip[i] || v.Shorted() })
	}
}

// practice returns the wiring with its fault. What is told of the breaker rules out
// some of the others beforehand.
func (x *faulty) practice() (*Practice, error) {
	opt := PracticeOptions{Table: &x.j.Region.Conductor, Drawn: x.j.Wiring, Tripped: x.told == toldTripped}
	for i, w := range x.as {
		if x.told == "" || x.trip[i] == (x.told == toldTripped) {
			opt.Suspects = append(opt.Suspects, w)
		}
	}
	return NewPractice(x.as[x.is], opt)
}

func (x *faulty) made(task string, measured Difficulty) (*made, error) {
	p, err := x.practice()
	if err != nil {
		return nil, err
	}
	f := Field{ID: "fault", Ask: "What is wrong?", Points: 3}
	for _, k := range x.faults {
		f.Choices = append(f.Choices, k.Says)
	}
	now := "Everything is dark: the breaker is open."
	if p.on() {
		lights, _ := p.it.look(p.handles)
		now = "With all handles as drawn at rest: " + sayLights(lights) + "."
	}
	blocks := []Block{
		Text(fmt.Sprintf("%s was wired as drawn here, and one thing is wrong with it, one of those to choose from. Find out which on the practice wiring, with as few tests as you can and without a dangerous one. The handles are mounted as drawn.", x.j.Title)),
	}
	if x.told != "" {
		blocks = append(blocks, Text(x.told))
	}
	blocks = append(blocks, Text(now), controlsTable(x.j))
	m := &made{
		draw: func() (Sheet, error) {
			return x.j.drawn(task, "Find the fault", []Field{f}, sheetIntent(x.j), x.j.Wiring, boxesOf(x.j.Wiring), blocks)
		},
		measured: measured,
		key:      Answer{f.ID: x.faults[x.is].Says},
	}
	m.practice = func() *Practice {
		p, err := x.practice()
		if err != nil {
			panic(fmt.Sprintf("lab: practice of a wiring that was made: %v", err))
		}
		return p
	}
	m.mark = func(a Answer) Result {
		r := score([]Field{f}, a, func(_ Field, answer string) string {
			if answer == x.faults[x.is].Says {
				return ""
			}
			return x.unlike(answer)
		})
		if c, ok := f.Choice(a[f.ID]); ok && len(r.Lost) == 1 && x.near(c) {
			r.Lost[0].Points, r.Points = 2, 1
			r.Lost[0].Why += " It is near, though: the kind of fault is right, or the box."
		}
		return r
	}
	return m, nil
}

// near reports whether a wrong answer is of the kind of the fault, or of its box.
func (x *faulty) near(says string) bool {
	is := x.faults[x.is]
	for _, f := range x.faults {
		if f.Says == says {
			return f.Kind == is.Kind || f.Box != "" && f.Box == is.Box
		}
	}
	return false
}

// unlike says what would show that a wrong answer is wrong.
func (x *faulty) unlike(says string) string {
	i := slices.IndexFunc(x.faults, func(f miswire.Fault) bool { return f.Says == says })
	is, was := newBench(x.as[x.is], &x.j.Region.Conductor), newBench(x.as[i], &x.j.Region.Conductor)
	c := frameOf(x.j)
	for n := range c.size {
		at := c.handles(n)
		a, tripA := is.look(at)
		b, tripB := was.look(at)
		if tripA == tripB && slices.Equal(a, b) {
			continue
		}
		say := func(lights []trace.Seen, tripped bool) string {
			if tripped {
				return "the breaker opens"
			}
			return sayLights(lights)
		}
		return fmt.Sprintf("It is not that: with %s there is %s, and there would be %s.", c.sayHandles(n), say(a, tripA), say(b, tripB))
	}
	return "It is not that. The lights do the same with both, and a meter tells them apart."
}

// solveFault searches the practice wiring of a sheet.
func solveFault(ctx context.Context, sheet Sheet, j *Job, p *Practice) (Answer, error) {
	if p == nil {
		return nil, errors.New("lab: a fault is not found without practice wiring")
	}
	f := sheet.Fields[0]
	x := &faulty{j: j}
	for _, k := range j.list() {
		if slices.Contains(f.Choices, k.Says) {
			x.faults = append(x.faults, k)
		}
	}
	if err := x.wirings(); err != nil {
		return nil, err
	}
	for _, b := range sheet.Blocks {
		if t, ok := b.(Text); ok && (t == toldTripped || t == toldQuiet) {
			x.told = string(t)
		}
	}
	s, err := x.begin(p)
	if err != nil {
		return nil, err
	}
	if err := s.run(ctx); err != nil {
		return nil, err
	}
	if len(s.left) == 0 {
		return nil, errors.New("lab: nothing fits what the practice shows")
	}
	return Answer{f.ID: x.faults[s.left[0].name].Says}, nil
}
