package lab

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// inspectIt asks what an inspection finds, and where: for each of some sorts of finding
// the box or cable, or nowhere. A finding may be about several places; each is right. What
// is wrong is plain to see in where things are landed, spliced and mounted.
//
// Steps are the sorts of finding. Classes are the places to choose from.
type inspectIt struct{}

func (inspectIt) Name() string { return "inspect it" }

func (t inspectIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, func(j *Job, s Seed) (*made, error) { return t.try(ctx, j, s) })
}

const choiceNowhere = "nowhere"

// codesTable is what the table of findings says it is.
const codesTable = "The findings to look for"

// The most sorts of finding that are there and that are not.
const (
	mostThere   = 4
	mostNowhere = 3
)

func (t inspectIt) try(ctx context.Context, j *Job, seed Seed) (*made, error) {
	list := j.list()
	if len(list) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has nothing that can go wrong"}
	}
	rng := seed.Rand("inspect it")
	for range tries {
		if x, err := t.pick(ctx, j, rng, list); !errors.Is(err, errAgain) {
			return x, err
		}
	}
	return nil, errAgain
}

// pick puts faults into a job and asks what is found.
func (t inspectIt) pick(ctx context.Context, j *Job, rng *rand.Rand, list []miswire.Fault) (*made, error) {
	w := j.Wiring
	for range 1 + rng.IntN(2) {
		v, err := list[rng.IntN(len(list))].Apply(w)
		switch {
		case err == nil && !plainToSee(j, v):
			return nil, errAgain
		case err == nil:
			w = v
		case w == j.Wiring:
			return nil, fmt.Errorf("lab: a fault of the list: %w", err)
		}
		// Two faults may not go together, and then there is one.
	}
	found, err := j.findings(ctx, w)
	if err != nil {
		return nil, err
	}
	places := map[check.Code][]string{}
	var there []check.Code
	for _, f := range found {
		if places[f.Code] == nil {
			there = append(there, f.Code)
		}
		for _, p := range append([]check.Place{f.Place}, f.Related...) {
			if s := placeChoice(p); s != "" && !slices.Contains(places[f.Code], s) {
				places[f.Code] = append(places[f.Code], s)
			}
		}
	}
	there = slices.DeleteFunc(there, func(c check.Code) bool { return len(places[c]) == 0 })
	if len(there) == 0 {
		return nil, errAgain
	}
	rng.Shuffle(len(there), func(i, k int) { there[i], there[k] = there[k], there[i] })
	there = there[:min(len(there), mostThere)]
	suite := j.suite
	if suite == nil {
		s := check.Everything(j.Region)
		suite = &s
	}
	docs := map[check.Code]string{}
	var nowhere []check.Code
	for _, r := range suite.Rules {
		docs[r.Code] = r.Doc
		if !slices.ContainsFunc(found, func(f check.Finding) bool { return f.Code == r.Code }) {
			nowhere = append(nowhere, r.Code)
		}
	}
	rng.Shuffle(len(nowhere), func(i, k int) { nowhere[i], nowhere[k] = nowhere[k], nowhere[i] })
	codes := append(slices.Clone(there), nowhere[:min(len(nowhere), 1+rng.IntN(mostNowhere))]...)
	slices.Sort(codes)

	var choices []string
	for _, b := range sortedBoxes(w) {
		choices = append(choices, "box "+b)
	}
	var cables []string
	for _, c := range w.Spec().Cables {
		cables = append(cables, "cable "+c.Name)
	}
	slices.Sort(cables)
	choices = append(append(choices, cables...), choiceNowhere)
	var fields []Field
	key := Answer{}
	right := map[string][]string{}
	table := Table{Says: codesTable, Head: []string{"field", "finding", "what it means"}}
	for i, c := range codes {
		f := Field{ID: fmt.Sprintf("finding-%d", i+1), Ask: fmt.Sprintf("%s: %s Where?", c, docs[c]), Choices: choices, Points: 1}
		fields = append(fields, f)
		table.Rows = append(table.Rows, []string{f.ID, string(c), docs[c]})
		right[f.ID] = []string{choiceNowhere}
		if slices.Contains(there, c) {
			right[f.ID] = places[c]
		}
		key[f.ID] = right[f.ID][0]
	}
	blocks := []Block{
		Text(fmt.Sprintf("Inspect %s as it is drawn here, under %s. For each finding listed, name a box or a cable in which it is, or say that it is nowhere. There may be more findings than are asked about.", j.Title, j.Region.Title)),
		controlsTable(j),
	}
	m := &made{
		draw: func() (Sheet, error) {
			return j.drawn(t.Name(), "Inspect the wiring", fields, sheetIntent(j), w, boxesOf(w), blocks, table)
		},
		measured: Difficulty{Classes: len(choices), Steps: len(fields), Places: mostPlaces(j), Gangs: ganged(w)},
		key:      key,
	}
	m.mark = func(a Answer) Result {
		return score(fields, a, func(f Field, answer string) string {
			switch {
			case slices.Contains(right[f.ID], answer):
				return ""
			case right[f.ID][0] == choiceNowhere:
				return fmt.Sprintf("You say %s. That finding is nowhere in this wiring.", answer)
			}
			return fmt.Sprintf("You say %s. It is found in %s.", answer, strings.Join(right[f.ID], ", "))
		})
	}
	return m, nil
}

// plainToSee reports whether what is wrong with a wiring is in where things are landed,
// spliced and mounted. What touches, is broken in the wall or worn inside a device is
// drawn as a fault, which would give the answer away, and no inspection sees it.
func plainToSee(j *Job, w *wiring.Wiring) bool {
	was, is := j.Wiring.Spec(), w.Spec()
	if len(is.Ties) != len(was.Ties) || len(is.Opens) != len(was.Opens) {
		return false
	}
	known := map[string]bool{}
	for _, k := range slices.Concat(switchnet.Kinds(), j.Kinds) {
		known[k.Name] = true
	}
	return !slices.ContainsFunc(is.Devices, func(d wiring.Device) bool { return !known[d.Kind.Name] })
}

// placeChoice returns a place of a finding as a choice; empty for none.
func placeChoice(p check.Place) string {
	switch {
	case p.Box != "" && p.Box != wiring.UnknownPlace(p.Cable):
		return "box " + p.Box
	case p.Cable != "":
		return "cable " + p.Cable
	}
	return ""
}

// solveInspection inspects the job of a sheet.
func solveInspection(ctx context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	found, err := j.findings(ctx, j.Wiring)
	if err != nil {
		return nil, err
	}
	out := Answer{}
	for _, b := range sheet.Blocks {
		t, ok := b.(Table)
		if !ok || t.Says != codesTable || len(t.Head) < 2 {
			continue
		}
		for _, r := range t.Rows {
			out[r[0]] = choiceNowhere
			for _, f := range found {
				if s := placeChoice(f.Place); string(f.Code) == r[1] && s != "" {
					out[r[0]] = s
					break
				}
			}
		}
	}
	if len(out) == 0 {
		return nil, errors.New("lab: the sheet does not say what is looked for")
	}
	return out, nil
}
