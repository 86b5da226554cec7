package boxfill_test

import (
	"encoding/json"
	"errors"
	"testing"

	"example.com/switchleg/boxfill"
)

// FuzzFill feeds any contents at all, sizes and roles that do not exist
// included, to Fill: it must not panic, every error must be a list of problems,
// and every result must add up.
func FuzzFill(f *testing.F) {
	for _, c := range []boxfill.Contents{everything(), crowded(), switchBox(boxfill.BoxOfType("device 3 x 2 x 3.5"))} {
		data, err := json.Marshal(c)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	tables := []*boxfill.Table{us(), us2017(), canada()}
	f.Fuzz(func(t *testing.T, data []byte) {
		var c boxfill.Contents
		if json.Unmarshal(data, &c) != nil {
			return
		}
		for _, table := range tables {
			result, err := boxfill.Fill(table, c)
			var problems boxfill.Problems
			switch {
			case err != nil && (!errors.As(err, &problems) || len(problems) == 0):
				t.Fatalf("%v is no list of problems", err)
			case err != nil && (result.Status != 0 || result.Lines != nil):
				t.Fatalf("a result beside the error %v", err)
			case err == nil:
				addsUp(t, result)
			}
		}
	})
}

// addsUp checks that no sum of a result wrapped around.
func addsUp(t *testing.T, r boxfill.Result) {
	t.Helper()
	required := r.Required
	for _, line := range r.Lines {
		if line.Total < 0 || line.Weight < 0 {
			t.Fatalf("line %v is below zero", line)
		}
		required -= line.Total
	}
	if r.Status != boxfill.Refused && required != 0 || r.Required < 0 || r.Available < 0 {
		t.Fatalf("required %v, available %v, off by %v", r.Required, r.Available, required)
	}
	if r.Status < boxfill.Fits || r.Status > boxfill.Refused {
		t.Fatalf("status %v", r.Status)
	}
}

// FuzzFindBox feeds any text to FindBox: what it finds must be in the table, and
// an error must say why.
func FuzzFindBox(f *testing.F) {
	for _, text := range []string{"3x2x3.5 device", "square 4 x 2-1/8", "4-11/16 x 1-1/2 box", "x", "octagon", "-1x2"} {
		f.Add(text)
	}
	table := us()
	f.Fuzz(func(t *testing.T, text string) {
		b, err := table.FindBox(text)
		if err != nil {
			if !errors.Is(err, boxfill.ErrName) {
				t.Fatalf("%v", err)
			}
			return
		}
		if again, err := table.FindBox(b.Name); err != nil || again.Name != b.Name {
			t.Fatalf("%q finds %q, whose name finds %q, %v", text, b.Name, again.Name, err)
		}
	})
}
