package job_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// FuzzParse checks on any text that Parse ends with a file or with problems that
// have places, and that what parses says the same after Format and after Marshal.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/canonical.yaml", "testdata/cases/*.yaml", "testdata/wrong/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatal(pattern, err)
		}
		for _, name := range files {
			src, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(src)
		}
	}
	// Small files, which stay files under most small changes.
	for _, src := range []string{
		"title: a # b\n",
		"boxes:\n  - {name: a, kind: device, at: [1 ft, 2.5 m, -3 in], location: 'b: c'}\n",
		"boxes:\n  # a\n  - name: no\n    kind: panel\n    volume: 20 in3\n    share: 1 of 2\n    barriers: [{kind: metal}]\n",
		"boxes: [{name: a, kind: panel}, {name: \"b\\u00e9\", kind: ceiling}]\nfeeds: [{name: f, box: a, breaker: 6 A, lines: [B, A]}]\n",
		"boxes: [{name: a, kind: panel}]\ncables: [{name: c.d, type: 14/2, from: a, to: unknown, conductors: [red, white/red, bare]}]\nopens: [c.d.red]\ncaps: [{box: a, wire: c.d.bare}]\n",
		"kinds: [{name: k, terminals: [p, q], positions: [{name: x}, {name: y, joins: [[p, q]]}]}]\nboxes: [{name: a, kind: device}]\ndevices: [{name: d, box: a, kind: k}]\nsplices: [{box: a, join: [d.p, d.q]}]\n",
		"boxes: [{name: a, kind: device, nail side: left, door: hinge side, door opens: toward}]\ncables: [{name: c, type: 14/2, from: a, to: unknown, bored: [1.5 in, 20 mm], notches: 2}]\n",
		"boxes: [{name: a, kind: panel}, {name: b, kind: device, nail side: right, door: latch side}]\nruns: [{from: a, to: b, length: 3 m, bored: [1 in], notches: 1}]\n",
		"boxes: [{name: a, kind: device}]\ncables: [{name: c, type: 14/2, from: a, to: unknown, from end: {support: 8 in, along: 9 in, sheath: 0 in, free: 7 in}, supports apart: 4 ft}]\n",
		"boxes: [{name: a, kind: device, room: bathroom}]\ndevices: [{name: d, box: a, kind: receptacle, protection: [ground-fault, arc-fault]}]\n",
		"boxes: [{name: a, kind: panel}, {name: b, kind: device}]\nruns: [{from: a, to: b, length: 3 m, cable: 1.5 mm2 twin and earth}]\nneeds: [{box: b, needs: spare, for: 'a, b'}]\n",
	} {
		parse(f, "seed", []byte(head+src))
		f.Add([]byte(head + src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 1<<16 {
			return
		}
		_, err := job.Parse("fuzz.yaml", src, options())
		if err != nil {
			var errs *job.Errors
			if !errors.As(err, &errs) || len(errs.List) == 0 {
				t.Fatalf("the error is no list of problems: %v", err)
			}
			lines := strings.Count(string(src), "\n") + strings.Count(string(src), "\r") + 1
			for _, p := range errs.List {
				if p.Line < 1 || p.Column < 1 || p.Line > lines || p.Found == "" {
					t.Errorf("a problem without a place: %+v", p)
				}
			}
			return
		}
		roundTrip(t, "fuzz", src)
	})
}

// FuzzMarshal checks on any texts that what Marshal writes reads the same.
func FuzzMarshal(f *testing.F) {
	for _, s := range []string{"", "no", "a: b", "- x", "# x", "a\nb\n", "\ttab", "'\"\\", "é\u2028", "\x00", "\xff", "unknown", "a.b", strings.Repeat("long ", 50)} {
		f.Add(s, "loft", "aisle leg")
		f.Add("Boat shed", s, s)
	}
	two, err := conductor.ParseCableType("14/2")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, title, name, says string) {
		file := &job.File{Title: title, Rules: "us-2023"}
		file.Wiring = wiring.Spec{
			Supply: switchnet.SplitPhase(),
			Boxes:  []wiring.Box{{Name: name, Kind: wiring.DeviceBox, Location: says}},
			Cables: []wiring.Cable{{Name: name + "x", Type: two, From: name}},
			Tags:   []wiring.Tag{{Box: name, Wire: wiring.Wire{Cable: name + "x", Conductor: "bare"}, Text: says}},
			Opens:  []wiring.Wire{{Cable: name + "x", Conductor: "white"}},
		}
		out, err := job.Marshal(file, options())
		if err != nil {
			return // a text that no file can hold, or a name that nothing can have
		}
		if g := parse(t, "written", out); !file.Equal(g) {
			t.Errorf("it reads otherwise:\n%s", out)
		}
		roundTrip(t, "written", out)
	})
}
