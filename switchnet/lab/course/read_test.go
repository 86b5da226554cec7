package course_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

const least = "format: 1\ntitle: T\nregion: us-2023\nbase: {places: 2, lights: 1}\nvariants: 3\ntasks:\n  - {task: predict size, marks: 5}\n"

// TestStarterReadsBack reads the file to begin with, and makes what it says.
func TestStarterReadsBack(t *testing.T) {
	f, err := course.Parse("exercise.yaml", course.Starter(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if f.Variants != 6 || f.Row != 6 || f.Minutes != 45 || f.Danger != 1 || f.Seed != 1 || f.Marks() != 30 || len(f.Tasks) != 3 {
		t.Errorf("%+v", f)
	}
	if want := (lab.Range{Least: 2, Most: 3}); f.Recipe.Places != want || f.Recipe.NoTwoGang {
		t.Errorf("the recipe is %+v", f.Recipe)
	}
	// The remark that lists the tasks lists all of them, and the one on moves names moves
	// that there are.
	text := strings.Join(strings.Fields(strings.ReplaceAll(string(course.Starter()), "#", " ")), " ")
	if all := strings.Join(lab.Names(), ", "); !strings.Contains(text, all) {
		t.Errorf("the file does not list the tasks %s", all)
	}
	open := strings.Replace(string(course.Starter()), "# tools:", "tools:", 1)
	for _, key := range []string{"feed", "light", "spare", "breaker"} {
		open = strings.Replace(open, "# "+key+":", key+":", 1)
	}
	if f, err = course.Parse("exercise.yaml", []byte(open), nil); err != nil {
		t.Errorf("with all keys in use: %v", err)
	} else if len(f.Tools) != 9 || f.Recipe.Breaker == 0 || f.Recipe.Feed != lab.AtFirst {
		t.Errorf("with all keys in use: %+v", f)
	}
}

// TestParseSaysAll wants every mistake with its place, all of one file at once.
func TestParseSaysAll(t *testing.T) {
	if _, err := course.Parse("x", []byte(least), nil); err != nil {
		t.Fatal(err)
	}
	rows := []struct {
		from, to string
		says     []string
		why      string
	}{
		{"format: 1", "format: 2", []string{"x:1:9"}, "another version"},
		{"title: T\n", "", []string{"title"}, "no title"},
		{"title: T", `title: "T\u0007"`, []string{"x:2:8", "U+0007"}, "a bell in the title"},
		{"us-2023", "us-1066", []string{"x:3:9", "us-1066"}, "no such region"},
		{"base: {places: 2, lights: 1}\n", "", []string{"base"}, "no base"},
		{"places: 2, lights: 1", "places: 4 to 2, lights: many", []string{"x:4:16", "4 to 2", "many"}, "ranges"},
		{"places: 2", "places: -1", []string{"x:4:16"}, "below zero"},
		{"places: 2", "places: 2 to 99999999999999999999", []string{"x:4:16"}, "more than a number holds"},
		{"places: 2", "places: 1, two gang: 2", []string{"cannot be generated"}, "more two-gang boxes than places"},
		{"places: 2", "places: 2, feed: moon", []string{"moon"}, "no such site"},
		{"places: 2", "places: 2, breaker: 15 V", []string{"15 V"}, "volts for amperes"},
		{"places: 2", "places: 2, roof: 1", []string{"roof"}, "no such key of a base"},
		{"variants: 3", "variants: 0", []string{"x:5:11", "from 1 to 100"}, "no variant"},
		{"variants: 3", "variants: 1e9", []string{"x:5:11"}, "not a whole number"},
		{"variants: 3", "variants: 3\nseed: -1\ntime: soon\nrow: 0\ndanger: x\ncolour: red", []string{"x:6:7", "x:7:7", "x:8:6", "x:9:9", "x:10:1"}, "five keys at once"},
		{"variants: 3", "variants: 3\ntools: [look, lok, look]", []string{`"lok"`, "look is there twice"}, "moves"},
		{"variants: 3", "variants: 3\ntools: []", []string{"no move is allowed"}, "an empty list allows nothing, and that is no wish"},
		{"predict size", "predict sise", []string{`did you mean "predict size"?`}, "a slip of the pen"},
		{"marks: 5", "marks: 5000, level: hard", []string{"5000", "hard"}, "marks and level"},
		{"\n  - {task: predict size, marks: 5}", " []", []string{"there is no task"}, "no task"},
		{"\n  - {task: predict size, marks: 5}", " [" + strings.Repeat("{task: plan it, marks: 1}, ", 21) + "]", []string{"20 at most"}, "too many tasks"},
	}
	for _, row := range rows {
		_, err := course.Parse("x", []byte(strings.Replace(least, row.from, row.to, 1)), nil)
		var all *course.Errors
		if !errors.As(err, &all) {
			t.Errorf("%s: %v", row.why, err)
			continue
		}
		for _, s := range row.says {
			if !strings.Contains(err.Error(), s) {
				t.Errorf("%s: it does not say %q:\n%v", row.why, s, err)
			}
		}
	}
}

// TestBaseOfAFile takes a job file for a base, from beside the exercise file, and refuses
// one that is not there, is wrong, or is under the rules of another region.
func TestBaseOfAFile(t *testing.T) {
	dir := t.TempDir()
	f, err := course.Parse(filepath.Join(dir, "exercise.yaml"), []byte(strings.Replace(least, "{places: 2, lights: 1}", "shed.yaml", 1)), nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Base(context.Background(), os.ReadFile); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
	for text, says := range map[string]string{
		string(demo.ShedWired()): "",
		strings.Replace(string(demo.ShedWired()), "us-2023", "us-2020", 1): "same region",
		"format: 1\n": "shed.yaml",
	} {
		if err := os.WriteFile(filepath.Join(dir, "shed.yaml"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		base, err := f.Base(context.Background(), os.ReadFile)
		if says == "" && (err != nil || !base.Fixed()) || says != "" && (err == nil || !strings.Contains(err.Error(), says)) {
			t.Errorf("want %q: %v", says, err)
		}
	}
}

// FuzzParse wants that no text is worse than an error.
func FuzzParse(f *testing.F) {
	f.Add([]byte(least))
	f.Add(course.Starter())
	f.Add([]byte("base: [\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		got, err := course.Parse("x", src, nil)
		if err == nil && (len(got.Tasks) == 0 || slices.ContainsFunc(got.Tasks, func(a course.Asked) bool { return a.Task == nil || a.Marks < 1 }) || got.Region == nil || got.Variants < 1) {
			t.Fatalf("read as %+v", got)
		}
	})
}
