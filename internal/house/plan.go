package house

import (
	"slices"
	"strings"
)

// module is the path that all import paths of the module start with.
const module = "example.com/switchleg"

// arrows says for each package which packages it may import; it may also import
// whatever those may. Packages that are not there yet have their place too.
var arrows = map[string][]string{
	"conductor/quantity":    nil,
	"conductor":             {"conductor/quantity"},
	"conductor/rules":       {"conductor", "boxfill", "internal/strict"},
	"boxfill":               {"conductor", "conductor/quantity"},
	"switchnet":             {"conductor/quantity"},
	"switchnet/nettest":     {"switchnet"},
	"switchnet/allstates":   {"switchnet"},
	"switchnet/wiring":      {"switchnet", "boxfill", "conductor"},
	"switchnet/intent":      {"switchnet/wiring"},
	"switchnet/miswire":     {"switchnet/wiring"},
	"switchnet/steady":      {"switchnet/wiring"},
	"switchnet/plan":        {"switchnet/intent", "conductor/rules"},
	"switchnet/check":       {"switchnet/intent", "switchnet/allstates", "conductor/rules"},
	"switchnet/job":         {"switchnet/intent", "conductor/rules", "internal/strict"},
	"switchnet/trace":       {"switchnet/miswire", "switchnet/check", "switchnet/steady", "switchnet/allstates"},
	"switchnet/trace/lines": {"switchnet/trace"},
	"switchnet/identify":    {"switchnet/trace"},
	"switchnet/draw":        {"switchnet/wiring", "switchnet/allstates"},
	"switchnet/packet":      {"switchnet/plan", "switchnet/trace", "switchnet/draw", "conductor/rules"},
	"switchnet/lab":         {"switchnet/job", "switchnet/packet", "switchnet/trace"},
	"switchnet/lab/labtest": {"switchnet/lab"},
	"switchnet/lab/course":  {"switchnet/lab", "internal/strict"},

	// Helpers that are not for everybody. A package under an internal
	// directory that is not named here is for everybody and imports nothing of
	// the module but other helpers.
	"internal/strict":  nil,
	"internal/netgen":  {"switchnet"},
	"internal/house":   nil,
	"internal/program": {"switchnet/job", "switchnet/plan", "internal/strict"}, // of the programs under examples
}

// reserved are the helpers that only a package whose arrows name them may import.
var reserved = []string{"internal/strict", "internal/netgen", "internal/house"}

// third says for each third-party module which packages may import it outside
// tests, and whether every test may.
var third = []struct {
	module string
	in     []string
	tests  bool
}{
	{"gonum.org/v1/gonum", []string{"switchnet/plan", "switchnet/steady", "switchnet/trace"}, true},
	{"go.yaml.in/yaml", []string{"internal/strict"}, false},
	{"pgregory.net/rapid", []string{"internal/netgen"}, true},
	{"github.com/google/go-cmp", []string{"internal/golden"}, true},
	{"github.com/rogpeppe/go-internal", []string{"internal/programtest"}, true},
}

// hidden are the modules whose types appear in no exported declaration.
var hidden = []string{"gonum.org/v1/gonum", "go.yaml.in/yaml"}

// topLevel is what may stand at the top of the tree, beside what starts with a dot.
var topLevel = []string{"DEVELOPERS.md", "LICENSE", "README.md", "boxfill", "conductor", "examples", "go.mod", "go.sum", "internal", "switchnet"}

// reach returns all that a package may import by its arrows, in name order.
func reach(pkg string) []string {
	seen := map[string]bool{}
	var walk func(string)
	walk = func(p string) {
		for _, q := range arrows[p] {
			// What is reserved is not handed on.
			if !seen[q] && (p == pkg || !slices.Contains(reserved, q)) {
				seen[q] = true
				walk(q)
			}
		}
	}
	walk(pkg)
	out := make([]string, 0, len(seen))
	for p := range seen {
		out = append(out, p)
	}
	slices.Sort(out)
	return out
}

// under reports whether a path is a directory or lies below it.
func under(path, dir string) bool { return path == dir || strings.HasPrefix(path, dir+"/") }

// helper reports whether a package lies in an internal directory, and below which
// package it may be imported: everywhere for one at the top.
func helper(pkg string) (owner string, ok bool) {
	if under(pkg, "internal") {
		return "", true
	}
	if before, _, found := strings.Cut(pkg, "/internal/"); found {
		return before, true
	}
	return "", false
}

// example returns the program a package belongs to, "examples/fill".
func example(pkg string) (string, bool) {
	rest, ok := strings.CutPrefix(pkg, "examples/")
	if !ok {
		return "", false
	}
	name, _, _ := strings.Cut(rest, "/")
	return "examples/" + name, true
}
