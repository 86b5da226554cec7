package atomicfile

import (
	"os"
	"path/filepath"
	"testing"
)

func TestWriteReplacesWhole(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "packet.txt")
	for _, text := range []string{"first, and longer", "second"} {
		if err := Write(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(name)
		if err != nil || string(got) != text {
			t.Fatalf("read %q, %v; want %q", got, err, text)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("%d files left behind (%v), want the one that was written", len(left), err)
	}
}

func TestWriteLeavesNothingBehindWhenItFails(t *testing.T) {
	dir := t.TempDir()
	// A folder in the way of the rename is a failure that permissions, which
	// root ignores, would not give.
	name := filepath.Join(dir, "taken")
	if err := os.MkdirAll(filepath.Join(name, "inside"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Write(name, []byte("x")); err == nil {
		t.Fatal("writing over a folder succeeded")
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("%d entries left (%v), want the folder alone", len(left), err)
	}
}

func TestWriteAllRefusesPaths(t *testing.T) {
	dir := t.TempDir()
	if err := WriteAll(dir, []File{{"../outside", nil}}); err == nil {
		t.Error("a name that leads out of the folder was accepted")
	}
	if err := WriteAll(filepath.Join(dir, "new", "deeper"), []File{{"a", []byte("a")}, {"b", nil}}); err != nil {
		t.Error(err)
	}
}
