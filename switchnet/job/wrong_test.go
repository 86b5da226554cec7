package job_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet/job"
)

// TestWrong reads the files of testdata/wrong. The first line of each says why it is
// wrong, and the file of the same name ending in .want what is said about it.
func TestWrong(t *testing.T) {
	files, err := filepath.Glob("testdata/wrong/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 40 {
		t.Fatalf("only %d wrong files", len(files))
	}
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(string(src), "# ") {
				t.Error("the first line does not say why the file is wrong")
			}
			f, err := job.Parse(filepath.Base(name), src, options())
			if err == nil || f != nil {
				t.Fatalf("it was read: %v, %v", f, err)
			}
			var errs *job.Errors
			if !errors.As(err, &errs) {
				t.Fatalf("the error is a %T", err)
			}
			lines := strings.Split(string(src), "\n")
			for _, p := range errs.List {
				if p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Found == "" {
					t.Errorf("a problem without a place or a message: %+v", p)
				}
			}
			golden.Compare(t, strings.TrimSuffix(name, ".yaml")+".want", []byte(err.Error()+"\n"))
		})
	}
}

// Problems are data.
func TestProblemsAsJSON(t *testing.T) {
	_, err := job.Parse("shed.yaml", []byte("format: 1\nrules: us-2023\nboxes:\n  - {name: loft, kind: devise}\n  - {name: loft, kind: device}\n"), options())
	got, err := json.MarshalIndent(err, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden.Compare(t, "testdata/problems.json", append(got, '\n'))
}
