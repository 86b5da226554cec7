package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "plan", main) }

// TestScripts runs the program as a person does. Beside the boat shed there is the
// shed with one line changed, so that its feed comes in at the loft.
func TestScripts(t *testing.T) {
	shed := string(demo.Shed())
	loft := strings.Replace(shed, "- {from: panel, to: store-door, length: 8 ft}", "- {from: panel, to: loft, length: 46 ft}", 1)
	if loft == shed {
		t.Fatal("the line with the run of the feed is not there")
	}
	programtest.Scripts(t, map[string]string{"shed.yaml": shed, "loft.yaml": loft, "wired.yaml": string(demo.ShedWired())})
}

// TestShed holds what is planned for the boat shed, in text and in JSON.
func TestShed(t *testing.T) {
	for _, g := range []struct {
		file string
		args []string
	}{
		{"shed.txt", nil},
		{"shed.json", []string{"-json"}},
	} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), g.args, &out, &errs); code != program.Answered {
			t.Fatalf("%v: exit %d: %s", g.args, code, errs.String())
		}
		programtest.Golden(t, filepath.Join("testdata", g.file), out.Bytes())
	}
}

// A context that has ended ends the plan, whatever the time.
func TestStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var out, errs bytes.Buffer
	if code := run(ctx, nil, &out, &errs); code != program.NoAnswer || out.Len() > 0 || !strings.Contains(errs.String(), "stopped") {
		t.Errorf("exit %d, %q, %q", code, out.String(), errs.String())
	}
}
