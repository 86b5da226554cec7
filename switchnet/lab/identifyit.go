package lab

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// identifyIt asks where the conductors of one open box go, whose cables nobody has
// marked: to which screw in another box each is joined for good. It takes the ohmmeter
// with a long lead, handles in more than one position, for a closed switch joins too.
//
// Steps are the insulated conductors. Classes are the ways to give each of them one of
// the pieces of metal with screws that there are elsewhere, or none. Practice starts dead
// and locked out.
type identifyIt struct{}

func (identifyIt) Name() string { return "identify the conductors" }

func (t identifyIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

const choiceUnknown = "no screw that is known"

// endsTable is what the table of conductors says it is.
const endsTable = "The conductors, as practice wiring names them"

func (t identifyIt) try(j *Job, seed Seed) (*made, error) {
	rng := seed.Rand("identify the conductors")
	spec := j.Wiring.Spec()
	var boxes []string
	for _, b := range spec.Boxes {
		n := 0
		for _, c := range spec.Cables {
			if (c.From == b.Name) != (c.To == b.Name) {
				n++
			}
		}
		plain := !slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.Box == b.Name })
		if plain && n >= 2 && n <= 6 && !slices.ContainsFunc(spec.Cables, func(c wiring.Cable) bool { return c.From == b.Name && c.To == b.Name }) {
			boxes = append(boxes, b.Name)
		}
	}
	if len(boxes) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no box of two to six cables without a feed in it"}
	}
	x, err := openUnmarked(j, boxes[rng.IntN(len(boxes))], rng.Perm)
	if err != nil {
		return nil, err
	}
	choices := append(slices.Sorted(maps.Keys(x.screws)), choiceUnknown)
	var fields []Field
	key := Answer{}
	right := map[string][]string{}
	table := Table{Says: endsTable, Head: []string{"field", "conductor"}}
	for i, e := range x.ends {
		f := Field{ID: fmt.Sprintf("conductor-%d", i+1), Ask: fmt.Sprintf("What is %s joined to for good, in another box?", e.Wire), Choices: choices, Points: 1}
		fields = append(fields, f)
		table.Rows = append(table.Rows, []string{f.ID, pointText(e.Wire.In(e.Box))})
		for _, c := range choices[:len(choices)-1] {
			if x.there.Net().Joined(e.Wire.In(e.Box), x.screws[c]) {
				right[f.ID] = append(right[f.ID], c)
			}
		}
		if right[f.ID] == nil {
			right[f.ID] = []string{choiceUnknown}
		}
		key[f.ID] = right[f.ID][0]
	}
	if len(fields) < 3 {
		return nil, errAgain
	}
	pieces := map[int]bool{}
	for _, s := range x.screws {
		n, _ := x.there.Net().NetIndex(s)
		pieces[n] = true
	}
	ways := 1.0
	for i := range fields {
		ways *= float64(max(1, len(pieces)+1-i))
	}
	m := &made{
		measured: Difficulty{Classes: int(min(ways, math.MaxInt32)), Steps: len(fields), Places: mostPlaces(j), Gangs: ganged(j.Wiring)},
		key:      key,
		draw: func() (Sheet, error) {
			src, err := j.sheetJob(j.Title, sheetIntent(j), x.drawn.Spec())
			if err != nil {
				return Sheet{}, err
			}
			picture, err := boxPictures(j, x.drawn, []string{x.box})
			if err != nil {
				return Sheet{}, err
			}
			return NewSheet(t.Name(), "Identify the conductors", src, fields, append(append([]Block{
				Text(fmt.Sprintf("Box %s of %s is open, every splice in it parted and every end off its screw. Nobody marked the cables. Everything is locked out. Find out with the ohmmeter and a long lead, on the practice wiring, which screw in another box each insulated conductor is joined to for good: not through a switch, which may join or part when its handle moves. Where several screws are, any of them will do.", x.box, j.Title)),
				controlsTable(j),
			}, picture...), table)...), nil
		},
	}
	m.practice = func() *Practice {
		p, err := x.practice()
		if err != nil {
			panic(fmt.Sprintf("lab: practice of a wiring that was made: %v", err))
		}
		return p
	}
	if _, err := x.practice(); err != nil {
		return nil, err
	}
	m.mark = func(a Answer) Result {
		return score(fields, a, func(f Field, answer string) string {
			if slices.Contains(right[f.ID], answer) {
				return ""
			}
			return fmt.Sprintf("You say %s. It is joined to %s.", answer, strings.Join(right[f.ID], ", "))
		})
	}
	return m, nil
}

// unmarked is a job with one box open, its cables called by names that say nothing.
type unmarked struct {
	j            *Job
	box          string
	there, drawn *wiring.Wiring // what is there, and what the student is told
	ends         []wiring.End   // of insulated conductors in the box
	screws       map[string]switchnet.Terminal
}

func openUnmarked(j *Job, box string, perm func(int) []int) (*unmarked, error) {
	x := &unmarked{j: j, box: box}
	spec := openBox(j, box).spec
	var names []string
	for _, c := range spec.Cables {
		if c.From == box || c.To == box {
			names = append(names, c.Name)
		}
	}
	called := map[string]string{}
	for i, n := range perm(len(names)) {
		called[names[i]] = fmt.Sprintf("M%d", n+1)
	}
	for _, c := range spec.Cables {
		if _, open := called[c.Name]; !open && strings.HasPrefix(c.Name, "M") {
			return nil, errAgain // a name that could be taken for one of these
		}
	}
	rename := func(w *wiring.Wire) {
		if n := called[w.Cable]; n != "" {
			w.Cable = n
		}
	}
	for i := range spec.Cables {
		if n := called[spec.Cables[i].Name]; n != "" {
			spec.Cables[i].Name = n
		}
	}
	for i := range spec.Splices {
		for k := range spec.Splices[i].Join {
			rename(&spec.Splices[i].Join[k].Wire)
		}
	}
	for i := range spec.Landings {
		rename(&spec.Landings[i].Wire)
	}
	for i := range spec.Caps {
		rename(&spec.Caps[i].Wire)
	}
	for i := range spec.Marks {
		rename(&spec.Marks[i].Wire)
	}
	for i := range spec.Opens {
		rename(&spec.Opens[i])
	}
	for i := range spec.Ties {
		rename(&spec.Ties[i].A.Wire)
		rename(&spec.Ties[i].B.Wire)
	}
	spec.Tags = nil
	var err error
	if x.there, err = wiring.New(spec); err != nil {
		return nil, fmt.Errorf("lab: a box left open: %w", err)
	}
	// The student knows what is in the box, and what hangs or stands in the others.
	told := wiring.Spec{Supply: spec.Supply, Installed: spec.Installed, Feeds: spec.Feeds, Boxes: spec.Boxes, Lights: spec.Lights, Devices: spec.Devices}
	for _, c := range spec.Cables {
		if c.From == box || c.To == box {
			c.From, c.To, c.Length = box, "", 0
			told.Cables = append(told.Cables, c)
		}
	}
	slices.SortFunc(told.Cables, func(a, b wiring.Cable) int { return strings.Compare(a.Name, b.Name) })
	for _, m := range spec.Marks {
		if m.Box == box {
			told.Marks = append(told.Marks, m)
		}
	}
	if x.drawn, err = wiring.New(told); err != nil {
		return nil, fmt.Errorf("lab: a box left open: %w", err)
	}
	x.frame(x.drawn, box)
	return x, nil
}

// frame lists the ends that are asked about and the screws that there are.
func (x *unmarked) frame(drawn *wiring.Wiring, box string) {
	spec := drawn.Spec()
	for _, c := range spec.Cables {
		for _, core := range c.Type.Cores {
			if core.Insulated() && core.Colour.String() != "green" && core.Colour.String() != "green/yellow" {
				x.ends = append(x.ends, wiring.End{Box: box, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}})
			}
		}
	}
	x.screws = map[string]switchnet.Terminal{}
	add := func(place, device string, terminals ...string) {
		for _, t := range terminals {
			if place != box && t != "ground" {
				x.screws[fmt.Sprintf("%s of %s in box %s", t, device, place)] = switchnet.Terminal{Place: place, Device: device, Name: t}
			}
		}
	}
	for _, d := range spec.Devices {
		add(d.Box, d.Name, d.Kind.Terminals...)
	}
	for _, l := range spec.Lights {
		if l.On == "" {
			add(l.Box, l.Name, "hot", "neutral")
		}
	}
	for _, f := range spec.Feeds {
		if f.Poles <= 1 {
			add(f.Box, f.Name, "hot", "neutral")
		} else {
			add(f.Box, f.Name, "hot 1", "hot 2", "neutral")
		}
	}
}

func (x *unmarked) practice() (*Practice, error) {
	return NewPractice(x.there, PracticeOptions{Table: &x.j.Region.Conductor, Drawn: x.drawn, Dead: true})
}

// solveIdentify rings out every conductor to every screw, and again with each switch
// moved where that may tell.
func solveIdentify(ctx context.Context, sheet Sheet, j *Job, p *Practice) (Answer, error) {
	if p == nil {
		return nil, errors.New("lab: conductors are not identified without practice wiring")
	}
	ends := map[string]switchnet.Terminal{}
	for _, b := range sheet.Blocks {
		t, ok := b.(Table)
		if !ok || t.Says != endsTable || len(t.Head) < 2 {
			continue
		}
		for _, r := range t.Rows {
			w, err := words(r[1])
			if err != nil || len(w) != 1 || len(w[0]) != 3 {
				return nil, fmt.Errorf("lab: the sheet names no conductor in %q", r[1])
			}
			ends[r[0]] = switchnet.Terminal{Place: w[0][0], Device: w[0][1], Name: w[0][2]}
		}
	}
	x := &unmarked{j: j}
	for _, e := range ends {
		x.box = e.Place
	}
	x.frame(j.Wiring, x.box)
	dead := map[string]bool{}
	rings := func(a, b switchnet.Terminal) (bool, error) {
		for _, t := range []switchnet.Terminal{a, b} {
			if !dead[t.Place] {
				if _, err := p.Do(Move{Verb: ProveDead, Box: t.Place}); err != nil {
					return false, err
				}
				dead[t.Place] = true
			}
		}
		out, err := p.Do(Move{Verb: Continuity, Points: [2]switchnet.Terminal{a, b}})
		return out.Path == trace.Joined, err
	}
	// What may be: every screw that rings in all positions so far.
	may := map[string][]string{}
	for _, f := range sheet.Fields {
		may[f.ID] = slices.Sorted(maps.Keys(x.screws))
	}
	sift := func(first bool) error {
		for _, f := range sheet.Fields {
			if err := ctx.Err(); err != nil {
				return err
			}
			if !first && len(may[f.ID]) == 0 {
				continue
			}
			var left []string
			for _, s := range may[f.ID] {
				ok, err := rings(ends[f.ID], x.screws[s])
				if err != nil {
					return err
				}
				if ok {
					left = append(left, s)
				}
			}
			may[f.ID] = left
		}
		return nil
	}
	if err := sift(true); err != nil {
		return nil, err
	}
	for _, r := range p.Switches() {
		if r.Place == x.box {
			continue // it hangs beside the box
		}
		if _, err := p.Do(Move{Verb: Flip, Switch: r}); err != nil {
			return nil, err
		}
		if err := sift(false); err != nil {
			return nil, err
		}
	}
	out := Answer{}
	for _, f := range sheet.Fields {
		out[f.ID] = choiceUnknown
		if len(may[f.ID]) > 0 {
			out[f.ID] = may[f.ID][0]
		}
	}
	return out, nil
}
