package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
	"example.com/switchleg/switchnet/plan"
)

func TestMain(m *testing.M) { programtest.Main(m, "packet", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	job, err := program.ReadJob("", "")
	if err != nil {
		t.Fatal(err)
	}
	p, err := job.Plan(context.Background(), plan.Options{}, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	planned, err := job.WithWiring(p.Spec)
	if err != nil {
		t.Fatal(err)
	}
	programtest.Scripts(t, map[string]string{"shed.yaml": string(demo.Shed()), "planned.yaml": string(planned)})
}

// TestShed holds what the boat shed's packet says, in text and in JSON.
func TestShed(t *testing.T) {
	for _, g := range []struct {
		file string
		args []string
	}{
		{"shed.txt", nil},
		{"shed.json", []string{"-json"}},
	} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), g.args, &out, &errs); code != 0 {
			t.Fatalf("%v: exit %d: %s", g.args, code, errs.String())
		}
		golden.Compare(t, filepath.Join("testdata", g.file), out.Bytes())
	}
}

// TestShedTables holds the boat shed's tables for spreadsheets.
func TestShedTables(t *testing.T) {
	dir := t.TempDir()
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"-o", dir}, &out, &errs); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	for _, name := range []string{"take-off.csv", "cables.csv"} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		golden.Compare(t, filepath.Join("testdata", "shed-"+name), got)
	}
}
