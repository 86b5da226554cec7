package check_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/job"
)

// The examples of the codes stand in testdata/codes, one directory for each code. What a
// file is expected to give stands on the line that causes it, as "# want CODE". A file
// beside NAME.yaml may say what no job file says: NAME.overlay.yaml what the town amends. A file that begins with "not-" is a near miss
// that gives nothing at all.
const codesDir = "testdata/codes"

var wantComment = regexp.MustCompile(` *# want ([a-z -]+)$`)

// example is a file with what it is expected to give: by line, the codes.
type example struct {
	name, text string
	want       map[int][]check.Code
	file       *job.File
	job        check.Job
	suite      check.Suite
}

func readExample(t testing.TB, name string) example {
	t.Helper()
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	x := example{name: name, want: map[int][]check.Code{}}
	var lines []string
	for i, line := range strings.Split(string(src), "\n") {
		if m := wantComment.FindStringSubmatch(line); m != nil {
			for _, c := range strings.Fields(m[1]) {
				x.want[i+1] = append(x.want[i+1], check.Code(c))
			}
			line = wantComment.ReplaceAllString(line, "")
		}
		lines = append(lines, line)
	}
	x.text = strings.Join(lines, "\n")
	x.file, x.job = read(t, name, []byte(x.text))
	base := strings.TrimSuffix(name, ".yaml")
	region := x.file.Region
	if over, err := os.ReadFile(base + ".overlay.yaml"); err == nil {
		if region, err = rules.Load(x.file.Rules, rules.Overlay{Name: base + ".overlay.yaml", Text: over}); err != nil {
			t.Fatal(err)
		}
	}
	x.suite = check.Everything(region)
	return x
}

// place returns the line on which a finding is.
func (x *example) line(t testing.TB, f *check.Finding) int {
	t.Helper()
	pos, ok := x.file.Position(f.Place.At)
	if !ok {
		t.Fatalf("%s: %s: no entry of the file is at %v", x.name, f.Code, f.Place.At)
	}
	return pos.Line
}

func examples(t testing.TB) []string {
	t.Helper()
	names, err := filepath.Glob(codesDir + "/*/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(names, func(n string) bool { return strings.HasSuffix(n, ".overlay.yaml") })
}

// TestExamples runs the example of every code: a positive gives its code where the file
// says so and no other, a near miss gives nothing. Each fix is made and checked again.
func TestExamples(t *testing.T) {
	t.Parallel()
	type count struct{ positive, near int }
	counts := map[check.Code]*count{}
	for _, r := range check.Rules() {
		counts[r.Code] = &count{}
	}
	for _, name := range examples(t) {
		t.Run(strings.TrimPrefix(strings.TrimSuffix(name, ".yaml"), codesDir+"/"), func(t *testing.T) {
			code := check.Code(filepath.Base(filepath.Dir(name)))
			c := counts[code]
			if c == nil {
				t.Fatalf("%s is the code of no rule", code)
			}
			x := readExample(t, name)
			found, err := check.Run(context.Background(), x.job, x.suite, nil)
			if err != nil {
				t.Fatal(err)
			}
			got := map[int][]check.Code{}
			for i := range found {
				f := &found[i]
				line := x.line(t, f)
				got[line] = append(got[line], f.Code)
				if f.Code != code {
					t.Errorf("line %d gives %s, and this is an example of %s: %s", line, f.Code, code, f.Message)
				}
				t.Logf("line %d: %s, %v: %s %v %s", line, f.Code, f.Standing, f.Message, witnesses(f), fixes(f))
				holdFixes(t, &x, f, found)
			}
			if golden.Updating() {
				write(t, &x, got)
				x = readExample(t, name)
			}
			for line := range max(lastLine(got), lastLine(x.want)) + 1 {
				if w, g := fmt.Sprint(x.want[line]), fmt.Sprint(got[line]); w != g {
					t.Errorf("%s:%d: got %s, want %s", name, line, g, w)
				}
			}
			if near := strings.HasPrefix(filepath.Base(name), "not-"); near && len(found) > 0 {
				t.Errorf("it is a near miss and gives %d findings", len(found))
			} else if near {
				c.near++
			} else if len(found) > 0 {
				c.positive++
			}
		})
	}
	for _, r := range check.Rules() {
		if c := counts[r.Code]; c.positive < 2 || c.near < 1 {
			t.Errorf("%s has %d positive examples and %d near misses; it needs two and one", r.Code, c.positive, c.near)
		}
	}
}

func witnesses(f *check.Finding) string {
	var out []string
	for _, w := range f.Witness {
		out = append(out, "["+w.Says+"]")
	}
	return strings.Join(out, " then ")
}

func fixes(f *check.Finding) string {
	out := "fixes:"
	for _, x := range f.Fixes {
		out += "\n\t" + x.Does
	}
	return out
}

func lastLine(m map[int][]check.Code) int {
	last := 0
	for n := range m {
		last = max(last, n)
	}
	return last
}

// write puts the expectations on their lines.
func write(t *testing.T, x *example, got map[int][]check.Code) {
	t.Helper()
	lines := strings.Split(x.text, "\n")
	for n, codes := range got {
		words := make([]string, len(codes))
		for i, c := range codes {
			words[i] = string(c)
		}
		lines[n-1] += " # want " + strings.Join(words, " ")
	}
	if err := os.WriteFile(x.name, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
}

// name is what a finding is known by when two checks are compared.
func name(f *check.Finding) string {
	return fmt.Sprintf("%s, %v, %v", f.Code, f.Place, f.About)
}

// holdFixes makes each fix of a finding and checks the job again, with all suites: the
// finding must be gone and nothing new have come.
func holdFixes(t *testing.T, x *example, f *check.Finding, before []check.Finding) {
	t.Helper()
	for _, fix := range f.Fixes {
		holdMoves(t, &fix)
		w, err := x.job.Wiring.Apply(fix.Edits...)
		if err != nil {
			t.Errorf("%q cannot be made: %v", fix.Does, err)
			continue
		}
		after := x.job
		after.Wiring = w
		had := map[string]int{}
		for i := range before {
			had[name(&before[i])]++
		}
		was := had[name(f)]
		still := 0
		for _, g := range run(t, after, x.suite) {
			if name(&g) == name(f) {
				still++
			}
			if had[name(&g)]--; had[name(&g)] < 0 {
				t.Errorf("%q brings %s: %s", fix.Does, name(&g), g.Message)
			}
		}
		if still >= was {
			t.Errorf("%q leaves what it was to cure: %s", fix.Does, f.Message)
		}
	}
}

// TestCodesStay holds the list of codes: it only grows, and its order is that of the
// rules.
func TestCodesStay(t *testing.T) {
	const file = "testdata/codes.txt"
	old, err := os.ReadFile(file)
	if err != nil && !golden.Updating() {
		t.Fatal(err)
	}
	var now []string
	for _, r := range check.Rules() {
		now = append(now, string(r.Code))
	}
	if slices.Sort(now); len(slices.Compact(slices.Clone(now))) != len(now) {
		t.Errorf("a code is used twice: %v", now)
	}
	for _, c := range strings.Fields(string(old)) {
		if !slices.Contains(now, c) {
			t.Errorf("code %s is gone; codes are only ever added, and a rule that is dropped keeps its code out of use", c)
		}
	}
	want := strings.Join(now, "\n") + "\n"
	if golden.Updating() && !t.Failed() {
		if err := os.WriteFile(file, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if string(old) != want {
		t.Errorf("%s differs from the codes of the rules; if codes were added, run go test ./switchnet/check -update", file)
	}
}
