package check_test

import (
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestLawful checks the lawful ways to run the cables of lights that are switched from
// several places: with every suite, there is nothing to find.
func TestLawful(t *testing.T) {
	names, err := filepath.Glob("testdata/lawful/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(names) < 14 {
		t.Errorf("there are %d files", len(names))
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			x := readExample(t, name)
			for _, f := range run(t, x.job, x.suite) {
				t.Errorf("%s, line %d: %s: %s", name, x.line(t, &f), f.Code, f.Message)
			}
			for _, s := range check.Suites(x.file.Region) {
				if found := run(t, x.job, s); len(found) > 0 {
					t.Errorf("%s: the %s suite finds %s", name, s.Name, found[0].Code)
				}
			}
		})
	}
}
