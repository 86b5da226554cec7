package main

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "check", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) { programtest.Scripts(t, nil) }

// A check that is called off says so and prints nothing.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	if status := run(ctx, nil, &out, &errs); status != program.NoAnswer || out.Len() > 0 || !strings.Contains(errs.String(), "canceled") {
		t.Errorf("status %d, output %q, errors %q", status, out.String(), errs.String())
	}
}
