package job_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/job"
)

// FuzzParse checks on any text that Parse ends with a file or with problems that
// have places, and that what parses says the same after Format and after Marshal.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/canonical.yaml", "testdata/cases/*.yaml", "testdata/wrong/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatal(pattern, err)
		}
		for _, name := range files {
			src, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(src)
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 1<<16 {
			return
		}
		_, err := job.Parse("fuzz.yaml", src, options())
		if err != nil {
			var errs *job.Errors
			if !errors.As(err, &errs) || len(errs.List) == 0 {
				t.Fatalf("the error is no list of problems: %v", err)
			}
			lines := strings.Count(string(src), "\n") + strings.Count(string(src), "\r") + 1
			for _, p := range errs.List {
				if p.Line < 1 || p.Column < 1 || p.Line > lines || p.Found == "" {
					t.Errorf("a problem without a place: %+v", p)
				}
			}
			return
		}
		roundTrip(t, "fuzz", src)
	})
}
