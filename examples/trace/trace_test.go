package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "trace", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	programtest.Scripts(t, map[string]string{"shed.yaml": string(demo.Shed()), "shed-wired.yaml": string(demo.ShedWired()), "cottage.yaml": string(demo.Cottage()), "stair.yaml": stair})
}

// stair is a light switched from two places: small enough to be talked through.
const stair = `format: 1
title: Loft stair
rules: us-2023
feeds:
  - {name: stair, box: panel, volts: 120 V, breaker: 15 A}
boxes:
  - {name: panel, kind: panel}
  - {name: foot, kind: device}
  - {name: head, kind: device}
  - {name: ceiling, kind: ceiling}
lights:
  - {name: lamp, box: ceiling, load: 18 W}
runs:
  - {from: panel, to: foot, length: 20 ft}
  - {from: foot, to: head, length: 15 ft}
  - {from: head, to: ceiling, length: 10 ft}
controls:
  - {name: stair, lights: [lamp], places: [foot, head]}
`

// job writes the stair's file.
func job(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "stair.yaml")
	if err := os.WriteFile(file, []byte(stair), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// call runs the program on lines and returns its exit status and what it printed.
func talk(t *testing.T, input string, args ...string) (status int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(context.Background(), args, strings.NewReader(input), &o, &e)
	return status, o.String(), e.String()
}

// state runs the program on lines and returns where that came to.
func state(t *testing.T, input string, args ...string) State {
	t.Helper()
	_, out, errs := talk(t, input, append(args, "-json")...)
	var s State
	if err := json.Unmarshal([]byte(out), &s); err != nil {
		t.Fatalf("%v: %s%s", err, out, errs)
	}
	return s
}

// Answering by number, by the line that the JSON gives for that number, and by taking up
// what was saved comes to the same.
func TestThreeWaysToAnswer(t *testing.T) {
	file := job(t)
	numbers, typed := "", ""
	for step := range 6 {
		s := state(t, typed, "-job", file)
		if s.Next == nil {
			if step == 0 {
				t.Fatal("nothing is proposed")
			}
			break
		}
		// The least likely of the first three answers makes a long session.
		n := min(len(s.Next.Answers), 3)
		numbers += string(rune('0'+n)) + "\n"
		typed += strings.Join(append(append([]string{}, s.Next.Before...), s.Next.Answers[n-1].Line), "\n") + "\n"
		if s.Next.Box != "" {
			typed += "stand in " + s.Next.Box + "\n"
		}
	}
	kept := filepath.Join(t.TempDir(), "kept")
	a := state(t, numbers, "-job", file, "-save", kept)
	b := state(t, typed, "-job", file)
	c := state(t, "", "-job", file, "-resume", kept)
	saved, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	d := state(t, string(saved), "-job", file)
	text := func(s State) string {
		s.Steps = nil // how lines were put together differs
		out, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	for name, other := range map[string]State{"as lines": b, "resumed": c, "the kept file through a pipe": d} {
		if text(a) != text(other) {
			t.Errorf("%s:\n%s\nby number:\n%s", name, text(other), text(a))
		}
	}
	if got, want := len(c.Steps), strings.Count(numbers, "\n"); got != want {
		t.Errorf("resumed with %d steps of %d", got, want)
	}
}

// Taking back any number of steps comes to what was there before them.
func TestUndo(t *testing.T) {
	file := job(t)
	lines := []string{"earlier use holds", "see lamp=dark", "flip foot nothing", "lock out", "prove dead foot", "2", "undo"}
	for n := range 4 {
		before := state(t, strings.Join(lines[:n], "\n"), "-job", file)
		after := state(t, strings.Join(lines[:4], "\n")+strings.Repeat("\nundo", 4-n), "-job", file)
		a, _ := json.Marshal(before)
		b, _ := json.Marshal(after)
		if !bytes.Equal(a, b) {
			t.Errorf("after %d lines:\n%s\nafter taking the others back:\n%s", n, a, b)
		}
	}
	if _, _, errs := talk(t, "undo", "-job", file); !strings.Contains(errs, "nothing to take back") {
		t.Error(errs)
	}
}

// A file of lines about another job is not taken up, and what cannot be read in one is
// listed whole.
func TestResumeRefuses(t *testing.T) {
	file := job(t)
	kept := filepath.Join(t.TempDir(), "kept")
	if status, _, errs := talk(t, "see lamp=dark", "-job", file, "-save", kept); status != program.NoAnswer {
		t.Fatalf("exit %d: %s", status, errs)
	}
	if status, _, errs := talk(t, "", "-resume", kept); status != program.Wrong || !strings.Contains(errs, ":1:1: these lines are about another job") {
		t.Errorf("exit %d: %s", status, errs)
	}
	for text, want := range map[string][]string{
		"see lamp=dark\nsea lamp\n\nsee lamp=blue\n": {":2:1: \"sea\"", ":4:5: \"blue\""},
		"energize\nlock out\nsee lamp=dark\n":        {":3:1:", "locked out"},
		"ohms foot:C1.black foot:C1.bare open\n":     {":1:1:", "lock out every circuit"},
	} {
		if err := os.WriteFile(kept, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		status, out, errs := talk(t, "", "-job", file, "-resume", kept)
		if status != program.Wrong || out != "" {
			t.Errorf("%q: exit %d, %q", text, status, out)
		}
		for _, w := range want {
			if !strings.Contains(errs, w) {
				t.Errorf("%q: %q lacks %q", text, errs, w)
			}
		}
	}
}

// The walks of two, three and four places are as short as can be proven, against every single
// fault and any two conductors that touch, sections that share no box included.
func TestWalkLengths(t *testing.T) {
	for _, r := range []struct {
		boxes    []string
		any, lit int // flips
	}{
		{[]string{"foot", "head"}, 3, 3},
		{[]string{"foot", "turn", "head"}, 7, 6},
		{[]string{"foot", "turn", "landing", "head"}, 8, 6},
	} {
		text := strings.Replace(stair, "places: [foot, head]", "places: ["+strings.Join(r.boxes, ", ")+"]", 1)
		text = strings.Replace(text, "  - {from: foot, to: head, length: 15 ft}\n", "", 1)
		for i, b := range r.boxes[1:] {
			if i+1 < len(r.boxes)-1 {
				text = strings.Replace(text, "  - {name: head,", "  - {name: "+b+", kind: device}\n  - {name: head,", 1)
			}
			text = strings.Replace(text, "controls:", "  - {from: "+r.boxes[i]+", to: "+b+", length: 15 ft}\ncontrols:", 1)
		}
		file := filepath.Join(t.TempDir(), "stair.yaml")
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, start := range [][]string{nil, {"-start", "lamp=lit"}} {
			status, out, errs := talk(t, "", append([]string{"-job", file, "-walk", "-json"}, start...)...)
			var w WalkState
			if err := json.Unmarshal([]byte(out), &w); err != nil || status != 0 {
				t.Fatalf("%d places: %v, exit %d: %s\n%s", len(r.boxes), err, status, errs, text)
			}
			want := r.any
			if start != nil {
				want = r.lit
			}
			if len(w.Flips) != want || !w.Shortest {
				t.Errorf("%d places, start %v: %d flips, shortest %v; want %d: %v", len(r.boxes), start, len(w.Flips), w.Shortest, want, w.Flips)
			}
			if len(w.Hidden) != 1 {
				t.Errorf("%d places: hidden: %v; want the neutral and the ground", len(r.boxes), w.Hidden)
			}
		}
	}
}

// What is said as it is listed is the answer that it is, and what may be more than one is
// asked for.
func TestAnswersInWords(t *testing.T) {
	file := job(t)
	text := func(s State) string {
		out, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	numbers := text(state(t, "1\n1\n2 sure 80%\n", "-job", file))
	for _, words := range []string{"dark\nno\nlit sure 80%\n", "Dark: lamp\nNo, never\nlit: lamp sure 80%\n", "DARK\nNO\n2 sure 80%\n", "see lamp=dark\nUSE holds\nlit sure 80%\n"} {
		if got := text(state(t, words, "-job", file)); got != numbers && !strings.HasPrefix(words, "see") {
			t.Errorf("%q:\n%s\nby number:\n%s", words, got, numbers)
		}
	}
	for line, want := range map[string]string{
		"joined":       "no word with which a line begins",
		"lti":          `did you mean lit?`,
		"lit sure":     "how sure is missing",
		"Lock inn":     `"inn" is no word after lock`,
		"prove daed":   `"daed" is no word after prove`,
		"dark sure 0%": "above 0 %",
		"lock out\nprove dead foot\nohms foot:C1.bare foot:C1.white joined\nenergize": "once they are, write: leads off",
	} {
		if _, _, errs := talk(t, line+"\n", "-job", file); !strings.Contains(errs, want) {
			t.Errorf("%q: %q lacks %q", line, errs, want)
		}
	}
}

// Whoever leaves while the program waits for a line leaves at once.
func TestInterrupt(t *testing.T) {
	in, w := io.Pipe()
	defer w.Close()
	ctx, cancel := context.WithCancel(context.Background())
	var out, errs bytes.Buffer
	file := job(t)
	done := make(chan int)
	go func() { done <- run(ctx, []string{"-job", file}, in, &out, &errs) }()
	if _, err := w.Write([]byte("earlier use holds\n")); err != nil {
		t.Fatal(err)
	}
	cancel()
	if status := <-done; status != program.NoAnswer || !strings.Contains(errs.String(), "canceled") {
		t.Errorf("exit %d: %s", status, errs.String())
	}
}

// TestHints holds that of what no wiring that is whole gives it is said what it may be, that
// what behaves alike is named, and that where no test may be made it is said which would
// tell and what forbids it.
func TestHints(t *testing.T) {
	for _, r := range []struct {
		why, input string
		args, want []string
	}{
		{"a joint, a lamp, a dimmer", "earlier see lamp=flicker with foot:stair=up head:stair=up\n", nil, []string{"may have a loose joint", "each box proven dead with a tester proven before and after, see to each", "what a cable couples to a leg that is off"}},
		{"a glow while it is off", "earlier use holds\nearlier flip foot:stair changes with any\nearlier see lamp=lit with foot:stair=up head:stair=up\nearlier see lamp=dim with foot:stair=up head:stair=down\nfits 3\n", nil,
			[]string{"what a cable couples to a leg that is off", "nothing is wrong\n         or stair.traveler 1 and stair.traveler 2 are exchanged in box"}},
		{"a single-pole is named though it behaves as a worn contact does", "earlier use holds\nearlier see lamp=dark with head:stair=down\nearlier flip foot:stair changes with head:stair=up\n", []string{"-replaced", "head:stair"},
			[]string{"stair is a single-pole, line for common, nothing for traveler 1, load for traveler 2 in box head\n         or stair: common does not join traveler 1 when up in box head"}},
		{"of what only lights were asked it is said which reading would part it", "use holds\nsee lamp=dark with foot=up head=up\nsee lamp=dark with foot=down head=up\nsee lamp=dark with foot=up head=down\nsee lamp=lit with foot=down head=down\n", []string{"-no-dead", "-no-live"},
			[]string{"alike in every test that is allowed:", "dead test between", "refused: tests of this sort are left out here"}},
		{"after a trip with no ohmmeter", "use trips\n", []string{"-no-dead"}, []string{"refused: after one trip", "refused: tests of this sort are left out here", "No test that is allowed and safe", "open each, prove it dead with a tester proven"}},
	} {
		_, out, errs := talk(t, r.input, append([]string{"-job", job(t)}, r.args...)...)
		for _, want := range r.want {
			if flat := func(s string) string { return strings.Join(strings.Fields(s), " ") }; !strings.Contains(flat(out), flat(want)) {
				t.Errorf("%s: %q is not said:\n%s%s", r.why, want, out, errs)
			}
		}
	}
}
