package lab_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/labtest"
)

func region(tb testing.TB, id string) *rules.Region {
	tb.Helper()
	r, err := rules.Load(id)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

func generated(tb testing.TB, r lab.Recipe) lab.Base {
	tb.Helper()
	if r.Region == nil {
		r.Region = region(tb, "us-2023")
	}
	b, err := lab.Generate(r)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

func fromFile(tb testing.TB, name string, src []byte) lab.Base {
	tb.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		tb.Fatal(err)
	}
	b, err := lab.FromFile(context.Background(), f)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// solver reads each region once.
func solver(tb testing.TB) lab.Solver {
	tb.Helper()
	read := map[string]*rules.Region{}
	return lab.Solver{Region: func(id string) (*rules.Region, error) {
		if r := read[id]; r != nil {
			return r, nil
		}
		r, err := rules.Load(id)
		read[id] = r
		return r, err
	}}
}

// tooMuch are tasks for which the shed is too large, and what they say.
var tooMuch = map[string]string{"prove it": "more than 64 settings", "plan it": "takes one cable a run at most"}

// TestTasks holds every task of the package to the promises of a task, on generated
// jobs and on the shed; the solver gets full marks, without a danger.
func TestTasks(t *testing.T) {
	t.Parallel()
	for _, task := range lab.Tasks() {
		t.Run(task.Name(), func(t *testing.T) {
			t.Parallel()
			solve := solver(t).Solve
			labtest.Run(t, task, generated(t, lab.Recipe{}), labtest.Options{Seeds: 4, Moves: 40, Solve: solve})
			shed := fromFile(t, demo.ShedWiredName, demo.ShedWired())
			if task.Name() == "plan it" {
				shed = fromFile(t, demo.ShedName, demo.Shed())
			}
			if lacks := tooMuch[task.Name()]; lacks != "" {
				var no *lab.BaseError
				if _, err := task.Make(context.Background(), shed, 1, lab.Band{}); !errors.As(err, &no) || !strings.Contains(no.Lacks, lacks) {
					t.Errorf("the shed: %v, want a base error with %q", err, lacks)
				}
				return
			}
			labtest.Run(t, task, shed, labtest.Options{Seeds: 1, Moves: 20, Solve: solve})
		})
	}
}

// shedJob returns the boat shed, wired.
func shedJob() (*lab.Job, error) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		return nil, err
	}
	b, err := lab.FromFile(context.Background(), f)
	if err != nil {
		return nil, err
	}
	return b.Draw(context.Background(), 0)
}

// TestBaseLacks makes tasks on bases that cannot carry them: the error says what is
// lacking.
func TestBaseLacks(t *testing.T) {
	t.Parallel()
	tests := []struct {
		task, base string
		want, why  string
	}{
		{"predict box fill", "uk", "cannot be counted", "the region counts no boxes"},
		{"find the fault", "none", "unset", "the zero base"},
		{"predict lights", "cottage", "", "a wiring as found will do"},
		{"predict readings", "cottage", "", "with a cable of unknown length too"},
		{"wire it", "cottage", "is not as it should be", "its stair light is miswired"},
		{"complete it", "cottage", "is not as it should be", "and so it is no model"},
		{"find the fault", "cottage", "is not as it should be", "there is more than one thing wrong"},
	}
	bases := map[string]lab.Base{
		"uk":      generated(t, lab.Recipe{Region: region(t, "uk-2018")}),
		"none":    {},
		"cottage": fromFile(t, demo.CottageName, demo.Cottage()),
	}
	for _, tt := range tests {
		task, ok := lab.Lookup(tt.task)
		if !ok {
			t.Fatalf("there is no task %q", tt.task)
		}
		_, err := task.Make(context.Background(), bases[tt.base], 1, lab.Band{})
		if tt.want == "" && err != nil || tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)) {
			t.Errorf("%s on %s: %v, want %q: %s", tt.task, tt.base, err, tt.want, tt.why)
		}
	}
}

// TestOtherStock generates jobs under rules that cannot judge their own cables, with
// cables that are named.
func TestOtherStock(t *testing.T) {
	t.Parallel()
	ca := region(t, "ca")
	task, _ := lab.Lookup("wire it")
	if _, err := task.Make(context.Background(), generated(t, lab.Recipe{Region: ca}), 1, lab.Band{}); err == nil || !strings.Contains(err.Error(), "name the cables") {
		t.Errorf("without a stock: %v", err)
	}
	var stock []intent.Stock
	for _, name := range []string{"14/2", "14/3", "14/4"} {
		c, err := conductor.ParseCableType(name)
		if err != nil {
			t.Fatal(err)
		}
		stock = append(stock, intent.Stock{Cable: c})
	}
	x, err := task.Make(context.Background(), generated(t, lab.Recipe{Region: ca, Stock: stock}), 1, lab.Band{})
	if err != nil {
		t.Fatal(err)
	}
	if r := x.Mark(x.Key()); r.Points != r.Of {
		t.Errorf("the key gets %d of %d", r.Points, r.Of)
	}
}
