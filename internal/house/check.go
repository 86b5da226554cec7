package house

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
)

// A Breach is one way in which a tree departs from the plan.
type Breach struct {
	Path string // file or directory in the tree, "plan" for the table itself
	Line int    // 0 if it is about the whole
	What string // what is wrong and what the plan says
}

// String returns the breach as one line, "boxfill/fill.go:12: imports ...".
func (b Breach) String() string {
	if b.Line == 0 {
		return b.Path + ": " + b.What
	}
	return fmt.Sprintf("%s:%d: %s", b.Path, b.Line, b.What)
}

// file is a parsed Go file of a package.
type file struct {
	name string // path in the tree
	pkg  string // directory
	test bool
	ast  *ast.File
}

// checker collects breaches.
type checker struct {
	fset     *token.FileSet
	breaches []Breach
}

// add notes a breach that is about a whole file or directory.
func (c *checker) add(path, format string, args ...any) {
	c.breaches = append(c.breaches, Breach{path, 0, fmt.Sprintf(format, args...)})
}

// at notes a breach at a place in a file.
func (c *checker) at(p token.Pos, format string, args ...any) {
	pos := c.fset.Position(p)
	c.breaches = append(c.breaches, Breach{pos.Filename, pos.Line, fmt.Sprintf(format, args...)})
}

// Check reads the Go files of a tree, whatever their build tags, and returns every
// breach of the plan in order of place. It skips testdata, directories that start
// with a dot or an underscore, and modules within the tree. A file that cannot be
// read or parsed is an error.
func Check(tree fs.FS) ([]Breach, error) {
	c := &checker{fset: token.NewFileSet()}
	c.plan()
	if err := c.top(tree); err != nil {
		return nil, err
	}
	files, err := c.parse(tree)
	if err != nil {
		return nil, err
	}
	known := map[string]bool{}
	for _, f := range files {
		if _, isExample := example(f.pkg); !known[f.pkg] && !isExample {
			known[f.pkg] = true
			if _, isHelper := helper(f.pkg); !isHelper && !has(arrows, f.pkg) {
				c.add(f.pkg, "is a package that the plan does not have; say in the table what it may import")
			}
		}
		c.imports(f)
		if !f.test {
			c.exported(f)
		}
	}
	slices.SortStableFunc(c.breaches, func(a, b Breach) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Line, b.Line), cmp.Compare(a.What, b.What))
	})
	return c.breaches, nil
}

func has[V any](m map[string]V, k string) bool { _, ok := m[k]; return ok }

// plan checks the table itself: each arrow leads to a package that it has, and none
// leads back.
func (c *checker) plan() {
	for pkg, to := range arrows {
		for _, q := range to {
			if !has(arrows, q) {
				c.add("plan", "%s may import %s, which the plan does not have", pkg, q)
			}
		}
		if slices.Contains(reach(pkg), pkg) {
			c.add("plan", "the arrows of %s lead back to it", pkg)
		}
	}
}

func (c *checker) top(tree fs.FS) error {
	entries, err := fs.ReadDir(tree, ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") && !slices.Contains(topLevel, name) {
			c.add(name, "does not belong at the top level, which holds %s", strings.Join(topLevel, ", "))
		}
	}
	return nil
}

func (c *checker) parse(tree fs.FS) ([]file, error) {
	var files []file
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := path.Base(name)
		if d.IsDir() {
			if name == "." {
				return nil
			}
			_, err := fs.Stat(tree, path.Join(name, "go.mod"))
			if err == nil || base == "testdata" || strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_") {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(base, ".go") {
			return nil
		}
		src, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(c.fset, name, src, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		files = append(files, file{name, path.Dir(name), strings.HasSuffix(base, "_test.go"), f})
		return nil
	})
	return files, err
}

// imports checks what a file imports.
func (c *checker) imports(f file) {
	for _, spec := range f.ast.Imports {
		target, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue // the parser has seen to it
		}
		where := spec.Pos()
		own, ok := strings.CutPrefix(target, module+"/")
		switch {
		case target == module:
			c.at(where, "imports the top of the module, where no package is")
		case ok:
			c.within(f, own, where)
		case strings.Contains(strings.Split(target, "/")[0], "."):
			c.beyond(f, target, where)
		}
	}
}

// within checks an import of a package of the module.
func (c *checker) within(f file, target string, where token.Pos) {
	if program, ok := example(target); ok {
		if mine, _ := example(f.pkg); mine != program {
			c.at(where, "imports %s; nothing imports a program", target)
		}
		return
	}
	if f.test {
		return // a test may use what it needs; the compiler refuses cycles
	}
	owner, targetHelps := helper(target)
	if targetHelps && !slices.Contains(reserved, target) && !has(arrows, target) {
		if owner != "" && !under(f.pkg, owner) {
			c.at(where, "imports %s, which is for %s", target, owner)
		}
		return
	}
	if _, ok := example(f.pkg); ok {
		if targetHelps && slices.Contains(reserved, target) {
			c.at(where, "imports %s, which is not for programs; they use public packages", target)
		}
		return
	}
	if _, helps := helper(f.pkg); helps && !has(arrows, f.pkg) {
		c.at(where, "imports %s from a helper; helpers that the table does not name import helpers only", target)
		return
	}
	if may := reach(f.pkg); !slices.Contains(may, target) {
		c.at(where, "imports %s; the plan lets %s import %s", target, f.pkg, orNothing(may))
	}
}

func orNothing(list []string) string {
	if len(list) == 0 {
		return "nothing of the module"
	}
	return strings.Join(list, ", ")
}

// beyond checks an import of another module.
func (c *checker) beyond(f file, target string, where token.Pos) {
	for _, m := range third {
		if !under(target, m.module) {
			continue
		}
		if !slices.Contains(m.in, f.pkg) && !(f.test && m.tests) {
			c.at(where, "imports %s, which is for %s", target, audience(m.in, m.tests))
		}
		return
	}
	c.at(where, "imports %s, a module that the plan does not have", target)
}

func audience(in []string, tests bool) string {
	list := slices.Clone(in)
	if tests {
		list = append(list, "tests")
	}
	return strings.Join(list, ", ")
}
