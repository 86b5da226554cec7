package lab_test

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/lab"
)

// TestRecipes asks for what there is not.
func TestRecipes(t *testing.T) {
	t.Parallel()
	us := region(t, "us-2023")
	tests := []struct {
		recipe lab.Recipe
		want   string
	}{
		{lab.Recipe{}, "Region is not set"},
		{lab.Recipe{Region: us, Places: lab.Range{Least: 3, Most: 2}}, "Places is 3 to 2"},
		{lab.Recipe{Region: us, Places: lab.Range{Least: 2, Most: 99}}, "Places is 2 to 99"},
		{lab.Recipe{Region: us, Light: lab.AtLight}, "a light hangs at"},
		{lab.Recipe{Region: us, Feed: 77}, "77 is no site"},
		{lab.Recipe{Region: us, Spare: lab.Range{Least: -1}}, "Spare"},
		{lab.Recipe{Region: us, Places: lab.Range{Least: 1, Most: 2}, TwoGang: lab.Range{Least: 2, Most: 2}}, "TwoGang is 2 at least"},
	}
	for _, tt := range tests {
		if _, err := lab.Generate(tt.recipe); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%v, want %q", err, tt.want)
		}
	}
}

// TestBands asks every task for each part of the levels that it has, and for what it has
// not.
func TestBands(t *testing.T) {
	t.Parallel()
	base := generated(t, lab.Recipe{})
	for _, task := range lab.Tasks() {
		x, err := task.Make(context.Background(), base, 5, lab.Band{})
		if err != nil {
			t.Fatal(err)
		}
		at := x.Difficulty().Level()
		want := lab.Band{Least: at - 6, Most: at + 6}
		for seed := range lab.Seed(3) {
			y, err := task.Make(context.Background(), base, seed, want)
			if err != nil {
				t.Errorf("%s, level %s: %v", task.Name(), want, err)
			} else if !want.Has(y.Difficulty()) {
				t.Errorf("%s: level %d where %s was asked for", task.Name(), y.Difficulty().Level(), want)
			}
		}
	}
	_, err := lab.Tasks()[0].Make(context.Background(), base, 1, lab.Band{Least: 1000, Most: 1001})
	if err == nil || !strings.Contains(err.Error(), "1000 to 1001") {
		t.Errorf("a level that there is not: %v", err)
	}
}

// TestParseBand reads what is written.
func TestParseBand(t *testing.T) {
	t.Parallel()
	for _, s := range []string{"any", "4 to 9", "4 or more", "7 to 7"} {
		b, err := lab.ParseBand(s)
		if err != nil || b.String() != s {
			t.Errorf("%q is read as %q: %v", s, b, err)
		}
	}
	for _, s := range []string{"", "9 to 4", "-1", "many", "4 to", "0", "1 or less"} {
		if b, err := lab.ParseBand(s); err == nil {
			t.Errorf("%q is read as %q", s, b)
		}
	}
}
