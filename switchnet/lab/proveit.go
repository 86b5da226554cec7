package lab

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// proveIt asks for a walk of single flips that would show up any of some faults.
//
// Steps are the flips of the shortest walk. Classes are the faults, those that behave
// alike counted once, and the sound job.
type proveIt struct{}

func (proveIt) Name() string { return "prove it" }

func (t proveIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, func(j *Job, s Seed) (*made, error) { return t.try(ctx, j, s) })
}

// maxProved is how many settings a job may have for a walk to be asked for.
const maxProved = 64

// faultsList begins the list of faults of a sheet.
const faultsList = "The faults that the walk has to show up:"

func (t proveIt) try(ctx context.Context, j *Job, seed Seed) (*made, error) {
	if err := j.sound(t.Name()); err != nil {
		return nil, err
	}
	rng := seed.Rand("prove it")
	frame := frameOf(j)
	if frame.size > maxProved || frame.size < 2 || len(frame.switches) > 26 {
		return nil, &BaseError{Task: t.Name(), Lacks: fmt.Sprintf("has no switches, or more than %d settings of them", maxProved)}
	}
	list := j.list()
	says := map[string]int{}
	for _, f := range list {
		says[f.Says]++
	}
	size := 3 + rng.IntN(8)
	var picked []miswire.Fault
	for _, i := range rng.Perm(len(list)) {
		if f := list[i]; says[f.Says] == 1 && len(picked) < size {
			picked = append(picked, f)
		}
	}
	slices.SortFunc(picked, func(a, b miswire.Fault) int { return slices.IndexFunc(list, same(a)) - slices.IndexFunc(list, same(b)) })
	walk, seen, classes, err := shortestWalk(ctx, j, picked)
	if err != nil {
		return nil, err
	}
	if len(seen) < 2 || len(walk.Flips) < 2 || !walk.Shortest {
		return nil, errAgain
	}
	w, err := newWalkers(j, seen)
	if err != nil {
		return nil, err
	}
	var flips []int
	for _, r := range walk.Flips {
		flips = append(flips, slices.Index(frame.switches, r))
	}
	if len(w.missed(flips)) > 0 {
		// Only a mark on a handle shows it, such as off on a switch that is on.
		return nil, errAgain
	}
	var letters List
	for i, r := range frame.switches {
		letters = append(letters, fmt.Sprintf("%c: the switch %s", 'A'+i, refText(r)))
	}
	var key []string
	for _, r := range walk.Flips {
		key = append(key, w.letter(r))
	}
	faults := List{faultsList}
	for _, f := range seen {
		faults = append(faults, f.Says)
	}
	f := Field{ID: "walk", Ask: "Which switches do you move, in order? Write their letters, with blanks between.", Points: 4}
	blocks := []Block{
		Text(fmt.Sprintf("%s is wired as drawn, rung out dead, and energized. Walk through it and move one switch at a time, to its next position, looking at all lights before the first flip and after each: write the shortest walk that would show up each of the faults below. That is: whichever of them it is, however its handles are mounted and wherever they stood, the lights at some step do what they never would in a sound job that has looked the same so far, or the breaker opens.", j.Title)),
		controlsTable(j), letters, faults,
	}
	m := &made{
		draw: func() (Sheet, error) {
			return j.drawn(t.Name(), "Prove the wiring", []Field{f}, sheetIntent(j), j.Wiring, nil, blocks)
		},
		measured: Difficulty{Classes: classes, Steps: len(walk.Flips), Places: mostPlaces(j), Gangs: ganged(j.Wiring)},
		key:      Answer{f.ID: strings.Join(key, " ")},
	}
	m.mark = func(a Answer) Result {
		r := Result{Of: f.Points}
		lose := func(n int, why string) Result {
			r.Points, r.Lost = f.Points-n, []Loss{{f.ID, n, why}}
			return r
		}
		text := a[f.ID]
		if plain(text) == "" {
			return lose(f.Points, "It is not answered.")
		}
		flips, why := w.read(text)
		if why != "" {
			return lose(f.Points, why)
		}
		missed := w.missed(flips)
		switch best := len(walk.Flips); {
		case len(missed) > 0:
			shown := len(seen) - len(missed)
			return lose(max(2, f.Points-2*shown/len(seen)), fmt.Sprintf("The walk shows up %d of the %d faults. It would not show, for one, that %s.", shown, len(seen), missed[0].Says))
		case len(flips) > 2*best:
			return lose(2, fmt.Sprintf("The walk shows them all, with %d flips where %d do.", len(flips), best))
		case len(flips) > best:
			return lose(1, fmt.Sprintf("The walk shows them all, with %d flips where %d do.", len(flips), best))
		}
		r.Points = f.Points
		return r
	}
	return m, nil
}

// shortestWalk returns the shortest walk for those of some faults that lights show, and
// how many classes these are, the sound one included.
func shortestWalk(ctx context.Context, j *Job, faults []miswire.Fault) (w trace.Walk, seen []miswire.Fault, classes int, err error) {
	c, err := trace.New(ctx, j.Wiring, &trace.Options{Faults: faults})
	if err != nil {
		return w, nil, 0, fmt.Errorf("lab: %w", err)
	}
	shown := map[string]bool{}
	for _, k := range c.Classes() {
		if k.Seen || k.Sound {
			classes++
		}
		for _, x := range k.Causes {
			shown[x.Fault.Says] = k.Seen && !k.Sound
		}
	}
	for _, f := range faults {
		if shown[f.Says] {
			seen = append(seen, f)
		}
	}
	w, err = c.Walk(ctx, &trace.WalkOptions{Width: 500})
	if err != nil {
		return w, nil, 0, fmt.Errorf("lab: %w", err)
	}
	return w, seen, classes, nil
}

// walkers are a sound job and faulty ones, that a walk goes through.
type walkers struct {
	c      comparison
	faults []miswire.Fault
	sound  []uint64   // looks by setting
	faulty [][]uint64 // by fault
}

func newWalkers(j *Job, faults []miswire.Fault) (*walkers, error) {
	w := &walkers{c: frameOf(j), faults: faults}
	ws := []*wiring.Wiring{j.Wiring}
	for _, f := range faults {
		v, err := f.Apply(j.Wiring)
		if err != nil {
			return nil, fmt.Errorf("lab: a fault of the list: %w", err)
		}
		if len(w.c.lacks(v)) > 0 {
			return nil, errAgain
		}
		ws = append(ws, v)
	}
	s := newSearch(j, ws, nil)
	for i, x := range s.left {
		for n := range x.looks {
			if x.trips[n] {
				x.looks[n] = 0 // no look's digest
			}
		}
		if i == 0 {
			w.sound = x.looks
		} else {
			w.faulty = append(w.faulty, x.looks)
		}
	}
	return w, nil
}

func (w *walkers) letter(r switchnet.Ref) string {
	return string(rune('A' + slices.Index(w.c.switches, r)))
}

// maxFlips is how long a walk may be to be marked.
const maxFlips = 1000

// read reads a walk: letters with blanks or commas between. It returns why that is none.
func (w *walkers) read(text string) (flips []int, why string) {
	if len(text) > maxAnswer {
		return nil, "The walk is too long to be one."
	}
	var out []int
	for _, word := range strings.FieldsFunc(strings.ToUpper(text), func(r rune) bool { return unicode.IsSpace(r) || r == ',' }) {
		if len(word) != 1 || word[0] < 'A' || int(word[0]-'A') >= len(w.c.switches) {
			return nil, fmt.Sprintf("%s is no letter of a switch; write letters from A to %c with blanks between.", quoted(word), 'A'+len(w.c.switches)-1)
		}
		out = append(out, int(word[0]-'A'))
	}
	if len(out) > maxFlips {
		return nil, "The walk is too long to be one."
	}
	return out, ""
}

// missed returns the faults that a walk does not show up: from some setting of the faulty
// job there is one of the sound job that looks the same at every step.
func (w *walkers) missed(flips []int) []miswire.Fault {
	weight := make([]int, len(w.c.kinds))
	n := 1
	for i, k := range w.c.kinds {
		weight[i] = n
		n *= len(k.Positions)
	}
	next := func(at, i int) int {
		k := len(w.c.kinds[i].Positions)
		if at/weight[i]%k == k-1 {
			return at - weight[i]*(k-1)
		}
		return at + weight[i]
	}
	var out []miswire.Fault
	for i, looks := range w.faulty {
		alike := false
		for y := range looks {
			for z := range w.sound {
				a, b := y, z
				same := looks[a] == w.sound[b]
				for _, f := range flips {
					if !same {
						break
					}
					a, b = next(a, f), next(b, f)
					same = looks[a] == w.sound[b]
				}
				alike = alike || same
			}
		}
		if alike {
			out = append(out, w.faults[i])
		}
	}
	return out
}

// solveProof finds the shortest walk for the faults of a sheet.
func solveProof(ctx context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	var faults []miswire.Fault
	for _, b := range sheet.Blocks {
		l, ok := b.(List)
		if !ok || len(l) == 0 || l[0] != faultsList {
			continue
		}
		for _, f := range j.list() {
			if slices.Contains(l[1:], f.Says) {
				faults = append(faults, f)
			}
		}
	}
	walk, _, _, err := shortestWalk(ctx, j, faults)
	if err != nil {
		return nil, err
	}
	c := frameOf(j)
	var out []string
	for _, r := range walk.Flips {
		out = append(out, string(rune('A'+slices.Index(c.switches, r))))
	}
	return Answer{sheet.Fields[0].ID: strings.Join(out, " ")}, nil
}
