package house

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// TestTheHouse holds the module to its plan.
func TestTheHouse(t *testing.T) {
	breaches, err := Check(os.DirFS("../.."))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range breaches {
		t.Error(b)
	}
}

// source is a Go file that imports what is listed.
func source(pkg string, imports ...string) *fstest.MapFile {
	var b strings.Builder
	fmt.Fprintf(&b, "package %s\n", pkg)
	for _, i := range imports {
		fmt.Fprintf(&b, "import _ %q\n", i)
	}
	return &fstest.MapFile{Data: []byte(b.String())}
}

func code(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }

func TestCheck(t *testing.T) {
	const m = module + "/"
	tests := []struct {
		why  string
		tree fstest.MapFS
		want []string // of each breach, in order, the place and a part of what it says
	}{
		{"what the plan allows, by one arrow and by several", fstest.MapFS{
			"README.md": code(""), ".ci/run": code(""),
			"switchnet/lab/lab.go":     source("lab", "fmt", m+"switchnet/job", m+"conductor/quantity", m+"internal/anything"),
			"examples/lab/main.go":     source("main", m+"switchnet/lab", m+"internal/anything"),
			"internal/netgen/gen.go":   source("netgen", m+"switchnet", "pgregory.net/rapid"),
			"internal/strict/parse.go": source("strict", "go.yaml.in/yaml/v4"),
		}, nil},
		{"an arrow the wrong way round", fstest.MapFS{
			"conductor/a.go": source("conductor", m+"switchnet/wiring"),
		}, []string{"conductor/a.go:2: imports switchnet/wiring; the plan lets conductor import conductor/quantity"}},
		{"a leaf that imports", fstest.MapFS{
			"conductor/quantity/a.go": source("quantity", m+"boxfill"),
		}, []string{"conductor/quantity/a.go:2: imports boxfill; the plan lets conductor/quantity import nothing of the module"}},
		{"the reader of files is handed to two packages and not on", fstest.MapFS{
			"conductor/rules/a.go": source("rules", m+"internal/strict"),
			"switchnet/plan/a.go":  source("plan", m+"conductor/rules", m+"internal/strict"),
		}, []string{"switchnet/plan/a.go:3: imports internal/strict; the plan"}},
		{"a test may import what it needs", fstest.MapFS{
			"conductor/a_test.go": source("conductor_test", m+"switchnet/wiring", m+"internal/netgen", "github.com/google/go-cmp/cmp", "github.com/rogpeppe/go-internal/testscript"),
		}, nil},
		{"but not a program", fstest.MapFS{
			"conductor/a_test.go":         source("conductor_test", m+"examples/fill"),
			"examples/plan/main.go":       source("main", m+"examples/fill/words"),
			"examples/fill/main.go":       source("main", m+"examples/fill/words"),
			"examples/fill/words/word.go": source("words"),
		}, []string{"conductor/a_test.go:2: imports examples/fill; nothing", "examples/plan/main.go:2: imports examples/fill/words; nothing"}},
		{"a program uses public packages", fstest.MapFS{
			"examples/fill/main.go": source("main", m+"boxfill", m+"internal/strict"),
		}, []string{"examples/fill/main.go:3: imports internal/strict, which is not for programs"}},
		{"what programs have in common is for them alone", fstest.MapFS{
			"examples/fill/main.go": source("main", m+"internal/program"),
			"switchnet/job/a.go":    source("job", m+"internal/program"),
		}, []string{"switchnet/job/a.go:2: imports internal/program; the plan lets switchnet/job import"}},
		{"a package that nobody planned", fstest.MapFS{
			"switchnet/magic/a.go": source("magic"),
		}, []string{"switchnet/magic: is a package that the plan does not have"}},
		{"a helper stays a helper", fstest.MapFS{
			"internal/text/a.go": source("text", m+"internal/words", m+"boxfill"),
		}, []string{"internal/text/a.go:3: imports boxfill from a helper"}},
		{"a helper of one package is not for others", fstest.MapFS{
			"switchnet/steady/a.go":               source("steady", m+"switchnet/steady/internal/ldlt"),
			"switchnet/draw/a.go":                 source("draw", m+"switchnet/steady/internal/ldlt"),
			"switchnet/steady/internal/ldlt/a.go": source("ldlt"),
		}, []string{"switchnet/draw/a.go:2: imports switchnet/steady/internal/ldlt, which is for switchnet/steady"}},
		{"modules of others where the plan has them", fstest.MapFS{
			"switchnet/plan/a.go":   source("plan", "gonum.org/v1/gonum/graph"),
			"switchnet/a.go":        source("switchnet", "gonum.org/v1/gonum/graph"),
			"switchnet/job/a.go":    source("job", "go.yaml.in/yaml/v4"),
			"switchnet/b.go":        source("switchnet", "pgregory.net/rapid"),
			"switchnet/b_test.go":   source("switchnet", "pgregory.net/rapid", "go.yaml.in/yaml/v4"),
			"switchnet/wiring/c.go": source("wiring", "example.org/other"),
		}, []string{
			"switchnet/a.go:2: imports gonum.org/v1/gonum/graph, which is for switchnet/plan, switchnet/steady, switchnet/trace, tests",
			"switchnet/b.go:2: imports pgregory.net/rapid, which is for internal/netgen, tests",
			"switchnet/b_test.go:3: imports go.yaml.in/yaml/v4, which is for internal/strict",
			"switchnet/job/a.go:2: imports go.yaml.in/yaml/v4, which is for internal/strict",
			"switchnet/wiring/c.go:2: imports example.org/other, a module that the plan does not have"}},
		{"the top level", fstest.MapFS{
			"docs/a.md": code(""), "main.go": source("main"),
		}, []string{".: is a package that the plan does not have", "docs: does not belong at the top level", "main.go: does not belong at the top level"}},
		{"what the go tool does not build is not looked at", fstest.MapFS{
			"switchnet/testdata/a.go": code("not Go"), "switchnet/_old/a.go": code("not Go"), "switchnet/.x/a.go": code("not Go"),
			"internal/outside/go.mod": code("module outside"), "internal/outside/a.go": source("outside", m+"boxfill"),
		}, nil},
		{"types that stay inside", fstest.MapFS{"switchnet/plan/a.go": code(`package plan
import (
	"gonum.org/v1/gonum/mat"
	g "gonum.org/v1/gonum/graph"
)
func Solve(m *mat.Dense) {}
func solve(m *mat.Dense) {}
func (p *Plan) Graph() g.Graph { var m mat.Dense; _ = m; return nil }
func (p *hidden) Graph() g.Graph { return nil }
type Plan struct {
	Nodes []g.Node
	inner g.Node
	mat.Vector
}
type hidden struct{ Nodes []g.Node }
type Of[T g.Node] []T
var Zero = mat.NewDense(0, 0, nil)
var zero = mat.NewDense(0, 0, nil)
var Typed g.Graph
func (o Of[T]) Matrix() mat.Matrix { return nil }
`)}, []string{
			"switchnet/plan/a.go:6: shows mat.Dense in the signature of Solve",
			"switchnet/plan/a.go:8: shows g.Graph in the signature of Graph",
			"switchnet/plan/a.go:11: shows g.Node in type Plan",
			"switchnet/plan/a.go:13: shows mat.Vector in type Plan",
			"switchnet/plan/a.go:16: shows g.Node in type Of",
			"switchnet/plan/a.go:17: shows mat.NewDense in var Zero",
			"switchnet/plan/a.go:19: shows g.Graph in var Typed",
			"switchnet/plan/a.go:20: shows mat.Matrix in the signature of Matrix"}},
		{"and a reader whose nodes do not leave it", fstest.MapFS{"internal/strict/a.go": code(`package strict
import "go.yaml.in/yaml/v4"
func Parse(n *yaml.Node) {}
`), "internal/strict/b.go": code("package strict\nimport . \"go.yaml.in/yaml/v4\"\n")}, []string{
			"internal/strict/a.go:3: shows yaml.Node in the signature of Parse; types of go.yaml.in/yaml/v4 stay inside",
			"internal/strict/b.go: imports go.yaml.in/yaml/v4 by a dot"}},
	}
	for _, test := range tests {
		got, err := Check(test.tree)
		if err != nil {
			t.Errorf("%s: %v", test.why, err)
			continue
		}
		ok := len(got) == len(test.want)
		for i := range min(len(got), len(test.want)) {
			ok = ok && strings.Contains(got[i].String(), test.want[i])
		}
		if !ok {
			t.Errorf("%s: got\n%v\nwant\n%s", test.why, got, strings.Join(test.want, "\n"))
		}
	}
	if _, err := Check(fstest.MapFS{"switchnet/a.go": code("not Go")}); err == nil {
		t.Error("a file that is not Go is passed over")
	}
}

func TestReach(t *testing.T) {
	tests := []struct {
		why, pkg string
		want     string
	}{
		{"a leaf reaches nothing", "conductor/quantity", ""},
		{"two arrows", "boxfill", "conductor conductor/quantity"},
		{"what is reserved is not handed on", "switchnet/plan",
			"boxfill conductor conductor/quantity conductor/rules switchnet switchnet/intent switchnet/wiring"},
		{"and is reached by who names it", "switchnet/job",
			"boxfill conductor conductor/quantity conductor/rules internal/strict switchnet switchnet/intent switchnet/wiring"},
	}
	for _, test := range tests {
		if got := strings.Join(reach(test.pkg), " "); got != test.want {
			t.Errorf("%s: %s reaches %q, want %q", test.why, test.pkg, got, test.want)
		}
	}
}

// TestDevelopersReadTheSame compares the plan in DEVELOPERS.md with the table.
func TestDevelopersReadTheSame(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "```\n")
	block, _, ok := strings.Cut(rest, "```\n")
	if !ok {
		t.Fatal("DEVELOPERS.md has no block with the plan")
	}
	full := map[string]string{} // by last element
	for pkg := range arrows {
		full[pkg[strings.LastIndex(pkg, "/")+1:]] = pkg
	}
	read := 0
	for line := range strings.Lines(block) {
		name, _, _ := strings.Cut(strings.TrimSpace(line), "/")
		pkg, planned := full[name]
		if _, helps := helper(pkg); !planned || helps {
			continue // the helpers and the programs have no arrows there
		}
		read++
		var want []string
		if _, to, ok := strings.Cut(strings.TrimSpace(line), "-> "); ok {
			for _, q := range strings.Split(to, ", ") {
				want = append(want, full[q])
			}
		}
		have := slices.Clone(arrows[pkg])
		slices.Sort(have)
		slices.Sort(want)
		if !slices.Equal(have, want) {
			t.Errorf("DEVELOPERS.md lets %s import %v, the table %v", pkg, want, have)
		}
	}
	public := 0
	for pkg := range arrows {
		if _, helps := helper(pkg); !helps {
			public++
		}
	}
	if read != public {
		t.Errorf("DEVELOPERS.md has %d of the %d packages of the plan", read, public)
	}
}
