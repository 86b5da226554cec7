package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"packet": main})
}

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", RequireExplicitExec: true})
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
		golden := filepath.Join("testdata", g.file)
		if *update {
			if err := os.WriteFile(golden, out.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), out.String()); diff != "" {
			t.Errorf("%s differs; if the change is meant, run go test ./examples/packet -update (-want +got):\n%s", g.file, diff)
		}
	}
}
