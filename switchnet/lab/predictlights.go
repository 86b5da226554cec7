package lab

import (
	"context"
	"fmt"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// predictLights asks what a light does in every setting of the switches of its control,
// in a wiring that may or may not be as it should.
//
// Steps are the settings. Classes is 1: the sheet says all.
type predictLights struct{}

func (predictLights) Name() string { return "predict lights" }

// What a light may do, as choices.
const (
	choiceLit   = "lit"
	choiceDark  = "dark"
	choiceDim   = "dim"
	choiceOpens = "breaker opens"
)

func (t predictLights) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

// maxPredicted is how many settings a sheet may ask about.
const maxPredicted = 32

func (t predictLights) try(j *Job, seed Seed) (*made, error) {
	rng := seed.Rand("predict lights")
	var groups []draw.Group
	for _, g := range j.Controls() {
		if len(g.Lights) > 0 && len(settingsOf(j.Wiring, g.Switches)) <= maxPredicted {
			groups = append(groups, g)
		}
	}
	if len(groups) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: fmt.Sprintf("has no control with all its switches and at most %d settings", maxPredicted)}
	}
	g := groups[rng.IntN(len(groups))]
	light := g.Lights[rng.IntN(len(g.Lights))]
	w, err := maybeWrong(j, rng, 3)
	if err != nil {
		return nil, err
	}
	var fields []Field
	key := Answer{}
	all := settingsOf(w, g.Switches)
	rng.Shuffle(len(all), func(i, k int) { all[i], all[k] = all[k], all[i] })
	table := Table{Says: settingsTable, Head: []string{"field", "light"}}
	for _, r := range g.Switches {
		table.Head = append(table.Head, refText(r))
	}
	b := newBench(w, &j.Region.Conductor)
	for i, at := range all {
		f := Field{
			ID: fmt.Sprintf("setting-%d", i+1), Ask: fmt.Sprintf("%s, %s: what does %s do?", g.Name, sayHandles(w, g.Switches, at), light.Name),
			Choices: []string{choiceLit, choiceDark, choiceDim, choiceOpens}, Points: 1,
		}
		fields = append(fields, f)
		key[f.ID] = b.does(light, at)
		row := []string{f.ID, refText(light)}
		for _, r := range g.Switches {
			d, _ := w.Net().Device(r)
			row = append(row, d.Kind.Positions[at[r]].Name)
		}
		table.Rows = append(table.Rows, row)
	}
	blocks := []Block{
		Text(fmt.Sprintf("This is how %s is wired. It may be as it should be, and it may not. Say what %s does in each setting of the switches of %s: lit, dark, dim (in series with another), or the breaker opens. All other switches stay as drawn at rest, and each setting begins with the breaker on.",
			j.Title, light.Name, g.Name)),
		Text("Up, down, on and off are the positions that the pictures and the job file name: a three-way that is up joins its common to traveler 1, and down to traveler 2; a four-way that is up joins pair 1 to pair 2 straight, and down crossed."),
	}
	m := &made{
		draw: func() (Sheet, error) {
			return j.drawn(t.Name(), "Predict the lights", fields, sheetIntent(j), w, boxesOf(w), blocks, table)
		},
		measured: Difficulty{Classes: 1, Steps: len(fields), Places: len(g.Switches), Gangs: ganged(w)},
		key:      key,
	}
	m.mark = func(a Answer) Result {
		return score(fields, a, func(f Field, answer string) string {
			if answer == key[f.ID] {
				return ""
			}
			return fmt.Sprintf("You say %s. Follow the line from the breaker to the light and on to the neutral in this setting: it comes to %s.", answer, key[f.ID])
		})
	}
	return m, nil
}

// settingsTable is what the table of settings says it is.
const settingsTable = "The settings, with each switch as practice wiring names it"

// solveLights follows the current in each setting of the sheet's table.
func solveLights(_ context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	b := newBench(j.Wiring, &j.Region.Conductor)
	out := Answer{}
	for _, x := range sheet.Blocks {
		t, ok := x.(Table)
		if !ok || t.Says != settingsTable || len(t.Head) < 2 {
			continue
		}
		for _, row := range t.Rows {
			light, err := words(row[1])
			if err != nil || len(light) != 1 || len(light[0]) != 2 {
				return nil, fmt.Errorf("lab: the sheet names no light in %q", row[1])
			}
			at := map[switchnet.Ref]int{}
			for i, h := range t.Head[2:] {
				w, err := words(h)
				if err != nil || len(w) != 1 || len(w[0]) != 2 {
					return nil, fmt.Errorf("lab: the sheet names no switch in %q", h)
				}
				r := switchnet.Ref{Place: w[0][0], Name: w[0][1]}
				d, _ := j.Wiring.Net().Device(r)
				n, ok := d.Kind.Position(row[i+2])
				if !ok {
					return nil, fmt.Errorf("lab: %s has no position %q", h, row[i+2])
				}
				at[r] = n
			}
			out[row[0]] = b.does(switchnet.Ref{Place: light[0][0], Name: light[0][1]}, at)
		}
	}
	return out, nil
}

// sheetIntent returns of a job's intent what a sheet may say beside a wiring.
func sheetIntent(j *Job) intent.Intent {
	in := j.Intent
	in.Runs, in.Stock = nil, nil
	return in
}

// boxesOf returns the boxes of a wiring but for panels, in the order of its spec.
func boxesOf(w *wiring.Wiring) []string {
	var out []string
	for _, b := range w.Spec().Boxes {
		if b.Kind != wiring.Panel {
			out = append(out, b.Name)
		}
	}
	return out
}

// does returns what a light does in a setting, as a choice.
func (b *bench) does(light switchnet.Ref, at map[switchnet.Ref]int) string {
	v := b.view(b.state(at, true))
	if v.Shorted() {
		return choiceOpens
	}
	switch s, _ := v.Supply(light); s.Status {
	case switchnet.Lit:
		return choiceLit
	case switchnet.Dim:
		return choiceDim
	}
	return choiceDark
}

// settingsOf returns every setting of some switches, by number of position, the last
// switch fastest.
func settingsOf(w *wiring.Wiring, switches []switchnet.Ref) []map[switchnet.Ref]int {
	out := []map[switchnet.Ref]int{{}}
	for _, r := range switches {
		d, _ := w.Net().Device(r)
		var next []map[switchnet.Ref]int
		for _, at := range out {
			for p := range d.Kind.Positions {
				m := map[switchnet.Ref]int{r: p}
				for k, v := range at {
					m[k] = v
				}
				next = append(next, m)
			}
		}
		if out = next; len(out) > 1<<12 {
			return out
		}
	}
	return out
}

// sayHandles returns "store-door up, loft down".
func sayHandles(w *wiring.Wiring, switches []switchnet.Ref, at map[switchnet.Ref]int) string {
	var out []string
	for _, r := range switches {
		d, _ := w.Net().Device(r)
		out = append(out, r.Place+" "+d.Kind.Positions[at[r]].Name)
	}
	return strings.Join(out, ", ")
}
