package check_test

import (
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
)

// unlawfulIn are the wirings that an edition does not let be, though others of the
// country's cables do: by file and edition, what is found and why.
var unlawfulIn = map[[2]string]struct {
	code check.Code
	why  string
}{
	{"dead-ends-off-the-light", "ca"}: {"no-neutral-at-switch", "a box that can be reached later is no exemption"},
	{"two-wire-loop-exempt", "ca"}:    {"no-neutral-at-switch", "the same"},
}

// TestLawful checks the lawful ways to run the cables of lights that are switched from
// several places: with every suite of every edition that knows the cables of the file,
// there is nothing to find.
func TestLawful(t *testing.T) {
	names, err := filepath.Glob("testdata/lawful/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(names) < 24 {
		t.Errorf("there are %d files", len(names))
	}
	refused := 0
	for _, name := range names {
		base := strings.TrimSuffix(filepath.Base(name), ".yaml")
		t.Run(base, func(t *testing.T) {
			x := readExample(t, name)
			for _, info := range rules.Regions() {
				if (info.ID == "uk-2018") != (x.file.Rules == "uk-2018") {
					continue // cables of other colours and sizes
				}
				r, err := region(info.ID)
				if err != nil {
					t.Fatal(err)
				}
				not, unlawful := unlawfulIn[[2]string{base, info.ID}]
				for _, s := range append(check.Suites(r), check.Everything(r)) {
					found := run(t, x.job, s)
					if unlawful && len(found) > 0 && found[0].Code == not.code {
						refused++
						continue
					}
					for _, f := range found {
						t.Errorf("%s, line %d: the %s suite of %s finds %s: %s", name, x.line(t, &f), s.Name, info.ID, f.Code, f.Message)
					}
				}
			}
		})
	}
	if want := 2 * len(unlawfulIn); refused != want { // by the edition's suite and by everything
		t.Errorf("refused %d times, want %d", refused, want)
	}
}
