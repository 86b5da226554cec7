package main

import (
	"bytes"
	"flag"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"prove": main})
}

// mistakes are copies of the boat shed with one thing done wrong.
var mistakes = map[string][]string{
	"shed.yaml": nil,
	// At the yard door one traveler of each side is exchanged for the other.
	"crossed.yaml": {
		"{box: yard-door, device: aisle, terminal: pair 1 second, wire: C3.blue}", "{box: yard-door, device: aisle, terminal: pair 1 second, wire: C4.red}",
		"{box: yard-door, device: aisle, terminal: pair 2 first, wire: C4.red}", "{box: yard-door, device: aisle, terminal: pair 2 first, wire: C3.blue}",
	},
	// The floodlight hangs on the unswitched hot, and its switch opens the neutral.
	"neutral.yaml": {
		"{box: slip-door, join: [C2.black, C3.black, slipway.line]}", "{box: slip-door, join: [C2.black, C3.black, C12.black]}",
		"{box: slip-door, join: [C2.white, C3.white, C12.white]}", "{box: slip-door, join: [C2.white, C3.white, slipway.line]}",
		"{box: slip-door, device: slipway, terminal: load, wire: C12.black}", "{box: slip-door, device: slipway, terminal: load, wire: C12.white}",
	},
	// The neutral is landed on the load screw of the floodlight's switch as well.
	"short.yaml": {
		"{box: slip-door, join: [C2.white, C3.white, C12.white]}", "{box: slip-door, join: [C2.white, C3.white, C12.white, slipway.load]}",
		"  - {box: slip-door, device: slipway, terminal: load, wire: C12.black}\n", "",
	},
}

func shed(t *testing.T, name string) string {
	t.Helper()
	text := string(demo.Shed())
	for i := 0; i < len(mistakes[name]); i += 2 {
		old := mistakes[name][i]
		if strings.Count(text, old) != 1 {
			t.Fatalf("%s: %q stands %d times in the file", name, old, strings.Count(text, old))
		}
		text = strings.Replace(text, old, mistakes[name][i+1], 1)
	}
	return text
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			for name := range mistakes {
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), []byte(shed(t, name)), 0o644); err != nil {
					return err
				}
			}
			return nil
		},
	})
}

// TestShed holds what is said of the boat shed and of what was done wrong in it.
func TestShed(t *testing.T) {
	dir := t.TempDir()
	for _, g := range []struct {
		golden, file string
		args         []string
		exit         int
	}{
		{"shed.txt", "shed.yaml", []string{"-transit"}, exitProven},
		{"crossed.txt", "crossed.yaml", nil, exitFound},
		{"crossed.json", "crossed.yaml", []string{"-json", "-exceptions", "1"}, exitFound},
		{"neutral.txt", "neutral.yaml", nil, exitFound},
		{"short.txt", "short.yaml", nil, exitFound},
	} {
		path := filepath.Join(dir, g.file)
		if err := os.WriteFile(path, []byte(shed(t, g.file)), 0o644); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		if code := run(append(g.args, "-job", path), &out, &errs); code != g.exit {
			t.Fatalf("%s: exit %d, want %d: %s", g.file, code, g.exit, errs.String())
		}
		golden := filepath.Join("testdata", g.golden)
		if *update {
			if err := os.WriteFile(golden, out.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), out.String()); diff != "" {
			t.Errorf("%s differs; if the change is meant, run go test ./examples/prove -update (-want +got):\n%s", golden, diff)
		}
	}
}

func TestShort(t *testing.T) {
	two := func(n uint) *big.Int { return new(big.Int).Lsh(big.NewInt(1), n) }
	for _, r := range []struct {
		n    *big.Int
		want string
		why  string
	}{
		{big.NewInt(0), "0", "nothing"},
		{big.NewInt(1234567), "1,234,567", "a number to be read"},
		{two(49), "562,949,953,421,312", "the largest power of two that is written out"},
		{two(100000), "2^100000", "a power of two"},
		{new(big.Int).Sub(two(100), big.NewInt(1)), "about 1.2676 x 10^30", "no power of two"},
	} {
		if got := short(r.n); got != r.want {
			t.Errorf("%s: %q, want %q", r.why, got, r.want)
		}
	}
}
