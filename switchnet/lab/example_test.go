package lab_test

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/labtest"
)

// countWires is a task of a program's own: how many wires' ends are in a box?
type countWires struct{}

func (countWires) Name() string { return "count the wires" }

func (t countWires) Make(ctx context.Context, base lab.Base, seed lab.Seed, want lab.Band) (lab.Exercise, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	job, err := base.Draw(ctx, seed)
	if err != nil {
		return nil, err
	}
	boxes := job.Wiring.Spec().Boxes
	box := boxes[seed.Rand(t.Name()).IntN(len(boxes))].Name
	c := counted{box, len(job.Wiring.Ends(box))}
	if d := c.Difficulty(); !want.Has(d) {
		return nil, &lab.BandError{Task: t.Name(), Want: want, Tried: 1, Nearest: d}
	}
	return c, nil
}

type counted struct {
	box string
	n   int
}

func (c counted) field() lab.Field {
	return lab.Field{ID: "ends", Ask: "How many wires end in box " + c.box + "?", Points: 2}
}
func (c counted) Sheet() lab.Sheet {
	return lab.NewSheet("count the wires", "Count", nil, []lab.Field{c.field()}, lab.Text("Look into the box."))
}
func (c counted) Difficulty() lab.Difficulty { return lab.Difficulty{Classes: 1, Steps: max(1, c.n)} }
func (c counted) Practice() *lab.Practice    { return nil }
func (c counted) Key() lab.Answer            { return lab.Answer{"ends": strconv.Itoa(c.n)} }
func (c counted) Mark(a lab.Answer) lab.Result {
	if strings.TrimSpace(a["ends"]) == strconv.Itoa(c.n) {
		return lab.Result{Points: 2, Of: 2}
	}
	return lab.Result{Of: 2, Lost: []lab.Loss{{Field: "ends", Points: 2, Why: fmt.Sprintf("There are %d.", c.n)}}}
}

// ExampleTask makes an exercise of a kind of its own and marks two answers to it. That
// the kind keeps the promises of a task is tested by labtest.Run.
func ExampleTask() {
	region, err := rules.Load("us-2023")
	if err != nil {
		fmt.Println(err)
		return
	}
	base, err := lab.Generate(lab.Recipe{Region: region})
	if err != nil {
		fmt.Println(err)
		return
	}
	x, err := countWires{}.Make(context.Background(), base, 7, lab.Band{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(x.Sheet().Fields[0].Ask)
	for _, said := range []string{"5", x.Key()["ends"]} {
		r := x.Mark(lab.Answer{"ends": said})
		fmt.Printf("%s: %d of %d\n", said, r.Points, r.Of)
	}
	// Output:
	// How many wires end in box panel?
	// 5: 0 of 2
	// 3: 2 of 2
}

// TestOwnTask runs the conformance kit on the task of the example.
func TestOwnTask(t *testing.T) {
	t.Parallel()
	labtest.Run(t, countWires{}, generated(t, lab.Recipe{}), labtest.Options{})
}

// careless is a task that breaks what a task promises.
type careless struct{ countWires }

func (c careless) Make(ctx context.Context, base lab.Base, seed lab.Seed, want lab.Band) (lab.Exercise, error) {
	x, err := c.countWires.Make(ctx, base, seed, want)
	if err != nil {
		return nil, err
	}
	return leaky{x.(counted), seed}, nil
}

type leaky struct {
	counted
	seed lab.Seed
}

func (l leaky) Sheet() lab.Sheet {
	return lab.Sheet{Task: "count the wires", Title: fmt.Sprint(uint64(l.seed)), Fields: []lab.Field{l.field()}}
}
func (l leaky) Mark(a lab.Answer) lab.Result { return lab.Result{Points: len(a["ends"]), Of: 2} }

// TestKitFinds runs the kit on a careless task: it finds the seed on the sheet, the
// notice that is missing, and marks that do not add up.
func TestKitFinds(t *testing.T) {
	t.Parallel()
	found := labtest.Examine(context.Background(), careless{}, generated(t, lab.Recipe{}), labtest.Options{Seeds: 1})
	for _, want := range []string{"the seed stands in the sheet", "no notice says", "does not add up"} {
		if !slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, want) }) {
			t.Errorf("the kit does not say %q; it says %q", want, found)
		}
	}
}

// TestNothingGivenAway searches the sheets for the words of faults and dangers that are
// of the key alone: in find the fault and prove it the job file and the pictures are of
// the wiring as it should be, and in inspect it nothing is called a fault; where joints
// are left out, no tag of the box is left.
func TestNothingGivenAway(t *testing.T) {
	t.Parallel()
	base := generated(t, lab.Recipe{})
	for _, name := range []string{"find the fault", "prove it", "inspect it"} {
		task, _ := lab.Lookup(name)
		for seed := range lab.Seed(5) {
			x, err := task.Make(context.Background(), base, seed, lab.Band{})
			if err != nil {
				t.Fatal(err)
			}
			for where, text := range x.Sheet().Strings() {
				if where != "job" && !strings.HasPrefix(text, "<svg") {
					continue
				}
				for _, word := range []string{"ties:", "opens:", "kinds:", "welded", "dead in", "stuck", "FAULT"} {
					if strings.Contains(text, word) {
						t.Errorf("%s, seed %d: %s says %q", name, seed, where, word)
					}
				}
			}
		}
	}
	task, _ := lab.Lookup("complete it")
	for seed := range lab.Seed(10) {
		x, err := task.Make(context.Background(), base, seed, lab.Band{})
		if err != nil {
			t.Fatal(err)
		}
		sheet := x.Sheet()
		_, box, _ := strings.Cut(sheet.Fields[0].Ask, "Box ")
		box, _, _ = strings.Cut(box, ":")
		for line := range strings.Lines(string(sheet.Job)) {
			if strings.Contains(line, "{box: "+box+",") && (strings.Contains(line, "says:") || strings.Contains(line, "join:") || strings.Contains(line, "terminal:")) {
				t.Errorf("seed %d: the job says of box %s: %s", seed, box, line)
			}
		}
	}
}
