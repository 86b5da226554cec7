package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/programtest"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

func TestMain(m *testing.M) { programtest.Main(m, "packet", main) }

// stair is a job that is proven in no time, for scripts that ask how files are written and
// not what is in them.
const stair = `format: 1
title: Stair of the boat shed
rules: us-2023
feeds: [{name: shed lights, box: panel, breaker: 15 A}]
boxes:
  - {name: panel, kind: panel}
  - {name: stair-foot, kind: device, volume: 22.5 in3, clamps: none}
  - {name: loft, kind: device, volume: 22.5 in3, clamps: none}
  - {name: stair-top, kind: ceiling, volume: 20 in3, clamps: none}
lights: [{name: stair light, box: stair-top, load: 12 W}]
runs:
  - {from: panel, to: stair-foot, length: 20 ft}
  - {from: stair-foot, to: loft, length: 20 ft}
  - {from: loft, to: stair-top, length: 9 ft}
controls: [{name: stair, lights: [stair light], places: [stair-foot, loft]}]
`

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	f, err := job.Parse("small.yaml", []byte(stair), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.New(context.Background(), f.Intent, f.Region, nil)
	if err != nil {
		t.Fatal(err)
	}
	planned, err := job.WithWiring("small.yaml", []byte(stair), p.Spec, nil)
	if err != nil {
		t.Fatal(err)
	}
	longer := strings.Replace(stair, "to: stair-foot, length: 20 ft", "to: stair-foot, length: 26 ft", 1)
	wired, err := job.WithWiring("longer.yaml", []byte(longer), withLonger(p.Spec), nil)
	if err != nil {
		t.Fatal(err)
	}
	hand := strings.Replace(string(wired), "{name: loft, kind: device, volume: 22.5 in3, clamps: none}", "{name: loft, kind: device, volume: 22.5 in3, clamps: none, at: [0 ft, 0 ft, 12 ft]}", 1)
	if longer == stair || hand == string(wired) {
		t.Fatal("a job was to be changed and is not")
	}
	programtest.Scripts(t, map[string]string{"small.yaml": stair, "planned.yaml": string(planned), "longer.yaml": longer, "hand.yaml": hand})
}

// withLonger returns the wiring of the stair with the first run 26 ft long.
func withLonger(s wiring.Spec) wiring.Spec {
	s = s.Clone()
	s.Cables[0].Length = 26 * quantity.Foot
	return s
}

// TestShed holds what the boat shed's packet says: the whole as text and as JSON, and its
// tables for spreadsheets; and that what is printed is what is written.
func TestShed(t *testing.T) {
	dir := t.TempDir()
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"-o", dir}, &out, &errs); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	if got, want := out.String(), "18 files written to "+dir+"\n"; got != want {
		t.Errorf("it says %q, want %q", got, want)
	}
	for file, held := range map[string]string{"packet.txt": "shed.txt", "packet.json": "shed.json", "take-off.csv": "shed-take-off.csv", "cables.csv": "shed-cables.csv"} {
		got, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		golden.Compare(t, filepath.Join("testdata", held), got)
	}
}
