package main

import (
	"bufio"
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

// stopsAfter names the variable that makes the test binary the program, which stands still
// once it has told so many lines.
const stopsAfter = "LAB_STOPS_AFTER"

func TestMain(m *testing.M) {
	if n, err := strconv.Atoi(os.Getenv(stopsAfter)); err == nil {
		os.Exit(run(context.Background(), os.Args[1:], os.Stdin, &still{left: n}, os.Stderr))
	}
	programtest.Main(m, "lab", main)
}

// still writes lines to the standard output and then waits for a word that never comes.
type still struct{ left int }

func (s *still) Write(text []byte) (int, error) {
	if s.left == 0 {
		_, _ = os.Stdin.Read(make([]byte, 1)) // until it is killed
	}
	s.left--
	return os.Stdout.Write(text)
}

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
	const told = 7
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, "mark", "-dir", dir)
	cmd.Env = append(os.Environ(), stopsAfter+"="+strconv.Itoa(told))
	if _, err := cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	// It tells of seven and then stands still, in the middle of the class.
	lines := bufio.NewScanner(out)
	var who []string
	for len(who) < told && lines.Scan() {
		name, _, _ := strings.Cut(lines.Text(), ":")
		who = append(who, name)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // it was killed, and says so
	before, err := os.ReadFile(name)
	if err != nil || len(who) < told {
		t.Fatal(who, err)
	}
	for _, name := range who {
		if !strings.Contains(string(before), "\n"+name+",1,") {
			t.Errorf("%q was told, and the book is\n%s", name, before)
		}
	}
	if strings.Contains(string(before), "Student 24,") {
		t.Error("it was done before it was killed")
	}
	// What was marked is not marked again: a mark that the instructor changed stays.
	if err := os.WriteFile(name, bytes.Replace(before, []byte("\nStudent 2,1,predict lights,0,"), []byte("\nStudent 2,1,predict lights,1,"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := runLab(t, "mark", "-dir", dir); status != program.Answered {
		t.Fatalf("exit %d: %s", status, errs)
	}
	resumed, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	changed := []byte("\nStudent 2,1,predict lights,1,")
	if !bytes.Contains(resumed, changed) {
		t.Errorf("Student 2 was marked again:\n%s", resumed)
	}
	resumed = bytes.Replace(resumed, changed, []byte("\nStudent 2,1,predict lights,0,"), 1)
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
	if info, err := os.Stat(filepath.Join(dir, "key")); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("others may look at the key: %v", err)
	}
	key, err := os.ReadFile(filepath.Join(dir, "key", "001-student-1.txt"))
	if err != nil || !bytes.Contains(key, []byte("ANSWER: ")) || !bytes.Contains(key, []byte("instructor alone")) {
		t.Errorf("the key is %.200s, %v", key, err)
	}
}

// An answer file that is no plain file, or that nobody may read, is told and holds up
// nobody; a folder in its place is one too.
func TestNoPlainFile(t *testing.T) {
	dir := folder(t)
	name := filepath.Join(dir, "answers", "002-student-2.yaml")
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	for what, put := range map[string]func() error{
		"a folder": func() error { return os.Mkdir(name, 0o755) },
		"a link":   func() error { return os.Symlink(filepath.Join(dir, "key", "002-student-2.txt"), name) },
	} {
		if err := put(); err != nil {
			t.Fatal(err)
		}
		status, out, errs := runLab(t, "mark", "-dir", dir)
		if status != program.Fails || !strings.Contains(errs, "no plain file") || !strings.Contains(out, "Student 24: 0 of 30") {
			t.Errorf("%s: exit %d: %s%s", what, status, out, errs)
		}
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
}

// Other marks in the exercise file, or another cost of danger, mark the class again.
func TestOtherMarks(t *testing.T) {
	dir := folder(t)
	for from, to := range map[string]string{"marks: 8": "marks: 9", "danger: 1": "danger: 2"} {
		if status, _, errs := runLab(t, "mark", "-dir", dir); status != program.Answered {
			t.Fatalf("exit %d: %s", status, errs)
		}
		before, err := os.ReadFile(filepath.Join(dir, "marks.csv"))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "exercise.yaml")
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, bytes.Replace(text, []byte(from), []byte(to), 1), 0o644); err != nil {
			t.Fatal(err)
		}
		if status, _, errs := runLab(t, "mark", "-dir", dir); status != program.Answered {
			t.Fatalf("exit %d: %s", status, errs)
		}
		if after, err := os.ReadFile(filepath.Join(dir, "marks.csv")); err != nil || bytes.Equal(before, after) {
			t.Errorf("%s for %s: the book stays as it was, %v", to, from, err)
		}
	}
}
