package lab

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// wireIt asks where the tagged conductors of switches land: splices are made, the
// switches hang beside the box.
//
// Steps are the ends to land. Classes are the ways to land every end on a screw of its
// box, those that come to the same counted once. Practice starts with the switches
// bare, dead and locked out.
type wireIt struct{}

func (wireIt) Name() string { return "wire it" }

func (t wireIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

func (t wireIt) try(j *Job, seed Seed) (*made, error) {
	groups := j.Controls()
	if len(groups) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no control with all its switches"}
	}
	if err := errors.Join(j.sound(t.Name()), comparable(j, t.Name())); err != nil {
		return nil, err
	}
	// A control, or all of them: the boxes of its switches.
	rng := seed.Rand("wire it")
	var boxes []string
	pick := rng.IntN(len(groups) + 1)
	for i, g := range groups {
		for _, r := range g.Switches {
			if (pick == i || pick == len(groups)) && !slices.Contains(boxes, r.Place) {
				boxes = append(boxes, r.Place)
			}
		}
	}
	// Of many places some are done already.
	for len(boxes) > 1 && rng.IntN(4) == 0 {
		boxes = slices.Delete(boxes, len(boxes)-1, len(boxes))
	}
	o := openSwitches(j, boxes)
	if len(o.slots) < 2 {
		return nil, errAgain
	}
	return o.made(t.Name(), "Wire the switches", boxes,
		fmt.Sprintf("In %s everything is roughed in: cables pulled, splices made, ends tagged. The switches of these boxes are still to be landed: %s. Say which screw each end goes to, and each pigtail, so that the lights obey every switch whatever the others do, and nothing is live that should not be.", j.Title, strings.Join(boxes, ", ")),
		"Which way up a handle ends is not asked. Grounds are done.")
}

// comparable returns an error for a job too large for Compare.
func comparable(j *Job, task string) error {
	if c := frameOf(j); c.size > MaxSettings {
		return &BaseError{Task: task, Lacks: fmt.Sprintf("has more than %d settings of its switches", MaxSettings)}
	}
	return nil
}

// completeIt asks for everything in one box that was left open: what is spliced with
// what, and what lands where. The tags in it are gone.
//
// Steps are the ends, pigtails and leads. Classes are the ways to place them in as many
// splices of the same sizes, those that come to the same counted once.
type completeIt struct{}

func (completeIt) Name() string { return "complete it" }

func (t completeIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

func (t completeIt) try(j *Job, seed Seed) (*made, error) {
	if err := errors.Join(j.sound(t.Name()), comparable(j, t.Name())); err != nil {
		return nil, err
	}
	spec := j.Wiring.Spec()
	var boxes []string
	for _, b := range spec.Boxes {
		if b.Kind != wiring.Panel && len(j.Wiring.Ends(b.Name)) > 0 &&
			!slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.Box == b.Name }) &&
			!slices.ContainsFunc(spec.Ties, func(x wiring.Tie) bool { return x.Box == b.Name }) && simpleBox(spec, b.Name) {
			boxes = append(boxes, b.Name)
		}
	}
	if len(boxes) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no box whose joints can be asked for one by one: each end and screw in at most one splice, no feed, and nothing that touches"}
	}
	box := boxes[seed.Rand("complete it").IntN(len(boxes))]
	o := openBox(j, box)
	if len(o.slots) > maxSlots || o.splices[box] > 20 {
		return nil, errAgain
	}
	return o.made(t.Name(), "Complete the box", []string{box},
		fmt.Sprintf("In %s one box was left open: %s. Everything else is as it should be. Say where each wire's end in it goes: to a screw, into a splice with others, or under a cap; and which screws and leads have a pigtail in a splice. Splices have letters, as you like them; what has one letter is joined.", j.Title, box),
		"A screw takes one wire. Work out from the other boxes what each conductor does.")
}

// maxSlots is how many joints a sheet asks about at most.
const maxSlots = 40

// simpleBox reports whether each screw of a box is in one splice at most, with at most
// one wire on it, and none plugged in, so that one choice says all of it.
func simpleBox(spec wiring.Spec, box string) bool {
	n := map[wiring.Joint]int{}
	for _, s := range spec.Splices {
		if s.Box == box {
			for _, x := range s.Join {
				n[x]++
			}
		}
	}
	for _, l := range spec.Landings {
		if l.Box == box {
			n[wiring.Joint{Device: l.Device, Terminal: l.Terminal}]++
		}
	}
	for _, c := range n {
		if c > 1 {
			return false
		}
	}
	return !slices.ContainsFunc(spec.Lights, func(l wiring.Light) bool { return l.Box == box && l.On != "" })
}

// made makes the exercise of what is open.
func (o *opened) made(task, title string, boxes []string, text ...string) (*made, error) {
	w, err := wiring.New(o.spec)
	if err != nil {
		return nil, fmt.Errorf("lab: a box left open: %w", err)
	}
	var blocks []Block
	for _, t := range text {
		blocks = append(blocks, Text(t))
	}
	blocks = append(blocks, controlsTable(o.j))
	places := 0
	for _, g := range o.j.Controls() {
		if slices.ContainsFunc(g.Switches, func(r switchnet.Ref) bool { return slices.Contains(boxes, r.Place) }) {
			places = max(places, len(g.Switches))
		}
	}
	steps := 0
	for _, s := range o.slots {
		if s.key != choiceNothing {
			steps++
		}
	}
	m := &made{
		draw: func() (Sheet, error) {
			return o.j.drawn(task, title, o.fields(), sheetIntent(o.j), w, boxesOf(w), blocks, o.table())
		},
		measured: Difficulty{Classes: o.ways(), Steps: steps, Places: places, Gangs: ganged(w)},
		key:      o.key(),
		mark:     func(a Answer) Result { return o.mark(context.Background(), a) },
	}
	m.practice = func() *Practice {
		p, err := NewPractice(w, PracticeOptions{Table: &o.j.Region.Conductor, Dead: true})
		if err != nil {
			panic(fmt.Sprintf("lab: practice of a wiring that was made: %v", err))
		}
		return p
	}
	return m, nil
}

// controlsTable says which places switch which lights.
func controlsTable(j *Job) Block {
	t := Table{Says: "What is wanted", Head: []string{"control", "lights", "places"}}
	for _, c := range j.Intent.Controls {
		t.Rows = append(t.Rows, []string{c.Name, strings.Join(c.Lights, ", "), strings.Join(c.Places, ", ")})
	}
	return t
}
