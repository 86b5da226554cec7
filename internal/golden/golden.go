// Package golden compares what tests make with golden files. With the flag -update,
// which it adds to the test that imports it, the files are written anew.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Updating reports whether the golden files are to be written anew.
func Updating() bool { return *update }

// Compare wants got to be what the file holds.
func Compare(t testing.TB, file string, got []byte) {
	t.Helper()
	if *update {
		Write(t, file, got)
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Errorf("%v; write it with -update", err)
		return
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); diff != "" {
		t.Errorf("%s differs; look at it and, if the change is meant, run the test with -update (-want +got):\n%s", file, diff)
	}
}

// Write writes a golden file, and its folder where there is none.
func Write(t testing.TB, file string, got []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, got, 0o644); err != nil {
		t.Fatal(err)
	}
}
