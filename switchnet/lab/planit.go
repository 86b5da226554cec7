package lab

import (
	"context"
	"errors"
	"fmt"
	"math/big"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// planIt asks which cable goes along which run, at least cost. Any plan that costs as
// little is right.
//
// Steps are the runs. Classes are the trees of runs that reach every box. On a base that
// is one job there is one exercise, whatever the seed.
type planIt struct{}

func (planIt) Name() string { return "plan it" }

// moreRuns is how many runs a recipe that names none has beside those that reach
// everything, for this task.
var moreRuns = Range{1, 3}

func (t planIt) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	if base.recipe != nil && base.recipe.Spare == (Range{}) {
		r := *base.recipe
		r.Spare = moreRuns
		base.recipe = &r
	}
	return find(ctx, t.Name(), base, seed, want, func(j *Job, _ Seed) (*made, error) {
		x, err := t.try(ctx, j)
		if base.Fixed() && errors.Is(err, errAgain) {
			err = &BaseError{Task: t.Name(), Lacks: "has no plan that is known to cost least and takes one cable a run at most"}
		}
		return x, err
	})
}

const choiceNone = "none"

// The most runs and cables that a sheet asks about.
const (
	maxRuns   = 30
	maxStocks = 6
)

// runsTable is what the table of runs says it is.
const runsTable = "Where a cable could go"

func (t planIt) try(ctx context.Context, j *Job) (*made, error) {
	in := j.Intent
	if len(in.Runs) == 0 || len(in.Controls) == 0 || len(in.Runs) > maxRuns {
		return nil, &BaseError{Task: t.Name(), Lacks: fmt.Sprintf("says of no control where it should be, or not along which of at most %d runs cables could go", maxRuns)}
	}
	if slices.ContainsFunc(in.Runs, func(r intent.Run) bool { return r.Raceway || r.Existing }) {
		return nil, &BaseError{Task: t.Name(), Lacks: "has raceways or cables that lie there already, which the sheet does not ask about"}
	}
	if len(in.Stock) == 0 {
		in.Stock = smallStock(j)
	}
	if len(in.Stock) == 0 {
		return nil, &BaseError{Task: t.Name(), Lacks: "has no stock of cables, and its region " + j.Region.ID + " has none"}
	}
	best, err := plan.New(ctx, in, j.Region, nil)
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	used := usedRuns(best, len(in.Runs))
	if best.Status != plan.Optimal || used == nil {
		return nil, errAgain
	}
	choices := []string{choiceNone}
	for _, s := range in.Stock {
		choices = append(choices, s.Cable.Name)
	}
	if len(choices) > 2*maxStocks {
		return nil, &BaseError{Task: t.Name(), Lacks: "has too many cables in stock to choose from"}
	}
	var fields []Field
	key := Answer{}
	table := Table{Says: runsTable, Head: []string{"field", "from", "to", "length"}}
	for i, r := range in.Runs {
		f := Field{ID: fmt.Sprintf("run-%d", i+1), Ask: fmt.Sprintf("Which cable goes from %s to %s?", r.From, r.To), Choices: choices, Points: 1}
		fields = append(fields, f)
		key[f.ID] = choiceNone
		if used[i] != "" {
			key[f.ID] = used[i]
		}
		table.Rows = append(table.Rows, []string{f.ID, r.From, r.To, r.Length.String()})
	}
	k := *j
	k.Intent = in
	places := 0
	for _, c := range in.Controls {
		places = max(places, len(c.Places))
	}
	gangs := 0
	for _, b := range in.Boxes {
		if b.Gangs > 1 {
			gangs++
		}
	}
	lights := Table{Says: "The lights", Head: []string{"light", "box"}}
	for _, l := range in.Lights {
		lights.Rows = append(lights.Rows, []string{l.Name, l.Box})
	}
	feeds := Table{Says: "The circuits", Head: []string{"circuit", "box"}}
	for _, x := range in.Feeds {
		feeds.Rows = append(feeds.Rows, []string{x.Name, x.Box})
	}
	m := &made{
		draw: func() (Sheet, error) {
			src, err := j.sheetJob(j.Title, in, wiring.Spec{})
			return NewSheet(t.Name(), "Plan the cables", src, fields,
				Text(fmt.Sprintf("Plan the wiring of %s under %s at least cost. A cable costs its length times its conductors, the ground included, unless the job file weighs its stock or the region has prices. Each control is a chain of three-ways and four-ways, or a single-pole switch; conductors of a circuit take the only way that there is, so that the runs form a tree; and wherever the region wants it, the neutral comes to every switch. One cable at most goes along a run.", j.Title, j.Region.Title)),
				controlsTable(&k), lights, feeds, table), err
		},
		measured: Difficulty{Classes: treesOf(in), Steps: len(fields), Places: places, Gangs: gangs},
		key:      key,
	}
	m.mark = func(a Answer) Result {
		why := planWhy(j, in, fields, a, best)
		r := score(fields, a, func(f Field, answer string) string {
			if why == "" || answer == key[f.ID] {
				return ""
			}
			return fmt.Sprintf("You say %s. At least cost it is %s.", answer, key[f.ID])
		})
		if why == "" {
			return r
		}
		if len(r.Lost) == 0 {
			r.Lost, r.Points = []Loss{{Field: fields[0].ID, Points: 1}}, r.Of-1
		}
		if r.Lost[0].Why != "" {
			r.Lost[0].Why += " "
		}
		r.Lost[0].Why += "As you have it: " + why
		return r
	}
	return m, nil
}

// smallStock returns the region's cables of the smallest size of copper, with a ground,
// built as the first of them is: at most maxStocks, in the order of the region.
func smallStock(j *Job) []intent.Stock {
	sizes := sizesOf(j)
	var out []intent.Stock
	for _, c := range j.Region.Stock.Cables {
		if len(sizes) > 0 && c.Type.Size == sizes[0] && c.Type.Material == conductor.Copper && (len(out) == 0 || c.Type.Construction == out[0].Cable.Construction) &&
			c.Type.GroundingSize().Valid() && len(out) < maxStocks {
			out = append(out, intent.Stock{Cable: c.Type})
		}
	}
	return out
}

// usedRuns returns the cable of each run of a plan, empty for none; nil if a run has two.
func usedRuns(p *plan.Plan, runs int) []string {
	out := make([]string, runs)
	for _, c := range p.Cables {
		if out[c.Run] != "" {
			return nil
		}
		out[c.Run] = c.Type
	}
	return out
}

// planWhy returns what is wrong with a choice of cables, or nothing.
func planWhy(j *Job, in intent.Intent, fields []Field, a Answer, best *plan.Plan) string {
	named := map[string]conductor.CableType{}
	for _, s := range in.Stock {
		named[s.Cable.Name] = s.Cable
	}
	mine := in
	mine.Runs = nil
	for i, f := range fields {
		c, ok := f.Choice(a[f.ID])
		if !ok || c == choiceNone {
			continue
		}
		r := in.Runs[i]
		r.Cable = named[c]
		mine.Runs = append(mine.Runs, r)
	}
	p, err := plan.New(context.Background(), mine, j.Region, nil)
	if err != nil {
		return "some box is not reached."
	}
	if !p.Status.OK() {
		return lacks(p)
	}
	// One at most along each run, as the sheet says.
	used := usedRuns(p, len(mine.Runs))
	switch {
	case used == nil:
		return "a run would need two cables."
	case slices.Contains(used, ""):
		return "a cable goes where none is needed."
	case p.Cost != best.Cost:
		return fmt.Sprintf("it does all that is wanted, and costs %s %s where %s will do.", p.Cost, p.Unit, best.Cost)
	}
	return ""
}

// treesOf returns how many trees of runs reach every box that a run reaches: the
// determinant of the Laplacian of the runs without its last row and column (Kirchhoff,
// Ueber die Aufloesung der Gleichungen, 1847), exact, by elimination without fractions
// (Bareiss, Sylvester's identity and multistep integer-preserving Gaussian elimination,
// 1968). It is 1 where there is none, and 1<<30 where there are more.
func treesOf(in intent.Intent) int {
	at := map[string]int{}
	for _, r := range in.Runs {
		for _, b := range []string{r.From, r.To} {
			if _, ok := at[b]; !ok {
				at[b] = len(at)
			}
		}
	}
	m := make([][]*big.Int, len(at))
	for i := range m {
		for range at {
			m[i] = append(m[i], new(big.Int))
		}
	}
	one := big.NewInt(1)
	for _, r := range in.Runs {
		a, b := at[r.From], at[r.To]
		m[a][a].Add(m[a][a], one)
		m[b][b].Add(m[b][b], one)
		m[a][b].Sub(m[a][b], one)
		m[b][a].Sub(m[b][a], one)
	}
	n := len(at) - 1
	last := one
	for k := range max(n, 0) {
		// A Laplacian's leading minors are above zero if the runs hang together.
		if m[k][k].Sign() == 0 {
			return 1
		}
		for i := k + 1; i < n; i++ {
			for c := k + 1; c < n; c++ {
				x := new(big.Int).Mul(m[i][c], m[k][k])
				x.Sub(x, new(big.Int).Mul(m[i][k], m[k][c]))
				m[i][c] = x.Quo(x, last)
			}
		}
		last = m[k][k]
	}
	if !last.IsInt64() || last.Int64() > 1<<30 {
		return 1 << 30
	}
	return int(last.Int64())
}

// solvePlan plans the job of a sheet.
func solvePlan(ctx context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	p, err := plan.New(ctx, j.Intent, j.Region, nil)
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	used := usedRuns(p, len(j.Intent.Runs))
	if !p.Status.OK() || used == nil || len(sheet.Fields) != len(used) {
		return nil, errors.New("lab: the job cannot be planned with one cable a run")
	}
	out := Answer{}
	for i, f := range sheet.Fields {
		// The choices after the first are the stock, in its order.
		k := slices.IndexFunc(j.Intent.Stock, func(s intent.Stock) bool { return s.Cable.Name == used[i] })
		if k+1 >= len(f.Choices) {
			return nil, errors.New("lab: the sheet does not offer the stock of its job")
		}
		out[f.ID] = f.Choices[k+1]
	}
	return out, nil
}
