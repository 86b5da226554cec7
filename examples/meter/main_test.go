package main

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "meter", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) { programtest.Scripts(t, nil) }

// TestPlots holds the plots of the boat shed, and that they are well-formed.
func TestPlots(t *testing.T) {
	for _, g := range []struct {
		file string
		args []string
	}{
		{"stair.svg", []string{"-sweep", "-vary", "loft:stair", "-vary", "stair-foot:stair", "-vary", "slip-door:slipway"}},
		{"drop.svg", []string{"-sweep", "-drop", "-vary", "loft:stair", "-vary", "slip-door:slipway", "-vary", "loft:aisle"}},
	} {
		file := filepath.Join(t.TempDir(), g.file)
		var out, errs bytes.Buffer
		if code := run(context.Background(), append(g.args, "-svg", file), &out, &errs); code != 0 {
			t.Fatalf("%v: exit %d: %s", g.args, code, errs.String())
		}
		got, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		decoder := xml.NewDecoder(bytes.NewReader(got))
		for {
			if _, err := decoder.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s is not XML: %v", g.file, err)
			}
		}
		golden.Compare(t, filepath.Join("testdata", g.file), got)
	}
}

// A sweep that is called off writes nothing.
func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	file := filepath.Join(t.TempDir(), "x.svg")
	var out, errs bytes.Buffer
	if code := run(ctx, []string{"-sweep", "-svg", file}, &out, &errs); code != 4 || out.Len() > 0 || !strings.Contains(errs.String(), "canceled") {
		t.Errorf("exit %d, output %q, errors %q", code, out.String(), errs.String())
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("a plot was written")
	}
}

func TestLetters(t *testing.T) {
	for k, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 702: "AAA"} {
		if got := letters(k); got != want {
			t.Errorf("light %d is called %s, want %s", k, got, want)
		}
	}
}
