// Package outside tests what somebody else's module can do with this one. It has
// no code of its own.
package outside

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestReadmeProgram builds the program of the README in a module of its own that
// points at this checkout, runs it, and compares what it prints with what the README
// says it prints.
func TestReadmeProgram(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	program := regexp.MustCompile("(?s)```go\n(package main.*?)```").FindSubmatch(readme)
	printed := regexp.MustCompile("(?s)It prints\n\n```\n(.*?)```").FindSubmatch(readme)
	if program == nil || printed == nil {
		t.Fatal("the README shows no program, or not what it prints")
	}
	dir := t.TempDir()
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	if err != nil {
		t.Fatal(err)
	}
	mod := "module example.org/estimate\n\ngo 1.25.0\n\nrequire example.com/switchleg v0.0.0\n\nreplace example.com/switchleg => " + root + "\n"
	for name, data := range map[string]string{"go.mod": mod, "go.sum": string(sums), "main.go": string(program[1])} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run := exec.Command("go", "run", "-mod=mod", ".")
	run.Dir = dir
	var errs strings.Builder
	run.Stderr = &errs
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	if string(out) != string(printed[1]) {
		t.Errorf("the program prints\n%s\nand the README says\n%s", out, printed[1])
	}
}
