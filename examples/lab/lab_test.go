package main

import (
	"bufio"
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "lab", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	programtest.Scripts(t, map[string]string{"shed-wired.yaml": string(demo.ShedWired())})
}

// lab runs the program in this process.
func runLab(t *testing.T, args ...string) (status int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(context.Background(), args, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// fixed is a secret for tests.
const fixed = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

// The secret is drawn anew for each folder, and is for its owner alone.
func TestNewSecret(t *testing.T) {
	var seen []string
	for range 2 {
		dir := t.TempDir()
		if status, _, errs := runLab(t, "new", "-dir", dir); status != program.Answered {
			t.Fatalf("exit %d: %s", status, errs)
		}
		name := filepath.Join(dir, "secret.txt")
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(name)
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("it may be read by others: %v, %v", info.Mode(), err)
		}
		seen = append(seen, string(text))
	}
	if seen[0] == seen[1] {
		t.Error("two folders have one secret")
	}
}

// folder makes a folder with sheets, in which every student has handed in an empty form.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	// The same papers each time.
	if err := os.WriteFile(filepath.Join(dir, "secret.txt"), []byte(fixed+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, verb := range []string{"new", "sheets"} {
		if status, _, errs := runLab(t, verb, "-dir", dir); status != program.Answered {
			t.Fatalf("%s: exit %d: %s", verb, status, errs)
		}
	}
	forms, err := filepath.Glob(filepath.Join(dir, "sheets", "*-[0-9]*.yaml"))
	if err != nil || len(forms) == 0 {
		t.Fatal(forms, err)
	}
	for _, f := range forms {
		if strings.HasSuffix(f, "-job.yaml") {
			continue
		}
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "answers", filepath.Base(f)), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// A marking that is killed loses nothing that it has told as marked, and going on comes to
// what an uninterrupted one does.
func TestKilled(t *testing.T) {
	dir := folder(t)
	name := filepath.Join(dir, "marks.csv")
	cmd := exec.Command("lab", "mark", "-dir", dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	// Whatever it has told by now is in the book; it is killed without being asked.
	told, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // it was killed, and says so
	who, _, _ := strings.Cut(told, ":")
	before, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(before), "\n"+who+",1,") {
		t.Errorf("%q was told, and the book is\n%s", told, before)
	}
	if status, _, errs := runLab(t, "mark", "-dir", dir); status != program.Answered {
		t.Fatalf("exit %d: %s", status, errs)
	}
	resumed, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := runLab(t, "mark", "-dir", dir); status != program.Answered {
		t.Fatalf("exit %d: %s", status, errs)
	}
	whole, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(resumed, whole) {
		t.Errorf("resumed:\n%s\nat once:\n%s", resumed, whole)
	}
}

// What students get holds neither the secret nor an answer; the key is in a folder of its
// own.
func TestSheetsHoldNoKey(t *testing.T) {
	dir := folder(t)
	secret, err := os.ReadFile(filepath.Join(dir, "secret.txt"))
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "sheets", "*"))
	if err != nil || len(files) < 24*3 {
		t.Fatal(len(files), err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range []string{strings.TrimSpace(string(secret)), string(secret[:20]), "ANSWER", "instructor alone", "variant"} {
			if bytes.Contains(text, []byte(word)) {
				t.Errorf("%s says %q", f, word)
			}
		}
	}
	key, err := os.ReadFile(filepath.Join(dir, "key", "001-student-1.txt"))
	if err != nil || !bytes.Contains(key, []byte("ANSWER: ")) || !bytes.Contains(key, []byte("instructor alone")) {
		t.Errorf("the key is %.200s, %v", key, err)
	}
}
