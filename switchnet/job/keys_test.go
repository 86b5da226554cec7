package job_test

import (
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/job"
)

// foreign is a file in which every map has a key that nobody knows.
const foreign = `format: 1
rules: us-2023
zzz file: 1
kinds: [{zzz kinds: 1, positions: [{zzz positions: 1}], inside: [{zzz inside: 1}]}]
feeds: [{zzz feeds: 1}]
boxes: [{zzz boxes: 1, sections: [{zzz sections: 1}], additions: [{zzz additions: 1}], barriers: [{zzz barriers: 1}]}]
lights: [{zzz lights: 1}]
runs: [{zzz runs: 1}]
controls: [{zzz controls: 1}]
needs: [{zzz needs: 1}]
exemptions: [{zzz exemptions: 1}]
stairs: [{zzz stairs: 1}]
stock: [{zzz stock: 1}]
cables: [{zzz cables: 1, from end: {zzz from end: 1}, to end: {zzz to end: 1}}]
devices: [{zzz devices: 1}]
splices: [{zzz splices: 1}]
landings: [{zzz landings: 1}]
caps: [{zzz caps: 1}]
marks: [{zzz marks: 1}]
tags: [{zzz tags: 1}]
ties: [{zzz ties: 1}]
`

// within gives the list that a map stands in.
var within = map[string]string{"positions": "kinds", "inside": "kinds", "sections": "boxes", "additions": "boxes", "barriers": "boxes", "from end": "cables", "to end": "cables"}

// knownKeys returns the keys of each map, from what is said of one that is not
// known.
func knownKeys(t *testing.T) map[string][]string {
	t.Helper()
	opt := options()
	opt.MaxProblems = 1000
	_, err := job.Parse("foreign.yaml", []byte(foreign), opt)
	var errs *job.Errors
	if !errors.As(err, &errs) {
		t.Fatal(err)
	}
	keys := map[string][]string{}
	for _, p := range errs.List {
		if list, ok := strings.CutPrefix(p.Found, `"zzz `); ok {
			list, _, _ = strings.Cut(list, `"`)
			keys[list] = strings.Split(strings.ReplaceAll(p.Expected, " or ", ", "), ", ")
		}
	}
	if want := strings.Count(foreign, "zzz"); len(keys) != want {
		t.Fatalf("found the keys of %d maps, want %d", len(keys), want)
	}
	return keys
}

// Every key of the reader is in the annotated file, in its own list, and on the page.
func TestEveryKeyIsDocumented(t *testing.T) {
	src, err := os.ReadFile("testdata/canonical.yaml")
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	top := regexp.MustCompile(`(?m)^[a-z]+:`)
	sections := map[string]string{"file": strings.Join(top.FindAllString(string(src), -1), " ")}
	starts := top.FindAllStringIndex(string(src), -1)
	for i, at := range starts {
		end := len(src)
		if i+1 < len(starts) {
			end = starts[i+1][0]
		}
		sections[string(src[at[0]:at[1]-1])] = string(src[at[1]:end])
	}
	for list, keys := range knownKeys(t) {
		section := sections[list]
		if parent := within[list]; parent != "" {
			_, after, _ := strings.Cut(sections[parent], list+":")
			section = after
		}
		for _, key := range keys {
			if !regexp.MustCompile(`(^|[^a-z])` + key + `:`).MatchString(section) {
				t.Errorf("canonical.yaml has no %s in %s", key, list)
			}
			if !regexp.MustCompile(`(?m)^//.*\b` + key + `(:| \*)`).Match(page) {
				t.Errorf("doc.go has no %s of %s", key, list)
			}
		}
	}
}
