// Package labtest checks tasks that a program defines for itself.
//
// A lab.Task makes promises: the same exercise for the same seed, a sheet that shows all
// that is needed and not the answer, a key that gets full marks, marking that takes
// whatever comes. One call in a test checks them:
//
//	func TestMyTask(t *testing.T) {
//		labtest.Run(t, myTask{}, base, labtest.Options{})
//	}
//
// Examine returns the same as a value.
//
// It does not know whether the question is a fair one, nor whether the right answer is
// right: give Options.Solve a way to find it without the key.
package labtest

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/lab"
)

// Options say how much is checked. The zero value means the defaults.
type Options struct {
	// Seeds is how many exercises are made, of the seeds from 1; 0 means 8.
	Seeds int
	// Moves is how many moves are made on practice wiring; 0 means 60.
	Moves int
	// Solve finds an answer from what the student has. If it is set, its answer must
	// get full marks, and its practice no danger.
	Solve func(context.Context, lab.Sheet, *lab.Practice) (lab.Answer, error)
}

// Run fails the test with everything that a task does not keep.
func Run(tb testing.TB, task lab.Task, base lab.Base, opt Options) {
	tb.Helper()
	for _, f := range Examine(context.Background(), task, base, opt) {
		tb.Error(f)
	}
}

// Examine returns everything that a task does not keep, in the order of the seeds:
//
//   - Its name is of small letters and single blanks.
//   - Make gives the same exercise twice for one seed, and one within the band that is
//     asked for when that holds the difficulty it had; none outside of a band that is
//     asked for; and nothing but an error for a context that has ended.
//   - The sheet is sound (lab.Sheet.Check), names the task, and is no other after it or
//     the practice was used.
//   - The sheet does not hold the seed, nor an answer of six characters or more to a
//     field that is free.
//   - The key has an answer to every field and to nothing else, and full marks.
//   - Results add up (lab.Result.Check) for the key, for the key without each field, for
//     no answer, and for nonsense and huge ones; the marks of a field that is not
//     answered are lost.
//   - Practice is fresh with each call, does the same again, and takes any moves.
//   - Options.Solve solves it.
func Examine(ctx context.Context, task lab.Task, base lab.Base, opt Options) []string {
	if opt.Seeds == 0 {
		opt.Seeds = 8
	}
	if opt.Moves == 0 {
		opt.Moves = 60
	}
	e := &examination{ctx: ctx, task: task, base: base, opt: opt}
	name := task.Name()
	if name == "" || name != strings.Join(strings.Fields(strings.ToLower(name)), " ") {
		e.add("the name %q is not of small letters and single blanks", name)
	}
	over, cancel := context.WithCancel(ctx)
	cancel()
	if x, err := task.Make(over, base, 1, lab.Band{}); x != nil || !errors.Is(err, context.Canceled) {
		e.add("Make with a context that has ended gives an exercise, or another error: %v", err)
	}
	for n := range opt.Seeds {
		e.seed = lab.Seed(n + 1).Derive("labtest")
		e.exercise()
	}
	return e.faults
}

type examination struct {
	ctx    context.Context
	task   lab.Task
	base   lab.Base
	opt    Options
	seed   lab.Seed
	banded bool // another band was asked for
	faults []string
}

func (e *examination) add(format string, a ...any) {
	e.faults = append(e.faults, fmt.Sprintf("%s, seed %d: ", e.task.Name(), e.seed)+fmt.Sprintf(format, a...))
}

func (e *examination) exercise() {
	x, err := e.task.Make(e.ctx, e.base, e.seed, lab.Band{})
	if err != nil {
		e.add("Make: %v", err)
		return
	}
	sheet, key, hard := x.Sheet(), x.Key(), x.Difficulty()
	if hard.Classes < 1 || hard.Steps < 1 || hard.Places < 0 || hard.Gangs < 0 {
		e.add("the difficulty is not measured: %s", hard)
	}
	level := max(1, hard.Level())
	again, err := e.task.Make(e.ctx, e.base, e.seed, lab.Band{Least: hard.Level(), Most: level})
	switch {
	case err != nil:
		e.add("Make for the level that it has, %d: %v", level, err)
	case !reflect.DeepEqual(again.Sheet(), sheet) || !maps.Equal(again.Key(), key) || again.Difficulty() != hard:
		e.add("Make gives another exercise the second time")
	}
	if !e.banded {
		e.banded = true
		other := lab.Band{Least: level + 1, Most: level + 1}
		if x, err := e.task.Make(e.ctx, e.base, e.seed, other); err == nil && !other.Has(x.Difficulty()) {
			e.add("Make for level %d gives one of level %d", level+1, x.Difficulty().Level())
		}
	}
	if err := sheet.Check(); err != nil {
		e.add("%v", err)
	}
	if sheet.Task != e.task.Name() {
		e.add("the sheet names the task %q", sheet.Task)
	}
	e.leaks(sheet, key)
	e.marks(x, sheet, key)
	if p := x.Practice(); p != nil {
		e.practice(x)
	}
	if !reflect.DeepEqual(x.Sheet(), sheet) {
		e.add("the sheet is another after the exercise was used")
	}
	if e.opt.Solve != nil {
		e.solve(x, sheet)
	}
}

// leaks looks for what gives the answer away.
func (e *examination) leaks(sheet lab.Sheet, key lab.Answer) {
	secret := map[string]string{}
	for _, s := range []string{fmt.Sprintf("%d", uint64(e.seed)), fmt.Sprintf("%x", uint64(e.seed)), fmt.Sprintf("%X", uint64(e.seed))} {
		secret[s] = "the seed"
	}
	for _, f := range sheet.Fields {
		if a := key[f.ID]; f.Choices == nil && len(a) >= 6 {
			secret[a] = "the answer to " + f.ID
		}
	}
	for where, text := range sheet.Strings() {
		for s, what := range secret {
			if strings.Contains(text, s) {
				e.add("%s stands in the sheet, in %s", what, where)
			}
		}
	}
}

func (e *examination) marks(x lab.Exercise, sheet lab.Sheet, key lab.Answer) {
	of := 0
	fields := map[string]bool{}
	for _, f := range sheet.Fields {
		of += f.Points
		fields[f.ID] = true
		a, ok := key[f.ID]
		if !ok {
			e.add("the key does not answer field %s", f.ID)
		}
		if _, ok := f.Choice(a); f.Choices != nil && !ok {
			e.add("the key of field %s is none of its choices", f.ID)
		}
	}
	for id := range key {
		if !fields[id] {
			e.add("the key answers %q, which is no field", id)
		}
	}
	mark := func(what string, a lab.Answer) (r lab.Result) {
		defer func() {
			if v := recover(); v != nil {
				e.add("marking %s panics: %v", what, v)
			}
		}()
		r = x.Mark(a)
		if err := r.Check(sheet); err != nil {
			e.add("%s: %v", what, err)
		}
		return r
	}
	if r := mark("the key", key); r.Points != of {
		e.add("the key gets %d of %d marks: %v", r.Points, of, r.Lost)
	}
	if r := mark("no answer", nil); r.Points != 0 {
		e.add("no answer at all gets %d marks", r.Points)
	}
	if r := mark("an empty answer", lab.Answer{}); r.Points != 0 {
		e.add("an empty answer gets %d marks", r.Points)
	}
	for _, f := range sheet.Fields {
		a := maps.Clone(key)
		delete(a, f.ID)
		if r := mark("the key without "+f.ID, a); r.Points > of-f.Points {
			e.add("without field %s there are %d of %d marks", f.ID, r.Points, of)
		}
	}
	for i, junk := range []string{"\x00\xff", strings.Repeat("x", 1<<20), strings.Repeat("a/b ", 1000), "-1", "99999999999999999999", "\u202e"} {
		a := lab.Answer{"no-such-field": junk}
		for id := range fields {
			a[id] = junk
		}
		mark(fmt.Sprintf("nonsense %d", i+1), a)
	}
}

// practice makes moves at random, twice.
func (e *examination) practice(x lab.Exercise) {
	one, two := x.Practice(), x.Practice()
	rng := rand.New(rand.NewPCG(uint64(e.seed), 1))
	for range e.opt.Moves {
		m := Move(rng, one)
		a, errA := one.Do(m)
		b, errB := two.Do(m)
		if !reflect.DeepEqual(a, b) || (errA == nil) != (errB == nil) {
			e.add("practice: %s comes out otherwise the second time", m)
			return
		}
	}
	if p := x.Practice(); p == one || len(p.Log()) != 0 {
		e.add("practice is not fresh with each call")
	}
}

// Move returns a random move on practice wiring, which may be one that cannot be made.
func Move(rng *rand.Rand, p *lab.Practice) lab.Move {
	verbs, points, switches, boxes := lab.Verbs(), p.Points(), p.Switches(), p.Boxes()
	m := lab.Move{Verb: verbs[rng.IntN(len(verbs))]}
	if len(switches) > 0 {
		m.Switch = switches[rng.IntN(len(switches))]
	}
	if len(boxes) > 0 {
		m.Box = boxes[rng.IntN(len(boxes))]
	}
	if len(points) > 0 {
		for i := range m.Points {
			m.Points[i] = points[rng.IntN(len(points))]
		}
	}
	// As its line says it, without what the verb does not use.
	if n, err := lab.ParseMove(m.String()); err == nil {
		return n
	}
	return m
}

func (e *examination) solve(x lab.Exercise, sheet lab.Sheet) {
	p := x.Practice()
	a, err := e.opt.Solve(e.ctx, sheet, p)
	if err != nil {
		e.add("solving: %v", err)
		return
	}
	if r := x.Mark(a); r.Points != r.Of {
		e.add("the solver gets %d of %d marks: %v", r.Points, r.Of, r.Lost)
	}
	if p != nil {
		for _, d := range p.Dangers() {
			e.add("the solver's move %d is a danger, %s", d.Move+1, d.Kind)
		}
	}
}
