package lab

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// predictSize asks for the smallest conductor that the rules of the region allow for a
// circuit, with loads, lengths and a breaker that are drawn.
//
// Steps are the rules that are looked at on the way to it. Classes are the sizes to
// choose from.
type predictSize struct{}

func (predictSize) Name() string { return "predict size" }

func (t predictSize) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

// methodText says how the cables lie, where the region's ampacities depend on it.
const methodText = "The cables lie by reference method "

func (t predictSize) try(j *Job, seed Seed) (*made, error) {
	rng := seed.Rand("predict size")
	for range tries {
		if x, err := t.pick(j, rng); !errors.Is(err, errAgain) {
			return x, err
		}
	}
	return nil, errAgain
}

// pick draws what the circuit carries.
func (t predictSize) pick(j *Job, rng *rand.Rand) (*made, error) {
	spec := j.Wiring.Spec()
	if len(spec.Feeds) == 0 || len(spec.Lights) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no circuit with lights"}
	}
	feed := rng.IntN(len(spec.Feeds))
	var ratings []quantity.Current
	for _, o := range j.Region.Conductor.Overcurrent {
		if o.Rating <= 32*quantity.Ampere && o.Rating >= 6*quantity.Ampere {
			ratings = append(ratings, o.Rating)
		}
	}
	sizes := sizesOf(j)
	if len(ratings) == 0 || len(sizes) < 2 {
		return nil, &BaseError{Task: t.Name(), Lacks: "is under rules that list no breakers or no sizes of cable: " + j.Region.ID}
	}
	slices.Sort(ratings)
	ratings = slices.Compact(ratings)
	spec.Feeds[feed].Breaker = ratings[rng.IntN(len(ratings))]
	volts := spec.Supply.LineToNeutral
	for i := range spec.Lights {
		// Up to the breaker's all, in steps of 10 W.
		most := int(spec.Feeds[feed].Breaker/quantity.Ampere) * int(volts/quantity.Volt) / 10 / len(spec.Lights)
		spec.Lights[i].Power = quantity.Power(10*(1+rng.IntN(max(1, most)))) * quantity.Watt
	}
	stretch := quantity.Length(1 + rng.IntN(4))
	for i := range spec.Cables {
		spec.Cables[i].Length *= stretch
	}
	w, err := wiring.New(spec)
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	method := ""
	if ms := j.Region.Conductor.Methods; len(ms) > 0 {
		method = ms[rng.IntN(len(ms))].Name
	}
	name := spec.Feeds[feed].Name
	z, err := sizeOf(j, w, name, method)
	if err != nil || z.Status != conductor.Fits {
		return nil, errAgain // no size of the stock serves
	}
	var choices []string
	for _, s := range sizes {
		choices = append(choices, s.String())
	}
	f := Field{ID: "size", Ask: fmt.Sprintf("What is the smallest conductor for the circuit %s?", name), Choices: choices, Points: 2}
	in := j.Intent
	in.Lights, in.Feeds = spec.Lights, spec.Feeds
	k := *j
	k.Intent = in
	loads := Table{Says: "The lights", Head: []string{"light", "box", "load"}}
	for _, l := range spec.Lights {
		loads.Rows = append(loads.Rows, []string{l.Name, l.Box, l.Power.String()})
	}
	cables := Table{Says: "The cables", Head: []string{"cable", "from", "to", "length"}}
	for _, c := range spec.Cables {
		cables.Rows = append(cables.Rows, []string{c.Name, c.From, c.To, c.Length.String()})
	}
	blocks := []Block{
		Text(fmt.Sprintf("The circuit %s of %s has a breaker of %s and %s. All its lights may burn at once for hours. Find the smallest size of conductor, of those in stock, by the rules of %s: for load, breaker and terminations, and for the voltage drop at the farthest light, advice of the code included. The sizes on the drawing are not to be relied on.",
			name, j.Title, spec.Feeds[feed].Breaker, volts, j.Region.Title)),
		loads, cables,
	}
	if method != "" {
		blocks = append(blocks, Text(methodText+method+"."))
	}
	m := &made{
		draw: func() (Sheet, error) {
			return j.drawn(t.Name(), "Predict the size", []Field{f}, sheetIntent(&k), w, nil, blocks)
		},
		measured: Difficulty{Classes: len(choices), Steps: max(1, len(z.Steps)), Places: mostPlaces(j), Gangs: ganged(w)},
		key:      Answer{f.ID: z.Size.String()},
	}
	m.mark = func(a Answer) Result {
		return score([]Field{f}, a, func(_ Field, answer string) string {
			if answer == z.Size.String() {
				return ""
			}
			var why []string
			for _, b := range z.Binding {
				why = append(why, b.String())
			}
			if len(why) == 0 {
				return fmt.Sprintf("You say %s. The smallest in stock will do: %s.", answer, z.Size)
			}
			return fmt.Sprintf("You say %s. It comes to %s, for the next smaller fails by: %s.", answer, z.Size, strings.Join(why, ", "))
		})
	}
	return m, nil
}

// sizesOf returns the sizes of copper in the region's stock of cables, smallest first.
func sizesOf(j *Job) []conductor.Size {
	var out []conductor.Size
	for _, c := range j.Region.Stock.Cables {
		if c.Type.Material == conductor.Copper && !slices.Contains(out, c.Type.Size) {
			out = append(out, c.Type.Size)
		}
	}
	slices.SortFunc(out, conductor.Size.Compare)
	return out
}

// sizeOf sizes the circuit of a feed.
func sizeOf(j *Job, w *wiring.Wiring, feed, method string) (conductor.Sizing, error) {
	ask := j.sizer
	if ask == nil {
		ask = sizerOf(j.Region)
	}
	sizer, err := ask()
	if err != nil {
		return conductor.Sizing{}, fmt.Errorf("lab: %w", err)
	}
	for _, c := range w.Circuits() {
		if c.Feed.Name != feed {
			continue
		}
		q, err := w.Question(c)
		if err != nil {
			return conductor.Sizing{}, fmt.Errorf("lab: %w", err)
		}
		q.Method, q.Stock, q.Grounding, q.AtLeast = method, sizesOf(j), conductor.Size{}, conductor.Size{}
		return sizer.Size(q)
	}
	return conductor.Sizing{}, errors.New("lab: there is no such circuit")
}

// solveSize sizes the circuit of a sheet.
func solveSize(_ context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	method := ""
	for _, b := range sheet.Blocks {
		if t, ok := b.(Text); ok {
			if m, ok := strings.CutPrefix(string(t), methodText); ok {
				method = strings.TrimSuffix(m, ".")
			}
		}
	}
	f := sheet.Fields[0]
	for _, x := range j.Wiring.Spec().Feeds {
		if strings.HasSuffix(f.Ask, " "+x.Name+"?") {
			z, err := sizeOf(j, j.Wiring, x.Name, method)
			return Answer{f.ID: z.Size.String()}, err
		}
	}
	return nil, errors.New("lab: the sheet names no circuit")
}
