package lab

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// predictFill asks what volume the box fill rules of the region want for a box, and
// whether the box has it. On generated jobs the volume marked in the box is drawn too.
//
// Steps are the lines of the count. Classes is 1: the sheet says all.
type predictFill struct{}

func (predictFill) Name() string { return "predict box fill" }

func (t predictFill) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

// The two answers to whether a box is large enough.
const (
	choiceFits  = "yes"
	choiceSmall = "no"
)

func (t predictFill) try(j *Job, seed Seed) (*made, error) {
	rng := seed.Rand("predict box fill")
	spec := j.Wiring.Spec()
	metric := j.Region.Box.Column == boxfill.MetricColumn
	unit, step := quantity.CubicInch, quantity.CubicInch/2
	if metric {
		unit, step = quantity.Milliliter, 5*quantity.Milliliter
	}
	w := j.Wiring
	var boxes []string
	for _, b := range boxesOf(w) {
		if len(w.Ends(b)) > 0 {
			boxes = append(boxes, b)
		}
	}
	if len(boxes) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no box with wires in it"}
	}
	box := boxes[rng.IntN(len(boxes))]
	i := slices.IndexFunc(spec.Boxes, func(b wiring.Box) bool { return b.Name == box })
	if len(spec.Boxes[i].Volume.Sections) == 0 {
		// Not known: drawn around what is wanted, clamps too.
		b := &spec.Boxes[i]
		b.Clamps = []wiring.ClampKind{wiring.InternalClamps, wiring.ExternalClamps, wiring.NoClamps}[rng.IntN(3)]
		b.Volume = boxfill.MarkedBox(100 * unit)
		v, err := wiring.New(spec)
		if err != nil {
			return nil, fmt.Errorf("lab: %w", err)
		}
		r, err := fillOf(j, v, box)
		if err != nil {
			return nil, t.base(err)
		}
		off := step * quantity.Volume(rng.IntN(17)-8)
		b.Volume = boxfill.MarkedBox(max(step, (r.Required/step)*step+off))
	}
	w, err := wiring.New(spec)
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	r, err := fillOf(j, w, box)
	if err != nil {
		return nil, t.base(err)
	}
	if r.Required <= 0 || r.Available <= 0 {
		return nil, errAgain
	}
	fits := choiceSmall
	if r.Status.OK() {
		fits = choiceFits
	}
	name := "in3"
	if metric {
		name = "mL"
	}
	fields := []Field{
		{ID: "required", Ask: fmt.Sprintf("What volume does box %s need, in %s?", box, name), Points: 3},
		{ID: "fits", Ask: "Is the box large enough?", Choices: []string{choiceFits, choiceSmall}, Points: 1},
	}
	key := Answer{"required": r.Required.In(unit), "fits": fits}
	clamps := "Its clamps are not stated: count none."
	if c := spec.Boxes[i].Clamps; c != 0 {
		clamps = fmt.Sprintf("Clamps: %s.", c)
	}
	blocks := []Block{
		Text(fmt.Sprintf("Count box %s of %s by the box fill rules of %s. The room in it is %s. %s", box, j.Title, j.Region.Title, r.Available.In(unit), clamps)),
		Text("Cable types and sizes are those of the job file and the picture. " + leadsOf(spec, box)),
		cablesTable(spec, box),
	}
	m := &made{
		draw: func() (Sheet, error) {
			s, err := j.drawn(t.Name(), "Predict the box fill", fields, sheetIntent(j), w, []string{box}, blocks)
			for where, text := range s.Strings() {
				if where != "field required" && strings.Contains(text, r.Required.In(unit)) {
					return Sheet{}, errAgain // a figure that happens to be the answer
				}
			}
			return s, err
		},
		measured: Difficulty{Classes: 1, Steps: len(r.Lines), Places: mostPlaces(j), Gangs: gangsIn(w, box)},
		key:      key,
	}
	m.mark = func(a Answer) Result {
		return score(fields, a, func(f Field, answer string) string {
			if f.ID == "fits" {
				if answer == fits {
					return ""
				}
				return fmt.Sprintf("You say %s. It needs %s and has %s.", answer, r.Required.In(unit), r.Available.In(unit))
			}
			v, err := readVolume(answer, name)
			switch {
			case err != nil:
				return fmt.Sprintf("%s is no volume: write a number and %s.", quoted(answer), name)
			case v != r.Required:
				return fmt.Sprintf("You say %s. The count is: %s.", quoted(answer), sayLines(r, unit))
			}
			return ""
		})
	}
	return m, nil
}

// base returns the first line of an error of a count as one of the base.
func (t predictFill) base(err error) error {
	first, _, _ := strings.Cut(err.Error(), "\n")
	return &BaseError{Task: t.Name(), Lacks: "has a box that cannot be counted: " + first}
}

// fillOf counts a box.
func fillOf(j *Job, w *wiring.Wiring, box string) (boxfill.Result, error) {
	c, err := w.Contents(box)
	if err != nil {
		return boxfill.Result{}, err
	}
	r, err := boxfill.Fill(&j.Region.Box, c)
	if err != nil {
		return r, err
	}
	if len(r.Refusals) > 0 {
		return r, fmt.Errorf("the region has no sure figure for it")
	}
	return r, nil
}

// readVolume reads a volume; a bare number is in the unit that was asked for.
func readVolume(text, unit string) (quantity.Volume, error) {
	text = strings.TrimSpace(text)
	if len(text) > 64 {
		return 0, errors.New("too long")
	}
	if v, err := quantity.ParseVolume(text); err == nil {
		return v, nil
	}
	return quantity.ParseVolume(text + " " + unit)
}

// sayLines returns the lines of a count: "2 spliced conductors at 2 in3: 4 in3".
func sayLines(r boxfill.Result, unit quantity.Volume) string {
	var out []string
	for _, l := range r.Lines {
		if l.Total == 0 {
			continue
		}
		out = append(out, fmt.Sprintf("%d %s, %s", l.Count, l.Item, l.Total.In(unit)))
	}
	return strings.Join(out, "; ") + "; together " + r.Required.In(unit)
}

// cablesTable lists the cables of a box.
func cablesTable(spec wiring.Spec, box string) Table {
	t := Table{Says: "The cables in the box", Head: []string{"cable", "type"}}
	for _, c := range spec.Cables {
		if c.From == box || c.To == box {
			t.Rows = append(t.Rows, []string{c.Name, c.Type.Name})
		}
	}
	return t
}

// leadsOf says what the leads of a light are, where the job does.
func leadsOf(spec wiring.Spec, box string) string {
	for _, l := range spec.Lights {
		if l.Box == box && l.Leads.Valid() {
			return fmt.Sprintf("The leads of %s are %s.", l.Name, l.Leads)
		}
	}
	return "Leads of a light are counted only where their size is stated."
}

// gangsIn is 1 for a box with two devices or more.
func gangsIn(w *wiring.Wiring, box string) int {
	n := 0
	for _, d := range w.Spec().Devices {
		if d.Box == box {
			n++
		}
	}
	return min(1, n/2)
}

// solveFill counts the box of a sheet.
func solveFill(_ context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	for _, b := range boxesOf(j.Wiring) {
		if !strings.HasPrefix(sheet.Fields[0].Ask, "What volume does box "+b+" need, ") {
			continue
		}
		r, err := fillOf(j, j.Wiring, b)
		if err != nil {
			return nil, fmt.Errorf("lab: %w", err)
		}
		a := Answer{"required": r.Required.In(quantity.CubicInch), "fits": choiceSmall}
		if j.Region.Box.Column == boxfill.MetricColumn {
			a["required"] = r.Required.In(quantity.Milliliter)
		}
		if r.Available >= r.Required {
			a["fits"] = choiceFits
		}
		return a, nil
	}
	return nil, errors.New("lab: the sheet names no box")
}
