package lab_test

import (
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"testing"

	"example.com/switchleg/switchnet/lab"
)

var variants = flag.Int("variants", 10, "how many variants of each task are made and solved")

// TestVariants makes variants of every task (-variants 1000 for as many, some minutes of
// one core; -v says what was measured): all can be solved from the sheet and the practice
// wiring alone, for full marks and without a danger, and no two are the same.
func TestVariants(t *testing.T) {
	t.Parallel()
	bases := []struct {
		name string
		base lab.Base
	}{
		{"us-2023", generated(t, lab.Recipe{})},
		{"uk-2018", generated(t, lab.Recipe{Region: region(t, "uk-2018")})},
	}
	older := generated(t, lab.Recipe{Region: region(t, "us-2017")})
	for _, task := range lab.Tasks() {
		t.Run(task.Name(), func(t *testing.T) {
			t.Parallel()
			solver := solver(t)
			seen := map[string]lab.Seed{}
			least, most, sum := 1<<30, 0, 0
			for n := range *variants {
				// Every tenth under the rules of another region.
				b := bases[0]
				if n%10 == 9 {
					b = bases[1]
					if task.Name() == "predict box fill" {
						b.name, b.base = "us-2017", older // the other has no rule for it
					}
				}
				seed := lab.Seed(n).Derive("variants")
				x, err := task.Make(context.Background(), b.base, seed, lab.Band{})
				if err != nil {
					t.Errorf("%s, seed %d: %v", b.name, n, err)
					continue
				}
				sheet := x.Sheet()
				p := x.Practice()
				a, err := solver.Solve(context.Background(), sheet, p)
				if err != nil {
					t.Errorf("%s, seed %d: %v", b.name, n, err)
					continue
				}
				if r := x.Mark(a); r.Points != r.Of {
					t.Errorf("%s, seed %d: the solver gets %d of %d: %v", b.name, n, r.Points, r.Of, r.Lost)
				}
				if p != nil && len(p.Dangers()) > 0 {
					t.Errorf("%s, seed %d: the solver does something dangerous: %s", b.name, n, p.Dangers()[0].Kind)
				}
				h := sha256.New()
				for where, text := range sheet.Strings() {
					fmt.Fprintf(h, "%q %q\n", where, text)
				}
				if other, ok := seen[string(h.Sum(nil))]; ok {
					t.Errorf("%s: seeds %d and %d give one sheet", b.name, other, n)
				}
				seen[string(h.Sum(nil))] = lab.Seed(n)
				level := x.Difficulty().Level()
				least, most, sum = min(least, level), max(most, level), sum+level
			}
			t.Logf("%d variants, all different: levels %d to %d, %.1f on average", len(seen), least, most, float64(sum)/float64(max(1, len(seen))))
		})
	}
}

// TestSolverTakesAnySheet takes parts of sheets away: what is left is solved or is an
// error, and never a panic.
func TestSolverTakesAnySheet(t *testing.T) {
	t.Parallel()
	base := generated(t, lab.Recipe{})
	solver := solver(t)
	errs := 0
	for _, task := range lab.Tasks() {
		x, err := task.Make(context.Background(), base, 2, lab.Band{})
		if err != nil {
			t.Fatal(err)
		}
		solve := func(s lab.Sheet, p *lab.Practice) {
			if _, err := solver.Solve(context.Background(), s, p); err != nil {
				errs++
			}
		}
		for i, b := range x.Sheet().Blocks {
			s := x.Sheet()
			s.Blocks = append(s.Blocks[:i:i], s.Blocks[i+1:]...)
			solve(s, x.Practice())
			if table, ok := b.(lab.Table); ok {
				for columns := range len(table.Head) {
					less := lab.Table{Says: table.Says, Head: table.Head[:columns]}
					wrong := lab.Table{Says: table.Says, Head: table.Head}
					for _, r := range table.Rows {
						less.Rows = append(less.Rows, r[:columns])
						bad := append([]string{}, r...)
						bad[columns] = `"nonsense`
						wrong.Rows = append(wrong.Rows, bad)
					}
					for _, other := range []lab.Table{less, wrong} {
						s := x.Sheet()
						s.Blocks[i] = other
						solve(s, x.Practice())
					}
				}
			}
		}
		s := x.Sheet()
		s.Fields = nil
		solve(s, x.Practice())
		s = x.Sheet()
		s.Fields = s.Fields[:1]
		solve(s, nil)
		s = x.Sheet()
		s.Job = nil
		solve(s, x.Practice())
		s = x.Sheet()
		s.Task = "none such"
		solve(s, x.Practice())
	}
	if errs < 5*len(lab.Tasks()) {
		t.Errorf("%d errors, fewer than there are sheets that say too little", errs)
	}
}
